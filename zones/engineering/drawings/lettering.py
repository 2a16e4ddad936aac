"""Lettering of drawings: how wide a text is, how it is cut, what may stand in XML.

One fixed-pitch face throughout: every character is 0.6 of the letter's size wide in the faces in use for it, so that
a drawing keeps its spacing where our own face is missing.
"""

import re
import unicodedata
from functools import lru_cache

FACE = "'Source Code Pro','Sheet Code','DejaVu Sans Mono','Liberation Mono',monospace"
ADVANCE = 0.6  # of the size, per character
WIDE_ADVANCE = 1.25  # East Asian characters and pictographs
SIZE_MM = 3.8  # capitals of 2.51 mm
TAG_SIZE_MM = 4.6
RISE, DROP = 0.78, 0.22  # of the size: above and below the base line, accents not counted

# XML 1.0: what may not stand in a document at all.
_FORBIDDEN = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def plain(text: str) -> str:
    """One line of text that XML can hold: forbidden characters dropped, white space folded."""
    return " ".join(_FORBIDDEN.sub("", text).split())


@lru_cache(maxsize=4096)
def width_mm(text: str, size_mm: float = SIZE_MM) -> float:
    """Width of a text in mm; an upper bound for the faces named."""
    return size_mm * sum(_advance(character) for character in text)


def _advance(character: str) -> float:
    if character.isascii():
        return ADVANCE
    return WIDE_ADVANCE if unicodedata.east_asian_width(character) in "WF" else ADVANCE


def shorten(text: str, most: int) -> str:
    """At most `most` characters, the last one an ellipsis where the text was cut."""
    text = plain(text)
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


def wrapped(text: str, most: int, lines: int) -> list[str]:
    """The words of a text in at most `lines` lines of at most `most` characters; what is left over is cut."""
    words, found = plain(text).split(), []
    while words and len(found) < lines:
        line = words.pop(0)
        while words and len(line) + 1 + len(words[0]) <= most:
            line += " " + words.pop(0)
        found.append(line)
    if words:
        found[-1] += " " + " ".join(words)
    return [shorten(line, most) for line in found]
