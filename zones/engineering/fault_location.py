"""Locate a fault on a monitored line: from a reading and from which devices still report.

Every explanation that the trade knows is computed forwards, and ranked by how far its reading lies from the
one taken and by whether the devices that still report fit it. The engine proposes and says what to measure
next; it never decides: several faults look alike from the terminals.
"""

import math
from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from zones.engineering.detection_lines import (
    NORMAL,
    PANEL_TERMINALS,
    DetectionLine,
    EndOfLineResistor,
    LineModel,
    LineRole,
    LineState,
    Span,
    line_model,
)
from zones.engineering.line_check import missing_figures
from zones.engineering.line_words import ohm_in_words
from zones.engineering.quantities import QuantityError, require_not_negative
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice

# E24 values of one decade. IEC 60063 [M].
E24 = (
    *(1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0),
    *(3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2, 9.1),
)
_EQUAL = 0.5  # explanations whose scores differ by less cannot be told apart by this reading


class FaultKind(StrEnum):
    """The explanations, most common first; the order breaks ties."""

    NONE = "no fault"
    ALARM = "device in alarm"
    REMOVED = "device taken out"
    ELEMENT_MISSING = "end-of-line resistor missing or cut off"
    BREAK = "break"
    SHORT = "short circuit"
    TWO_ELEMENTS = "resistor at the panel and at the last device"
    DOUBLE_ELEMENT = "two resistors at the last device"
    ELEMENT_AT_PANEL = "resistor at the panel, line not connected"
    ELEMENT_MISPLACED = "resistor at the panel only"
    BREAK_WITH_ELEMENT_AT_PANEL = "break hidden by a resistor left at the panel"
    POLARITY = "polarity reversed"
    WRONG_VALUE = "resistor of another value"
    LEAKAGE = "leakage between the cores"
    POOR_JOINT = "poor joint in the line"


_ORDER = {kind: place for place, kind in enumerate(FaultKind)}


@dataclass(frozen=True, slots=True)
class Explanation:
    """One possible cause of a reading.

    `at` is the index of the device concerned (number of devices: after the last), `predicted` what it would
    read, `distance_ohm` how far the reading lies outside that, `contradicting` the devices whose reporting
    does not fit; `score` ranks (0 fits fully).
    """

    kind: FaultKind
    at: int | None
    sentence: str
    predicted: Span
    distance_ohm: float
    contradicting: tuple[str, ...]
    score: float
    next_measurement: str


@dataclass(frozen=True, slots=True)
class _Candidate:
    kind: FaultKind
    at: int | None
    sentence: str
    predicted: Span
    reporting: frozenset[int]  # devices that would still report
    next_measurement: str


def locate_fault(
    line: DetectionLine,
    reading_ohm: float,
    *,
    reporting: Collection[str] | None = None,
    fed_by_panel: bool = False,
    practice: TradePractice = TRADE_PRACTICE,
) -> tuple[Explanation, ...]:
    """Ranked explanations of a reading at the line's terminals, best first.

    Args:     line: as designed, one resistor at the last device, figures known; reading_ohm: at the terminals,
              0 or more, ``math.inf`` for "open"; reporting: names of the devices that still report when
              operated, ``None`` if not tried; fed_by_panel: the panel's own reading, not a meter's at the
              disconnected line.
    Raises:   QuantityError: negative or not a number; a name that is not on the line; a figure not known.
    Source:   Ohm's law; the list of causes is common practice [P].
    """
    if reading_ohm != math.inf:
        require_not_negative("reading_ohm", reading_ohm, subject=line.name)
    place = line.devices[-1].name if line.devices else PANEL_TERMINALS
    if len(line.elements) != 1 or line.elements[0].at != place:
        accepted = f"one, at {place}: enter the line as it is designed"
        raise QuantityError("end-of-line resistors", len(line.elements), accepted, subject=line.name)
    for what, owners in missing_figures(line):
        raise QuantityError(f"{what} {owners[0]}", None, "known to locate a fault", subject=line.name)
    heard = None if reporting is None else _indices(line, reporting)
    explained = [
        _judged(line, candidate, reading_ohm, heard, practice)
        for candidate in _candidates(line, reading_ohm, fed_by_panel, practice)
    ]
    return tuple(sorted(explained, key=lambda one: (round(one.score, 3), _ORDER[one.kind], one.at or 0)))


