"""The wiring diagram of one panel: one wide canvas for the screen, or sheets of a given size for paper.

Rows are circuits and lines with the panel's terminals at the left and the devices in the order of their wiring. Every
core is drawn once; where it goes on to another sheet, as two pieces that name each other's sheet and row.
"""

from zones.engineering.drawings.chains import Row, cut_rows, rows_of
from zones.engineering.drawings.runs import Wiring, loose_cables, wiring_of
from zones.engineering.drawings.shapes import Sheet
from zones.engineering.drawings.sheet_cells import Map, SheetCells
from zones.engineering.drawings.sheet_layout import SheetLayout
from zones.engineering.wiring.wired_panel import WiredPanel

A3_WIDTH_MM, A3_HEIGHT_MM = 420.0, 297.0  # ISO 216
MOST_COLUMNS = 8


def is_wired(wired: WiredPanel) -> bool:
    """Whether any core or end element is recorded: without one there is nothing to follow on a diagram."""
    return bool(wired.end_elements) or any(cable.cores for cable in wired.cables)


def draw_canvas(wired: WiredPanel) -> Sheet:
    """The whole diagram on one canvas, as wide as its longest circuit."""
    rows = rows_of(wired, loose_cables(wired))
    where = Map(wired, rows)
    wiring = wiring_of(wired, where.box_of)
    return _layout(where, wiring, rows, 0, {}, has_letters=False).draw(1, 1)


def draw_sheets(wired: WiredPanel, *, width_mm: float, height_mm: float) -> list[Sheet]:
    """The diagram in sheets whose drawing fits width × height (mm).

    One row that is higher or wider than a sheet stands alone on its sheet and keeps its own size.
    """
    whole = rows_of(wired, loose_cables(wired))
    for columns in range(MOST_COLUMNS, 0, -1):
        rows = cut_rows(whole, columns)
        where = Map(wired, rows)
        wiring = wiring_of(wired, where.box_of)
        layouts = _paginate(where, wiring, rows, width_mm if columns > 1 else float("inf"), height_mm)
        if layouts is not None:
            return [layout.draw(number, len(layouts)) for number, layout in enumerate(layouts, start=1)]
    raise AssertionError("unreachable: one column is always drawn")


def _paginate(where, wiring, rows, width_mm, height_mm):
    """Fill sheets with as many rows as fit; None when one is too wide. Names of rows are known only when all are
    filled, so it is done twice."""
    counts, first, names = [], 0, {number: (number, "A") for number in range(len(rows))}
    while first < len(rows):
        count, is_too_wide = _rows_that_fit(where, wiring, rows, first, names, width_mm, height_mm)
        if is_too_wide:
            return None
        counts.append(count)
        first += count
    names, first = {}, 0
    for sheet, count in enumerate(counts, start=1):
        names |= {first + at: (sheet, row_letter(at)) for at in range(count)}
        first += count
    layouts, first = [], 0
    for count in counts:
        layouts.append(_layout(where, wiring, rows[first : first + count], first, names, has_letters=True))
        first += count
    return None if any(layout.width > width_mm for layout in layouts) else layouts


def _rows_that_fit(where, wiring, rows, first, names, width_mm, height_mm):
    """How many rows from `first` on fit a sheet, at least one, and whether they are too wide for it."""
    count, is_too_wide = 0, False
    while first + count < len(rows):
        layout = _layout(where, wiring, rows[first : first + count + 1], first, names, has_letters=True)
        if count and layout.height > height_mm:
            break
        count, is_too_wide = count + 1, layout.width > width_mm
    return count, is_too_wide


def _layout(where: Map, wiring: Wiring, rows: list[Row], first: int, names, *, has_letters: bool) -> SheetLayout:
    return SheetLayout(SheetCells(where, wiring, rows, first, names), has_letters=has_letters)


def row_letter(at: int) -> str:
    """A, B … Z, AA, AB …"""
    letters = ""
    at += 1
    while at:
        at, rest = divmod(at - 1, 26)
        letters = chr(65 + rest) + letters
    return letters
