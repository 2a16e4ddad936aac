"""The device that protects an output: load, start, overload of the cable, short circuits, the device upstream."""

from dataclasses import replace

from zones.calculators.circuits import circuit_of
from zones.calculators.forms.protection import ProtectionForm
from zones.calculators.views.base import Answer, CalculatorPage, Head
from zones.engineering import BatterySet, PowerSupply
from zones.engineering.circuit_check import check_solved, missing_figures
from zones.engineering.findings import Severity, missing
from zones.engineering.fuses import DEVICE_KINDS, FUSE_KINDS, ProtectiveDevice
from zones.engineering.highest_voltage import with_highest_voltage
from zones.engineering.load_kinds import over_kinds
from zones.engineering.operation import operation_of
from zones.engineering.panel_check import chain_of
from zones.engineering.protection_check import check_chain, check_devices
from zones.engineering.sources import RECORD

OUTPUT = "This output"
# (finding, figure of it, what it is called on top)
HEADS = (
    ("protection.overload", "opens for certain from (I2)", "opens for certain from (I2)"),
    ("protection.overload", "current rating that it asks for", "cable rating asked for"),
    ("protection.overload", "current rating, at the least", "cable rating, at the least"),
    ("protection.disconnection", "least current", "least short circuit at the far end"),
    ("protection.disconnection", "opens within", "switches off in time from"),
    ("protection.short_circuit", "lets through", "lets through (I²t)"),
    ("protection.short_circuit", "bears", "cable bears (k²S²)"),
)


class ProtectionPage(CalculatorPage):
    form_class = ProtectionForm
    heading = "Protective device of an output"
    lead = "Does the fuse, breaker or electronic limit hold the load and its start, and does it protect the cable?"
    hint = "Enter the device, the cable with how it is laid, its actuators, and what feeds a short circuit."

    def calculate(self, figures, practice):
        practice = replace(practice, output_protection_required=True)
        if figures["within_s"] is not None:
            practice = replace(practice, disconnection_s=figures["within_s"])
        if figures["actuators"] is None:
            what, unchecked = "number of actuators", "the protective device"
            return Answer((missing("protection.device", OUTPUT, what, [], RECORD, not_checked=unchecked),))
        circuit = circuit_of(figures, name=OUTPUT, device=_device(figures))
        volts = {"mains_v": figures["mains_v"], "discharged_v": figures["discharged_v"]}
        if gaps := missing_figures(circuit, **volts):
            return Answer(tuple(gaps))
        findings = over_kinds(lambda circuits: _judged(circuits, figures, practice, volts), (circuit,))
        return Answer(tuple(findings), tuple(_heads(circuit.device, findings)))


def _judged(circuits, figures, practice, volts):
    operation = operation_of(OUTPUT, _supply(figures), circuits, practice=practice, **volts)
    chain = replace(chain_of(operation, _battery(figures), practice, **volts), beside_a=figures["beside_a"])
    (solved,) = operation.circuits
    findings = [*check_devices(operation, practice), *check_chain(solved, chain)]
    if not all(answer.holds for answer in solved.answers):
        findings += [one for one in check_solved(solved) if one.severity == Severity.FAIL]
    return with_highest_voltage(findings, operation)


def _device(figures):
    """The device of the output; None where nothing of it was entered."""
    kind, rated_a = DEVICE_KINDS.get(figures["device_kind"]), figures["device_a"]
    if kind is None and rated_a is None:
        return None
    return ProtectiveDevice(kind, rated_a, figures["trips_a"], figures["trips_s"])


def _supply(figures):
    kind, fuse_a = FUSE_KINDS.get(figures["supply_fuse_kind"]), figures["supply_fuse_a"]
    return PowerSupply(
        rated_current_a=figures["supply_a"],
        own_drop_v=figures["own_drop_v"],
        stagger_s=figures["stagger_s"] or 0.0,
        highest_voltage_v=figures["highest_v"],
        fault_current_a=figures["supply_fault_a"],
        fuse=None if kind is None and fuse_a is None else ProtectiveDevice(kind, fuse_a),
    )


def _battery(figures):
    ohm = None if figures["battery_mohm"] is None else figures["battery_mohm"] / 1000
    kind = FUSE_KINDS.get(figures["battery_fuse_kind"])
    leads = {"lead_mm2": figures["lead_mm2"], "lead_m": figures["lead_m"]}
    return BatterySet(internal_ohm=ohm, fuse_a=figures["battery_fuse_a"], fuse_kind=kind, **leads)


def _heads(device, findings):
    if device is None or device.unknown:
        return
    yield Head("holds for good (In)", f"{device.rated_a:g} A")
    for code, name, label in HEADS:
        figures = [
            figure
            for one in findings
            if one.code == code and one.severity != Severity.MISSING
            for figure in one.inputs
            if figure.name.startswith(name) and figure.value is not None
        ]
        if figures:
            yield Head(label, f"{figures[0].value:g} {figures[0].unit}")
