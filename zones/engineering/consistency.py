"""Does the record hang together? Elements, zones, addressed actuators, identical units, voltages."""

from collections import Counter
from collections.abc import Iterable, Sequence
from functools import partial

from zones.engineering.cause_and_effect.rules import AUTOMATIC_ALARMS, InputKind
from zones.engineering.circuits import ActuatorCircuit, CircuitKind
from zones.engineering.detection_lines import PANEL_TERMINALS, DetectionLine, LineRole
from zones.engineering.device_kinds import KINDS
from zones.engineering.findings import (
    Figure,
    Finding,
    counted,
    fail,
    listed,
    meets,
    missing,
    note,
    question,
    verdict,
    verdict_when_read,
)
from zones.engineering.panel_design import FittedUnit, PanelDesign, ReleaseDevice, VentGroup
from zones.engineering.smoke_zones import SmokeZone
from zones.engineering.sources import DATA_SHEET, DESIGN_ENTRY, EN_54_2, PRACTICE, RECORD
from zones.engineering.vents import Vent, by_zone

# By the words of their kind, and of their role on a line where that is all that is known.
MANUAL_RELEASES = {facts.label for facts in KINDS.values() if facts.input_kind is InputKind.CALL_POINT}
AUTOMATIC_DETECTION = {facts.label for facts in KINDS.values() if facts.input_kind in AUTOMATIC_ALARMS}
AUTOMATIC_DETECTION.add(LineRole.DETECTOR.value)


def check_line_ends(line: DetectionLine) -> Finding:
    """Exactly one end-of-line resistor, at the last device (or in the box before it), or at the terminals where an
    unused line starts.

    Source:   common practice [P]; faults on monitored lines are to be reported: EN 54-2 [M].
    """
    last = line.devices[-1].name if line.devices else PANEL_TERMINALS
    places = [element.at for element in line.elements]
    return verdict_when_read(
        "consistency.line_end", line.name, places == [last], lambda: _line_end_told(line, places, last)
    )


def _line_end_told(line: DetectionLine, places: list[str], last: str) -> Finding:
    code = "consistency.line_end"
    inputs = (Figure("elements", len(places)), Figure("last device", last))
    where = f"at {last}" if line.devices else f"at {line.terminals_words}"
    if line.in_box and line.devices:
        where = f"in the junction box before {last}; what lies behind the box is not monitored"
    if places == [last]:
        spare = "" if line.devices else " It is unused: spare, terminated."
        words = f"{line.title} has one end-of-line resistor, {where}"
        return meets(code, line.name, words, EN_54_2, inputs, more=spare)
    if not places:
        words = f"{line.title} has no end-of-line resistor. Fit one {where}, or record the one that is there."
    elif len(places) > 1:
        words = (
            f"{line.title} has {len(places)} end-of-line resistors, at {listed(places)}; {line.origin_words} sees less "
            f"than one. Leave only the one {where}."
        )
    else:
        words = (
            f"{line.title} has its end-of-line resistor at {places[0]}; what lies beyond is not monitored. Move it "
            f"to {last}."
        )
    return fail(code, line.name, words, EN_54_2, inputs)


