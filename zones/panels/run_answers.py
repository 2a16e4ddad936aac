"""The answers at the head of the page of a circuit or a line: what its design check says, as figures on bars.

As in `answers.py` nothing is judged here. Each finding of the run counts in one of the four answers, so that the worst
of them is what the check says of the run.
"""

import re
from dataclasses import dataclass, replace
from math import isfinite

from zones.design_check.findings import SHOWN, TO_ACT_ON, groups_of
from zones.engineering.detection_lines import Span
from zones.engineering.findings import Severity, worst_first, worst_severity
from zones.engineering.line_words import ohm_in_words, span_in_words
from zones.models.kinds import DRIVES
from zones.panels.answers import (
    FULL,
    VOLTAGE,
    MeasuredAnswer,
    bar_of,
    findings_of_runs,
    headings_of_runs,
    lacking_words,
    left_words,
    lowest_voltage,
    unknown_answer,
)
from zones.panels.contents import count_of_actuators

CURRENT, TIME = "supply.output", "time."
NORMAL, ALARM = ("line.normal",), ("line.alarm", "line.apart", "line.call_point_order")
OF_TIME = {"time.run_time": "Run time of the output"}
TOO_MUCH = {"s": "too long"}


@dataclass(frozen=True, slots=True)
class FoundOfRun:
    """What the design check has to act on of a run: a group of findings, None where it has nothing; `number` of all."""

    group: object
    number: int


def standing_of_run(checked, run, *, user, back):
    """`FoundOfRun` of a circuit or line of a checked panel; `back`: where the forms that its findings name lead."""
    heading = dict(headings_of_runs(checked))[run]
    groups = groups_of(checked, severities=TO_ACT_ON, user=user, back=back)
    group = next((group for group in groups if group.heading == heading), None)
    return FoundOfRun(group, len(findings_of_runs(checked)[run]))


def answers_of_circuit(checked, circuit) -> list[MeasuredAnswer]:
    """Actuators, current, lowest voltage and opening time of a circuit."""
    found = [one for one in findings_of_runs(checked)[circuit] if one.severity != Severity.NOTE]
    others = [one for one in found if not one.code.startswith((CURRENT, VOLTAGE, TIME))]
    drives = [one for one in checked.records.on_circuit[circuit.pk] if one.kind in DRIVES]
    runs_for = f"runs for {circuit.run_time_s} s" if circuit.run_time_s else "run time not recorded"
    return [
        _actuators(circuit, drives, others),
        # A rated current that lacks is a finding of the supply of the panel.
        _measured("Current of the output", _of(found, CURRENT), "rated current" if drives else "no actuator"),
        _lowest_voltage(found),
        _measured("Opening time of the slowest", _of(found, TIME), "no actuator", also=runs_for),
    ]


def answers_of_line(checked, line) -> list[MeasuredAnswer]:
    """Devices, resistance at rest and in alarm, and end of a monitored line."""
    found = [one for one in findings_of_runs(checked)[line] if one.severity != Severity.NOTE]
    others = [one for one in found if not one.code.startswith((*NORMAL, *ALARM))]
    devices, lacking = checked.records.on_line[line.pk], lacking_words(others)
    in_alarm = _range("Resistance with one device in alarm", _of(found, ALARM), "line.alarm", lacking)
    return [
        _devices(devices),
        _at_rest(found, lacking),
        *([in_alarm] if devices else []),
        _end(line, others),
    ]


def voltage_of_circuit(checked, circuit) -> MeasuredAnswer:
    return _lowest_voltage(findings_of_runs(checked)[circuit])


def resistance_of_line(checked, line) -> MeasuredAnswer:
    found = findings_of_runs(checked)[line]
    return _at_rest(found, lacking_words(found))


def _lowest_voltage(found):
    return lowest_voltage(found, lacking=lacking_words(_of(found, VOLTAGE)))


def _at_rest(found, lacking):
    return _range("Resistance at rest", _of(found, NORMAL), "line.normal", lacking)


def _of(found, codes):
    return [one for one in found if one.code.startswith(codes)]


