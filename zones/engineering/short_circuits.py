"""What flows into a short circuit at the end of a cable: on mains, and at the end of battery discharge."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import inf

from zones.engineering.battery_lead import NO_LEADS, LeadOhm
from zones.engineering.cables import CableRun
from zones.engineering.conductors import warm_factor

_PATH_ASKS, _DROP_ASKS = "rated current", "own voltage drop of the panel"
_BATTERY_ASKS = "internal resistance of the battery"
_CHARGED_V_PER_CELL = 2.15  # open circuit of a full lead-acid cell [P]; with it a near short circuit is the greatest


@dataclass(frozen=True, slots=True)
class FaultSource:
    """One source that feeds a short circuit; ``None`` = not known.

    `words` as a sentence ends ("on mains"); `limit_a`: more it never gives, infinite where only its resistance limits;
    `asks`: what must be entered where a figure of it lacks. `source_v` has `drop_v` of the panel's own taken off, which
    grows beyond its rated current as if it were the resistance `path_ohm`. `leads`: what lies before it, at the least
    and at the most.
    """

    words: str
    source_v: float | None
    internal_ohm: float | None
    limit_a: float | None
    asks: str
    drop_v: float | None = 0.0
    path_ohm: float | None = 0.0
    leads: LeadOhm = NO_LEADS

    @property
    def is_known(self) -> bool:
        return None not in (self.source_v, self.internal_ohm, self.limit_a, self.drop_v, self.path_ohm)

    @property
    def lacks(self) -> str:
        """What must be entered first, where something is not known."""
        if self.drop_v is None:
            return _DROP_ASKS
        return self.asks if self.path_ohm is not None else _PATH_ASKS

    def current_a(self, loop_ohm: float, *, at_best: bool = False) -> float:
        """Current into a short circuit behind this resistance, A. Every figure but that of its leads must be known.

        Args:     at_best: whether leads that are not known count as nothing, not as the worst.
        """
        ohm = self.internal_ohm + loop_ohm + (self.leads.least if at_best else self.leads.most)
        if ohm <= 0:
            return self.limit_a
        return min(self.limit_a, self.source_v / ohm, (self.source_v + self.drop_v) / (ohm + self.path_ohm))


@dataclass(frozen=True, slots=True)
class Feeding:
    """What may feed a short circuit behind a panel. `greatest_a`: both at full strength, near the panel."""

    sources: tuple[FaultSource, ...]
    greatest_a: float | None

    @property
    def unknown(self) -> tuple[str, ...]:
        """What must be entered before the least current is known."""
        return tuple(dict.fromkeys(one.lacks for one in self.sources if not one.is_known))

    def least(self, loop_ohm: float, *, at_best: bool = False) -> tuple[FaultSource, float] | None:
        """The known source that gives least into a short circuit, and that current, A; ``None``: none is known."""
        known = [(one, one.current_a(loop_ohm, at_best=at_best)) for one in self.sources if one.is_known]
        return min(known, key=lambda pair: pair[1], default=None)


def feeding_of(
    *,
    mains_v: float | None,
    supply_fault_a: float | None,
    discharged_v: float | None,
    battery_ohm: float | None,
    discharged_factor: float,
    cells: int,
    own_drop_v: float | None = 0.0,
    rated_a: float | None = None,
    leads: LeadOhm | None = None,
) -> Feeding:
    """The two sources of a panel: a supply that limits its current, a battery that its resistance limits.

    Args:     mains_v, discharged_v: at the outputs, V; battery_ohm: internal resistance of the set when new;
              discharged_factor: how often that at the end of discharge; own_drop_v: of the panel at its `rated_a`;
              leads: of the battery. The greatest current counts without them, which is the safe side.
    Source:   Ohm's law; the panel's own drop counts in full at every current, and in proportion beyond the rated one.
    """
    path_ohm = None if own_drop_v and rated_a is None else (own_drop_v / rated_a if own_drop_v else 0.0)
    own = {"drop_v": own_drop_v, "path_ohm": path_ohm}
    before = {**own, "leads": leads or NO_LEADS}
    ended_ohm = None if battery_ohm is None else battery_ohm * discharged_factor
    sources = (
        FaultSource("on mains", mains_v, 0.0, supply_fault_a, "current of the supply into a short circuit", **own),
        FaultSource("at the end of battery discharge", discharged_v, ended_ohm, inf, _BATTERY_ASKS, **before),
    )
    greatest_a = None
    if battery_ohm and supply_fault_a is not None:
        greatest_a = supply_fault_a + cells * _CHARGED_V_PER_CELL / battery_ohm
    return Feeding(sources, greatest_a)


def farthest(runs: Iterable[CableRun]) -> tuple[CableRun, float] | None:
    """The run at whose end a short circuit sees most resistance, and that resistance, both cores, warm; ohm.

    Cores count as warm as their insulation allows. ``None``: a length or a conductor is not known, or no tree.
    """
    by_name = {run.name: run for run in runs}
    if any(run.length_m is None or run.conductor is None for run in by_name.values()):
        return None
    try:
        found = [(run, sum(_warm_ohm(one) for one in _route(run, by_name))) for run in by_name.values()]
    except KeyError:
        return None
    return max(found, key=lambda pair: pair[1], default=None)


def _warm_ohm(run: CableRun) -> float:
    warm = warm_factor(run.laying.hottest_c)
    return 2e-3 * run.conductor.ohm_per_km / run.cores_per_pole * run.length_m * warm


def _route(run, by_name):
    route = [run]
    while route[-1].fed_from is not None:
        route.append(by_name[route[-1].fed_from])
        if len(route) > len(by_name):
            raise KeyError(run.name)
    return route
