"""What the panel sees of a monitored line in each state, against the ranges that tell the states apart."""

import math
from itertools import groupby

from zones.engineering.detection_lines import DetectionLine, Span
from zones.engineering.findings import listed
from zones.engineering.line_check import SeenState, StateKind, states_seen
from zones.engineering.line_ranges import RangeName
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice
from zones.plots.marks import Plot
from zones.plots.range_chart import RangeChart, ResistanceRange, SpanRow, range_chart

_MOST_ROWS = 22  # above it, states of one kind share a row
_LOW_OHM, _HIGH_OHM = 30.0, 100_000.0
_OF_A_KIND = {
    StateKind.ALARM: "in alarm, each",
    StateKind.REMOVED: "removed, each",
    StateKind.BREAK: "breaks",
    StateKind.SHORT: "shorts",
}
# As the ranges are named in the drawing; what lies between them is a fault.
_SEEN_AS = {
    RangeName.SHORT: "short",
    RangeName.ALARM: "alarm",
    RangeName.NORMAL: "normal",
    RangeName.OPEN: "open",
    RangeName.UNDEFINED: "fault",
}


def line_plot(line: DetectionLine, *, key: str, practice: TradePractice = TRADE_PRACTICE) -> Plot:
    """The states of a line as bars from least to greatest, all tolerances at their worst. All figures must be known.

    Args:     key: unique on the page.
    """
    seen = states_seen(line, practice)
    states = seen if len(seen) <= _MOST_ROWS else _by_kind(seen)
    wrong = [state.name for state in states if not state.as_wanted]
    told = f"not recognised as what they are: {listed(wrong)}" if wrong else "each is recognised as what it is"
    return range_chart(
        RangeChart(
            key=key,
            title=f"States of line {line.name}",
            description=f"{len(seen)} states of the line against the ranges of the panel; {told}.",
            label="seen at the panel",
            unit="Ω",
            low=_LOW_OHM,
            high=_HIGH_OHM,
            ranges=ranges_of_practice(practice),
            rows=tuple(SpanRow(one.name, *one.span, one.as_wanted) for one in states),
            columns=("State", "Least Ω", "Most Ω", "Seen as"),
            table=tuple((one.name, _ohm(one.span.low_ohm), _ohm(one.span.high_ohm), _seen_as(one)) for one in states),
            notes=("A bar that is hollow, with ■ before its name, leaves its range.",) if wrong else (),
        )
    )


def ranges_of_practice(practice: TradePractice) -> tuple[ResistanceRange, ...]:
    """The ranges of the panel as ranges, from short to open."""
    return (
        ResistanceRange("short", 0.0, practice.short_below_ohm),
        ResistanceRange("alarm", practice.alarm_low_ohm, practice.alarm_high_ohm),
        ResistanceRange("normal", practice.normal_low_ohm, practice.normal_high_ohm),
        ResistanceRange("open", practice.open_above_ohm, math.inf),
    )


def _by_kind(seen: list[SeenState]) -> list[SeenState]:
    """States that follow each other, of one kind and told alike, as one with the extremes of them all."""
    rows = []
    for (kind, _), group in groupby(seen, key=lambda state: (state.kind, state.as_wanted)):
        same = list(group)
        if len(same) == 1:
            rows += same
            continue
        lows, nominals, highs = zip(*(state.span for state in same), strict=True)
        span = Span(min(lows), sorted(nominals)[len(nominals) // 2], max(highs))
        ranges = set().union(*(state.ranges for state in same))
        rows.append(SeenState(f"{len(same)} {_OF_A_KIND[kind]}", span, ranges, kind))
    return rows


def _ohm(ohm: float) -> str:
    """Three figures and no unit, for a column headed Ω: "9.41 k", "605", "open"."""
    if ohm == math.inf:
        return "open"
    scaled, thousand = (ohm / 1000, " k") if ohm >= 999.5 else (ohm, "")
    decimals = 0 if scaled >= 99.95 else 1 if scaled >= 9.995 else 2
    return f"{scaled:.{decimals}f}{thousand}" if ohm else "0"


def _seen_as(state: SeenState) -> str:
    words = " or ".join(sorted(_SEEN_AS[resistance_range] for resistance_range in state.ranges))
    return words if state.as_wanted else f"■ {words}"
