"""The runs of a panel: each output and each line with its terminals, devices and what one comes to along its cores."""

from collections import defaultdict
from dataclasses import dataclass, field

from zones.engineering.wiring.tracing import BOX, Trace, Wiring
from zones.engineering.wiring.wired_panel import (
    EndElement,
    Polarity,
    TerminalKind,
    WiredCable,
    WiredCircuit,
    WiredDevice,
    WiredLine,
    WiredTerminal,
)

CIRCUIT_KINDS = (TerminalKind.OUTPUT, TerminalKind.DATA, TerminalKind.MONITOR)
LINE_KINDS = (TerminalKind.LINE,)


@dataclass
class Run:
    """An output or a line as it should be (`order`), with its panel terminals, its devices in order and its traces."""

    wiring: Wiring
    order: WiredCircuit | WiredLine
    starts: list[WiredTerminal]
    devices: list[WiredDevice]
    traces: dict[str, Trace] = field(init=False)

    def __post_init__(self):
        self.traces = {terminal.key: self.wiring.trace(terminal.key) for terminal in self.starts}

    @property
    def is_line(self) -> bool:
        return isinstance(self.order, WiredLine)

    @property
    def name(self) -> str:
        return f"line {self.order.number}" if self.is_line else f"output {self.order.number}"

    @property
    def kinds(self) -> tuple[TerminalKind, ...]:
        return LINE_KINDS if self.is_line else CIRCUIT_KINDS

    @property
    def is_monitored(self) -> bool:
        """Whether an end-of-line resistor or module belongs at its far end; addressed actuators report for "
        "themselves."""
        return self.order.is_monitored and (self.is_line or self.order.drive != "addressed")

    @property
    def end_part(self) -> str:
        """What belongs at the end: lines have a resistor, outputs a module."""
        return "end-of-line resistor" if self.is_line else "end-of-line module"

    @property
    def element_ohm(self) -> float | None:
        return self.order.end_of_line_ohm if self.is_line else None

    def needed_at(self, device: WiredDevice) -> list[WiredTerminal]:
        """The panel's terminals that must be joined to this device: by function, where the device has such terminals.

        A plain motor has no data or monitoring terminal; a device of which no terminal is known lacks them all.
        """
        kinds = {terminal.kind for terminal in device.terminals}
        always = (TerminalKind.OUTPUT, TerminalKind.LINE)
        addressed = not self.is_line and self.order.drive == "addressed"
        return [
            start
            for start in self.starts
            if start.kind in always or start.kind in kinds or (start.kind == TerminalKind.DATA and addressed)
        ]

    def reaches(self, device: WiredDevice) -> bool:
        return any(terminal.key in trace for trace in self.traces.values() for terminal in device.terminals)

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
        """Number of cables from the panel to each device on the run."""
        beside = defaultdict(set)
        for _, here, there in self.edges().values():
            beside[here].add(there)
            beside[there].add(here)
        far, waiting = {self.wiring.wired.panel.key: 0}, [self.wiring.wired.panel.key]
        for here in waiting:
            for there in sorted(beside[here] - set(far)):
                far[there] = far[here] + 1
                waiting.append(there)
        return far

    def last(self) -> WiredDevice:
        """The device at the far end as wired (boxes do not count); by the recorded order where the wiring does not say;
        the panel where nothing is on the run."""
        if not self.devices:
            return self.wiring.wired.panel
        far = self.distances()
        place = {device.key: number for number, device in enumerate(self.devices)}
        reached = [device for device in self.devices if device.key in far]
        return max(reached or self.devices, key=lambda device: (far.get(device.key, 0), place[device.key]))

    def elements(self) -> list[EndElement]:
        """End-of-line resistors and modules on the run: at or joined to its panel terminals, or loose at one of its "
        "devices."""
        own = {device.key for device in self.devices}
        found = []
        for element in self.wiring.wired.end_elements:
            ends = [self.wiring.terminals.get(key) for key in (element.first, element.second)]
            if any(end is not None and (self.where(end.key) or self._is_loose_here(end, own)) for end in ends):
                found.append(element)
        return found

    def _is_loose_here(self, end, own):
        return end.owner in own and end.kind in (*self.kinds, TerminalKind.UNKNOWN)


def runs_of(wiring: Wiring) -> list[Run]:
    """Every output and line of the panel."""
    panel, found = wiring.wired.panel, []
    for order in (*wiring.wired.circuits, *wiring.wired.lines):
        of = "line" if isinstance(order, WiredLine) else "circuit"
        kinds = LINE_KINDS if of == "line" else CIRCUIT_KINDS
        starts = [t for t in panel.terminals if getattr(t, of) == order.number and t.kind in kinds]
        devices = [d for d in wiring.wired.devices if getattr(d, of) == order.number and d.kind != BOX]
        devices.sort(key=lambda device: (device.order is None, device.order or 0))
        found.append(Run(wiring, order, starts, devices))
    return found


def pole_word(terminal: WiredTerminal) -> str:
    """ "+", "−", "data" or "monitoring core": how a sentence calls the conductor that starts here."""
    if terminal.kind == TerminalKind.DATA:
        return "data core"
    if terminal.kind == TerminalKind.MONITOR:
        return "monitoring core"
    return {Polarity.PLUS: "+", Polarity.MINUS: "−"}.get(terminal.polarity, terminal.designation)
