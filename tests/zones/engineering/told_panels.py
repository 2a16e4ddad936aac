"""Panels whose design check is told whole: one with everything recorded, and what is taken from it or made wrong."""

from dataclasses import fields, is_dataclass, replace
from datetime import date

from tests.zones.engineering.designs import make_circuit, make_device, make_line, make_panel
from zones.engineering import (
    AreaKind,
    CircuitKind,
    Conductor,
    EndOfLineResistor,
    FittedUnit,
    LineRole,
    LoadModel,
    OpenedBy,
    PanelDesign,
    ReleaseDevice,
    SmokeZone,
    Vent,
    VentGroup,
    VentKind,
)
from zones.engineering.area_methods import METHODS, AreaInputs
from zones.engineering.cable_ratings import Insulation, Laying, Method
from zones.engineering.data_links import DataLink, LinkDevice
from zones.engineering.detection_lines import AlarmWiring
from zones.engineering.fuses import DEVICE_KINDS, ProtectiveDevice
from zones.engineering.inlet_opening import OpeningCause
from zones.engineering.leaf_force import HingeAt, Leaf
from zones.engineering.vent_classes import VentClasses

GEOMETRIC, AERODYNAMIC = AreaKind.GEOMETRIC, AreaKind.AERODYNAMIC
CLIPPED = Laying(Insulation.THERMOPLASTIC, Method.C, 2, 30.0)
CLASSES = VentClasses(wind_pa=1500, snow_pa=500, cold_c=-15, reliability=1000, heat_c=300)
LEAF = Leaf(
    **{"mass_kg": 20.0, "installed_deg": 10.0, "hinge_at": HingeAt.UPPER, "bracket_m": 1.0, "bracket_depth_m": 0.0},
    **{"wind_opening_pa": 50.0, "wind_suction_pa": 300.0, "snow_pa": 250.0, "movers": 1},
)
UPRIGHT = replace(LEAF, installed_deg=90.0, hinge_at=HingeAt.SIDE, bracket_m=1.2, snow_pa=None)
FORCES = {
    **{"push_force_n": 900.0, "pull_force_n": 600.0, "holding_force_n": 2500.0},
    **{"lower_push_force_n": 800.0, "lower_pull_force_n": 560.0, "lower_current_a": 1.1},
}
FIRE = {"hot_length_m": 3.0, "fire_class": "p", "integrity_minutes": 90.0, "fixing_minutes": 90.0}


def _circuit(number, device, model=LoadModel.CONSTANT_CURRENT, **changes):
    """Two actuators that move a vent of their own each."""
    vents = (f"V{2 * number - 1}", f"V{2 * number}")
    figures = {"load_model": model, **FORCES}
    circuit = make_circuit(f"circuit {number}", section_m=8.0, actuator=figures, device=device, **changes)
    first, last = circuit.runs
    runs = (replace(first, laying=CLIPPED, **FIRE), replace(last, laying=CLIPPED, cores_per_pole=2, **FIRE))
    drives = tuple(
        replace(one, vent=vent, vent_key=int(vent[1:])) for one, vent in zip(circuit.actuators, vents, strict=True)
    )
    return replace(circuit, runs=runs, actuators=drives, output_peak_a=12.0, fire_minutes=30)


def _vent(number, kind, zone, **changes):
    figures = {"width_m": 1.2, "height_m": 1.0, "stroke_mm": 500.0, "reveal_m": 0.1, "sides_blocked": False}
    figures |= {"key": number, "leaf": LEAF}
    return Vent(f"V{number}", kind, zone, classes=CLASSES, **(figures | changes))


def _circuits():
    return (
        _circuit(1, ProtectiveDevice(DEVICE_KINDS["blade"], 5.0)),
        _circuit(2, ProtectiveDevice(DEVICE_KINDS["electronic"], 5.0, 6.5, 0.05), LoadModel.CONSTANT_POWER),
        _circuit(
            *(3, ProtectiveDevice(DEVICE_KINDS["breaker_b"], 6.0), LoadModel.RESISTIVE),
            **{"kind": CircuitKind.ADDRESSED, "expected_actuators": 2, "found_actuators": 2, "delay_s": 2.0},
        ),
    )


def _sources(base):
    fuse = ProtectiveDevice(DEVICE_KINDS["time_lag"], 25.0)
    supply = replace(
        base.supply,
        **{"rated_current_a": 12.0, "peak_current_a": 20.0, "fault_current_a": 80.0, "stagger_s": 0.5},
        **{"fuse": fuse, "charger_inhibited": False, "charger_current_a": 2.0},
    )
    battery = replace(
        base.battery,
        **{"capacity_ah": 38.0, "internal_ohm": 0.04, "fuse_a": 30.0, "fuse_kind": DEVICE_KINDS["blade"]},
        **{"lead_mm2": 10.0, "lead_m": 1.0, "made_on": date(2024, 3, 4), "charging_limit_a": 9.0},
    )
    return supply, battery


