"""How likely a reading is if a cause is true: the meter's error, the cable's copper, the tolerances of resistors."""

import math
from dataclasses import dataclass, replace

from zones.engineering.detection_lines import Span
from zones.engineering.fault_location.causes import Cause, FaultKind
from zones.engineering.fault_location.damage import Damage, Sight
from zones.engineering.fault_location.measurements import Probe, ProbeKind, Reading

OPEN_FROM_OHM = 1e7  # more is "open" on a hand-held meter; a damp line that is broken may read a little less
_DIGIT_OHM = 0.2  # last digit and contact of the probes
_STEP = 0.01  # of the logarithm of a reading: two that lie closer are one reading
# Nothing is impossible: a slip of the hand, a joint that moved. No reading alone can exclude a cause.
_SLIP = 1e-6
_AGREES, _DISAGREES = 0.97, 0.03  # a device that reports as foretold, and not; one in thirty is tried wrongly
_UNKNOWN = 0.5
SEEN_V = 0.05
_GRID = tuple(k / 8 for k in range(9))
_NUDGE = 0.01
_FITS_WITHIN = 0.03  # of a reading beyond the meter's own error
_OUTWEIGHED = 9.0  # logarithm: a cause so far behind the best one rounds to nothing, beside the share that all keep
_NEGLIGIBLE = 20.0  # logarithm: figures that explain the readings so much worse add nothing


@dataclass(frozen=True, slots=True)
class Weighed:
    """A cause after the readings: logarithm of its evidence, and its open figure with the weight of each value."""

    cause: Cause
    log_evidence: float
    figures: tuple[tuple[float, float], ...]  # (figure, weight), best first; the weights add up to 1

    @property
    def figure(self) -> float:
        return self.figures[0][0]

    @property
    def damage(self) -> Damage:
        return self.cause.damage_of(self.figure)


def spread(span: Span, practice) -> float:
    """Standard deviation of the logarithm of a reading: meter, digit and tolerances, each evenly spread."""
    low, high = _log(span.low_ohm), _log(span.high_ohm)
    return math.hypot(practice.meter_tolerance / 1.7, (high - low) / 3.4, _DIGIT_OHM / (span.nominal_ohm + 1))


def likeness(span: Span, value: float, practice) -> float:
    """Probability of a reading within one step of itself, given what is foretold."""
    foretold_open, is_open = span.nominal_ohm >= OPEN_FROM_OHM, value >= OPEN_FROM_OHM
    if foretold_open and is_open:
        return 0.98
    if foretold_open:
        return 2e-4 if value > 3e5 else _SLIP
    if is_open:
        return 0.01 if span.high_ohm > 3e6 else _SLIP
    sigma = spread(span, practice)
    off = (_log(value) - _log(span.nominal_ohm)) / sigma
    # The nominal lies in the middle of tolerances, but at the upper end of the copper's: take the nearer of both.
    middle = (_log(value) - (_log(span.low_ohm) + _log(span.high_ohm)) / 2) / sigma
    density = math.exp(-0.5 * min(off * off, middle * middle)) / (sigma * 2.5066)
    return min(1.0, density * _STEP) + _SLIP


def weigh(sight: Sight, cause: Cause, readings: tuple[Reading, ...]) -> Weighed:
    """The evidence of the readings for one cause, its open figure summed over."""
    if cause.kind == FaultKind.TWO_FAULTS:
        return Weighed(cause, _of_anything(readings), ((0.0, 1.0),))
    logs = _logs_of(sight, cause, readings)
    top = logs[0][0]
    weights = [(figure, math.exp(log - top)) for log, figure in logs if log > top - 6]
    total = sum(weight for _, weight in weights)
    return Weighed(cause, top + math.log(total), tuple((figure, weight / total) for figure, weight in weights))


def _logs_of(sight: Sight, cause: Cause, readings: tuple[Reading, ...]) -> list[tuple[float, float]]:
    """(logarithm of the evidence with its width, figure) of each value that the open figure may have, best first."""
    if not cause.is_open:
        logs = [(_log_of(sight, cause, figure, readings), figure) for figure in cause.settings]
        return sorted(((log - math.log(len(logs)), figure) for log, figure in logs), reverse=True)
    fitted = {root for reading in readings if (root := fitted_figure(sight, cause, reading)) is not None}
    widths = dict.fromkeys(_GRID, 1 / len(_GRID)) | dict.fromkeys(sorted(fitted), 1 / max(len(fitted), 1))
    logs = {figure: _log_of(sight, cause, figure, readings) for figure in widths}
    least = max(logs.values()) - _NEGLIGIBLE
    return sorted(
        (
            (log + math.log(_width(sight, cause, figure, readings, widths[figure])), figure)
            for figure, log in logs.items()
            if log > least
        ),
        reverse=True,
    )


def _log_of(sight: Sight, cause: Cause, figure: float, readings: tuple[Reading, ...]) -> float:
    damage = cause.damage_of(figure)
    return sum(math.log(_likeness_of(sight, damage, reading)) for reading in readings)


