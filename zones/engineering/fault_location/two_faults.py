"""Two faults at different places: which two explain the readings together, and which measurement would tell them.

Two of one kind are not reckoned with: a joint and a leak are, two leaks are halved by opening the line between them.
"""

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import NamedTuple

from zones.engineering.fault_location.causes import Cause, FaultKind
from zones.engineering.fault_location.damage import Damage, Sight, together
from zones.engineering.fault_location.likelihood import Weighed, fits, fitted_figure, of_reports, weigh
from zones.engineering.fault_location.measurements import Probe, ProbeKind, Reading, probes_of, title
from zones.engineering.fault_location.worth import told_bits

_PLACED = (
    *(FaultKind.ALARM, FaultKind.REMOVED, FaultKind.ELEMENT_MISSING, FaultKind.BREAK, FaultKind.SHORT),
    *(FaultKind.LEAKAGE, FaultKind.POOR_JOINT, FaultKind.EARTH),
)
_SURE = 0.7  # of all pairs: from this share on two places are named
_MOST_PAIRS, _MOST_HEARD = 60, 12  # pairs that are weighed, and of those by which devices report
_FAR_BEHIND = 12.0  # logarithm
_LEFT_OUT = (ProbeKind.PANEL, ProbeKind.VOLTAGE, ProbeKind.HEAD_OUT)
_WORTHLESS_BITS = 0.05


class TwoFaults(NamedTuple):
    """What is said of two faults. `places`: theirs, where the readings determine them; `probe`: the measurement that
    would; `expected`: (sentence of a pair, its damage), the likeliest first."""

    sentence: str
    confirm: str
    probe: Probe | None = None
    places: tuple[int, ...] = ()
    expected: tuple[tuple[str, Damage], ...] = ()


@dataclass(frozen=True, slots=True)
class Pair:
    """Two causes with their figures, in the order of their places."""

    causes: tuple[Cause, Cause]
    figures: tuple[float, float]
    log: float

    @property
    def damage(self) -> Damage:
        one, other = (cause.damage_of(figure) for cause, figure in zip(self.causes, self.figures, strict=True))
        return together(one, other)

    @property
    def places(self) -> tuple[int, int]:
        return self.causes[0].at, self.causes[1].at

    @property
    def sentence(self) -> str:
        return " ".join(cause.sentence_of(figure) for cause, figure in zip(self.causes, self.figures, strict=True))


def pairs_of(
    sight: Sight, weighed: Sequence[Weighed], readings: Sequence[Reading], heard: frozenset[int] | None
) -> list[Pair]:
    """Pairs of causes that explain the readings together and could not do without either, the likeliest first."""
    causes = [one.cause for one in weighed if one.cause.kind in _PLACED]
    return _pairs(sight, causes, tuple(readings), heard)


def log_of_pairs(pairs: Sequence[Pair]) -> float:
    """Logarithm of the evidence for two faults, whichever they are; minus infinity without a pair."""
    if not pairs:
        return -math.inf
    return pairs[0].log + math.log(sum(math.exp(pair.log - pairs[0].log) for pair in pairs))


def told_of_two(sight: Sight, pairs: Sequence[Pair], readings: Sequence[Reading]) -> TwoFaults:
    """The two likeliest places where the readings determine them, else the measurement that would."""
    shares, of_places = _shares(pairs), defaultdict(float)
    for pair, share in zip(pairs, shares, strict=True):
        of_places[pair.places] += share
    if pairs:
        best = pairs[0]
        explains = all(fits(sight, best.damage, reading) for reading in readings)
        if explains and of_places[best.places] >= _SURE:
            words = f"Two faults lie at different places, most likely these. {best.sentence}"
            return TwoFaults(words, " ".join(cause.confirm for cause in best.causes), places=best.places)
    return _not_told(sight, pairs, shares, {reading.probe for reading in readings})


def _not_told(sight, pairs, shares, taken):
    words = "Two faults lie at different places: no single one explains the readings. Which places is not settled"
    probe = _telling(sight, pairs, shares, taken)
    words += f"; the likeliest of {len(pairs)} pairs: {pairs[0].sentence}" if len(pairs) > 1 else "."
    if probe is None:
        return TwoFaults(words, "Put right what is found first, then read the line again: the other shows then.")
    confirm = f"{title(sight.line, probe)}: that reading tells the places apart."
    return TwoFaults(words, confirm, probe, expected=tuple((pair.sentence, pair.damage) for pair in pairs[:4]))


