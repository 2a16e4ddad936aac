"""Monitored lines: what the panel, or a meter at its terminals, sees of a line in each state.

A line runs from the panel's terminals through its devices, one after another, to the end-of-line resistor at
the last of them. Seen from the terminals its resistance only grows when any resistance in it grows, so the
extremes over all tolerances are reached with everything at its least and everything at its greatest.
No published standard fixes resistor values; the ranges are common practice and a firm can edit them.
"""

import math
from dataclasses import dataclass, fields
from enum import StrEnum
from functools import cache
from typing import NamedTuple

from zones.engineering.conductors import Conductor, warm_factor
from zones.engineering.copies import Kind, kind_of
from zones.engineering.derived import derived
from zones.engineering.quantities import QuantityError, check_each, check_optional, check_quantity, unusual
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice

PANEL_TERMINALS = "panel"
_CHECKED = (
    ("length", "length_m"),
    ("alarm_resistance", "alarm_ohm"),
    ("tolerance", "alarm_tolerance"),
    ("device_current", "quiescent_current_a"),
)


_OF_DEVICE = (("alarm_resistance", "alarm_ohm"), ("device_current", "quiescent_current_a"))


class LineRole(StrEnum):
    """What a device is to the line it hangs on, whatever kind of device it is."""

    CALL_POINT = "manual call point"
    DETECTOR = "detector"
    CONTACT = "contact"


class AlarmWiring(StrEnum):
    """How a device in alarm changes the line."""

    PARALLEL = "parallel"  # switches its resistor across the line
    SERIES = "series"  # switches its resistor into the line


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

    @derived
    def what(self) -> Kind:
        """All that it is, by field: whatever it is called, and whichever cable leads to it."""
        of_cable = ("name", "length_m", "conductor")
        return kind_of(*[(one.name, getattr(self, one.name)) for one in fields(self) if one.name not in of_cable])

    @derived
    def is_unusual(self) -> bool:
        """Whether a figure of what it is, not of its cable, is far from trade values."""
        return bool(unusual(_OF_DEVICE, self))


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


@cache
def alarm_of(place: int) -> LineState:
    """The state in which the device at this place, by index from 0, is in alarm."""
    return LineState(in_alarm=frozenset({place}))


@cache
def removal_of(place: int) -> LineState:
    """The state in which the device at this place is taken out."""
    return LineState(removed=frozenset({place}))


class Bound(StrEnum):
    """Which end of the tolerances to take, in the order of (low, nominal, high)."""

    LOW = "low"
    NOMINAL = "nominal"
    HIGH = "high"


_ENDS = (Bound.LOW, Bound.HIGH)
_PICK = {bound: place for place, bound in enumerate(Bound)}