def _actuators(circuit, drives, others):
    """How many of the actuators have their unit; what the check says of nothing else is said here."""
    fitted, expected = _fitted(drives), circuit.expected_actuators
    count_key, count_word = count_of_actuators(expected, len(drives))
    key, word, more = _units(len(drives), fitted)
    if key == "fitted" and count_key != "in_order":
        key, word, more = count_key, count_word, ""
    elif key != "fitted" and count_key in ("missing", "open"):
        more = f"{more}, {count_word}".removeprefix(", ")
    worst = worst_severity(others)
    if worst in TO_ACT_ON:
        key, word, more = *SHOWN[worst], f"{word}; {more}".rstrip("; ")
    words = f"of {len(drives)}" if expected is None else f"of {expected} expected"
    whole = max(len(drives), expected or 0, 1)
    return MeasuredAnswer(
        "Actuators fitted", key, word, more, figure=f"{fitted}", words=words, filled=100 * fitted / whole
    )


def _devices(on_it):
    fitted, number = _fitted(on_it), len(on_it)
    heading = "Devices fitted"
    if not number:
        return MeasuredAnswer(heading, "note", "no device on it", figure="0", words="on this line")
    key, word, more = _units(number, fitted)
    return MeasuredAnswer(
        heading, key, word, more, figure=f"{fitted}", words=f"of {number}", filled=100 * fitted / number
    )


def _fitted(on_it):
    return sum(bool(one.serial_here) for one in on_it)


def _units(number, fitted):
    """(key, word, more) of units at so many positions."""
    if not number:
        return "missing", "none recorded", ""
    if fitted < number:
        return "missing", f"{number - fitted} without a unit", ""
    return "fitted", "each has its unit", ""


def _measured(heading, found, nothing, also=""):
    """The worst of these findings against its limit."""
    if not found:
        return unknown_answer(heading, nothing)
    worst = worst_severity(found)
    decisive = next((one for one in worst_first(found) if one.compared), None)
    if decisive is None or worst == Severity.MISSING or (worst == Severity.FAIL and decisive.severity != worst):
        return MeasuredAnswer(heading, *SHOWN[worst], more=lacking_words(found))
    figure, limit, unit, margin, word = _parts_of(decisive.compared)
    is_most = word == "≤"
    words = f"of {limit:g} {unit}" if is_most else f"{unit}, least {limit:g} {unit}"
    more = left_words(margin, unit, under=TOO_MUCH.get(unit, "too much") if is_most else "too short")
    if decisive.code in OF_TIME:
        heading, also = OF_TIME[decisive.code], ""
    more = f"{more}; {also}" if also else more
    return MeasuredAnswer(heading, *SHOWN[worst], more, figure=f"{figure:g}", words=words, **bar_of(figure, limit))


def _parts_of(compared):
    return compared.figure, compared.limit, compared.unit, compared.margin, compared.word


def _range(heading, found, code, lacking):
    """A resistance from its least to its greatest, against the range in which the panel must see it."""
    if not found:
        return unknown_answer(heading, lacking)
    worst = worst_severity(found)
    figures = {name: value for one in found if one.code == code for name, value, _ in one.inputs}
    if "least seen" not in figures:
        return MeasuredAnswer(heading, *SHOWN[worst], more=lacking_words(found))
    least, most, low, high = (figures[name] for name in ("least seen", "greatest seen", "range from", "range to"))
    answer = MeasuredAnswer(
        heading,
        *SHOWN[worst],
        figure=span_in_words(Span(least, least, most)),
        more=f"range {_with_its_unit(span_in_words(Span(low, low, high)))}",
    )
    whole = max(most, high) * FULL
    if not isfinite(whole):  # an open line has no place on a bar
        return answer
    starts, ends, limit, limit_above = (round(100 * one / whole, 1) for one in (least, most, low, high))
    return replace(answer, starts=starts, filled=max(round(ends - starts, 1), 1), limit=limit, limit_above=limit_above)


def _with_its_unit(words):
    """A resistance whose unit goes to no other line than its number."""
    return re.sub(r" (?=k?Ω)", "\N{NO-BREAK SPACE}", words)


def _end(line, others):
    """The resistor at the end; breaks, shorts and heads taken out are judged by it."""
    heading, worst = "End of line", worst_severity(others)
    key, word = SHOWN[worst] if worst else SHOWN[Severity.MISSING]
    more = lacking_words(others) if worst == Severity.MISSING else ""
    if line.end_of_line_ohm is None:
        return MeasuredAnswer(heading, key, word, more="resistance not recorded")
    figure = ohm_in_words(float(line.end_of_line_ohm))
    if line.end_of_line_tolerance_percent is not None:
        figure = f"{figure} ± {line.end_of_line_tolerance_percent.normalize():f} %"
    place = line.get_end_place_display() if line.end_place else "place not recorded"
    return MeasuredAnswer(heading, key, word, more, figure=figure, words=place)
