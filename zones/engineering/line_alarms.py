"""Findings about alarms on a monitored line: one device alone, any number at once, apart from normal and short."""

import math
from collections.abc import Iterable

from zones.engineering.detection_lines import Bound, DetectionLine, LineModel, LineState, Span, alarm_states, between
from zones.engineering.findings import (
    Figure,
    Finding,
    Severity,
    fail,
    listed,
    meets_in_words,
    verdict,
    verdict_when_read,
    when_read,
)
from zones.engineering.line_ranges import RangeName, lies_in, ranges_of
from zones.engineering.line_words import FORMULA, figures_of, ohm_in_words, range_in_words, span_in_words
from zones.engineering.quantities import QuantityError
from zones.engineering.sources import DATA_SHEET, OHMS_LAW, PRACTICE
from zones.engineering.trade_practice import TradePractice

_KEPT = {True: Severity.MEETS, None: Severity.MISSING, False: Severity.FAIL}


def alarm_findings(line: DetectionLine, model: LineModel, practice: TradePractice) -> list[Finding]:
    """Every device in alarm inside the resistance range and apart from normal, alone and any number together."""
    low, high = practice.alarm_low_ohm, practice.alarm_high_ohm
    whole = between(min(model.alone_ohm[Bound.LOW]), max(model.alone_ohm[Bound.HIGH]))
    inside = low <= whole.low_ohm and whole.high_ohm <= high

    def told():
        names = [name for name, _ in alarm_states(line)]
        _, lowest = min(zip(model.alone_ohm[Bound.LOW], names, strict=True))
        _, highest = max(zip(model.alone_ohm[Bound.HIGH], names, strict=True))
        return _alarm_told(line, practice, whole, lowest if whole.low_ohm < low else highest, inside)

    findings = [verdict_when_read("line.alarm", line.name, inside, told), _apart_finding(line, model, whole)]
    return [*findings, *_together_finding(line, model, practice)]


def _alarm_told(line, practice, whole: Span, offender: str, inside: bool) -> Finding:
    low, high = practice.alarm_low_ohm, practice.alarm_high_ohm
    words = f"Line {line.name} with one device in alarm is {span_in_words(whole)}"
    return verdict(
        *("line.alarm", line.name, inside),
        f"{words}; the alarm range is {range_in_words(low, high)}",
        f"{words}; {offender} leaves the alarm range of {range_in_words(low, high)}. Use another alarm resistor "
        f"or set the range that the panel's maker gives.",
        *(PRACTICE, figures_of(whole, low, high), FORMULA),
    )


def _apart_finding(line: DetectionLine, model: LineModel, alarm: Span) -> Finding:
    """Normal, alarm and short must not touch, or no threshold tells them apart."""
    most_ohm, normal = model.short_at_end_ohm, model.normal
    apart = most_ohm < alarm.low_ohm <= alarm.high_ohm < normal.low_ohm or not overlapping(
        _to_be_apart(most_ohm, alarm, normal).items()
    )
    return verdict_when_read("line.apart", line.name, apart, lambda: _apart_told(line, most_ohm, alarm, normal))


def _to_be_apart(most_ohm: float, alarm: Span, normal: Span) -> dict[str, Span]:
    return {"short": Span(0.0, most_ohm / 2, most_ohm), "alarm": alarm, "normal": normal}


def _apart_told(line, most_ohm: float, alarm: Span, normal: Span) -> Finding:
    spans = _to_be_apart(most_ohm, alarm, normal)
    pairs = overlapping(spans.items())
    lower, upper = sorted((alarm, normal))
    limit = "" if pairs else f" A threshold of {ohm_in_words(threshold_ohm(lower, upper))} parts normal from alarm."
    inputs = tuple(Figure(name, f"{span.low_ohm:.1f} to {span.high_ohm:.1f}", "ohm") for name, span in spans.items())
    formula = "threshold = geometric mean of the ends that face each other"
    if pairs:
        sentence = (
            f"Line {line.name}: with tolerances at their worst, "
            f"{listed(' and '.join(pair) for pair in pairs)} overlap. Use closer tolerances or another alarm resistor."
        )
        return fail("line.apart", line.name, sentence, OHMS_LAW, inputs, formula)
    sentence = (
        f"Line {line.name}: short, alarm and normal do not overlap.{limit} Within the entered limits ({DATA_SHEET})."
    )
    return meets_in_words("line.apart", line.name, sentence, OHMS_LAW, inputs, formula)


