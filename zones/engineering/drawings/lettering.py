"""Lettering of drawings: how wide a text is, how it is cut, what may stand in XML.

Tags, terminals and cores stand in a fixed-pitch face: every character is 0.6 of the letter's size wide in the faces in
use for it, so that a drawing keeps its spacing where our own face is missing. What is said in words (kind, place, zone)
stands in the face of the papers; its width is estimated letter by letter, rather too wide than too narrow.
"""

import re
import unicodedata
from functools import lru_cache

FACE = "'Source Code Pro','Sheet Code','DejaVu Sans Mono','Liberation Mono',monospace"
WORDS_FACE = "'Public Sans','Sheet','DejaVu Sans','Liberation Sans',sans-serif"
WORDS_ROLES = frozenset(("kind", "place", "row", "zone", "zone-said", "words"))
ADVANCE = 0.6  # of the size, per character
_NARROW, _WIDE = frozenset("iljtfrI.,:;'|!()[]·- "), frozenset("mwMWQO@%…")
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


@lru_cache(maxsize=4096)
def words_width_mm(text: str, size_mm: float = SIZE_MM) -> float:
    """Width of a text in the face of words, in mm; about an upper bound."""
    return size_mm * sum(_words_advance(character) for character in text)


def _words_advance(character: str) -> float:
    if character in _NARROW:
        return 0.38
    if unicodedata.east_asian_width(character) in "WF":
        return WIDE_ADVANCE
    return 0.94 if character in _WIDE else 0.72 if character.isupper() else 0.66 if character.isdigit() else 0.62


def _advance(character: str) -> float:
    if character.isascii():
        return ADVANCE
    return WIDE_ADVANCE if unicodedata.east_asian_width(character) in "WF" else ADVANCE


def shorten(text: str, most: int) -> str:
    """At most `most` characters, the last one an ellipsis where the text was cut."""
    text = plain(text)
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


def shorten_words(text: str, room_mm: float) -> str:
    """As much of a text in the face of words as there is room for, with an ellipsis where it was cut."""
    text = plain(text)
    if words_width_mm(text) <= room_mm:
        return text
    while text and words_width_mm(text + "…") > room_mm:
        text = text[:-1]
    return text.rstrip() + "…"


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
