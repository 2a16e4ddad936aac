"""A circuit solved in every condition: what its output gives, what reaches each actuator, how it opens there."""

from dataclasses import dataclass

from zones.engineering.actuators import Actuator
from zones.engineering.cables import LoadModel, TreeError
from zones.engineering.circuits import ActuatorCircuit, CircuitModel, CircuitVoltages, circuit_model, conditions
from zones.engineering.derived import derived
from zones.engineering.loadings import Loading
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice
from zones.engineering.travels import Travel, travel

MAINS, DISCHARGED = "mains", "end of discharge"
SOURCES = (MAINS, DISCHARGED)
SOURCE_WORDS = {MAINS: "on mains", DISCHARGED: "at the end of battery discharge"}


@dataclass(frozen=True)
class SolvedCircuit:
    """A circuit with its operating point in every condition.

    `answers` is empty where a figure of the cable is not known, or where its runs form no tree (`tree_error`);
    `highest_v`: the most that the output ever gives on mains, charging; ``None``: not known.
    """

    circuit: ActuatorCircuit
    source_v: dict[str, float | None]
    model: CircuitModel | None = None
    answers: tuple[CircuitVoltages, ...] = ()
    tree_error: str = ""
    highest_v: float | None = None

    def in_condition(self, source: str, *, starting: bool = False) -> list[CircuitVoltages]:
        """The answers from one source, outside the fire and in it."""
        return self._by_condition.get((source, starting), [])

    @derived
    def _by_condition(self) -> dict[tuple[str, bool], list[CircuitVoltages]]:
        found: dict[tuple[str, bool], list[CircuitVoltages]] = {}
        for one in self.answers:
            found.setdefault((one.condition.source, one.condition.starting), []).append(one)
        return found

    @derived
    def _all_hold(self) -> bool:
        if self.answers and self.model.loading.fixed_a is not None:
            return all([one.holds for one in self.model.deciding(self.answers)])
        return all([one.holds for one in self.answers])

    @derived
    def fixed_loading(self) -> Loading | None:
        """Its loading, where the cable delivers what no voltage changes: no current of it rests on its lengths then."""
        if not self.answers or self.model.loading.fixed_a is None or not self._all_hold:
            return None
        return self.model.loading

    def output_a(self, source: str, *, starting: bool = False) -> float | None:
        """The greatest current that the output gives from a source, A; ``None``: not known, or cannot be delivered.

        Where the cable is not known it is still known for loads whose current no cable makes larger.
        """
        return self._outputs_a[source, starting]

    @derived
    def _outputs_a(self) -> dict[tuple[str, bool], float | None]:
        """By source, running and starting; a start never takes less than what follows it."""
        if fixed := self.fixed_loading:
            return {(source, starting): amps for source in SOURCES for starting, amps in fixed.output_a.items()}
        found = {}
        for source in SOURCES:
            running = found[source, False] = self._output_a(source, False)
            starting = None if running is None else self._output_a(source, True)
            found[source, True] = None if starting is None else max(running, starting)
        return found

    def _output_a(self, source: str, starting: bool) -> float | None:
        if not self._currents_known or (starting and not self._starts_known):
            return None
        answers = self.in_condition(source, starting=starting)
        if answers:
            if not self._all_hold and not all([one.holds for one in answers]):
                return None
            if starting or self.model.loading.fixed_a is not None:
                return answers[0].output_a  # whatever the cable and the voltage
            return max([one.output_a + self._without_drop_a(one, source) for one in answers])
        actuators = self.circuit.actuators
        if starting:
            return sum(one.starts_with_a for one in actuators)
        at_most = [self._without_cable_a(one, self.source_v[source]) for one in actuators]
        return None if None in at_most else sum(at_most)

    @property
    def lacks_highest_voltage(self) -> bool:
        """Whether currents may be greater than those found, for want of the most that the output gives."""
        return self.highest_v is None and any(self._may_be_resistive)

    def most_v(self, source: str) -> float:
        """The most that its output gives, V, as far as it is known; a full battery gives no more than its charger."""
        return max(self.source_v[source], self.highest_v or 0.0)

    def _without_drop_a(self, answer: CircuitVoltages, source: str) -> float:
        """What a resistance takes beside that: cores may be colder than their table, and the voltage at its most."""
        if not any(self._may_be_resistive):
            return 0.0
        at_v = self.most_v(source)
        each = zip(self.circuit.actuators, self._may_be_resistive, answer.at_actuators_v, strict=True)
        return sum(max(0.0, one.current_a(at_v) - one.current_a(v)) for one, may_be, v in each if may_be)

    @derived
    def _may_be_resistive(self) -> list[bool]:
        return [LoadModel.RESISTIVE in one.kinds for one in self.circuit.actuators]

    @derived
    def _currents_known(self) -> bool:
        return None not in [one.rated_current_a for one in self.circuit.actuators]

    @derived
    def _starts_known(self) -> bool:
        return None not in [one.starting_current_a for one in self.circuit.actuators]

    def _without_cable_a(self, actuator: Actuator, source_v: float | None) -> float | None:
        """The most that it can take when nothing is known of the cable."""
        if actuator.load_model == LoadModel.CONSTANT_CURRENT:
            return actuator.current_a(0.0)
        if actuator.load_model == LoadModel.RESISTIVE and None not in (source_v, actuator.rated_voltage_v):
            return actuator.current_a(max(source_v, self.highest_v or 0.0))
        return None  # constant power, or it may be: the less voltage the cable leaves, the more it takes

    @derived
    def greatest_run_a(self) -> dict[str, float]:
        """The greatest current of each run in any condition, A; empty where it is not solved or cannot be delivered."""
        if not self.answers or not self._all_hold:
            return {}
        return self._greatest_of_runs(self.answers)

    @property
    def running_run_a(self) -> dict[str, float]:
        """The same without the conditions in which actuators start; ask only where `greatest_run_a` is not empty."""
        return self._greatest_of_runs([one for one in self.answers if not one.condition.starting])

    def _greatest_of_runs(self, answers):
        in_each = [self.model.run_currents_a(one, self.most_v(one.condition.source)) for one in answers]
        # Where no voltage changes the currents, the same list stands in several conditions.
        in_each = list({id(one): one for one in in_each}.values())
        runs, of_runs = self.model.trees[False].runs, zip(*in_each, strict=True)
        return {run.name: max(currents) for run, currents in zip(runs, of_runs, strict=True)}

    @derived
    def travels(self) -> tuple[Travel, ...]:
        """Each actuator in each condition in which it runs; one line with unknown volts where nothing is solved."""
        return tuple(one for source in SOURCES for one in self.travels_from(source))

    def travels_from(self, source: str) -> list[Travel]:
        """Those of the conditions with this source."""
        if source not in self._travels_from:
            self._travels_from[source] = self._travel(source)
        return self._travels_from[source]

    def travels_that_decide(self) -> list[Travel] | None:
        """Travels that the others are no slower than, where two sources differ by nothing else; ``None``: not known."""
        if self.fixed_loading is None or None in self.source_v.values():
            return None
        return self.travels_from(min(SOURCES, key=self.source_v.__getitem__))

    @derived
    def _travels_from(self) -> dict[str, list[Travel]]:
        """By source, as far as asked for."""
        return {}

    def _travel(self, source):
        actuators, answers, found = self.circuit.actuators, self.in_condition(source), []
        if not answers:
            return [travel(one, source, "", None) for one in actuators]
        for answer in answers:
            volts, words = answer.at_actuators_v if answer.holds else [None] * len(actuators), answer.condition.words
            found += [travel(one, source, words, v) for one, v in zip(actuators, volts, strict=True)]
        return found

    def slowest_s(self, source: str) -> float | None:
        """The slowest stroke from a source, s; 0 without actuators; ``None``: one is not known."""
        if source not in self._slowest_s:
            times = [one.stroke_s for one in self.travels_from(source)]
            self._slowest_s[source] = None if None in times else max(times, default=0.0)
        return self._slowest_s[source]

    @derived
    def _slowest_s(self) -> dict[str, float | None]:
        """By source, as far as asked for."""
        return {}


