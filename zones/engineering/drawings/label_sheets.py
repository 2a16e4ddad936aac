"""Sheets of labels: where each label lies on an A4 sheet, and what is written on it, as SVG text in mm."""

from collections.abc import Sequence
from dataclasses import dataclass

from zones.engineering.drawings.lettering import ADVANCE, RISE, plain, shorten, width_mm, wrapped
from zones.engineering.drawings.shapes import Rect, TextLine
from zones.engineering.drawings.svg import Frame, label_svg, opening, rect_svg

A4_WIDTH_MM, A4_HEIGHT_MM = 210.0, 297.0  # ISO 216
QUIET_MODULES = 4  # ISO/IEC 18004: clear space round a QR code, in modules
SMALLEST_MODULE_MM = 0.35  # trade practice: a finer code is not read by every phone
LARGEST_CODE_MM = 26.0
PAD_MM = 1.6
TAG_MM, SMALLEST_TAG_MM = 8.0, 3.0
TEXT_SIZES_MM = (3.6, 3.2, 2.8, 2.4, 2.0)
LINE_FACTOR = 1.22


class StockError(ValueError):
    """The labels do not lie on the sheet; `field` names the measure, the message says why and what to do."""

    def __init__(self, field: str, message: str):
        super().__init__(message)
        self.field = field


@dataclass(frozen=True, slots=True)
class LabelStock:
    """A sheet of A4 labels: `columns` × `rows` labels of width × height, the first at (left, top), gaps between them.

    All lengths in mm. Raises StockError when the labels do not fit the sheet.
    """

    columns: int
    rows: int
    width_mm: float
    height_mm: float
    left_mm: float
    top_mm: float
    gap_x_mm: float = 0.0
    gap_y_mm: float = 0.0

    def __post_init__(self):
        for each, many, size, edge, gap, paper in (
            ("width", "columns", self.width_mm, self.left_mm, self.gap_x_mm, A4_WIDTH_MM),
            ("height", "rows", self.height_mm, self.top_mm, self.gap_y_mm, A4_HEIGHT_MM),
        ):
            count = getattr(self, many)
            total = edge + count * size + (count - 1) * gap
            if total > paper + 0.05:
                raise StockError(
                    f"{each}_mm",
                    f"{count} {many} of {size:g} mm with their edge and gaps take {total:g} mm; A4 is {paper:g} mm "
                    f"{'wide' if each == 'width' else 'high'}. Enter fewer {many}, or smaller measures.",
                )

    @property
    def per_sheet(self) -> int:
        return self.columns * self.rows

    def place(self, number: int) -> Rect:
        """Rectangle of a label by its number on the sheet, from 0, row by row."""
        row, column = divmod(number, self.columns)
        return Rect(
            self.left_mm + column * (self.width_mm + self.gap_x_mm),
            self.top_mm + row * (self.height_mm + self.gap_y_mm),
            self.width_mm,
            self.height_mm,
        )


def centred(columns: int, rows: int, width_mm: float, height_mm: float, gap_x_mm: float = 0.0) -> LabelStock:
    """A grid in the middle of the sheet, as sheets of labels usually are."""
    left = (A4_WIDTH_MM - columns * width_mm - (columns - 1) * gap_x_mm) / 2
    return LabelStock(columns, rows, width_mm, height_mm, left, (A4_HEIGHT_MM - rows * height_mm) / 2, gap_x_mm)


# Grids in common use (trade practice); the gap of 2.5 mm between columns too.
STOCKS = {
    "3x8": centred(3, 8, 70.0, 37.0),
    "2x7": centred(2, 7, 99.1, 38.1, 2.5),
    "3x7": centred(3, 7, 63.5, 38.1, 2.5),
    "5x13": centred(5, 13, 38.1, 21.2, 2.5),
}


@dataclass(frozen=True, slots=True)
class LabelText:
    """What one label says: a tag, further lines in the order of their weight, and a QR code as rows of 0 and 1.

    `needs_code` False: the code gives way where the lines do not fit beside it.
    """

    tag: str
    lines: tuple[str, ...] = ()
    code: tuple[bytes, ...] = ()
    needs_code: bool = True


def code_module_mm(stock: LabelStock, modules: int) -> float:
    """Width of one module of a code of so many modules on a label of this stock; 0 where it would be too fine."""
    room = min(stock.height_mm, stock.width_mm / 2, LARGEST_CODE_MM + 2 * PAD_MM)
    module = room / (modules + 2 * QUIET_MODULES)
    return module if module >= SMALLEST_MODULE_MM else 0.0


