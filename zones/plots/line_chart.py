"""A line chart: one or more courses of a figure over another, with levels to compare with, named at its right edge."""

from dataclasses import dataclass, field
from datetime import date

from zones.plots.labels import LINE_PITCH, shortened, spread, text_width, thinned
from zones.plots.marks import Dot, Mark, Path, Plot, Text, horizontal, vertical
from zones.plots.scales import Linear, tick_words, ticks

_ABOVE, _BELOW = 36.0, 36.0  # room for the names of places, for the figures and name of the axis
_MOST_LABEL = 96.0
_MOST_DOTS = 160


@dataclass(frozen=True, slots=True)
class Axis:
    """A straight axis from `low` to `high`; `label` is what it counts."""

    label: str
    unit: str
    low: float
    high: float

    def scaled(self, start: float, end: float) -> "_Scaled":
        """The axis on paper, with as many figures as there is room for."""
        values = ticks(self.low, self.high, max(2, int(abs(end - start) / 34)))
        return _Scaled(Linear(self.low, self.high, start, end), tuple(zip(values, tick_words(values), strict=True)))


@dataclass(frozen=True, slots=True)
class YearAxis:
    """Whole years from that of `first` to that of `last`, marked at each New Year; a point's x is a day's ordinal."""

    first: date
    last: date
    label: str = ""
    unit: str = ""

    def scaled(self, start: float, end: float) -> "_Scaled":
        """The axis on paper, from one New Year to another."""
        marked = [(date(year, 1, 1).toordinal(), str(year)) for year in range(self.first.year, self.last.year + 2)]
        return _Scaled(Linear(marked[0][0], marked[-1][0], start, end), tuple(marked))


@dataclass(frozen=True, slots=True)
class AxisPart:
    """One part of a broken axis: a range with its own unit and its share of the paper."""

    unit: str
    low: float
    high: float
    share: float
    label: str = ""


@dataclass(frozen=True, slots=True)
class BrokenAxis:
    """Two ranges of unlike size one after the other: hours of standby, then minutes of operation.

    A point is (part, figure): ``(0, 30.0)`` is 30 in the first part.
    """

    parts: tuple[AxisPart, AxisPart]
    gap: float = 14.0

    def scaled(self, start: float, end: float) -> "_Scaled":
        """The axis on paper; the figures of the second part carry its unit."""
        first, second = self.parts
        middle = start + (end - start - self.gap) * first.share / (first.share + second.share)
        scales = (Linear(first.low, first.high, start, middle), Linear(second.low, second.high, middle + self.gap, end))
        marked = []
        for index, (part, scale) in enumerate(zip(self.parts, scales, strict=True)):
            values = ticks(part.low, part.high, max(2, int(abs(scale.end - scale.start) / 40)))
            marked += [((index, value), word) for value, word in zip(values, tick_words(values), strict=True)]
        return _Scaled(lambda point: scales[point[0]](point[1]), tuple(marked), break_at=middle + self.gap / 2)


@dataclass(frozen=True, slots=True)
class _Scaled:
    place: object  # figure → paper
    ticks: tuple[tuple[object, str], ...]
    break_at: float | None = None


@dataclass(frozen=True, slots=True)
class Series:
    """A course: lines of points (x, y). `look` 1 to 4: bold, thin, bold dashed, thin dashed. `dots`: points marked."""

    name: str
    lines: tuple[tuple[tuple[object, float], ...], ...]
    look: int = 1
    dots: tuple[tuple[object, float], ...] = ()

    @property
    def end(self) -> tuple[object, float]:
        """Where its name belongs: its last point."""
        return self.lines[-1][-1]


@dataclass(frozen=True, slots=True)
class Level:
    """A figure to compare with, drawn across; `is_limit`: it must not be passed."""

    name: str
    value: float
    is_limit: bool = True

    @property
    def look(self) -> str:
        return "level" if self.is_limit else "level mere"


@dataclass(frozen=True, slots=True)
class NamedPlace:
    """A place on the x axis that has a name: an actuator on its cable."""

    name: str
    x: object


@dataclass(frozen=True, slots=True)
class LineChart:
    """All that a line chart needs. The words and the table are for who does not see the drawing."""

    key: str
    title: str
    description: str
    x: Axis | BrokenAxis | YearAxis
    y: Axis
    series: tuple[Series, ...]
    levels: tuple[Level, ...] = ()
    places: tuple[NamedPlace, ...] = ()
    columns: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    notes: tuple[str, ...] = ()
    width: int = 320
    height: int = 220


@dataclass(frozen=True, slots=True)
class _Frame:
    left: float
    right: float
    top: float
    bottom: float
    x: _Scaled = field(repr=False)
    y: _Scaled = field(repr=False)


