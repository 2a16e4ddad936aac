"""Sheets of floor plans: the plan with its devices, or with its zones hatched, and a legend beside it. No colour.

What is drawn of a zone is the hull of its positions: where a fire compartment ends, the register does not know.
"""

from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

from zones.engineering.drawings.lettering import FACE, SIZE_MM, WORDS_FACE, plain, shorten_words
from zones.engineering.kind_facts import Shape
from zones.engineering.plan_geometry import Point, hatch, rounded_hull

LEGEND_MM = 84.0
GAP_MM = 6.0
LETTERS_MM = 2.8
ROW_MM, LEAST_ROW_MM = 9.0, 4.6
HULL_MM = 9.0  # between a position and the outline of its zone
# Neighbours in the legend differ in their angle, those of one angle in their spacing, then by dashes.
ANGLES_DEG = (45, 135, 0, 90, 22.5, 112.5, 67.5, 157.5)
SPACINGS_MM = (2.2, 5.0)
DASHES = ("", "2 1", "0.4 1")


@dataclass(frozen=True, slots=True)
class PlanMark:
    """A position on the plan; x and y in parts of its width and height, `zone` the key of its zone or None."""

    x: float
    y: float
    tag: str
    kind: str
    letters: str
    shape: Shape
    zone: str | None = None
    is_to_confirm: bool = False


@dataclass(frozen=True, slots=True)
class PlanSheet:
    """A sheet to be drawn: the size of paper in mm, of the plan in any unit, where its picture is found."""

    width_mm: float
    height_mm: float
    plan_width: float
    plan_height: float
    picture: str
    marks: tuple[PlanMark, ...]

    @property
    def scale(self) -> float:
        return min((self.width_mm - LEGEND_MM - GAP_MM) / self.plan_width, self.height_mm / self.plan_height)

    def at(self, mark: PlanMark) -> Point:
        """Where a mark lies on the sheet, in mm: the plan is fitted into its box, its upper left corner in that of the
        sheet."""
        return mark.x * self.plan_width * self.scale, mark.y * self.plan_height * self.scale


def device_plan_svg(sheet: PlanSheet, kinds: list[tuple[str, str, Shape, str]]) -> str:
    """Devices with their tags; `kinds` are the rows of the legend: (kind, letters, shape, words)."""
    legend = [(lambda x, y, row=row: _symbol(x + 5, y, row[2], row[1]), row[3]) for row in kinds]
    return _svg(sheet, [*(_mark(mark, sheet.at(mark)) for mark in sheet.marks)], legend)


def zone_plan_svg(sheet: PlanSheet, zones: list[tuple[str, str, str]]) -> str:
    """Zones hatched, each in its own way; `zones` are the rows of the legend: (key, number, words)."""
    drawn, labels, legend = [], [], []
    for number, (key, name, words) in enumerate(zones):
        points = [sheet.at(mark) for mark in sheet.marks if mark.zone == key]
        if points:
            outline = rounded_hull(points, HULL_MM)
            drawn.append(_hatched(outline, number))
            labels.append(_zone_label(outline, name))
        legend.append((lambda x, y, number=number: _swatch(x, y, number), words))
    dots = [_dot(sheet.at(mark)) for mark in sheet.marks]
    return _svg(sheet, [*drawn, *dots, *labels], legend)


def _svg(sheet, parts, legend):
    width, height = sheet.plan_width * sheet.scale, sheet.plan_height * sheet.scale
    picture = (
        f'<image href={quoteattr(sheet.picture)} x="0" y="0" width="{width:.2f}" height="{height:.2f}" '
        'preserveAspectRatio="none"/>'
    )
    inside = f'width="{width - 0.4:.2f}" height="{height - 0.4:.2f}"'  # of the sheet, or its edge would be cut
    frame = f'<rect x="0.2" y="0.2" {inside} fill="none" stroke="#000" stroke-width="0.25"/>'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{sheet.width_mm}mm" height="{sheet.height_mm}mm" '
        f'viewBox="0 0 {sheet.width_mm} {sheet.height_mm}">'
        f"{picture}{frame}{''.join(parts)}{_legend(sheet, legend)}</svg>"
    )


