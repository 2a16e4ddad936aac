"""Engineering of natural smoke control: pure computation, usable from a notebook.

No Django, no database, no clock. Frozen dataclasses go in, numbers and findings come out. Units stand in the
names (`length_m`, `current_a`); ``None`` means "not known" and gives a finding of severity *missing*, never a
pass. Requirements are rounded up, what is available is rounded down. Constants carry their source and a tag:
[S] published and seen, [S2] seen second-hand, [M] from memory, [P] common practice (edit `TradePractice`).

**It supports a competent person. It does not replace the standards, the makers' instructions or local codes.**

One cable, three actuators, 24 V at the panel:

>>> from zones.engineering import Actuator, ActuatorCircuit, CableRun, Conductor, Load, LoadModel
>>> from zones.engineering import check_circuit, solve_tree
>>> size = Conductor(area_mm2=2.5, conductor_class=2)
>>> runs = [CableRun("C1", 20, size), CableRun("C2", 10, size, fed_from="C1"), CableRun("C3", 15, size, "C1")]
>>> loads = [Load("A1", "C1", 1.0), Load("A2", "C2", 1.0), Load("A3", "C3", 1.0)]
>>> {name: round(volts, 3) for name, volts in solve_tree(runs, loads, 24.0).items()}
{'C1': 23.111, 'C2': 22.963, 'C3': 22.889}

The same as a circuit of a panel, checked, and what if the cable were thinner:

>>> figures = {"rated_current_a": 1.0, "rated_voltage_v": 24, "minimum_voltage_v": 19.2}
>>> drives = tuple(
...     Actuator(f"A{k}", f"C{k}", load_model=LoadModel.CONSTANT_CURRENT, **figures)
...     for k in (1, 2, 3)
... )
>>> circuit = ActuatorCircuit("Circuit 1", tuple(runs), drives)
>>> finding = check_circuit(circuit, mains_v=24.0, discharged_v=21.0)[0]
>>> print(finding.severity, "|", finding.sentence)
meets | Circuit 1: A3 gets 19.67 V at the end of battery discharge, 0.47 V above its minimum of 19.2 V: within \
the entered limit (data sheet).

>>> from zones.engineering.what_if import with_area
>>> finding = check_circuit(with_area(circuit, 1.5), mains_v=24.0, discharged_v=21.0)[0]
>>> print(finding.severity, "|", finding.sentence)
fail | Circuit 1: A3 gets 18.82 V at the end of battery discharge, 0.38 V below its minimum of 19.2 V. Use \
2.5 mm² throughout or keep the route to A3 within 29 m.

A battery: 72 h of standby at 0.15 A, then three operations of 50 s at 8 A:

>>> from zones.engineering import STANDBY_BASES, next_standard_size_ah, required_capacity
>>> basis = STANDBY_BASES["en-12101-10-2005-72h"]
>>> needed = required_capacity(basis, quiescent_a=0.15, operating_a=8, operations=3, seconds_each=50)
>>> round(needed.capacity_ah, 3), next_standard_size_ah(needed.capacity_ah)
(14.375, 17.0)

A whole panel is a :class:`PanelDesign`; :func:`check_panel` says everything about it. A bare one shows what
must be entered:

>>> from zones.engineering import PanelDesign, check_panel, worst_severity
>>> findings = check_panel(PanelDesign("Panel 1", circuits=(circuit,)))
>>> str(worst_severity(findings))
'missing'
>>> findings[0].sentence
'voltage on mains of the panel not known: voltage on Circuit 1 not checked. Enter it to get a verdict.'

Modules: quantities, findings, sources, trade_practice, copies, derived · conductors, networks, cable_ratings, cables,
loadings, circuits, solved_circuits, operation, circuit_check, cable_rating_check, signal_check · fuses,
short_circuits, selectivity, protection_check · load_kinds, highest_voltage · supply · batteries, battery_life,
battery_check · detection_lines, line_ranges, line_check, data_links, fault_location (a folder) · actuators, travels ·
vents, zone_areas · area_methods, required_areas, asked_areas, plumes (a sanity check, not a design tool) ·
replacement_air, inlet_opening · leaf_force, force_check, vent_classes · consistency · panel_design, panel_check,
what_if · insulation · plan_geometry · editions.
"""

from zones.engineering.actuators import Actuator
from zones.engineering.batteries import STANDBY_BASES, StandbyBasis, next_standard_size_ah, required_capacity
from zones.engineering.battery_set import BatterySet
from zones.engineering.cables import CableRun, Load, LoadModel, TreeError, solve_tree
from zones.engineering.circuit_check import check_circuit
from zones.engineering.circuits import ActuatorCircuit, CircuitKind, circuit_voltages
from zones.engineering.conductors import Conductor
from zones.engineering.detection_lines import DetectionLine, EndOfLineResistor, LineDevice, LineRole
from zones.engineering.fault_location import locate_fault
from zones.engineering.findings import Finding, Severity, worst_first, worst_severity
from zones.engineering.panel_check import CAUTION, check_panel
from zones.engineering.panel_design import FittedUnit, PanelDesign, ReleaseDevice, VentGroup
from zones.engineering.power_supply import PowerSupply
from zones.engineering.quantities import QuantityError
from zones.engineering.smoke_zones import SmokeZone
from zones.engineering.sources import Source
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice
from zones.engineering.vents import AreaKind, OpenedBy, Vent, VentKind

__all__ = [
    "CAUTION",
    "STANDBY_BASES",
    "TRADE_PRACTICE",
    "Actuator",
    "ActuatorCircuit",
    "AreaKind",
    "BatterySet",
    "CableRun",
    "CircuitKind",
    "Conductor",
    "DetectionLine",
    "EndOfLineResistor",
    "Finding",
    "FittedUnit",
    "LineDevice",
    "LineRole",
    "Load",
    "LoadModel",
    "OpenedBy",
    "PanelDesign",
    "PowerSupply",
    "QuantityError",
    "ReleaseDevice",
    "Severity",
    "SmokeZone",
    "Source",
    "StandbyBasis",
    "TradePractice",
    "TreeError",
    "Vent",
    "VentGroup",
    "VentKind",
    "check_circuit",
    "check_panel",
    "circuit_voltages",
    "locate_fault",
    "next_standard_size_ah",
    "required_capacity",
    "solve_tree",
    "worst_first",
    "worst_severity",
]
