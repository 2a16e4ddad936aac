"""A monitored line: what the panel sees and what a meter reads in every state."""

from dataclasses import replace
from typing import NamedTuple

from zones.calculators.forms.cables import conductor_of
from zones.calculators.forms.lines import RANGES, LineForm
from zones.calculators.views.base import Answer, CalculatorPage, Head
from zones.engineering import DetectionLine, EndOfLineResistor, LineDevice, LineRole
from zones.engineering.detection_lines import (
    NORMAL,
    PANEL_TERMINALS,
    AlarmWiring,
    LineState,
    Span,
    alarm_states,
    line_model,
)
from zones.engineering.findings import missing
from zones.engineering.line_check import check_line, missing_figures, states_seen
from zones.engineering.line_ranges import ranges_of
from zones.engineering.line_words import ohm_in_words, span_in_words
from zones.engineering.sources import RECORD

LINE = "as entered"


class StateRow(NamedTuple):
    """One state of the line for the table."""

    name: str
    meter: str
    panel: str
    ranges: str


class MonitoredLinePage(CalculatorPage):
    template_name = "zones/calculators/monitored_line.html"
    form_class = LineForm
    heading = "Monitored line"
    lead = "What do the panel and a meter read when all is well, in alarm, with a head out, broken or shorted?"
    hint = "Enter the devices of the line, its cable, its end-of-line resistor and the resistance in alarm."

    def calculate(self, figures, practice):
        practice = with_ranges(practice, figures)
        line, gaps = line_of(figures)
        if gaps:
            return Answer(gaps)
        findings = tuple(one for one in check_line(line, practice) if one.code != "figure.unusual")
        if missing_figures(line):
            return Answer(findings)
        rows, each = _rows(line, practice)
        heads = (Head("a meter reads", rows[0].meter), Head("the panel sees", rows[0].panel))
        return Answer(findings, heads, {"rows": rows, "each": each, "ranges": ranges_in_words(practice)})


def with_ranges(practice, figures):
    """The practice with the ranges that were typed. Raises QuantityError: together they do not rise."""
    typed = {name: figures[name] for name in RANGES if figures[name] is not None}
    return replace(practice, **typed)


def ranges_in_words(practice):
    """(resistance range, from, to) for the page."""
    return [
        ("short circuit", f"below {ohm_in_words(practice.short_below_ohm)}"),
        ("alarm", f"{ohm_in_words(practice.alarm_low_ohm)} to {ohm_in_words(practice.alarm_high_ohm)}"),
        ("normal", f"{ohm_in_words(practice.normal_low_ohm)} to {ohm_in_words(practice.normal_high_ohm)}"),
        ("open circuit", f"above {ohm_in_words(practice.open_above_ohm)}"),
        ("fault, undefined", "everything between"),
    ]


def line_of(figures):
    """(line, findings): the line as typed, or what must be known before there is one."""
    gaps = tuple(
        missing("line.states", LINE, what, [], RECORD, not_checked="the line")
        for what, name in (("number of call points", "call_points"), ("number of detectors", "detectors"))
        if figures[name] is None
    )
    if gaps:
        return None, gaps
    names = [(f"C{k}", LineRole.CALL_POINT) for k in range(1, figures["call_points"] + 1)]
    names += [(f"D{k}", LineRole.DETECTOR) for k in range(1, figures["detectors"] + 1)]
    conductor = conductor_of(figures["size"], figures["conductor_class"])
    length_m = figures["length_m"]
    devices = tuple(
        LineDevice(
            name,
            kind,
            length_m=None if length_m is None else length_m / len(names),
            conductor=conductor,
            alarm_ohm=figures["alarm_ohm"],
            alarm_wiring=AlarmWiring(figures["alarm_wiring"] or AlarmWiring.PARALLEL),
            alarm_tolerance=_share(figures["alarm_percent"]),
            quiescent_current_a=_drawn_a(kind, figures),
            removal_opens_line=figures["removal_opens_line"] if kind == LineRole.DETECTOR else None,
        )
        for name, kind in names
    )
    place = devices[-1].name if devices else PANEL_TERMINALS
    element = EndOfLineResistor(place, figures["end_of_line_ohm"], _share(figures["element_percent"]))
    return DetectionLine(
        *(LINE, devices, (element,)),
        line_voltage_v=figures["line_voltage_v"],
        keeps_first_alarm=figures["keeps_first_alarm"],
    ), ()


def _share(percent):
    return None if percent is None else percent / 100


def _drawn_a(kind, figures):
    if kind == LineRole.CALL_POINT:
        return 0.0
    return None if figures["detector_ua"] is None else figures["detector_ua"] * 1e-6


def _rows(line, practice):
    """(rows by kind of state, rows of each single state)."""
    seen = line_model(line, practice=practice)
    metered = line_model(line, practice=practice, powered=False, cable_least_fraction=practice.cable_least_fraction)

    def row(name, states):
        panel = _whole([seen.span(state) for state in states])
        meter = _whole([metered.span(state) for state in states])
        return StateRow(name, span_in_words(meter), span_in_words(panel), _range_words(ranges_of(panel, practice)))

    rows = [row(name, states) for name, states in _families(line) if states]
    each = [
        StateRow(one.name, "", span_in_words(one.span), _range_words(one.ranges)) for one in states_seen(line, practice)
    ]
    return rows, each


def _families(line):
    alarms = alarm_states(line, together=2)
    single = [state for _, state in alarms if len(state.in_alarm) == 1]
    heads = [k for k, device in enumerate(line.devices) if device.kind == LineRole.DETECTOR]
    joints = range(len(line.devices) + 1) if line.devices else ()
    return (
        ("normal", [NORMAL]),
        ("any one device in alarm", single),
        ("the last two devices in alarm", [state for _, state in alarms if len(state.in_alarm) > 1]),
        ("any one head taken out", [LineState(removed=frozenset({k})) for k in heads]),
        ("broken at any joint", [LineState(break_before=k) for k in joints]),
        ("shorted at any joint", [LineState(short_before=k) for k in joints]),
    )


def _whole(spans):
    low, high = min(span.low_ohm for span in spans), max(span.high_ohm for span in spans)
    return Span(low, spans[0].nominal_ohm, high)


def _range_words(ranges):
    return " or ".join(sorted(str(resistance_range) for resistance_range in ranges))