def label_sheets(
    texts: Sequence[LabelText], stock: LabelStock, *, start: int = 1, has_outlines: bool = False
) -> list[str]:
    """One SVG text per A4 sheet; the first label goes to place `start` (from 1) of the first sheet."""
    sheets: list[list[str]] = []
    for at, label in enumerate(texts, start=start - 1):
        sheet, place = divmod(at, stock.per_sheet)
        if sheet == len(sheets):
            sheets.append([])
        rect = stock.place(place)
        sheets[sheet].append(_label(label, rect, stock))
    if has_outlines:
        outlines = [
            rect_svg(stock.place(place), ' class="d-outline" stroke-width="0.1"') for place in range(stock.per_sheet)
        ]
        sheets = [outlines + sheet for sheet in sheets]
    return [_document(sheet, at, len(sheets)) for at, sheet in enumerate(sheets, start=1)]


def _document(parts, at, count):
    view = Rect(0.0, 0.0, A4_WIDTH_MM, A4_HEIGHT_MM)
    title = f"Sheet {at} of {count}"
    head = opening(Frame(A4_WIDTH_MM, A4_HEIGHT_MM, view), title, "Labels in their places.", "label-sheet")
    return "\n".join([head, *parts, "</g></svg>"])


def _label(label: LabelText, rect: Rect, stock: LabelStock) -> str:
    parts = ['<g class="d-label">']
    left = rect.x + PAD_MM
    module = code_module_mm(stock, len(label.code)) if label.code else 0.0
    if module:
        side = module * len(label.code)
        quiet = max(QUIET_MODULES * module, PAD_MM)
        beside = rect.x + 2 * quiet + side
        lines, is_whole = _lines(label, beside, rect)
        if is_whole or label.needs_code:
            parts.append(_code(label.code, rect.x + quiet, rect.y + (rect.height - side) / 2, module))
            left = beside
    lines, _ = _lines(label, left, rect)
    parts += [label_svg(line) for line in lines]
    return "".join(parts) + "</g>"


def _lines(label: LabelText, left: float, rect: Rect) -> tuple[list[TextLine], bool]:
    """Tag and lines in the middle of the label's height, and whether nothing was cut or left out."""
    room, high = max(rect.right - PAD_MM - left, 1.0), rect.height - 2 * PAD_MM
    tag = plain(label.tag)
    size = min(TAG_MM, high / LINE_FACTOR / (2.2 if label.lines else 1.0), room / max(width_mm(tag, 1.0), 1e-6))
    if size < SMALLEST_TAG_MM:
        size = min(SMALLEST_TAG_MM, high / LINE_FACTOR)
        tag = _cut(tag, size, room)
    text, rows, is_whole = _text(label.lines, room, high - size * LINE_FACTOR)
    total = size * LINE_FACTOR + len(rows) * text * LINE_FACTOR
    y = rect.y + (rect.height - total) / 2
    found = [TextLine(left, y + RISE * size, tag, size=size, is_bold=True, role="tag")] if tag else []
    y += size * LINE_FACTOR
    for at, row in enumerate(rows):
        found.append(TextLine(left, y + text * (LINE_FACTOR * at + RISE + (LINE_FACTOR - 1) / 2), row, size=text))
    return found, is_whole and tag == plain(label.tag)


def _text(lines, room: float, high: float) -> tuple[float, list[str], bool]:
    """Size and rows: all lines in the largest letters that leave them whole, else as many as can be left whole."""
    lines = [line for line in map(plain, lines) if line]
    for count in range(len(lines), 0, -1):
        for size in TEXT_SIZES_MM:
            most = int(room / (ADVANCE * size))
            rows = [wrapped(line, most, 2) for line in lines[:count]] if most > 1 else [[]]
            is_whole = all(" ".join(row) == line for row, line in zip(rows, lines, strict=False))
            flat = [row for each in rows for row in each]
            fits = all(width_mm(row, size) <= room for row in flat)
            if is_whole and fits and len(flat) * size * LINE_FACTOR <= high:
                return size, flat, count == len(lines)
    size = TEXT_SIZES_MM[-1]
    most = max(0, int(high / (size * LINE_FACTOR)))
    return size, [_cut(line, size, room) for line in lines[:most]], not lines


def _cut(text: str, size: float, room: float) -> str:
    """As much of a text as the room holds."""
    most = len(text)
    while most > 1 and width_mm(shorten(text, most), size) > room:
        most -= 1
    return shorten(text, most) if width_mm(shorten(text, most), size) <= room else ""


def _code(rows: Sequence[bytes], x: float, y: float, module: float) -> str:
    """A QR code as one path: a bar for each run of dark modules."""
    steps = []
    for at, row in enumerate(rows):
        column = 0
        while column < len(row):
            run = 0
            while column + run < len(row) and row[column + run]:
                run += 1
            if run:
                steps.append(f"M{column} {at}h{run}v1h-{run}z")
            column += max(run, 1)
    place = f"translate({x:.3f} {y:.3f}) scale({module:.4f})"
    return f'<path class="d-code" transform="{place}" fill="#000" stroke="none" d="{"".join(steps)}"/>'
