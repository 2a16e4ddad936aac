"""Direct-current trees: the voltage at every node of a branching cable with mixed loads.

The tree is solved by Newton's method, each step exact and linear in the number of runs: from the leaves to
the panel every branch is folded into "current plus conductance times voltage", then the voltages follow from
the panel outwards. Started at the source voltage, the iteration falls monotonically to the highest operating
point, because the current of a constant-power load is a convex function of its voltage. If it falls
through (a branch loses its positive slope, or a voltage reaches zero) there is no operating point.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from operator import sub
from typing import NamedTuple

from zones.engineering.derived import derived

PANEL = -1
_CONVERGED_V = 1e-10
_MOST_STEPS = 100  # two or three suffice; only within 1e-9 of the greatest transferable power it takes dozens


class OpenLoad(NamedTuple):
    """A load of a kind that is not known: what it would take at its node, as current A, power W, conductance S."""

    node: int
    kinds: tuple[tuple[float, float, float], ...]

    def worst_at(self, volts: float) -> tuple[float, float, float]:
        """The kind that takes most at this voltage."""
        return max(self.kinds, key=lambda kind: kind[0] + kind[1] / volts + kind[2] * volts)


@dataclass(frozen=True)
class Network:
    """A tree with one node at the far end of each run; a run comes after the run that feeds it.

    `fed_from` is an index, or PANEL; `loop_ohm` the resistance of both cores of the run. Each node takes
    `current_a` (constant), `power_w` (constant, so that current rises as voltage falls) and
    `conductance_s` (resistive). All sequences have the same length; all values are 0 or more.
    """

    fed_from: tuple[int, ...]
    loop_ohm: Sequence[float]
    current_a: Sequence[float]
    power_w: Sequence[float]
    conductance_s: Sequence[float]
    open_loads: tuple[OpenLoad, ...] = ()

    @derived
    def fixed_a(self) -> list[float] | None:
        """Current in each run where none of it answers to the voltage, A; ``None``: some of it does."""
        if self.open_loads or any(self.power_w) or any(self.conductance_s):
            return None
        return summed_to_panel(list(self.current_a), self.fed_from)

    def settled(self, kinds: Sequence[tuple[float, float, float]]) -> "Network":
        """The same with a kind chosen for each of the open loads."""
        taken = [list(self.current_a), list(self.power_w), list(self.conductance_s)]
        for one, kind in zip(self.open_loads, kinds, strict=True):
            for quantity, value in zip(taken, kind, strict=True):
                quantity[one.node] += value
        return Network(self.fed_from, self.loop_ohm, *taken)


class OperatingPoint(NamedTuple):
    """Voltage at each node, V, and current in each run, A."""

    node_v: list[float]
    run_a: list[float]


def solve(network: Network, source_v: float, loop_ohm: Sequence[float] | None = None) -> OperatingPoint | None:
    """Voltages and currents of a tree, or ``None``: as :func:`node_voltages`, with the current in each run."""
    volts = node_voltages(network, source_v, loop_ohm)
    return None if volts is None else OperatingPoint(volts, _currents(network, volts))


def node_voltages(network: Network, source_v: float, loop_ohm: Sequence[float] | None = None) -> list[float] | None:
    """Voltage at each node, or ``None`` when there is no operating point: the cable cannot deliver this power.

    Args:     source_v: at the panel's output, V, greater than 0; loop_ohm: resistances in place of the
              network's own (to try another section or length without building the tree again).
    Returns:  voltages, V, in the order of the runs; of the two mathematical solutions of a
              constant-power load the one with the higher voltage, which is the stable one.
    Source:   Kirchhoff's laws; convergence within 1e-10 V.
    """
    ohm = network.loop_ohm if loop_ohm is None else loop_ohm
    if network.open_loads:
        return _with_open_loads(network, source_v, ohm)
    if network.fixed_a is not None:
        return _with_fixed_currents(network, source_v, ohm)
    volts = [source_v] * len(network.fed_from)
    for _ in range(_MOST_STEPS):
        closer = _step(network, source_v, ohm, volts)
        if closer is None:
            return None
        change, volts = max(map(abs, map(sub, volts, closer))), closer
        if change < _CONVERGED_V:
            return volts
    return None


def _with_fixed_currents(network: Network, source_v: float, ohm: Sequence[float]) -> list[float] | None:
    """The common case, solved at once: from the panel outwards the drops are taken off."""
    volts = []
    for feeder, run_ohm, amps in zip(network.fed_from, ohm, network.fixed_a, strict=True):
        volts.append((volts[feeder] if feeder >= 0 else source_v) - run_ohm * amps)
    return volts if min(volts) > 0 else None


def _with_open_loads(network: Network, source_v: float, ohm: Sequence[float]) -> list[float] | None:
    """Each load of unknown kind takes what the worst of its kinds takes at the voltage that reaches it.

    That current is a convex function of the voltage, as each kind's is: from the source voltage downwards a kind,
    once left for a worse one, never comes back, and the end is below the voltages of every mixture of the kinds.
    """
    volts = [source_v] * len(network.fed_from)
    kinds = None
    for _ in range(2 * len(network.open_loads) + 2):
        worst = [one.worst_at(volts[one.node]) for one in network.open_loads]
        if worst == kinds:
            break
        kinds, before = worst, volts
        volts = node_voltages(network.settled(kinds), source_v, ohm)
        if volts is None or max(map(abs, map(sub, volts, before))) < _CONVERGED_V:
            break
    return volts


def _step(network: Network, source_v: float, ohm: Sequence[float], volts: list[float]) -> list[float] | None:
    """One step of Newton's method from `volts`; ``None``: there is no operating point below them."""
    fixed, slope = list(network.current_a), list(network.conductance_s)
    for k, watts in enumerate(network.power_w):
        if watts:  # as current + slope × voltage, exact at the voltage of the last step
            amps = watts / volts[k]
            fixed[k] += 2 * amps
            slope[k] -= amps / volts[k]
    for k in range(len(volts) - 1, -1, -1):
        divisor = 1 + ohm[k] * slope[k]
        if divisor <= 0:
            return None  # more current would bring less power: beyond the greatest transferable power
        feeder = network.fed_from[k]
        if feeder >= 0:
            fixed[feeder] += fixed[k] / divisor
            slope[feeder] += slope[k] / divisor
    closer = []
    for k, feeder in enumerate(network.fed_from):
        above = closer[feeder] if feeder >= 0 else source_v
        closer.append((above - ohm[k] * fixed[k]) / (1 + ohm[k] * slope[k]))
    return closer if min(closer) > 0 else None