def check_circuit_end(circuit: ActuatorCircuit) -> Finding | None:
    """A polarity circuit has one end-of-line module, at an actuator that ends a branch; addressed ones need none."""
    if circuit.kind != CircuitKind.POLARITY or not circuit.actuators:
        return None
    code, subject = "consistency.circuit_end", circuit.name
    places = circuit.end_of_line_at
    if circuit.stub is not None:
        return _end_in_box(circuit)
    if places is None:
        return missing(
            code, subject, "end-of-line module", [circuit.name], RECORD, not_checked=f"monitoring of {subject}"
        )
    feeders = {run.fed_from for run in circuit.runs}
    ends = [one.name for one in circuit.actuators if one.at not in feeders]
    if len(places) != 1:
        words = (
            f"{subject} has {len(places)} end-of-line modules; it needs one, at {listed(ends) or 'its last actuator'}."
        )
        return fail(code, subject, words, PRACTICE, _end_figures(len(places), len(ends)))
    if places[0] not in ends:
        words = (
            f"{subject} has its end-of-line module at {places[0]}, which is not at an end of the cable. Move it to an "
            "end."
        )
        return fail(code, subject, words, PRACTICE, _end_figures(1, len(ends)))
    branches = len({one.at for one in circuit.actuators if one.at not in feeders})
    if branches > 1:
        words = (
            f"{subject} branches into {branches} ends with one end-of-line module, at {places[0]}: the other branches "
            "are "
            f"not monitored. Loop the cable through instead, if the panel's maker asks for it."
        )
        return question(code, subject, words, PRACTICE, _end_figures(1, len(ends)))
    return verdict_when_read(code, subject, True, partial(_end_told, code, subject, places[0], len(ends)))


def _end_told(code, subject, place, ends):
    words = f"{subject} has one end-of-line module, at {place}, the end of its cable"
    return meets(code, subject, words, PRACTICE, _end_figures(1, ends))


def _end_figures(modules, ends):
    return Figure("end-of-line modules", modules), Figure("actuators at an end", ends)


def _end_in_box(circuit: ActuatorCircuit) -> Finding:
    """The module stands in a junction box: how long the stub behind it is, of which no break is reported."""
    code, subject = "consistency.circuit_end", circuit.name
    if not circuit.stub:
        words = "cable run from the junction box of the end-of-line module to the last actuator"
        return missing(code, subject, words, [], RECORD, not_checked=f"monitoring of {subject}")
    runs = [run for run in circuit.runs if run.name in circuit.stub]
    unknown = [run.name for run in runs if run.length_m is None]
    if unknown:
        return missing(code, subject, "length", unknown, RECORD, not_checked=f"stub behind the box of {subject}")
    length_m = sum(run.length_m for run in runs)
    behind = [one.name for one in circuit.actuators if one.at in circuit.stub]
    words = (
        f"{subject} has its end-of-line module in a junction box; the stub of {length_m:g} m behind it, to "
        f"{listed(behind)}, is not monitored"
    )
    inputs = (Figure("stub", length_m, "m"),)
    if len(behind) > 1:
        return question(code, subject, f"{words}. Move the box to the last actuator.", EN_54_2, inputs)
    return meets(code, subject, words, EN_54_2, inputs)


def check_addressed(circuit: ActuatorCircuit) -> Finding | None:
    """The number of actuators that the panel expects, that it finds, and that the record has, all equal."""
    if circuit.kind != CircuitKind.ADDRESSED:
        return None
    code, subject = "consistency.addressed", circuit.name
    for what, value in (
        ("number of actuators set in the panel", circuit.expected_actuators),
        ("number of actuators found by the panel", circuit.found_actuators),
    ):
        if value is None:
            return missing(code, subject, what, [], RECORD, not_checked=f"actuators of {subject}")
    recorded, expected, found = len(circuit.actuators), circuit.expected_actuators, circuit.found_actuators
    inputs = (Figure("recorded", recorded), Figure("expected", expected), Figure("found", found))
    alike = recorded == expected == found
    remedy = "Look for the one that does not report, then teach the panel again."
    if found > expected or recorded > expected:
        remedy = "Set the panel to the actuators that are fitted, and complete the record."
    return verdict(
        *(code, subject, alike),
        f"{subject}: {counted(found, 'actuator')} expected, found and recorded",
        f"{subject}: {counted(expected, 'actuator')} expected, {found} found, {recorded} recorded. {remedy}",
        *(RECORD, inputs, "expected = found = recorded"),
    )


