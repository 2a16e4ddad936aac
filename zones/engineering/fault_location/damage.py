"""What each measurement would show of a line on which something definite is wrong."""

import math
from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from functools import lru_cache

from zones.engineering.detection_lines import DetectionLine, LineModel, LineRole, Span, line_model
from zones.engineering.fault_location.measurements import TO_EARTH, Probe, ProbeKind
from zones.engineering.line_ranges import practice_of_line
from zones.engineering.trade_practice import TradePractice

LOW, NOMINAL, HIGH = 0, 1, 2
FIRST_CORE, SECOND_CORE = "first", "second"
_PANEL = Probe(ProbeKind.PANEL)


@dataclass(frozen=True, slots=True)
class Damage:
    """What is wrong, as figures; by itself nothing is.

    A place k is the cable that leads to device k; as many as there are devices: between the last and the resistor.
    `joint`: (place, ohm in series, infinite when broken); `across`: (place, share of that cable, ohm between cores);
    `earth`: (core, place, ohm); `end_ohm`: what stands at the end, ``None`` as designed; `terminal_ohm`: what stands at
    the terminals; `alarm_factor`: how far, within its tolerance, the resistor of a device in alarm is from its nominal,
    ``None`` where any may be; `foreign_ohm`: by how much a voltage from elsewhere shifts an ohmmeter.
    """

    joint: tuple[int, float] | None = None
    across: tuple[int, float, float] | None = None
    earth: tuple[str, int, float] | None = None
    alarmed: frozenset[int] = frozenset()
    alarm_factor: float | None = None
    removed: int | None = None
    end_ohm: float | None = None
    terminal_ohm: float = math.inf
    foreign_ohm: float = 0.0
    is_reversed: bool = False
    is_left_off: bool = False  # the line is not connected to the terminals

    def joint_ohm(self, place: int) -> float:
        return self.joint[1] if self.joint and self.joint[0] == place else 0.0


def together(one: Damage, other: Damage) -> Damage | None:
    """Both on one line; ``None`` where both do the same to it, as only one of each is reckoned with."""
    changed = {}
    for field in fields(Damage):
        of_one, of_other = getattr(one, field.name), getattr(other, field.name)
        if of_one != field.default and of_other != field.default:
            return None
        changed[field.name] = of_other if of_one == field.default else of_one
    return Damage(**changed)


