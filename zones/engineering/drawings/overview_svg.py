"""The zone overview as SVG text, ready to be marked by a page.

Elements that a page marks: `g.d-input` (`data-inputs`: keys in it), `g.d-vent` (`data-vent`), and the wires
`path.d-signal` (`data-inputs`), `path.d-output` (`data-circuit`), `path.d-feed` (`data-circuit`, `data-group`) and
`path.d-move` (`data-group`, `data-vent`). An input or a vent holds one `g.d-state-…` per state, glyph and word;
the class `is-…` on its own element says which one shows (drawings.css), the attribute `display` does where no style
sheet is read. The prefix d- keeps the site's own classes out.
"""

from zones.engineering.drawings.heads import symbol_of
from zones.engineering.drawings.lettering import ADVANCE, SIZE_MM, shorten, shorten_words
from zones.engineering.drawings.overview_layout import BOX_MM, FEED_MM, HEAD_MM, OverviewSheet
from zones.engineering.drawings.shapes import Rect, TextLine
from zones.engineering.drawings.svg import (
    BOLD,
    INK,
    THIN,
    attribute,
    frame_of,
    label_svg,
    number,
    opening,
    path_of,
    rect_svg,
    stamp_svg,
    text,
)
from zones.engineering.drawings.zone_overview import InputState, VentState, ZoneOverview

INPUT_WORDS = {InputState.AT_REST: "at rest", InputState.PRESSED: "operated", InputState.FAULT: "fault"}
VENT_WORDS = {
    VentState.NOT_KNOWN: "not known",
    VentState.SHUT: "shut",
    VentState.OPEN: "open: smoke",
    VentState.VENTILATING: "open: air",
    VentState.PART_WAY: "part-way",
    VentState.BLOCKED: "blocked",
}
STATE_MM = 37.0  # at the right end of a box
FIRST_LINE_MM, SECOND_LINE_MM = 4.3, 8.6


def overview_svg(
    sheet: OverviewSheet,
    overview: ZoneOverview,
    *,
    title: str,
    description: str,
    href,
    size=None,
    with_states=True,
    stamp="",
) -> str:
    """One sheet as a whole SVG document; arguments as `wiring_svg`, `href` takes the key of an input, vent or panel.

    `with_states` False leaves the cells for states out: a drawing of what is there, not of what happens.
    """
    frame = frame_of(sheet.width, sheet.height, size, stamp)
    parts = [opening(frame, title, description, "zone-overview"), stamp_svg(frame, stamp)]
    parts += _wires(sheet)
    parts.append(_linked(_panel(sheet, overview), href(overview.panel_key)))
    for placed in sheet.bands:
        parts += _heading(sheet, placed, overview.rest_words)
        parts += [_linked(_input(row, rect, with_states), href(row.first.key)) for row, rect in placed.rows]
        parts += [_circuit(circuit, rect, sheet) for circuit, rect in placed.circuits]
        for block in placed.blocks:
            if block.rect:
                parts.append(_group(block))
            parts += [_linked(_vent(vent, rect, with_states), href(vent.key)) for vent, rect in block.vents]
    parts.append("</g></svg>")
    return "\n".join(parts) + "\n"


def _linked(body, href):
    return f"<a href={attribute(href)}>{body}</a>" if href else body


def _words(x, y, value, *, bold=False, role="", anchor="start"):
    return label_svg(TextLine(x, y, value, anchor, role=role, is_bold=bold))


def _two_lines(rect, first, second, left=2.5, *, are_tags=False):
    """Two lines in a box: the name, then what is said of it, in the face of tags where these are tags."""
    room_mm = rect.width - left - 1
    most = int(room_mm / (ADVANCE * SIZE_MM))
    lines = _words(rect.x + left, rect.y + FIRST_LINE_MM, shorten(first, most), bold=True)
    said = shorten(second, most) if are_tags else shorten_words(second, room_mm)
    role = "" if are_tags else "words"
    return lines + (_words(rect.x + left, rect.y + SECOND_LINE_MM, said, role=role) if said else "")


def _heading(sheet, placed, rest_words):
    zone = placed.band.zone
    parts = (f"Zone {zone.number}", zone.name, zone.said.upper()) if zone else (rest_words,)
    words = " · ".join(part for part in parts if part)
    role = "zone-said" if zone and zone.said else "zone"
    y = placed.y
    ends = ((0.0, sheet.panel.x), (sheet.panel.right, sheet.width))
    rules = "".join(f"M{number(a)} {number(y)}H{number(b)}" for a, b in ends)
    found = [f'<path class="d-rule" stroke-width="{THIN}" d="{rules}"/>']
    for x, most, is_used in ((0.0, 50, True), (sheet.x["circuit"], 80, bool(placed.blocks))):
        if is_used:
            found.append(_words(x, y + HEAD_MM - 2.5, shorten(words, most), bold=True, role=role))
    return found


