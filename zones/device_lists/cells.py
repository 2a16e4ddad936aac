"""One cell: tidied text, and the ways to read a number, a date or a kind of device out of it."""

import re
import unicodedata
from datetime import date, datetime
from difflib import get_close_matches
from functools import lru_cache

from sites_registry.spreadsheets import not_neutral
from zones.models.kinds import DeviceKind

# Stored before the reason why a cell has no value. A noncharacter that `tidy` takes out, so no text brings it.
UNREADABLE = "\ufdd0"
# C0 and C1 controls but tab and line feed, surrogates, noncharacters of a cell: nothing a person typed.
_NOT_TEXT = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\ufdd0\ufffe\uffff]")


class Unreadable(str):
    """Instead of a cell's text: the reason why it has none."""


def tidy(text) -> str:
    """Text as the register stores it: one form of line end, no control characters, no blanks around."""
    text = str(text).replace("\r\n", "\n").replace("\r", "\n")
    return _NOT_TEXT.sub("", text).strip()


class CellFault(ValueError):
    """The cell cannot be taken; the message says why and what to write."""


def read_text(text: str, limit: int) -> str:
    """Raises CellFault when unreadable or longer than `limit` characters."""
    if text.startswith(UNREADABLE):
        raise CellFault(text[1:])
    text = tidy(not_neutral(text))
    if len(text) > limit:
        raise CellFault(f"'{text[:30]}…' has {len(text)} characters; the limit is {limit}. Shorten it.")
    return text


# "1.23457E+11": what a spreadsheet makes of long digits when it takes them for a number.
_SHORTENED = re.compile(r"\d(?:[.,]\d+)?E\+\d+", re.IGNORECASE)


def read_serial(text: str) -> str:
    """The serial. Raises CellFault when a spreadsheet has shortened it to a rounded number."""
    if _SHORTENED.fullmatch(text):
        raise CellFault(
            f"'{text}' is a long number that a spreadsheet has shortened. Make the column text and write it in full."
        )
    return text


def read_whole_number(text: str, lowest: int, highest: int, prefixes: str = "") -> int:
    """A whole number, also as "3.0" or after one of `prefixes` (words separated by |). Raises CellFault."""
    prefix = rf"(?:(?:{prefixes})[\s.:#-]*)?" if prefixes else ""
    match = re.fullmatch(rf"{prefix}(\d{{1,9}})(?:[.,]0+)?", text, re.IGNORECASE)
    if not match:
        raise CellFault(f"'{text}' is not a whole number. Write one from {lowest} to {highest}.")
    number = int(match[1])
    if not lowest <= number <= highest:
        raise CellFault(f"{number} is out of range. Write a number from {lowest} to {highest}.")
    return number


_DATE_FORMATS = (
    "%Y-%m-%d",
    "%d/%m/%Y",
    "%d.%m.%Y",
    "%d-%m-%Y",
    "%d %b %Y",
    "%d %B %Y",
    "%d/%m/%y",
    "%d.%m.%y",
    "%d-%b-%Y",
    "%d-%b-%y",
    "%Y/%m/%d",
    "%Y%m%d",
)


def read_date(text: str, today: date) -> date:
    """A past date, ISO 8601 or day first. Raises CellFault."""
    plain = re.sub(r"[T ]\d{1,2}:\d{2}(:\d{2}(\.\d+)?)?$", "", text)
    for form in _DATE_FORMATS:
        try:
            day = datetime.strptime(plain, form).date()
        except ValueError:
            continue
        if day > today:
            raise CellFault(f"{day:%-d %b %Y} lies ahead. Write the day on which the unit was fitted.")
        if day.year < 1950:
            raise CellFault(f"{day:%-d %b %Y} cannot be right. Correct the year.")
        return day
    raise CellFault(f"'{text}' is not a date. Write it as 2026-03-31 or 31/03/2026 (day first).")


def _plain_kind(text):
    text = unicodedata.normalize("NFKD", text.replace("'", "").replace("’", "")).encode("ascii", "ignore").decode()
    return " ".join(re.sub(r"[^a-z0-9]+", " ", text.casefold()).split())


_KIND_OF = {}
for _kind in DeviceKind:
    for _word in (_kind.label, _kind.value, _kind.facts.tag_prefix, *_kind.facts.import_words.words):
        _KIND_OF[_plain_kind(_word)] = _kind

# Said within a longer description ("chain actuator 500 mm"), these still mean one kind. Single words are too loose for
# that, but for a few.
_PHRASES = {
    word: kind
    for word, kind in _KIND_OF.items()
    if word not in kind.facts.import_words.never_within and (" " in word or word in kind.facts.import_words.within)
}


def read_kind(text: str) -> str:
    """A kind of device by the words of the trade, in singular or plural. Raises CellFault, with the nearest kind."""
    kind, hint = _find_kind(text)
    if not kind:
        raise CellFault(f"'{text}' is not a kind of device that the register knows. {hint}")
    return kind


@lru_cache(maxsize=2_000)  # a list has few kinds in many rows, and a near miss is slow to find
def _find_kind(text):
    """(kind, "") or ("", hint)."""
    plain = _plain_kind(text)
    for candidate in (plain, plain.removesuffix("s"), plain.removesuffix("es")):
        if kind := _KIND_OF.get(candidate):
            return kind.value, ""
    within = {kind for word, kind in _PHRASES.items() if f" {word} " in f" {plain} "}
    if len(within) == 1:
        return within.pop().value, ""
    long_words = [word for word in _KIND_OF if len(word) >= 5]
    if len(plain) >= 5 and (close := get_close_matches(plain, long_words, n=1, cutoff=0.88)):
        return _KIND_OF[close[0]].value, ""
    if near := get_close_matches(plain, long_words, n=1, cutoff=0.6):
        return "", f"Did you mean '{_KIND_OF[near[0]].label}'?"
    return "", "Use one of: " + ", ".join(kind.label for kind in DeviceKind) + "."


def a_kind(kind: str) -> str:
    """A kind with its article, for sentences: "an actuator"."""
    label = DeviceKind(kind).label
    return f"an {label}" if label[0] in "aeiou" else f"a {label}"
