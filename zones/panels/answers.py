"""The answers at the head of a panel's page: what its design check and its wiring say, as figures on bars.

Nothing is judged here: state and figures are those of the findings, so that this page and the design check agree.
"""

from collections import defaultdict
from dataclasses import dataclass

from zones.design_check.batteries import battery_findings, topics_of
from zones.design_check.findings import SHOWN, heading_of
from zones.design_check.parts import circuit_name, line_name
from zones.design_check.ports import input_name, link_name
from zones.engineering.findings import Severity, listed, worst_severity
from zones.engineering.quantities import rounded_down, rounded_up
from zones.wiring.state import WiringState

NOTHING_KNOWN = SHOWN[Severity.MISSING]
FULL = 1.1  # a bar ends a tenth beyond the greater of figure and limit
VOLTAGE = "cable."
WHEN = {
    "cable.voltage": "running",
    "cable.voltage_starting": "while starting",
    "cable.voltage_fire": "in the fire",
    "cable.voltage_fire_starting": "in the fire, while starting",
}


@dataclass(frozen=True, slots=True)
class MeasuredAnswer:
    """One answer: a figure ("19.6") with its words ("of 24 A"), a bar and the state that the check gives it.

    `figure` is empty where it is not known; then the bar is empty too. `filled`, `limit`: per cent of the bar. A range
    is filled from `starts` on and has `limit_above` too.
    """

    heading: str
    key: str
    word: str
    more: str = ""
    tag: str = ""
    figure: str = ""
    words: str = ""
    filled: float = 0.0
    limit: float | None = None
    starts: float = 0.0
    limit_above: float | None = None
    wiring: WiringState | None = None


@dataclass(frozen=True, slots=True)
class RunCheck:
    """What the check says of one circuit, line, data link or input; figures of a circuit, None where not known."""

    key: str
    word: str
    current_a: float | None = None
    limit_a: float | None = None
    lowest_v: float | None = None


def answers_of(checked, wiring) -> list[MeasuredAnswer]:
    """Supply, lowest voltage, battery and monitored lines of a panel."""
    return [_supply(checked), _voltage(checked), _battery(checked), _lines(checked, wiring)]


def _supply(checked):
    heading = "Supply, actuators running"
    found = _of(checked, ("supply.panel", "supply.sequence", "supply.starting"))
    if not found:
        return unknown_answer(heading, "no circuit recorded")
    state = SHOWN[worst := worst_severity(found)]
    figures = {name: value for one in found for name, value, _ in one.inputs}
    if worst == Severity.MISSING and "motors" not in figures:
        return MeasuredAnswer(heading, *state, more=lacking_words(found))
    if "groups" in figures:
        return MeasuredAnswer(heading, *state, figure=f"{figures['groups']}", words="groups one after another")
    total_a = sum(figures[name] for name in ("motors", "panel in alarm", "charger"))
    rated_a = figures["rated current of the supply"]
    more = left_words(rated_a - total_a, "A")
    if "peak" in figures and worst == Severity.MISSING:
        more = f"{rounded_up(figures['peak'], 2):g} A at the start"
    return MeasuredAnswer(
        heading, *state, more, figure=f"{total_a:.2f}", words=f"of {rated_a:g} A", **bar_of(total_a, rated_a)
    )


def _voltage(checked):
    found = checked.findings
    unknown = {one.subject for one in found if one.code.startswith(VOLTAGE) and one.severity == Severity.MISSING}
    number = len(checked.design.circuits)
    return lowest_voltage(found, lacking=f"{len(unknown)} of {number} circuit{'' if number == 1 else 's'}")


def lowest_voltage(findings, *, lacking):
    """The lowest voltage that these findings speak of; `lacking` is said where it is not known."""
    heading = "Lowest voltage at an actuator"
    found = [one for one in findings if one.code.startswith(VOLTAGE) and one.severity != Severity.NOTE]
    if not found:
        return unknown_answer(heading, "no actuator on a circuit")
    state = SHOWN[worst := worst_severity(found)]
    if worst == Severity.MISSING:
        return MeasuredAnswer(heading, *state, more=lacking)
    decisive = min(filter(_margin_v, found), key=lambda one: _margin_v(one)[0], default=None)
    if decisive is None or any(one.severity == Severity.FAIL and not _margin_v(one) for one in found):
        failing = listed(dict.fromkeys(one.subject for one in found if one.severity == Severity.FAIL))
        return MeasuredAnswer(heading, *state, more=failing)
    (margin_v, least_v, volts, actuator) = _margin_v(decisive)
    sources = [value for name, value, _ in decisive.inputs if name.startswith("source ")]
    return MeasuredAnswer(
        f"{heading}, {WHEN[decisive.code]}",
        *state,
        left_words(margin_v, "V", under="too low"),
        tag=actuator,
        figure=f"{volts:.2f}",
        words=f"V, least {least_v:g} V",
        **bar_of(volts, least_v, full=max(*sources, volts, least_v)),
    )


def _margin_v(finding):
    """(margin, least, voltage, tag of the actuator) of a finding about the voltages of a circuit; None of others."""
    figures = {name: value for name, value, _ in finding.inputs}
    if finding.code not in WHEN or "margin" not in figures:
        return None
    margin_v, least_v = figures["margin"], figures["minimum voltage"]
    (actuator,) = (name.removeprefix("route to ") for name in figures if name.startswith("route to "))
    return margin_v, least_v, round(least_v + margin_v, 2), actuator


