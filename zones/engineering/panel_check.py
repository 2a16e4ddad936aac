"""The design check of a whole panel: plain data in, findings out."""

from dataclasses import replace
from functools import partial

from zones.engineering.battery_check import check_battery
from zones.engineering.battery_lead import lead_findings, lead_ohm
from zones.engineering.battery_set import BatteryDuty, BatterySet
from zones.engineering.cable_rating_check import check_fire_rating
from zones.engineering.circuit_check import check_solved
from zones.engineering.consistency import check_consistency
from zones.engineering.data_links import check_data_link
from zones.engineering.findings import Finding, listed, missing, note
from zones.engineering.force_check import check_forces
from zones.engineering.fuses import ProtectiveDevice
from zones.engineering.highest_voltage import with_highest_voltage
from zones.engineering.in_step import check_in_step
from zones.engineering.inlet_opening import check_inlets_open
from zones.engineering.line_check import check_line
from zones.engineering.load_kinds import over_kinds
from zones.engineering.opening_times import check_times
from zones.engineering.operation import Operation, operation_of
from zones.engineering.panel_design import PanelDesign
from zones.engineering.protection_check import Chain, check_chain, check_devices, passes
from zones.engineering.replacement_air import nothing_said
from zones.engineering.short_circuits import feeding_of
from zones.engineering.signal_check import check_signals
from zones.engineering.solved_circuits import DISCHARGED, SOURCES, solve_circuit
from zones.engineering.sources import DESIGN_ENTRY, RECORD
from zones.engineering.supply import check_highest_voltage, check_supply
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice
from zones.engineering.zone_check import check_zones

CAUTION = (
    "This check supports a competent person. It does not replace the standards, the makers' instructions or "
    "local codes, which prevail; a measurement on the installation outranks every figure in it."
)


def check_panel(design: PanelDesign, practice: TradePractice = TRADE_PRACTICE) -> list[Finding]:
    """Every check over one panel, in the order cables, supply, battery, lines, time, area, classes, force,
    consistency.

    Args:     practice: common-practice figures, a firm's own if it edited them.
    Returns:  findings; a figure that is not known gives a finding of severity "missing", never a pass.
    Source:   each finding names its own.
    """

    def judge(circuits):
        same = circuits is design.circuits
        return _findings(design if same else replace(design, circuits=circuits), practice)

    return over_kinds(judge, design.circuits)


def _findings(design, practice):
    operation = operation_of_panel(design, practice)
    mains_v, discharged_v = source_voltages(design, practice)
    chain = chain_of(operation, design.battery, practice, mains_v=mains_v, discharged_v=discharged_v)
    findings = []
    for solved in operation.circuits:
        findings += check_solved(solved, partial(passes, chain=chain))
        findings += [*check_chain(solved, chain), *check_fire_rating(solved.circuit)]
    findings += [*check_devices(operation, practice), *_fire_note(design)]
    with_device = any(circuit.device for circuit in design.circuits)
    findings += check_signals(design.name, (*design.lines, *design.inputs), design.links, asked=with_device)
    if design.circuits:
        findings += [*check_supply(operation, practice), *check_highest_voltage(operation)]
    findings += _battery_findings(design, operation, practice)
    for line in (*design.lines, *design.inputs):
        findings += check_line(line, practice)
    for link in design.links:
        findings += check_data_link(link, discharged_v)
    findings += [*check_times(operation, practice), *check_in_step([operation], practice)]
    findings += check_zones(design.zones, design.vents, design.classes_asked, practice)
    others = [operation_of_panel(one, practice) for one in design.others]
    findings += check_inlets_open([operation, *others], design.zones, design.vents, design.opening_causes, practice)
    findings += _air_note(design)
    zones = [zone.name for zone in design.zones]
    findings += check_forces(design.name, zones, design.vents, operation, practice)
    return with_highest_voltage(findings, operation) + check_consistency(design)


def operation_of_panel(design: PanelDesign, practice: TradePractice = TRADE_PRACTICE) -> Operation:
    """The panel solved in every condition: what all its findings rest on."""
    mains_v, discharged_v = source_voltages(design, practice)
    volts = {"mains_v": mains_v, "discharged_v": discharged_v}
    return operation_of(design.name, design.supply, design.circuits, practice=practice, **volts)


