"""Heads of boxes: tag, kind, zone and place of a device; circuit or line of a part of the panel."""

from dataclasses import dataclass

from zones.engineering.device_kinds import KINDS
from zones.engineering.drawings.lettering import TAG_SIZE_MM, plain, shorten, width_mm, words_width_mm, wrapped
from zones.engineering.drawings.placing import Cell
from zones.engineering.drawings.shapes import TextLine
from zones.engineering.kind_facts import Shape, Symbol

LINE_MM = 4.9
PAD_MM = 2.4
GLYPH_MM = 8.0
LONGEST = 16  # characters of a line over the whole width
BESIDE = 12  # characters of a line beside the symbol

# A cable whose end nobody recorded is drawn as a device would be.
_SYMBOLS = {value: facts.symbol for value, facts in KINDS.items()} | {"loose_cable": Symbol(Shape.DASHED, "W")}
WORDS = {"loose_cable": "no end recorded"}


def symbol_of(kind: str) -> Symbol:
    """The symbol of a kind of device; a condition such as mains lost, which is of no kind, is a plain rectangle."""
    return _SYMBOLS.get(kind, Symbol(Shape.RECTANGLE))


@dataclass(frozen=True, slots=True)
class Head:
    """Lines of a head: beside the symbol, and below it over the whole width."""

    glyph: str
    letter: str
    tag: str
    beside: tuple[str, ...]
    below: tuple[str, ...]
    bold_below: int = 0

    @property
    def height(self) -> float:
        beside = (TAG_SIZE_MM + 0.9 if self.tag else 0.0) + LINE_MM * len(self.beside)
        return PAD_MM + max(beside, GLYPH_MM if self.glyph else 0.0) + LINE_MM * len(self.below) + 1.0

    @property
    def width(self) -> float:
        aside = GLYPH_MM + 2.0 if self.glyph else 0.0
        widths = [aside + width_mm(self.tag, TAG_SIZE_MM), *(aside + words_width_mm(text) for text in self.beside)]
        return 2 * PAD_MM + max([*widths, *(words_width_mm(text) for text in self.below)])

    def labels(self, x: float, y: float, owner: str) -> list[TextLine]:
        """The lines in a box whose upper left corner is (x, y)."""
        left = x + PAD_MM + (GLYPH_MM + 2.0 if self.glyph else 0.0)
        base = y + PAD_MM
        found = []
        if self.tag:
            base += TAG_SIZE_MM * 0.78
            found.append(TextLine(left, base, self.tag, size=TAG_SIZE_MM, role="tag", owner=owner, is_bold=True))
            base += 0.9
        for text in self.beside:
            base += LINE_MM
            found.append(TextLine(left, base - 0.9, text, role="kind", owner=owner))
        base = y + self.height - 1.0 - LINE_MM * len(self.below)
        for number, text in enumerate(self.below):
            base += LINE_MM
            is_bold = number < self.bold_below
            found.append(TextLine(x + PAD_MM, base - 0.9, text, role="place", owner=owner, is_bold=is_bold))
        return found


def head_of_device(cell: Cell) -> Head:
    device = cell.device
    glyph, letter = symbol_of(device.kind)
    kind = WORDS.get(device.kind, device.kind.replace("_", " "))
    zone = "" if device.zone is None else f"zone {device.zone}"
    if device.group:
        zone = f"{zone} group {shorten(device.group, 6)}".strip()
    below = [zone] if zone else []
    if plain(device.place):
        below += wrapped(device.place, LONGEST, 4)
    return Head(glyph, letter, shorten(device.tag, BESIDE - 2), tuple(wrapped(kind, BESIDE, 2)), tuple(below))


def head_of_panel(cell: Cell, heading: tuple[str, ...], is_first: bool) -> Head:
    lines = [line for text in heading for line in wrapped(text, LONGEST + 3, 2)]
    glyph, letter, tag, beside = "", "", "", ()
    if is_first:
        glyph, letter = symbol_of("control_panel")
        tag, beside = shorten(cell.device.tag, BESIDE), ("control panel",)
    return Head(glyph, letter, tag, beside, tuple(lines), bold_below=1)


def terminal_words(cell: Cell, terminal) -> str:
    """What stands at a terminal in its box: designation and pole, at the panel its function as well, at a device the
    line or input that starts there."""
    words = shorten(terminal.designation, 10)
    pole = {"+": "+", "-": "−"}.get(terminal.polarity.value, "")
    if cell.column == 0:
        function = shorten(terminal.function, 20)
        if pole:
            function = function.rstrip(" +-−")  # the pole stands beside the circle, once
        return " ".join(part for part in (function, words, pole) if part)
    starts = "" if terminal.line is None else f"line {terminal.line}"
    if not starts and terminal.input is not None:  # two inputs share a common: which terminal is which must stand
        starts = f"in {terminal.input} {shorten(terminal.function, 8)}".rstrip()
    return " ".join(part for part in (starts, words, pole) if part)


def heading_words(heading: tuple[str, ...], is_continued: bool) -> list[str]:
    """What stands at the left of a row in which the panel has no part."""
    return [*wrapped(heading[0], LONGEST, 1), "continued" if is_continued else "branch"]