def line_chart(chart: LineChart) -> Plot:
    """Draw it: frame, grid, levels, courses, names; no name lies over another."""
    frame = _frame(chart)
    marks = [
        *_grid(chart, frame),
        *_places(chart, frame),
        *_levels(chart, frame),
        *_courses(chart, frame),
        *_names(chart, frame),
    ]
    return Plot(
        key=chart.key,
        title=chart.title,
        description=chart.description,
        width=chart.width,
        height=chart.height,
        marks=tuple(marks),
        columns=chart.columns,
        rows=chart.rows,
        notes=chart.notes,
    )


def _frame(chart: LineChart) -> _Frame:
    top, bottom = _ABOVE, chart.height - _BELOW
    y = chart.y.scaled(bottom, top)
    left = 8 + max((text_width(word) for _, word in y.ticks), default=0)
    named = max((text_width(one.name) for one in (*chart.series, *chart.levels)), default=0)
    right = chart.width - 12 - min(named, _MOST_LABEL)
    return _Frame(left, right, top, bottom, chart.x.scaled(left, right), y)


def _grid(chart: LineChart, frame: _Frame):
    for value, word in frame.y.ticks:
        y = frame.y.place(value)
        yield horizontal("grid", frame.left, frame.right, y)
        yield Text("tick", frame.left - 5, y + 3.8, word, "end")
    yield Text("unit", 1, 11, chart.y.unit)
    shown = thinned(
        [frame.x.place(value) for value, _ in frame.x.ticks],
        [text_width(word) for _, word in frame.x.ticks],
        frame.left - 10,
        frame.right + 10,
    )
    kept = dict(shown)
    for k, (value, word) in enumerate(frame.x.ticks):
        x = frame.x.place(value)
        yield vertical("axis", x, frame.bottom, frame.bottom + 4)
        if k in kept:
            yield Text("tick", kept[k], frame.bottom + 15, word, "middle")
    yield from _axis(chart, frame)


def _axis(chart: LineChart, frame: _Frame):
    """The line of the x axis with its words; broken where its parts meet."""
    words_y = chart.height - 4
    if frame.x.break_at is None:
        yield horizontal("axis", frame.left, frame.right, frame.bottom)
        words = f"{chart.x.label} ({chart.x.unit})" if chart.x.unit else chart.x.label
        yield Text("axis-label", frame.left, words_y, words)
        return
    at = frame.x.break_at
    yield horizontal("axis", frame.left, at - 4, frame.bottom)
    yield horizontal("axis", at + 4, frame.right, frame.bottom)
    for x in (at - 4, at + 4):
        yield Path("axis", ((x - 2, frame.bottom + 5), (x + 2, frame.bottom - 5)))
    first, second = chart.x.parts
    second_words = f"{second.label} ({second.unit})"
    room = at - frame.left
    yield Text("axis-label", frame.left, words_y, shortened(f"{first.label} ({first.unit})", room))
    yield Text("axis-label", at + 4, words_y, shortened(second_words, chart.width - at - 4))


def _places(chart: LineChart, frame: _Frame):
    centres = [frame.x.place(place.x) for place in chart.places]
    shown = thinned(centres, [text_width(place.name) for place in chart.places], frame.left - 8, chart.width - 2, gap=5)
    for k, middle in shown:
        yield vertical("place", centres[k], frame.top - 4, frame.bottom)
        yield Text("place-label", middle, frame.top - 9, chart.places[k].name, "middle")


def _levels(chart: LineChart, frame: _Frame):
    for level in chart.levels:
        yield horizontal(level.look, frame.left, frame.right, frame.y.place(level.value))


def _courses(chart: LineChart, frame: _Frame):
    def on_paper(point):
        return frame.x.place(point[0]), frame.y.place(point[1])

    few = sum(len(one.dots) for one in chart.series) <= _MOST_DOTS
    for one in chart.series:
        for line in one.lines:
            yield Path(f"course look-{one.look}", tuple(on_paper(point) for point in line))
        if few:
            for point in one.dots:
                yield Dot(f"dot look-{one.look}", *on_paper(point))


def _names(chart: LineChart, frame: _Frame) -> list[Mark]:
    """Names of courses and levels beside their ends, moved apart, with a hairline to what was moved away from."""
    wanted = [(one.name, frame.y.place(one.end[1]), frame.x.place(one.end[0]), "series-label") for one in chart.series]
    wanted += [
        (one.name, frame.y.place(one.value), frame.right, "level-label" if one.is_limit else "series-label")
        for one in chart.levels
    ]
    # Between the names of the places above and the figures of the axis below.
    top, bottom = frame.top - 1, frame.bottom
    wanted = wanted[: 1 + int((bottom - top) / LINE_PITCH)]
    places = spread([y for _, y, _, _ in wanted], LINE_PITCH, top, bottom)
    marks: list[Mark] = []
    for (name, y, x, kind), placed in zip(wanted, places, strict=True):
        start = frame.right + 8
        marks.append(Path("leader", ((x + 3.5, y), (max(x + 3.5, frame.right + 1), y), (start - 2, placed))))
        marks.append(Text(kind, start, placed + 3.8, shortened(name, chart.width - start)))
    return marks
