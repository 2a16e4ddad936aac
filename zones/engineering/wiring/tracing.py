"""The wiring of a panel as a graph: what is on a terminal, and where one comes to along cores and links.

Edges are cores (with both ends on terminals, not spare) and links. An end of line is no edge: a trace stops at it.
"""

from collections import defaultdict, deque
from dataclasses import dataclass, field

from zones.engineering.findings import Figure, Finding, Severity
from zones.engineering.sources import Source
from zones.engineering.wiring.wired_panel import (
    WiredCable,
    WiredCore,
    WiredDevice,
    WiredPanel,
    WiredTerminal,
)

BOX = "junction_box"


@dataclass(frozen=True, slots=True)
class TracedStep:
    """One edge out of a terminal: to `terminal` along `core` of `cable`, or along a link (both None)."""

    terminal: str
    core: WiredCore | None = None
    cable: WiredCable | None = None


@dataclass
class TracedWiring:
    """A WiredPanel with the look-ups that every check needs; keys are those of the terminals."""

    wired: WiredPanel
    terminals: dict[str, WiredTerminal] = field(init=False)
    owners: dict[str, WiredDevice] = field(init=False)
    cores: list[tuple[WiredCable, WiredCore]] = field(init=False)
    on_terminal: dict[str, list[tuple[WiredCable, WiredCore]]] = field(init=False)
    steps: dict[str, list[TracedStep]] = field(init=False)

    def __post_init__(self):
        self.terminals, self.owners = self.wired.terminals(), self.wired.owners()
        self.cores = [(cable, core) for cable in self.wired.cables for core in cable.cores]
        self.on_terminal, self.steps = defaultdict(list), defaultdict(list)
        for cable, core in self.cores:
            known = [key for key in (core.near, core.far) if key in self.terminals]
            for key in known:
                self.on_terminal[key].append((cable, core))
            if len(known) == 2 and not core.is_spare:
                self.steps[core.near].append(TracedStep(core.far, core, cable))
                self.steps[core.far].append(TracedStep(core.near, core, cable))
        for link in self.wired.links:
            if not {link.first, link.second} <= set(self.terminals):
                continue
            self.steps[link.first].append(TracedStep(link.second))
            self.steps[link.second].append(TracedStep(link.first))

    def owner(self, key: str) -> WiredDevice | None:
        """The device that has this terminal; None for a key that is no terminal of the record."""
        terminal = self.terminals.get(key)
        return self.owners.get(terminal.owner) if terminal else None

    def name(self, key: str) -> str:
        """A terminal with its device: "P1 -X3:5" (IEC 61666)."""
        terminal = self.terminals.get(key)
        return f"{self.owners[terminal.owner].tag} {terminal.designation}" if terminal else "a terminal not recorded"

    def is_at_panel(self, key: str) -> bool:
        owner = self.owner(key)
        return owner is not None and owner.key == self.wired.panel.key

    def is_start(self, key: str) -> bool:
        """Whether a run starts here, at the panel or at a device: no other run goes on through it."""
        terminal = self.terminals.get(key)
        return terminal is not None and terminal.starts_run

    def trace(self, start: str) -> "Trace":
        """Everything joined to a terminal where a run starts; the trace goes on through no other terminal of the panel
        and through no other start."""
        came: dict[str, tuple[str, TracedStep] | None] = {start: None}
        waiting = deque([start])
        while waiting:
            here = waiting.popleft()
            if here != start and (self.is_at_panel(here) or self.is_start(here)):
                continue
            for step in self.steps[here]:
                if step.terminal not in came:
                    came[step.terminal] = (here, step)
                    waiting.append(step.terminal)
        return Trace(start, came)

    def is_complete_at(self, *keys: str, cable: WiredCable | None = None) -> bool:
        """Whether somebody declared the part complete to which these terminals, or a cable, belong."""
        numbers = defaultdict(set)
        for key in keys:
            terminal, owner = self.terminals.get(key), self.owner(key)
            if terminal is not None and terminal.starts_run:
                for name in ("circuit", "line", "link", "input"):
                    numbers[name].add(getattr(terminal, name))
            elif owner is not None:
                numbers["circuit"].add(owner.circuit)
                numbers["line"].add(owner.line)
                numbers["link"].add(owner.link)
                numbers["input"] |= set(owner.inputs)
        if cable is not None:
            numbers["circuit"].add(cable.circuit)
            numbers["line"].add(cable.line)
        wired = self.wired
        orders = [
            order
            for name, found in (
                ("circuit", wired.circuits),
                ("line", wired.lines),
                ("link", wired.data_links),
                ("input", wired.inputs),
            )
            for order in found
            if order.number in numbers[name]
        ]
        return any(order.is_complete for order in orders) if orders else wired.is_complete


@dataclass(frozen=True)
class Trace:
    """Where one comes to from `start`: each terminal with the step that led there, nearest first."""

    start: str
    came: dict[str, tuple[str, TracedStep] | None]

    def __contains__(self, key: str) -> bool:
        return key in self.came

    def cables(self) -> list[WiredCable]:
        """The cables on the way, nearest first, each once."""
        steps = [found[1].cable for found in self.came.values() if found and found[1].cable]
        return list({cable.key: cable for cable in steps}.values())


def core_name(cable: WiredCable, core: WiredCore) -> str:
    """ "W12.3 BN": the core as the register writes it."""
    return f"{cable.tag}.{core.number}" + (f" {core.colour}" if core.colour else "")


def told(
    wiring: TracedWiring,
    severity: Severity,
    code: str,
    sentence: str,
    source: Source,
    *,
    terminals=(),
    cores=(),
    cables=(),
    devices=(),
) -> Finding:
    """A finding about these terminals (keys), cores (pairs with their cable), cables and devices, each named in it.

    The names stand in `inputs`, so that a page can show the finding beside each of them; the first is the subject.
    """
    named = [
        *(Figure("core", core_name(cable, core)) for cable, core in cores),
        *(Figure("cable", cable.tag) for cable in cables),
        *(Figure("terminal", wiring.name(key)) for key in terminals),
        *(Figure("device", device.tag) for device in devices),
    ]
    subject = str(named[0].value) if named else wiring.wired.panel.tag
    return Finding(f"wiring.{code}", severity, subject, sentence, source, tuple(named))
