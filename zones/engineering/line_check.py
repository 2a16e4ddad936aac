"""Findings about monitored lines: does each state fall in its resistance range with all tolerances at their worst?"""

import math
from dataclasses import replace
from enum import StrEnum
from functools import lru_cache, partial
from operator import attrgetter
from typing import NamedTuple

from zones.engineering.conductors import Conductor
from zones.engineering.detection_lines import (
    NORMAL,
    PANEL_TERMINALS,
    AlarmWiring,
    Bound,
    DetectionLine,
    EndOfLineResistor,
    LineDevice,
    LineModel,
    LineRole,
    LineState,
    Span,
    alarm_states,
    line_model,
    removal_of,
)
from zones.engineering.findings import (
    Figure,
    Finding,
    Severity,
    all_when_read,
    at_most,
    counted,
    listed,
    missing,
    note,
    question,
    verdict,
    verdict_when_read,
    when_read,
)
from zones.engineering.line_alarms import alarm_findings
from zones.engineering.line_ranges import RangeName, lies_in, practice_of_line, range_of, ranges_of
from zones.engineering.line_words import (
    FORMULA,
    figures_of,
    finite,
    kohm_figure,
    meter_in_words,
    ohm_in_words,
    range_in_words,
    span_in_words,
)
from zones.engineering.quantities import QUANTITIES, questions_about
from zones.engineering.sources import DATA_SHEET, EN_54_2, EN_54_5, OHMS_LAW, PRACTICE
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice

_OF_DEVICE = (("alarm_resistance", "alarm_ohm"), ("length", "length_m"), ("device_current", "quiescent_current_a"))
_LENGTH = QUANTITIES["length"]
_OF_ELEMENT = (("resistance", "resistance_ohm"), ("tolerance", "tolerance"))


class StateKind(StrEnum):
    """What has happened to a line, in a word."""

    NORMAL = "normal"
    ALARM = "alarm"
    TOGETHER = "two alarms together"
    REMOVED = "removed"
    BREAK = "break"
    SHORT = "short"


# What the panel should make of each; a head taken out is any fault, only never normal and never an alarm.
WANTED_RANGES = {
    StateKind.NORMAL: frozenset({RangeName.NORMAL}),
    StateKind.ALARM: frozenset({RangeName.ALARM}),
    StateKind.TOGETHER: frozenset({RangeName.ALARM}),
    StateKind.REMOVED: frozenset({RangeName.OPEN, RangeName.UNDEFINED, RangeName.SHORT}),
    StateKind.BREAK: frozenset({RangeName.OPEN}),
    StateKind.SHORT: frozenset({RangeName.SHORT}),
}


class SeenState(NamedTuple):
    """One state of a line: what it is, what the panel sees, what the panel makes of it."""

    name: str
    span: Span
    ranges: set[RangeName]
    kind: StateKind

    @property
    def as_wanted(self) -> bool:
        """Whether the panel tells this state for what it is, with all tolerances at their worst."""
        return self.ranges <= WANTED_RANGES[self.kind]


def missing_figures(line: DetectionLine) -> list[tuple[str, list[str]]]:
    """What must be known before a line can be computed: (figure in words, whose)."""
    if not line.is_input and _is_complete(line):
        return []
    gaps = [
        (what, [device.name for device in line.devices if getattr(device, field) is None])
        for what, field in (
            ("cable length", "length_m"),
            ("cable section or class", "conductor"),
            ("alarm resistance", "alarm_ohm"),
            ("quiescent current", "quiescent_current_a"),
        )
    ]
    if line.is_input:
        gaps = gaps[:2]  # a contact draws nothing from it, and what it says is no alarm resistance
    heads = [device for device in line.devices if device.kind == LineRole.DETECTOR]
    gaps.append(("effect of taking out the head", [head.name for head in heads if head.removal_opens_line is None]))
    gaps.append(("resistance", ["the end-of-line resistor"] * any(e.resistance_ohm is None for e in line.elements)))
    draws = any(device.quiescent_current_a for device in line.devices)
    gaps.append(("voltage", [line.name] if draws and line.line_voltage_v is None else []))
    return [(what, owners) for what, owners in gaps if owners]


