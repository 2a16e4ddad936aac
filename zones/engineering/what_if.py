"""What if? Variants of a design and what they change, without touching the original."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from zones.engineering.battery_check import BatterySet
from zones.engineering.circuits import ActuatorCircuit
from zones.engineering.conductors import Conductor
from zones.engineering.findings import Finding
from zones.engineering.panel_design import PanelDesign
from zones.engineering.quantities import QuantityError, check_quantity, require_positive


def with_area(circuit: ActuatorCircuit, area_mm2: float, conductor_class: int | None = None) -> ActuatorCircuit:
    """What if every run of the circuit had this section?

    Args:     conductor_class: for runs whose class is not known; known classes and tinning stay.
    Raises:   QuantityError: no standard size, or a class that nobody has given.
    """
    runs = []
    for run in circuit.runs:
        old = run.conductor
        known = old is not None and old.conductor_class is not None
        new = Conductor(
            area_mm2,
            old.conductor_class if known else conductor_class,
            old.tinned if old is not None else False,
        )
        runs.append(replace(run, conductor=new))
    return replace(circuit, runs=tuple(runs))


def with_lengths(circuit: ActuatorCircuit, factor: float) -> ActuatorCircuit:
    """What if every run were so many times as long? Hot lengths stay, but never exceed the run."""
    require_positive("length factor", factor, subject=circuit.name)
    runs = []
    for run in circuit.runs:
        if run.length_m is None:
            runs.append(run)
            continue
        length_m = run.length_m * factor
        hot_m = None if run.hot_length_m is None else min(run.hot_length_m, length_m)
        runs.append(replace(run, length_m=length_m, hot_length_m=hot_m))
    return replace(circuit, runs=tuple(runs))


def with_run_length(circuit: ActuatorCircuit, run_name: str, length_m: float) -> ActuatorCircuit:
    """What if one run had another length? Raises QuantityError."""
    if run_name not in {run.name for run in circuit.runs}:
        names = ", ".join(run.name for run in circuit.runs)
        raise QuantityError("run", run_name, f"one of: {names}", subject=circuit.name)
    runs = (replace(run, length_m=length_m) if run.name == run_name else run for run in circuit.runs)
    return replace(circuit, runs=tuple(runs))


def with_actuators(circuit: ActuatorCircuit, count: int) -> ActuatorCircuit:
    """What if the circuit had so many actuators? More are copies of the last one, at its place.

    Raises:   QuantityError: below 1, above 500, or a circuit without any to copy.
    """
    check_quantity("count", count, field="number of actuators", subject=circuit.name)
    if not circuit.actuators or not 1 <= count <= 500:
        raise QuantityError("number of actuators", count, "1 to 500, with one to copy", subject=circuit.name)
    kept, last = circuit.actuators[:count], circuit.actuators[-1]
    added = (replace(last, name=f"{last.name} + {k}") for k in range(1, count - len(kept) + 1))
    return replace(circuit, actuators=(*kept, *added))


def with_circuit(design: PanelDesign, circuit: ActuatorCircuit) -> PanelDesign:
    """The panel with one circuit exchanged, found by its name. Raises KeyError."""
    design.circuit(circuit.name)
    circuits = tuple(circuit if one.name == circuit.name else one for one in design.circuits)
    return replace(design, circuits=circuits)


def with_battery(design: PanelDesign, capacity_ah: float) -> PanelDesign:
    """The panel with a battery of another capacity; what its maker says of current is no longer known."""
    battery = design.battery or BatterySet()
    return replace(design, battery=replace(battery, capacity_ah=capacity_ah, greatest_current_a=None))


@dataclass(frozen=True, slots=True)
class Difference:
    """What a variant changes: findings that are no longer said, and findings that are new."""

    gone: tuple[Finding, ...]
    new: tuple[Finding, ...]


def difference(before: Sequence[Finding], after: Sequence[Finding]) -> Difference:
    """Compare the findings of two designs; what both say is left out."""
    earlier, later = {one.sentence for one in before}, {one.sentence for one in after}
    return Difference(
        tuple(one for one in before if one.sentence not in later),
        tuple(one for one in after if one.sentence not in earlier),
    )
