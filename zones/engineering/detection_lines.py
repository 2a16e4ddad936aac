"""Monitored lines: what the panel, or a meter at its terminals, sees of a line in each state.

A line runs from the panel's terminals through its devices, one after another, to the end-of-line resistor at
the last of them. Seen from the terminals its resistance only grows when any resistance in it grows, so the
extremes over all tolerances are reached with everything at its least and everything at its greatest.
No published standard fixes resistor values; the ranges are common practice and a firm can edit them.
"""

import itertools
import math
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cached_property
from typing import NamedTuple

from zones.engineering.conductors import Conductor, warm_factor
from zones.engineering.quantities import QuantityError, check_each, check_optional, check_quantity
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice

PANEL_TERMINALS = "panel"
_CHECKED = (
    ("length", "length_m"),
    ("alarm_resistance", "alarm_ohm"),
    ("tolerance", "alarm_tolerance"),
    ("device_current", "quiescent_current_a"),
)


class LineRole(StrEnum):
    """What a device is to the line it hangs on, whatever kind of device it is."""

    CALL_POINT = "manual call point"
    DETECTOR = "detector"
    CONTACT = "contact"


class AlarmWiring(StrEnum):
    """How a device in alarm changes the line."""

    PARALLEL = "parallel"  # switches its resistor across the line
    SERIES = "series"  # switches its resistor into the line


class RangeName(StrEnum):
    """What the panel makes of a resistance; between the ranges lies a fault, never normal."""

    SHORT = "short circuit"
    ALARM = "alarm"
    NORMAL = "normal"
    OPEN = "open circuit"
    UNDEFINED = "fault, undefined"


class Span(NamedTuple):
    """Least, nominal and greatest resistance, ohm; infinite when open."""

    low_ohm: float
    nominal_ohm: float
    high_ohm: float


@dataclass(frozen=True)
class LineDevice:
    """One device on a line with the cable that leads to it; ``None`` = not known.

    `removal_opens_line`: taking the device out interrupts the line beyond it (a looped-through base).
    `quiescent_current_a`: what it draws from the line at rest, 0 for a contact.
    """

    name: str
    kind: LineRole = LineRole.DETECTOR
    length_m: float | None = None
    conductor: Conductor | None = None
    alarm_ohm: float | None = None
    alarm_wiring: AlarmWiring = AlarmWiring.PARALLEL
    alarm_tolerance: float | None = None
    quiescent_current_a: float | None = None
    removal_opens_line: bool | None = None

    def __post_init__(self):
        check_each(_CHECKED, self, subject=self.name)


@dataclass(frozen=True, slots=True)
class EndOfLineResistor:
    """An end-of-line resistor: its resistance, and where it sits (a device's name, or PANEL_TERMINALS)."""

    at: str
    resistance_ohm: float | None = None
    tolerance: float | None = None

    def __post_init__(self):
        check_optional("resistance", self.resistance_ohm, field="resistance_ohm", subject="end-of-line resistor")
        check_optional("tolerance", self.tolerance, field="tolerance", subject="end-of-line resistor")


@dataclass(frozen=True, slots=True)
class DetectionLine:
    """A monitored line or input: devices in the order from where it starts, and the end-of-line resistors fitted.

    `origin`: the device at which it starts, where that is not the panel; `ranges`: limits between its states that this
    device tells apart, by the names of TradePractice, ``None`` for those of the panel. `in_box`: the resistor stands in
    a junction box before the last device. `keeps_first_alarm`: who evaluates it keeps an alarm, whatever the line reads
    then. `is_input`: devices on it are contacts, of which only the end is judged.
    """

    name: str
    devices: tuple[LineDevice, ...] = ()
    elements: tuple[EndOfLineResistor, ...] = ()
    line_voltage_v: float | None = None
    temperature_c: float = 20.0
    origin: str = PANEL_TERMINALS
    ranges: tuple[tuple[str, float], ...] | None = None
    in_box: bool = False
    keeps_first_alarm: bool | None = None
    is_input: bool = False

    def __post_init__(self):
        check_optional("voltage", self.line_voltage_v, field="line_voltage_v", subject=self.name)
        check_quantity("temperature", self.temperature_c, field="temperature_c", subject=self.name)
        names = [device.name for device in self.devices]
        if len(set(names)) < len(names) or PANEL_TERMINALS in names:
            accepted = f"different names, none of them '{PANEL_TERMINALS}'"
            raise QuantityError("devices", ", ".join(names), accepted, subject=self.name)

    @property
    def title(self) -> str:
        """How a sentence calls it: "Line 2 North stair", "Input 3 rain"."""
        return f"{'Input' if self.is_input else 'Line'} {self.name}"

    @property
    def origin_words(self) -> str:
        """ "the panel", "CP1"."""
        return "the panel" if self.origin == PANEL_TERMINALS else self.origin

    @property
    def terminals_words(self) -> str:
        """ "the panel's terminals", "the terminals of CP1"."""
        return "the panel's terminals" if self.origin == PANEL_TERMINALS else f"the terminals of {self.origin}"

    def section_ohm(self, index: int) -> float:
        """Greatest resistance of both cores of the cable that leads to a device, ohm (IEC 60228)."""
        device = self.devices[index]
        return 2e-3 * device.conductor.ohm_per_km * device.length_m * warm_factor(self.temperature_c)

    def cable_ohm(self) -> float:
        """Greatest resistance of the whole cable, out and back, ohm."""
        return sum(self.section_ohm(k) for k in range(len(self.devices)))