_NEEDED = attrgetter("length_m", "conductor", "alarm_ohm", "quiescent_current_a")


def _is_complete(line):
    """Whether nothing lacks at all, as of most lines: sooner answered than what lacks."""
    return (
        line.line_voltage_v is not None
        and not any([None in _NEEDED(device) for device in line.devices])
        and None not in [one.removal_opens_line for one in line.devices if one.kind == LineRole.DETECTOR]
        and None not in [element.resistance_ohm for element in line.elements]
    )


def states_seen(line: DetectionLine, practice: TradePractice = TRADE_PRACTICE) -> list[SeenState]:
    """Every state of a line as the panel sees it: normal, alarms, removals, breaks and shorts at any joint.

    For a plot of the ranges and for the engineer's table. All figures must be known.
    """
    practice = practice_of_line(line, practice) or practice
    model = line_model(line, practice=practice)
    named = [("normal", NORMAL, StateKind.NORMAL)]
    named += [
        (name, state, StateKind.ALARM if len(state.in_alarm) == 1 else StateKind.TOGETHER)
        for name, state in alarm_states(line, together=2)
    ]
    named += [
        (f"{device.name} removed", removal_of(k), StateKind.REMOVED)
        for k, device in enumerate(line.devices)
        if device.kind == LineRole.DETECTOR
    ]
    joints = [f"before {device.name}" for device in line.devices]
    if line.devices:
        joints.append(f"after {line.devices[-1].name}")
    named += [(f"break {joint}", LineState(break_before=k), StateKind.BREAK) for k, joint in enumerate(joints)]
    named += [(f"short {joint}", LineState(short_before=k), StateKind.SHORT) for k, joint in enumerate(joints)]
    seen = []
    for name, state, kind in named:
        span = model.span(state)
        seen.append(SeenState(name, span, ranges_of(span, practice), kind))
    return seen


def meter_reads_ohm(line: DetectionLine, practice: TradePractice = TRADE_PRACTICE) -> Span:
    """What an ohmmeter must read at the terminals with the line disconnected from the panel, devices at rest."""
    least = practice.cable_least_fraction
    return line_model(line, practice=practice, powered=False, cable_least_fraction=least).span()


def has_element_at_end(line: DetectionLine) -> bool:
    """Whether there is one resistor, at the last device or the terminals of an unused line: else nothing to compute."""
    place = line.devices[-1].name if line.devices else PANEL_TERMINALS
    return [element.at for element in line.elements] == [place]


def check_line(line: DetectionLine, practice: TradePractice = TRADE_PRACTICE) -> list[Finding]:
    """All states of one line against the ranges. Number and place of elements: consistency.check_line_ends.

    Source:   ranges are common practice [P]; faults on monitored lines are to be reported: EN 54-2 [M].
    """
    findings = _questions(line)
    if not has_element_at_end(line):
        return findings  # said once, by check_line_ends
    unchecked = f"{line.title[:1].lower()}{line.title[1:]}"
    gaps, of_line = missing_figures(line), practice_of_line(line, practice)
    if of_line is None:
        gaps.append(("resistance ranges", [line.origin]))
    if gaps:
        for what, owners in gaps:
            findings.append(missing("line.states", line.name, what, owners, DATA_SHEET, not_checked=unchecked))
        return findings
    verdicts = _of_line_alike(line, of_line)
    judge = partial(_judged, line, of_line)
    return findings + (judge() if verdicts is None else all_when_read(verdicts, line.name, judge))


def _judged(line: DetectionLine, practice: TradePractice) -> list[Finding]:
    return _findings(line, line_model(line, practice=practice), practice)


def _findings(line: DetectionLine, model: LineModel, practice: TradePractice) -> list[Finding]:
    findings = [_normal_finding(line, model, practice), _meter_note(line, practice)]
    if line.devices and not line.is_input:
        findings += alarm_findings(line, model, practice)
        findings += [_break_finding(line, model, practice), _short_finding(line, model, practice)]
        findings += _removal_findings(line, model, practice)
    return findings


# Lines alike --------------------------------------------------------------------------------------------------------


