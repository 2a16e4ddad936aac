"""Faults planted on random lines and read by a meter: every core a chain of nodes, solved by numpy.

Nothing here is taken from the search: both cores, earth, the meter's current and a voltage from elsewhere are nodes and
branches of one network, and what the panel hears is judged by the default resistance ranges. A break cuts one core.
"""

import math
from dataclasses import dataclass, field

import numpy as np

from tests.zones.engineering.designs import make_device, make_line
from zones.engineering import EndOfLineResistor, LineRole
from zones.engineering.fault_location import locate_fault
from zones.engineering.fault_location.causes import FaultKind
from zones.engineering.fault_location.measurements import TERMINALS, Probe, ProbeKind, Reading

E12 = (1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2)  # IEC 60063 [M]
KINDS = tuple(kind for kind in FaultKind if kind not in (FaultKind.NONE, FaultKind.TWO_FAULTS))
METER_A, METER_ERROR, OVERFLOW_OHM, VOLTMETER_OHM = 0.5e-3, 0.01, 2e7, 1e7
SOLID_OHM, INSULATION_S = 1e-4, 1e-11
AWAY, EARTH = "-", "earth"


@dataclass
class Planted:
    """One fault on one line, with the figures that nobody knows."""

    line: object
    kind: FaultKind
    at: int | None
    sections_ohm: list[float]
    alarms_ohm: list[float]
    end_ohm: float
    terminal_ohm: float = math.inf
    joint: tuple[int, float] | None = None
    across: tuple[int, float] | None = None
    earth: tuple[str, int, float] | None = None
    share: float = 0.5
    removed: int | None = None
    alarmed: set[int] = field(default_factory=set)
    emf_v: float = 0.0
    broken_core: str = "a"
    reverse: bool = False
    left_off: bool = False


class Network:
    """Resistors between named nodes; one voltage source and one current source at most."""

    def __init__(self):
        self.places, self.branches, self.injected = {}, [], []

    def resistor(self, one, other, ohm):
        if not math.isinf(ohm):
            self.branches.append((self._of(one), self._of(other), 1 / max(ohm, SOLID_OHM)))

    def source(self, one, other, volt, ohm):
        """A voltage in series with its resistance, as the equal current beside it."""
        self.resistor(one, other, ohm)
        self.current(one, other, volt / ohm)

    def current(self, one, other, ampere):
        self.injected.append((self._of(one), self._of(other), ampere))

    def volts(self, one, other):
        size = len(self.places)
        matrix, right = np.eye(size) * INSULATION_S, np.zeros(size)
        for i, j, siemens in self.branches:
            matrix[i, i] += siemens
            matrix[j, j] += siemens
            matrix[i, j] -= siemens
            matrix[j, i] -= siemens
        for i, j, ampere in self.injected:
            right[i] += ampere
            right[j] -= ampere
        solved = np.linalg.solve(matrix, right)
        return solved[self._of(one)] - solved[self._of(other)]

    def _of(self, node):
        return self.places.setdefault(node, len(self.places))


def network(fault, *, cut=None, head_out=None, with_terminal=True, alarmed=frozenset(), fed=False):
    """The line as it lies there. `cut`: ("before", "behind" or "resistor", device) where something is taken off."""
    net, count = Network(), len(fault.line.devices)
    for core in "ab":
        here = f"{core}.start"
        for k, device in enumerate(fault.line.devices):
            half = fault.sections_ohm[k] / 2
            middle, arrived, entered, left = (f"{core}.{word}{k}" for word in ("mid", "arrived", "in", "out"))
            _cable(net, fault, here, middle, half, core, k)
            joint_ohm = fault.joint[1] if fault.joint and fault.joint[0] == k and core == fault.broken_core else 0.0
            # The joint lies beyond what happened along the cable, as seen from the start.
            net.resistor(middle, f"{core}.far{k}", half * (1 - fault.share))
            net.resistor(f"{core}.far{k}", arrived, joint_ohm)
            net.resistor(arrived, entered, math.inf if cut == ("before", k) else 0.0)
            gone = device.removal_opens_line and k in (fault.removed, head_out)
            net.resistor(entered, left, math.inf if gone or cut == ("behind", k) else 0.0)
            here = left
        end_ohm = fault.joint[1] if fault.joint and fault.joint[0] == count and core == fault.broken_core else 0.0
        net.resistor(here, f"{core}.end", math.inf if cut == ("resistor", count - 1) else end_ohm)
    net.resistor("a.end", "b.end", fault.end_ohm)
    if with_terminal:
        net.resistor("a.terminal", "b.terminal", fault.terminal_ohm)
        for core in "ab":
            net.resistor(f"{core}.terminal", f"{core}.start", math.inf if fault.left_off else 0.0)
    _between_the_cores(net, fault, fault.alarmed | alarmed, {fault.removed, head_out}, fed)
    return net


def _cable(net, fault, here, middle, half, core, k):
    ohm = half * fault.share
    if fault.emf_v and k == 0 and core == "a":
        net.source(here, middle, fault.emf_v, max(ohm, 0.01))
    else:
        net.resistor(here, middle, ohm)
    if fault.earth and fault.earth[:2] == (core, k):
        net.resistor(middle, EARTH, fault.earth[2])
    if fault.across and fault.across[0] == k and core == "a":
        net.resistor(middle, f"b.mid{k}", fault.across[1])


