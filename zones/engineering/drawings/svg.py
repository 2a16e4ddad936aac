"""Shapes to SVG text: presentation attributes and classes only (no style, no script), text as text, lengths in mm."""

from collections.abc import Callable
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

from zones.engineering.drawings.lettering import FACE, SIZE_MM, WORDS_FACE, plain, width_mm
from zones.engineering.drawings.shapes import Box, Mark, Pin, Rect, Sheet, TextLine, Wire
from zones.engineering.drawings.symbols import glyph, mark

INK = "#111"
PAPER = "#fff"
THIN, WIRE, BOLD = "0.18", "0.3", "0.5"  # ISO 128: line widths of one group
PIN_MM = 1.1
MARGIN_MM = 4.0
STAMP_MM = 9.0


def wiring_svg(
    sheet: Sheet, *, title: str, description: str, href: Callable[[str], str | None], size=None, stamp=""
) -> str:
    """One sheet as a whole SVG document.

    Args:  title, description: what a reader who does not see it is told; href: key of a device → address of its page,
           None for none; size: (width, height) in mm of the picture, the drawing at its upper left corner in its own
           size, or smaller where it does not fit; None: as large as the drawing; stamp: what stands in a frame above
           a drawing that has no paper round it, such as "Incomplete: …".
    """
    frame = frame_of(sheet.width, sheet.height, size, stamp)
    parts = [opening(frame, title, description, "wiring-diagram"), stamp_svg(frame, stamp)]
    parts.append(f'<g class="d-wires" stroke-width="{WIRE}">')
    parts += [_wire(wire) for wire in sheet.wires]
    parts.append("</g>")
    by_owner = {box.key: [] for box in sheet.boxes}
    frames: dict[str, list[Box]] = {}
    for box in sheet.boxes:
        frames.setdefault(box.key, []).append(box)
    loose = []
    for shape in (*sheet.pins, *sheet.labels, *sheet.marks):
        by_owner.get(shape.owner, loose).append(shape)
    for key, boxes in frames.items():
        parts.append(_device(boxes, by_owner[key], href(key) if boxes[0].is_linked else None))
    parts.append('<g class="d-notes">')
    parts += [_shape(shape) for shape in loose]
    parts.append("</g></g></svg>")
    return "\n".join(parts) + "\n"


@dataclass(frozen=True, slots=True)
class Frame:
    """Size of a picture in mm, and the part of the drawing's own plane that it shows."""

    width: float
    height: float
    view: Rect


def frame_of(width: float, height: float, size: tuple[float, float] | None, stamp: str = "") -> Frame:
    """The frame of a drawing: with a margin round it and room for a stamp, or of a given size."""
    if size is None:
        above = STAMP_MM if stamp else 0.0
        wide = max(width, _stamp_width(stamp)) + 2 * MARGIN_MM
        view = Rect(-MARGIN_MM, -MARGIN_MM - above, wide, height + 2 * MARGIN_MM + above)
        return Frame(view.width, view.height, view)
    times = times_too_large(width, height, size)
    return Frame(*size, Rect(0.0, 0.0, size[0] * times, size[1] * times))


def stamp_svg(frame: Frame, stamp: str) -> str:
    """A stamp in a frame of its own, at the upper left; "" without one."""
    if not stamp:
        return ""
    rect = Rect(frame.view.x + MARGIN_MM, frame.view.y + MARGIN_MM / 2, _stamp_width(stamp), STAMP_MM - MARGIN_MM / 2)
    words = TextLine(rect.x + 2, rect.y + rect.height / 2 + SIZE_MM / 3, stamp, is_bold=True, role="stamp")
    return rect_svg(rect, f' stroke-width="{BOLD}"') + label_svg(words)


def _stamp_width(stamp):
    return width_mm(stamp) + 4 if stamp else 0.0


def times_too_large(width: float, height: float, size: tuple[float, float]) -> float:
    """By how much a drawing is larger than a picture of this size; 1 when it fits."""
    return max(1.0, width / size[0], height / size[1])