def _panel(sheet, overview):
    tag = shorten(overview.panel_tag, 9)
    x = sheet.panel.x + sheet.panel.width / 2
    return (
        f'<g class="d-panel" data-panel={attribute(overview.panel_key)}><title>Panel {text(overview.panel_tag)}</title>'
        + rect_svg(sheet.panel, f' class="d-frame" pointer-events="all" stroke-width="{BOLD}"')
        + _words(x, 6.0, "panel", anchor="middle", role="words")
        + _words(x, 11.0, tag, bold=True, anchor="middle", role="tag")
        + "</g>"
    )


def _input(row, rect, with_states):
    keys, room = " ".join(each.key for each in row.inputs), STATE_MM if with_states else 0.0
    state = row.state
    kind = row.first.said or row.first.kind.replace("_", " ")
    glyph, letter = symbol_of(row.first.kind)
    tags = ", ".join(each.tag for each in row.inputs)
    parts = [
        f'<g class="d-input is-{state}" id={attribute(f"input-{row.first.key}")} data-inputs={attribute(keys)}>',
        f"<title>{text(f'{kind}: {tags}')}</title>",
        rect_svg(rect, ' class="d-frame" pointer-events="all"'),
        _glyph(glyph, letter, rect),
        _two_lines(Rect(rect.x, rect.y, rect.width - room, rect.height), row.words, kind, left=12.0),
    ]
    if with_states:
        parts += [_cell(rect), *(_state(each, INPUT_WORDS[each], each is state, rect) for each in InputState)]
    return "".join(parts) + "</g>"


def _vent(vent, rect, with_states):
    actuators, room = ", ".join(vent.actuators), STATE_MM if with_states else 0.0
    words = f"vent {vent.tag}, actuators: {actuators or 'none on record'}"
    parts = [
        f'<g class="d-vent is-{vent.state}" id={attribute(f"vent-{vent.key}")} data-vent={attribute(vent.key)}>',
        f"<title>{text(words)}</title>",
        rect_svg(rect, ' class="d-frame" pointer-events="all"'),
        _two_lines(
            Rect(rect.x, rect.y, rect.width - room, rect.height),
            vent.tag,
            actuators or "no actuator",
            are_tags=bool(actuators),
        ),
    ]
    if with_states:
        parts += [_cell(rect), *(_state(each, VENT_WORDS[each], each is vent.state, rect) for each in VentState)]
    return "".join(parts) + "</g>"


def _cell(rect):
    x = number(rect.right - STATE_MM)
    return f'<path class="d-cell" stroke-width="{THIN}" d="M{x} {number(rect.y)}v{BOX_MM:g}"/>'


def _state(state, word, is_shown, rect):
    x, y = rect.right - STATE_MM + 2.0, rect.y + BOX_MM / 2
    hidden = "" if is_shown else ' display="none"'
    said = _words(x + 8.0, y + 1.1, word, role="words")
    return f'<g class="d-state d-state-{state}"{hidden}>{_STATE_GLYPHS[state](x, y)}{said}</g>'


def _glyph(glyph, letter, rect):
    x, y, half = rect.x + 6.0, rect.y + BOX_MM / 2, 3.5
    if glyph == "circle":
        shape = f'<circle cx="{number(x)}" cy="{number(y)}" r="{half}"/>'
    else:
        shape = rect_svg(Rect(x - half, y - half, 2 * half, 2 * half))
    return shape + _words(x, y + 1.3, letter, anchor="middle")


def _circuit(circuit, rect, sheet):
    others = sheet.elsewhere.get(circuit.number, ())
    second = ", ".join(part for part in (circuit.name, circuit.drive) if part)
    if others:
        second = "also → " + ", ".join(others)
    return (
        f'<g class="d-circuit" id="circuit-{circuit.number}" data-circuit="{circuit.number}">'
        f"<title>{text(f'Circuit {circuit.number} {circuit.name}')}</title>"
        + rect_svg(rect, ' class="d-frame" pointer-events="all"')
        + _two_lines(rect, f"Circuit {circuit.number}", second)
        + "</g>"
    )


def _group(block):
    group = block.block.group
    if group is None:
        return (
            '<g class="d-group">'
            + rect_svg(block.rect, ' class="d-frame" pointer-events="all" stroke-dasharray="3 1.4"')
            + _two_lines(block.rect, "no group", "")
            + "</g>"
        )
    key = attribute(group.key)
    return (
        f'<g class="d-group" id={attribute("group-" + group.key.replace(".", "-"))} data-group={key}>'
        + rect_svg(block.rect, ' class="d-frame" pointer-events="all"')
        + _two_lines(block.rect, f"Group {group.key}", group.name)
        + "</g>"
    )


