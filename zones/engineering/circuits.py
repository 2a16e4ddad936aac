"""Actuator circuits: what the check needs to know of one, and the voltages it finds.

Findings about them are in circuit_check.py.
"""

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from functools import lru_cache

from zones.engineering.actuators import Actuator
from zones.engineering.cables import CableRun, CableTree, LoadModel, feeders_of, outwards, places_of
from zones.engineering.conductors import (
    IEC_60228_OHM_PER_KM,
    STANDARD_AREAS_MM2,
    hot_factor,
    standard_fire_temperature_c,
    table_column,
    warm_factor,
)
from zones.engineering.copies import renamed
from zones.engineering.derived import derived
from zones.engineering.fuses import ProtectiveDevice
from zones.engineering.loadings import Loading, loading_of
from zones.engineering.networks import Network, greatest_that_holds, node_voltages, summed_to_panel
from zones.engineering.quantities import QuantityError, check_each
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice

_LONGEST_FACTOR = 1_000.0
_SHORT_OF = 1e-7  # by this fraction a longest length stays below where the voltage is just enough
_CHECKED = (
    ("current", "output_limit_a"),
    ("peak_current", "output_peak_a"),
    ("number", "sequence_step"),
    ("time", "run_time_s"),
    ("delay", "delay_s"),
    ("fire_minutes", "fire_minutes"),
    ("count", "expected_actuators"),
    ("count", "found_actuators"),
)


class CircuitKind(StrEnum):
    """How the circuit talks to its actuators."""

    ADDRESSED = "addressed"  # actuators report over a data core
    POLARITY = (
        "polarity"  # 24 V, reversed to close; cores monitored by an end-of-line resistor or module at the far end
    )


@dataclass(frozen=True, slots=True)
class ActuatorCircuit:
    """One panel output with its cable tree and its actuators; ``None`` = not known.

    `end_of_line_at` names the actuators at which an end-of-line resistor or module is fitted (polarity circuits).
    `stub`: names of the runs behind the junction box in which the module stands, ``None`` where it stands elsewhere.
    `expected_actuators` is set in the panel, `found_actuators` is what it reports (addressed circuits).
    `fire_minutes`: how long the hot lengths of the runs must carry the load; ``None``: not asked.
    `device`: the fuse, breaker or electronic limit of the output, ``None`` where nobody recorded one.
    `output_peak_a`: what the output bears while actuators start. `sequence_step`: in which step of a sequence the
    output runs, outputs of one step together.
    """

    name: str
    runs: tuple[CableRun, ...] = ()
    actuators: tuple[Actuator, ...] = ()
    kind: CircuitKind = CircuitKind.POLARITY
    output_limit_a: float | None = None
    output_peak_a: float | None = None
    sequence_step: int | None = None
    run_time_s: float | None = None
    delay_s: float = 0.0
    fire_minutes: float | None = None
    end_of_line_at: tuple[str, ...] | None = None
    expected_actuators: int | None = None
    found_actuators: int | None = None
    stub: tuple[str, ...] | None = None
    device: ProtectiveDevice | None = None

    def __post_init__(self):
        check_each(_CHECKED, self, subject=self.name)
        names = [one.name for one in self.actuators]
        if len(set(names)) < len(names):  # voltages are told by name: one of two would be lost
            raise QuantityError("actuators", ", ".join(names), "actuators of different names", subject=self.name)


@dataclass(frozen=True)
class Condition:
    """Under what circumstances the voltages are asked."""

    source: str  # "mains" or "end of discharge"
    source_v: float
    starting: bool
    in_fire: bool

    @property
    def source_words(self) -> str:
        """ "on mains" or "at the end of battery discharge"."""
        return "on mains" if self.source == "mains" else "at the end of battery discharge"

    @derived
    def words(self) -> str:
        """As a sentence says it: "on mains, while starting"."""
        words = self.source_words
        words += ", while starting" if self.starting else ""
        return words + (", in the fire" if self.in_fire else "")

    def __str__(self) -> str:
        return self.words


