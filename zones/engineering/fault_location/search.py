"""The search for a fault: what explains all readings so far, and which measurement would tell most.

Bayes: how common a cause is, times how likely it makes each reading. The engine proposes and says what to measure
next; it never decides, and never leaves a cause out: several faults look alike from the terminals.
"""

import math
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace

from zones.engineering.detection_lines import PANEL_TERMINALS, DetectionLine, Span
from zones.engineering.fault_location.causes import FaultKind, causes_of
from zones.engineering.fault_location.damage import Sight
from zones.engineering.fault_location.likelihood import SEEN_V, Weighed, fits, foretold, weigh, with_reports
from zones.engineering.fault_location.measurements import TERMINALS, Probe, ProbeKind, Reading, probes_of
from zones.engineering.fault_location.two_faults import Pair, TwoFaults, log_of_pairs, pairs_of, told_of_two
from zones.engineering.fault_location.worth import told_bits
from zones.engineering.line_check import missing_figures
from zones.engineering.quantities import QuantityError
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice

LEAST_SHARE = 1e-3  # of all causes together, dealt out by how common they are: none is ever excluded
SETTLED = 0.995  # a cause with this share is to be looked at, not measured further
_VOLTAGE = Probe(ProbeKind.VOLTAGE)
_WORTHLESS_BITS = 0.03
_WEIGHED = 40  # causes between which the next measurement must tell
_NAMED_FROM = 0.05  # share from which two faults are looked for by their places
_JOINTS = 10  # joints that are considered for opening