def _between_the_cores(net, fault, alarmed, out, fed):
    for k, device in enumerate(fault.line.devices):
        if k in out:
            continue
        if k in alarmed:
            net.resistor(f"a.in{k}", f"b.in{k}", fault.alarms_ohm[k])
        if fed and device.quiescent_current_a and not fault.reverse:
            net.resistor(f"a.in{k}", f"b.in{k}", fault.line.line_voltage_v / device.quiescent_current_a)


def measured(fault, probe, random):
    """What the meter shows, with its own error."""
    net, ends = _held(fault, probe)
    if probe.kind == ProbeKind.VOLTAGE:
        net.resistor(*ends, VOLTMETER_OHM)
        return round(float(abs(net.volts(*ends))), 2)
    net.current(*ends, METER_A)
    ohm = net.volts(*ends) / METER_A
    if ohm > OVERFLOW_OHM:
        return math.inf
    ohm *= random.uniform(1 - METER_ERROR, 1 + METER_ERROR)
    return max(0.0, float(f"{ohm:.4g}") if ohm >= 100 else round(float(ohm), 1))


def _held(fault, probe):
    """(network, the two nodes at which the meter is held)."""
    start, terminals, at = ("a.start", "b.start"), ("a.terminal", "b.terminal"), probe.at
    match probe.kind:
        case ProbeKind.TERMINALS | ProbeKind.VOLTAGE:
            return network(fault), terminals
        case ProbeKind.SWAPPED:
            return network(fault), terminals[::-1]
        case ProbeKind.CORES:
            return network(fault, with_terminal=False), start
        case ProbeKind.HEAD_OUT:
            return network(fault, head_out=at), terminals
        case ProbeKind.FORWARD if at == len(fault.line.devices) - 1:
            return network(fault, cut=("resistor", at), with_terminal=False), ("a.end", "b.end")
        case ProbeKind.FORWARD:
            return network(fault, cut=("behind", at), with_terminal=False), (f"a.out{at}", f"b.out{at}")
        case ProbeKind.BACK | ProbeKind.LOOP:
            net = network(fault, cut=("before", at), with_terminal=False)
            net.resistor(*start, 0.0 if probe.kind == ProbeKind.LOOP else math.inf)
            return net, (f"a.arrived{at}", f"b.arrived{at}")
        case ProbeKind.EARTH_FIRST | ProbeKind.EARTH_SECOND:
            core = "a" if probe.kind == ProbeKind.EARTH_FIRST else "b"
            net = network(fault, cut=None if at is None else ("behind", at), with_terminal=False)
            return net, (f"{core}.start" if at is None else f"{core}.out{at}", EARTH)
    raise AssertionError(probe)


def still_reporting(fault):
    """Names of the devices whose operation the panel takes for an alarm: 250 ohm to 2.5 kilohm, and a change."""
    resting_ohm = _panel_sees(fault)
    heard = set()
    for k, device in enumerate(fault.line.devices):
        if k == fault.removed or (fault.reverse and device.kind == LineRole.DETECTOR):
            continue
        ohm = _panel_sees(fault, frozenset({k}))
        if k in fault.alarmed or (250 <= ohm <= 2_500 and abs(ohm / resting_ohm - 1) > 0.02):
            heard.add(device.name)
    return heard


def _panel_sees(fault, alarmed=frozenset()):
    quiet = Planted(**{**vars(fault), "emf_v": 0.0})
    net = network(quiet, alarmed=alarmed, fed=True)
    net.current("a.terminal", "b.terminal", METER_A)
    return net.volts("a.terminal", "b.terminal") / METER_A


# Planting -------------------------------------------------------------------------------------------------------------


def random_line(random, most=10):
    kinds = [random.choice((LineRole.CALL_POINT, LineRole.DETECTOR, LineRole.DETECTOR)) for _ in range(most)]
    kinds = [LineRole.DETECTOR, *kinds[: random.randint(2, most - 1)]]
    random.shuffle(kinds)
    alarm_ohm = random.choice((470.0, 680.0, 1_000.0))
    devices = tuple(
        make_device(f"P{k}", kind, length_m=random.uniform(3, 60), alarm_ohm=alarm_ohm)
        for k, kind in enumerate(kinds, 1)
    )
    return make_line(devices=devices, elements=(EndOfLineResistor(devices[-1].name, 10_000.0, 0.01),))


def plant(random, kind, most=10):
    """A fault of a kind on a random line, cable 90 to 100 % of the greatest resistance."""
    line = random_line(random, most)
    count, copper = len(line.devices), random.uniform(0.90, 1.0)
    fault = Planted(
        *(line, kind, None, [copper * line.section_ohm(k) for k in range(count)]),
        [device.alarm_ohm * random.uniform(0.95, 1.05) for device in line.devices],
        10_000.0 * random.uniform(0.99, 1.01),
        share=random.uniform(0.02, 0.98),
        broken_core=random.choice("ab"),
    )
    SPOIL[kind](fault, random, count)
    return fault


