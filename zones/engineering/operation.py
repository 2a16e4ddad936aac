"""One operating point for everything: what each output gives, and what reaches each actuator, condition by condition.

A panel is solved once. Current, speed and time of every actuator, load of every output, of the supply, the fuse and the
battery are read from this and computed nowhere else, so that no two findings can rest on two currents.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from zones.engineering.circuits import ActuatorCircuit
from zones.engineering.derived import derived
from zones.engineering.power_supply import PowerSupply
from zones.engineering.solved_circuits import SOURCES, SolvedCircuit, solve_circuit
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice


@dataclass(frozen=True)
class Operation:
    """All circuits of a panel solved, with the order in which its outputs run."""

    name: str
    supply: PowerSupply
    circuits: tuple[SolvedCircuit, ...]

    @derived
    def with_actuators(self) -> tuple[SolvedCircuit, ...]:
        """The circuits that move something."""
        return tuple(one for one in self.circuits if one.circuit.actuators)

    @derived
    def steps(self) -> tuple[tuple[SolvedCircuit, ...], ...] | None:
        """Outputs that run together, step after step; ``None``: in sequence, but in what order nobody recorded."""
        if not self.supply.sequential or len(self.with_actuators) < 2:
            return (self.with_actuators,) if self.with_actuators else ()
        if any(one.circuit.sequence_step is None for one in self.with_actuators):
            return None
        numbers = sorted({one.circuit.sequence_step for one in self.with_actuators})
        return tuple(tuple(one for one in self.with_actuators if one.circuit.sequence_step == k) for k in numbers)

    def step_a(self, step: Sequence[SolvedCircuit], source: str) -> float | None:
        """What the motors of a step take together, A."""
        return _sum_known(one.output_a(source) for one in step)

    def motors_a(self, source: str) -> float | None:
        """The most that motors take at once, A; ``None``: not known, also where the order of a sequence is not."""
        if self.steps is None:
            return None
        currents = [self.step_a(step, source) for step in self.steps]
        return None if None in currents else max(currents, default=0.0)

    def together_a(self, source: str) -> float | None:
        """What all motors would take at once, A, in sequence or not."""
        return _sum_known(one.output_a(source) for one in self.with_actuators)

    def starting_together_a(self, source: str) -> float | None:
        """The greatest current while all actuators start, A, in sequence or not."""
        return self._step_starting_a(self.with_actuators, source)

    def starting_a(self, source: str) -> float | None:
        """The greatest current while actuators start, A: all of a step at once, or one after another (stagger).

        ``None``: a figure is not known; with a stagger also for how long a start lasts (`stagger_unknown`).
        """
        if self.steps is None:
            return None
        return _greatest_known(self._step_starting_a(step, source) for step in self.steps)

    def output_starting_a(self, solved: SolvedCircuit, source: str) -> float | None:
        """The greatest current of one output while its actuators start, A."""
        return self._step_starting_a((solved,), source)

    def _step_starting_a(self, step, source):
        starting = _sum_known(one.output_a(source, starting=True) for one in step)
        if not self.supply.stagger_s or starting is None:
            return starting
        running = self.step_a(step, source)
        if running is None:
            return None
        at_once = self._starts_at_once(step)
        more = [one.starts_with_a - one.rated_current_a for solved in step for one in solved.circuit.actuators]
        return None if at_once is None else running + sum(sorted(more)[-at_once:])

    def starts_last_s(self, step: Sequence[SolvedCircuit]) -> float | None:
        """For how long the actuators of a step start, from the first of them to the last, s; 0 without actuators."""
        times = [one.starting_s for solved in step for one in solved.circuit.actuators]
        if None in times:
            return None
        return max(times) + self.supply.stagger_s * (len(times) - 1) if times else 0.0

    def longest_start_s(self) -> float | None:
        """The longest start of any step, s; ``None``: not known, also where the order of a sequence is not."""
        return None if self.steps is None else _greatest_known(self.starts_last_s(step) for step in self.steps)

    @property
    def stagger_unknown(self) -> tuple[str, ...]:
        """Actuators of which nobody said for how long they start: whether staggered starts overlap is not known."""
        if not self.supply.stagger_s:
            return ()
        actuators = [one for solved in self.with_actuators for one in solved.circuit.actuators]
        return tuple(one.name for one in actuators if one.starting_s is None) if len(actuators) > 1 else ()

    def _starts_at_once(self, step) -> int | None:
        """How many staggered starts overlap: a start that lasts longer than the stagger meets the next."""
        times = [one.starting_s for solved in step for one in solved.circuit.actuators]
        if len(times) < 2:
            return 1
        return None if None in times else ceil(max(times) / self.supply.stagger_s - 1e-9)

    def step_s(self, step: Sequence[SolvedCircuit], source: str) -> float | None:
        """From the start of a step until its last actuator is open, s: delay of the output, stagger, slowest stroke."""
        times = [one.slowest_s(source) for one in step]
        if None in times:
            return None
        count = sum(len(one.circuit.actuators) for one in step)
        stagger_s = self.supply.stagger_s * max(0, count - 1)
        return stagger_s + max((one.circuit.delay_s + s for one, s in zip(step, times, strict=True)), default=0.0)

    def motor_s(self, source: str) -> float | None:
        """For how long motors run in one operation, s: step after step, without delays and gaps in which none runs."""
        if self.steps is None:
            return None
        times = [self._step_motor_s(step, source) for step in self.steps]
        return None if None in times else sum(times)

    def _step_motor_s(self, step, source):
        times = [one.slowest_s(source) for one in step]
        if None in times:
            return None
        count = sum(len(one.circuit.actuators) for one in step)
        return max(times, default=0.0) + self.supply.stagger_s * max(0, count - 1)

    def sequence_s(self, source: str) -> float | None:
        """From the signal until the last step is open, s; without an order, one output after another: the worst."""
        steps = self.steps if self.steps is not None else tuple((one,) for one in self.with_actuators)
        times = [self.step_s(step, source) for step in steps]
        return None if None in times else sum(times) + self.supply.gap_s * max(0, len(times) - 1)

    def waits_s(self, solved: SolvedCircuit, source: str) -> tuple[float, float | None]:
        """From the signal until the last actuator of an output starts, s: at the least, and at the most.

        They differ where the order of a sequence is not recorded; the most is ``None`` where a step before it is not.
        """
        own_s = solved.circuit.delay_s + self._stagger_before_s(solved)
        if self.steps is None:
            alone = zip(self.with_actuators, self._alone_s[source], strict=True)
            before = [lasts_s for one, lasts_s in alone if one is not solved]
            return own_s, None if None in before else own_s + sum(before) + self.supply.gap_s * len(before)
        wait_s = 0.0
        for step in self.steps:
            if any(one is solved for one in step):
                break
            lasts_s = self.step_s(step, source)
            if lasts_s is None:
                return own_s, None
            wait_s += lasts_s + self.supply.gap_s
        return own_s + wait_s, own_s + wait_s

    @derived
    def _alone_s(self) -> dict[str, list[float | None]]:
        """How long each output takes when it runs alone, s."""
        return {source: [self.step_s((one,), source) for one in self.with_actuators] for source in SOURCES}

    def ahead_of_last_s(self, solved: SolvedCircuit) -> dict[str, float]:
        """By how much each actuator of an output starts before the last of its step, s: staggered as recorded."""
        step, before = self._step_with(solved), 0
        for one in step:
            if one is solved:
                break
            before += len(one.circuit.actuators)
        last = sum(len(one.circuit.actuators) for one in step) - 1
        names = [one.name for one in solved.circuit.actuators]
        return {name: self.supply.stagger_s * (last - before - k) for k, name in enumerate(names)}

    def _stagger_before_s(self, solved):
        """The last of the staggered actuators of its step starts this much later, s."""
        if not self.supply.stagger_s:
            return 0.0
        count = sum(len(one.circuit.actuators) for one in self._step_with(solved))
        return self.supply.stagger_s * max(0, count - 1)

    def _step_with(self, solved):
        """The outputs that run together with this one; alone where no order is known."""
        return next((step for step in self.steps or () if any(one is solved for one in step)), (solved,))


def operation_of(
    name: str,
    supply: PowerSupply,
    circuits: Sequence[ActuatorCircuit],
    *,
    mains_v: float | None = None,
    discharged_v: float | None = None,
    practice: TradePractice = TRADE_PRACTICE,
) -> Operation:
    """Solve all circuits of a panel. Args: as for :func:`solve_circuit`."""
    volts = {"mains_v": mains_v, "discharged_v": discharged_v, "practice": practice}
    volts["highest_v"] = supply.highest_voltage_v
    return Operation(name, supply, tuple(solve_circuit(one, **volts) for one in circuits))


def _sum_known(values) -> float | None:
    values = list(values)
    return None if None in values else sum(values)


def _greatest_known(values) -> float | None:
    values = list(values)
    return None if None in values else max(values, default=0.0)
