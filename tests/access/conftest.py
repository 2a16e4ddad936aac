import pytest
from weasyprint import HTML

from sites_registry.documents import base
from tests.sites_registry.documents.margins import words_over_the_margin


class ComposedOnce:
    """In place of weasyprint.HTML: a paper is composed for the first person who opens it, and kept for the others.

    As every paper is composed here, it is here that each is measured; composing all once more would take too long.
    """

    kept = {}

    def __init__(self, *, string, base_url, url_fetcher):
        self.string, self.base_url, self.url_fetcher = string, base_url, url_fetcher

    def write_pdf(self, *, pdf_identifier, attachments, **options):
        key = self.string, pdf_identifier, tuple(sorted(self.url_fetcher.pictures.items()))
        if attachments or key not in self.kept:
            html = HTML(string=self.string, base_url=self.base_url, url_fetcher=self.url_fetcher)
            self.kept[key] = html.write_pdf(pdf_identifier=pdf_identifier, attachments=attachments, **options)
            assert words_over_the_margin(self.kept[key]) == [], "These words run over the right margin of the paper."
        return self.kept[key]


@pytest.fixture(scope="module", autouse=True)
def papers_are_composed_once():
    """Who may open a paper is asked here; what stands on it, by the tests of each paper."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(base, "HTML", ComposedOnce)
        yield
    ComposedOnce.kept.clear()