def check_zones(zones: Sequence[SmokeZone], vents: Sequence[Vent], releases: Sequence[ReleaseDevice]) -> list[Finding]:
    """Every vent in a zone; every zone with a vent, a manual release and, where asked, automatic detection."""
    code = "consistency.zone"
    known = {zone.name for zone in zones}
    kinds_of: dict[str | None, set[str]] = {}
    for release in releases:
        kinds_of.setdefault(release.zone, set()).add(release.kind.replace("_", " "))
    findings = [
        fail("consistency.vent_zone", vent.name, f"Vent {vent.name} is in no zone. Put it in one.", RECORD)
        for vent in vents
        if vent.zone not in known
    ]
    vents_of = by_zone(vents)
    for zone in zones:
        of_zone = vents_of.get(zone.name, [])
        has_outlet = not all(vent.is_inlet for vent in of_zone)
        kinds = kinds_of.get(zone.name, set())
        lacking = [] if has_outlet else ["no smoke outlet" if of_zone else "no vent"]
        lacking += [] if kinds.intersection(MANUAL_RELEASES) else ["no manual call point"]
        if zone.needs_detection is None:
            unchecked = f"detection of zone {zone.name}"
            what = "whether automatic detection is asked for"
            findings.append(missing(code, zone.name, what, [], DESIGN_ENTRY, not_checked=unchecked))
        elif zone.needs_detection and not kinds.intersection(AUTOMATIC_DETECTION):
            lacking.append("no automatic detection, which is asked for")
        told = partial(_zone_told, code, zone.name, lacking)
        findings.append(verdict_when_read(code, zone.name, not lacking, told))
    return findings


def _zone_told(code, name, lacking):
    return verdict(
        *(code, name, not lacking),
        f"Zone {name} has vents and the releases asked for",
        f"Zone {name} has {listed(lacking)}. Fit it, or record the one that is there.",
        RECORD,
    )


def check_groups(groups: Sequence[VentGroup], zones: Sequence[SmokeZone], actuators: Iterable[str]) -> list[Finding]:
    """Each group in one zone that exists, no actuator in two groups, none of its actuators unknown."""
    code, known_zones, known = "consistency.group", {zone.name for zone in zones}, set(actuators)
    findings, taken = [], {}
    for group in groups:
        if group.zone not in known_zones:
            words = f"Vent group {group.name} belongs to no smoke zone. Give it one."
            findings.append(fail(code, group.name, words, RECORD))
        for actuator in group.actuators:
            if actuator not in known:
                words = f"Vent group {group.name} names {actuator}, which is on no circuit. Correct one of the two."
                findings.append(fail(code, group.name, words, RECORD))
            if actuator in taken:
                words = f"{actuator} is in group {taken[actuator]} and in {group.name}. Leave it in one."
                findings.append(fail(code, group.name, words, RECORD))
            taken.setdefault(actuator, group.name)
    return findings


def check_numbering(what: str, panel: str, numbers: tuple[int, ...] | None) -> list[Finding]:
    """Zones or groups mapped in the panel from 1 without a hole and without a double."""
    if numbers is None:
        return []
    if numbers == tuple(range(1, len(numbers) + 1)):  # as nearly always
        return [_numbering(what, panel, numbers, [])]
    doubles = [str(number) for number, count in sorted(Counter(numbers).items()) if count > 1]
    # Not range(1, max): a slip of 4,000,000,000 for 4 must not fill the memory.
    ordered = sorted({number for number in numbers if number > 0})
    holes = [str(a + 1) for a, b in zip([0, *ordered], ordered, strict=False) if b != a + 1]
    wrong = [f"{number} is not a number from 1" for number in numbers if number < 1]
    wrong += [f"number {one} is given twice" for one in doubles] + [f"number {one} is missing" for one in holes]
    return [_numbering(what, panel, numbers, wrong)]


def _numbering(what, panel, numbers, wrong):
    code = f"consistency.{what}_numbers"

    def told():
        return verdict(
            *(code, panel, not wrong),
            f"{panel}: {what}s are numbered one after another",
            f"{panel}: {what}s are not numbered one after another: {listed(wrong)}. Correct the mapping.",
            *(RECORD, (Figure("numbers", listed(sorted(numbers), limit=40)),)),
        )

    return verdict_when_read(code, panel, not wrong, told)


