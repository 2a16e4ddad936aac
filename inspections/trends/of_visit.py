"""What a visit report says of trends: readings of this visit that will cross their limit before long, and no more."""

from django.utils import timezone

from inspections.models import TestPoint
from inspections.trends.records import read_rules, readings, trends_of_positions

MOST_PLOTTED = 4


def drifting(visit, positions):
    """`CheckTrend` of each check read on this visit that crosses its limit before the inspection after next.

    As it stood at the visit: later readings and units are left out.

    Args:     positions: by key, those of the visit.
    """
    if visit.started_at is None:
        return []
    asked = visit.test_points.order_by().values("position")
    known = TestPoint.objects.filter(position__in=asked, visit__started_at__lte=visit.started_at)
    trends = trends_of_positions(
        positions,
        readings(known),
        visit.building.inspection_interval_months,
        on=timezone.localdate(visit.finished_at or visit.started_at),
    )
    return [one for one in trends if one.is_notable and one.newest.visit_id == visit.pk]


def plots_of(trends):
    """Drawings of the first few; one query."""
    plotted = trends[:MOST_PLOTTED]
    read_rules(plotted)
    return [one.plot(f"trend-{number}") for number, one in enumerate(plotted)]
