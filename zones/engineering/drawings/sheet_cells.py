"""The boxes of one sheet and what is joined on it: rows become cells, runs that leave the sheet become two pieces."""

from dataclasses import dataclass, replace

from zones.engineering.drawings.chains import ChainRow
from zones.engineering.drawings.placing import Cell, Entry, PortKey, nets_of, place_entries, sides_of
from zones.engineering.drawings.runs import DrawnWiring, End, Run, known_owner
from zones.engineering.wiring.wired_panel import Passing, WiredPanel, WiredTerminal


class Map:
    """Where every device and every terminal of the panel stands, over all rows of all sheets."""

    def __init__(self, wired: WiredPanel, rows: list[ChainRow]):
        self.wired = wired
        self.terminals: dict[str, WiredTerminal] = wired.terminals()
        self.owner = known_owner(wired)
        self.nets = nets_of(wired)
        self.devices: dict[str, Cell] = {}
        self.panel_rows: dict[str, int] = {}
        self.chains = [row.chain for row in rows]
        self.places: list[list[Cell | None]] = []
        self._runs_at: dict[int, list[int]] = {}
        for number, row in enumerate(rows):
            for key in row.panel_terminals:
                self.panel_rows[key] = number
            for at, device in enumerate(row.devices):
                self.devices[device.key] = Cell(device, number, row.start + at, row.chain, row.offset + at)

    def runs_at(self, row: int, wiring: DrawnWiring) -> list[int]:
        """Numbers of the runs that have an end in a row; `places` is filled when first asked."""
        if not self.places:
            for number, run in enumerate(wiring.runs):
                self.places.append([self.cell_of(end) for end in run.ends])
                for at in {place.row for place in self.places[-1] if place is not None}:
                    self._runs_at.setdefault(at, []).append(number)
        return self._runs_at.get(row, [])

    def box_of(self, terminal: str):
        """The box in which a terminal is drawn: its device, or the panel's part in one row."""
        owner = self.owner[terminal]
        return (owner, self.panel_rows[terminal]) if owner == self.wired.panel.key else (owner, 0)

    def cell_of(self, end: End) -> Cell | None:
        """Place of an end, its entries left out; None for an end that belongs to no device."""
        if end.owner is None:
            return None
        if end.owner == self.wired.panel.key:
            row = self.panel_rows[end.terminal or end.beside]
            return Cell(self.wired.panel, row, 0, self.chains[row], -1)
        return self.devices[end.owner]


@dataclass(slots=True)
class Piece:
    """A run as one sheet shows it; `cells` are None where an end is drawn without a box."""

    run: Run
    cells: tuple[Cell | None, Cell | None]


class SheetCells:
    """Cells of the rows from `first` on, with their entries placed, and the pieces of runs between them."""

    def __init__(
        self, where: Map, wiring: DrawnWiring, rows: list[ChainRow], first: int, names: dict[int, tuple[int, int]]
    ):
        self.where, self.wiring, self.rows, self.first = where, wiring, rows, first
        self.names = names  # number of a row → (sheet, its number there)
        self.cells: dict[tuple[int, int], Cell] = {}  # (row of this sheet, column)
        self.pieces: list[Piece] = []
        self.sides: dict[PortKey, bool] = {}  # True: left
        self.entry_of: dict[PortKey, Entry] = {}
        self.joins: dict[tuple[int, int], list] = {}
        self.lines: dict[PortKey, int] = {}
        self._add_cells()
        self._add_joins()
        self._add_pieces()
        for cell in self.cells.values():
            cell.nets = where.nets
            for entry in cell.entries:
                if entry.terminal and not entry.left and not entry.right:
                    entry.is_left = cell.column > 0 and entry.terminal.passing is not Passing.OUT
        for row in range(len(rows)):
            cells = [self.cells[key] for key in sorted(self.cells) if key[0] == row]
            place_entries(cells, lambda port: (port[0], 1 - port[1]), self.lines)

    def _add_cells(self):
        panel = self.where.wired.panel
        self._entries: dict[str, Entry] = {}
        for number, row in enumerate(self.rows):
            if row.panel_terminals:
                self._add_cell(Cell(panel, number, 0, row.chain, -1), row.panel_terminals)
            for at, device in enumerate(row.devices):
                cell = Cell(device, number, row.start + at, row.chain, row.offset + at)
                self._add_cell(cell, [terminal.key for terminal in device.terminals])

    def _add_cell(self, cell, terminals):
        for key in terminals:
            entry = Entry(self.where.terminals[key])
            if self._entries.setdefault(key, entry) is entry:
                cell.entries.append(entry)
        self.cells[cell.row, cell.column] = cell

    def _add_joins(self):
        for key, cell in self.cells.items():
            joins = [join for entry in cell.entries for join in self.wiring.joins_at(entry.terminal.key)]
            self.joins[key] = joins
            cell.inner = {terminal for join in joins for terminal in (join.first, join.second)}

    def _add_pieces(self):
        numbers = {
            number for at in range(len(self.rows)) for number in self.where.runs_at(self.first + at, self.wiring)
        }
        for number in sorted(numbers):
            places = self.where.places[number]
            here = [place is not None and 0 <= place.row - self.first < len(self.rows) for place in places]
            self._add_piece(self.wiring.runs[number], places, here)

    def _add_piece(self, run, places, here):
        ends, part = list(run.ends), ""
        for at in (0, 1):
            if not here[at] and places[at] is not None:
                ends[at] = End(mark="to", goes_to=self.names[places[at].row])
                part = "far" if at == 0 else "near"
        number = len(self.pieces)
        cells = tuple(
            self.cells[place.row - self.first, place.column] if is_here else None
            for place, is_here in zip(places, here, strict=True)
        )
        self.pieces.append(Piece(replace(run, ends=tuple(ends), part=part), cells))
        for at, cell in enumerate(cells):
            if cell is not None:
                self._add_port((number, at), ends[at], places[at], places[1 - at], cell)

    def _add_port(self, port, end, place, other, cell):
        if end.terminal is None:
            entry = Entry(None)
            cell.entries.append(entry)
        else:
            entry = self._entries[end.terminal]
        passing = entry.terminal.passing if entry.terminal else Passing.NONE
        self.sides[port] = sides_of(place, other, passing)
        (entry.left if self.sides[port] else entry.right).append(port)
        self.entry_of[port] = entry
