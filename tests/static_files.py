"""Static files as the tests serve them: neither collected nor named by their content."""

from django.contrib.staticfiles.storage import StaticFilesStorage


class UnchangingFiles(StaticFilesStorage):
    """Nobody changes a file while tests run: a name stands for its content, and a phone keeps each, as in earnest."""

    hashed_files = ()
