"""What each kind of entry in a log book needs (handbook process.md §5: the row of a log book)."""

from datetime import timedelta

from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.formats import date_format

from zones.models import Position
from zones.models.kinds import CALL_POINTS

CLOCKS_DIFFER = timedelta(minutes=5)


def check_log_entry(entry):
    """Raises ValidationError with one sentence per field that is wrong."""
    faults = {}
    for check in (_check_moment, _check_kind, _check_disablement, _check_place):
        for field, sentence in check(entry):
            faults.setdefault(field, sentence)
    if faults:
        raise ValidationError(faults)


def _check_moment(entry):
    if entry.happened_at and entry.happened_at > timezone.now() + CLOCKS_DIFFER:
        moment = date_format(timezone.localtime(entry.happened_at), "j M Y, H:i")
        yield "happened_at", f"{moment} is still to come. The log book holds what has happened."


def _check_kind(entry):
    Kind = entry.Kind
    if entry.kind in entry.CHECK_KINDS and not entry.check_result:
        yield "check_result", "Say whether all was in order."
    if entry.kind not in entry.CHECK_KINDS and entry.check_result:
        yield "check_result", "Only a weekly or monthly check has a result. Choose that kind, or empty the result."
    if entry.kind == Kind.FALSE_ALARM and not entry.cause:
        yield "cause", "A false alarm needs its cause, so that it can be kept from coming back; write ‘unknown’ if so."


def _check_disablement(entry):
    if entry.kind == entry.Kind.DISABLEMENT:
        if not entry.planned_end_at:
            yield "planned_end_at", "A disablement needs a planned end."
        elif entry.happened_at and entry.planned_end_at < entry.happened_at:
            yield "planned_end_at", "The planned end is before the start."
        if not entry.interim_measure:
            yield "interim_measure", "Say what protects the building meanwhile."
        return
    for field in ("planned_end_at", "interim_measure"):
        if getattr(entry, field):
            yield field, "This belongs to a disablement. Choose that kind, or empty this field."


def _check_place(entry):
    zone, position = entry.smoke_zone, entry.position
    if zone and zone.building_id != entry.building_id:
        yield "smoke_zone", f"{zone} is in another building."
    if position and position.building_id != entry.building_id:
        yield "position", f"{position} is in another building."
    if zone and position and position.smoke_zone_id and position.smoke_zone_id != zone.pk:
        yield "smoke_zone", f"{position} belongs to another zone. Choose that one, or leave the zone empty."
    if entry.kind == entry.Kind.WEEKLY_CHECK and not (zone or position) and _has_call_point(entry.building_id):
        yield "position", "Say which call point or zone was operated."


def _has_call_point(building_pk):
    return Position.objects.in_use().filter(building=building_pk, kind__in=CALL_POINTS).exists()
