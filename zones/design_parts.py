"""Rows of the register as engineering's plain data: one function per part of a panel.

``None`` stays "not known". A stored figure that engineering cannot compute with is not used; it goes to `refused`,
a list of findings, with the sentence that says why.
"""

from collections import Counter
from dataclasses import replace

from zones import engineering
from zones.engineering.detection_lines import PANEL_TERMINALS, AlarmWiring
from zones.engineering.findings import Finding, missing, question
from zones.engineering.quantities import QuantityError, check_quantity
from zones.engineering.sources import DATA_SHEET, PRACTICE, RECORD
from zones.figures import COMPUTED_AS, refusal_of
from zones.models import DeviceKind, Drive, EndPlace

# What draws current all the time; a contact (call point, switch) may, a motor of an addressed circuit too.
ELECTRONIC = (
    DeviceKind.SMOKE_DETECTOR, DeviceKind.HEAT_DETECTOR, DeviceKind.RAIN_SENSOR, DeviceKind.WIND_SENSOR,
    DeviceKind.FIRE_ALARM_INTERFACE, DeviceKind.INDICATOR, DeviceKind.FIRE_SERVICE_CONTROL,
)  # fmt: skip
LINE_KIND = {
    DeviceKind.MANUAL_CALL_POINT: engineering.DeviceKind.CALL_POINT,
    DeviceKind.SMOKE_DETECTOR: engineering.DeviceKind.DETECTOR,
    DeviceKind.HEAT_DETECTOR: engineering.DeviceKind.DETECTOR,
}


def not_used(subject, sentence):
    """The finding about a stored figure that cannot be: no verdict rests on it."""
    words = f"{subject}: {sentence.rstrip('.')}. It is not used: correct it to get a verdict."
    return Finding("figure.refused", engineering.Severity.MISSING, subject, words, RECORD)


def known(refused, subject, name, value):
    """A stored figure in engineering's unit, or None when it is not known or cannot be."""
    if value is None:
        return None
    quantity, factor = COMPUTED_AS.get(name, (None, 1))
    figure = float(value) * factor
    if quantity is None:
        return figure
    try:
        check_quantity(quantity, figure, field=name)
    except QuantityError:
        refused.append(not_used(subject, f"{name.replace('_', ' ')}: {refusal_of(name, value)}"))
        return None
    return figure


def of_model(refused, subject, model, name):
    """A figure of a device's data sheet."""
    return known(refused, subject, name, getattr(model, name, None))


def first_known(refused, subject, *candidates):
    """The first figure that is known of (field, value) pairs: the record's own before the data sheet."""
    name, value = next(((name, value) for name, value in candidates if value is not None), (candidates[0][0], None))
    return known(refused, subject, name, value)


# Cables and actuators ---------------------------------------------------------------------------------------------


def conductor_of(refused, cable):
    """The conductor of a cable, or None where size or class is not known."""
    try:
        if cable.awg:
            return engineering.Conductor(awg=cable.awg)
        if cable.area_mm2 is None or not cable.conductor_class:
            return None
        return engineering.Conductor(float(cable.area_mm2), int(cable.conductor_class), cable.is_tinned)
    except QuantityError as error:
        refused.append(not_used(cable.tag, error.in_words()))
        return None


def run_of(refused, cable, tags):
    """A cable as a run; `tags` are those of the runs of its circuit by key."""
    return engineering.CableRun(
        name=cable.tag,
        length_m=known(refused, cable.tag, "length_m", cable.length_m),
        conductor=conductor_of(refused, cable),
        # A run that goes on from a cable of no or another circuit hangs nowhere, and the check says so.
        fed_from=None if cable.upstream_id is None else tags.get(cable.upstream_id, f"cable {cable.upstream_id}"),
        hot_length_m=known(refused, cable.tag, "hot_length_m", cable.hot_length_m),
    )


