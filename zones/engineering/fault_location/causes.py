"""The causes that the trade knows, each as what it would do to a line.

How often each comes is common practice and only a start: readings outweigh it. What a cause leaves open, such as how
many ohms leak, is a figure from 0 to 1 that the search sets so that the readings are explained best.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from zones.engineering.detection_lines import DetectionLine, LineRole
from zones.engineering.fault_location.damage import FIRST_CORE, SECOND_CORE, Damage
from zones.engineering.line_words import ohm_in_words
from zones.engineering.trade_practice import TradePractice

# E24 values of one decade. IEC 60063 [M].
E24 = (
    *(1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0),
    *(3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2, 9.1),
)
LEAK_OHM = (200.0, 1e6)  # less than that is called a short, more is not seen beside a usual resistor
JOINT_OHM = (20.0, 1e6)
EARTH_OHM = (0.5, 5e6)
SHIFT_OHM = (50.0, 1e6)


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
    EARTH = "earth fault"
    FOREIGN_VOLTAGE = "voltage from elsewhere"
    DAMAGED_CABLE = "two faults at one place"
    TWO_FAULTS = "two faults at different places"


# How often each is met, in parts; shared evenly by the places where it can be. Common practice [P].
COMMON = {
    **{FaultKind.NONE: 10, FaultKind.ALARM: 8, FaultKind.REMOVED: 10, FaultKind.ELEMENT_MISSING: 8},
    **{FaultKind.BREAK: 12, FaultKind.SHORT: 10, FaultKind.TWO_ELEMENTS: 6, FaultKind.DOUBLE_ELEMENT: 2},
    **{FaultKind.ELEMENT_AT_PANEL: 3, FaultKind.ELEMENT_MISPLACED: 3, FaultKind.BREAK_WITH_ELEMENT_AT_PANEL: 3},
    **{FaultKind.POLARITY: 4, FaultKind.WRONG_VALUE: 4, FaultKind.LEAKAGE: 8, FaultKind.POOR_JOINT: 7},
    **{FaultKind.EARTH: 8, FaultKind.FOREIGN_VOLTAGE: 3, FaultKind.DAMAGED_CABLE: 3, FaultKind.TWO_FAULTS: 1},
}


@dataclass(frozen=True, slots=True)
class Cause:
    """One possible cause. `at`: its place (see Damage), ``None`` where it has none.

    `damage_of` and `sentence_of` take the figure that is open, from 0 to 1; `settings` are its only values where it
    has few. `confirm`: what settles it, beside measuring.
    """

    kind: FaultKind
    at: int | None
    damage_of: Callable[[float], Damage]
    sentence_of: Callable[[float], str]
    confirm: str
    settings: tuple[float, ...] = (0.0,)
    is_open: bool = False  # any figure from 0 to 1 may be
    of_kind: int = 1  # causes that share how common the kind is

    @property
    def prior(self) -> float:
        return COMMON[self.kind] / sum(COMMON.values()) / self.of_kind


def causes_of(line: DetectionLine, practice: TradePractice) -> list[Cause]:
    """Every cause that is reckoned with on a line, in the order of their kinds."""
    found = [_fixed(FaultKind.NONE, None, Damage(), "The line is as it should be.", _LOOK_AT_LAST)]
    if line.devices:
        found += [
            *_of_devices(line, practice),
            *_of_the_resistor(line),
            *_of_cable(line),
            *_to_earth(line),
            *_at_one_place(line),
        ]
    else:
        found += [_leak(line, 0, line.terminals_words)]
    found += [_other_value(line), *_foreign(line)]
    confirm = "Put right what is found first, then read the line again: the other fault shows then."
    words = "Two faults lie at different places: no single one explains the readings."
    found.append(_fixed(FaultKind.TWO_FAULTS, None, Damage(), words, confirm))
    kinds = [cause.kind for cause in found]
    return [replace(cause, of_kind=kinds.count(cause.kind)) for cause in found]


_LOOK_AT_LAST = "Take out the last device and see whether the panel reports a fault."


def _fixed(kind: FaultKind, at: int | None, damage: Damage, sentence: str, confirm: str) -> Cause:
    return Cause(kind, at, lambda _: damage, lambda _: sentence, confirm)


def scaled(limits: tuple[float, float], figure: float) -> float:
    """From 0 to 1 onto a range, equal steps being equal ratios."""
    return limits[0] * (limits[1] / limits[0]) ** figure


def place_words(line: DetectionLine, place: int) -> str:
    """ "between the panel and B1", "between D2 and its end-of-line resistor"."""
    if place == len(line.devices):
        return f"between {line.devices[-1].name} and the end-of-line resistor"
    before = line.devices[place - 1].name if place else line.origin_words
    return f"between {before} and {line.devices[place].name}"


def _about(ohm: float) -> str:
    """A resistance that is only estimated, to two digits: "90 kΩ", "1.2 MΩ"."""
    rounded = float(f"{ohm:.2g}")
    for limit, unit in ((1e6, "MΩ"), (1e3, "kΩ")):
        if rounded >= limit:
            return f"{rounded / limit:g} {unit}"
    return f"{rounded:g} Ω"


def _of_devices(line: DetectionLine, practice: TradePractice) -> Iterator[Cause]:
    for k, device in enumerate(line.devices):
        if device.alarm_ohm is not None:
            tolerance = practice.element_tolerance if device.alarm_tolerance is None else device.alarm_tolerance
            yield Cause(
                *(FaultKind.ALARM, k),
                # It is one resistor: whatever it is, all readings must agree about it.
                lambda figure, k=k, tolerance=tolerance: Damage(
                    alarmed=frozenset({k}), alarm_factor=1 + tolerance * (2 * figure - 1)
                ),
                lambda _, device=device: f"{device.name} is in alarm.",
                f"Reset {device.name} and read again.",
                is_open=True,
            )
        if device.kind == LineRole.DETECTOR and device.removal_opens_line:
            words = f"{device.name} is taken out of its base."
            yield _fixed(FaultKind.REMOVED, k, Damage(removed=k), words, f"Look at {device.name}: is its head seated?")
    if any(device.kind == LineRole.DETECTOR for device in line.devices):
        yield _fixed(
            *(FaultKind.POLARITY, None, Damage(is_reversed=True), "The line is connected with reversed polarity."),
            "Compare the cores' colours and the polarity at the first device with the drawing. Detectors stay dead; "
            "call points, which are bare contacts, still report.",
        )


def _of_the_resistor(line: DetectionLine) -> Iterator[Cause]:
    count, element = len(line.devices), line.elements[0].resistance_ohm
    last, ohm, terminals = line.devices[-1].name, ohm_in_words(element), line.terminals_words
    alone = Damage(end_ohm=math.inf, terminal_ohm=element)
    kind = FaultKind.ELEMENT_MISSING
    words = f"The end-of-line resistor at {last} is cut off: a lead of it is loose or broken."
    yield _fixed(kind, count, Damage(joint=(count, math.inf)), words, f"Measure the resistor at {last}: {ohm}?")
    words = f"The end-of-line resistor at {last} is missing."
    yield _fixed(kind, count, Damage(end_ohm=math.inf), words, f"Look at {last}: is a resistor there, and whole?")
    yield _fixed(
        *(FaultKind.TWO_ELEMENTS, None, Damage(terminal_ohm=element)),
        f"A resistor was left at {terminals} beside the one at {last}.",
        f"Take the line off {line.origin_words}: {ohm} into the line, and look for a resistor at {terminals}.",
    )
    yield _fixed(
        *(FaultKind.DOUBLE_ELEMENT, count, Damage(end_ohm=element / 2), f"Two resistors are fitted at {last}."),
        f"Look at {last}: one resistor too many.",
    )
    words = f"The only resistor sits at {terminals}, not at {last}."
    confirm = f"Take out the last device: no fault at {line.origin_words} means that the resistor is not at the end."
    yield _fixed(FaultKind.ELEMENT_MISPLACED, None, alone, words, confirm)
    confirm = f"Look at {terminals}: are the cores of the line in them?"
    for end_ohm, which in ((None, "A"), (math.inf, "The only")):  # the only one: not yet carried to the end
        words = f"{which} resistor is at {terminals} and the line is not connected."
        left_off = Damage(end_ohm=end_ohm, terminal_ohm=element, is_left_off=True)
        yield _fixed(FaultKind.ELEMENT_AT_PANEL, None, left_off, words, confirm)
    for k in range(count):
        words = f"The line is broken {place_words(line, k)}; a resistor left at {terminals} hides it."
        confirm = f"Take the resistor off {terminals} and read again: open confirms the break."
        hidden = Damage(joint=(k, math.inf), terminal_ohm=element)
        yield _fixed(FaultKind.BREAK_WITH_ELEMENT_AT_PANEL, k, hidden, words, confirm)


def _of_cable(line: DetectionLine) -> Iterator[Cause]:
    for k, device in enumerate(line.devices):
        where = place_words(line, k)
        confirm = f"Bridge the cores at {device.name}: still open at {line.origin_words} confirms the break {where}."
        broken = Damage(joint=(k, math.inf))
        yield _fixed(FaultKind.BREAK, k, broken, f"The line is broken {where}.", confirm)
        yield Cause(
            *(FaultKind.SHORT, k, lambda share, k=k: Damage(across=(k, share, 0.0))),
            lambda share, k=k: f"The cores touch {place_words(line, k)}, {_metres(line, k, share)}.",
            f"Open the line at {device.name}: if the side of {line.origin_words} still reads short, the short lies "
            f"before it.",
            is_open=True,
        )
        yield _leak(line, k, where)
    for k in range(len(line.devices) + 1):
        yield Cause(
            *(FaultKind.POOR_JOINT, k, lambda figure, k=k: Damage(joint=(k, scaled(JOINT_OHM, figure)))),
            lambda figure, k=k: (
                f"About {_about(scaled(JOINT_OHM, figure))} too much lies {place_words(line, k)}: a poor joint."
            ),
            f"Tighten the terminals {place_words(line, k)} and watch the reading.",
            is_open=True,
        )


def _leak(line: DetectionLine, k: int, where: str) -> Cause:
    return Cause(
        *(FaultKind.LEAKAGE, k, lambda figure: Damage(across=(k, 0.5, scaled(LEAK_OHM, figure)))),
        lambda figure: (
            f"About {_about(scaled(LEAK_OHM, figure))} lies across the line {where}: damp, or an insulation fault."
        ),
        f"Look for damp and for chafed insulation {where}.",
        is_open=True,
    )


def _metres(line: DetectionLine, place: int, share: float) -> str:
    metres = sum(device.length_m for device in line.devices[:place]) + share * line.devices[place].length_m
    return f"about {metres:.0f} m from {line.origin_words}"


def _to_earth(line: DetectionLine) -> Iterator[Cause]:
    for core in (FIRST_CORE, SECOND_CORE):
        for k in range(len(line.devices)):
            yield Cause(
                *(
                    FaultKind.EARTH,
                    k,
                    lambda figure, core=core, k=k: Damage(earth=(core, k, scaled(EARTH_OHM, figure))),
                ),
                lambda figure, core=core, k=k: (
                    f"The {core} core touches earth {place_words(line, k)}, through about "
                    f"{_about(scaled(EARTH_OHM, figure))}."
                ),
                f"Look {place_words(line, k)} for a core pinched against metal, and for water.",
                is_open=True,
            )


def _at_one_place(line: DetectionLine) -> Iterator[Cause]:
    """A cable that is crushed, cut or wet at one place has two faults there."""
    for k in range(len(line.devices)):
        where, confirm = place_words(line, k), f"Look at the cable {place_words(line, k)} along its whole length."
        broken = Damage(joint=(k, math.inf))
        yield Cause(
            *(FaultKind.DAMAGED_CABLE, k),
            lambda figure, k=k, broken=broken: replace(broken, across=(k, 0.5, scaled(LEAK_OHM, figure))),
            lambda figure, where=where: f"The cable is damaged {where}: broken, and its cores leak to each other.",
            *(confirm, (0.0,), True),
        )
        for core in (FIRST_CORE, SECOND_CORE):
            for base, also in ((broken, "it is broken"), (Damage(across=(k, 0.5, 0.0)), "the cores touch each other")):
                yield Cause(
                    *(FaultKind.DAMAGED_CABLE, k),
                    lambda figure, k=k, core=core, base=base: replace(base, earth=(core, k, scaled(EARTH_OHM, figure))),
                    lambda figure, core=core, where=where, also=also: (
                        f"The cable is damaged {where}: {also}, and its {core} core touches earth."
                    ),
                    *(confirm, (0.0,), True),
                )


def _other_value(line: DetectionLine) -> Cause:
    element_ohm = line.elements[0].resistance_ohm
    values = [decade * step for decade in (100.0, 1e3, 1e4, 1e5) for step in E24]
    # E24 values lie 5 % or more apart.
    values = [value for value in values if abs(value / element_ohm - 1) > 0.04]
    last = len(values) - 1
    return Cause(
        *(FaultKind.WRONG_VALUE, None, lambda figure: Damage(end_ohm=values[round(figure * last)])),
        lambda figure: (
            f"The resistor is {ohm_in_words(values[round(figure * last)])}, not {ohm_in_words(element_ohm)}."
        ),
        "Read the value of the resistor at the last device, out of circuit.",
        tuple(k / last for k in range(last + 1)),
    )


def _foreign(line: DetectionLine) -> Iterator[Cause]:
    confirm = "Find what feeds the line: a crossed core, or a cable laid beside one that carries current."
    for sign, how in ((1, "high"), (-1, "low")):
        words = (
            f"A voltage from elsewhere lies on the line, and an ohmmeter reads too {how}: believe none of its readings."
        )
        yield Cause(
            *(FaultKind.FOREIGN_VOLTAGE, None),
            lambda figure, sign=sign: Damage(foreign_ohm=sign * scaled(SHIFT_OHM, figure)),
            lambda _, words=words: words,
            confirm,
            is_open=True,
        )