@dataclass(frozen=True)
class CircuitVoltages:
    """The answer for one condition, worked out when it is asked for."""

    condition: Condition
    model: "CircuitModel" = field(repr=False, compare=False)

    @derived
    def volts(self) -> list[float] | None:
        """At each node; ``None`` where the cable cannot deliver this power."""
        return self.model.node_v(self.condition)

    @derived
    def at_actuators_v(self) -> list[float]:
        """In the order of the actuators; ask only where `volts` are known."""
        return [self.volts[place] for place in self.model.places]

    @derived
    def least_v(self) -> float:
        """At the actuator that gets least, V; ask only where `volts` are known."""
        return min(self.at_actuators_v)

    @property
    def drop(self) -> float:
        """What is lost on the way to it, as a fraction; ask only where `volts` are known."""
        return 1 - self.least_v / self.condition.source_v

    @derived
    def actuator_v(self) -> dict[str, float] | None:
        """Voltage at each actuator, V, by its name."""
        names = (one.name for one in self.model.circuit.actuators)
        return None if self.volts is None else dict(zip(names, self.at_actuators_v, strict=True))

    @derived
    def node_v(self) -> dict[str, float] | None:
        """Voltage at the far end of each run, V, by its name."""
        names = (run.name for run in self.model.trees[False].runs)
        return None if self.volts is None else dict(zip(names, self.volts, strict=True))

    def along(self, tree: CableTree) -> list[tuple[str, float, float]]:
        """Points (run, metres from the panel, volts) for a plot of the voltage along the circuit."""
        return [(run.name, tree.route_m(k), self.node_v[run.name]) for k, run in enumerate(tree.runs)]

    @derived
    def holds(self) -> bool:
        """Whether real loads hold this operating point: constant power not below half the source voltage."""
        if self.volts is None:
            return False
        half_v = self.condition.source_v / 2
        if self.least_v >= half_v:
            return True
        each = zip(self.model.circuit.actuators, self.at_actuators_v, strict=True)
        return all(volts >= half_v for one, volts in each if LoadModel.CONSTANT_POWER in one.kinds)

    @property
    def output_a(self) -> float:
        """What the output gives at this operating point, A."""
        if self.condition.starting:
            return self.model.loading.starting_a
        if self.model.loading.fixed_a is not None:
            return self.model.loading.fixed_a
        each = zip(self.model.circuit.actuators, self.at_actuators_v, strict=True)
        return sum([one.current_a(volts) for one, volts in each])

    @derived
    def worst(self) -> tuple[Actuator, float]:
        """The actuator with the least margin to its minimum voltage, and that margin in V."""
        margins_v = [volts - least for volts, least in zip(self.at_actuators_v, self.model.minimum_v, strict=True)]
        least_v = min(margins_v)
        return self.model.circuit.actuators[margins_v.index(least_v)], least_v


