"""The wiring diagram of one panel: one wide canvas for the screen, or sheets of a given size for paper.

Rows are circuits and lines with the panel's terminals at the left and the devices in the order of their wiring. Every
core is drawn once; where it goes on to another sheet, as two pieces that name each other's sheet and field.
"""

from dataclasses import replace

from zones.engineering.drawings.chains import ChainRow, cut_rows, rows_of
from zones.engineering.drawings.runs import DrawnWiring, loose_cables, wiring_of
from zones.engineering.drawings.shapes import Sheet
from zones.engineering.drawings.sheet_cells import Map, SheetCells
from zones.engineering.drawings.sheet_frame import field_of_drawing
from zones.engineering.drawings.sheet_layout import SheetLayout, reference
from zones.engineering.drawings.svg import times_too_large
from zones.engineering.wiring.wired_panel import WiredPanel

MOST_COLUMNS = 8
STACK_GAP_MM = 12.0


def is_wired(wired: WiredPanel) -> bool:
    """Whether any core or end-of-line resistor or module is recorded: without one there is nothing to follow on a "
    "diagram."""
    return bool(wired.end_of_line_parts) or any(cable.cores for cable in wired.cables)


def draw_canvas(wired: WiredPanel) -> Sheet:
    """The whole diagram on one canvas, as wide as its longest circuit."""
    rows = rows_of(wired, loose_cables(wired))
    where = Map(wired, rows)
    wiring = wiring_of(wired, where.box_of)
    return _layout(where, wiring, rows, 0, {}).draw(1, 1)


def draw_sheets(wired: WiredPanel, *, width_mm: float, height_mm: float) -> list[Sheet]:
    """The diagram in sheets whose drawing fits width × height (mm).

    Rows fill stacks as high as a sheet; narrow stacks stand side by side. A row that is higher or wider than a sheet
    stands alone on its sheet and keeps its own size.
    """
    whole = rows_of(wired, loose_cables(wired))
    for columns in range(MOST_COLUMNS, 0, -1):
        rows = cut_rows(whole, columns)
        where = Map(wired, rows)
        stacks = _Stacks(where, wiring_of(wired, where.box_of), rows, width_mm, height_mm)
        if sheets := stacks.sheets(may_be_wide=columns == 1):
            return sheets
    return []


class _Stacks:
    """Rows of a diagram in stacks, and stacks on sheets. Rows that go on elsewhere name sheet and field there."""

    def __init__(self, where: Map, wiring: DrawnWiring, rows: list[ChainRow], width_mm: float, height_mm: float):
        self.where, self.wiring, self.rows = where, wiring, rows
        self.width_mm, self.height_mm = width_mm, height_mm
        self.alone: set[int] = set()  # stacks higher than a sheet: those are drawn smaller, and nothing else with them
        # Every row a name of its own until the sheets are known, so that no text is missing when heights are taken.
        self.names: dict[int, tuple[int, int]] = {number: (number, 0) for number in range(len(rows))}

    def sheets(self, *, may_be_wide: bool) -> list[Sheet]:
        """The sheets, or none when a stack is wider than a sheet."""
        counts, widths = self._fill(may_be_wide=may_be_wide)
        for _ in range(3):  # the names of rows change the widths a little
            if not may_be_wide and max(widths) > self.width_mm:
                return []
            groups = self._side_by_side(widths)
            self._name(counts, groups)
            layouts = self._layouts(counts)
            widths = [layout.width for layout in layouts]
            if all(self._total(widths[a:b]) <= self.width_mm or b - a == 1 for a, b in groups):
                break
        else:
            groups = [(at, at + 1) for at in range(len(counts))]
            self._name(counts, groups)
            layouts = self._layouts(counts)
        if not may_be_wide and max(layout.width for layout in layouts) > self.width_mm:
            return []
        drawn = [self._sheet(layouts[a:b], number, len(groups)) for number, (a, b) in enumerate(groups, start=1)]
        return _with_fields(drawn, self.width_mm, self.height_mm)

    def _fill(self, *, may_be_wide):
        """Number of rows and width of each stack; as far as the first that is too wide, unless it may be so."""
        counts, widths, first = [], [], 0
        while first < len(self.rows):
            count, width, height = self._fill_stack(first)
            if height > self.height_mm:
                self.alone.add(len(counts))
            counts.append(count)
            widths.append(width)
            first += count
            if not may_be_wide and width > self.width_mm:
                break  # refused by `sheets` as it is: the rest need not be laid out
        return counts, widths

    def _fill_stack(self, first):
        count, width, height = 0, 0.0, 0.0
        half = (self.width_mm - STACK_GAP_MM) / 2
        while first + count < len(self.rows):
            layout = self._layout(first, count + 1)
            widens = width <= half < layout.width and height > self.height_mm / 2
            if count and (layout.height > self.height_mm or widens):
                break
            count, width, height = count + 1, layout.width, layout.height
        return count, width, height

    def _side_by_side(self, widths):
        """(first, after the last) stack of each sheet."""
        groups, start = [], 0
        for at in range(1, len(widths) + 1):
            is_apart = not self.alone.isdisjoint((at - 1, at))
            if at == len(widths) or is_apart or self._total(widths[start : at + 1]) > self.width_mm:
                groups.append((start, at))
                start = at
        return groups

    @staticmethod
    def _total(widths):
        return sum(widths) + STACK_GAP_MM * (len(widths) - 1)

    def _name(self, counts, groups):
        names, row = {}, 0
        for sheet, (start, end) in enumerate(groups, start=1):
            for at in range(sum(counts[start:end])):
                names[row] = (sheet, at)
                row += 1
        self.names = names

    def _layouts(self, counts):
        layouts, first = [], 0
        for count in counts:
            layouts.append(self._layout(first, count))
            first += count
        return layouts

    def _layout(self, first, count):
        rows = self.rows[first : first + count]
        return _layout(self.where, self.wiring, rows, first, self.names)

    @staticmethod
    def _sheet(layouts, number, count):
        sheet, x = Sheet(number, count), 0.0
        for layout in layouts:
            drawn = layout.draw(number, count).moved(x)
            for name in ("boxes", "pins", "wires", "marks", "labels"):
                getattr(sheet, name).extend(getattr(drawn, name))
            sheet.goes_on |= drawn.goes_on
            sheet.width, sheet.height = x + drawn.width, max(sheet.height, drawn.height)
            sheet.remarks = drawn.remarks
            x += drawn.width + STACK_GAP_MM
        return sheet


def _layout(where: Map, wiring: DrawnWiring, rows: list[ChainRow], first: int, names) -> SheetLayout:
    return SheetLayout(SheetCells(where, wiring, rows, first, names))


def _with_fields(sheets: list[Sheet], width_mm: float, height_mm: float) -> list[Sheet]:
    """The same sheets with the field of the other sheet in each reference, now that all places are known."""
    fields = {}
    for sheet in sheets:
        times = times_too_large(sheet.width, sheet.height, (width_mm, height_mm))
        fields |= {end: (sheet.number, field_of_drawing(x, y, times)) for end, (x, y) in sheet.goes_on.items()}
    for sheet in sheets:
        sheet.labels = [
            replace(label, text=reference(*fields[label.goes_to])) if label.goes_to else label for label in sheet.labels
        ]
    return sheets
