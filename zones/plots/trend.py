"""Readings of one check over the years: what was read, where it is going, and the limit in its way."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from zones.engineering.trend_words import signed
from zones.engineering.trends import Trend
from zones.plots.line_chart import Axis, Level, LineChart, Series, YearAxis, line_chart
from zones.plots.marks import Plot
from zones.plots.scales import rounded_out

_ROOM = 0.04  # above and below all that is drawn, as a share of it
_MOST_AHEAD_DAYS = 3 * 366  # of the drawing; the words name the date however far it is


@dataclass(frozen=True, slots=True)
class PlottedReading:
    """One reading; `former`: why it counts no more, in words ("former unit"), or empty."""

    day: date
    value: float
    computed: float | None = None
    former: str = ""

    @property
    def is_former(self) -> bool:
        """Whether the trend leaves it out."""
        return bool(self.former)


def trend_plot(
    readings: Sequence[PlottedReading],
    trend: Trend,
    *,
    lower: float | None,
    upper: float | None,
    unit: str,
    key: str,
    title: str,
    words: str,
) -> Plot:
    """The readings in order, the limits that matter, the slope up to the limit with the ends of its interval.

    Args:     readings: one at least, in the order of their days; key: unique on the page; words: the trend in words.
    """
    levels = _levels(readings, trend, lower, upper)
    courses = [*_read(readings), *_ahead(trend)]
    points = [point for one in courses for line in one.lines for point in line]
    heights = [*(height for _, height in points), *(one.value for one in levels)]
    last = date.fromordinal(max(day for day, _ in points))
    has_computed = any(one.computed is not None for one in readings)
    room = _ROOM * (max(heights) - min(heights))
    return line_chart(
        LineChart(
            key=key,
            title=title,
            description=words,
            x=YearAxis(readings[0].day, last),
            y=Axis("reading", unit, *rounded_out(min(heights) - room, max(heights) + room)),
            series=tuple(courses),
            levels=levels,
            columns=_columns(unit, has_computed),
            rows=tuple(_rows(readings, has_computed)),
        )
    )


def _read(readings):
    earlier = tuple((one.day.toordinal(), one.value) for one in readings if one.is_former)
    present = tuple((one.day.toordinal(), one.value) for one in readings if not one.is_former)
    if earlier:
        why = " or ".join(dict.fromkeys(one.former for one in readings if one.former))
        yield Series(why, (earlier,), 2, earlier)
    if present:
        yield Series("read", (present,), 1, present)


def _ahead(trend: Trend):
    """The slope from the middle of the readings on, and the ends of its interval, each up to the limit."""
    if trend.slope is None or not trend.slope.is_sure:
        return
    end = trend.last_on + timedelta(days=_MOST_AHEAD_DAYS) if trend.crossing else trend.last_on
    slope = trend.slope
    yield Series("trend", (_line(trend, slope.per_day, end),), 3)
    if trend.crossing and slope.low != slope.high:
        yield Series("fast, slow", tuple(_line(trend, one, end) for one in (slope.low, slope.high)), 4)


def _line(trend: Trend, per_day: float, end: date):
    start, height = trend.middle
    ahead_days = (end - start).days
    if trend.crossing:
        ahead_days = min(ahead_days, max(0.0, (trend.crossing.limit - height) / per_day))
    return ((start.toordinal(), height), (start.toordinal() + round(ahead_days), height + per_day * ahead_days))


def _levels(readings, trend: Trend, lower, upper):
    """The limit that is ahead; without one the nearer limit. The other end would only press the readings flat."""
    known = [one for one in (lower, upper) if one is not None]
    computed = [one.computed for one in readings if one.computed is not None and not one.is_former]
    levels = [Level(_minus(f"computed {computed[-1]:g}"), computed[-1], is_limit=False)] if computed else []
    if known:
        limit = trend.crossing.limit if trend.crossing else min(known, key=lambda one: abs(one - readings[-1].value))
        levels.insert(0, Level(_minus(f"limit {limit:g}"), limit))
    return tuple(levels)


def _columns(unit: str, has_computed: bool):
    in_unit = f" ({unit})" if unit else ""
    return ("Day", f"Read{in_unit}", *((f"Computed{in_unit}", "Deviation (%)") if has_computed else ()))


def _rows(readings, has_computed: bool):
    decimals = max(len(f"{one.value:.3f}".rstrip("0").partition(".")[2]) for one in readings)
    for one in readings:
        day = f"{one.day:%-d %b %Y}{f', {one.former}' if one.former else ''}"
        cells = (day, _minus(f"{one.value:.{decimals}f}"))
        if not has_computed:
            yield cells
        elif one.computed is None:
            yield (*cells, "", "")
        else:
            yield (*cells, _minus(f"{one.computed:g}"), deviation_in_words(one.value, one.computed))


def _minus(text: str) -> str:
    return text.replace("-", "−")


def deviation_in_words(value: float, computed: float) -> str:
    """By how many per cent a reading lies off what was computed: "+4.2"; empty where nothing was expected."""
    if not computed:
        return ""
    return signed((value - computed) / abs(computed) * 100, "")
