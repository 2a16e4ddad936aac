"""Rows of the register as engineering's plain data: one function per part of a panel.

``None`` stays "not known". A stored figure that engineering cannot compute with is not used; it goes to `refused`,
a list of findings, with the sentence that says why.
"""

from collections import Counter
from functools import lru_cache
from operator import attrgetter

from zones import engineering
from zones.design_check.cables import conductor_of, device_of_output, run_of
from zones.design_check.stored_figures import first_known, known, not_used, of_model
from zones.engineering.area_methods import INPUT_QUANTITIES, METHODS, AreaInputs
from zones.engineering.copies import renamed
from zones.engineering.detection_lines import PANEL_TERMINALS, AlarmWiring
from zones.engineering.findings import missing, note, question
from zones.engineering.quantities import QuantityError
from zones.engineering.sources import PRACTICE, RECORD
from zones.models.kinds import DRIVES, Drive, EndPlace, facts_of

FORCES = ("push_force_n", "pull_force_n", "lower_push_force_n", "lower_pull_force_n", "holding_force_n")


# Cables and actuators ---------------------------------------------------------------------------------------------


def actuator_of(refused, position, at, vent_name, sheets=None):
    """The actuator at a position, with the data sheet of what is fitted there, else of what is planned.

    Args:     sheets: keeps, by model, an actuator of each data sheet of which nothing is refused: many share one.
    """
    tag, model, sheets = position.tag, position.model_here, {} if sheets is None else sheets
    key = "actuator", model and model.id
    alike = sheets.get(key)
    if alike is None:
        of_sheet = []
        alike = engineering.Actuator(tag, **_data_sheet(of_sheet, tag, model)).worked_out()
        if not of_sheet:
            sheets[key] = alike
        refused += of_sheet
    return renamed(alike, name=tag, at=at, vent=vent_name, vent_key=position.vent_id)


def _data_sheet(refused, tag, model):
    """What engineering's actuator has of its data sheet, by the names of its fields."""

    def figure(name):
        value = getattr(model, name, None)
        return None if value is None else known(refused, tag, name, value)

    least, rated = figure("minimum_voltage_v"), figure("rated_voltage_v")
    if least is not None and rated is not None and least > rated:
        refused.append(not_used(tag, f"least voltage of {least:g} V is above the rated {rated:g} V"))
        least = None
    return {
        "rated_current_a": figure("rated_current_a"),
        "starting_current_a": figure("starting_current_a"),
        "rated_voltage_v": rated,
        "minimum_voltage_v": least,
        "stroke_mm": figure("stroke_mm"),
        "speed_mm_per_s": figure("speed_mm_s"),
        "lower_voltage_v": _below_rated(refused, tag, figure("lower_voltage_v"), rated),
        "lower_speed_mm_per_s": figure("lower_speed_mm_s"),
        "lower_current_a": figure("lower_current_a"),
        "highest_voltage_v": _not_below_rated(refused, tag, figure("highest_voltage_v"), rated),
        "starting_s": figure("starting_s"),
        **{name: figure(name) for name in FORCES},
        "load_model": engineering.LoadModel((model and model.load_kind) or engineering.LoadModel.NOT_KNOWN),
    }


def _below_rated(refused, tag, lower, rated):
    if lower is None or rated is None or lower < rated:
        return lower
    refused.append(not_used(tag, f"lower voltage of {lower:g} V is not below the rated {rated:g} V"))
    return None


def _not_below_rated(refused, tag, highest, rated):
    if highest is None or rated is None or highest >= rated:
        return highest
    refused.append(not_used(tag, f"greatest voltage of {highest:g} V is below the rated {rated:g} V"))
    return None


def circuit_name(circuit):
    """ "Circuit 2 North stair": how findings call it; unique in a panel."""
    return f"Circuit {circuit.number} {circuit.name}".rstrip()


def circuit_of(refused, circuit, records, vent_names):
    """An actuator circuit with its tree of runs and its actuators."""
    key = circuit.pk
    cables, positions = records.circuit_cables[key], [one for one in records.on_circuit[key] if one.kind in DRIVES]
    tags = {cable.pk: cable.tag for cable in cables}
    fed = {cable.feeds_id: cable.tag for cable in cables if cable.feeds_id}
    model, name = records.model, circuit_name(circuit)
    drive = circuit.drive or _drive_of(positions)
    limit = (("current_limit_a", circuit.current_limit_a), ("output_limit_a", getattr(model, "output_limit_a", None)))
    basis, limit_a = records.basis, first_known(refused, name, *limit)
    return engineering.ActuatorCircuit(
        name=name,
        runs=tuple(run_of(refused, cable, tags) for cable in cables),
        actuators=tuple(
            actuator_of(refused, each, fed.get(each.pk), vent_names.get(each.vent_id), records.data_sheets)
            for each in positions
        ),
        kind=engineering.CircuitKind(drive or Drive.POLARITY),
        output_limit_a=limit_a,
        device=device_of_output(refused, circuit, model, name, limit_a),
        output_peak_a=of_model(refused, name, model, "output_peak_a"),
        sequence_step=circuit.sequence_step,
        run_time_s=known(refused, name, "run_time_s", circuit.run_time_s),
        delay_s=known(refused, name, "delay_s", circuit.delay_s) or 0.0,
        fire_minutes=known(refused, name, "fire_minutes", basis.fire_minutes) if basis else None,
        end_of_line_at=_end_of_line_parts(circuit, positions),
        stub=_stub(circuit, positions, cables),
        expected_actuators=circuit.expected_actuators,
        found_actuators=circuit.found_actuators,
    )