def _legend(sheet, rows):
    left = sheet.width_mm - LEGEND_MM
    step = max(LEAST_ROW_MM, min(ROW_MM, sheet.height_mm / max(1, len(rows))))
    room = int(sheet.height_mm // step)
    drawn = []
    for number, (symbol, words) in enumerate(rows[:room]):
        y = (number + 0.5) * step
        if number == room - 1 and len(rows) > room:
            words = f"and {len(rows) - number} more"
        else:
            drawn.append(symbol(left, y))
        drawn.append(_text(left + 15, y + 1.3, shorten_words(words, LEGEND_MM - 16), face=WORDS_FACE, anchor="start"))
    return "".join(drawn)


def _mark(mark, at):
    x, y = at
    parts = [_symbol(x, y, mark.shape, mark.letters), _text(x, y + 7.0, plain(mark.tag), weight=600)]
    if mark.is_to_confirm:
        parts.append(
            f'<path d="M{x + 3.4:.2f} {y - 2.6:.2f}h3.6l-1.8 -3.2z" fill="#000" stroke="#fff" stroke-width="0.4"/>'
        )
    return "".join(parts)


def _symbol(x, y, shape, letters):
    outline = 'fill="#fff" stroke="#000" stroke-width="0.5"'
    if shape is Shape.CIRCLE:
        drawn = f'<circle cx="{x:.2f}" cy="{y:.2f}" r="3.6" {outline}/>'
    else:
        more = {Shape.DASHED: ' stroke-dasharray="1 0.7"', Shape.BATTERY: ' stroke-width="1"'}.get(shape, "")
        outline = outline.replace(' stroke-width="0.5"', "") if shape is Shape.BATTERY else outline
        drawn = f'<rect x="{x - 4:.2f}" y="{y - 2.6:.2f}" width="8" height="5.2" {outline}{more}/>'
    return drawn + _text(x, y + 1.0, letters, size=LETTERS_MM, halo=False)


def _dot(at):
    return f'<circle cx="{at[0]:.2f}" cy="{at[1]:.2f}" r="0.9" fill="#000" stroke="#fff" stroke-width="0.3"/>'


def _look(number):
    """Angle, spacing and dashes of the hatch of a zone, by its place in the legend."""
    turn, kind = number % len(ANGLES_DEG), number // len(ANGLES_DEG)
    return ANGLES_DEG[turn], SPACINGS_MM[kind % len(SPACINGS_MM)], DASHES[kind // len(SPACINGS_MM) % len(DASHES)]


def _hatched(outline, number):
    angle_deg, spacing, dashes = _look(number)
    lines = "".join(
        f"M{x:.2f} {y:.2f}L{to_x:.2f} {to_y:.2f}"
        for (x, y), (to_x, to_y) in hatch(outline, angle_deg=angle_deg, spacing=spacing)
    )
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    corners = "L".join(f"{x:.2f} {y:.2f}" for x, y in outline)
    return (
        f'<path d="{lines}" fill="none" stroke="#000" stroke-width="0.18"{dashed}/>'
        f'<path d="M{corners}Z" fill="none" stroke="#000" stroke-width="0.6"/>'
    )


def _swatch(x, y, number):
    """Round its own middle, so that two spacings always differ in how many lines there are."""
    drawn = _hatched([(-5.5, -3), (5.5, -3), (5.5, 3), (-5.5, 3)], number)
    return f'<g transform="translate({x + 5.5:.2f} {y:.2f})">{drawn}</g>'


def _zone_label(outline, name):
    """In the middle of the hull, on white."""
    x = (min(x for x, _ in outline) + max(x for x, _ in outline)) / 2
    y = (min(y for _, y in outline) + max(y for _, y in outline)) / 2
    edge = 'width="12" height="7.2" fill="#fff" stroke="#000" stroke-width="0.4"'
    box = f'<rect x="{x - 6:.2f}" y="{y - 3.6:.2f}" {edge}/>'
    return box + _text(x, y + 1.7, plain(name), size=5.0, weight=600, halo=False)


def _text(x, y, words, *, size=SIZE_MM, face=FACE, anchor="middle", weight=400, halo=True):
    """Letters on the plan have a white edge, so that a line under them does not cross them out."""
    look = (
        f'x="{x:.2f}" y="{y:.2f}" font-size="{size}" font-family="{face}" font-weight="{weight}" text-anchor="{anchor}"'
    )
    words = escape(words)
    edge = (
        f'<text {look} fill="#fff" stroke="#fff" stroke-width="0.9" stroke-linejoin="round">{words}</text>'
        if halo
        else ""
    )
    return f"{edge}<text {look}>{words}</text>"