def _signals():
    series = make_device("D3", alarm_wiring=AlarmWiring.SERIES)
    lines = (
        make_line(),
        make_line("L2", devices=(make_device("B2", LineRole.CALL_POINT), series), keeps_first_alarm=False),
    )
    inputs = (make_line("input 1", devices=(make_device("FA1", LineRole.CONTACT),), is_input=True),)
    called = [
        LinkDevice(name, before, metres, Conductor(0.75, 1), 0.05, 18.0)
        for name, before, metres in (("CP1", "", 100.0), ("CP2", "CP1", 50.0))
    ]
    return {"lines": lines, "inputs": inputs, "links": (DataLink("data link 1", tuple(called), listed=2),)}


def _zones():
    stair = AreaInputs(floor_area_m2=50.0, floor_percent=2.0)
    plume = AreaInputs(fire_perimeter_m=12.0, heat_release_kw=2500.0, clear_height_m=3.0, layer_depth_m=2.0)
    return (
        SmokeZone(
            *("Z1", 1.5, GEOMETRIC),
            **{"needs_detection": True, "inlet_ratio": 1.0, "inlet_kind": GEOMETRIC},
            **{"method": METHODS["percent"], "inputs": stair},
        ),
        SmokeZone("Z2", 0.7, AERODYNAMIC, needs_detection=True, method=METHODS["large-fire"], inputs=plume),
        SmokeZone("Z3", needs_detection=False, needs_no_inlets=True, method=METHODS["en-stair"]),
    )


def _vents():
    tested = {"discharge_coefficient": 0.6, "coefficient_tested": True, "tested_angle_deg": 28.0}
    blades = {"blades": 8, "blade_pitch_m": 0.12, "blade_angle_deg": 85.0, "blade_thickness_m": 0.01, "leaf": None}
    declared = {"declared_geometric_m2": 1.0, "declared_aerodynamic_m2": 0.6, "tested_angle_deg": 20.0}
    return (
        _vent(1, VentKind.TOP_HUNG, "Z1", fixing_m=0.9, leaf=replace(LEAF, bracket_m=0.7, bracket_depth_m=0.4)),
        _vent(2, VentKind.DOME, "Z1"),
        _vent(3, VentKind.BOTTOM_HUNG, "Z2", **tested, leaf=replace(UPRIGHT, hinge_at=HingeAt.LOWER, bracket_m=1.0)),
        _vent(4, VentKind.SIDE_HUNG, "Z2", **declared, leaf=UPRIGHT),
        _vent(5, VentKind.LOUVRE, "Z3", **blades),
        _vent(6, VentKind.SLIDING, "Z1", is_inlet=True, leaf=None),
        Vent("V7", VentKind.TOP_HUNG, "Z1", declared_geometric_m2=1.6, is_inlet=True, opened_by=OpenedBy.DOOR),
    )


def _recorded() -> PanelDesign:
    base, circuits = make_panel(), _circuits()
    supply, battery = _sources(base)
    names = [one.name for circuit in circuits for one in circuit.actuators]
    return PanelDesign(
        *("panel P1", supply, battery, circuits),
        **_signals(),
        **{"zones": _zones(), "vents": _vents(), "classes_asked": replace(CLASSES, snow_pa=250, cold_c=-5)},
        releases=(
            *(ReleaseDevice(f"B{k}", "manual call point", f"Z{k}") for k in (1, 2, 3)),
            *(ReleaseDevice(f"D{k}", "detector", f"Z{k}") for k in (1, 2)),
        ),
        groups=(VentGroup("G1", "Z1", tuple(names[:2])), VentGroup("G2", "Z2", tuple(names[2:4]))),
        units=tuple(FittedUnit(name, "chain drive", f"100{k}", "Z1", 24.0) for k, name in enumerate(names)),
        zone_numbers=(1, 2, 3),
        group_numbers=(1, 2),
        opening_causes=(OpeningCause("smoke in Z1", dict.fromkeys(names, 0.0)),),
        assessed_on=base.assessed_on,
    )


RECORDED = _recorded()


def with_part(design, path, **changes):
    """The panel with a part of it changed: ``with_part(RECORDED, "circuits.0.runs.1", length_m=None)``."""
    name, _, rest = path.partition(".")
    if not name:
        return replace(design, **changes)
    if isinstance(design, tuple):
        place = int(name)
        return (*design[:place], with_part(design[place], rest, **changes), *design[place + 1 :])
    return replace(design, **{name: with_part(getattr(design, name), rest, **changes)})


