"""Where terminals stand on the edges of a box: the side that faces their wire, and the same height at both ends of a
wire where that can be.

Two rules keep wires of different nets apart without any search: facing edges of two boxes use a height together only
for the two ends of one wire, and inside a box the left and the right edge do so only for terminals that are joined.
"""

from collections import defaultdict
from dataclasses import dataclass, field

from zones.engineering.wiring.wired_panel import Passing, WiredDevice, WiredPanel, WiredTerminal

PortKey = tuple[int, int]  # number of the run, number of its end


@dataclass(slots=True)
class Entry:
    """A terminal of a box, or (terminal None) a place where a core ends without one."""

    terminal: WiredTerminal | None
    left: list[PortKey] = field(default_factory=list)
    right: list[PortKey] = field(default_factory=list)
    is_left: bool = False  # where it is shown when it has no wire, and where its label stands
    height: int = -1  # line of its first connection, counted from the first line of the row

    @property
    def is_through(self) -> bool:
        return bool(self.left and self.right)

    @property
    def lines(self) -> int:
        return max(len(self.left), len(self.right), 1)


@dataclass(slots=True)
class Cell:
    """A box in a row: its device (the panel's own part in column 0) and its entries."""

    device: WiredDevice
    row: int
    column: int
    chain: int
    place: int  # in the chain; -1 for the panel
    entries: list[Entry] = field(default_factory=list)
    nets: dict[str, str] = field(default_factory=dict)  # terminal → net of the links inside the device
    inner: set[str] = field(default_factory=set)  # terminals that have something joined to them inside

    @property
    def lines(self) -> int:
        return max((entry.height + entry.lines for entry in self.entries), default=0)


def nets_of(wired: WiredPanel) -> dict[str, str]:
    """Terminal → the least key of those joined to it by links, fitted or internal."""
    parent: dict[str, str] = {}

    def root(key):
        while parent.setdefault(key, key) != key:
            key = parent[key]
        return key

    for link in wired.links:
        a, b = sorted((root(link.first), root(link.second)))
        parent[b] = a
    return {key: root(key) for key in list(parent)}


def sides_of(cell: Cell, other: "Cell | None", passing: Passing) -> bool:
    """Whether the wire leaves a box at its left edge."""
    if cell.column == 0:
        return False
    if other is None:
        return passing is Passing.IN
    if other.row == cell.row and other.column == 0 and cell.place == 0:
        return True
    if other.chain == cell.chain and other.place >= 0:
        if other.place != cell.place:
            return other.place < cell.place
        return passing is Passing.IN
    if other.column == cell.column - 1:
        return True
    if other.column == cell.column + 1:
        return False
    if passing is not Passing.NONE:
        return passing is Passing.IN
    return other.column < cell.column


def place_entries(cells: list[Cell], partner_of, facing: dict[PortKey, int]) -> dict[PortKey, int]:
    """Set the height of every entry of a row's boxes, from left to right.

    Args:     cells: the boxes of one row by column; partner_of: port → the port at the other end of its run;
              facing: filled with the line of each port.
    """
    previous: Cell | None = None
    for cell in cells:
        before = _lines_used(previous, "right") if previous and previous.column == cell.column - 1 else {}
        _Placer(cell, before, partner_of, facing).place()
        previous = cell
    return facing


def _lines_used(cell, side):
    return {entry.height + at: port for entry in cell.entries for at, port in enumerate(getattr(entry, side))}


class _Placer:
    """Places the entries of one box."""

    def __init__(self, cell, before, partner_of, facing):
        self.cell, self.before, self.partner_of, self.facing = cell, before, partner_of, facing
        self.used = {"left": {}, "right": {}}  # line → entry
        self.heads: dict[int, list[Entry]] = defaultdict(list)  # line → entries whose label stands there

    def place(self):
        self._place_opposite()
        self._place_beside_the_net()
        for left_first in (True, False):
            for entry in self.cell.entries:
                if entry.height < 0 and (bool(entry.left) or entry.is_left) is left_first:
                    line = 0
                    while not self._try(entry, line):
                        line += 1

    def _place_opposite(self):
        """What comes from the box before stands at the line on which it comes."""
        line_before = {port: line for line, port in self.before.items()}
        wanted = []
        for number, entry in enumerate(self.cell.entries):
            for at, port in enumerate(entry.left):
                if (line := line_before.get(self.partner_of(port))) is not None:
                    wanted.append((line - at, number, entry))
                    break
        for line, _, entry in sorted(wanted, key=lambda each: each[:2]):
            self._try(entry, line)

    def _place_beside_the_net(self):
        """What goes on stands at a line of its own net, where there is room."""
        for entry in self.cell.entries:
            if entry.height < 0 and entry.right and not entry.left:
                for line in self._lines_of_net(entry):
                    if self._try(entry, line):
                        break

    def _net(self, entry):
        return self.cell.nets.get(entry.terminal.key) if entry.terminal else None

    def _lines_of_net(self, entry):
        net = self._net(entry)
        if net is None:
            return []
        return sorted(each.height for each in self.cell.entries if each.height >= 0 and self._net(each) == net)

    def _try(self, entry, line):
        if line < 0 or not self._fits(entry, line):
            return False
        entry.height = line
        for side in self._sides(entry):
            for at in range(max(len(getattr(entry, side)), 1)):
                self.used[side][line + at] = entry
            for at, port in enumerate(getattr(entry, side)):
                self.facing[port] = line + at
        self.heads[line].append(entry)
        return True

    @staticmethod
    def _sides(entry):
        if entry.is_through:
            return ("left", "right")
        return ("left",) if entry.left or (entry.is_left and not entry.right) else ("right",)

    def _fits(self, entry, line):
        for side in self._sides(entry):
            if any(line + at in self.used[side] for at in range(max(len(getattr(entry, side)), 1))):
                return False
        for at, port in enumerate(entry.left):
            facing = self.before.get(line + at)
            if facing is not None and facing != self.partner_of(port):
                return False
        return all(self._may_share(entry, other) for other in self.heads[line])

    def _may_share(self, entry, other):
        if not (self._has_inside(entry) and self._has_inside(other)):
            return True
        return self._net(entry) is not None and self._net(entry) == self._net(other)

    def _has_inside(self, entry):
        return entry.is_through or (entry.terminal is not None and entry.terminal.key in self.cell.inner)