@dataclass(frozen=True, slots=True)
class LineState:
    """What has happened to a line: devices in alarm or taken out, one break or short, by index from 0.

    A break or short "before 2" lies in the cable that leads to the third device; a short lies at that
    device's end of it. "Before n" with n devices lies between the last device and the element.
    """

    in_alarm: frozenset[int] = frozenset()
    removed: frozenset[int] = frozenset()
    break_before: int | None = None
    short_before: int | None = None


NORMAL = LineState()


class Bound(StrEnum):
    """Which end of the tolerances to take, in the order of (low, nominal, high)."""

    LOW = "low"
    NOMINAL = "nominal"
    HIGH = "high"


class _AtBound(NamedTuple):
    """A device of a line, with the cable to it and the resistor at it, at one end of the tolerances."""

    section_ohm: float
    element_s: float
    load_s: float
    alarm_ohm: float
    in_series: bool
    opens: bool
    across_s: float  # resistor and load together, while nothing has happened to it


@dataclass(frozen=True)
class LineModel:
    """A line with every figure known, as plain numbers. Build with :func:`line_model`.

    `shunts` and `alarms`: (low, nominal, high) ohm; position -1 of a resistor is the panel's terminals.
    """

    sections_ohm: tuple[float, ...]
    alarms: tuple[tuple[float, float, float], ...]
    in_series: tuple[bool, ...]
    opens: tuple[bool, ...]
    loads_s: tuple[float, ...]
    elements: tuple[tuple[int, tuple[float, float, float]], ...]
    cable_least_fraction: float

    def seen_ohm(self, state: LineState = NORMAL, bound: Bound = Bound.NOMINAL) -> float:
        """Resistance at the panel's terminals, ohm; infinite when open.

        Source:   series and parallel resistances, folded from the far end to the panel [calc].
        """
        if bound not in self._numbers:
            self._numbers[bound] = self._numbers_at(bound)
        devices, terminals_s, at_rest_ohm = self._numbers[bound]
        count, end, short = len(devices), state.break_before, state.short_before
        beyond_ohm = 0.0 if short == count and end is None else math.inf
        touched = state.in_alarm | state.removed
        # Whatever is cut off beyond a break cannot be seen: start from the break.
        start = count if end is None else min(end, count)
        if touched and end is None and short is None:  # and beyond the last that is touched the line is at rest
            start = max(touched) + 1
            beyond_ohm = at_rest_ohm[start - 1]
        for k in range(start - 1, -1, -1):
            one = devices[k]
            if k in touched or end == count == k + 1:
                beyond_ohm = self._at_device(k, state, one, beyond_ohm)
            elif one.across_s:
                beyond_ohm = _parallel(beyond_ohm, one.across_s)
            beyond_ohm = one.section_ohm + (0.0 if short == k else beyond_ohm)
        return _parallel(beyond_ohm, terminals_s)

    def _at_device(self, k: int, state: LineState, one: "_AtBound", beyond_ohm: float) -> float:
        """What is seen at a device to which something has happened: itself and what lies beyond it."""
        if k in state.removed and one.opens:
            return math.inf  # the loop-through contact went with the head
        load_s = 0.0 if k in state.removed else one.load_s
        if not state.break_before == k + 1 == len(self.sections_ohm):  # a break behind the last cuts its resistor off
            beyond_ohm = _parallel(beyond_ohm, one.element_s)
        if k in state.in_alarm and k not in state.removed:
            if one.in_series:
                beyond_ohm += one.alarm_ohm  # in the core that goes on from the device, before the resistor
            else:
                load_s += 1 / one.alarm_ohm if one.alarm_ohm else math.inf
        return _parallel(beyond_ohm, load_s)

    @cached_property
    def _numbers(self) -> "dict[Bound, tuple[list[_AtBound], float, list[float]]]":
        """By end of the tolerances, as far as asked for: the devices, the conductance at the panel's terminals, and
        what is seen beyond each device while nothing has happened."""
        return {}

    def _numbers_at(self, bound):
        pick = tuple(Bound).index(bound)
        cable = self.cable_least_fraction if bound is Bound.LOW else 1.0
        elements_s = [0.0] * (len(self.sections_ohm) + 1)  # the last place is the panel's terminals, index -1
        for place, ohm in self.elements:
            elements_s[place] += 1 / ohm[pick]
        # A device draws anything from nothing to its data sheet's figure: what is least seen has all of it.
        loads_s = [0.0] * len(self.loads_s) if bound is Bound.HIGH else self.loads_s
        in_order = (self.sections_ohm, elements_s[:-1], loads_s, self.alarms, self.in_series, self.opens)
        devices = [
            _AtBound(cable * section, element_s, load_s, alarm[pick], in_series, opens, element_s + load_s)
            for section, element_s, load_s, alarm, in_series, opens in zip(*in_order, strict=True)
        ]
        at_rest_ohm = [math.inf] * len(devices)
        for k in range(len(devices) - 1, 0, -1):
            one = devices[k]
            beyond_ohm = _parallel(at_rest_ohm[k], one.across_s) if one.across_s else at_rest_ohm[k]
            at_rest_ohm[k - 1] = one.section_ohm + beyond_ohm
        return devices, elements_s[-1], at_rest_ohm

    @cached_property
    def alone_ohm(self) -> dict[Bound, list[float]]:
        """What is least and what is most seen with each device alone in alarm."""
        states = [LineState(in_alarm=frozenset({k})) for k in range(len(self.sections_ohm))]
        return {bound: [self.seen_ohm(one, bound) for one in states] for bound in (Bound.LOW, Bound.HIGH)}

    @cached_property
    def short_at_end_ohm(self) -> float:
        """The most that is seen of a short: one behind the last device."""
        return self.seen_ohm(LineState(short_before=len(self.sections_ohm)), Bound.HIGH)

    @cached_property
    def normal(self) -> Span:
        """What is seen of the line at rest, as :meth:`ends`."""
        return self.ends(NORMAL)

    def ends(self, state: LineState) -> Span:
        """Least and greatest resistance over all tolerances, ohm, with their middle: what ranges are compared with."""
        return between(self.seen_ohm(state, Bound.LOW), self.seen_ohm(state, Bound.HIGH))

    def span(self, state: LineState = NORMAL) -> Span:
        """Least, nominal and greatest resistance over all tolerances, ohm."""
        return Span(
            self.seen_ohm(state, Bound.LOW), self.seen_ohm(state, Bound.NOMINAL), self.seen_ohm(state, Bound.HIGH)
        )


