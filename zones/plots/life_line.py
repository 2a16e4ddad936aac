"""The life of an installation on one line, to the right scale: what happened when, today, and what is due.

Places along the line are shares of its length, so that the drawing fills any width while its words keep their size.
Words are placed for the narrowest width that the drawing is meant for; on a wider one they only stand further apart.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from zones.plots.labels import text_width

WORD_SIZE = 12.0
HEIGHT = 66
_WORDS_AT, _TODAY_AT, _YEARS_AT = 11, 25, 62  # feet of the three rows of words
_GAP = 8.0  # between two words of a row
_YEAR_STEPS = (1, 2, 5, 10, 20, 50, 100)
_ANCHORS = ("middle", "start", "end")
# What keeps its word where there is not room for all; the later one first among those alike.
_RANK = ("due", "overdue", "commissioned", "defect", "planned", "inspected", "defect closed")


@dataclass(frozen=True, slots=True)
class Happening:
    """One thing on a day. `kind` is one of `_RANK` or any other; `words` stand above it, where there is room."""

    day: date
    kind: str
    words: str = ""


class Mark(NamedTuple):
    """A mark on the line, at a share of its length in per cent."""

    kind: str
    at: str


class Span(NamedTuple):
    """A stretch of the line."""

    kind: str
    start: str
    end: str


class Word(NamedTuple):
    """A word with its foot at `y`, standing to its mark as `anchor` says."""

    kind: str
    at: str
    y: int
    anchor: str
    text: str


@dataclass(frozen=True, slots=True)
class LifeLine:
    """All that is drawn."""

    spans: tuple[Span, ...]
    ticks: tuple[str, ...]
    marks: tuple[Mark, ...]
    words: tuple[Word, ...]
    height: int = HEIGHT


class _Placed(NamedTuple):
    """A word that has its place: share of the line, and how far it reaches to the left and right of that, in px."""

    share: float
    low: float
    high: float
    anchor: str


def life_line(happenings: Sequence[Happening], *, today: date, least_width: int) -> LifeLine:
    """Draw what happened up to today, and what is ahead dashed.

    Args:     happenings: one at least, in any order; what lies after today is ahead; least_width: of the sheet, px.
    """
    happenings = sorted(happenings, key=lambda one: one.day)
    first, last = min(happenings[0].day, today), max(happenings[-1].day, today)
    low = date(first.year, 1, 1).toordinal()
    high = last.toordinal() + max(10, round((last.toordinal() - low) * 0.02))

    def share(day: date) -> float:
        return (day.toordinal() - low) / (high - low)

    years = range(first.year, last.year + 1)
    return LifeLine(
        spans=tuple(_spans(happenings, today, share)),
        ticks=tuple(_percent(share(date(year, 1, 1))) for year in years),
        marks=tuple(Mark(one.kind, _percent(share(one.day))) for one in happenings),
        words=(
            *_words_of(happenings, share, least_width),
            _today(share(today), least_width),
            *_year_words(years, share, least_width),
        ),
    )


def _percent(share: float) -> str:
    return f"{share * 100:.2f}%"


def _spans(happenings, today, share):
    yield Span("past", _percent(0), _percent(share(today)))
    if happenings[-1].day > today:
        yield Span("ahead", _percent(share(today)), _percent(share(happenings[-1].day)))
    if missed := [one.day for one in happenings if one.kind == "overdue"]:
        yield Span("late", _percent(share(missed[0])), _percent(share(today)))


def _words_of(happenings, share, width):
    """The words above the marks: those of more weight first, each only where it touches no other."""
    order = {kind: rank for rank, kind in enumerate(_RANK)}
    wanted = [(place, one) for place, one in enumerate(happenings) if one.words]
    wanted.sort(key=lambda each: (order.get(each[1].kind, len(order)), -each[0]))
    taken: list[_Placed] = []
    for _, one in wanted:
        if placed := _place(one.words, share(one.day), taken, width):
            taken.append(placed)
            yield Word(one.kind, _percent(placed.share), _WORDS_AT, placed.anchor, one.words)


def _place(text: str, share: float, taken: Sequence[_Placed], width: float) -> _Placed | None:
    """The word over its mark, else beside it, where it touches none of the others; None where it always would.

    Words keep the order of their marks. So, with every share of a wider sheet, they only move apart.
    """
    long = text_width(text, WORD_SIZE)
    for anchor in _ANCHORS:
        low = {"middle": -long / 2, "start": 0.0, "end": -long}[anchor]
        one = _Placed(share, low, low + long, anchor)
        is_inside = share * width + low >= 0 and share * width + one.high <= width
        if is_inside and all(_apart(one, other, width) for other in taken):
            return one
    return None


def _apart(one: _Placed, other: _Placed, width: float) -> bool:
    left, right = (one, other) if one.share < other.share else (other, one)
    return left.share * width + left.high + _GAP <= right.share * width + right.low


def _today(share: float, width: float) -> Word:
    placed = _place("today", share, (), width) or _Placed(share, 0, 0, "middle")
    return Word("today", _percent(share), _TODAY_AT, placed.anchor, "today")


def _year_words(years: range, share, width: float):
    """As many years as stand beside each other, evenly apart."""
    for step in _YEAR_STEPS:
        taken: list[_Placed] = []
        shown = [year for year in years if year % step == 0] or [years[0]]
        for year in shown:
            placed = _place(str(year), share(date(year, 1, 1)), taken, width)
            # The last may lie too near the edge; of the others each has room, or there are too many.
            if placed is None and year != shown[-1]:
                break
            if placed:
                taken.append(placed)
        else:
            break
    return [
        Word("year", _percent(placed.share), _YEARS_AT, placed.anchor, str(year))
        for year, placed in zip(shown, taken, strict=False)
    ]
