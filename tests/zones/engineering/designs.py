"""Designs for the tests: valid and complete by default, each argument changes one thing."""

from dataclasses import replace
from datetime import date

from zones.engineering import (
    STANDBY_BASES,
    Actuator,
    ActuatorCircuit,
    AreaKind,
    BatterySet,
    CableRun,
    Conductor,
    DetectionLine,
    EndOfLineResistor,
    FittedUnit,
    LineDevice,
    LineRole,
    LoadModel,
    PanelDesign,
    PowerSupply,
    ReleaseDevice,
    SmokeZone,
    Vent,
    VentGroup,
    VentKind,
)

ASSESSED_ON = date(2026, 3, 2)
CLASS_2_2_5 = Conductor(2.5, 2)


def make_actuator(name="A1", at="C1", **changes):
    """An actuator of 1 A, 500 mm in 50 s at 24 V and in 52.6 s at 18 V."""
    figures = {
        **{"vent": "V1", "rated_current_a": 1.0, "starting_current_a": 1.2, "rated_voltage_v": 24.0},
        **{"minimum_voltage_v": 18.0, "stroke_mm": 500.0, "speed_mm_per_s": 10.0},
        **{"lower_voltage_v": 18.0, "lower_speed_mm_per_s": 9.5, "highest_voltage_v": 32.0, "starting_s": 0.2},
        "load_model": LoadModel.CONSTANT_CURRENT,
    }
    return Actuator(name, at, **(figures | changes))


def make_circuit(name="circuit 1", *, count=2, section_m=10.0, conductor=CLASS_2_2_5, actuator=None, **changes):
    """A looped circuit: panel, A1, A2, … each `section_m` from the one before."""
    runs = tuple(
        CableRun(f"C{k}", section_m, conductor, fed_from=f"C{k - 1}" if k > 1 else None) for k in range(1, count + 1)
    )
    prefix = name.replace("circuit ", "A")
    drives = tuple(make_actuator(f"{prefix}.{k}", f"C{k}", **(actuator or {})) for k in range(1, count + 1))
    figures = {"output_limit_a": 5.0, "run_time_s": 90.0, "end_of_line_at": (drives[-1].name,)}
    return ActuatorCircuit(name, runs, drives, **(figures | changes))


def make_device(name, kind=LineRole.DETECTOR, **changes):
    """A device 10 m of 0.75 mm² beyond the one before."""
    drawn_a = 50e-6 if kind == LineRole.DETECTOR else 0.0
    figures = {
        **{"length_m": 10.0, "conductor": Conductor(0.75, 1), "alarm_ohm": 680.0, "alarm_tolerance": 0.05},
        **{"quiescent_current_a": drawn_a, "removal_opens_line": kind == LineRole.DETECTOR},
    }
    return LineDevice(name, kind, **(figures | changes))


def make_line(name="L1", *, devices=None, elements=None, **changes):
    """A line of one call point and two detectors, 10 kilohm at the last."""
    if devices is None:
        devices = (make_device("B1", LineRole.CALL_POINT), make_device("D1"), make_device("D2"))
    if elements is None:
        elements = (EndOfLineResistor(devices[-1].name if devices else "panel", 10_000.0, 0.01),)
    return DetectionLine(name, devices, elements, **({"line_voltage_v": 20.0, "keeps_first_alarm": True} | changes))


def make_panel(**changes):
    """A panel of one zone that meets everything that is entered."""
    circuit = make_circuit()
    figures = {
        "supply": PowerSupply(
            **{"rated_current_a": 5.0, "output_voltage_v": 24.0, "own_drop_v": 0.3, "quiescent_current_a": 0.1},
            **{"alarm_current_a": 0.2, "charger_current_a": 1.0, "charger_inhibited": True},
            **{"highest_voltage_v": 28.0},
        ),
        "battery": BatterySet(
            **{"capacity_ah": 17.0, "basis": STANDBY_BASES["en-12101-10-2005-72h"], "operations": 2},
            **{"greatest_current_a": 50.0, "fuse_a": 10.0, "charging_limit_a": 4.0, "coldest_c": 15.0, "usual_c": 20.0},
            **{"made_on": date(2025, 1, 6), "design_life_years": 10.0},
        ),
        "circuits": (circuit,),
        "lines": (make_line(),),
        "zones": (SmokeZone("Z1", 1.0, AreaKind.GEOMETRIC, needs_detection=True),),
        "vents": (
            Vent(
                "V1",
                VentKind.TOP_HUNG,
                "Z1",
                width_m=1.2,
                height_m=1.0,
                stroke_mm=500.0,
                reveal_m=0.0,
                sides_blocked=False,
            ),
        ),
        "releases": (ReleaseDevice("B1", "manual call point", "Z1"), ReleaseDevice("D1", "detector", "Z1")),
        "groups": (VentGroup("G1", "Z1", tuple(one.name for one in circuit.actuators)),),
        "units": (
            FittedUnit("A1.1", "chain drive", "1001", "Z1", 24.0),
            FittedUnit("A1.2", "chain drive", "1002", "Z1", 24.0),
        ),
        "zone_numbers": (1,),
        "group_numbers": (1,),
        "assessed_on": ASSESSED_ON,
    }
    return PanelDesign("panel P1", **(figures | changes))


def without(thing, **fields):
    """The same with these fields not known: ``without(actuator, rated_current_a=1)``."""
    return replace(thing, **dict.fromkeys(fields))


def codes(findings, severity):
    """Codes of the findings of one severity, in order."""
    return [one.code for one in findings if one.severity == severity]


def only(findings, code):
    """The one finding with a code."""
    found = [one for one in findings if one.code == code]
    assert len(found) == 1, [one.code for one in findings]
    return found[0]
