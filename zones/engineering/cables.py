"""Voltage drop: one load at the end of a run, and trees of any branching.

Three models of a load. The same nameplate (24 V, 4 A) gives three answers: constant power is the worst,
resistive the mildest; above the rated voltage it is the other way round. Constant current is the usual one; constant
power suits actuators with switching electronics. Where nobody said which, the worst at each voltage counts.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from zones.engineering.cable_ratings import (
    NOT_KNOWN,
    Laying,
    checked_cores_per_pole,
    greatest_rating_a,
    least_rating_a,
    loaded_temperature_c,
)
from zones.engineering.conductors import (
    STANDARD_AREAS_MM2,
    Conductor,
    resistance_ohm_per_km,
    warm_factor,
)
from zones.engineering.copies import Kind, kind_of
from zones.engineering.derived import derived
from zones.engineering.networks import PANEL, Network, OpenLoad, OperatingPoint, solve, summed_to_panel
from zones.engineering.quantities import QuantityError, check_optional, check_quantity


class LoadModel(StrEnum):
    """How the current of a load answers to a lower voltage."""

    CONSTANT_CURRENT = "constant current"
    CONSTANT_POWER = "constant power"
    RESISTIVE = "resistive"
    NOT_KNOWN = "not known"  # whichever of the three takes most at each voltage counts


_OF_A_METRE = ("conductor", "temperature_c", "cores_per_pole", "laying")
KNOWN_KINDS = (LoadModel.CONSTANT_CURRENT, LoadModel.CONSTANT_POWER, LoadModel.RESISTIVE)


class TreeError(ValueError):
    """The runs of a circuit do not form a tree; ``str(error)`` says which run and why."""


@dataclass(frozen=True)
class CableRun:
    """Two cores of a cable from one point to the next; its name is also the name of its far end.

    `fed_from` names the run that feeds it, ``None`` is the panel. `length_m` is one way, `hot_length_m` the
    part of it that runs through the fire; who decides it is the fire engineer. ``None`` = not known.
    `cores_per_pole`: alike cores side by side on each pole. `temperature_c`: of its cores, where it is not that of the
    circuit. `integrity_minutes`, `fixing_minutes`: for how long cable and fixings are proved in a fire; `fire_text`:
    what is printed on the cable, never judged by.
    """

    name: str
    length_m: float | None
    conductor: Conductor | None
    fed_from: str | None = None
    hot_length_m: float | None = None
    temperature_c: float | None = None
    cores_per_pole: int = 1
    laying: Laying = NOT_KNOWN
    fire_class: str = ""
    integrity_minutes: float | None = None
    fixing_minutes: float | None = None
    fire_text: str = ""

    def __post_init__(self):
        checked_cores_per_pole(self.cores_per_pole, self.name)
        check_optional("integrity_minutes", self.integrity_minutes, field="integrity_min", subject=self.name)
        check_optional("integrity_minutes", self.fixing_minutes, field="fixing_min", subject=self.name)
        check_optional("length", self.length_m, field="length_m", subject=self.name)
        check_optional("temperature", self.temperature_c, field="temperature_c", subject=self.name)
        if self.hot_length_m is not None:
            check_quantity("hot_length", self.hot_length_m, field="hot_length_m", subject=self.name)
            if self.length_m is not None and self.hot_length_m > self.length_m:
                accepted = f"at most the length of the run, {self.length_m:g} m"
                raise QuantityError("hot_length_m", self.hot_length_m, accepted, subject=self.name)

    @derived
    def what(self) -> Kind:
        """All that decides what a metre of it does to a current, whatever it is called and whoever feeds it."""
        return kind_of(*[(name, getattr(self, name)) for name in _OF_A_METRE])

    @derived
    def ratings_a(self) -> tuple[float, float]:
        """What its cores carry for good, A: at the least and at the most, by what is not known of its laying.

        Ask only where the conductor is known.
        """
        figures = self.conductor, self.laying, self.cores_per_pole
        return least_rating_a(*figures), greatest_rating_a(*figures)


@dataclass(frozen=True, slots=True)
class Load:
    """What one consumer takes at the far end of the run `at`.

    `value` is A, W or ohm, as the model says.
    """

    name: str
    at: str
    value: float
    model: LoadModel = LoadModel.CONSTANT_CURRENT

    def __post_init__(self):
        quantity, field = _LOAD_QUANTITY[self.model]
        check_quantity(quantity, self.value, field=field, subject=self.name)


@dataclass(frozen=True, slots=True)
class LoadOfAnyKind:
    """What one consumer may take at the far end of the run `at`, kind by kind: which of them it is nobody said."""

    name: str
    at: str
    kinds: tuple[Load, ...]


_LOAD_QUANTITY = {
    LoadModel.CONSTANT_CURRENT: ("current", "current_a"),
    LoadModel.CONSTANT_POWER: ("power", "power_w"),
    LoadModel.RESISTIVE: ("resistance", "resistance_ohm"),
}


def smallest_area_mm2(
    length_m: float,
    current_a: float,
    drop_v: float,
    conductor_class: int,
    *,
    tinned: bool = False,
    temperature_c: float = 20.0,
) -> float | None:
    """Smallest standard section that keeps a constant current within a drop, mm²; ``None``: none in the table.

    Source:   r <= dU/(2 I L) against IEC 60228:2004 [S2].
    """
    check_quantity("length", length_m, field="length_m")
    check_quantity("current", current_a, field="current_a")
    limit_ohm_per_km = 1000 * drop_v / (2 * current_a * length_m * warm_factor(temperature_c))
    for area_mm2 in STANDARD_AREAS_MM2:
        if resistance_ohm_per_km(area_mm2, conductor_class, tinned=tinned) <= limit_ohm_per_km * (1 + 1e-12):
            return area_mm2
    return None


# Trees ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class CableTree:
    """Runs of a circuit in the order panel to ends, with what each costs.

    Resistance of run k at length factor f: ``cold_ohm[k] * f + fire_ohm[k]``; `fire_ohm` is what the fire
    adds and does not grow with the length. Built by :func:`cable_tree`.
    """

    runs: tuple[CableRun, ...]
    fed_from: tuple[int, ...]
    cold_ohm: tuple[float, ...]
    fire_ohm: tuple[float, ...]
    ohm_per_km: tuple[float, ...]  # of one core at 20 °C
    temperature_c: tuple[float, ...] = ()  # of the cores outside the fire

    def place(self, name: str) -> int:
        """Index of the run with this name. Raises TreeError."""
        for index, run in enumerate(self.runs):
            if run.name == name:
                return index
        raise TreeError(f"There is no run '{name}' in this circuit. Draw it, or correct the name.")

    @derived
    def ohm(self) -> list[float]:
        """Resistance of each run as it is, ohm."""
        return self.loop_ohm()

    def loop_ohm(self, length_factor: float = 1.0) -> list[float]:
        """Resistance of each run, ohm, with all lengths outside the fire multiplied."""
        return [cold * length_factor + fire for cold, fire in zip(self.cold_ohm, self.fire_ohm, strict=True)]

    def of(self, runs: tuple[CableRun, ...], *, hot_resistance_factor: float | None = None) -> "CableTree":
        """The same tree with other names and lengths of its runs, all else of them alike; the factor as there."""
        return _with_resistances(runs, self.fed_from, self.ohm_per_km, self.temperature_c, hot_resistance_factor)

    def route(self, index: int) -> list[CableRun]:
        """The runs from the panel to the far end of a run, in that order."""
        runs = []
        while index != PANEL:
            runs.append(self.runs[index])
            index = self.fed_from[index]
        return runs[::-1]

    def route_m(self, index: int) -> float:
        """Length of cable from the panel to the far end of a run, m."""
        length_m = 0.0
        while index != PANEL:
            length_m += self.runs[index].length_m
            index = self.fed_from[index]
        return length_m

    def network(self, loads: Iterable[Load | LoadOfAnyKind]) -> Network:
        """The tree with its loads, ready for :func:`networks.solve`. Raises TreeError: a load hangs nowhere."""
        loads = list(loads)
        kinds = (one.kinds if isinstance(one, LoadOfAnyKind) else (one,) for one in loads)
        return self.network_at(places_of(self.runs, loads), ([taken(one) for one in of_load] for of_load in kinds))

    def network_at(self, places: Iterable[int], loads: Iterable[Sequence[tuple[float, float, float]]]) -> Network:
        """The tree with loads at its nodes: of each what it may take, kind by kind (see :func:`taken`)."""
        count = len(self.runs)
        current_a, power_w, conductance_s, open_loads = [0.0] * count, [0.0] * count, [0.0] * count, []
        for k, kinds in zip(places, loads, strict=True):
            if len(kinds) > 1:
                open_loads.append(OpenLoad(k, tuple(kinds)))
                continue
            ((amps, watts, siemens),) = kinds
            current_a[k] += amps
            power_w[k] += watts
            conductance_s[k] += siemens
        return Network(self.fed_from, self.ohm, current_a, power_w, conductance_s, tuple(open_loads))


def taken(load: Load) -> tuple[float, float, float]:
    """Current A, power W and conductance S of a load; one of them is not 0."""
    match load.model:
        case LoadModel.CONSTANT_CURRENT:
            return load.value, 0.0, 0.0
        case LoadModel.CONSTANT_POWER:
            return 0.0, load.value, 0.0
    return 0.0, 0.0, 1 / load.value


def cable_tree(
    runs: Iterable[CableRun],
    *,
    temperature_c: float = 20.0,
    hot_resistance_factor: float | None = None,
    taken_a: Mapping[str, float] | None = None,
) -> CableTree:
    """Order the runs from the panel outwards and work out their resistances.

    Args:     runs: in any order, all with length and conductor; temperature_c: for runs that name none;
              hot_resistance_factor: R(hot)/R(20 °C) for the hot lengths; ``None``: no fire; taken_a: what is taken for
              good at the far end of runs, A: it warms those whose laying is known.
    Raises:   TreeError: a name twice, a feeder that does not exist, runs that feed each other in a ring.
    """
    ordered = outwards(tuple(runs))
    fed_from = feeders_of(ordered)
    temperatures_c = _temperatures_c(ordered, fed_from, temperature_c, taken_a)
    per_km = tuple([run.conductor.ohm_per_km for run in ordered])
    return _with_resistances(ordered, fed_from, per_km, temperatures_c, hot_resistance_factor)


def outwards(runs: tuple[CableRun, ...]) -> tuple[CableRun, ...]:
    """The runs in an order in which each comes after the one that feeds it. Raises TreeError, as :func:`cable_tree`."""
    return runs if _is_loop_through(runs) else _from_panel_outwards(runs)


def feeders_of(ordered: tuple[CableRun, ...]) -> tuple[int, ...]:
    """The index of the run that feeds each of these, PANEL where the panel does."""
    place = {run.name: index for index, run in enumerate(ordered)}
    return tuple([PANEL if run.fed_from is None else place[run.fed_from] for run in ordered])


def places_of(runs: Sequence[CableRun], consumers: Sequence) -> tuple[int, ...]:
    """The index of the run at whose far end each consumer hangs, by its `at`. Raises TreeError: one hangs nowhere."""
    index = {run.name: k for k, run in enumerate(runs)}
    for one in consumers:
        if one.at not in index:
            raise TreeError(f"{one.name} hangs on '{one.at}', which is not a run of this circuit.")
    return tuple([index[one.at] for one in consumers])


def _with_resistances(runs, fed_from, per_km, temperatures_c, hot_factor) -> CableTree:
    cold_ohm, fire_ohm = [], []
    for run, ohm_per_km, core_c in zip(runs, per_km, temperatures_c, strict=True):
        warm = warm_factor(core_c)
        ohm_per_m = 2e-3 * ohm_per_km / run.cores_per_pole
        cold_ohm.append(ohm_per_m * run.length_m * warm)
        hot_m = run.hot_length_m if hot_factor and run.hot_length_m else 0.0
        fire_ohm.append(ohm_per_m * hot_m * (hot_factor - warm) if hot_m else 0.0)
    return CableTree(runs, fed_from, tuple(cold_ohm), tuple(fire_ohm), per_km, temperatures_c)


def _temperatures_c(runs, fed_from, otherwise_c, taken_a) -> tuple[float, ...]:
    """Of the cores of each run: its own, else what the load brings where the laying is known, else the circuit's.

    What is known of a laying in part may only add to that.
    """
    if not taken_a or all([run.laying is NOT_KNOWN or run.laying == NOT_KNOWN for run in runs]):
        return tuple(otherwise_c if run.temperature_c is None else run.temperature_c for run in runs)
    carried_a = summed_to_panel([taken_a.get(run.name, 0.0) for run in runs], fed_from)
    found = []
    for run, current_a in zip(runs, carried_a, strict=True):
        core_c = run.temperature_c
        if core_c is None:
            core_c = loaded_temperature_c(run.conductor, run.laying, current_a, run.cores_per_pole)
            if core_c is None or (run.laying.unknown and core_c < otherwise_c):
                core_c = otherwise_c
        found.append(core_c)
    return tuple(found)


def solve_tree(
    runs: Iterable[CableRun], loads: Iterable[Load], source_v: float, *, temperature_c: float = 20.0
) -> dict[str, float] | None:
    """Voltage at the far end of every run, V, by its name; ``None``: the cable cannot deliver this power.

    For a notebook. The checks build the tree once and solve it several times.
    """
    check_quantity("voltage", source_v, field="source_v")
    tree = cable_tree(runs, temperature_c=temperature_c)
    point: OperatingPoint | None = solve(tree.network(loads), source_v)
    return point and {run.name: volts for run, volts in zip(tree.runs, point.node_v, strict=True)}


def _is_loop_through(runs: tuple[CableRun, ...]) -> bool:
    """Whether each run goes on from the one before it, as in most circuits: then nothing is to be ordered."""
    names = [run.name for run in runs]
    return [run.fed_from for run in runs] == [None, *names[:-1]] and len(set(names)) == len(names)


def _from_panel_outwards(runs: tuple[CableRun, ...]) -> tuple[CableRun, ...]:
    fed_by: dict[str | None, list[CableRun]] = {}
    names = set()
    for run in runs:
        if run.name in names:
            raise TreeError(f"Two runs are named '{run.name}'. Give each run of the circuit its own name.")
        names.add(run.name)
        fed_by.setdefault(run.fed_from, []).append(run)
    for run in runs:
        if run.fed_from is not None and run.fed_from not in names:
            raise TreeError(f"Run '{run.name}' is fed from '{run.fed_from}', which is not a run of this circuit.")
    ordered, waiting = [], list(reversed(fed_by.get(None, [])))
    while waiting:
        run = waiting.pop()
        ordered.append(run)
        waiting.extend(reversed(fed_by.get(run.name, [])))
    if len(ordered) < len(runs):
        ring = sorted(names - {run.name for run in ordered})
        raise TreeError(f"Run '{ring[0]}' is not reached from the panel: its feeders form a ring. Correct one.")
    return tuple(ordered)