def _ratio(random, low, high):
    return low * (high / low) ** random.random()


def _alarm(fault, random, count):
    fault.at = random.randrange(count)
    fault.alarmed = {fault.at}


def _removed(fault, random, count):
    heads = [k for k, device in enumerate(fault.line.devices) if device.kind == LineRole.DETECTOR]
    fault.at = fault.removed = random.choice(heads)


def _missing(fault, random, count):
    fault.at = count
    if random.random() < 0.5:
        fault.joint = (count, math.inf)
    else:
        fault.end_ohm = math.inf


def _break(fault, random, count):
    fault.at = random.randrange(count)
    fault.joint = (fault.at, math.inf)


def _short(fault, random, count):
    fault.at = random.randrange(count)
    fault.across = (fault.at, random.uniform(0, 0.2))


def _two_elements(fault, random, count):
    fault.terminal_ohm = 10_000.0 * random.uniform(0.99, 1.01)


def _double(fault, random, count):
    fault.at, fault.end_ohm = count, fault.end_ohm / 2


def _misplaced(fault, random, count):
    fault.terminal_ohm, fault.end_ohm = fault.end_ohm, math.inf


def _left_off(fault, random, count):
    fault.left_off, fault.terminal_ohm = True, 10_000.0 * random.uniform(0.99, 1.01)
    fault.end_ohm = random.choice((fault.end_ohm, math.inf))


def _hidden(fault, random, count):
    fault.at = random.randrange(count)
    fault.joint = (fault.at, math.inf)
    fault.terminal_ohm = 10_000.0 * random.uniform(0.99, 1.01)


def _polarity(fault, random, count):
    fault.reverse = True


def _wrong_value(fault, random, count):
    fault.end_ohm = random.choice([10 ** random.choice((3, 4)) * step for step in E12[1:]]) * random.uniform(0.99, 1.01)


def _leakage(fault, random, count):
    fault.at = random.randrange(count)
    fault.across = (fault.at, _ratio(random, 1_000, 100_000))


def _joint(fault, random, count):
    fault.at = random.randrange(count + 1)
    fault.joint = (fault.at, _ratio(random, 500, 50_000))


def _earth(fault, random, count):
    fault.at = random.randrange(count)
    fault.earth = (random.choice("ab"), fault.at, _ratio(random, 1, 50_000))


def _foreign(fault, random, count):
    fault.emf_v = random.choice((-1, 1)) * _ratio(random, 0.5, 24)


def _damaged(fault, random, count):
    fault.at = random.randrange(count)
    also = random.choice(("leak", "earth", "touch"))
    fault.joint = None if also == "touch" else (fault.at, math.inf)
    if also != "leak":
        fault.earth = (random.choice("ab"), fault.at, _ratio(random, 1, 50_000))
    if also != "earth":
        fault.across = (fault.at, 0.1 if also == "touch" else _ratio(random, 1_000, 100_000))


SPOIL = {
    **{FaultKind.ALARM: _alarm, FaultKind.REMOVED: _removed, FaultKind.ELEMENT_MISSING: _missing},
    **{FaultKind.BREAK: _break, FaultKind.SHORT: _short, FaultKind.TWO_ELEMENTS: _two_elements},
    **{FaultKind.DOUBLE_ELEMENT: _double, FaultKind.ELEMENT_AT_PANEL: _left_off},
    **{FaultKind.ELEMENT_MISPLACED: _misplaced, FaultKind.BREAK_WITH_ELEMENT_AT_PANEL: _hidden},
    **{FaultKind.POLARITY: _polarity, FaultKind.WRONG_VALUE: _wrong_value, FaultKind.LEAKAGE: _leakage},
    **{FaultKind.POOR_JOINT: _joint, FaultKind.EARTH: _earth, FaultKind.FOREIGN_VOLTAGE: _foreign},
    FaultKind.DAMAGED_CABLE: _damaged,
}


@dataclass(frozen=True)
class Sought:
    """How a search went: the place of the truth among the explanations (1 is first), its share, what was measured."""

    fault: Planted
    place: int
    share: float
    probes: tuple[Probe, ...]
    readings: tuple[Reading, ...]
    first: object


def sought(fault, random, *, proposals=3, with_reports=True):
    """The dialogue: the reading at the terminals, then what is proposed, up to so many times."""
    readings = [Reading(TERMINALS, measured(fault, TERMINALS, random))]
    reporting = still_reporting(fault) if with_reports else None
    found = locate_fault(fault.line, readings, reporting=reporting)
    for _ in range(proposals):
        if found.proposal is None:
            break
        probe = found.proposal.probe
        readings.append(Reading(probe, measured(fault, probe, random)))
        found = locate_fault(fault.line, readings, reporting=reporting)
    places = [k for k, one in enumerate(found.explanations, 1) if (one.kind, one.at) == (fault.kind, fault.at)]
    share = sum(found.explanations[k - 1].share for k in places)
    probes = tuple(reading.probe for reading in readings[1:])
    return Sought(fault, places[0], share, probes, tuple(readings), found.explanations[0])