@dataclass(frozen=True)
class CircuitModel:
    """A circuit made ready for solving; every figure it needs is known. Built by :func:`circuit_model`."""

    circuit: ActuatorCircuit
    trees: dict[bool, CableTree]  # by "in the fire"
    loading: Loading
    places: tuple[int, ...]  # of the actuators, in their order
    practice: TradePractice
    # Answers found already: the findings of a circuit and its remedy ask for the same.
    _longest: dict[Condition, float | None] = field(default_factory=dict, init=False, repr=False, compare=False)
    _smallest: dict[Condition, float | None] = field(default_factory=dict, init=False, repr=False, compare=False)

    @derived
    def networks(self) -> dict[bool, Network]:
        """By "starting"."""
        ohm = self.trees[False].ohm
        return {starting: renamed(one, loop_ohm=ohm) for starting, one in self.loading.networks.items()}

    @property
    def minimum_v(self) -> tuple[float, ...]:
        """Of the actuators, in their order."""
        return self.loading.minimum_v

    def node_v(self, condition: Condition, loop_ohm=None) -> list[float] | None:
        """Voltage at each node in a condition, possibly with other resistances; ``None``: cannot deliver."""
        ohm = self.trees[condition.in_fire].ohm if loop_ohm is None else loop_ohm
        return node_voltages(self.loading.networks[condition.starting], condition.source_v, ohm)

    def margin_v(self, condition: Condition, loop_ohm=None) -> float:
        """Least margin of any actuator to its minimum, V; minus infinity when nothing can be delivered."""
        volts = self.node_v(condition, loop_ohm)
        if volts is None:
            return float("-inf")
        return min([volts[place] - least for place, least in zip(self.places, self.minimum_v, strict=True)])

    def voltages(self, condition: Condition) -> CircuitVoltages:
        """Voltage at every actuator and at every node."""
        return CircuitVoltages(condition, self)

    def deciding(self, answers: Sequence[CircuitVoltages]) -> Sequence[CircuitVoltages]:
        """Of answers in like circumstances from several sources those that the others are no worse than.

        Where no voltage changes a current, the drops from all sources are the same: the one that gives least decides.
        """
        if self.loading.networks[answers[0].condition.starting].fixed_a is None:
            return answers
        least_v = min([one.condition.source_v for one in answers])
        return [one for one in answers if one.condition.source_v == least_v]

    def run_currents_a(self, answer: CircuitVoltages, most_v: float) -> list[float]:
        """What each run carries in a condition that holds, A, in the order of the tree.

        Args:     most_v: the most that the output gives, V: what a resistance may get where cores are cold.
        """
        network = self.loading.networks[answer.condition.starting]
        if network.fixed_a is not None:
            return network.fixed_a
        amps = [0.0] * len(network.fed_from)
        for place, one, volts in zip(self.places, self.circuit.actuators, answer.at_actuators_v, strict=True):
            amps[place] += one.greatest_a(volts, most_v)
        return summed_to_panel(amps, network.fed_from)

    def longest_factor(self, condition: Condition) -> float | None:
        """By what all lengths outside the fire may be multiplied; ``None``: no length leaves enough.

        Never above the true limit, and at most 1000.
        """
        if condition not in self._longest:
            self._longest[condition] = self._longest_factor(condition)
        return self._longest[condition]

    def _longest_factor(self, condition: Condition) -> float | None:
        tree, network = self.trees[condition.in_fire], self.networks[condition.starting]
        if network.fixed_a is not None:
            return self._longest_with_fixed_currents(condition, tree, network.fixed_a)

        def margin(factor: float) -> float:
            return self.margin_v(condition, tree.loop_ohm(factor))

        at_zero = margin(0.0)
        return None if at_zero < 0 else greatest_that_holds(margin, at_zero, _LONGEST_FACTOR)

    def _longest_with_fixed_currents(self, condition, tree, amps) -> float | None:
        """Every drop is in proportion to the length outside the fire, so that no search is needed."""
        grows_v, stays_v = (_drops_v(tree.fed_from, ohm, amps) for ohm in (tree.cold_ohm, tree.fire_ohm))
        longest = _LONGEST_FACTOR
        for place, least_v in zip(self.places, self.minimum_v, strict=True):
            left_v = condition.source_v - stays_v[place] - least_v
            if left_v < 0:
                return None
            longest = min(longest, (1 - _SHORT_OF) * left_v / grows_v[place])
        return longest

    def smallest_area_mm2(self, condition: Condition) -> float | None:
        """Smallest standard section that, used for every run, leaves each actuator its minimum voltage.

        Class and tinning stay as entered; AWG runs are replaced by class 5, the least favourable. ``None``:
        no section in the table suffices.
        """
        if condition not in self._smallest:
            self._smallest[condition] = self._smallest_area_mm2(condition)
        return self._smallest[condition]

    def _smallest_area_mm2(self, condition: Condition) -> float | None:
        suffices = self._whether_area_suffices(condition)
        index = bisect_left(STANDARD_AREAS_MM2, True, key=suffices)
        return STANDARD_AREAS_MM2[index] if index < len(STANDARD_AREAS_MM2) else None

    def _whether_area_suffices(self, condition: Condition) -> Callable[[float], bool]:
        tree, network = self.trees[condition.in_fire], self.networks[condition.starting]
        # What each run has besides its ohm/km: metres, cores, temperature, fire. A smaller section becomes warmer.
        rest = [
            ohm / per_km * _more_at_the_limit(run, core_c)
            for run, ohm, per_km, core_c in zip(tree.runs, tree.ohm, tree.ohm_per_km, tree.temperature_c, strict=True)
        ]
        columns = [table_column(run.conductor.conductor_class or 5, run.conductor.tinned) for run in tree.runs]
        alike = columns[0] if len(set(columns)) == 1 else None
        if alike is None or network.fixed_a is None:
            return lambda area_mm2: self.margin_v(condition, _of_area(area_mm2, columns, rest)) >= 0
        # Every drop is in proportion to the one figure of the table.
        drops = _drops_v(tree.fed_from, rest, network.fixed_a)
        least = [
            (condition.source_v - least_v) / drops[place]
            for place, least_v in zip(self.places, self.minimum_v, strict=True)
        ]
        return lambda area_mm2: IEC_60228_OHM_PER_KM[area_mm2][alike] <= min(least)


