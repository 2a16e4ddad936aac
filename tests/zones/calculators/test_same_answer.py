"""The calculators give the answer of the design check: the same figures of a record typed into their forms."""

from dataclasses import replace

import pytest

from tests.zones.installations import make_installation, make_models, set_figure
from zones.calculators.views.battery import BatteryPage
from zones.calculators.views.cable_rating import CableRatingPage
from zones.calculators.views.lines import MonitoredLinePage
from zones.calculators.views.opening_time import OpeningTimePage
from zones.calculators.views.protection import ProtectionPage
from zones.calculators.views.supply import SupplyPage
from zones.calculators.views.vent_area import VentAreaPage
from zones.calculators.views.voltage_drop import VoltageDropPage
from zones.design_check.checked import checked_panel
from zones.engineering import LoadModel, check_panel
from zones.engineering.panel_check import battery_duty, operation_of_panel, source_voltages
from zones.engineering.solved_circuits import DISCHARGED, MAINS, SOURCES
from zones.models import Cable, DesignBasis

pytestmark = pytest.mark.django_db

KINDS = {
    "constant current": {"load_kind": "constant current", "lower_current_a": None},
    "constant power": {"load_kind": "constant power", "lower_current_a": "1.6"},
    "resistive": {"load_kind": "resistive", "lower_current_a": None},
    "not known": {"load_kind": "", "lower_current_a": None},
}
PROTECTED = {
    **{"output_device_kind": "blade", "output_device_a": 3, "supply_fault_a": 60},
    **{"supply_fuse_kind": "blade", "supply_fuse_a": 30},
}
LAID = {"insulation": "thermoplastic", "method": "B2", "grouped_circuits": 2, "ambient_c": 35, "cores_per_pole": 2}


@pytest.fixture(params=KINDS)
def checked(request):
    """A panel of one looped circuit, its first metres in the fire; every kind of load, with and without its laying."""
    made = make_installation(models=make_models(actuator=KINDS[request.param]), actuators=3)
    Cable.objects.update(hot_length_m=0)
    Cable.objects.filter(tag="P1W1.1").update(hot_length_m=4)
    set_figure(made.panel.position.product_model, **PROTECTED)
    set_figure(made.panel.battery_sets.get().product_model, internal_resistance_mohm=9)
    if request.param != "constant current":
        made.circuits[0].cables.update(cores_count=4, **LAID)
    DesignBasis.objects.update(fire_minutes=30)
    return checked_panel(made.panel)


