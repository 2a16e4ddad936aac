"""Which call point is next in the weekly check: a different one each week (BS 5839-1, weekly test by the user)."""

from datetime import timedelta

from django.db.models import F, Max, Q
from django.utils import timezone

from inspections.models import LogEntry
from zones.models import Position
from zones.models.kinds import CALL_POINTS


def call_points_by_rota(building):
    """The building's call points with `last_checked_at`, the one longest not used in a weekly check first."""
    counts = Q(
        log_entries__kind=LogEntry.Kind.WEEKLY_CHECK,
        log_entries__corrected_by=None,
        log_entries__building=building,
    )
    return (
        Position.objects.in_use()
        .filter(building=building, kind__in=CALL_POINTS)
        .annotate(last_checked_at=Max("log_entries__happened_at", filter=counts))
        .order_by(F("last_checked_at").asc(nulls_first=True), "walking_order", "tag_key")
    )


def check_of_this_week(building):
    """The weekly check made since Monday, or None."""
    today = timezone.localtime().replace(hour=0, minute=0, second=0, microsecond=0)
    monday = today - timedelta(days=today.weekday())
    return LogEntry.objects.filter(building=building, happened_at__gte=monday).weekly_checks().first()
