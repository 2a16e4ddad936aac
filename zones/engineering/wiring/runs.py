"""The runs of a panel: each output and each line with its terminals, devices and what one comes to along its cores."""

from collections import defaultdict
from dataclasses import dataclass, field

from zones.engineering.findings import Severity
from zones.engineering.wiring.tracing import BOX, Trace, TracedWiring
from zones.engineering.wiring.wired_panel import (
    Polarity,
    TerminalKind,
    WiredCable,
    WiredCircuit,
    WiredDevice,
    WiredEndOfLine,
    WiredInput,
    WiredLine,
    WiredLink,
    WiredTerminal,
)

CIRCUIT_KINDS = (TerminalKind.OUTPUT, TerminalKind.DATA, TerminalKind.MONITOR)
LINE_KINDS = (TerminalKind.LINE,)
LINK_KINDS = (TerminalKind.LINK,)
INPUT_KINDS = (TerminalKind.INPUT, TerminalKind.CONTACT)
COMMON = "common"  # function of the terminal that inputs may share

# Name of the run on a terminal and a device, what a person calls it, and the kinds of its terminals.
_KINDS_OF = {
    WiredCircuit: ("circuit", "output", CIRCUIT_KINDS),
    WiredLine: ("line", "line", LINE_KINDS),
    WiredLink: ("link", "data link", LINK_KINDS),
    WiredInput: ("input", "input", INPUT_KINDS),
}


@dataclass
class Run:
    """An output, line, data link or input as it should be (`order`): the terminals where it starts, at the panel or at
    a
    device that offers it, its devices in order and its traces."""

    wiring: TracedWiring
    order: WiredCircuit | WiredLine | WiredLink | WiredInput
    starts: list[WiredTerminal]
    devices: list[WiredDevice]
    traces: dict[str, Trace] = field(init=False)

    def __post_init__(self):
        self.traces = {terminal.key: self.wiring.trace(terminal.key) for terminal in self.starts}

    @property
    def is_line(self) -> bool:
        return isinstance(self.order, WiredLine)

    @property
    def is_input(self) -> bool:
        return isinstance(self.order, WiredInput)

    @property
    def name(self) -> str:
        return f"{_KINDS_OF[type(self.order)][1]} {self.order.number}"

    @property
    def kinds(self) -> tuple[TerminalKind, ...]:
        return _KINDS_OF[type(self.order)][2]

    @property
    def origin(self) -> WiredDevice:
        """The panel or the device where the run starts."""
        return self.wiring.owner(self.starts[0].key) if self.starts else self.wiring.wired.panel

    @property
    def is_monitored(self) -> bool:
        """Whether an end-of-line resistor or module belongs at its end; addressed actuators report for themselves."""
        return self.order.is_monitored and getattr(self.order, "drive", "") != "addressed"

    @property
    def is_monitored_when_unused(self) -> bool:
        """Whether the resistor waits where the run starts; an unused output needs none."""
        return self.is_monitored and not isinstance(self.order, WiredCircuit)

    @property
    def each(self) -> str:
        """By what word a pattern repeats its terminals: "output", "line", "data link", "input"."""
        return _KINDS_OF[type(self.order)][1]

    @property
    def each_of(self) -> str:
        """By what name a device knows the number of its run: "circuit", "line", "link", "input"."""
        return _KINDS_OF[type(self.order)][0]

    @property
    def ends_in_box(self) -> bool:
        return getattr(self.order, "ends_in_box", False)

    @property
    def unfinished(self) -> Severity:
        """What lacks is wrong where the wiring was declared complete, and not known before."""
        return Severity.FAIL if self.order.is_complete else Severity.MISSING

    @property
    def end_part(self) -> str:
        """What belongs at the end: lines and inputs have a resistor, outputs a module."""
        return "end-of-line module" if isinstance(self.order, WiredCircuit) else "end-of-line resistor"

    @property
    def element_ohm(self) -> float | None:
        return getattr(self.order, "end_of_line_ohm", None)

    @property
    def is_begun(self) -> bool:
        """Whether any core is on one of its starting terminals or at one of its devices' terminals of this kind."""
        own = {terminal.key for device in self.devices for terminal in device.terminals if terminal.kind in self.kinds}
        return any(self.wiring.on_terminal[key] for key in (*self.traces, *own))

    @property
    def is_reached(self) -> bool:
        """Whether every device is joined to every terminal that it needs."""
        return all(
            any(terminal.key in self.traces[start.key] for terminal in device.terminals)
            for device in self.devices
            for start in self.needed_at(device)
        )

    def needed_at(self, device: WiredDevice) -> list[WiredTerminal]:
        """The panel's terminals that must be joined to this device: by function, where the device has such terminals.

        A plain motor has no data or monitoring terminal; a device of which no terminal is known lacks them all.
        """
        kinds = {terminal.kind for terminal in device.terminals}
        always = (TerminalKind.OUTPUT, TerminalKind.LINE, TerminalKind.LINK, TerminalKind.INPUT)
        addressed = getattr(self.order, "drive", "") == "addressed"
        return [
            start
            for start in self.starts
            if (start.kind in always and not self._is_shared_common(start, device))
            or (start.kind in kinds and not (start.kind == TerminalKind.MONITOR and self.needs_no_monitoring_core))
            or (start.kind == TerminalKind.DATA and addressed)
        ]

    def _is_shared_common(self, start, device) -> bool:
        """Whether another common terminal beside this one serves the device: inputs of one origin share it."""
        if not self.is_input or start.function.casefold() != COMMON:
            return False
        if any(terminal.key in self.traces[start.key] for terminal in device.terminals):
            return False
        others = [t for t in self.origin.terminals if t.kind in INPUT_KINDS and t.function.casefold() == COMMON]
        joined = [self.wiring.trace(other.key) for other in others if other.key != start.key]
        if not self.wiring.on_terminal[start.key] and any(self._is_open(trace) for trace in joined):
            return True  # told of the open core
        return any(terminal.key in trace for trace in joined for terminal in device.terminals)

    def _is_open(self, trace) -> bool:
        """Whether a core is on the terminal where the trace starts, and leads nowhere."""
        return len(trace.came) == 1 and bool(self.wiring.on_terminal[trace.start])

    @property
    def needs_no_monitoring_core(self) -> bool:
        """The module stands in a box, before the devices, or the feed cores are what is monitored, or nothing is."""
        by_feed_cores = getattr(self.order, "monitored_by", "") == "two"
        return self.ends_in_box or by_feed_cores or not self.is_monitored or self._has_element_in_box

    @property
    def _has_element_in_box(self) -> bool:
        owners = (self.wiring.owner(element.first) for element in self.elements())
        return any(owner is not None and owner.kind == BOX for owner in owners)

    def where(self, key: str) -> WiredTerminal | None:
        """The panel terminal that this terminal is joined to, or None."""
        return next((start for start in self.starts if key in self.traces[start.key]), None)

    def edges(self) -> dict[str, tuple[WiredCable, str, str]]:
        """The cables on the run with the devices (keys) that each joins; a cable within one device is left out."""
        found = {}
        for trace in self.traces.values():
            for key, came in trace.came.items():
                if came is None or came[1].cable is None:
                    continue
                here, there = self.wiring.owner(came[0]), self.wiring.owner(key)
                if here and there and here.key != there.key:
                    found.setdefault(came[1].cable.key, (came[1].cable, here.key, there.key))
        return found

    def distances(self) -> dict[str, int]:
        """Number of cables from where the run starts to each device on it."""
        beside = defaultdict(set)
        for _, here, there in self.edges().values():
            beside[here].add(there)
            beside[there].add(here)
        far, waiting = {self.origin.key: 0}, [self.origin.key]
        for here in waiting:
            for there in sorted(beside[here] - set(far)):
                far[there] = far[here] + 1
                waiting.append(there)
        return far

    def last(self) -> WiredDevice:
        """The device at the far end as wired (boxes do not count); by the recorded order where the wiring does not say
        or is not finished; where the run starts if nothing is on it."""
        if not self.devices:
            return self.origin
        if not self.order.is_complete and not self.is_reached:
            return self.devices[-1]
        far = self.distances()
        place = {device.key: number for number, device in enumerate(self.devices)}
        reached = [device for device in self.devices if device.key in far]
        return max(reached or self.devices, key=lambda device: (far.get(device.key, 0), place[device.key]))

    def elements(self) -> list[WiredEndOfLine]:
        """End-of-line resistors and modules on the run: at or joined to where it starts, or loose at one of its
        devices."""
        own = {device.key for device in self.devices}
        found = []
        for element in self.wiring.wired.end_of_line_parts:
            ends = [self.wiring.terminals.get(key) for key in (element.first, element.second)]
            if any(end is not None and (self.where(end.key) or self._is_loose_here(end, own)) for end in ends):
                found.append(element)
        return found

    def _is_loose_here(self, end, own):
        return end.owner in own and end.kind in (*self.kinds, TerminalKind.UNKNOWN)


