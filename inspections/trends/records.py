"""Readings of every visit as runs: one check at one position, with what was computed, and where it is going.

What another unit read at the position says nothing of this one; a battery's readings begin with its blocks, those of
what was mended with the result that closed its defect. The resistance of a line belongs to the line, whatever unit
stands at its end.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from dateutil.relativedelta import relativedelta
from django.db.models import Q
from django.utils import timezone

from inspections.models import Defect, TestPoint
from inspections.models.protocols import limits_in_words
from zones.design_check.reading_rules import OHM_PER_UNIT, kind_of_reading
from zones.engineering.trend_words import change_a_year, interval_in_words, interval_of_slope, month, trend_in_words
from zones.engineering.trends import Course, DatedValue, Trend, trend_of
from zones.models import BatterySet, Fitting, Position
from zones.plots.trend import PlottedReading, deviation_in_words, trend_plot

INSPECTIONS_AHEAD = 2
BATTERY_KINDS = ("rest", "loaded", "age")
BATTERY_CODES = ("battery-capacity",)
_HEAVY = ("instruction", "expected", "caution", "limit_source", "reading_rule")
_RANK = list(Course)
NOT_KEPT = "not kept then"


@dataclass(frozen=True, slots=True)
class Taken:
    """One reading with the point at which it was taken; `former`: why it counts no more, in words, or empty."""

    point: TestPoint
    day: date
    former: str = ""

    @property
    def is_former(self):
        return bool(self.former)

    @property
    def reading(self) -> Decimal:
        return self.point.latest_result.reading

    @property
    def computed(self):
        """What the record let expect when it was read; None where that is not known."""
        return self.point.rule.computed_value() if self.point.reading_rule else None

    @property
    def computed_words(self):
        """With its unit; where there is none, whether it could not be computed or was never kept."""
        if self.computed is None:
            return "not known" if self.keeps_computed else NOT_KEPT
        return f"{self.computed:g} {self.point.unit}".strip()

    @property
    def keeps_computed(self):
        """Whether its test point was made when the computed value was kept beside the reading."""
        return bool(self.point.reading_rule) and "computed" in self.point.reading_rule

    @property
    def deviation(self):
        """Per cent off what was computed, with its sign."""
        return "" if self.computed is None else deviation_in_words(float(self.reading), self.computed)


@dataclass(frozen=True, slots=True)
class CheckTrend:
    """The readings of one check at one position; limits are those of the newest."""

    position: Position
    taken: tuple[Taken, ...]
    trend: Trend
    months_between: int

    @property
    def newest(self):
        return self.taken[-1].point

    @property
    def limits(self):
        return limits_in_words(self.newest.lower_limit, self.newest.upper_limit, self.newest.unit)

    @property
    def words(self):
        return trend_in_words(self.trend, self.newest.unit)

    @property
    def change_a_year(self):
        """With its sign, to two figures."""
        return change_a_year(self.trend.slope, self.newest.unit)

    @property
    def interval(self):
        """The ends of the interval of the change a year."""
        return interval_of_slope(self.trend.slope, self.newest.unit)

    @property
    def is_outside(self):
        return self.trend.course == Course.OUTSIDE

    @property
    def is_single(self):
        """Whether it was read once only: nothing to draw."""
        return len(self.taken) == 1

    @property
    def reached_about(self):
        """The month in which the limit is reached."""
        return month(self.trend.crossing.expected)

    @property
    def sure_words(self):
        """How sure the date is: "between Jun 2028 and Oct 2031"."""
        return interval_in_words(self.trend.crossing)

    @property
    def sure_years(self):
        """The same in a cell: "2028 to 2031", "2028 or later"."""
        crossing = self.trend.crossing
        if crossing.latest is None:
            return f"{crossing.soonest:%Y} or later"
        soonest, latest = crossing.soonest.year, crossing.latest.year
        return f"in {soonest}" if soonest == latest else f"{soonest} to {latest}"

    @property
    def ends_on(self):
        """The inspection after next, counted from the newest reading."""
        return self.trend.last_on + relativedelta(months=INSPECTIONS_AHEAD * self.months_between)

    @property
    def is_notable(self):
        """Whether it will cross its limit before the inspection after next."""
        return self.trend.crossing is not None and self.trend.crossing.expected < self.ends_on

    @property
    def state(self):
        """(key, word) of its course."""
        match self.trend.course:
            case Course.OUTSIDE:
                return "not_met", "outside its limit"
            case Course.CROSSES:
                key = "due_soon" if self.is_notable else "note"
                return key, f"limit about {self.reached_about}"
            case Course.UNKNOWN:
                return "not_known", "not known yet"
            case Course.STEADY:
                return "note", "no trend"
            case Course.NO_LIMIT:
                return "note", "moves, no limit there"
        return "note", "limit far ahead"

    @property
    def not_kept(self):
        """How many readings have no computed value because none was kept when they were taken, in words, or empty."""
        count = sum(not one.keeps_computed for one in self.taken)
        if not count:
            return ""
        of_them = (
            "No reading" if count == len(self.taken) else f"{len(self.taken) - count} of {len(self.taken)} readings"
        )
        has = "has" if count == len(self.taken) else "have"
        return f"{of_them} {has} a computed value beside it: earlier test points kept none."

    @property
    def rank(self):
        """The worst first: outside, then by the day on which the limit is reached."""
        crossing = self.trend.crossing
        return _RANK.index(self.trend.course), crossing.expected if crossing else date.max, self.position.tag_key

    def plot(self, key):
        """The drawing with its table; `key` is unique on the page."""
        point = self.newest
        return trend_plot(
            [_plotted(one) for one in self.taken],
            self.trend,
            lower=_number(point.lower_limit),
            upper=_number(point.upper_limit),
            unit=point.unit,
            key=key,
            title=f"{point.title} at {self.position.tag}",
            words=self.words,
        )


def readings(points):
    """Those of some test points that have a reading that counts, the oldest first, without their rules."""
    read = points.filter(latest_result__reading__isnull=False).select_related("latest_result")
    return read.defer(*_HEAVY).order_by("latest_result__seen_at", "pk")


def read_rules(trends):
    """Read the rules of what is to be plotted: too much to be read for all that only might be."""
    points = [one.point for trend in trends for one in trend.taken]
    rules = dict(TestPoint.objects.filter(pk__in=[point.pk for point in points]).values_list("pk", "reading_rule"))
    for point in points:
        point.reading_rule = rules[point.pk]


def trends_of_positions(positions, points, months_between, on=None):
    """`CheckTrend` of each check, the worst first; two queries beside `points`, whatever their number.

    Args:     positions: by key, those of the points; points: as `readings` gives them; on: the day whose unit counts as
              present, today without one.
    """
    on, keys = on or timezone.localdate(), list(positions)
    there = Q(fitted_on__lte=on) & (Q(removed_on=None) | Q(removed_on__gt=on))
    units = Fitting.objects.filter(there, position__in=keys)
    batteries = BatterySet.objects.filter(there, panel__position__in=keys)
    units_since = dict(units.values_list("position", "fitted_on"))
    batteries_since = dict(batteries.values_list("panel__position", "fitted_on"))
    repaired = _repairs(keys, on)
    runs = defaultdict(list)
    for point in points:
        runs[point.position_id, point.code, point.unit].append(point)
    found = []
    for (position, code, _), of_check in runs.items():
        since = _since(of_check[-1], units_since.get(position), batteries_since.get(position))
        repaired_at = repaired.get((position, code))
        found.append(check_trend(positions[position], of_check, since, months_between, repaired_at))
    return sorted(found, key=lambda one: one.rank)


def _repairs(positions, on):
    """(position, code of the check) → when its result last closed a defect: what was mended is as new from there."""
    closed = Defect.objects.filter(position__in=positions, closed_by_result__isnull=False)
    rows = closed.values_list("position", "closed_by_result__test_point__code", "closed_by_result__seen_at")
    found = {}
    for position, code, seen_at in rows:
        if timezone.localdate(seen_at) <= on:
            found[position, code] = max(seen_at, found.get((position, code), seen_at))
    return found


def check_trend(position, points, since, months_between, repaired_at=None):
    """The trend of one check's points, the oldest first.

    Args:     since: what was read before is of a former unit or battery; repaired_at: before, of what was mended then.
    """
    taken = [_taken(point, since, repaired_at) for point in points]
    newest = points[-1]
    counted = [DatedValue(one.day, float(one.reading)) for one in taken if not one.is_former]
    trend = trend_of(counted, _number(newest.lower_limit), _number(newest.upper_limit))
    return CheckTrend(position, tuple(taken), trend, months_between)


def belongs_to_line(point):
    return point.unit in OHM_PER_UNIT


def belongs_to_battery(point):
    kind = kind_of_reading(point.code, point.quantity, point.unit)
    return kind in BATTERY_KINDS or point.code in BATTERY_CODES


def _since(point, unit_since, battery_since):
    if belongs_to_line(point):
        return None
    return battery_since if belongs_to_battery(point) else unit_since


def _taken(point, since, repaired_at):
    seen_at = point.latest_result.seen_at
    day = timezone.localdate(seen_at)
    if since is not None and day < since:
        return Taken(point, day, "former battery" if belongs_to_battery(point) else "former unit")
    return Taken(point, day, "before the repair" if repaired_at is not None and seen_at < repaired_at else "")


def _plotted(one):
    return PlottedReading(one.day, float(one.reading), one.computed, one.former)


def _number(limit):
    return None if limit is None else float(limit)