def opening(frame: Frame, title: str, description: str, css_class: str) -> str:
    """The root element, title and description, the ground and the group that sets line and letter."""
    view = frame.view
    box = " ".join(number(value) for value in (view.x, view.y, view.width, view.height))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="{css_class}" width="{number(frame.width)}mm" '
        f'height="{number(frame.height)}mm" viewBox="{box}" role="group" aria-label={attribute(title)}>\n'
        f"<title>{text(title)}</title>\n<desc>{text(description)}</desc>\n"
        + rect_svg(view, f' class="d-ground" fill="{PAPER}"')
        + f'\n<g fill="none" stroke="{INK}" stroke-width="{WIRE}" font-family="{FACE}" font-size="{number(SIZE_MM)}">'
    )


def number(value: float) -> str:
    """A length with at most two decimals."""
    return f"{value:.2f}".rstrip("0").rstrip(".") if value else "0"


def text(value: str) -> str:
    return escape(plain(value))


def attribute(value: str) -> str:
    return quoteattr(plain(value))


def label_svg(label: TextLine) -> str:
    """A line of text."""
    anchor = "" if label.anchor == "start" else f' text-anchor="{label.anchor}"'
    size = "" if label.size == SIZE_MM else f' font-size="{number(label.size)}"'
    weight = ' font-weight="600"' if label.is_bold else ""
    role = f' class="d-{label.role}"' if label.role else ""
    face = f' font-family="{WORDS_FACE}"' if label.is_words else ""
    at = f'x="{number(label.x)}" y="{number(label.y)}"'
    return f'<text {at}{anchor}{size}{weight}{face}{role} fill="{INK}" stroke="none">{text(label.text)}</text>'


def rect_svg(rect: Rect, extra: str = "") -> str:
    at = f'x="{number(rect.x)}" y="{number(rect.y)}" width="{number(rect.width)}" height="{number(rect.height)}"'
    return f"<rect {at}{extra}/>"


def path_of(points) -> str:
    """An orthogonal line as a path."""
    (x, y), *rest = points
    steps = [f"M{number(x)} {number(y)}"]
    for to_x, to_y in rest:
        if to_x != x:
            steps.append(f"H{number(to_x)}")
        if to_y != y:
            steps.append(f"V{number(to_y)}")
        x, y = to_x, to_y
    return "".join(steps)


def _wire(wire: Wire) -> str:
    extra = ' stroke-dasharray="1.2 0.8"' if wire.kind == "internal" else ""
    if wire.kind == "link":
        extra = f' stroke-width="{BOLD}"'
    data = f" data-core={attribute(wire.key)}{f' data-part={attribute(wire.part)}' if wire.part else ''}"
    line = f'class="d-{wire.kind}"{data if wire.kind == "core" else ""}{extra} d="{path_of(wire.points)}"'
    return f"<path {line}><title>{text(wire.title)}</title></path>" if wire.title else f"<path {line}/>"


def _device(boxes: list[Box], shapes, href: str | None) -> str:
    first = boxes[0]
    parts = [f'<g class="d-device" data-device={attribute(first.key)}>', f"<title>{text(first.title)}</title>"]
    for box in boxes:
        dash = ' stroke-dasharray="3 1.4"' if box.is_dashed else ""
        width = WIRE if box.is_dashed else BOLD
        # pointer-events: the whole box is the link, though it has no ground of its own.
        parts.append(rect_svg(box.rect, f' class="d-frame" pointer-events="all" stroke-width="{width}"{dash}'))
        parts.append(glyph(box))
    parts += [_shape(shape) for shape in shapes]
    parts.append("</g>")
    body = "\n".join(part for part in parts if part)
    return f"<a href={attribute(href)}>{body}</a>" if href else body


def _shape(shape) -> str:
    if isinstance(shape, TextLine):
        return label_svg(shape)
    return _pin(shape) if isinstance(shape, Pin) else _mark(shape)


def _pin(pin: Pin) -> str:
    circle = f'<circle cx="{number(pin.at[0])}" cy="{number(pin.at[1])}" r="{PIN_MM}" fill="{PAPER}"/>'
    if not pin.others:
        return circle
    bar = f'<path d="{path_of((pin.at, pin.others[-1]))}"/>'
    rest = "".join(f'<circle cx="{number(x)}" cy="{number(y)}" r="{PIN_MM}" fill="{PAPER}"/>' for x, y in pin.others)
    return bar + circle + rest


def _mark(each: Mark) -> str:
    shapes = mark(each)
    return f"<g><title>{text(each.title)}</title>{shapes}</g>" if each.title else shapes
