"""Whether what a paper prints stays on its sheet, as pdftotext measures it."""

import re
import subprocess

RIGHT_MARGIN_PT = 12 * 72 / 25.4  # of every sheet but labels (templates/documents/print.css)


def words_over_the_margin(pdf):
    """The words that end beyond the right margin of their sheet."""
    boxes = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=pdf, capture_output=True, check=True).stdout.decode()
    found = []
    for page in boxes.split("<page ")[1:]:
        margin = float(re.match(r'width="([\d.]+)"', page)[1]) - RIGHT_MARGIN_PT
        ends = re.findall(r'xMax="([\d.]+)"[^>]*>([^<]+)</word>', page)
        found += [word for end, word in ends if float(end) > margin + 0.5]
    return found
