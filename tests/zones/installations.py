"""A whole installation as records: one panel with all that a design check reads, complete and meeting by default.

The figures are those of tests/zones/engineering/designs.py, so that records and plain designs can be compared.
"""

from datetime import date
from types import SimpleNamespace

from tests import builders
from zones.models import DeviceKind, Maker, ProductModel

FIGURES = {
    DeviceKind.CONTROL_PANEL: {
        "rated_voltage_v": 24,
        "supply_limit_a": 10,
        "output_limit_a": 5,
        "standby_current_a": "0.1",
        "alarm_current_a": "0.2",
        "own_voltage_drop_v": "0.3",
        "charger_current_a": "1.5",
        "charger_inhibited": True,
        "battery_fuse_a": 20,
        "battery_fuse_kind": "blade",
        "output_peak_a": 10,
        "supply_peak_a": 20,
        "output_highest_v": "28.8",
        "line_voltage_v": 20,
        "keeps_first_alarm": True,
    },
    DeviceKind.ACTUATOR: {
        "rated_voltage_v": 24,
        "minimum_voltage_v": 18,
        "rated_current_a": 1,
        "starting_current_a": "1.2",
        "stroke_mm": 500,
        "speed_mm_s": 10,
        "lower_voltage_v": 18,
        "lower_speed_mm_s": "9.5",
        "highest_voltage_v": 30,
        "starting_s": "0.3",
        "drive": "polarity",
        "load_kind": "constant current",
    },
    DeviceKind.MANUAL_CALL_POINT: {"rated_voltage_v": 24, "alarm_resistance_ohm": 680, "standby_current_a": 0},
    DeviceKind.SMOKE_DETECTOR: {
        "rated_voltage_v": 24,
        "alarm_resistance_ohm": 680,
        "standby_current_a": "0.00005",
        "removal_opens_line": True,
    },
    DeviceKind.BATTERY: {
        "rated_voltage_v": 12,
        "capacity_ah": 17,
        "discharge_limit_a": 170,
        "charging_limit_a": 5,
        "service_life_years": 10,
    },
}


def make_models(**changes):
    """One product model for each kind, with all figures; `changes` by kind: actuator={"rated_current_a": None}."""
    maker = Maker.objects.get_or_create(name="Tarn Works")[0]
    return {
        kind: builders.make_product_model(kind, maker, **(figures | changes.get(kind.value, {})))
        for kind, figures in FIGURES.items()
    }


def make_installation(building=None, *, models=None, circuits=1, actuators=2, tag="P1", basis=True):
    """A panel with circuits and lines of one zone each; returns it with `models`, `circuits`, `zones`, `lines`.

    `circuits` circuits of `actuators` looped through; each with a zone, two vents, a call point and two detectors.
    """
    building = building or builders.make_building()
    models = models or make_models()
    if basis and not hasattr(building, "design_basis"):
        builders.make_design_basis(building, operations=2)
    panel = builders.make_panel(building, tag=tag, battery_coldest_c=15, battery_usual_c=20)
    panel.position.product_model = models[DeviceKind.CONTROL_PANEL]
    panel.position.save()
    builders.make_battery_set(
        panel,
        product_model=models[DeviceKind.BATTERY],
        capacity_ah=None,
        made_on=date(2026, 1, 5),
        fitted_on=date(2026, 1, 12),
    )
    made = SimpleNamespace(building=building, panel=panel, models=models, circuits=[], zones=[], lines=[])
    first = building.smoke_zones.count()
    for number in range(1, circuits + 1):
        _make_zone(made, number, first + number, actuators, tag)
    return made


def _make_zone(made, number, zone_number, actuators, tag):
    building, panel, models = made.building, made.panel, made.models
    zone = builders.make_zone(
        building, panel, number=zone_number, name="Stair", required_area_m2="1.8", required_area_kind="geometric"
    )
    circuit = builders.make_circuit(panel, number=number, drive="polarity", run_time_s=90, end_place="last_device")
    line = builders.make_line(
        panel,
        number=number,
        smoke_zone=zone,
        end_of_line_ohm=10_000,
        end_of_line_tolerance_percent=1,
        end_place="last_device",
    )
    group = builders.make_vent_group(zone, number=1)
    upstream = None
    for k in range(1, actuators + 1):
        vent = builders.make_vent(
            zone,
            tag=f"V{zone_number}.{k}",
            leaf="top_hung",
            width_mm=1200,
            height_mm=1000,
            reveal_mm=0,
            sides_blocked=False,
        )
        actuator = builders.make_position(
            building,
            "actuator",
            tag=f"{tag}M{number}.{k}",
            panel=panel,
            smoke_zone=zone,
            vent=vent,
            vent_group=group,
            actuator_circuit=circuit,
            order_on_line=k,
            product_model=models[DeviceKind.ACTUATOR],
        )
        builders.fit(actuator, builders.make_unit(models[DeviceKind.ACTUATOR]))
        upstream = builders.make_cable(
            building,
            tag=f"{tag}W{number}.{k}",
            area_mm2="2.5",
            conductor_class="2",
            length_m=10,
            upstream=upstream,
            actuator_circuit=circuit,
            feeds=actuator,
        )
    _make_line_devices(made, number, zone, line, tag)
    made.circuits.append(circuit)
    made.zones.append(zone)
    made.lines.append(line)


def _make_line_devices(made, number, zone, line, tag):
    building, panel, models = made.building, made.panel, made.models
    upstream = None
    for k, kind in enumerate((DeviceKind.MANUAL_CALL_POINT, DeviceKind.SMOKE_DETECTOR, DeviceKind.SMOKE_DETECTOR), 1):
        device = builders.make_position(
            building,
            kind,
            tag=f"{tag}D{number}.{k}",
            panel=panel,
            smoke_zone=zone,
            detection_line=line,
            order_on_line=k,
            product_model=models[kind],
        )
        builders.fit(device, builders.make_unit(models[kind]))
        upstream = builders.make_cable(
            building,
            tag=f"{tag}L{number}.{k}",
            area_mm2="0.75",
            conductor_class="1",
            length_m=10,
            upstream=upstream,
            detection_line=line,
            feeds=device,
        )


def set_figure(model, **figures):
    """Change figures of a data sheet."""
    ProductModel.objects.filter(pk=model.pk).update(**figures)
