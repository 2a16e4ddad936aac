"""The design check of a whole panel: plain data in, findings out."""

from zones.engineering.actuators import check_opening_times
from zones.engineering.battery_check import BatteryDuty, check_battery
from zones.engineering.circuit_check import check_circuit
from zones.engineering.circuits import ActuatorCircuit
from zones.engineering.consistency import check_consistency
from zones.engineering.data_links import check_data_link
from zones.engineering.findings import Finding, listed, missing, note
from zones.engineering.line_check import check_line
from zones.engineering.panel_design import PanelDesign
from zones.engineering.sources import DESIGN_ENTRY, RECORD
from zones.engineering.supply import check_supply, circuit_current_a, packed_groups
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice
from zones.engineering.zone_areas import check_zone_area

CAUTION = (
    "This check supports a competent person. It does not replace the standards, the makers' instructions or "
    "local codes, which prevail; a measurement on the installation outranks every figure in it."
)


def check_panel(design: PanelDesign, practice: TradePractice = TRADE_PRACTICE) -> list[Finding]:
    """Every check over one panel, in the order cables, supply, battery, lines, time, area, consistency.

    Args:     practice: common-practice figures, a firm's own if it edited them.
    Returns:  findings; a figure that is not known gives a finding of severity "missing", never a pass.
    Source:   each finding names its own.
    """
    findings: list[Finding] = []
    mains_v, discharged_v = source_voltages(design, practice)
    for circuit in design.circuits:
        findings += check_circuit(circuit, mains_v=mains_v, discharged_v=discharged_v, practice=practice)
    findings += _fire_note(design)
    if design.circuits:
        findings += check_supply(design.name, design.supply, design.circuits, practice)
    findings += _battery_findings(design, practice)
    for line in (*design.lines, *design.inputs):
        findings += check_line(line, practice)
    for link in design.links:
        findings += check_data_link(link, discharged_v)
    for circuit in design.circuits:
        if circuit.actuators:
            findings += check_opening_times(
                *(circuit.name, circuit.actuators),
                run_time_s=circuit.run_time_s,
                delay_s=circuit.delay_s + _stagger_s(design, circuit),
                practice=practice,
            )
    for zone in design.zones:
        vents = [vent for vent in design.vents if vent.zone == zone.name]
        findings += check_zone_area(zone, vents, practice)
    return findings + check_consistency(design)


def source_voltages(design: PanelDesign, practice: TradePractice = TRADE_PRACTICE) -> tuple[float | None, float | None]:
    """Voltage at the outputs on mains and at the end of discharge, V, the panel's own drop taken off."""
    drop_v, output_v = design.supply.own_drop_v, design.supply.output_voltage_v
    if drop_v is None:
        return None, None
    return (None if output_v is None else output_v - drop_v), practice.end_of_discharge_v - drop_v


def battery_duty(design: PanelDesign, practice: TradePractice = TRADE_PRACTICE) -> BatteryDuty:
    """What the panel takes from its battery: all motors at once, or the largest group of a sequence."""
    currents = [circuit_current_a(circuit) for circuit in design.circuits]
    times = [
        one.stroke_mm / one.speed_mm_per_s
        for circuit in design.circuits
        for one in circuit.actuators
        if one.stroke_mm is not None and one.speed_mm_per_s is not None
    ]
    known = all(
        one.stroke_mm is not None and one.speed_mm_per_s is not None
        for circuit in design.circuits
        for one in circuit.actuators
    )
    motors_a = None if not currents or None in currents else sum(currents)
    seconds_each = max(times) if known and times else None
    supply = design.supply
    if supply.sequential and motors_a is not None and supply.rated_current_a and supply.alarm_current_a is not None:
        available_a = supply.rated_current_a - supply.alarm_current_a
        groups = packed_groups(currents, available_a) if available_a > 0 else None
        if groups and seconds_each is not None:
            motors_a = max(sum(currents[k] for k in group) for group in groups)
            seconds_each = seconds_each * len(groups)
    return BatteryDuty(
        quiescent_a=supply.quiescent_current_a,
        panel_alarm_a=supply.alarm_current_a,
        motors_a=motors_a or None,
        seconds_each=seconds_each,
        charger_a=supply.charger_current_a,
    )


def _battery_findings(design: PanelDesign, practice: TradePractice) -> list[Finding]:
    if design.battery is None:
        unchecked = f"battery of {design.name}"
        return [missing("battery.capacity", design.name, "battery set", [], RECORD, not_checked=unchecked)]
    duty = battery_duty(design, practice)
    return check_battery(design.name, design.battery, duty, assessed_on=design.assessed_on, practice=practice)


def _stagger_s(design: PanelDesign, circuit: ActuatorCircuit) -> float:
    """The last of the staggered actuators starts this much later, s."""
    count = sum(len(one.actuators) for one in design.circuits)
    return design.supply.stagger_s * max(0, count - 1) if circuit.actuators else 0.0


def _fire_note(design: PanelDesign) -> list[Finding]:
    """One note for the circuits of which nobody said how much burns: there is no default for that."""
    silent = [
        circuit.name
        for circuit in design.circuits
        if circuit.fire_minutes is None and not any(run.hot_length_m for run in circuit.runs)
    ]
    if not silent:
        return []
    which = "no circuit is" if len(silent) == len(design.circuits) else f"{listed(silent)} not"
    words = (
        f"{design.name}: cables in the fire: {which} checked, because no length exposed to fire was entered. The fire "
        f"engineer decides how many metres to assume."
    )
    return [note("cable.voltage_fire", design.name, words, DESIGN_ENTRY)]