def _telling(sight, pairs, shares, taken):
    """The measurement that tells pairs apart; without any, or where none does, one that halves the line."""
    left = [probe for probe in probes_of(sight.line) if probe not in taken and probe.kind not in _LEFT_OUT]
    if len(pairs) > 1:
        leading = [(_as_weighed(pair), share) for pair, share in zip(pairs[:20], shares, strict=False)]
        worth = [(told_bits(sight, probe, leading), probe) for probe in left]
        bits, best = max(worth, key=lambda one: one[0] / one[1].effort, default=(0.0, None))
        if bits >= _WORTHLESS_BITS:
            return best
    halves = (ProbeKind.FORWARD, ProbeKind.LOOP, ProbeKind.BACK)
    opened = {probe.at for probe in taken if probe.kind in halves}
    middle = (sight.count - 1) / 2
    return min(
        (probe for probe in left if probe.kind in halves),
        # Once a joint is open, both its sides are read before another one is opened.
        key=lambda probe: (probe.at not in opened, abs(probe.at - middle), halves.index(probe.kind)),
        default=None,
    )


def _as_weighed(pair: Pair) -> Weighed:
    """A pair as if it were one cause, for what weighs measurements."""
    cause = replace(pair.causes[0], at=pair.places, damage_of=lambda _, damage=pair.damage: damage)
    return Weighed(cause, pair.log, ((0.0, 1.0),))


def _shares(pairs):
    parts = [math.exp(pair.log - pairs[0].log) for pair in pairs]
    return [part / sum(parts) for part in parts]


def _pairs(sight, causes, readings, heard):
    odd = [reading for reading in readings if not fits(sight, Damage(), reading)]
    silent = frozenset() if heard is None else sight.reporting(Damage()) - heard
    alone = {cause: frozenset(_explained(sight, cause, odd, silent)) for cause in causes}
    able = [cause for cause in causes if alone[cause]]
    found = [
        (one, other)
        for one, other in combinations(able, 2)
        if one.at != other.at
        and alone[one] - alone[other]
        and alone[other] - alone[one]
        and together(one.damage_of(0.5), other.damage_of(0.5)) is not None
    ]
    found.sort(key=lambda pair: (-len(alone[pair[0]] | alone[pair[1]]), -pair[0].prior * pair[1].prior))
    prior = sum(cause.prior for cause in causes)
    pairs = [_fitted(sight, *pair, readings, prior) for pair in found[:_MOST_PAIRS]]
    pairs.sort(key=lambda pair: -pair.log)
    if heard is not None:
        pairs = [
            replace(pair, log=pair.log + of_reports(heard, sight.reporting(pair.damage), sight.count))
            for pair in pairs[:_MOST_HEARD]
        ]
        pairs.sort(key=lambda pair: -pair.log)
    return [pair for pair in pairs if pair.log > pairs[0].log - _FAR_BEHIND]


def _explained(sight, cause, odd, silent):
    """What a cause explains by itself of the readings that are odd and of the devices that are silent."""
    for k, reading in enumerate(odd):
        if any(fits(sight, cause.damage_of(figure), reading) for figure in _figures(sight, cause, [reading])):
            yield f"reading {k}"
    if silent:
        still_heard = sight.reporting(cause.damage_of(_figures(sight, cause, odd)[0]))
        yield from (f"device {k}" for k in silent - still_heard)


def _figures(sight, cause, readings):
    """Values of the open figure at which a cause by itself explains a reading."""
    if not cause.is_open:
        return cause.settings
    fitted = {figure for reading in readings if (figure := fitted_figure(sight, cause, reading)) is not None}
    return sorted(fitted) or (0.5,)


def _fitted(sight, one, other, readings, prior) -> Pair:
    """A pair with the figures that explain all readings best; then the first is set anew beside the second.

    Args:     prior: of all causes together of which pairs are made.
    """
    first, second = (one, other) if other.is_open else (other, one)
    best_log, chosen = -math.inf, None
    for figure in _figures(sight, first, readings):
        weighed = weigh(sight, _beside(second, first.damage_of(figure)), readings)
        if weighed.log_evidence > best_log:
            best_log, chosen = weighed.log_evidence, {first: figure, second: weighed.figure}
    if first.is_open:
        weighed = weigh(sight, _beside(first, second.damage_of(chosen[second])), readings)
        if weighed.log_evidence > best_log:
            best_log, chosen[first] = weighed.log_evidence, weighed.figure
    causes = tuple(sorted((one, other), key=lambda cause: cause.at))
    log = best_log + math.log(2 * one.prior * other.prior / prior**2)
    return Pair(causes, tuple(chosen[cause] for cause in causes), log)


def _beside(cause: Cause, damage: Damage) -> Cause:
    """A cause on a line that has other damage already."""
    return replace(cause, damage_of=lambda figure: together(damage, cause.damage_of(figure)))