class _AtBound(NamedTuple):
    """A line at one end of the tolerances, device by device: the cable to it, the resistor at it, what it draws."""

    sections_ohm: list[float]
    elements_s: list[float]
    loads_s: list[float]
    alarms_ohm: list[float]
    across_s: list[float]  # resistor and load together, while nothing has happened to it
    terminals_s: float
    at_rest_ohm: list[float]  # beyond each device, and before the first one, while nothing has happened


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
        line = self._lines.get(bound) or self._line_at(bound)
        touched = state.in_alarm | state.removed if state.removed else state.in_alarm
        if state.break_before is None and state.short_before is None:
            # Beyond the last that is touched the line is at rest.
            start = max(touched) + 1 if touched else 0
            return self._folded(line, state, touched, start, line.at_rest_ohm[start])
        count, end = len(self.sections_ohm), state.break_before
        beyond_ohm = 0.0 if state.short_before == count and end is None else math.inf
        # Whatever is cut off beyond a break cannot be seen: start from the break.
        return self._folded(line, state, touched, count if end is None else min(end, count), beyond_ohm)

    def _folded(self, line: "_AtBound", state: LineState, touched: frozenset[int], start: int, beyond_ohm: float):
        """What is seen at the terminals, with this resistance beyond the first devices, as many as `start`."""
        short, count, last = state.short_before, len(self.sections_ohm), state.break_before
        for k in range(start - 1, -1, -1):
            if k in touched or last == count == k + 1:
                beyond_ohm = self._at_device(k, state, line, beyond_ohm)
            elif line.across_s[k]:
                beyond_ohm = _parallel(beyond_ohm, line.across_s[k])
            beyond_ohm = line.sections_ohm[k] + (0.0 if short == k else beyond_ohm)
        return _parallel(beyond_ohm, line.terminals_s)

    def _at_device(self, k: int, state: LineState, line: "_AtBound", beyond_ohm: float) -> float:
        """What is seen at a device to which something has happened: itself and what lies beyond it."""
        if k in state.removed and self.opens[k]:
            return math.inf  # the loop-through contact went with the head
        load_s = 0.0 if k in state.removed else line.loads_s[k]
        # A break behind the last cuts its resistor off.
        if line.elements_s[k] and not state.break_before == k + 1 == len(self.sections_ohm):
            beyond_ohm = _parallel(beyond_ohm, line.elements_s[k])
        if k in state.in_alarm and k not in state.removed:
            alarm_ohm = line.alarms_ohm[k]
            if self.in_series[k]:
                beyond_ohm += alarm_ohm  # in the core that goes on from the device, before the resistor
            else:
                load_s += 1 / alarm_ohm if alarm_ohm else math.inf
        return _parallel(beyond_ohm, load_s)

    @derived
    def _lines(self) -> "dict[Bound, _AtBound]":
        """By end of the tolerances, as far as asked for."""
        return {}

    def _line_at(self, bound):
        pick, count = _PICK[bound], len(self.sections_ohm)
        cable = self.cable_least_fraction if bound is Bound.LOW else 1.0
        sections_ohm = [cable * section for section in self.sections_ohm]
        elements_s = [0.0] * (count + 1)  # the last place is the panel's terminals, index -1
        for place, ohm in self.elements:
            elements_s[place] += 1 / ohm[pick]
        # A device draws anything from nothing to its data sheet's figure: what is least seen has all of it.
        loads_s = [0.0] * count if bound is Bound.HIGH else self.loads_s
        across_s = [element_s + load_s for element_s, load_s in zip(elements_s, loads_s, strict=False)]
        at_rest_ohm = [math.inf] * (count + 1)
        for k in range(count - 1, -1, -1):
            beyond_ohm = at_rest_ohm[k + 1]
            at_rest_ohm[k] = sections_ohm[k] + (_parallel(beyond_ohm, across_s[k]) if across_s[k] else beyond_ohm)
        alarms_ohm = [alarm[pick] for alarm in self.alarms]
        line = _AtBound(sections_ohm, elements_s, loads_s, alarms_ohm, across_s, elements_s[-1], at_rest_ohm)
        self._lines[bound] = line
        return line

    @derived
    def alone_ohm(self) -> dict[Bound, list[float]]:
        """What is least and what is most seen with each device alone in alarm."""
        return {bound: self._alone_at(self._lines.get(bound) or self._line_at(bound)) for bound in _ENDS}

    def _alone_at(self, line: "_AtBound") -> list[float]:
        found = []
        for k in range(len(self.sections_ohm)):
            beyond_ohm = line.sections_ohm[k] + self._at_device(k, alarm_of(k), line, line.at_rest_ohm[k + 1])
            for before in range(k - 1, -1, -1):
                beyond_ohm = line.sections_ohm[before] + _parallel(beyond_ohm, line.across_s[before])
            found.append(_parallel(beyond_ohm, line.terminals_s))
        return found

    @derived
    def by_alarm(self) -> tuple[list[int], list[int]]:
        """The devices in the order of what is least seen with each alone in alarm, and of what is most seen."""
        places, alone = range(len(self.sections_ohm)), self.alone_ohm
        lowest = sorted(places, key=alone[Bound.LOW].__getitem__)
        return lowest, sorted(places, key=alone[Bound.HIGH].__getitem__, reverse=True)

    @derived
    def short_at_end_ohm(self) -> float:
        """The most that is seen of a short: one behind the last device."""
        return self.seen_ohm(LineState(short_before=len(self.sections_ohm)), Bound.HIGH)

    @derived
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
    if not siemens:
        return ohm
    if siemens == math.inf or ohm == 0:
        return 0.0
    if ohm == math.inf:
        return 1 / siemens
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


def alarm_states(line: DetectionLine, together: int = 1) -> list[tuple[str, LineState]]:
    """Every single device in alarm, and `together` of them from the far end when more than one is asked."""
    states = [
        (f"{device.name} in alarm", alarm_of(k))
        for k, device in enumerate(line.devices)
        if device.alarm_ohm is not None
    ]
    able = [k for k, device in enumerate(line.devices) if device.alarm_ohm is not None]
    if 1 < together <= len(able):
        states.append((f"{together} devices in alarm", LineState(in_alarm=frozenset(able[-together:]))))
    return states
