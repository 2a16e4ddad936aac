"""How much of the wiring of a panel is recorded: the terminals that must carry something, and those that do.

What is needed follows from the terminals recorded (as their patterns made them), and where none is recorded, from the
pattern of the model. A terminal that is used counts as needed. Left out are: outgoing terminals of the last device of a
run, those of a panel that serve no run unless they are used, and junction boxes, which have what their cables need.
Counting is common practice of taking over an installation; it says nothing about whether the wiring is right:
`checks.py` does.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from zones.engineering.wiring.patterns import PatternError, PatternTerminal, read_pattern
from zones.engineering.wiring.runs import Run, runs_of
from zones.engineering.wiring.tracing import BOX, TracedWiring
from zones.engineering.wiring.wired_panel import Passing, TerminalKind, WiredDevice, WiredPanel

MAINS_KINDS = (TerminalKind.SUPPLY, TerminalKind.EARTH)
# On a device of no run: an earth, or what nobody said the use of, need not be wired.
NOT_NEEDED_ALONE = (TerminalKind.EARTH, TerminalKind.UNKNOWN)
LEAST_CONDUCTORS = 2  # of a device without any pattern: nothing electrical has fewer. Common practice.
PANEL = "control_panel"


@dataclass(frozen=True, slots=True)
class Progress:
    """Terminals by key that are needed, those of them that are wired, and how many are needed but not even recorded."""

    needed: frozenset[str] = frozenset()
    wired: frozenset[str] = frozenset()
    unrecorded: tuple[tuple[str, int], ...] = ()  # (key of the device or of its run, terminals)

    @property
    def needed_count(self) -> int:
        return len(self.needed) + sum(number for _, number in self.unrecorded)

    @property
    def wired_count(self) -> int:
        return len(self.wired)


def together(parts: Iterable[Progress]) -> Progress:
    """Of several panels: what two of them show, such as a device between them, counts once."""
    parts = list(parts)
    return Progress(
        frozenset().union(*(part.needed for part in parts)),
        frozenset().union(*(part.wired for part in parts)),
        tuple({pair for part in parts for pair in part.unrecorded}),
    )


def progress_of(wired: WiredPanel) -> Progress:
    """What of a panel's wiring is recorded, and what is needed.

    Args:     wired: the panel with its devices, cables, links and end-of-line resistors or modules.
    Returns:  keys of terminals needed and wired, and numbers of terminals needed where none is recorded.
    """
    wiring = TracedWiring(wired)
    used = {key for key, pairs in wiring.on_terminal.items() if pairs}
    used |= {key for element in wired.end_of_line_parts for key in (element.first, element.second)}
    needed, unrecorded, served = set(), [], set()
    used |= {
        key
        for link in wired.links
        for key in (link.first, link.second)
        if key in wiring.terminals and wiring.terminals[key].kind == TerminalKind.EARTH
    }
    runs = runs_of(wiring)
    for run in runs:
        needed |= _at_panel(run)
        if run.devices and not run.starts:
            unrecorded.append((f"{wired.panel.key} {run.name}", _of_run(wired.panel, run)))
        last = run.last().key
        for device in run.devices:
            served.add(device.key)
            needed |= _on_run(device, run, used, is_last=device.key == last)
    offered = {terminal.key for run in runs for terminal in run.starts if not wiring.is_at_panel(terminal.key)}
    for device in wired.devices:
        if not device.terminals and device.kind not in (BOX, PANEL):
            unrecorded.append((device.key, _by_pattern(device)))
        elif device.key not in served and device.kind not in (BOX, PANEL):
            needed |= {t.key for t in device.terminals if _is_needed_alone(t) and t.key not in offered}
    needed |= _mains(wired.panel, unrecorded)
    counted = (wired.panel, *(device for device in wired.devices if device.kind not in (BOX, PANEL)))
    needed |= used & {terminal.key for device in counted for terminal in device.terminals}
    return Progress(frozenset(needed), frozenset(needed & used), tuple(unrecorded))


def needed_by_pattern(text: str) -> int:
    """Terminals that a device on no panel needs by the pattern of its model."""
    return _by_pattern(WiredDevice(key="", tag="", kind="", pattern=text))


def _at_panel(run: Run) -> set[str]:
    """Terminals of the panel that a run needs: those of its devices; of an unused monitored line, both."""
    if run.devices:
        return {start.key for device in run.devices for start in run.needed_at(device)}
    return {start.key for start in run.starts if start.kind in run.kinds} if run.is_monitored_when_unused else set()


def _on_run(device: WiredDevice, run: Run, used, *, is_last: bool) -> set[str]:
    """Terminals of a device that its run needs: incoming ones, and outgoing ones where another device follows."""
    served = {start.kind for start in run.starts} or set(run.kinds)
    if run.needs_no_monitoring_core:
        served.discard(TerminalKind.MONITOR)
    return {
        terminal.key
        for terminal in device.terminals
        if terminal.kind in served and (terminal.passing != Passing.OUT or not is_last or terminal.key in used)
    }


def _is_needed_alone(terminal) -> bool:
    return terminal.passing != Passing.OUT and terminal.kind not in NOT_NEEDED_ALONE


def _mains(panel: WiredDevice, unrecorded) -> set[str]:
    found = {terminal.key for terminal in panel.terminals if terminal.kind in MAINS_KINDS}
    if not found and (number := sum(one.kind in MAINS_KINDS for one in _pattern(panel.pattern))):
        unrecorded.append((f"{panel.key} mains", number))
    return found


def _of_run(panel: WiredDevice, run: Run) -> int:
    """Terminals that the panel's pattern has for a run."""
    by_pattern = sum(one.each.endswith(run.each) and one.kind in run.kinds for one in _pattern(panel.pattern))
    return by_pattern or LEAST_CONDUCTORS


def _by_pattern(device: WiredDevice) -> int:
    """Terminals that a device needs by its pattern: those that do not lead on."""
    found = sum(one.passing != Passing.OUT and one.kind not in NOT_NEEDED_ALONE for one in _pattern(device.pattern))
    return found or LEAST_CONDUCTORS


@lru_cache(maxsize=256)
def _pattern(text: str) -> tuple[PatternTerminal, ...]:
    try:
        return read_pattern(text).terminals
    except PatternError:
        return ()
