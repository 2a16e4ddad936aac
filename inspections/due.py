"""Dates only: when is the next inspection of a building due, since when is it overdue.

A building is due one interval after its last finished inspection, or after commissioning when it has never been
inspected. Points that a visit left out stay due by themselves: see `positions_not_tested_since`.
"""

from dataclasses import dataclass
from datetime import date

from dateutil.relativedelta import relativedelta
from django.db.models import Exists, OuterRef, Q, Subquery
from django.utils import timezone

from inspections.models import Result, TestPoint, Visit, VisitKind
from inspections.models.test_points import TESTED
from zones.models.kinds import WITHOUT_UNIT


@dataclass(frozen=True, slots=True)
class Due:
    """`state` is never · in_date · due_soon · overdue; `days` counts from today, negative when past."""

    state: str
    due_on: date | None
    days: int | None

    @property
    def word(self):
        match self.state:
            case "never":
                return "no commissioning or inspection on record"
            case "overdue":
                return f"overdue by {-self.days} day{'s' if self.days != -1 else ''}"
            case "due_soon":
                return "due today" if self.days == 0 else f"due in {self.days} day{'s' if self.days != 1 else ''}"
        return "in date"


def next_due_on(last_on: date | None, interval_months: int) -> date | None:
    """The date one interval after `last_on`, by calendar months (31 Jan + 1 month = 28 or 29 Feb)."""
    return last_on and last_on + relativedelta(months=interval_months)


def due_state(due_on: date | None, today: date, soon_days: int) -> Due:
    """Judge a due date against today; the due day itself is not overdue yet."""
    if due_on is None:
        return Due("never", None, None)
    days = (due_on - today).days
    state = "overdue" if days < 0 else "due_soon" if days <= soon_days else "in_date"
    return Due(state, due_on, days)


def with_last_inspection(buildings):
    """Annotate buildings with `last_inspected_at`: the last finished inspection or commissioning."""
    finished = (
        Visit.objects.finished()
        .filter(building=OuterRef("pk"), kind__in=[VisitKind.INSPECTION, VisitKind.COMMISSIONING])
        .order_by("-finished_at")
    )
    return buildings.annotate(last_inspected_at=Subquery(finished.values("finished_at")[:1]))


def due_of(building, *, soon_days, today=None):
    """`Due` of a building annotated by `with_last_inspection`."""
    last = building.last_inspected_at and timezone.localtime(building.last_inspected_at).date()
    return due_state(next_due_on(last, building.inspection_interval_months), today or timezone.localdate(), soon_days)


def positions_not_tested_since(positions, since):
    """Positions of which no check was carried out since that moment; missed and refused ones are among them, a junction
    box of which nothing is asked is not."""
    tested = Result.objects.filter(
        test_point__position=OuterRef("pk"), outcome__in=TESTED, latest_of__isnull=False, seen_at__gte=since
    )
    asked = TestPoint.objects.filter(position=OuterRef("pk"))
    nothing_to_test = Q(kind__in=WITHOUT_UNIT) & ~Exists(asked)
    return positions.in_use().filter(~Exists(tested)).exclude(nothing_to_test)


def months_ago(months):
    return timezone.now() - relativedelta(months=months)