def _of_line_alike(line: DetectionLine, practice: TradePractice) -> tuple[tuple[str, Severity], ...] | None:
    """(code, severity) of each finding, where a line that differs only by more cable meets everything.

    Ranges are compared with no cable at all and with all of it: the first is the same for both lines, and the second
    only grows with the cable, most where all of it lies before the first device. ``None``: judge the line by itself.
    """
    if any(device.alarm_wiring is not AlarmWiring.PARALLEL for device in line.devices):
        return None  # which of them together are seen as most depends on the cable between them
    more_ohm = 2.0 ** (math.floor(math.log2(max(line.cable_ohm(), 1.0))) + 1)
    (element,) = line.elements
    of_line = element.resistance_ohm, element.tolerance, line.line_voltage_v, line.keeps_first_alarm, line.is_input
    return _verdicts_alike(tuple([device.what for device in line.devices]), of_line, more_ohm, practice)


@lru_cache(maxsize=1024)  # few kinds of line in a portfolio
def _verdicts_alike(kinds, of_line, cable_ohm, practice):
    resistance_ohm, tolerance, line_voltage_v, keeps_first_alarm, is_input = of_line
    cable = {"length_m": 1.0, "conductor": Conductor(1.5, 1)}  # its resistance is replaced below
    devices = tuple(LineDevice(str(k), **cable, **dict(one.figures)) for k, one in enumerate(kinds))
    element = EndOfLineResistor(devices[-1].name if devices else PANEL_TERMINALS, resistance_ohm, tolerance)
    alike = DetectionLine(
        *("", devices, (element,), line_voltage_v), keeps_first_alarm=keeps_first_alarm, is_input=is_input
    )
    sections_ohm = (cable_ohm, *[0.0] * (len(devices) - 1)) if devices else ()
    model = replace(line_model(alike, practice=practice), sections_ohm=sections_ohm)
    found = [(one.code, one.severity) for one in _findings(alike, model, practice)]
    # How many alarms read as something else is decided by the least that is seen, in which no cable counts.
    rest_on_cable = [severity for code, severity in found if code != "line.alarm_together"]
    return None if Severity.FAIL in rest_on_cable else tuple(found)


def _normal_finding(line: DetectionLine, model: LineModel, practice: TradePractice) -> Finding:
    passed = lies_in(model.normal, RangeName.NORMAL, practice)
    return verdict_when_read("line.normal", line.name, passed, lambda: _normal_told(line, model, practice, passed))


def _normal_told(line: DetectionLine, model: LineModel, practice: TradePractice, passed: bool) -> Finding:
    span = model.normal
    low, high = practice.normal_low_ohm, practice.normal_high_ohm
    draws = ", with what its devices draw at rest," if any(model.loads_s) else ""
    words = f"{line.title}{draws} is {span_in_words(span)} at {line.origin_words}"
    return verdict(
        *("line.normal", line.name, passed),
        f"{words}; the normal range is {range_in_words(low, high)}",
        f"{words}; that leaves the normal range of {range_in_words(low, high)}. Fit the resistor that "
        f"{line.origin_words} asks for, or fewer devices on this line.",
        *(PRACTICE, figures_of(span, low, high), FORMULA),
    )


def _break_finding(line: DetectionLine, model: LineModel, practice: TradePractice) -> Finding:
    """A break anywhere must look open; devices that draw current before it can hide it.

    The farther the break, the more devices lie before it: the one after the last device is the worst.
    """
    joints = len(line.devices) + 1
    least_ohm = model.seen_ohm(LineState(break_before=joints - 1), Bound.LOW)
    passed = range_of(least_ohm, practice) == RangeName.OPEN
    told = partial(_break_told, line, practice, joints, least_ohm, passed)
    return verdict_when_read("line.break", line.name, passed, told)


def _break_told(line, practice, joints, least_ohm, passed):
    return verdict(
        *("line.break", line.name, passed),
        f"Line {line.name}: a break at any of {joints} joints is seen as open",
        f"Line {line.name}: a break after {line.devices[-1].name} looks like {ohm_in_words(least_ohm)}, not open "
        f"(above "
        f"{ohm_in_words(practice.open_above_ohm)}): it would not be recognised reliably. Put fewer devices that draw "
        f"current on the line.",
        *(EN_54_2, (Figure("least seen", finite(least_ohm), "ohm"),), FORMULA),
    )