def _currents(network: Network, volts: list[float]) -> list[float]:
    """Current in each run: what its node takes and all that hangs beyond it."""
    if network.open_loads:
        network = network.settled([one.worst_at(volts[one.node]) for one in network.open_loads])
    amps = [
        current + (power / v if power else 0.0) + conductance * v
        for current, power, conductance, v in zip(
            network.current_a, network.power_w, network.conductance_s, volts, strict=True
        )
    ]
    return summed_to_panel(amps, network.fed_from)


def summed_to_panel(amps: list[float], fed_from: Sequence[int]) -> list[float]:
    """What each node takes turned into what each run carries."""
    for k in range(len(amps) - 1, -1, -1):
        if fed_from[k] >= 0:
            amps[fed_from[k]] += amps[k]
    return amps


def greatest_that_holds(margin: Callable[[float], float], at_zero: float, most: float) -> float:
    """The greatest factor with ``margin(factor) >= 0`` for a falling margin, from below.

    Within one part in a million, or where less than 10 microvolts are left.
    """
    low, low_margin, high, high_margin = 0.0, at_zero, 1.0, margin(1.0)
    while high_margin >= 0:
        if high >= most:
            return most
        low, low_margin = high, high_margin
        high = min(high * 4, most)
        high_margin = margin(high)
    # False position with the Illinois damping; where the far side has no operating point, halve instead.
    moved = 0
    while high - low > 1e-6 * high:
        if high_margin == float("-inf"):
            middle = (low + high) / 2
        else:
            middle = low + (high - low) * low_margin / (low_margin - high_margin)
            # Stay inside, and just short of the root that is expected: with constant currents that is the end.
            middle = min(max(middle - 1e-7 * high, low + 1e-7 * high), high - 1e-7 * high)
        at_middle = margin(middle)
        if 0 <= at_middle < 1e-5:
            return middle
        if at_middle >= 0:
            low, low_margin = middle, at_middle
            high_margin *= 0.5 if moved > 0 else 1.0
            moved = 1
        else:
            high, high_margin = middle, at_middle
            low_margin *= 0.5 if moved < 0 else 1.0
            moved = -1
    return low