def _wires(sheet):
    parts = ['<g class="d-wires">']
    for placed in sheet.bands:
        for row, rect in placed.rows:
            keys = attribute(" ".join(each.key for each in row.inputs))
            y = rect.y + BOX_MM / 2
            line = path_of(((rect.right, y), (sheet.panel.x, y)))
            parts.append(f'<path class="d-signal" data-inputs={keys} d="{line}"/>{_arrow(sheet.panel.x, y)}')
            said = shorten_words(row.first.wire_words, sheet.panel.x - rect.right - 2.0)
            parts.append(_words(rect.right + 2.0, y - 1.5, said, role="words"))
        for circuit, rect in placed.circuits:
            y = rect.y + BOX_MM / 2
            line = path_of(((sheet.panel.right, y), (rect.x, y)))
            parts.append(f'<path class="d-output" data-circuit="{circuit.number}" d="{line}"/>{_arrow(rect.x, y)}')
        for block in placed.blocks:
            parts += _moves(block)
    for feed in sheet.feeds:
        group = f" data-group={attribute(feed.group)}" if feed.group else ""
        parts.append(f'<path class="d-feed" data-circuit="{feed.circuit}"{group} d="{path_of(feed.points)}"/>')
        x, y = feed.points[-1]
        parts.append(_arrow(x, y))
        if feed.has_dot and len(feed.points) > 2:
            dot_x, dot_y = feed.points[1]
            parts.append(f'<circle cx="{number(dot_x)}" cy="{number(dot_y)}" r="0.6" fill="{INK}" stroke="none"/>')
    parts.append("</g>")
    return parts


def _moves(block):
    """From a group to its vents: a trunk with one branch each."""
    if not block.vents or not block.rect:
        return []
    y = block.vents[0][1].y + BOX_MM / 2
    trunk = block.rect.right + FEED_MM / 2
    data = f" data-group={attribute(block.block.group.key)}" if block.block.group else ""
    found = []
    for vent, rect in block.vents:
        end = rect.y + BOX_MM / 2
        line = path_of(((block.rect.right, y), (trunk, y), (trunk, end), (rect.x, end)))
        found.append(f'<path class="d-move"{data} data-vent={attribute(vent.key)} d="{line}"/>')
    return found


def _arrow(x, y):
    points = f"{number(x)},{number(y)} {number(x - 2)},{number(y - 1)} {number(x - 2)},{number(y + 1)}"
    return f'<polygon points="{points}" fill="{INK}" stroke="none"/>'


def _round(fill):
    def draw(x, y):
        return f'<circle cx="{number(x + 3)}" cy="{number(y)}" r="2" fill="{fill}"/>'

    return draw


def _leaf(extra):
    """A frame seen from the side, 7 mm wide, with its leaf between the two jambs."""

    def draw(x, y):
        line = f"M{number(x - 0.5)} {number(y + 2)}h1.5m4 0h1.5" + extra(x + 1.0, y + 2.0)
        return f'<path stroke-width="{BOLD}" d="{line}"/>'

    return draw


def _fault(x, y):
    """A triangle, the point up."""
    return f'<path stroke-width="{BOLD}" d="M{number(x + 0.6)} {number(y + 2)}h4.8l-2.4 -4.4z"/>'


def _unknown(x, y):
    return _words(x + 3.0, y + 1.3, "?", anchor="middle", bold=True)


_STATE_GLYPHS = {
    InputState.AT_REST: _round("none"),
    InputState.PRESSED: _round(INK),
    InputState.FAULT: _fault,
    VentState.NOT_KNOWN: _unknown,
    VentState.SHUT: _leaf(lambda x, y: f"M{number(x)} {number(y)}h4m-4 -0.9v1.8m4 0v-1.8"),
    VentState.OPEN: _leaf(lambda x, y: f"M{number(x)} {number(y)}l3.6 -5.2m-3.6 4.3v1.8m4 0v-1.8"),
    VentState.VENTILATING: _leaf(
        lambda x, y: (
            f"M{number(x)} {number(y)}l4.2 -2.4m-4.2 1.5v1.8m4 0v-1.8M{number(x - 0.5)} {number(y - 4)}h3m-3 -1.3h3"
        )
    ),
    VentState.PART_WAY: _leaf(lambda x, y: f"M{number(x)} {number(y)}l4.2 -2.4m-4.2 1.5v1.8m4 0v-1.8"),
    VentState.BLOCKED: _leaf(
        lambda x, y: (
            f"M{number(x)} {number(y)}h4m-4 -0.9v1.8m4 0v-1.8M{number(x + 0.4)} {number(y - 5)}l3.2 3.2m0 -3.2l-3.2 3.2"
        )
    ),
}