def _short_finding(line: DetectionLine, model: LineModel, practice: TradePractice) -> Finding:
    """A short anywhere must look short; the one at the far end has the most cable before it."""
    joints = len(line.devices) + 1
    greatest_ohm = model.short_at_end_ohm
    passed = range_of(greatest_ohm, practice) == RangeName.SHORT
    told = partial(_short_told, line, practice, joints, greatest_ohm, passed)
    return verdict_when_read("line.short", line.name, passed, told)


def _short_told(line, practice, joints, greatest_ohm, passed):
    return verdict(
        *("line.short", line.name, passed),
        f"Line {line.name}: a short at any of {joints} joints is at most {ohm_in_words(greatest_ohm)}, seen as short",
        f"Line {line.name}: a short after {line.devices[-1].name} can look like {ohm_in_words(greatest_ohm)}, not "
        f"short "
        f"(below {ohm_in_words(practice.short_below_ohm)}). Use a larger section or a shorter line.",
        *(EN_54_2, (Figure("greatest seen", round(greatest_ohm, 1), "ohm"),), FORMULA),
        compared=at_most(
            round(greatest_ohm, 1), practice.short_below_ohm, "Ω", practice.short_below_ohm - greatest_ohm
        ),
    )


def _removal_findings(line: DetectionLine, model: LineModel, practice: TradePractice) -> list[Finding]:
    """Removing a head must be seen as a fault, and must not cut off call points beyond it."""
    findings = []
    heads = [k for k, device in enumerate(line.devices) if device.kind == LineRole.DETECTOR]
    unseen = [
        line.devices[k].name
        for k in heads
        if not ranges_of(model.ends(removal_of(k)), practice) <= WANTED_RANGES[StateKind.REMOVED]
    ]
    if heads:
        findings.append(
            verdict_when_read("line.removal", line.name, not unseen, partial(_removal_told, line, heads, unseen))
        )
    cutting = [k for k in heads if line.devices[k].removal_opens_line]
    after = [d.name for d in line.devices[cutting[0] + 1 :] if d.kind == LineRole.CALL_POINT] if cutting else []
    if after:
        sentence = (
            f"Line {line.name}: taking out {line.devices[cutting[0]].name} cuts off {listed(after)}. Put call points "
            f"before detectors, or on a line of their own."
        )
        findings.append(question("line.call_point_order", line.name, sentence, PRACTICE))
    return findings


def _removal_told(line, heads, unseen):
    return verdict(
        *("line.removal", line.name, not unseen),
        f"Line {line.name}: taking out any of {counted(len(heads), 'detector')} is seen as a fault",
        f"Line {line.name}: taking out {listed(unseen)} is not seen as a fault. Use bases that interrupt "
        f"the line, or devices that report their absence.",
        *(EN_54_5, (Figure("detectors", len(heads)),), FORMULA),
    )


def _meter_note(line: DetectionLine, practice: TradePractice) -> Finding:
    return when_read("line.meter", Severity.NOTE, line.name, lambda: _meter_told(line, practice))


def _meter_told(line, practice):
    span = meter_reads_ohm(line, practice)
    sentence = (
        f"{line.title}, disconnected at {line.origin_words} and at rest: a meter must read {meter_in_words(span)}, "
        f"nominally {kohm_figure(span.nominal_ohm / 1000)} kΩ. That does not prove that the resistor is at the true "
        f"end: remove the last device and see the fault."
    )
    inputs = (Figure("cable", round(line.cable_ohm(), 2), "ohm"), Figure("reading", span.nominal_ohm, "ohm"))
    return note("line.meter", line.name, sentence, OHMS_LAW, inputs, "cable + end-of-line resistor")


def _questions(line: DetectionLine) -> list[Finding]:
    sentences = []
    for device in line.devices:
        if device.is_unusual or not _LENGTH.is_usual(device.length_m):
            sentences += questions_about(_OF_DEVICE, device, subject=device.name)
    for element in line.elements:
        sentences += questions_about(_OF_ELEMENT, element, subject="element")
    sentences += questions_about((("voltage", "line_voltage_v"),), line)
    return [question("figure.unusual", line.name, f"{line.title}: {words}", PRACTICE) for words in sentences]
