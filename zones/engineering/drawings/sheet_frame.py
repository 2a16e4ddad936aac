"""The frame of an A3 drawing sheet with its grid of fields, after ISO 5457, and where on the sheet a drawing stands.

From memory of ISO 5457: fields are 50 mm long and counted from the axes of the sheet, letters go down (without I and
O), numbers across, in a border of 5 mm round the frame; lines of the frame and of the centring marks are 0.7 mm wide,
those of the border 0.35 mm; letters are 3.5 mm high. Other than there: sheets are filed by their upper long edge, so
that the 20 mm left for it are at the top; centring marks end before they touch what is drawn.
"""

from itertools import pairwise

from zones.engineering.drawings.lettering import WORDS_FACE
from zones.engineering.drawings.shapes import Rect

WIDTH_MM, HEIGHT_MM = 420.0, 297.0  # ISO 216
FRAME = Rect(10.0, 18.0, 400.0, 269.0)
# What is left of the frame beside the heading and the title block (documents/print.css).
DRAWING = Rect(12.0, 35.0, 396.0, 222.0)
DRAWING_MM = (DRAWING.width, DRAWING.height)
FIELD_MM, BORDER_MM, CENTRING_MM = 50.0, 5.0, 1.5
LETTERS = "ABCDEF"
CAPITAL_MM, CAPITAL_OF_SIZE = 3.5, 0.7
SIZE_MM = CAPITAL_MM / CAPITAL_OF_SIZE


def field_at(x_mm: float, y_mm: float) -> str:
    """The field in which a place of the sheet lies, from its upper left corner: "B4". The outer ones take the edge."""
    across = int((x_mm - WIDTH_MM / 2) // FIELD_MM) + 4
    down = int((y_mm - HEIGHT_MM / 2) // FIELD_MM) + 3
    return f"{LETTERS[min(max(down, 0), 5)]}{min(max(across, 0), 7) + 1}"


def field_of_drawing(x_mm: float, y_mm: float, times_smaller: float = 1.0) -> str:
    """The field in which a place of a drawing lies that is printed on the sheet, smaller by so many times."""
    return field_at(DRAWING.x + x_mm / times_smaller, DRAWING.y + y_mm / times_smaller)


def frame_svg() -> str:
    """The frame with its fields and centring marks, as large as the sheet."""
    border = Rect(FRAME.x - BORDER_MM, FRAME.y - BORDER_MM, FRAME.width + 2 * BORDER_MM, FRAME.height + 2 * BORDER_MM)
    across = _edges(WIDTH_MM, FRAME.x, FRAME.right)
    down = _edges(HEIGHT_MM, FRAME.y, FRAME.bottom)
    ticks = [
        *(f"M{x} {border.y}V{FRAME.y}M{x} {FRAME.bottom}V{border.bottom}" for x in across[1:-1]),
        *(f"M{border.x} {y}H{FRAME.x}M{FRAME.right} {y}H{border.right}" for y in down[1:-1]),
    ]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH_MM}mm" height="{HEIGHT_MM}mm" '
        f'viewBox="0 0 {WIDTH_MM} {HEIGHT_MM}"><g fill="none" stroke="#111" stroke-width="0.35">'
        f'{_rect(border)}<path d="{"".join(ticks)}"/></g>'
        f'<g fill="none" stroke="#111" stroke-width="0.7">{_rect(FRAME)}<path d="{_centring(border)}"/></g>'
        f'<g font-family="{WORDS_FACE}" font-size="{SIZE_MM}" fill="#111" text-anchor="middle">'
        f"{''.join(_names(border, across, down))}</g></svg>"
    )


def _edges(length, first, last):
    """Where the fields of a side begin and end: 50 mm each from the middle, the outer ones to the frame."""
    steps = range(-int(length / 2 // FIELD_MM) - 1, int(length / 2 // FIELD_MM) + 2)
    inner = [at for step in steps if first + FIELD_MM / 4 < (at := length / 2 + step * FIELD_MM) < last - FIELD_MM / 4]
    return [first, *inner, last]


def _centring(border):
    """Marks on both axes of the sheet, from the border to just inside the frame."""
    x, y = WIDTH_MM / 2, HEIGHT_MM / 2
    return (
        f"M{border.x} {y}H{FRAME.x + CENTRING_MM}M{border.right} {y}H{FRAME.right - CENTRING_MM}"
        f"M{x} {border.y}V{FRAME.y + CENTRING_MM}M{x} {border.bottom}V{FRAME.bottom - CENTRING_MM}"
    )


def _names(border, across, down):
    drop = CAPITAL_MM / 2
    for number, (start, end) in enumerate(pairwise(across), start=1):
        for y in (border.y, FRAME.bottom):
            yield f'<text x="{(start + end) / 2}" y="{y + BORDER_MM / 2 + drop}">{number}</text>'
    for letter, (start, end) in zip(LETTERS, pairwise(down), strict=True):
        for x in (border.x, FRAME.right):
            yield f'<text x="{x + BORDER_MM / 2}" y="{(start + end) / 2 + drop}">{letter}</text>'


def _rect(rect):
    return f'<rect x="{rect.x}" y="{rect.y}" width="{rect.width}" height="{rect.height}"/>'
