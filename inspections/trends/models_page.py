"""The slopes of all units of a product model, or of one of its batches: which check moves, on which unit, how fast.

Each unit counts with what was read while it was fitted; a battery set of the model with what was read of it.
"""

from collections import defaultdict
from dataclasses import dataclass
from statistics import median

from django.utils import timezone

from inspections.models import TestPoint
from inspections.trends.records import belongs_to_battery, belongs_to_line, check_trend, readings
from zones.engineering.trend_words import signed
from zones.engineering.trends import Course
from zones.models import BatterySet, DeviceKind, Fitting

ROWS_SHOWN = 50


@dataclass(frozen=True, slots=True)
class Carrier:
    """A unit, or a battery set, at a position from a day to a day; `mark` is its serial or date code."""

    position: object
    mark: str
    batch: str
    url: str
    since: object
    until: object


@dataclass(frozen=True, slots=True)
class UnitTrend:
    """A run of readings and whose it is."""

    carrier: Carrier
    trend: object


@dataclass(frozen=True, slots=True)
class CheckOfModel:
    """One check over all units: rows, the worst first."""

    title: str
    unit: str
    rows: list[UnitTrend]

    @property
    def told(self):
        """The rows of which something can be said: enough is read, or the last reading lies outside."""
        return [one for one in self.rows if one.trend.trend.course != Course.UNKNOWN]

    @property
    def shown(self):
        return self.told[:ROWS_SHOWN]

    @property
    def known(self):
        """Slopes a year of the units of which enough is read."""
        return [one.trend.trend.slope.per_year[0] for one in self.rows if one.trend.trend.slope]

    @property
    def moving(self):
        """How many of them move beyond what scatter explains."""
        return sum(one.trend.trend.slope is not None and one.trend.trend.slope.is_sure for one in self.rows)

    @property
    def median_words(self):
        """The median slope of the units, with its sign."""
        if not self.known:
            return ""
        return signed(median(self.known), self.unit)


def trends_of_model(user, product_model, batch):
    """[`CheckOfModel`], the check with the worst unit first; two queries, whatever the number of units."""
    is_battery = product_model.kind == DeviceKind.BATTERY
    carriers, places = (_sets if is_battery else _fittings)(user, product_model, batch)
    at, runs = defaultdict(list), defaultdict(list)
    for one in carriers:
        at[one.position.pk].append(one)
    # A query within the query: a common model hangs at more positions than a database takes as a list.
    for point in readings(TestPoint.objects.visible_to(user).filter(position__in=places)):
        carrier = _carrier_of(point, at[point.position_id])
        if carrier and not belongs_to_line(point) and belongs_to_battery(point) == is_battery:
            runs[id(carrier), point.code, point.unit].append((carrier, point))
    checks = defaultdict(list)
    for (_, code, unit), run in runs.items():
        carrier, points = run[-1][0], [point for _, point in run]
        months = carrier.position.building.inspection_interval_months
        checks[code, unit].append(UnitTrend(carrier, check_trend(carrier.position, points, None, months)))
    found = [
        CheckOfModel(_title_of(rows), unit, sorted(rows, key=lambda row: row.trend.rank))
        for (_, unit), rows in checks.items()
    ]
    return sorted(found, key=lambda check: (check.rows[0].trend.rank[:2], check.title))


def _title_of(rows):
    """The title of a check without the circuit that it names at the end, where units hang on several."""
    titles = {row.trend.newest.title for row in rows}
    return titles.pop() if len(titles) == 1 else min(titles).rpartition(", ")[0] or min(titles)


def _fittings(user, product_model, batch):
    fittings = Fitting.objects.visible_to(user).filter(unit__product_model=product_model)
    if batch:
        fittings = fittings.filter(unit__batch__iexact=batch)
    carriers = [
        Carrier(
            *(one.position, one.unit.serial, one.unit.batch, one.unit.get_absolute_url()),
            *(one.fitted_on, one.removed_on),
        )
        for one in fittings.select_related("unit", "position__building")
    ]
    return carriers, fittings.order_by().values("position")


def _sets(user, product_model, batch):
    sets = BatterySet.objects.visible_to(user).filter(product_model=product_model)
    if batch:
        sets = sets.of_batch(batch)
    carriers = [
        Carrier(
            *(one.panel.position, one.date_code, one.batch, one.panel.get_absolute_url()),
            *(one.fitted_on, one.removed_on),
        )
        for one in sets.select_related("panel__position__building", "panel__building")
    ]
    return carriers, sets.order_by().values("panel__position")


def _carrier_of(point, carriers):
    """Whose reading it is: of two on the day of a swap, of the one that came."""
    day = timezone.localdate(point.latest_result.seen_at)
    there = [one for one in carriers if one.since <= day and (one.until is None or day <= one.until)]
    return max(there, key=lambda one: one.since, default=None)
