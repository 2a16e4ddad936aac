"""What a plot is drawn with: paths, bars, dots and texts on a sheet of given size, and the table that says the same."""

from collections.abc import Sequence
from dataclasses import dataclass

_DOT = 2.6


def paper(value: float) -> str:
    """A place on paper, to a tenth: "12.5", "7"."""
    return f"{value:.1f}".removesuffix(".0")


@dataclass(frozen=True, slots=True)
class Path:
    """Straight lines through points; `kind` names its look in the style sheet."""

    kind: str
    points: tuple[tuple[float, float], ...]
    closed: bool = False
    shape = "path"

    @property
    def d(self) -> str:
        """The points as SVG writes them."""
        steps = " ".join(f"{paper(x)} {paper(y)}" for x, y in self.points)
        return f"M{steps}{'Z' if self.closed else ''}"


@dataclass(frozen=True, slots=True)
class Bar:
    """An upright box from its upper left corner."""

    kind: str
    left: float
    top: float
    wide: float
    high: float
    shape = "bar"

    @property
    def box(self) -> tuple[str, str, str, str]:
        """x, y, width, height as SVG writes them."""
        return paper(self.left), paper(self.top), paper(self.wide), paper(self.high)


@dataclass(frozen=True, slots=True)
class Dot:
    """A small round mark."""

    kind: str
    x: float
    y: float
    radius: float = _DOT
    shape = "dot"

    @property
    def place(self) -> tuple[str, str, str]:
        """cx, cy, r as SVG writes them."""
        return paper(self.x), paper(self.y), paper(self.radius)


@dataclass(frozen=True, slots=True)
class Text:
    """A text with its foot at `y`; `anchor`: "start", "middle" or "end" stands at `x`."""

    kind: str
    x: float
    y: float
    text: str
    anchor: str = "start"
    shape = "text"

    @property
    def place(self) -> tuple[str, str]:
        """x, y as SVG writes them."""
        return paper(self.x), paper(self.y)


Mark = Path | Bar | Dot | Text


@dataclass(frozen=True, slots=True)
class Plot:
    """A drawing with words for who cannot see it: title, description and a table of the same figures.

    `key` is unique on a page; `notes` are sentences that belong under the drawing.
    """

    key: str
    title: str
    description: str
    width: int
    height: int
    marks: tuple[Mark, ...]
    columns: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def view_box(self) -> str:
        """The whole sheet, as SVG writes it."""
        return f"0 0 {self.width} {self.height}"


def horizontal(kind: str, left: float, right: float, y: float) -> Path:
    """A level line."""
    return Path(kind, ((left, y), (right, y)))


def vertical(kind: str, x: float, top: float, bottom: float) -> Path:
    """An upright line."""
    return Path(kind, ((x, top), (x, bottom)))


def joined(segments: Sequence[tuple[tuple[float, float], tuple[float, float]]]) -> list[list[tuple[float, float]]]:
    """Lines from point to point as few polylines as follow each other, so that dashes run on."""
    lines: list[list[tuple[float, float]]] = []
    for start, end in segments:
        if lines and lines[-1][-1] == start:
            lines[-1].append(end)
        else:
            lines.append([start, end])
    return lines
