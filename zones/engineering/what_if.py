"""What if? Variants of a design and what they change, without touching the original."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from zones.engineering.battery_set import BatterySet
from zones.engineering.cables import CableRun, LoadModel
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


def with_load_kind(circuit: ActuatorCircuit, kind: str) -> ActuatorCircuit:
    """What if every actuator of the circuit were a load of this kind?"""
    load_model = LoadModel(kind)
    return replace(circuit, actuators=tuple(replace(one, load_model=load_model) for one in circuit.actuators))


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
    check_quantity("length", length_m, field="length_m", subject=run_name)
    runs = []
    for run in circuit.runs:
        if run.name == run_name:
            hot_m = None if run.hot_length_m is None else min(run.hot_length_m, length_m)
            run = replace(run, length_m=length_m, hot_length_m=hot_m)
        runs.append(run)
    return replace(circuit, runs=tuple(runs))


def with_actuators(circuit: ActuatorCircuit, count: int) -> ActuatorCircuit:
    """What if the circuit had so many actuators? More are copies of the last one, at its place.

    What must follow does: fewer take the cable that led only to them away, the end-of-line module of the last
    actuator moves with it, and numbers set in the panel and found by it follow where they were right.

    Raises:   QuantityError: not a whole number, below 1, above 500, or a circuit without any to copy.
    """
    check_quantity("count", count, field="number of actuators", subject=circuit.name)
    if not circuit.actuators or count != int(count) or not 1 <= count <= 500:
        accepted = "a whole number from 1 to 500, with one to copy"
        raise QuantityError("number of actuators", count, accepted, subject=circuit.name)
    count, before = int(count), len(circuit.actuators)
    kept, last = circuit.actuators[:count], circuit.actuators[-1]
    added = (replace(last, name=f"{last.name} + {k}") for k in range(1, count - len(kept) + 1))
    actuators = (*kept, *added)
    ends = circuit.end_of_line_at
    return replace(
        circuit,
        runs=_without_dead_ends(circuit.runs, {one.at for one in circuit.actuators[count:]}, {one.at for one in kept}),
        actuators=actuators,
        end_of_line_at=ends and tuple(actuators[-1].name if name == last.name else name for name in ends),
        expected_actuators=count if circuit.expected_actuators == before else circuit.expected_actuators,
        found_actuators=count if circuit.found_actuators == before else circuit.found_actuators,
    )


def _without_dead_ends(runs: tuple[CableRun, ...], no_longer_used: set[str], used: set[str]) -> tuple[CableRun, ...]:
    """The runs without those that led only to places no longer used."""
    fed_from = {run.name: run.fed_from for run in runs}
    feeders = Counter(fed_from.values())
    for name in no_longer_used:
        # From the end towards the panel, as far as nothing else hangs on it.
        while name in fed_from and name not in used and not feeders[name]:
            name_before = fed_from.pop(name)
            feeders[name_before] -= 1
            name = name_before
    return tuple(run for run in runs if run.name in fed_from)


def with_circuit(design: PanelDesign, circuit: ActuatorCircuit) -> PanelDesign:
    """The panel with one circuit exchanged, found by its name; groups lose what it no longer has. Raises KeyError."""
    gone = {one.name for one in design.circuit(circuit.name).actuators} - {one.name for one in circuit.actuators}
    circuits = tuple(circuit if one.name == circuit.name else one for one in design.circuits)
    groups = design.groups
    if gone:
        groups = tuple(
            replace(group, actuators=tuple(name for name in group.actuators if name not in gone)) for group in groups
        )
    return replace(design, circuits=circuits, groups=groups)


def with_battery(design: PanelDesign, capacity_ah: float) -> PanelDesign:
    """The panel with a battery of another capacity; what its maker says of the old one is no longer known."""
    unknown = dict.fromkeys(("greatest_current_a", "charging_limit_a", "internal_ohm"))
    battery = design.battery or BatterySet()
    return replace(design, battery=replace(battery, capacity_ah=capacity_ah, **unknown))


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


class FindingChange(NamedTuple):
    """One thing said before and after: ``None`` before is new, ``None`` after is gone, else the figures changed."""

    before: Finding | None
    after: Finding | None


def paired(changed: Difference) -> list[FindingChange]:
    """Findings of the same check about the same thing side by side, in the order of the checks; the rest alone."""
    waiting: dict[tuple[str, str], list[Finding]] = {}
    for one in changed.new:
        waiting.setdefault((one.code, one.subject), []).append(one)
    pairs = []
    for one in changed.gone:
        partners = waiting.get((one.code, one.subject))
        pairs.append(FindingChange(one, partners.pop(0) if partners else None))
    left = {id(one) for partners in waiting.values() for one in partners}
    return pairs + [FindingChange(None, one) for one in changed.new if id(one) in left]