def _battery(checked):
    battery = checked.design.battery
    found = battery_findings(checked)
    figures = {name: value for one in found if one.code == "battery.capacity" for name, value, _ in one.inputs}
    heading = f"Standby battery, {figures['standby']:g} h" if figures.get("standby") else "Standby battery"
    state = SHOWN[worst := worst_severity(found)]
    needed_ah = figures.get("required capacity")
    if worst == Severity.MEETS:
        more = left_words(battery.capacity_ah - needed_ah, "Ah")
    elif worst == Severity.MISSING:
        more = lacking_words(found)
    else:
        more = topics_of(found, worst)
    if needed_ah is None:
        return MeasuredAnswer(heading, *state, more)
    bar = bar_of(battery.capacity_ah, needed_ah)
    return MeasuredAnswer(
        heading, *state, more, figure=f"{battery.capacity_ah:g}", words=f"Ah, {needed_ah:g} Ah needed", **bar
    )


def _lines(checked, wiring):
    heading, ends = "Monitored lines", [one for one in checked.findings if one.code == "consistency.line_end"]
    if not ends:
        return MeasuredAnswer(heading, *NOTHING_KNOWN, "nothing recorded of its lines", wiring=wiring)
    ended = sum(one.severity == Severity.MEETS for one in ends)
    found = [*ends, *(one for one in checked.findings if one.code.startswith("line."))]
    worst = worst_severity(found)
    count = len({one.subject for one in found if one.severity == worst})
    more = "" if worst == Severity.MEETS else f"{count} of {len(ends)}"
    words = f"of {len(ends)} with the end of line in place"
    filled = 100 * ended / len(ends)
    return MeasuredAnswer(heading, *SHOWN[worst], more, figure=f"{ended}", words=words, filled=filled, wiring=wiring)


def area_measured(area) -> MeasuredAnswer:
    """The free area of a zone (an `AreaAnswer`) against what is required."""
    figures = [figure for line in area.lines if line.finding.code == "area.zone" for figure in line.finding.inputs]
    opens = [one.value for one in figures if one.name == "sum"]
    wanted = [one.value for one in figures if one.name.startswith("required,")]
    if not opens or not wanted:
        return MeasuredAnswer("Free area", area.key, area.word, "replacement air" if area.is_of_air else "")
    left = left_words(opens[0] - wanted[0], "m²", under="too little", digits=3)
    if area.is_of_air:  # it is not the area of the outlets that decides
        left = "replacement air"
    words = f"of {wanted[0]:g} m² required"
    return MeasuredAnswer(
        "Free area", area.key, area.word, left, figure=f"{opens[0]:g}", words=words, **bar_of(opens[0], wanted[0])
    )


def findings_of_runs(checked) -> dict:
    """What the check finds of each circuit, line, data link and monitored input, by its record."""
    found = defaultdict(list)
    for one in checked.findings:
        found[heading_of(checked, one)].append(one)
    return {record: found[heading] for record, heading in headings_of_runs(checked)}


def headings_of_runs(checked):
    """(record, what findings call it) of all circuits, lines, data links and monitored inputs."""
    records = checked.records
    return [
        *((circuit, circuit_name(circuit)) for circuit in records.circuits),
        *((line, f"Line {line_name(line)}") for line in records.lines),
        *((link, link_name(link)) for link in records.links),
        *((one, f"Input {input_name(one)}") for one in records.inputs),
    ]


def checks_of_runs(checked) -> dict:
    """What the check says of each circuit, line, data link and monitored input, by its record."""
    return {record: _check_of(found) for record, found in findings_of_runs(checked).items()}


def _check_of(found):
    worst = worst_severity(found)
    margins = [margin for one in found if (margin := _margin_v(one))]
    figures = {name: value for one in found if one.code == "supply.output" for name, value, _ in one.inputs}
    return RunCheck(
        *(SHOWN[worst] if worst else NOTHING_KNOWN),
        current_a=next((value for name, value in figures.items() if name.startswith("sum of currents")), None),
        limit_a=figures.get("output limit"),
        lowest_v=min(margins)[2] if margins else None,
    )


def _of(checked, codes):
    return [one for one in checked.findings if one.code.startswith(codes) and one.subject == checked.panel.tag]


def unknown_answer(heading, why):
    return MeasuredAnswer(heading, *NOTHING_KNOWN, more=why)


def lacking_words(found):
    names = (figure.name for one in found if one.severity == Severity.MISSING for figure in one.inputs)
    return listed(dict.fromkeys(names), limit=2)


def left_words(quantity, unit, under="too much", digits=2):
    """As many digits as the sentence of the finding has."""
    if quantity >= -1e-9:
        return f"{rounded_down(max(quantity, 0), digits):g} {unit} left"
    return f"{rounded_up(-quantity, digits):g} {unit} {under}"


def bar_of(value, limit, full=None):
    whole = full or max(value, limit) * FULL
    return {"filled": round(100 * value / whole, 1), "limit": round(100 * limit / whole, 1)}
