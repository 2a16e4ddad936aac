"""What a drawing consists of: boxes, wires, marks and labels at places in mm, y downwards."""

from dataclasses import dataclass, field, replace

from zones.engineering.drawings.lettering import DROP, RISE, SIZE_MM, WORDS_ROLES, width_mm, words_width_mm

Point = tuple[float, float]
RunEnd = tuple[str, int]  # a run and which of its ends, 0 or 1


@dataclass(frozen=True, slots=True)
class Rect:
    """An upright rectangle."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        return self.x + self.width

    @property
    def bottom(self) -> float:
        return self.y + self.height

    def holds(self, other: "Rect") -> bool:
        """Whether the other lies wholly inside."""
        return self.x <= other.x and other.right <= self.right and self.y <= other.y and other.bottom <= self.bottom


@dataclass(frozen=True, slots=True)
class TextLine:
    """A line of text; (x, y) is its anchor on the base line. `owner` is the box whose link it belongs to, or "".

    `goes_to` is what a reference names, until the places of all sheets are known: an end of a run on another sheet.
    """

    x: float
    y: float
    text: str
    anchor: str = "start"
    size: float = SIZE_MM
    role: str = ""
    owner: str = ""
    is_bold: bool = False
    goes_to: RunEnd | None = None

    @property
    def is_words(self) -> bool:
        """Whether the line stands in the face of words, not in that of tags and terminals."""
        return self.role in WORDS_ROLES

    @property
    def rect(self) -> Rect:
        width = (words_width_mm if self.is_words else width_mm)(self.text, self.size)
        left = {"start": self.x, "middle": self.x - width / 2, "end": self.x - width}[self.anchor]
        return Rect(left, self.y - RISE * self.size, width, (RISE + DROP) * self.size)


@dataclass(frozen=True, slots=True)
class Box:
    """The frame of a device; `glyph` names the general symbol in its head, "" for none."""

    key: str
    title: str
    rect: Rect
    glyph: str = ""
    letter: str = ""
    is_dashed: bool = False
    is_linked: bool = True


@dataclass(frozen=True, slots=True)
class Pin:
    """The circle of a terminal on the edge of a box; `others` are further connections of the same terminal."""

    terminal: str
    owner: str
    at: Point
    others: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True)
class Wire:
    """An orthogonal line. `kind`: "core", "link" (fitted), "internal" (inside a device) or "element".

    `net` is the same for lines that are joined; `part` tells the two halves of a core that goes on to another sheet.
    """

    key: str
    kind: str
    points: tuple[Point, ...]
    net: str
    title: str = ""
    part: str = ""

    def segments(self) -> list[tuple[Point, Point]]:
        return list(zip(self.points, self.points[1:], strict=False))


@dataclass(frozen=True, slots=True)
class Mark:
    """A small sign. `kind`: "parked", "open", "to", "dot", "earth", "resistor" (`half` its half length), "cable"."""

    kind: str
    at: Point
    is_left: bool = False  # the sign faces left
    half: float = 0.0
    title: str = ""
    owner: str = ""


@dataclass(slots=True)
class Sheet:
    """One sheet, or the whole canvas: everything on it, `width` × `height` in mm."""

    number: int = 1
    count: int = 1
    width: float = 0.0
    height: float = 0.0
    boxes: list[Box] = field(default_factory=list)
    pins: list[Pin] = field(default_factory=list)
    wires: list[Wire] = field(default_factory=list)
    marks: list[Mark] = field(default_factory=list)
    labels: list[TextLine] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
    goes_on: dict[RunEnd, Point] = field(default_factory=dict)  # where a run leaves the sheet, by its end on this one

    def moved(self, by: float) -> "Sheet":
        """The same drawing `by` mm further to the right."""

        def at(point: Point) -> Point:
            return point[0] + by, point[1]

        return replace(
            self,
            boxes=[replace(box, rect=replace(box.rect, x=box.rect.x + by)) for box in self.boxes],
            pins=[replace(pin, at=at(pin.at), others=tuple(map(at, pin.others))) for pin in self.pins],
            wires=[replace(wire, points=tuple(map(at, wire.points))) for wire in self.wires],
            marks=[replace(mark, at=at(mark.at)) for mark in self.marks],
            labels=[replace(label, x=label.x + by) for label in self.labels],
            goes_on={end: at(point) for end, point in self.goes_on.items()},
        )
