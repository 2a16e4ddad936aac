"""What a PDF says, read back by poppler's pdftotext."""

import subprocess


def text_of(pdf):
    """The text of a PDF (bytes) with its runs of blanks as one."""
    return " ".join(poppler(pdf).split())


def sheets_of(pdf):
    """The lines of each sheet of a PDF (bytes), without blank ones."""
    return [[line.strip() for line in sheet.splitlines() if line.strip()] for sheet in poppler(pdf).split("\f")]


def poppler(pdf):
    return subprocess.run(
        ["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True
    ).stdout.decode()
