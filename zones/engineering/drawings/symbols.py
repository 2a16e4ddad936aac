"""Graphical symbols in the general shapes of IEC 60617 (from memory): a circle, a rectangle, a line, a letter."""

from zones.engineering.drawings.heads import GLYPH_MM, PAD_MM
from zones.engineering.drawings.shapes import Box, Mark

INK, PAPER = "#111", "#fff"


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def glyph(box: Box) -> str:
    """The symbol in the head of a box, 8 mm square: motor circle, rectangle with a letter, battery, dashed frame."""
    if not box.glyph:
        return ""
    x, y = box.rect.x + PAD_MM, box.rect.y + PAD_MM
    middle_x, middle_y, half = x + GLYPH_MM / 2, y + GLYPH_MM / 2, GLYPH_MM / 2
    if box.glyph == "battery":
        return _battery(middle_x, middle_y)
    if box.glyph == "circle":
        shape = f'<circle class="d-glyph" cx="{_n(middle_x)}" cy="{_n(middle_y)}" r="{_n(half)}"/>'
    else:
        dash = ' stroke-dasharray="1.6 1"' if box.glyph == "dashed" else ""
        at = f'x="{_n(x)}" y="{_n(y)}" width="{_n(GLYPH_MM)}" height="{_n(GLYPH_MM)}"'
        shape = f'<rect class="d-glyph" {at}{dash}/>'
    if not box.letter:
        return shape
    letter = (
        f'<text class="d-letter" x="{_n(middle_x)}" y="{_n(middle_y + 1.55)}" font-size="4.6" text-anchor="middle" '
        f'fill="{INK}" stroke="none">{box.letter}</text>'
    )
    return shape + letter


def _battery(x: float, y: float) -> str:
    """Two cells: the long line is the positive plate."""
    lines = [f"M{_n(x - 4)} {_n(y)}H{_n(x - 2.1)}", f"M{_n(x + 2.1)} {_n(y)}H{_n(x + 4)}"]
    for at, half in ((-2.1, 3.2), (-0.7, 1.6), (0.7, 3.2), (2.1, 1.6)):
        lines.append(f"M{_n(x + at)} {_n(y - half)}V{_n(y + half)}")
    return f'<path class="d-glyph" d="{"".join(lines)}"/>'


def mark(each: Mark) -> str:
    """A sign on or beside a wire."""
    return _MARKS[each.kind](each, *each.at)


def _parked(each, x, y):
    """A core that ends insulated: a bar across its end."""
    return f'<path class="d-parked" stroke-width="0.5" d="M{_n(x)} {_n(y - 1.1)}V{_n(y + 1.1)}"/>'


def _open(each, x, y):
    """A core whose end is not recorded: a cross."""
    return (
        f'<path class="d-open-end" d="M{_n(x - 1.1)} {_n(y - 1.1)}L{_n(x + 1.1)} {_n(y + 1.1)}'
        f'M{_n(x - 1.1)} {_n(y + 1.1)}L{_n(x + 1.1)} {_n(y - 1.1)}"/>'
    )


def _goes_on(each, x, y):
    """A wire that goes on elsewhere: an arrow head."""
    back = x + (1.9 if each.is_left else -1.9)
    points = f"{_n(x)},{_n(y)} {_n(back)},{_n(y - 1.1)} {_n(back)},{_n(y + 1.1)}"
    return f'<polygon class="d-goes-on" points="{points}" fill="{INK}" stroke="none"/>'


def _dot(each, x, y):
    return f'<circle class="d-joint" cx="{_n(x)}" cy="{_n(y)}" r="0.6" fill="{INK}" stroke="none"/>'


def _earth(each, x, y):
    """Earth: a line and three shorter and shorter ones across it."""
    lines = f"M{_n(x)} {_n(y - 1.9)}V{_n(y - 0.3)}M{_n(x - 1.9)} {_n(y - 0.3)}H{_n(x + 1.9)}"
    lines += f"M{_n(x - 1.2)} {_n(y + 0.6)}H{_n(x + 1.2)}M{_n(x - 0.5)} {_n(y + 1.5)}H{_n(x + 0.5)}"
    return f'<path class="d-earth" d="{lines}"/>'


def _resistor(each, x, y):
    at = f'x="{_n(x - each.half)}" y="{_n(y - 1)}" width="{_n(2 * each.half)}" height="2"'
    return f'<rect class="d-resistor" {at} fill="{PAPER}"/>'


_MARKS = {
    "parked": _parked,
    "open": _open,
    "to": _goes_on,
    "dot": _dot,
    "earth": _earth,
    "resistor": _resistor,
}