def chain_of(
    operation: Operation,
    battery: BatterySet | None,
    practice: TradePractice = TRADE_PRACTICE,
    *,
    mains_v: float | None,
    discharged_v: float | None,
) -> Chain:
    """What stands before the outputs of a panel: its two sources and the fuses between.

    Args:     mains_v, discharged_v: at the outputs, V, the panel's own drop taken off; ``None``: not known.
    """
    supply = operation.supply
    feeding = feeding_of(
        mains_v=mains_v,
        supply_fault_a=supply.fault_current_a,
        discharged_v=discharged_v,
        battery_ohm=battery.internal_ohm if battery else None,
        discharged_factor=practice.discharged_resistance_factor,
        cells=practice.cells,
        own_drop_v=supply.own_drop_v,
        rated_a=supply.rated_current_a,
        leads=lead_ohm(battery),
    )
    upstream = [("fuse between supply and outputs", supply.fuse)] if supply.fuse else []
    if battery and battery.fuse_a:
        upstream.append(("fuse of the battery", ProtectiveDevice(battery.fuse_kind, battery.fuse_a)))
    volts = {"mains_v": mains_v, "discharged_v": discharged_v, "highest_v": supply.highest_voltage_v}
    solve = partial(solve_circuit, practice=practice, **volts)
    motors_a = operation.motors_a(DISCHARGED)
    beside_a = None if None in (motors_a, supply.alarm_current_a) else motors_a + supply.alarm_current_a
    return Chain(feeding, tuple(upstream), practice, solve, partial(_start, operation), beside_a)


def _start(operation, solved):
    """The greatest current of an output while its actuators start, A, and for how long, s; ``None`` = not known."""
    currents = [operation.output_starting_a(solved, source) for source in SOURCES]
    return None if None in currents else max(currents), operation.starts_last_s((solved,))


def source_voltages(design: PanelDesign, practice: TradePractice = TRADE_PRACTICE) -> tuple[float | None, float | None]:
    """Voltage at the outputs on mains and at the end of discharge, V, the panel's own drop taken off."""
    drop_v, output_v = design.supply.own_drop_v, design.supply.output_voltage_v
    if drop_v is None:
        return None, None
    return (None if output_v is None else output_v - drop_v), practice.end_of_discharge_v - drop_v


def battery_duty(operation: Operation) -> BatteryDuty:
    """What the panel takes from its battery: all motors at once, or the greatest step of a sequence."""
    supply = operation.supply
    return BatteryDuty(
        quiescent_a=supply.quiescent_current_a,
        panel_alarm_a=supply.alarm_current_a,
        motors_a=operation.motors_a(DISCHARGED) or None,
        seconds_each=operation.motor_s(DISCHARGED) or None,
        charger_a=supply.charger_current_a,
        starting_a=operation.starting_a(DISCHARGED) or None,
        starting_s=operation.longest_start_s() or None,
        stuck=_stuck(operation),
    )


def _stuck(operation):
    travels = [one for solved in operation.with_actuators for one in solved.travels_from(DISCHARGED)]
    slack = [one for one in travels if one.volts is not None and one.volts < (one.actuator.minimum_voltage_v or 0)]
    return tuple(dict.fromkeys(one.actuator.name for one in sorted(slack, key=lambda one: one.volts)))


def _battery_findings(design: PanelDesign, operation: Operation, practice: TradePractice) -> list[Finding]:
    if design.battery is None:
        unchecked = f"battery of {design.name}"
        return [missing("battery.capacity", design.name, "battery set", [], RECORD, not_checked=unchecked)]
    duty = battery_duty(operation)
    found = check_battery(design.name, design.battery, duty, assessed_on=design.assessed_on, practice=practice)
    return found + lead_findings(design.name, design.battery, practice)


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


def _air_note(design: PanelDesign) -> list[Finding]:
    """One note for the zones of which nobody said whether air must come in."""
    silent = nothing_said(design.zones, design.vents)
    if not silent:
        return []
    which = "no zone is" if len(silent) == len(design.zones) else f"zone {listed(silent)} not"
    words = (
        f"{design.name}: replacement air: {which} checked, because nobody recorded what the fire strategy asks. Enter "
        f"the ratio of inlets to outlets at the zone, or that none is asked for."
    )
    return [note("air.asked", design.name, words, DESIGN_ENTRY)]