def _drive_of(positions):
    """The drive of the actuators where nobody entered the circuit's: one for all, or not known."""
    drives = {position.model_here.drive for position in positions if position.model_here}
    return drives.pop() if len(drives) == 1 else ""


def _end_of_line_parts(circuit, positions):
    match circuit.end_place:
        case EndPlace.LAST_DEVICE:
            return (positions[-1].tag,) if positions else ()
        case EndPlace.PANEL_TERMINAL:
            return (PANEL_TERMINALS,)
        case EndPlace.MISSING | EndPlace.NONE_NEEDED:
            return ()
    return None


def _stub(circuit, positions, cables):
    """Tags of the runs behind the last junction box, where the module stands in one; None where it does not."""
    if circuit.end_place != EndPlace.IN_BOX:
        return None
    by_key, fed = {cable.pk: cable for cable in cables}, {cable.feeds_id: cable for cable in cables if cable.feeds_id}
    last = fed.get(positions[-1].pk) if positions else None
    box = by_key.get(last.upstream_id) if last else None
    if box is None or box.feeds_id:
        return ()  # no cable run says where the box is
    return tuple(cable.tag for cable in cables if box in _upstream_of(cable, by_key))


def _upstream_of(cable, by_key):
    found = []
    while (cable := by_key.get(cable.upstream_id)) is not None and cable not in found:
        found.append(cable)
    return found


# Monitored lines --------------------------------------------------------------------------------------------------


def line_name(line):
    """ "2 North stair": findings put "Line" before it."""
    return f"{line.number} {line.name}".rstrip()


def line_of(refused, line, records):
    """A monitored line: its devices in order, each with the cable that leads to it, and its element."""
    name, model = line_name(line), records.model
    key = line.pk
    positions, cables = records.on_line[key], records.line_cables[key]
    by_key, to_device = {cable.pk: cable for cable in cables}, {cable.feeds_id: cable for cable in cables}
    devices = tuple(
        device_of(refused, position, _cables_to(to_device.get(position.pk), by_key), records.data_sheets)
        for position in positions
    )
    volts = (("line_voltage_v", line.line_voltage_v), ("line_voltage_v", getattr(model, "line_voltage_v", None)))
    return engineering.DetectionLine(
        name=name,
        devices=devices,
        elements=elements_of(refused, line, name, devices),
        in_box=is_in_box(line),
        keeps_first_alarm=getattr(model, "keeps_first_alarm", None),
        line_voltage_v=first_known(refused, f"Line {name}", *volts),
    )


def _cables_to(cable, by_key):
    """The cables from the device before to this one: its own, and those through junction boxes before it."""
    cables = []
    while cable is not None and cable not in cables:
        cables.append(cable)
        cable = by_key.get(cable.upstream_id)
        if cable is not None and cable.feeds_id:
            break
    return cables


def device_of(refused, position, cables, sheets=None):
    """A device of a line with the cables that lead to it.

    Args:     sheets: as for :func:`actuator_of`.
    """
    tag, model, sheets = position.tag, position.model_here, {} if sheets is None else sheets
    length_m, conductor = _way_of(refused, cables)
    key = position.kind, model and model.id
    alike = sheets.get(key)
    if alike is None:
        of_sheet = []
        alike = _of_line(of_sheet, tag, position.kind, model)
        alike.what, alike.is_unusual  # noqa: B018 (copies have both then)
        if not of_sheet:
            sheets[key] = alike
        refused += of_sheet
    return renamed(
        alike,
        name=f"device {tag}" if tag == PANEL_TERMINALS else tag,
        length_m=length_m,
        conductor=conductor,
    )


def _way_of(refused, cables):
    """Length m and conductor of the cables to a device, None where one is not known; the thinnest counts for all."""
    lengths = [known(refused, cable.tag, "length_m", cable.length_m) for cable in cables]
    conductors = [conductor_of(refused, cable) for cable in cables]
    if len(cables) == 1:
        return (*lengths, None if lengths[0] is None else conductors[0])
    length_m = None if not cables or None in lengths else sum(lengths)
    if length_m is None or None in conductors:
        return length_m, None
    return length_m, max(conductors, key=attrgetter("ohm_per_km"))