def between(low_ohm: float, high_ohm: float) -> Span:
    """A span of which only the ends count."""
    return Span(low_ohm, (low_ohm + high_ohm) / 2, high_ohm)


def _parallel(ohm: float, siemens: float) -> float:
    if siemens == math.inf or ohm == 0:
        return 0.0
    if ohm == math.inf:
        return 1 / siemens if siemens else math.inf
    return ohm / (1 + ohm * siemens)


def line_model(
    line: DetectionLine,
    *,
    practice: TradePractice = TRADE_PRACTICE,
    powered: bool = True,
    cable_least_fraction: float = 0.0,
) -> LineModel:
    """The line as plain numbers. Call it when :func:`missing_figures` of line_check finds none.

    Args:     powered: the panel feeds the line, so that devices draw their quiescent current (as a resistance
              U/I); a meter at the disconnected terminals does not feed them; cable_least_fraction: least
              resistance of the cable as a fraction of its greatest: 0 for ranges, so that length never helps.
    """
    places = {device.name: k for k, device in enumerate(line.devices)} | {PANEL_TERMINALS: -1}
    elements = []
    for element in line.elements:
        if element.at not in places:
            names = ", ".join(places)
            raise QuantityError("end-of-line resistor at", element.at, f"one of: {names}", subject=line.name)
        tolerance = practice.element_tolerance if element.tolerance is None else element.tolerance
        elements.append((places[element.at], _with_tolerance(element.resistance_ohm, tolerance)))
    alarms, loads_s = [], []
    for device in line.devices:
        tolerance = practice.element_tolerance if device.alarm_tolerance is None else device.alarm_tolerance
        alarms.append(_with_tolerance(device.alarm_ohm or 0.0, tolerance))
        drawn_a = device.quiescent_current_a or 0.0
        loads_s.append(drawn_a / line.line_voltage_v if powered and drawn_a else 0.0)
    return LineModel(
        sections_ohm=tuple(line.section_ohm(k) for k in range(len(line.devices))),
        alarms=tuple(alarms),
        in_series=tuple(device.alarm_wiring == AlarmWiring.SERIES for device in line.devices),
        opens=tuple(device.removal_opens_line is not False for device in line.devices),
        loads_s=tuple(loads_s),
        elements=tuple(elements),
        cable_least_fraction=cable_least_fraction,
    )