def solve_circuit(
    circuit: ActuatorCircuit,
    *,
    mains_v: float | None,
    discharged_v: float | None,
    practice: TradePractice = TRADE_PRACTICE,
    highest_v: float | None = None,
) -> SolvedCircuit:
    """Solve a circuit in every condition that its figures allow; nothing is assumed for those not known.

    Args:     mains_v, discharged_v: at the panel's output, V, the panel's own drop taken off; ``None``: not known.
    """
    source_v = {MAINS: mains_v, DISCHARGED: discharged_v}
    if not circuit.actuators or not is_known(circuit):
        return SolvedCircuit(circuit, source_v, highest_v=highest_v)
    try:
        model = circuit_model(circuit, practice)
    except TreeError as error:
        return SolvedCircuit(circuit, source_v, tree_error=str(error), highest_v=highest_v)
    asked = conditions(model, mains_v=mains_v, discharged_v=discharged_v)
    return SolvedCircuit(circuit, source_v, model, tuple([model.voltages(one) for one in asked]), highest_v=highest_v)


def is_known(circuit: ActuatorCircuit) -> bool:
    """Whether every figure that the network needs is known."""
    if not circuit.runs or any([run.length_m is None or run.conductor is None for run in circuit.runs]):
        return False
    return all([one.at is not None and one.can_be_solved for one in circuit.actuators])