def actuator_of(refused, position, at, vent_name):
    """The actuator at a position, with the data sheet of what is fitted there, else of what is planned."""
    tag, model = position.tag, position.model_here

    def figure(name):
        return of_model(refused, tag, model, name)

    least, rated = figure("minimum_voltage_v"), figure("rated_voltage_v")
    if least is not None and rated is not None and least > rated:
        refused.append(not_used(tag, f"least voltage of {least:g} V is above the rated {rated:g} V"))
        least = None
    return engineering.Actuator(
        name=tag, at=at, vent=vent_name, rated_current_a=figure("rated_current_a"),
        starting_current_a=figure("starting_current_a"), rated_voltage_v=rated, minimum_voltage_v=least,
        stroke_mm=figure("stroke_mm"), speed_mm_per_s=figure("speed_mm_s"),
        load_model=engineering.LoadModel(model.load_kind if model else engineering.LoadModel.CONSTANT_CURRENT),
    )  # fmt: skip


def circuit_name(circuit):
    """ "Circuit 2 North stair": how findings call it; unique in a panel."""
    return f"Circuit {circuit.number} {circuit.name}".rstrip()


def circuit_of(refused, circuit, records, vent_names):
    """An actuator circuit with its tree of runs and its actuators."""
    cables = records.circuit_cables[circuit.pk]
    positions = [each for each in records.on_circuit[circuit.pk] if each.kind == DeviceKind.ACTUATOR]
    tags = {cable.pk: cable.tag for cable in cables}
    fed = {cable.feeds_id: cable.tag for cable in cables if cable.feeds_id}
    model, name = records.model, circuit_name(circuit)
    drive = circuit.drive or _drive_of(positions)
    limit = (("current_limit_a", circuit.current_limit_a), ("output_limit_a", getattr(model, "output_limit_a", None)))
    basis = records.basis
    return engineering.ActuatorCircuit(
        name=name,
        runs=tuple(run_of(refused, cable, tags) for cable in cables),
        actuators=tuple(
            actuator_of(refused, each, fed.get(each.pk), vent_names.get(each.vent_id)) for each in positions
        ),
        kind=engineering.CircuitKind(drive or Drive.POLARITY),
        output_limit_a=first_known(refused, name, *limit),
        run_time_s=known(refused, name, "run_time_s", circuit.run_time_s),
        delay_s=known(refused, name, "delay_s", circuit.delay_s) or 0.0,
        fire_minutes=known(refused, name, "fire_minutes", basis.fire_minutes) if basis else None,
        end_element_at=_end_elements(circuit, positions),
        expected_actuators=circuit.expected_actuators,
        found_actuators=circuit.found_actuators,
    )


def _drive_of(positions):
    """The drive of the actuators where nobody entered the circuit's: one for all, or not known."""
    drives = {position.model_here.drive for position in positions if position.model_here}
    return drives.pop() if len(drives) == 1 else ""


def _end_elements(circuit, positions):
    match circuit.end_place:
        case EndPlace.LAST_DEVICE:
            return (positions[-1].tag,) if positions else ()
        case EndPlace.PANEL_TERMINAL:
            return (PANEL_TERMINALS,)
        case EndPlace.MISSING | EndPlace.NONE_NEEDED:
            return ()
    return None


# Monitored lines --------------------------------------------------------------------------------------------------


def line_name(line):
    """ "2 North stair": findings put "Line" before it."""
    return f"{line.number} {line.name}".rstrip()


def line_of(refused, line, records):
    """A monitored line: its devices in order, each with the cable that leads to it, and its element."""
    name, model = line_name(line), records.model
    positions, cables = records.on_line[line.pk], records.line_cables[line.pk]
    by_key, to_device = {cable.pk: cable for cable in cables}, {cable.feeds_id: cable for cable in cables}
    devices = tuple(
        _device_of(refused, position, _cables_to(to_device.get(position.pk), by_key)) for position in positions
    )
    volts = (("line_voltage_v", line.line_voltage_v), ("line_voltage_v", getattr(model, "line_voltage_v", None)))
    return engineering.DetectionLine(
        name=name, devices=devices, elements=_elements(refused, line, name, devices),
        line_voltage_v=first_known(refused, f"Line {name}", *volts),
    )  # fmt: skip


def _cables_to(cable, by_key):
    """The cables from the device before to this one: its own, and those through junction boxes before it."""
    cables = []
    while cable is not None and cable not in cables:
        cables.append(cable)
        cable = by_key.get(cable.upstream_id)
        if cable is not None and cable.feeds_id:
            break
    return cables


