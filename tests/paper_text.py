"""What a PDF says, read back by poppler's pdftotext."""

import subprocess


def text_of(pdf):
    """The text of a PDF (bytes) with its runs of blanks as one."""
    text = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True).stdout
    return " ".join(text.decode().split())