def _of_line(refused, tag, kind, model):
    """What a data sheet says of a device on a line."""
    drawn_a = of_model(refused, tag, model, "standby_current_a")
    if drawn_a is not None and drawn_a > 1:  # engineering's limit for a device on a line
        refused.append(not_used(tag, f"standby current of {drawn_a:g} A is too much for a device on a line"))
        drawn_a = None
    return engineering.LineDevice(
        name=tag,
        kind=facts_of(kind).line_role,
        alarm_ohm=of_model(refused, tag, model, "alarm_resistance_ohm"),
        alarm_wiring=AlarmWiring(model.alarm_wiring if model else AlarmWiring.PARALLEL),
        quiescent_current_a=drawn_a,
        removal_opens_line=model.removal_opens_line if model else None,
    )


def is_in_box(line):
    """Whether the resistor of a line or an input stands in a junction box."""
    return line.end_place == EndPlace.IN_BOX


def elements_of(refused, line, name, devices):
    # In the box before the last device it is, for what is seen from the start, as good as at that device.
    if line.end_place in (EndPlace.LAST_DEVICE, EndPlace.IN_BOX):
        # Without devices there is no last one, so the resistor cannot be there: the check says where it belongs.
        place = devices[-1].name if devices else "the last device"
    elif line.end_place == EndPlace.PANEL_TERMINAL:
        place = PANEL_TERMINALS
    else:
        return ()
    subject = f"Line {name}"
    percent = getattr(line, "end_of_line_tolerance_percent", None)
    tolerance = known(refused, subject, "end_of_line_tolerance_percent", percent)
    return (
        engineering.EndOfLineResistor(
            place, known(refused, subject, "end_of_line_ohm", line.end_of_line_ohm), tolerance
        ),
    )


def end_findings(line, name, word="Line"):
    """What the record says of the end of a line or input: a place that nobody recorded, or that none is needed."""
    if line.end_place == "":
        unchecked = f"{word.lower()} {name}"
        what = "place of the end-of-line resistor"
        return [missing("consistency.line_end", name, what, [], RECORD, not_checked=unchecked)]
    if line.end_place == EndPlace.NONE_NEEDED:
        words = f"{word} {name} needs no end-of-line resistor by the record: its states are not checked."
        return [note("line.no_element", name, words, RECORD)]
    return []


def line_findings(line, records):
    """What the record itself says of a line: its end, and a branch that no resistor monitors."""
    name = line_name(line)
    findings = end_findings(line, name)
    seen = {}
    for cable in records.line_cables[line.pk]:
        if cable.upstream_id is not None and cable.upstream_id in seen:
            words = (
                f"Line {name} branches: {seen[cable.upstream_id]} and {cable.tag} go on from the same cable. Only the "
                f"branch with the resistor is monitored. Loop the cable through every device."
            )
            findings.append(question("line.branch", name, words, PRACTICE))
        seen[cable.upstream_id] = cable.tag
    return findings


# Vents, zones -----------------------------------------------------------------------------------------------------


def zone_name(zone):
    """ "2 North stair": findings put "Zone" before it."""
    return f"{zone.number} {zone.name}".rstrip()


def vent_names(vents):
    """Vent key → how findings call it: its tag, with its zone where the panel has that tag twice."""
    tags = {vent.pk: vent.tag for vent in vents}
    if len(set(tags.values())) == len(tags):
        return tags
    times = Counter(tags.values())
    return {
        vent.pk: vent.tag if times[vent.tag] == 1 else f"{vent.tag} of zone {vent.smoke_zone.number}" for vent in vents
    }


_ZONE_FIGURES = (
    *("required_area_m2", "required_area_kind", "needs_automatic_detection", "area_method"),
    *("inlet_ratio", "inlet_ratio_kind", "needs_no_inlets"),
    *INPUT_QUANTITIES,
)
_zone_figures_of = attrgetter(*_ZONE_FIGURES)


def zone_of(refused, zone):
    """A smoke zone and what the fire strategy asks of it."""
    name, figures = zone_name(zone), _zone_figures_of(zone)
    alike = _zone_alike(figures)
    return _zone(refused, name, figures) if alike is None else renamed(alike, name=name)


@lru_cache(maxsize=1024)  # as of vents
def _zone_alike(figures):
    """The zone of these figures, without a name; None where one of them cannot be, which is told with its name."""
    refused = []
    try:
        made = _zone(refused, "", figures)
    except QuantityError:
        return None
    made.what  # noqa: B018 (copies have it then)
    return None if refused else made


def _zone(refused, name, figures):
    stored = dict(zip(_ZONE_FIGURES, figures, strict=True))

    def figure(field):
        return known(refused, f"Zone {name}", field, stored[field])

    return engineering.SmokeZone(
        name=name,
        required_area_m2=figure("required_area_m2"),
        area_kind=engineering.AreaKind(stored["required_area_kind"]) if stored["required_area_kind"] else None,
        needs_detection=stored["needs_automatic_detection"],
        method=METHODS.get(stored["area_method"]),
        inputs=AreaInputs(**{field: figure(field) for field in INPUT_QUANTITIES}),
        inlet_ratio=figure("inlet_ratio"),
        inlet_kind=engineering.AreaKind(stored["inlet_ratio_kind"]) if stored["inlet_ratio_kind"] else None,
        needs_no_inlets=stored["needs_no_inlets"],
    )
