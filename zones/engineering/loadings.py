"""How a circuit is loaded: what its actuators take, and what its runs carry, whatever these are called and how long.

A portfolio has thousands of circuits of a few makes that differ by names and lengths alone: what does not depend on
those is worked out once for each make.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from zones.engineering.actuators import Actuator
from zones.engineering.cables import CableRun, CableTree, cable_tree
from zones.engineering.copies import Kind
from zones.engineering.derived import derived
from zones.engineering.networks import Network


@dataclass(frozen=True, eq=False)
class Loading:
    """A tree of runs, a metre each, with what hangs on it; its names stand for nothing. Made by :func:`loading_of`.

    `networks`: by "starting", of a metre of each run; the one of the start lacks where a starting current is not known.
    """

    tree: CableTree
    actuators: tuple[Actuator, ...]
    networks: dict[bool, Network]
    minimum_v: tuple[float, ...]

    @derived
    def fixed_a(self) -> float | None:
        """What all actuators take together while running, A, where no voltage changes it."""
        fixed = [one.fixed_a for one in self.actuators]
        return None if None in fixed else sum(fixed)

    @derived
    def starting_a(self) -> float:
        """What all actuators take together while starting, A; ask only where all of them are known."""
        return sum([one.starts_with_a for one in self.actuators])

    @derived
    def output_a(self) -> dict[bool, float | None]:
        """What the output gives by "starting", A, ``None`` where a starting current is not known.

        A start never takes less than what follows it. Ask only where `fixed_a` is known.
        """
        return {False: self.fixed_a, True: max(self.fixed_a, self.starting_a) if True in self.networks else None}

    @derived
    def greatest_run_a(self) -> tuple[tuple[CableRun, float], ...]:
        """Each run with the most that it carries, running or starting, A; ask only where `fixed_a` is known.

        Those that carry nothing are left out.
        """
        carried = zip(*[one.fixed_a for one in self.networks.values()], strict=True)
        return tuple((run, max(amps)) for run, amps in zip(self.tree.runs, carried, strict=True) if max(amps))


def loading_of(
    runs: Sequence[CableRun],
    fed_from: Sequence[int],
    actuators: Sequence[Actuator],
    places: Sequence[int],
    otherwise_c: float,
) -> Loading:
    """The loading of runs and actuators of which all but lengths and starting currents is known.

    Args:     runs: from the panel outwards; fed_from: the index of the feeder of each, -1 for the panel; places: the
              index of the run at whose far end each actuator hangs; otherwise_c: temperature of cores where neither run
              nor load says it, °C.
    """
    kinds = tuple([run.what for run in runs]), tuple([one.what for one in actuators])
    return _alike(*kinds, tuple(fed_from), tuple(places), otherwise_c)


@lru_cache(maxsize=512)  # few makes of circuit in a portfolio
def _alike(of_runs: tuple[Kind, ...], of_actuators: tuple[Kind, ...], fed_from, places, otherwise_c) -> Loading:
    runs = tuple(
        CableRun(str(k), 1.0, fed_from=None if feeder < 0 else str(feeder), **dict(kind.figures))
        for k, (kind, feeder) in enumerate(zip(of_runs, fed_from, strict=True))
    )
    actuators = tuple(
        Actuator(str(k), at=str(place), **dict(kind.figures)).worked_out()
        for k, (kind, place) in enumerate(zip(of_actuators, places, strict=True))
    )
    # What warms the cores does not ask for how long they are.
    tree = cable_tree(runs, temperature_c=otherwise_c, taken_a=_taken_a(actuators))
    networks = {False: tree.network_at(places, [one.running_taken for one in actuators])}
    if None not in [one.starting_current_a for one in actuators]:
        networks[True] = tree.network_at(places, [((one.starts_with_a, 0.0, 0.0),) for one in actuators])
    return Loading(tree, actuators, networks, tuple([one.minimum_voltage_v for one in actuators]))


def _taken_a(actuators: Sequence[Actuator]) -> dict[str, float]:
    """What actuators take for good at each run, A: what warms the cores.

    The load of a motor at its least voltage is the most that it takes: below it the check fails anyway. What it draws
    for the moment of the start warms no cable.
    """
    taken: dict[str, float] = {}
    for one in actuators:
        taken[one.at] = taken.get(one.at, 0.0) + one.most_a
    return taken
