"""Static files as they are served: named by their content, so that what a phone keeps never mixes two versions."""

from whitenoise.storage import CompressedManifestStaticFilesStorage


class NamedByContent(CompressedManifestStaticFilesStorage):
    """What a module imports is named by its content too: a page kept last week finds the scripts of last week."""

    support_js_module_import_aggregation = True

    def post_process(self, paths, **options):
        """No page asks for the scripts that `django_htmx` brings along; one names a file that is not there."""
        ours = {name: where for name, where in paths.items() if not name.startswith("django_htmx/")}
        yield from super().post_process(ours, **options)