PARTS = (
    *("", "supply", "battery", "circuits.0", "circuits.0.runs.0", "circuits.1.runs.1", "circuits.0.actuators.0"),
    *("circuits.1.actuators.1", "circuits.2", "circuits.0.runs.0.laying", "circuits.0.device", "circuits.1.device"),
    *("circuits.2.actuators.0", "lines.0", "lines.0.devices.1", "lines.0.elements.0", "inputs.0.devices.0", "links.0"),
    *("links.0.devices.1", "zones.0", "zones.1", "zones.0.inputs", "zones.1.inputs", "zones.2"),
    *(f"vents.{place}" for place in range(7)),
    *("vents.0.leaf", "vents.2.leaf", "vents.0.classes", "classes_asked", "releases.0", "groups.0", "units.0"),
)


def less_one_figure():
    """(what is not known, panel) for one figure after the other."""
    for path in PARTS:
        part = RECORDED
        for name in filter(None, path.split(".")):
            part = part[int(name)] if isinstance(part, tuple) else getattr(part, name)
        for field in fields(part):
            value = getattr(part, field.name)
            if field.default is None and value is not None and not is_dataclass(value):
                yield f"{path}.{field.name}".strip("."), with_part(RECORDED, path, **{field.name: None})


# (part, what is entered there): each alone makes something wrong, strange, or larger than the rest bears.
WRONG = (
    ("supply", {"rated_current_a": 6.0}),
    ("supply", {"rated_current_a": 8.5, "charger_inhibited": True, "charger_current_a": None}),
    ("supply", {"rated_current_a": 7.0, "stagger_s": 0.0, "peak_current_a": 9.0}),
    ("supply", {"rated_current_a": 7.0, "stagger_s": 0.1, "peak_current_a": None}),
    ("supply", {"rated_current_a": 4.5, "sequential": True, "gap_s": 3.0}),
    ("supply", {"highest_voltage_v": 33.0}),
    ("supply", {"own_drop_v": 3.0, "output_voltage_v": 21.5}),
    ("supply", {"fuse": ProtectiveDevice(DEVICE_KINDS["quick"], 3.0)}),
    ("supply", {"fuse": ProtectiveDevice(None, 25.0)}),
    ("supply", {"fault_current_a": 6.0}),
    ("battery", {"capacity_ah": 7.0, "greatest_current_a": 7.2, "charging_limit_a": 1.5}),
    ("battery", {"fuse_a": 7.0, "lead_mm2": 0.5, "coldest_c": -15.0}),
    ("battery", {"fuse_kind": DEVICE_KINDS["time_lag"], "fuse_a": 7.0, "lead_mm2": 0.5}),
    ("battery", {"usual_c": 35.0, "operations": 60, "peukert_exponent": 1.3}),
    ("battery", {"made_on": date(2019, 3, 4), "internal_ohm": 1.5}),
    ("battery", {"made_on": date(2022, 5, 4), "standby_h": 200.0}),
    ("circuits.0", {"output_limit_a": 2.0, "output_peak_a": 2.0, "run_time_s": 45.0}),
    ("circuits.0", {"run_time_s": 58.0, "delay_s": 9.0, "end_of_line_at": ("A1.1",)}),
    ("circuits.0", {"run_time_s": 900.0, "end_of_line_at": (), "fire_minutes": 120}),
    ("circuits.0", {"stub": ("C2",), "end_of_line_at": None}),
    ("circuits.0", {"stub": ("C1", "C2"), "end_of_line_at": None}),
    ("circuits.0", {"device": ProtectiveDevice(DEVICE_KINDS["blade"], 30.0), "output_limit_a": 35.0}),
    ("circuits.0", {"device": ProtectiveDevice(DEVICE_KINDS["quick"], 2.0)}),
    ("circuits.1", {"device": ProtectiveDevice(DEVICE_KINDS["electronic"], 40.0, 90.0, 7.0), "output_limit_a": 40.0}),
    ("circuits.2", {"device": ProtectiveDevice(DEVICE_KINDS["breaker_c"], 25.0), "found_actuators": 1}),
    ("circuits.2", {"expected_actuators": 3, "found_actuators": 3}),
    ("circuits.0.runs.1", {"length_m": 250.0}),
    ("circuits.1.runs.0", {"length_m": 120.0, "hot_length_m": 60.0}),
    ("circuits.2.runs.0", {"conductor": Conductor(0.5, 2), "length_m": 60.0}),
    ("circuits.0.runs.0", {"fire_class": "ph", "integrity_minutes": 15.0, "fire_text": "PH 120"}),
    ("circuits.0.runs.0.laying", {"grouped": 20, "ambient_c": 60.0, "method": Method.A2}),
    ("circuits.0.actuators.1", {"at": "C1"}),
    ("circuits.0.actuators.0", {"speed_mm_per_s": 8.0, "lower_speed_mm_per_s": 7.0, "highest_voltage_v": 26.0}),
    ("circuits.0.actuators.0", {"push_force_n": 120.0, "lower_push_force_n": 100.0, "holding_force_n": 200.0}),
    ("circuits.1.actuators.0", {"minimum_voltage_v": 20.8, "vent": "V4", "vent_key": 4, "speed_mm_per_s": 14.0}),
    ("circuits.1.actuators.0", {"rated_current_a": 9.0, "starting_current_a": 15.0, "starting_s": 0.5}),
    ("lines.0", {"keeps_first_alarm": False, "line_voltage_v": 9.0}),
    ("lines.0", {"elements": (EndOfLineResistor("D1", 10_000.0, 0.01), EndOfLineResistor("D2", 4_700.0, 0.2))}),
    ("lines.0.elements.0", {"resistance_ohm": 22_000.0, "at": "B1"}),
    ("lines.0.elements.0", {"resistance_ohm": 1_000.0}),
    ("lines.0.devices.1", {"length_m": 1_900.0, "quiescent_current_a": 0.0008, "removal_opens_line": False}),
    ("lines.0.devices.1", {"alarm_ohm": 2_600.0, "alarm_tolerance": 0.3}),
    ("inputs.0.elements.0", {"resistance_ohm": 3_000.0}),
    ("links.0", {"listed": 3}),
    ("links.0.devices.0", {"length_m": 900.0}),
    ("zones.0", {"required_area_m2": 2.5, "inlet_ratio": 2.0}),
    ("zones.0", {"area_kind": AERODYNAMIC, "inlet_kind": AERODYNAMIC}),
    ("zones.0", {"required_area_m2": 1.0, "needs_no_inlets": True}),
    ("zones.1", {"required_area_m2": 3.5, "inlet_ratio": 1.5, "inlet_kind": AERODYNAMIC}),
    ("zones.1", {"required_area_m2": None, "method": METHODS["axisymmetric"]}),
    ("zones.2", {"needs_detection": True, "method": METHODS["fr-workplace"], "needs_no_inlets": False}),
    ("zones.2", {"method": METHODS["bs-stair"], "inlet_ratio": 1.0, "inlet_kind": GEOMETRIC}),
    ("vents.0", {"stroke_mm": 1_950.0}),
    ("vents.0", {"reveal_m": 0.6, "sides_blocked": True, "zone": "Z9"}),
    ("vents.1", {"kind": VentKind.DOUBLE_LEAF, "stroke_mm": 300.0}),
    ("vents.2", {"tested_angle_deg": 60.0, "width_m": 0.15}),
    ("vents.3", {"tested_angle_deg": None, "discharge_coefficient": 0.5}),
    ("vents.5", {"opened_by": OpenedBy.HAND, "stroke_mm": None}),
    ("vents.0.leaf", {"mass_kg": 90.0, "wind_suction_pa": 2_500.0, "snow_pa": 900.0}),
    ("vents.0.leaf", {"movers": 2, "hinge_at": None, "installed_deg": 45.0}),
    ("vents.1.leaf", {"opens_inwards": True, "mass_kg": 140.0}),
    ("vents.0.classes", {"wind_pa": 500, "snow_pa": 0, "cold_c": 0, "heat_c": None}),
    ("releases.0", {"zone": "Z2"}),
    ("groups.1", {"zone": None, "actuators": ("A1.1", "A9.9")}),
    ("units.1", {"rated_voltage_v": 12.0, "serial": "1000"}),
    ("units.2", {"zone": "Z2", "serial": None}),
    ("", {"zone_numbers": (1, 1, 4, 0), "group_numbers": (2,)}),
    ("", {"opening_causes": (OpeningCause("smoke in Z1", {"A1.1": 0.0, "A1.2": 0.0}),)}),
    ("", {"opening_causes": (OpeningCause("smoke in Z1", {"A1.1": 0.0, "A3.2": 45.0}),)}),
    ("", {"circuits": RECORDED.circuits[:2], "battery": None}),
)


def made_wrong():
    """(what is entered, panel) for one thing after the other."""
    for path, changes in WRONG:
        named = ", ".join(f"{name}={_short(value)}" for name, value in changes.items())
        yield f"{path} {named}".strip(), with_part(RECORDED, path, **changes)


def _short(value):
    if isinstance(value, ProtectiveDevice):
        return f"{value.kind.key if value.kind else None} {value.rated_a}"
    if isinstance(value, tuple):
        return f"({', '.join(map(_short, value))})"
    return str(getattr(value, "name", value))
