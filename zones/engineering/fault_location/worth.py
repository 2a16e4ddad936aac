"""What a measurement would tell: by how much it is expected to part the explanations that are left."""

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence

from zones.engineering.fault_location.causes import FaultKind
from zones.engineering.fault_location.damage import Sight
from zones.engineering.fault_location.likelihood import Weighed
from zones.engineering.fault_location.measurements import Probe, ProbeKind


def told_bits(sight: Sight, probe: Probe, leading: Sequence[tuple[Weighed, float]]) -> float:
    """Entropy of the explanations that a measurement is expected to remove."""
    joint: dict[tuple, dict[int, float]] = defaultdict(lambda: defaultdict(float))
    for one, share in leading:
        for figure, weight in one.figures[:6]:
            # Causes of one kind at one place are one to whoever repairs it.
            for shown, part in _shown(sight, one, figure, probe):
                joint[one.cause.kind, one.cause.at][shown] += share * weight * part
    readings: dict[int, float] = defaultdict(float)
    for outcomes in joint.values():
        for shown, part in outcomes.items():
            readings[shown] += part
    whole = sum(readings.values())
    given = sum(_entropy(outcomes.values()) for outcomes in joint.values())
    return (_entropy(readings.values()) - given) / whole


def _shown(sight: Sight, one: Weighed, figure: float, probe: Probe) -> Iterable[tuple[int, float]]:
    """What a meter would show, in steps that it tells apart, with the share of each."""
    if one.cause.kind == FaultKind.TWO_FAULTS:
        return ((-1, 1.0),)
    damage = one.cause.damage_of(figure)
    if probe.kind == ProbeKind.VOLTAGE:
        return ((int(bool(damage.foreign_ohm)), 1.0),)
    ohm = sight.seen(damage, probe)
    if ohm >= 1e7:
        return ((10**6, 1.0),)
    # Steps of four per cent, each reading blurred by a meter's error, so that no border between steps tells anything.
    place = math.log(ohm + 5) / 0.04
    step = math.floor(place)
    return ((step, 1 - (place - step)), (step + 1, place - step))


def _entropy(parts: Iterable[float]) -> float:
    parts = list(parts)
    whole = sum(parts)
    return -sum(part * math.log2(part / whole) for part in parts if part > 0)
