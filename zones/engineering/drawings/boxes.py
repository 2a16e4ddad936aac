"""The inside of a box: labels of its terminals, and the links between them on tracks of their own."""

from dataclasses import dataclass, field

from zones.engineering.drawings.heads import Head, terminal_words
from zones.engineering.drawings.lettering import DROP, RISE, SIZE_MM, width_mm
from zones.engineering.drawings.placing import Cell, Entry
from zones.engineering.drawings.routing import PITCH_MM, first_fit
from zones.engineering.drawings.shapes import Box, Mark, Pin, Rect, Sheet, TextLine, Wire
from zones.engineering.kind_facts import Shape

LINE_PITCH_MM = 6.0  # between terminals
PIN_MM = 1.1  # radius of a terminal's circle
LABEL_GAP_MM = 2.2  # from the edge of a box to the text at its terminal
STUB_MM = 1.2  # from that text to what is joined to the terminal inside
EARTH_MM = 5.0
CENTRE = (RISE - DROP) / 2 * SIZE_MM  # from the middle of a text's height down to its base line


@dataclass(slots=True)
class Inside:
    """The measures of a box before its place is known. x are counted from the left edge of the middle part."""

    cell: Cell
    head: Head
    joins: list
    left_mm: float = 0.0  # from the left edge to the end of the longest text there
    right_mm: float = 0.0
    tracks: list[tuple[object, float]] = field(default_factory=list)  # (join, x)
    middle_mm: float = 0.0

    @property
    def width(self) -> float:
        return max(self.left_mm + self.middle_mm + self.right_mm, self.head.width)


def stands_left(entry: Entry) -> bool:
    """Whether the label of an entry stands at the left edge."""
    return bool(entry.left) or (entry.is_left and not entry.right)


def measure(cell: Cell, head: Head, joins: list) -> Inside:
    """Widths of the texts at both edges and the tracks between them."""
    inside = Inside(cell, head, joins)
    for entry in cell.entries:
        width = _text_mm(cell, entry)
        if stands_left(entry):
            inside.left_mm = max(inside.left_mm, width)
        else:
            inside.right_mm = max(inside.right_mm, width)
    entries = {entry.terminal.key: entry for entry in cell.entries if entry.terminal}
    bent = [join for join in joins if entries[join.first].height != entries[join.second].height]
    bent.sort(key=lambda join: (min(_heights(entries, join)), join.key))
    tracks, count = first_fit([(min(_heights(entries, j)), max(_heights(entries, j))) for j in bent], 0.5)
    inside.tracks = [(join, PITCH_MM * (track + 1)) for join, track in zip(bent, tracks, strict=True)]
    inside.middle_mm = max(PITCH_MM * (count + 1), 4.0)
    return inside


def _text_mm(cell, entry):
    if entry.terminal is None:
        return 0.0
    earth = EARTH_MM if entry.terminal.kind == "earth" else 0.0
    return LABEL_GAP_MM + width_mm(terminal_words(cell, entry.terminal)) + earth


def _heights(entries, join):
    return entries[join.first].height, entries[join.second].height


def draw_box(sheet: Sheet, inside: Inside, rect: Rect, first_line_mm: float) -> None:
    """Add a box with its head, terminals and joins; `first_line_mm` is the y of the first terminal."""
    cell, owner = inside.cell, inside.cell.device.key
    dashed = inside.head.glyph == Shape.DASHED
    title = f"{cell.device.tag}, {cell.device.kind.replace('_', ' ')}"
    if cell.device.place:
        title += f", {cell.device.place}"
    linked = cell.device.kind != "loose_cable"
    sheet.boxes.append(Box(owner, title, rect, inside.head.glyph, inside.head.letter, dashed, linked))
    sheet.labels += inside.head.labels(rect.x, rect.y, owner)
    inner: dict[str, tuple[float, float]] = {}  # terminal → where the stub of its joins begins
    for entry in cell.entries:
        _draw_entry(sheet, cell, entry, rect, first_line_mm, inner)
    _draw_joins(sheet, inside, rect, inner, owner)


def _draw_entry(sheet, cell, entry, rect, first_line_mm, inner):
    if entry.terminal is None:
        return
    at_left, y, owner = stands_left(entry), first_line_mm + entry.height * LINE_PITCH_MM, cell.device.key
    for side, x in (("left", rect.x), ("right", rect.right)):
        ports = len(getattr(entry, side))
        if ports or at_left is (side == "left"):
            others = tuple((x, y + LINE_PITCH_MM * number) for number in range(1, ports))
            sheet.pins.append(Pin(entry.terminal.key, owner, (x, y), others))
    words = terminal_words(cell, entry.terminal)
    x = rect.x + LABEL_GAP_MM if at_left else rect.right - LABEL_GAP_MM
    sheet.labels.append(TextLine(x, y + CENTRE, words, "start" if at_left else "end", role="terminal", owner=owner))
    reach = x + width_mm(words) if at_left else x - width_mm(words)
    way = 1 if at_left else -1
    if entry.terminal.kind == "earth":
        sheet.marks.append(Mark("earth", (reach + way * EARTH_MM / 2, y), title="earth", owner=owner))
        reach += way * EARTH_MM
    inner[entry.terminal.key] = (reach + way * STUB_MM, y)
    if entry.is_through:
        points = ((reach + STUB_MM, y), (rect.right - PIN_MM, y))
        sheet.wires.append(Wire(entry.terminal.key, "internal", points, _net(cell, entry.terminal.key)))


def _net(cell, key):
    return cell.nets.get(key, key)


def _draw_joins(sheet, inside, rect, inner, owner):
    cell = inside.cell
    at = dict((join.key, x) for join, x in inside.tracks)
    start = rect.x + inside.left_mm + (rect.width - inside.left_mm - inside.right_mm - inside.middle_mm) / 2
    used: dict[tuple[str, float], int] = {}
    for join in sorted(
        inside.joins, key=lambda each: each.key in at
    ):  # the straight ones first: others branch off them
        (x1, y1), (x2, y2) = inner[join.first], inner[join.second]
        if join.key not in at:
            points = ((x1, y1), (x2, y2))
            used[join.first, y1] = used[join.second, y2] = 1
        else:
            x = start + at[join.key]
            points = ((x1, y1), (x, y1), (x, y2), (x2, y2))
            for key, y in ((join.first, y1), (join.second, y2)):
                used[key, y] = used.get((key, y), 0) + 1
                if used[key, y] > 1:
                    sheet.marks.append(Mark("dot", (x, y), owner=owner))
        sheet.wires.append(Wire(join.key, join.kind, points, _net(cell, join.first)))