class Sight:
    """A line as it is seen by measurements: at the meter, and at the panel that feeds it."""

    def __init__(self, line: DetectionLine, practice: TradePractice):
        self.line, self.practice = line, practice
        least = practice.cable_least_fraction
        self._metered = line_model(line, practice=practice, powered=False, cable_least_fraction=least)
        self._fed = line_model(line, practice=practice, powered=True, cable_least_fraction=least)
        self.count = len(line.devices)
        # One search asks the same many times: earth faults look alike between the cores, and from figure to figure.
        self._span_once, self._seen_once = lru_cache(maxsize=None)(self._span), lru_cache(maxsize=None)(self._seen)
        self._reporting_once = lru_cache(maxsize=None)(self._reporting)
        self._alarm_range = self._range_of_alarms() if line.devices else (0.0, 0.0)

    def span(self, damage: Damage, probe: Probe) -> Span:
        """Least, nominal and greatest that the measurement shows, ohm, over all tolerances."""
        return self._span_once(_as_seen(damage, probe), probe)

    def seen(self, damage: Damage, probe: Probe, pick: int = NOMINAL) -> float:
        """What one measurement shows, ohm.

        Source:   series and parallel resistances [calc]; to earth through the other core: the pair beyond taken as one.
        """
        return self._seen_once(_as_seen(damage, probe), probe, pick)

    def reporting(self, damage: Damage) -> frozenset[int]:
        """Devices whose operation the panel would take for an alarm."""
        return self._reporting_once(_as_seen(damage, _PANEL))

    def _span(self, damage: Damage, probe: Probe) -> Span:
        low, nominal, high = sorted(self.seen(damage, probe, pick) for pick in (LOW, NOMINAL, HIGH))
        if damage.foreign_ohm and probe.kind in (ProbeKind.FORWARD, ProbeKind.LOOP, ProbeKind.HEAD_OUT):
            # Where the voltage comes in is not known: the reading may be shifted either way, or not.
            shift = abs(damage.foreign_ohm)
            return Span(max(0.0, low - shift), nominal, high + shift)
        return Span(low, nominal, high)

    def _seen(self, damage: Damage, probe: Probe, pick: int) -> float:
        model = self._fed if probe.kind == ProbeKind.PANEL else self._metered
        if probe.kind in TO_EARTH:
            return self._to_earth(damage, probe, pick)
        if probe.kind == ProbeKind.FORWARD:
            return self._onward(model, damage, probe.at + 1, pick)
        if probe.kind in (ProbeKind.BACK, ProbeKind.LOOP):
            return self._backward(damage, probe.at, 0.0 if probe.kind == ProbeKind.LOOP else math.inf, pick)
        head_out = probe.at if probe.kind == ProbeKind.HEAD_OUT else None
        pair_ohm = self._onward(model, damage, 0, pick, head_out)
        if probe.kind != ProbeKind.CORES:
            pair_ohm = math.inf if damage.is_left_off else pair_ohm
            pair_ohm = parallel_ohm(pair_ohm, self._terminal_ohm(damage, pick))
        if probe.kind in (ProbeKind.TERMINALS, ProbeKind.CORES):
            return max(0.0, pair_ohm + damage.foreign_ohm)
        return max(0.0, pair_ohm - damage.foreign_ohm) if probe.kind == ProbeKind.SWAPPED else pair_ohm

    def _tolerated(self, ohm: float, pick: int) -> float:
        """A resistor that was found in place of the designed one: as good as that."""
        designed = self._metered.elements[0][1]
        return ohm * designed[pick] / designed[NOMINAL]

    def _end_ohm(self, damage: Damage, pick: int) -> float:
        ohm = self._metered.elements[0][1][NOMINAL] if damage.end_ohm is None else damage.end_ohm
        return self._tolerated(ohm, pick)

    def _terminal_ohm(self, damage: Damage, pick: int) -> float:
        if not self.count:
            return parallel_ohm(self._end_ohm(damage, pick), damage.across[2] if damage.across else math.inf)
        return self._tolerated(damage.terminal_ohm, pick)

    def _onward(self, model: LineModel, damage: Damage, start: int, pick: int, head_out: int | None = None) -> float:
        """Looking towards the end from before the cable of place `start`."""
        if not self.count:
            return math.inf
        ohm = self._end_ohm(damage, pick)
        if start == self.count:
            return ohm  # the resistor itself, taken off
        ohm += damage.joint_ohm(self.count)
        copper = model.cable_least_fraction if pick == LOW else 1.0
        joint_at, joint_ohm = damage.joint or (None, 0.0)
        across_at = damage.across[0] if damage.across else None
        for k in range(self.count - 1, start - 1, -1):  # the innermost loop of every search: no call where nothing is
            if k in (damage.removed, head_out):
                ohm = math.inf if model.opens[k] else ohm
            elif model.loads_s[k] or k in damage.alarmed:
                ohm = _past_device(model, damage, k, pick, ohm)
            if k == joint_at:
                ohm += joint_ohm
            if k == across_at:
                ohm = _past_leak(damage, copper * model.sections_ohm[k], ohm, from_far_end=True)
            else:
                ohm += copper * model.sections_ohm[k]
        return ohm

    def _backward(self, damage: Damage, at: int, ohm: float, pick: int) -> float:
        """Looking back to the start from the cores that arrive at a device; `ohm`: between the cores at the start."""
        model = self._metered
        for k in range(at + 1):
            cable_ohm = model.sections_ohm[k] * (model.cable_least_fraction if pick == LOW else 1.0)
            if damage.across and damage.across[0] == k:
                ohm = _past_leak(damage, cable_ohm, ohm, from_far_end=False)
            else:
                ohm += cable_ohm
            ohm += damage.joint_ohm(k)
            if k == at:
                break
            if k == damage.removed and model.opens[k]:
                ohm = math.inf
            elif k != damage.removed:
                ohm = _past_device(model, damage, k, pick, ohm, backward=True)
        return ohm

    def _to_earth(self, damage: Damage, probe: Probe, pick: int) -> float:
        start = 0 if probe.at is None else probe.at + 1
        if damage.earth is None or damage.earth[1] < start:
            return math.inf
        core, place, ohm = damage.earth
        cut = damage.joint and math.isinf(damage.joint[1]) and start <= damage.joint[0] < place
        if cut or (damage.removed is not None and start <= damage.removed < place):
            return math.inf
        model = self._metered
        ohm += sum(model.sections_ohm[start : place + 1]) / 2
        if core == (FIRST_CORE if probe.kind == ProbeKind.EARTH_FIRST else SECOND_CORE):
            return ohm
        return ohm + self._onward(model, damage, start, pick)

    def _reporting(self, damage: Damage) -> frozenset[int]:
        low_ohm, high_ohm = self._alarm_range
        resting_ohm = self.seen(damage, _PANEL)
        heard = set()
        for k, device in enumerate(self.line.devices):
            if k == damage.removed or (damage.is_reversed and device.kind == LineRole.DETECTOR):
                continue  # electronics the wrong way round stay dead; the bare contact of a call point does not mind
            ohm = self.seen(replace(damage, alarmed=damage.alarmed | {k}), _PANEL)
            changes = k in damage.alarmed or (ohm != resting_ohm and abs(ohm - resting_ohm) > 0.01 * ohm)
            if changes and low_ohm <= ohm <= high_ohm:
                heard.add(k)
        return frozenset(heard)

    def _range_of_alarms(self) -> tuple[float, float]:
        """What the panel takes for an alarm, ohm; what it sees of this line in alarm must be, whatever its ranges."""
        practice = practice_of_line(self.line, self.practice) or self.practice
        each = [self.seen(Damage(alarmed=frozenset({k})), _PANEL) for k in range(self.count)]
        return min(practice.alarm_low_ohm, 0.8 * min(each)), max(practice.alarm_high_ohm, 1.25 * max(each))