@dataclass(frozen=True, slots=True)
class Explanation:
    """One possible cause of all readings.

    `at` is its place (number of devices: after the last), `share` its probability, `predicted` what it shows at the
    terminals, `against` the readings that do not fit it, `contradicting` the devices whose reporting does not.
    """

    kind: FaultKind
    at: int | None
    sentence: str
    share: float
    predicted: Span
    against: tuple[Reading, ...]
    contradicting: tuple[str, ...]
    confirm: str
    places: tuple[int, ...] = ()  # of two faults, where the readings determine them

    @property
    def fits(self) -> bool:
        return not self.against and not self.contradicting


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a measurement shows if a leading explanation is right."""

    sentence: str
    span: Span


@dataclass(frozen=True, slots=True)
class Proposal:
    """The measurement that tells most for its trouble: bits it is expected to tell, and what it may show."""

    probe: Probe
    bits: float
    outcomes: tuple[Outcome, ...]


@dataclass(frozen=True, slots=True)
class FaultSearch:
    """Explanations, the likeliest first, and what to measure next; no proposal when nothing would tell more."""

    explanations: tuple[Explanation, ...]
    proposal: Proposal | None


def locate_fault(
    line: DetectionLine,
    readings: Sequence[Reading],
    *,
    reporting: Collection[str] | None = None,
    practice: TradePractice = TRADE_PRACTICE,
) -> FaultSearch:
    """What explains the readings of a line, best first, and the next measurement.

    Args:     line: as designed, one resistor at the last device, figures known; readings: in any order, may be empty;
              reporting: names of the devices that still report when operated, ``None`` if not tried.
    Raises:   QuantityError: a name that is not on the line; a figure not known; a measurement at no device of it.
    Source:   Ohm's law; Bayes; the list of causes and how common they are is common practice [P].
    """
    _require_as_designed(line)
    possible = probes_of(line)
    for reading in readings:
        if reading.probe not in possible:
            raise QuantityError("measurement", reading.probe.code, "one that can be taken on it", subject=line.name)
    heard = None if reporting is None else _indices(line, reporting)
    sight = Sight(line, practice)
    weighed = [weigh(sight, cause, tuple(readings)) for cause in causes_of(line, practice)]
    if heard is not None:
        weighed = with_reports(sight, weighed, heard)
    pairs, shares = [], _shares(weighed)
    if line.devices and _asks_for_two(sight, weighed, shares, readings, heard):
        pairs = pairs_of(sight, weighed, readings, heard)
        weighed = [_with_pairs(one, pairs) for one in weighed]
        shares = _shares(weighed)
    order = sorted(range(len(weighed)), key=lambda k: -shares[k])  # equal ones stay as common as they are
    explained = [_explained(sight, weighed[k], shares[k], readings, heard) for k in order]
    leading = [(weighed[k], shares[k]) for k in order[:_WEIGHED]]
    place = next(place for place, one in enumerate(explained) if one.kind == FaultKind.TWO_FAULTS)
    if not line.devices or explained[place].share < _NAMED_FROM:
        return FaultSearch(tuple(explained), _proposal(sight, leading, readings))
    two = told_of_two(sight, pairs, readings)
    explained[place] = replace(explained[place], sentence=two.sentence, confirm=two.confirm, places=two.places)
    proposal = _proposal(sight, leading, readings) if place else _proposal_for_two(sight, two, readings)
    return FaultSearch(tuple(explained), proposal)


def _asks_for_two(sight, weighed, shares, readings, heard) -> bool:
    """Whether pairs are worth the time: two faults are likely, or the best single one leaves something unexplained."""
    both = list(zip(weighed, shares, strict=True))
    if any(share >= _NAMED_FROM for one, share in both if one.cause.kind == FaultKind.TWO_FAULTS):
        return True
    best, share = max(both, key=lambda pair: pair[1])
    return not _explained(sight, best, share, readings, heard).fits


def _with_pairs(one: Weighed, pairs: Sequence[Pair]) -> Weighed:
    """Two faults are as likely as the pairs that explain the readings, and never less than any two unrelated ones."""
    if one.cause.kind != FaultKind.TWO_FAULTS:
        return one
    return replace(one, log_evidence=max(one.log_evidence, log_of_pairs(pairs)))


def _proposal_for_two(sight: Sight, two: TwoFaults, readings: Sequence[Reading]) -> Proposal | None:
    """Where two faults are the likeliest, the next measurement tells their places."""
    if two.probe is None or voltage_on_line(readings) is not None:
        return None
    outcomes = tuple(Outcome(words, foretold(sight, damage, two.probe)) for words, damage in two.expected)
    return Proposal(two.probe, 1.0, outcomes)


def _require_as_designed(line: DetectionLine) -> None:
    place = line.devices[-1].name if line.devices else PANEL_TERMINALS
    if len(line.elements) != 1 or line.elements[0].at != place:
        accepted = f"one, at {place}: enter the line as it is designed"
        raise QuantityError("end-of-line resistors", len(line.elements), accepted, subject=line.name)
    for what, owners in missing_figures(line):
        raise QuantityError(f"{what} {owners[0]}", None, "known to locate a fault", subject=line.name)


def _indices(line: DetectionLine, names: Collection[str]) -> frozenset[int]:
    places = {device.name: k for k, device in enumerate(line.devices)}
    for name in names:
        if name not in places:
            raise QuantityError("reporting", name, f"devices of the line: {', '.join(places)}", subject=line.name)
    return frozenset(places[name] for name in names)


def _shares(weighed: Sequence[Weighed]) -> list[float]:
    logs = [math.log(one.cause.prior) + one.log_evidence for one in weighed]
    top = max(logs)
    parts = [math.exp(log - top) for log in logs]
    whole, priors = sum(parts), sum(one.cause.prior for one in weighed)
    return [
        (1 - LEAST_SHARE) * part / whole + LEAST_SHARE * one.cause.prior / priors
        for part, one in zip(parts, weighed, strict=True)
    ]


def _explained(sight: Sight, one: Weighed, share: float, readings: Iterable[Reading], heard) -> Explanation:
    cause, damage = one.cause, one.damage
    against, wrong = (), ()
    if cause.kind != FaultKind.TWO_FAULTS:
        against = tuple(reading for reading in readings if not fits(sight, damage, reading))
        odd = frozenset() if heard is None else heard ^ sight.reporting(damage)
        wrong = tuple(sight.line.devices[k].name for k in sorted(odd))
    sentence, predicted = cause.sentence_of(one.figure), sight.span(damage, TERMINALS)
    return Explanation(cause.kind, cause.at, sentence, share, predicted, against, wrong, cause.confirm)


def voltage_on_line(readings: Iterable[Reading]) -> float | None:
    """The greatest voltage that was read, ``None`` without one: on a live line nothing more is measured."""
    seen = (reading.value for reading in readings if reading.probe.kind == ProbeKind.VOLTAGE)
    return max((value for value in seen if value >= SEEN_V), default=None)


def _proposal(sight: Sight, leading: Sequence[tuple[Weighed, float]], readings: Sequence[Reading]) -> Proposal | None:
    if leading[0][1] >= SETTLED or voltage_on_line(readings) is not None:
        return None
    taken = {reading.probe for reading in readings}
    if leading[0][0].cause.kind == FaultKind.FOREIGN_VOLTAGE and _VOLTAGE not in taken:
        return _proposed(sight, _VOLTAGE, leading)  # nobody opens a line that is likely live before it is proven dead
    probes = [probe for probe in _considered(sight.line, leading) if probe not in taken]
    worth = [(told_bits(sight, probe, leading), probe) for probe in probes]
    if not worth:
        return None
    bits, best = max(worth, key=lambda one: one[0] / one[1].effort)
    return None if bits < _WORTHLESS_BITS else _proposed(sight, best, leading)


def _proposed(sight: Sight, probe: Probe, leading: Sequence[tuple[Weighed, float]]) -> Proposal:
    outcomes = [
        Outcome(one.cause.sentence_of(one.figure), foretold(sight, one.damage, probe)) for one, _ in leading[:4]
    ]
    return Proposal(probe, told_bits(sight, probe, leading), tuple(outcomes))


def _considered(line: DetectionLine, leading: Sequence[tuple[Weighed, float]]) -> list[Probe]:
    """The measurements worth weighing: at the start, and at joints amid the suspected places."""
    places = sorted({one.cause.at for one, share in leading if one.cause.at is not None and share > 1e-4})
    joints = sorted({k for place in places for k in (place - 1, place) if 0 <= k < len(line.devices)})
    step = max(1, math.ceil(len(joints) / _JOINTS))
    chosen = {None, *joints[step // 2 :: step], len(line.devices) - 1}
    left_out = (ProbeKind.PANEL,)  # the panel reads what its meter does, and disturbs it by feeding the line
    return [probe for probe in probes_of(line) if probe.at in chosen and probe.kind not in left_out]