def circuit_model(circuit: ActuatorCircuit, practice: TradePractice = TRADE_PRACTICE) -> CircuitModel:
    """Make a circuit ready for solving. Every length, conductor, current and minimum voltage must be known.

    Raises:   TreeError: the runs do not form a tree, or an actuator hangs nowhere.
    """
    runs = outwards(circuit.runs)
    places = places_of(runs, circuit.actuators)
    loading = loading_of(runs, feeders_of(runs), circuit.actuators, places, practice.conductor_temperature_c)
    trees = {False: loading.tree.of(runs)}
    lengths_m = [run.hot_length_m for run in runs]
    # A length that nobody entered is not 0: then nothing is said of the fire.
    if circuit.fire_minutes is not None and None not in lengths_m and any(lengths_m):
        factor = hot_factor(standard_fire_temperature_c(circuit.fire_minutes))
        trees[True] = loading.tree.of(runs, hot_resistance_factor=factor)
    return CircuitModel(circuit, trees, loading, places, practice)


def _more_at_the_limit(run: CableRun, core_c: float) -> float:
    """By how much the resistance grows if the load warms the cores as far as it may; 1 where they are taken so."""
    if run.laying.unknown or run.temperature_c is not None:
        return 1.0
    return warm_factor(max(run.laying.hottest_c, core_c)) / warm_factor(core_c)


def conditions(model: CircuitModel, *, mains_v: float | None, discharged_v: float | None) -> tuple[Condition, ...]:
    """Every condition that can be asked of a circuit, mildest first."""
    return _conditions(tuple(model.trees), tuple(model.loading.networks), mains_v, discharged_v)


@lru_cache(maxsize=256)  # the same for all circuits of a panel, and of most panels
def _conditions(in_fires, startings, mains_v, discharged_v):
    sources = [(name, v) for name, v in (("mains", mains_v), ("end of discharge", discharged_v)) if v is not None]
    return tuple(
        Condition(name, volts, starting, in_fire)
        for in_fire in in_fires
        for starting in startings
        for name, volts in sources
    )


def circuit_voltages(
    circuit: ActuatorCircuit,
    *,
    mains_v: float | None,
    discharged_v: float | None,
    practice: TradePractice = TRADE_PRACTICE,
) -> list[CircuitVoltages]:
    """Voltage at every actuator and node in every condition, for a table or a plot. All figures must be known.

    Raises:   TreeError: the runs do not form a tree, or an actuator hangs nowhere.
    """
    model = circuit_model(circuit, practice)
    return [model.voltages(one) for one in conditions(model, mains_v=mains_v, discharged_v=discharged_v)]


def _of_area(area_mm2: float, columns: list[int], rest: list[float]) -> list[float]:
    """Resistance of each run with another section."""
    row = IEC_60228_OHM_PER_KM[area_mm2]
    return [row[column] * factor for column, factor in zip(columns, rest, strict=True)]


def _drops_v(fed_from: Sequence[int], ohm: Sequence[float], amps: Sequence[float]) -> list[float]:
    """Voltage lost from the panel to the far end of each run at currents that do not answer to it."""
    drops = []
    for feeder, run_ohm, carried_a in zip(fed_from, ohm, amps, strict=True):
        drops.append((drops[feeder] if feeder >= 0 else 0.0) + run_ohm * carried_a)
    return drops