def tell_apart(line: DetectionLine, explanations: tuple[Explanation, ...]) -> str:
    """What to measure next: splits the explanations that fit the reading as well as the best one."""
    if not explanations:
        return ""
    best = explanations[0]
    equal = [one for one in explanations if one.score - best.score < _EQUAL]
    interrupted = (FaultKind.BREAK, FaultKind.REMOVED, FaultKind.ELEMENT_MISSING)
    places = sorted({one.at for one in equal if one.kind in interrupted})
    if best.kind in interrupted and len(places) > 1:
        middle = places[len(places) // 2]
        device = line.devices[min(middle, len(line.devices)) - 1] if middle else line.devices[0]
        far = sum(line.section_ohm(k) for k in range(middle, len(line.devices)))
        far += line.elements[0].resistance_ohm
        return (
            f"Open the line at {device.name}, halfway through what is suspected, and measure from there to the end: "
            f"about {ohm_in_words(far)} puts the interruption between {line.origin_words} and {device.name}; open "
            f"puts it beyond."
        )
    return " Then: ".join(dict.fromkeys(one.next_measurement for one in equal[:3]))


def distance_to_short_m(line: DetectionLine, reading_ohm: float) -> float | None:
    """Length of cable from the panel to a short, m; ``None`` when the reading exceeds the whole cable.

    Real copper is a little better than the table's maximum, so that the short may lie somewhat farther.
    """
    require_not_negative("reading_ohm", reading_ohm)
    left_ohm, length_m = reading_ohm, 0.0
    for k, device in enumerate(line.devices):
        section_ohm = line.section_ohm(k)
        if left_ohm <= section_ohm:
            return length_m + device.length_m * left_ohm / section_ohm
        left_ohm -= section_ohm
        length_m += device.length_m
    return None


def nearest_e24_ohm(ohm: float) -> float:
    """The E24 value nearest to a resistance in ratio, ohm. Source: IEC 60063 [M]."""
    decade = 10.0 ** math.floor(math.log10(ohm))
    values = [decade * step for step in (*E24, 10.0)]
    return min(values, key=lambda value: abs(math.log(value / ohm)))


def _candidates(line: DetectionLine, reading_ohm: float, fed: bool, practice: TradePractice) -> Iterator[_Candidate]:
    def model_of(*elements: EndOfLineResistor) -> LineModel:
        fitted = replace(line, elements=elements)
        least = practice.cable_least_fraction
        return line_model(fitted, practice=practice, powered=fed, cable_least_fraction=least)

    element, model = line.elements[0], model_of(*line.elements)
    everyone = frozenset(range(len(line.devices)))
    yield _Candidate(
        *(FaultKind.NONE, None, "The line is as it should be.", model.span(NORMAL), everyone),
        "Take out the last device and see whether the panel reports a fault.",
    )
    if line.devices:
        yield from _alarms(line, model, everyone)
        yield from _interruptions(line, model, everyone)
        yield from _shorts(line, model, reading_ohm)
        yield from _elements(line, element, model_of, everyone)
    yield from _other_values(line, element, model_of, model.span(NORMAL), reading_ohm, everyone)


def _alarms(line: DetectionLine, model: LineModel, everyone: frozenset[int]) -> Iterator[_Candidate]:
    for k, device in enumerate(line.devices):
        span = model.span(LineState(in_alarm=frozenset({k})))
        yield _Candidate(
            *(FaultKind.ALARM, k, f"{device.name} is in alarm.", span, everyone),
            f"Reset {device.name} and read again.",
        )


def _interruptions(line: DetectionLine, model: LineModel, everyone: frozenset[int]) -> Iterator[_Candidate]:
    count = len(line.devices)
    for k, device in enumerate(line.devices):
        before = frozenset(range(k))
        where = (
            f"between {line.devices[k - 1].name} and {device.name}" if k else f"between {line.origin} and {device.name}"
        )
        yield _Candidate(
            *(
                FaultKind.BREAK,
                k,
                f"The line is broken {where}.",
                model.span(LineState(break_before=k)),
                before,
            ),
            f"Bridge the cores at {device.name}: still open at {line.origin_words} confirms the break {where}.",
        )
        if device.kind == LineRole.DETECTOR and device.removal_opens_line:
            yield _Candidate(
                *(FaultKind.REMOVED, k, f"{device.name} is taken out of its base."),
                *(model.span(LineState(removed=frozenset({k}))), before),
                f"Look at {device.name}: is its head seated?",
            )
    last = line.devices[-1].name
    yield _Candidate(
        *(FaultKind.ELEMENT_MISSING, count, f"The end-of-line resistor at {last} is missing or cut off."),
        *(model.span(LineState(break_before=count)), everyone),
        f"Measure the resistor at {last}: {ohm_in_words(line.elements[0].resistance_ohm)}?",
    )


def _shorts(line: DetectionLine, model: LineModel, reading_ohm: float) -> Iterator[_Candidate]:
    near_ohm = 0.0
    far_m = distance_to_short_m(line, reading_ohm) if reading_ohm < math.inf else None
    for k, device in enumerate(line.devices):
        far_ohm = near_ohm + model.sections_ohm[k]
        where = (
            f"between {line.devices[k - 1].name} and {device.name}" if k else f"between {line.origin} and {device.name}"
        )
        here = far_m is not None and near_ohm <= reading_ohm <= far_ohm
        about = f", about {far_m:.0f} m from {line.origin_words}" if here else ""
        span = Span(near_ohm * model.cable_least_fraction, (near_ohm + far_ohm) / 2, far_ohm)
        yield _Candidate(
            *(FaultKind.SHORT, k, f"The cores touch {where}{about}.", span, frozenset()),
            f"Open the line at {device.name}: if the side of {line.origin_words} still reads short, the short lies "
            f"before it.",
        )
        near_ohm = far_ohm


def _elements(line, element: EndOfLineResistor, model_of, everyone: frozenset[int]) -> Iterator[_Candidate]:
    last, ohm = line.devices[-1].name, ohm_in_words(element.resistance_ohm)
    at_panel = replace(element, at=PANEL_TERMINALS)
    yield _Candidate(
        *(
            FaultKind.TWO_ELEMENTS,
            None,
            f"A resistor was left at {line.terminals_words} beside the one at {last}.",
        ),
        *(model_of(element, at_panel).span(), everyone),
        f"Take the line off {line.origin_words}: {ohm} into the line, and look for a resistor at "
        f"{line.terminals_words}.",
    )
    yield _Candidate(
        *(FaultKind.DOUBLE_ELEMENT, len(line.devices), f"Two resistors are fitted at {last}."),
        *(model_of(element, element).span(), everyone),
        f"Take the line off {line.origin_words} and measure into it: half of {ohm} means two resistors at {last}.",
    )
    alone = model_of(at_panel)
    yield _Candidate(
        *(
            FaultKind.ELEMENT_MISPLACED,
            None,
            f"The only resistor sits at {line.terminals_words}, not at {last}.",
        ),
        *(alone.span(), everyone),
        f"Take out the last device: no fault at {line.origin_words} means that the resistor is not at the end.",
    )
    yield _Candidate(
        *(
            FaultKind.ELEMENT_AT_PANEL,
            0,
            f"The resistor is at {line.terminals_words} and the line is not connected.",
        ),
        *(alone.span(LineState(break_before=0)), frozenset()),
        f"Measure into the line itself, off the terminals: {ohm} means that it is whole.",
    )
    for k in range(1, len(line.devices)):
        where = f"between {line.devices[k - 1].name} and {line.devices[k].name}"
        yield _Candidate(
            *(FaultKind.BREAK_WITH_ELEMENT_AT_PANEL, k),
            f"The line is broken {where}; a resistor left at {line.terminals_words} hides it.",
            *(model_of(element, at_panel).span(LineState(break_before=k)), frozenset(range(k))),
            f"Take the resistor off {line.terminals_words} and read again: open confirms the break.",
        )
    yield _Candidate(
        *(
            FaultKind.POLARITY,
            None,
            "The line is connected with reversed polarity.",
            model_of(element).span(),
        ),
        *(frozenset(), "Compare the cores' colours and the polarity at the first device with the drawing."),
    )


def _other_values(line, element, model_of, normal: Span, reading_ohm, everyone) -> Iterator[_Candidate]:
    """Causes that explain almost any reading; they rank behind those that predict one."""
    if not 0 < reading_ohm < math.inf:
        return
    inside_ohm = reading_ohm - line.cable_ohm()
    if inside_ohm >= 1:
        value_ohm = nearest_e24_ohm(inside_ohm)
        if abs(value_ohm / element.resistance_ohm - 1) > 0.04:  # E24 values lie 5 % or more apart
            words = f"The resistor is {ohm_in_words(value_ohm)}, not {ohm_in_words(element.resistance_ohm)}."
            other = replace(element, resistance_ohm=value_ohm)
            yield _Candidate(
                *(FaultKind.WRONG_VALUE, None, words, model_of(other).span(), everyone),
                "Read the value of the resistor at the last device, out of circuit.",
            )
    if reading_ohm < normal.low_ohm:
        leak_ohm = 1 / (1 / reading_ohm - 1 / normal.nominal_ohm)
        words = f"About {ohm_in_words(leak_ohm)} lies across the line: damp, or an insulation fault."
        yield _Candidate(
            *(FaultKind.LEAKAGE, None, words, Span(reading_ohm, reading_ohm, reading_ohm), everyone),
            "Open the line in the middle and measure both halves without the resistor: the lower one leaks.",
        )
    elif reading_ohm > normal.high_ohm:
        words = f"About {ohm_in_words(reading_ohm - normal.nominal_ohm)} too much lies in the line: a poor joint."
        yield _Candidate(
            *(FaultKind.POOR_JOINT, None, words, Span(reading_ohm, reading_ohm, reading_ohm), everyone),
            f"Tighten the terminals from {line.origin_words} on and watch the reading.",
        )


def _judged(line, candidate: _Candidate, reading_ohm: float, heard, practice: TradePractice) -> Explanation:
    span = candidate.predicted
    low_ohm = span.low_ohm * (1 - practice.meter_tolerance)
    high_ohm = span.high_ohm * (1 + practice.meter_tolerance)
    nearest = min(max(reading_ohm, low_ohm), high_ohm)
    distance_ohm = abs(reading_ohm - nearest) if reading_ohm != nearest else 0.0
    wrong: tuple[str, ...] = ()
    if heard is not None:
        wrong = tuple(line.devices[k].name for k in sorted(heard ^ candidate.reporting))
    # One device that does not fit weighs as much as a reading ten per cent off. One ohm is a meter's step.
    score = 10 * _log_ratio(reading_ohm, nearest) + len(wrong)
    # Explanations that adapt to any reading must not beat one that foretold it.
    score += 0.25 if candidate.kind in (FaultKind.LEAKAGE, FaultKind.POOR_JOINT) else 0.0
    return Explanation(
        candidate.kind,
        candidate.at,
        candidate.sentence,
        span,
        distance_ohm,
        wrong,
        score,
        candidate.next_measurement,
    )


def _log_ratio(reading_ohm: float, expected_ohm: float) -> float:
    if reading_ohm == expected_ohm:
        return 0.0
    if math.inf in (reading_ohm, expected_ohm):
        finite_ohm = min(reading_ohm, expected_ohm)
        # A damp but broken line still reads some hundred kilohm; that is nearly open.
        return max(0.0, math.log(1e7 / (finite_ohm + 1)) / 4)
    return abs(math.log((reading_ohm + 1) / (expected_ohm + 1)))


def _indices(line: DetectionLine, names: Collection[str]) -> frozenset[int]:
    places = {device.name: k for k, device in enumerate(line.devices)}
    for name in names:
        if name not in places:
            raise QuantityError("reporting", name, f"devices of the line: {', '.join(places)}", subject=line.name)
    return frozenset(places[name] for name in names)
