"""Spans of a figure in several states against the ranges that tell them apart, on a logarithmic axis."""

import math
from dataclasses import dataclass

from zones.plots.labels import beside, shortened, text_width, thinned
from zones.plots.marks import Bar, Mark, Path, Plot, Text, horizontal, vertical
from zones.plots.scales import Log, decades, tick_words

_ROW, _ABOVE, _BELOW = 15.0, 24.0, 34.0
_THICK, _THIN = 7.0, 2.5  # a bar; the least that shows


@dataclass(frozen=True, slots=True)
class ResistanceRange:
    """A range that has a meaning; from 0 or to infinity where one side is free."""

    name: str
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class SpanRow:
    """One state: from its least to its greatest figure; `as_wanted`: it falls where it should."""

    name: str
    low: float
    nominal: float
    high: float
    as_wanted: bool = True


@dataclass(frozen=True, slots=True)
class RangeChart:
    """All that the chart needs; `low` and `high` bound the paper, what lies beyond stands at the edge."""

    key: str
    title: str
    description: str
    label: str
    unit: str
    low: float
    high: float
    ranges: tuple[ResistanceRange, ...]
    rows: tuple[SpanRow, ...]
    columns: tuple[str, ...] = ()
    table: tuple[tuple[str, ...], ...] = ()
    notes: tuple[str, ...] = ()
    width: int = 320


def range_chart(chart: RangeChart) -> Plot:
    """Draw it: ranges as upright bands, states as level bars; one out of its resistance range is hollow with a sign."""
    names = max((text_width(_signed(row)) for row in chart.rows), default=0)
    left = min(names, chart.width * 0.36) + 12
    right = chart.width - 10.0
    bottom = _ABOVE + _ROW * max(1, len(chart.rows)) + 4
    scale = Log(chart.low, chart.high, left, right)
    marks = [*_bands(chart, scale, bottom), *_axis(chart, scale, bottom)]
    for k, row in enumerate(chart.rows):
        marks += _row(row, scale, _ABOVE + _ROW * k + _ROW / 2 + 2)
    return Plot(
        key=chart.key,
        title=chart.title,
        description=chart.description,
        width=chart.width,
        height=round(bottom + _BELOW),
        marks=tuple(marks),
        columns=chart.columns,
        rows=chart.table,
        notes=chart.notes,
    )


def _bands(chart: RangeChart, scale: Log, bottom: float):
    centres = []
    for resistance_range in chart.ranges:
        start, end = scale(resistance_range.low), scale(resistance_range.high)
        yield Bar("band", start, _ABOVE, end - start, bottom - _ABOVE)
        for value in (resistance_range.low, resistance_range.high):
            if chart.low < value < chart.high:
                yield vertical("band-edge", scale(value), _ABOVE - 3, bottom)
        centres.append((start + end) / 2)
    widths = [text_width(resistance_range.name) for resistance_range in chart.ranges]
    low, high = scale.start - 8, chart.width - 1.0
    try:
        placed = list(enumerate(beside(centres, widths, low, high)))
    except ValueError:  # more names than the paper is wide: as many as stand beside each other
        placed = thinned(centres, widths, low, high)
    for k, middle in placed:
        yield Text("band-label", middle, _ABOVE - 8, chart.ranges[k].name, "middle")


def _axis(chart: RangeChart, scale: Log, bottom: float):
    yield horizontal("axis", scale.start, scale.end, bottom)
    values = decades(chart.low, chart.high)
    words = [_power(value) for value in values]
    shown = dict(thinned([scale(value) for value in values], [text_width(w) for w in words], 0, chart.width))
    for k, value in enumerate(values):
        yield vertical("axis", scale(value), bottom, bottom + 4)
        if k in shown:
            yield Text("tick", shown[k], bottom + 15, words[k], "middle")
    yield Text("axis-label", scale.start, bottom + 30, f"{chart.label} ({chart.unit})")


def _power(value: float) -> str:
    return f"{value / 1000:g}k" if value >= 1000 else tick_words((value,))[0]


def _row(row: SpanRow, scale: Log, y: float) -> list[Mark]:
    kind = "span" if row.as_wanted else "span off"
    name = shortened(_signed(row), scale.start - 8)
    marks: list[Mark] = [Text("row-label" if row.as_wanted else "row-label off", scale.start - 8, y + 3.8, name, "end")]
    if row.low >= scale.high:
        marks.append(_arrow(kind, scale.end, y, 1))
        return marks
    if row.high <= scale.low:
        marks.append(_arrow(kind, scale.start, y, -1))
        return marks
    start, end = scale(row.low), scale(row.high)
    if end - start < _THIN:
        middle = (start + end) / 2
        start, end = middle - _THIN / 2, middle + _THIN / 2
    marks.append(Bar(kind, start, y - _THICK / 2, end - start, _THICK))
    if row.high == math.inf:
        marks.append(_arrow(kind, scale.end, y, 1))
    if row.low <= row.nominal <= row.high and row.nominal < math.inf and end - start > 8:
        marks.append(vertical("nominal", scale(row.nominal), y - _THICK / 2, y + _THICK / 2))
    return marks


def _signed(row: SpanRow) -> str:
    return row.name if row.as_wanted else f"■ {row.name}"


def _arrow(kind: str, x: float, y: float, way: int) -> Path:
    """A wedge at the edge: the figure lies beyond the paper."""
    tip, foot = x + 2 * way, x - 6 * way
    return Path(f"{kind} wedge", ((tip, y), (foot, y - 4), (foot, y + 4)), closed=True)