def _likeness_of(sight: Sight, damage: Damage, reading: Reading) -> float:
    if reading.probe.kind == ProbeKind.VOLTAGE:
        return _of_voltage(reading.value, bool(damage.foreign_ohm))
    span = sight.span(damage, reading.probe)
    if damage.foreign_ohm and reading.value in (0.0, math.inf) and span.nominal_ohm < OPEN_FROM_OHM:
        return 0.05  # a meter that is driven backwards shows nothing, zero or overflow
    return likeness(span, reading.value, sight.practice)


def _of_voltage(value_v: float, is_foreign: bool) -> float:
    if value_v < SEEN_V:
        return 0.05 if is_foreign else 0.98
    return 0.01 if is_foreign else _SLIP


def with_reports(sight: Sight, weighed: list[Weighed], heard: frozenset[int]) -> list[Weighed]:
    """The same causes, in their order, after it was tried which devices still report.

    What each would leave reporting takes long to compute. Where even full agreement could not bring a cause near the
    best one, full agreement is assumed.
    """
    full = sight.count * math.log(_AGREES)
    top, found = -math.inf, {}
    for k in sorted(range(len(weighed)), key=lambda k: -_standing(weighed[k])):
        one, log = weighed[k], full
        if one.cause.kind == FaultKind.TWO_FAULTS:
            log = sight.count * math.log(_UNKNOWN)
        elif _standing(one) + full > top - _OUTWEIGHED:
            log = of_reports(heard, sight.reporting(one.damage), sight.count)
        found[k] = replace(one, log_evidence=one.log_evidence + log)
        top = max(top, _standing(found[k]))
    return [found[k] for k in range(len(weighed))]


def _standing(one: Weighed) -> float:
    return math.log(one.cause.prior) + one.log_evidence


def of_reports(heard: frozenset[int], foretold: frozenset[int], count: int) -> float:
    """Logarithm of the probability that these devices report where those should."""
    wrong = len(heard ^ foretold)
    return wrong * math.log(_DISAGREES) + (count - wrong) * math.log(_AGREES)


def _of_anything(readings: tuple[Reading, ...]) -> float:
    """Two unrelated faults can show anything: each reading on the logarithmic scale alike."""
    return sum(math.log(0.1 if reading.value >= OPEN_FROM_OHM else _STEP / 15) for reading in readings)


def fitted_figure(sight: Sight, cause: Cause, reading: Reading) -> float | None:
    """The open figure at which the cause foretells just this reading; readings rise or fall with it throughout."""
    if reading.probe.kind == ProbeKind.VOLTAGE or reading.value >= OPEN_FROM_OHM:
        return None
    target, low, high = _log(reading.value), 0.0, 1.0

    def seen(figure):
        return _log(sight.seen(cause.damage_of(figure), reading.probe))

    at_low, at_high = seen(low), seen(high)
    if not min(at_low, at_high) < target < max(at_low, at_high):
        return None
    for _ in range(14):
        middle = (low + high) / 2
        if (seen(middle) < target) == (at_low < at_high):
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _width(sight: Sight, cause: Cause, figure: float, readings: tuple[Reading, ...], most: float) -> float:
    """The share of all figures that would explain the readings as well: what foretells must beat what adapts."""
    here, beside = cause.damage_of(figure), cause.damage_of(figure + _NUDGE if figure < 0.5 else figure - _NUDGE)
    width = most
    for reading in readings:
        if reading.probe.kind == ProbeKind.VOLTAGE or reading.value >= OPEN_FROM_OHM:
            continue
        span = sight.span(here, reading.probe)
        if span.nominal_ohm >= OPEN_FROM_OHM:
            continue
        slope = abs(_log(sight.seen(beside, reading.probe)) - _log(span.nominal_ohm)) / _NUDGE
        if slope:
            width = min(width, 2.5 * spread(span, sight.practice) / slope)
    return max(width, 1e-6)


def foretold(sight: Sight, damage: Damage, probe: Probe) -> Span:
    """What a measurement shows if the damage is there; of a voltage, V."""
    if probe.kind == ProbeKind.VOLTAGE:
        return Span(SEEN_V, 1.0, math.inf) if damage.foreign_ohm else Span(0.0, 0.0, SEEN_V)
    return sight.span(damage, probe)


def fits(sight: Sight, damage: Damage, reading: Reading) -> bool:
    """Whether a reading is what the damage foretells, within tolerances and the error of the meter."""
    span, value = foretold(sight, damage, reading.probe), reading.value
    if reading.probe.kind == ProbeKind.VOLTAGE:
        return (value >= span.low_ohm) == bool(damage.foreign_ohm)
    if damage.foreign_ohm and value in (0.0, math.inf):
        return True
    off = _FITS_WITHIN + sight.practice.meter_tolerance
    return span.low_ohm * (1 - off) - 1 <= value <= span.high_ohm * (1 + off) + 1


def _log(ohm: float) -> float:
    return math.log(min(ohm, OPEN_FROM_OHM) + 0.5)