def _past_device(model: LineModel, damage: Damage, k: int, pick: int, ohm: float, *, backward: bool = False) -> float:
    # A device draws anything from nothing to its data sheet's figure: the greatest resistance has none of it.
    across: Iterable[float] = (1 / model.loads_s[k],) if model.loads_s[k] and pick != HIGH else ()
    alarmed, in_series = k in damage.alarmed, model.in_series[k]
    # The resistor of a device in series lies in the core that goes on from it.
    one_resistor = damage.alarm_factor is not None
    alarm_ohm = model.alarms[k][NOMINAL] * damage.alarm_factor if one_resistor else model.alarms[k][pick]
    if alarmed and in_series and not backward:
        ohm += alarm_ohm
    if alarmed and not in_series:
        across = (*across, alarm_ohm)
    for one in across:
        ohm = parallel_ohm(ohm, one)
    return ohm + alarm_ohm if alarmed and in_series and backward else ohm


def _past_leak(damage: Damage, cable_ohm: float, ohm: float, *, from_far_end: bool) -> float:
    _, share, across_ohm = damage.across
    nearer = share if from_far_end else 1 - share
    return parallel_ohm(ohm + cable_ohm * (1 - nearer), across_ohm) + cable_ohm * nearer


def _as_seen(damage: Damage, probe: Probe) -> Damage:
    """The damage as far as a measurement can tell it: between the cores nothing shows of an earth."""
    return _without_earth(damage) if damage.earth and probe.kind not in TO_EARTH else damage


@lru_cache(maxsize=4096)
def _without_earth(damage: Damage) -> Damage:
    return replace(damage, earth=None)


def parallel_ohm(one: float, other: float) -> float:
    """Two resistances side by side, ohm; either may be 0 or infinite."""
    if math.isinf(one) or math.isinf(other):
        return min(one, other)
    return one * other / (one + other) if one + other else 0.0