def typed(value):
    """A figure as a person types it; nothing for what is not known."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(value)


def calculated(page, practice, **figures):
    """What a calculator finds with these figures in its own form."""
    form = page.form_class({name: typed(value) for name, value in figures.items()})
    assert form.is_valid(), form.errors
    return page().calculate(form.cleaned_data, practice).findings


def figures_of(finding):
    """What a finding rests on, without the names that a record gives: each value with its unit, and the verdict."""
    values = [(_without_name(figure), figure.unit) for figure in finding.inputs]
    compared = finding.compared and finding.compared._replace(margin=round(finding.compared.margin, 9))
    return finding.severity, compared, values


def _without_name(figure):
    """Of a cable its conductor alone."""
    return figure.value.split(", ")[-1] if figure.name == "cable" and isinstance(figure.value, str) else figure.value


def same(ours, checked, codes):
    """Every figure of these findings is that of the design check."""
    for code in codes:
        theirs = [figures_of(one) for one in checked.findings if one.code == code]
        assert theirs, f"the record has no {code}"
        assert [figures_of(one) for one in ours if one.code == code] == theirs, code


def of_laying(run):
    """How a run is laid, as it is typed."""
    laying = run.laying
    return {
        **{"size": f"{run.conductor.area_mm2:g}", "conductor_class": run.conductor.conductor_class},
        **{"cores_per_pole": run.cores_per_pole, "insulation": laying.insulation, "method": laying.method},
        **{"grouped_circuits": laying.grouped, "ambient_c": laying.ambient_c},
    }


def of_circuit(checked):
    """The circuit with its actuators and the voltages before it, as they are typed."""
    (circuit,), (mains_v, discharged_v) = checked.design.circuits, source_voltages(checked.design, checked.practice)
    one = circuit.actuators[0]
    return {
        **{"length_m": sum(run.length_m for run in circuit.runs), **of_laying(circuit.runs[0])},
        **{"hot_length_m": sum(run.hot_length_m for run in circuit.runs), "fire_minutes": circuit.fire_minutes},
        **{"actuators": len(circuit.actuators), "place": "even", "load": one.load_model.value},
        **{"mains_v": mains_v, "discharged_v": discharged_v},
        **{
            name: getattr(one, name)
            for name in ("rated_current_a", "minimum_voltage_v", "starting_current_a", "rated_voltage_v")
        },
        **{"lower_voltage_v": one.lower_voltage_v, "lower_current_a": one.lower_current_a},
    }


def test_a_recorded_circuit_has_the_voltages_of_the_calculator(checked):
    codes = ("cable.voltage", "cable.voltage_starting", "cable.voltage_fire", "cable.voltage_fire_starting")
    same(calculated(VoltageDropPage, checked.practice, **of_circuit(checked)), checked, codes)


def test_a_recorded_cable_has_the_rating_of_the_calculator(checked):
    (solved,) = operation_of_panel(checked.design, checked.practice).circuits
    load_a = max(solved.greatest_run_a.values())
    ours = calculated(CableRatingPage, checked.practice, load_a=load_a, **of_laying(solved.circuit.runs[0]))
    same(ours, checked, ("cable.rating",))


def test_a_recorded_output_is_protected_as_in_the_calculator(checked):
    (circuit,), supply, battery = checked.design.circuits, checked.design.supply, checked.design.battery
    motors_a = operation_of_panel(checked.design, checked.practice).motors_a(DISCHARGED)
    ours = calculated(
        *(ProtectionPage, checked.practice),
        **{"device_kind": circuit.device.kind.key, "device_a": circuit.device.rated_a, **of_circuit(checked)},
        **{"starting_s": circuit.actuators[0].starting_s, "stagger_s": supply.stagger_s},
        **{"highest_v": supply.highest_voltage_v, "own_drop_v": supply.own_drop_v, "supply_a": supply.rated_current_a},
        **{"supply_fault_a": supply.fault_current_a, "battery_mohm": 1000 * battery.internal_ohm},
        **{"lead_mm2": battery.lead_mm2, "lead_m": battery.lead_m},
        **{"supply_fuse_kind": supply.fuse.kind.key, "supply_fuse_a": supply.fuse.rated_a},
        **{"battery_fuse_kind": battery.fuse_kind.key, "battery_fuse_a": battery.fuse_a},
        beside_a=motors_a + supply.alarm_current_a,
    )
    wanted = ("load", "starting", "overload", "disconnection", "short_circuit", "selectivity")
    same(ours, checked, ("cable.rating", *(f"protection.{name}" for name in wanted)))


def of_supply(checked, source):
    """The supply and its one output with the currents from a source, as they are typed."""
    (solved,), supply = operation_of_panel(checked.design, checked.practice).circuits, checked.design.supply
    circuit, drives = solved.circuit, solved.circuit.actuators
    slowest = max(solved.travels, key=lambda one: one.stroke_s)
    return {
        **{"rated_current_a": supply.rated_current_a, "peak_current_a": supply.peak_current_a},
        **{"alarm_current_a": supply.alarm_current_a, "charger_current_a": supply.charger_current_a},
        **{"charger_inhibited": supply.charger_inhibited, "stagger_s": supply.stagger_s},
        **{"outputs_1": 1, "actuators_1": len(drives), "current_a_1": solved.output_a(source) / len(drives)},
        **{"starting_a_1": drives[0].starts_with_a, "starting_s_1": drives[0].starting_s},
        **{"limit_a_1": circuit.output_limit_a, "peak_a_1": circuit.output_peak_a},
        **{"stroke_mm": slowest.actuator.stroke_mm, "speed_mm_per_s": slowest.speed_mm_per_s},
    }


# The supply calculator is told the current, so that no kind of load is open there.
@pytest.mark.parametrize("checked", [kind for kind in KINDS if kind != "not known"], indirect=True)
def test_a_recorded_supply_carries_load_and_start_as_in_the_calculator(checked):
    """Limits so near that a peak current must bear the start; all actuators at once, and 4 s apart."""
    panel, is_steady = checked.panel, checked.design.circuits[0].actuators[0].load_model == LoadModel.CONSTANT_CURRENT
    set_figure(panel.position.product_model, supply_limit_a="3.3", supply_peak_a=5, output_limit_a="3.1")
    # Staggered starts of the others are reckoned from their rated current, which the calculator does not ask.
    for stagger_s in (0, 4) if is_steady else (0,):
        type(panel).objects.update(stagger_s=stagger_s)
        checked = checked_panel(panel)
        ours = calculated(SupplyPage, checked.practice, **of_supply(checked, MAINS))
        same(ours, checked, ("supply.panel", "supply.starting"))
        (solved,) = operation_of_panel(checked.design, checked.practice).circuits
        ours = calculated(SupplyPage, checked.practice, **of_supply(checked, max(SOURCES, key=solved.output_a)))
        same(ours, checked, ("supply.output", "supply.output_starting"))
        (opening,) = [one for one in ours if one.code == "time.opening"]
        (recorded,) = [one for one in checked.findings if one.code == "time.opening"]
        assert figures_of(opening)[:2] == figures_of(recorded)[:2]


def test_a_recorded_actuator_opens_in_the_time_of_the_calculator(checked):
    operation = operation_of_panel(checked.design, checked.practice)
    slowest = max(operation.circuits[0].travels, key=lambda one: one.stroke_s)
    one, circuit = slowest.actuator, operation.circuits[0].circuit
    ours = calculated(
        *(OpeningTimePage, checked.practice),
        **{"stroke_mm": one.stroke_mm, "speed_mm_per_s": one.speed_mm_per_s, "reaches_v": slowest.volts},
        **{"rated_voltage_v": one.rated_voltage_v, "lower_voltage_v": one.lower_voltage_v},
        **{"lower_speed_mm_per_s": one.lower_speed_mm_per_s, "delay_s": circuit.delay_s},
        run_time_s=circuit.run_time_s,
    )
    same(ours, checked, ("time.opening", "time.run_time"))


def test_a_recorded_battery_has_the_capacity_and_currents_of_the_calculator(checked):
    battery, duty = checked.design.battery, battery_duty(operation_of_panel(checked.design, checked.practice))
    ours = calculated(
        *(BatteryPage, checked.practice),
        **{"basis": battery.basis.key, "fuse_kind": battery.fuse_kind.key},
        **{
            name: getattr(battery, name)
            for name in (
                "standby_h",
                "operations",
                "coldest_c",
                "usual_c",
                "capacity_ah",
                "greatest_current_a",
                "fuse_a",
            )
        },
        **{"charging_limit_a": battery.charging_limit_a, "peukert_exponent": battery.peukert_exponent},
        **{"quiescent_a": duty.quiescent_a, "panel_alarm_a": duty.panel_alarm_a, "motors_a": duty.motors_a},
        **{"seconds_each": duty.seconds_each, "charger_a": duty.charger_a},
        **{"starting_a": duty.starting_a, "starting_s": duty.starting_s},
    )
    wanted = ("capacity", "duration", "current", "starting", "fuse_starting", "charger", "charging_limit")
    same(ours, checked, [f"battery.{name}" for name in wanted])


def test_a_recorded_line_reads_as_in_the_calculator(checked):
    (line,) = checked.design.lines
    alarmed, head = line.devices[0], line.devices[-1]
    ours = calculated(
        *(MonitoredLinePage, checked.practice),
        **{"call_points": 1, "detectors": 2, "length_m": sum(one.length_m for one in line.devices)},
        **{"size": "0.75", "conductor_class": "1", "alarm_ohm": alarmed.alarm_ohm},
        **{"detector_ua": head.quiescent_current_a * 1e6, "removal_opens_line": head.removal_opens_line},
        **{"end_of_line_ohm": line.elements[0].resistance_ohm, "element_percent": 100 * line.elements[0].tolerance},
        **{"line_voltage_v": line.line_voltage_v, "keeps_first_alarm": line.keeps_first_alarm},
    )
    codes = ("line.normal", "line.meter", "line.alarm", "line.apart", "line.break", "line.short", "line.removal")
    same(ours, checked, (*codes, "line.alarm_together"))


def test_a_recorded_vent_opens_the_area_of_the_calculator(checked):
    vent, zone = checked.design.vents[0], checked.design.zones[0]
    alone = replace(checked.design, vents=(vent,))
    ours = calculated(
        *(VentAreaPage, checked.practice),
        **{"kind": vent.kind.value, "width_mm": 1000 * vent.width_m, "height_mm": 1000 * vent.height_m},
        **{"stroke_mm": vent.stroke_mm, "reveal_mm": 1000 * vent.reveal_m, "sides_blocked": vent.sides_blocked},
        **{"required_area_m2": zone.required_area_m2, "area_kind": zone.area_kind.value},
    )
    same(ours, replace(checked, findings=tuple(check_panel(alone, checked.practice))), ("area.zone",))
