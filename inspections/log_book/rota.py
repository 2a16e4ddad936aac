"""What the user of a building checks, and since when: the checks of the protocol that are the user's, and the call
point that is next in the weekly check: a different one each week (BS 5839-1, weekly test by the user)."""

from datetime import timedelta

from django.db.models import F, Max, Q
from django.utils import timezone

from inspections.due import due_state
from inspections.models import LogEntry, Protocol, ProtocolCheck, VisitKind
from inspections.models.protocols import DoneBy, Interval
from inspections.test_points.choosing import due_again_on
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


# By which entry of the log book a check of the user is written.
ENTRY_OF = {Interval.WEEKLY: LogEntry.Kind.WEEKLY_CHECK, Interval.MONTHLY: LogEntry.Kind.MONTHLY_CHECK}


def users_checks(building):
    """[(check, kind of its entry, day it was last in order, due), …] of the protocol in force; three queries.

    Only checks of kinds of device that the building has; one that was not in order stays due.
    """
    protocol = Protocol.objects.in_force().filter(kind=VisitKind.INSPECTION).order_by("-version")[:1]
    kinds = building.positions.in_use().order_by().values("kind")
    checks = ProtocolCheck.objects.filter(
        protocol__in=protocol.values("pk"), done_by=DoneBy.USER, device_kind__in=kinds
    )
    entries = LogEntry.objects.current().filter(building=building, check_result=LogEntry.CheckResult.IN_ORDER)
    last = dict(entries.order_by().values_list("kind").annotate(Max("happened_at")))
    today, rows = timezone.localdate(), []
    for check in checks:
        kind = ENTRY_OF[check.interval]
        last_on = timezone.localtime(last[kind]).date() if kind in last else None
        rows.append((check, kind, last_on, due_state(due_again_on(last_on, check.interval), today, 0)))
    return rows