def _device_of(refused, position, cables):
    tag, model = position.tag, position.model_here
    lengths = [known(refused, cable.tag, "length_m", cable.length_m) for cable in cables]
    conductors = [conductor_of(refused, cable) for cable in cables]
    complete = bool(cables) and None not in lengths and None not in conductors
    drawn_a = of_model(refused, tag, model, "standby_current_a")
    if drawn_a is not None and drawn_a > 1:  # engineering's limit for a device on a line
        refused.append(not_used(tag, f"standby current of {drawn_a:g} A is too much for a device on a line"))
        drawn_a = None
    return engineering.LineDevice(
        name=f"device {tag}" if tag == PANEL_TERMINALS else tag,
        kind=LINE_KIND.get(position.kind, engineering.DeviceKind.CONTACT),
        length_m=sum(lengths) if cables and None not in lengths else None,
        # Several sections on the way: the thinnest counts for all of it.
        conductor=max(conductors, key=lambda one: one.ohm_per_km) if complete else None,
        alarm_ohm=of_model(refused, tag, model, "alarm_resistance_ohm"),
        alarm_wiring=AlarmWiring(model.alarm_wiring if model else AlarmWiring.PARALLEL),
        quiescent_current_a=drawn_a,
        removal_opens_line=model.removal_opens_line if model else None,
    )


def _elements(refused, line, name, devices):
    if line.end_place == EndPlace.LAST_DEVICE:
        # Without devices there is no last one, so the resistor cannot be there: the check says where it belongs.
        place = devices[-1].name if devices else "the last device"
    elif line.end_place == EndPlace.PANEL_TERMINAL:
        place = PANEL_TERMINALS
    else:
        return ()
    subject = f"Line {name}"
    tolerance = known(refused, subject, "end_of_line_tolerance_percent", line.end_of_line_tolerance_percent)
    return (engineering.EndElement(place, known(refused, subject, "end_of_line_ohm", line.end_of_line_ohm), tolerance),)


def line_findings(line, records):
    """What the record itself says of a line: a branch that no resistor monitors; a place that nobody recorded."""
    name, findings = line_name(line), []
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
    times = Counter(vent.tag for vent in vents)
    return {
        vent.pk: vent.tag if times[vent.tag] == 1 else f"{vent.tag} of zone {vent.smoke_zone.number}" for vent in vents
    }


def vent_of(refused, vent, name, zone, movers):
    """A vent; its stroke is the least of the actuators that move it, not known where one of theirs is not."""

    def figure(field):
        return known(refused, name, field, getattr(vent, field))

    strokes = [of_model([], name, position.model_here, "stroke_mm") for position in movers]
    angle = vent.blade_angle_deg
    return engineering.Vent(
        name=name, kind=engineering.VentKind(vent.leaf.replace("_", " ")) if vent.leaf else None, zone=zone,
        width_m=figure("width_mm"), height_m=figure("height_mm"),
        stroke_mm=min(strokes) if strokes and None not in strokes else None,
        fixing_m=figure("fixing_distance_mm"), reveal_m=figure("reveal_mm"), sides_blocked=vent.sides_blocked,
        declared_geometric_m2=figure("geometric_area_m2"), declared_aerodynamic_m2=figure("aerodynamic_area_m2"),
        blades=vent.blades, blade_pitch_m=figure("blade_pitch_mm"),
        blade_thickness_m=figure("blade_thickness_mm") or 0.0, blade_angle_deg=None if angle is None else float(angle),
        discharge_coefficient=figure("discharge_coefficient"), coefficient_tested=vent.coefficient_is_tested,
    )  # fmt: skip


def zone_of(refused, zone):
    """A smoke zone and what the fire strategy asks of it."""
    name = zone_name(zone)
    return engineering.SmokeZone(
        name=name,
        required_area_m2=known(refused, f"Zone {name}", "required_area_m2", zone.required_area_m2),
        area_kind=engineering.AreaKind(zone.required_area_kind) if zone.required_area_kind else None,
        needs_detection=zone.needs_automatic_detection,
    )


# Supply and battery -----------------------------------------------------------------------------------------------


