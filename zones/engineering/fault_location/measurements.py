"""The measurements by which a fault is sought: what is taken hold of, in what order of effort, and how safely."""

import math
from dataclasses import dataclass
from enum import StrEnum

from zones.engineering.detection_lines import DetectionLine
from zones.engineering.quantities import QuantityError, require_not_negative


class ProbeKind(StrEnum):
    """Where and how a meter is held; the word is also that of the address."""

    TERMINALS = "terminals"
    SWAPPED = "swapped"
    PANEL = "panel"
    VOLTAGE = "voltage"
    CORES = "cores"
    FORWARD = "forward"
    BACK = "back"
    LOOP = "loop"
    HEAD_OUT = "head-out"
    EARTH_FIRST = "earth-first"
    EARTH_SECOND = "earth-second"


TO_EARTH = (ProbeKind.EARTH_FIRST, ProbeKind.EARTH_SECOND)
# How much trouble a measurement is beside one at the terminals: common practice. Each opened joint can be closed badly.
EFFORT = {ProbeKind.FORWARD: 1.3, ProbeKind.BACK: 1.3, ProbeKind.LOOP: 1.45, ProbeKind.HEAD_OUT: 1.15}
EFFORT_TO_EARTH_AT_A_JOINT = 1.3
GREATEST_V = 1_000.0


@dataclass(frozen=True, slots=True)
class Probe:
    """One measurement; `at` is the index of the device at which the line is opened, ``None`` where it starts."""

    kind: ProbeKind
    at: int | None = None

    @property
    def code(self) -> str:
        """How the address names it: "terminals", "forward.3" (the third device)."""
        return self.kind.value if self.at is None else f"{self.kind}.{self.at + 1}"

    @property
    def unit(self) -> str:
        return "V" if self.kind == ProbeKind.VOLTAGE else "Ω"

    @property
    def effort(self) -> float:
        """Trouble of this measurement; one at the terminals is 1."""
        if self.kind in TO_EARTH:
            return 1.0 if self.at is None else EFFORT_TO_EARTH_AT_A_JOINT
        return EFFORT.get(self.kind, 1.0)


TERMINALS = Probe(ProbeKind.TERMINALS)


@dataclass(frozen=True, slots=True)
class Reading:
    """What a meter showed: ohm, ``math.inf`` for "open"; of a voltage: V, whatever its sign."""

    probe: Probe
    value: float

    def __post_init__(self):
        if self.probe.unit == "V":
            if not 0 <= self.value <= GREATEST_V:
                raise QuantityError("voltage_v", self.value, f"0 or more and at most {GREATEST_V:g} V")
        elif self.value != math.inf:
            require_not_negative("reading_ohm", self.value)


def probes_of(line: DetectionLine) -> tuple[Probe, ...]:
    """Every measurement that can be taken on a line, the least trouble first."""
    kinds = (ProbeKind.TERMINALS, ProbeKind.SWAPPED, ProbeKind.PANEL, ProbeKind.VOLTAGE)
    at_start = [*(Probe(kind) for kind in kinds)]
    if not line.devices:
        return tuple(at_start)
    at_start += [Probe(kind) for kind in (ProbeKind.CORES, *TO_EARTH)]
    places = range(len(line.devices))
    heads = [Probe(ProbeKind.HEAD_OUT, k) for k in places if line.devices[k].removal_opens_line]
    joints = [Probe(kind, k) for kind in (ProbeKind.FORWARD, ProbeKind.BACK, ProbeKind.LOOP) for k in places]
    # Beyond the last device there is no cable whose cores could touch earth.
    to_earth = [Probe(kind, k) for kind in TO_EARTH for k in places[:-1]]
    return (*at_start, *heads, *joints, *to_earth)


def probe_of(line: DetectionLine, code: str) -> Probe:
    """The measurement that an address names. Raises QuantityError: there is none of that name on this line."""
    for probe in probes_of(line):
        if probe.code == code:
            return probe
    raise QuantityError("measurement", code, "one that can be taken on this line", subject=line.name)


def title(line: DetectionLine, probe: Probe) -> str:
    """The measurement in a few words: "Both cores, from D2 to the end"."""
    start, at = line.origin_words, None if probe.at is None else line.devices[probe.at].name
    beyond = f"from {at} to the end" if at else f"at {start}"
    return {
        ProbeKind.TERMINALS: f"At {line.terminals_words}, line off",
        ProbeKind.SWAPPED: f"At {line.terminals_words}, leads swapped",
        ProbeKind.PANEL: f"By {start} itself, line connected",
        ProbeKind.VOLTAGE: "Voltage between the cores, line off",
        ProbeKind.CORES: f"Into the two cores alone, out of {line.terminals_words}",
        ProbeKind.FORWARD: f"At the resistor of {at}, taken off"
        if probe.at == len(line.devices) - 1
        else f"Line opened at {at}, {beyond}",
        ProbeKind.BACK: f"Line opened at {at}, back to {start}, cores apart there",
        ProbeKind.LOOP: f"Line opened at {at}, back to {start}, cores joined there",
        ProbeKind.HEAD_OUT: f"At {line.terminals_words}, head of {at} taken out",
        ProbeKind.EARTH_FIRST: f"First core to earth, {beyond}",
        ProbeKind.EARTH_SECOND: f"Second core to earth, {beyond}",
    }[probe.kind]


def how(line: DetectionLine, probe: Probe) -> str:
    """How the measurement is taken, safely, in sentences."""
    start, at = line.origin_words, None if probe.at is None else line.devices[probe.at].name
    off = f"Take the line off {start}"
    apart = f"{off} and keep its two cores apart."
    last = probe.at is not None and probe.at == len(line.devices) - 1
    onward = (
        f"Take the end-of-line resistor off {at} and measure the resistor itself."
        if last
        else f"Take both cores that lead on from {at} out of its terminals and measure into them, towards the end."
    )
    incoming = f"Take both cores that arrive at {at} out of its terminals and measure into them, towards {start}."
    cores = f"the two that lead on from {at}, out of its terminals," if at else "the two, out of their terminals,"
    core = "second" if probe.kind == ProbeKind.EARTH_SECOND else "first"
    earth = (
        f"{apart} Measure from the {core} core of {cores} to earth with the ohmmeter. An insulation tester would "
        f"destroy the electronics on the line. First core: the one marked positive."
    )
    return {
        ProbeKind.TERMINALS: f"{off} and measure at its two ends, with whatever resistor sits there.",
        ProbeKind.SWAPPED: f"{off}, swap the two leads of the meter and measure again.",
        ProbeKind.PANEL: f"Read the line's resistance at {start} itself, the line connected.",
        ProbeKind.VOLTAGE: f"{off} and measure the voltage between its cores, direct and alternating; enter the "
        f"greater. It must be 0 V before any resistance is believed. Above 50 V touch nothing: find its source first.",
        ProbeKind.CORES: f"Take both cores out of {line.terminals_words}, away from any resistor there, and measure "
        f"into them.",
        ProbeKind.FORWARD: f"{off}. {onward}",
        ProbeKind.BACK: f"{apart} {incoming}",
        ProbeKind.LOOP: f"{off} and join its two cores there. {incoming} Part them again afterwards.",
        ProbeKind.HEAD_OUT: f"{off}. Take the head of {at} out of its base and measure at {line.terminals_words}. Put "
        f"it back afterwards.",
        ProbeKind.EARTH_FIRST: earth,
        ProbeKind.EARTH_SECOND: earth,
    }[probe.kind]