def check_identical_units(panel: str, units: Sequence[FittedUnit]) -> list[Finding]:
    """Identical units on different zones can be told apart by serial; no serial twice."""
    code = "consistency.identical_units"
    findings = []
    by_model: dict[str, list[FittedUnit]] = {}
    for unit in units:
        if unit.model:
            by_model.setdefault(unit.model, []).append(unit)
    for model, alike in by_model.items():
        unknown = [unit.tag for unit in alike if not unit.serial]
        if unknown and len({unit.zone for unit in alike}) > 1:
            words = (
                f"{listed(unit.tag for unit in alike)} are of one model ({model}) on different zones; without a serial "
                f"{listed(unknown)} can be mistaken for another. Record the serials."
            )
            findings.append(question(code, panel, words, RECORD, (Figure("without serial", len(unknown)),)))
        serials = [unit.serial for unit in alike if unit.serial]
        if len(set(serials)) == len(serials):
            continue
        for serial, count in Counter(serials).items():
            if count > 1:
                tags = listed(unit.tag for unit in alike if unit.serial == serial)
                words = f"Serial {serial} stands at {tags}. One of them is wrong: read the labels again."
                findings.append(fail(code, panel, words, RECORD))
    return findings


def check_voltages(panel: str, system_v: float | None, units: Sequence[FittedUnit]) -> list[Finding]:
    """Rated voltages of the units match that of the panel."""
    code = "consistency.voltage"
    unknown = [unit.tag for unit in units if unit.rated_voltage_v is None]
    findings = []
    if not units:
        return []
    if system_v is None:
        return [missing(code, panel, "rated voltage", [panel], DATA_SHEET, not_checked=f"voltages of {panel}")]
    if unknown:
        gap = missing(code, panel, "rated voltage", unknown, DATA_SHEET, not_checked="that it suits the panel")
        findings.append(gap)
    # 24 and 28 V units go together in practice [P]; 12, 48 or 230 V are what must be found.
    wrong = [unit for unit in units if unit.rated_voltage_v and abs(unit.rated_voltage_v / system_v - 1) > 0.2]
    known = [unit for unit in units if unit.rated_voltage_v]
    if known:
        named = listed(f"{unit.tag} ({unit.rated_voltage_v:g} V)" for unit in wrong)
        findings.append(
            verdict(
                *(code, panel, not wrong),
                f"{panel}: {counted(len(known), 'unit')} rated for its {system_v:g} V",
                f"{panel} gives {system_v:g} V; rated otherwise: {named}. Exchange it, or correct the record.",
                *(DATA_SHEET, (Figure("voltage of the panel", system_v, "V"),)),
            )
        )
    return findings


def check_consistency(design: PanelDesign) -> list[Finding]:
    """All consistency checks over one panel."""
    findings = [check_line_ends(line) for line in (*design.lines, *design.inputs)]
    for circuit in design.circuits:
        findings += filter(None, (check_circuit_end(circuit), check_addressed(circuit)))
    findings += check_zones(design.zones, design.vents, design.releases)
    actuators = {one.name for circuit in design.circuits for one in circuit.actuators}
    findings += check_groups(design.groups, design.zones, actuators)
    findings += check_numbering("zone", design.name, design.zone_numbers)
    findings += check_numbering("group", design.name, design.group_numbers)
    findings += _vents_without_actuator(design)
    findings += check_identical_units(design.name, design.units)
    return findings + check_voltages(design.name, design.supply.output_voltage_v, design.units)


def _vents_without_actuator(design: PanelDesign) -> list[Finding]:
    moved = {one.vent for circuit in design.circuits for one in circuit.actuators}
    idle = [vent.name for vent in design.vents if vent.has_actuator and vent.name not in moved]
    if not idle:
        return []
    words = f"{design.name}: no actuator of this panel moves {listed(idle)}. Record which one does."
    return [note("consistency.vent_actuator", design.name, words, RECORD)]