def supply_of(refused, records):
    """The panel's supply: the panel's own figures before the data sheet of its model."""
    panel, model, name = records.panel, records.model, records.panel.tag

    def figure(own, of_data_sheet=None):
        of_data_sheet = of_data_sheet or own
        candidates = (own, getattr(panel, own)), (of_data_sheet, getattr(model, of_data_sheet, None))
        return first_known(refused, name, *candidates)

    inhibited = panel.charger_inhibited
    if inhibited is None:
        inhibited = getattr(model, "charger_inhibited", None)
    return engineering.PowerSupply(
        rated_current_a=figure("supply_limit_a"), output_voltage_v=of_model(refused, name, model, "rated_voltage_v"),
        own_drop_v=figure("own_voltage_drop_v"), quiescent_current_a=quiescent_a(refused, records),
        alarm_current_a=figure("alarm_current_a"), charger_current_a=figure("charger_current_a"),
        charger_inhibited=inhibited, sequential=panel.operation == panel.Operation.SEQUENTIAL,
        gap_s=known(refused, name, "gap_s", panel.gap_s) or 0.0,
        stagger_s=known(refused, name, "stagger_s", panel.stagger_s) or 0.0,
    )  # fmt: skip


def quiescent_a(refused, records):
    """Quiescent current with everything on the panel, A; None where one figure of it is not known.

    As entered for the panel, else the model's with the standby currents of its devices added: a rain sensor takes
    more over three days than the motors in three minutes.
    """
    panel, name = records.panel, records.panel.tag
    if panel.quiescent_current_a is not None:
        return known(refused, name, "quiescent_current_a", panel.quiescent_current_a)
    own_a = of_model(refused, name, records.model, "standby_current_a")
    if own_a is None:
        return None
    unknown, total_a = [], own_a
    for position in records.positions:
        drawn_a = of_model([], position.tag, position.model_here, "standby_current_a")
        if drawn_a is not None:
            total_a += drawn_a
        elif position.kind in ELECTRONIC:
            unknown.append(position.tag)
    if unknown:
        unchecked = f"quiescent current of {name}"
        refused.append(missing("supply.quiescent", name, "standby current", unknown, DATA_SHEET, not_checked=unchecked))
        return None
    return round(total_a, 6)


def battery_of(refused, records):
    """The battery set with what the building's basis asks of it; None where no set is recorded."""
    battery, model, name = records.battery, records.model, records.panel.tag
    if battery is None:
        return None
    sheet = battery.product_model
    strings = strings_of(battery, getattr(model, "rated_voltage_v", None))

    def figure(own, of_data_sheet=None, times=1):
        of_data_sheet = of_data_sheet or own
        candidates = (own, getattr(battery, own)), (of_data_sheet, getattr(sheet, of_data_sheet, None))
        value = first_known(refused, f"Battery of {name}", *candidates)
        return None if value is None else value * times

    return replace(
        battery_place(refused, records),
        capacity_ah=figure("capacity_ah", times=strings),
        greatest_current_a=figure("discharge_limit_a", times=strings),
        peukert_exponent=of_model(refused, name, sheet, "peukert_exponent"),
        date_code=battery.date_code or None,
        made_on=battery.made_on,
        design_life_years=figure("design_life_years", "service_life_years"),
    )


def battery_place(refused, records):
    """What building and panel ask of a battery, whichever stands there: basis, operations, temperatures, fuse."""
    panel, model, basis, name = records.panel, records.model, records.basis, records.panel.tag
    fuse = ("battery_fuse_a", panel.battery_fuse_a), ("battery_fuse_a", getattr(model, "battery_fuse_a", None))
    return engineering.BatterySet(
        basis=basis.basis if basis else None,
        standby_h=known(refused, name, "standby_hours", basis.standby_hours) if basis else None,
        operations=basis.operations if basis else None,
        fuse_a=first_known(refused, name, *fuse),
        coldest_c=known(refused, name, "battery_coldest_c", panel.battery_coldest_c),
        usual_c=known(refused, name, "battery_usual_c", panel.battery_usual_c),
    )


def strings_of(battery, system_v):
    """How many strings of blocks in series the set has; one where the voltage of a block is not known."""
    block_v = getattr(battery.product_model, "rated_voltage_v", None)
    if not block_v or not system_v:
        return 1
    return max(1, int(battery.blocks * block_v / system_v))