def runs_of(wiring: TracedWiring) -> list[Run]:
    """Every output, line, data link and input of the panel."""
    wired, found = wiring.wired, []
    for order in (*wired.circuits, *wired.lines, *wired.data_links, *wired.inputs):
        of, _, kinds = _KINDS_OF[type(order)]
        owners = (wired.panel, *wired.devices)
        starts = [t for owner in owners for t in owner.terminals if getattr(t, of) == order.number and t.kind in kinds]
        devices = [d for d in wired.devices if d.kind != BOX and order.number in numbers_of(d, of)]
        devices.sort(key=lambda device: (device.order is None, device.order or 0))
        found.append(Run(wiring, order, starts, devices))
    return found


def numbers_of(device: WiredDevice, of: str) -> tuple[int, ...]:
    """Numbers of the circuits, lines, links or inputs (`of`) that a device is on."""
    if of == "input":
        return device.inputs
    number = getattr(device, of)
    return () if number is None else (number,)


def pole_word(terminal: WiredTerminal) -> str:
    """ "+", "−", "data" or "monitoring core": how a sentence calls the conductor that starts here."""
    if terminal.kind == TerminalKind.DATA or (
        terminal.kind == TerminalKind.LINK and terminal.polarity == Polarity.NONE
    ):
        return "data core"
    if terminal.kind == TerminalKind.MONITOR:
        return "monitoring core"
    return {Polarity.PLUS: "+", Polarity.MINUS: "−"}.get(terminal.polarity, terminal.function or terminal.designation)