def _with_tolerance(ohm: float, tolerance: float) -> tuple[float, float, float]:
    return ohm * (1 - tolerance), ohm, ohm * (1 + tolerance)


RANGE_NAMES = (
    "short_below_ohm",
    "alarm_low_ohm",
    "alarm_high_ohm",
    "normal_low_ohm",
    "normal_high_ohm",
    "open_above_ohm",
)


def practice_of_line(line: DetectionLine, practice: TradePractice = TRADE_PRACTICE) -> TradePractice | None:
    """The practice with the ranges of the device at which a line starts; ``None`` where not all of them are known."""
    if line.ranges is None:
        return practice
    known = dict(line.ranges)
    return replace(practice, **known) if set(known) == set(RANGE_NAMES) else None


def range_of(ohm: float, practice: TradePractice = TRADE_PRACTICE) -> RangeName:
    """What the panel makes of one resistance. Source: ranges are common practice [P]."""
    if ohm < practice.short_below_ohm:
        return RangeName.SHORT
    if practice.alarm_low_ohm <= ohm <= practice.alarm_high_ohm:
        return RangeName.ALARM
    if practice.normal_low_ohm <= ohm <= practice.normal_high_ohm:
        return RangeName.NORMAL
    return RangeName.OPEN if ohm > practice.open_above_ohm else RangeName.UNDEFINED


def ranges_of(span: Span, practice: TradePractice = TRADE_PRACTICE) -> set[RangeName]:
    """The ranges that a span reaches into or crosses; more than one: the state is not told reliably."""
    limits = (practice.short_below_ohm, practice.alarm_low_ohm, practice.alarm_high_ohm)
    limits += (practice.normal_low_ohm, practice.normal_high_ohm, practice.open_above_ohm)
    crossed = [limit for limit in limits if span.low_ohm < limit < span.high_ohm]
    # Beside the limits themselves one point of each stretch between them, or a gap between ranges is overlooked.
    ends = (span.low_ohm, *crossed, span.high_ohm)
    between = [math.sqrt(max(one, 1e-3) * other) for one, other in itertools.pairwise(ends)] if crossed else []
    return {range_of(ohm, practice) for ohm in (*ends, *between)}


def alarm_states(line: DetectionLine, together: int = 1) -> list[tuple[str, LineState]]:
    """Every single device in alarm, and `together` of them from the far end when more than one is asked."""
    states = [
        (f"{device.name} in alarm", LineState(in_alarm=frozenset({k})))
        for k, device in enumerate(line.devices)
        if device.alarm_ohm is not None
    ]
    able = [k for k, device in enumerate(line.devices) if device.alarm_ohm is not None]
    if 1 < together <= len(able):
        states.append((f"{together} devices in alarm", LineState(in_alarm=frozenset(able[-together:]))))
    return states