def overlapping(spans: Iterable[tuple[str, Span]]) -> list[tuple[str, str]]:
    """Pairs of states whose spans touch, so that no threshold can tell them apart."""
    ordered = sorted(spans, key=lambda pair: (pair[1].low_ohm, pair[1].high_ohm))
    pairs = []
    for k, (name, span) in enumerate(ordered):
        pairs += [(name, other) for other, later in ordered[k + 1 :] if later.low_ohm <= span.high_ohm]
    return pairs


def threshold_ohm(lower: Span, upper: Span) -> float:
    """Where to put the limit between two states, ohm: the geometric mean of the ends that face each other."""
    if lower.high_ohm >= upper.low_ohm:
        raise QuantityError("spans", f"{lower.high_ohm:g} and {upper.low_ohm:g}", "apart from each other")
    return math.sqrt(lower.high_ohm * upper.low_ohm)


def crowds(line: DetectionLine, model: LineModel) -> list[tuple[int, Span]]:
    """(how many, what is seen) with 1, 2, … all devices in alarm at once, the least and the most at each number."""
    return [(number, _crowd(model, number)) for number in range(1, len(line.devices) + 1)]


def _crowd(model: LineModel, number: int) -> Span:
    """What is seen with so many devices in alarm at once.

    Devices across the line only lower what is seen, those in it only raise it: of a number of them those count that
    do it most when alone.
    """
    if number == 1:
        return between(min(model.alone_ohm[Bound.LOW]), max(model.alone_ohm[Bound.HIGH]))
    if number == len(model.sections_ohm):
        lowest = highest = LineState(in_alarm=frozenset(range(number)))
    else:
        lowest, highest = (LineState(in_alarm=frozenset(places[:number])) for places in model.by_alarm)
    return between(model.seen_ohm(lowest, Bound.LOW), model.seen_ohm(highest, Bound.HIGH))


def _together_finding(line: DetectionLine, model: LineModel, practice: TradePractice) -> list[Finding]:
    """From how many devices in alarm at once the line reads as something else: then the first alarm must be kept."""
    numbers = range(len(line.devices), 1, -1)  # all at once is the farthest from one, so that most need no second look
    if all(lies_in(_crowd(model, number), RangeName.ALARM, practice) for number in numbers):
        return []
    return [
        when_read(
            *("line.alarm_together", _KEPT[line.keeps_first_alarm], line.name),
            lambda: _together_told(line, model, practice),
        )
    ]


def _together_told(line: DetectionLine, model: LineModel, practice: TradePractice) -> Finding:
    outside = [
        (number, span, ranges - {RangeName.ALARM})
        for number, span in crowds(line, model)[1:]
        if (ranges := ranges_of(span, practice)) != {RangeName.ALARM}
    ]
    first: dict[str, int] = {}
    for number, _, ranges in outside:
        for name in sorted(ranges):
            first.setdefault(str(name), number)
    said = listed(f"{number} may read as {name}" for name, number in first.items())
    number, span, _ = outside[0]
    low, high = practice.alarm_low_ohm, practice.alarm_high_ohm
    words = (
        f"Line {line.name}: of {len(line.devices)} devices in alarm at once {said}; {number} together are "
        f"{span_in_words(span)}, the alarm range is {range_in_words(low, high)}"
    )
    return _kept_told(line, words, (*figures_of(span, low, high), Figure("devices in alarm", number)))


def _kept_told(line: DetectionLine, words: str, inputs: tuple[Figure, ...]) -> Finding:
    """What more alarms do to the reading matters only where the first one is not kept."""
    code, keeper = "line.alarm_together", line.origin_words
    if line.keeps_first_alarm:
        sentence = f"{words}: within the entered limit ({DATA_SHEET}), because {keeper} keeps the first alarm."
        return meets_in_words(code, line.name, sentence, DATA_SHEET, inputs, FORMULA)
    if line.keeps_first_alarm is None:
        sentence = (
            f"{words}. Whether {keeper} keeps the first alarm is not known: more alarms on line {line.name} not "
            f"checked. "
            f"Enter it from the data sheet to get a verdict."
        )
        unknown = Figure("whether the first alarm is kept", None)
        return Finding(code, Severity.MISSING, line.name, sentence, DATA_SHEET, (unknown, *inputs), FORMULA)
    sentence = f"{words}, and {keeper} does not keep the first alarm. Widen the range or use a larger resistor."
    return fail(code, line.name, sentence, DATA_SHEET, inputs, FORMULA)
