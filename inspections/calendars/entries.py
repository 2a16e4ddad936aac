"""What stands in a person's calendar, and its text by RFC 5545.

An entry keeps its UID while its record lives, so that a calendar program changes an entry instead of doubling it; a
visit that was called off is sent as cancelled. No defect and no finding stands in it: calendars are shown to others.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from urllib.parse import urlsplit

from django.conf import settings
from django.urls import reverse
from django.utils import timezone
from icalendar import Calendar, Event

from inspections.due import next_due_on, with_last_inspection
from inspections.models import Visit
from sites_registry.models import Building

DAYS_BACK = 60  # what lies further back is looked up in the register


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One whole day of a calendar; `revision` grows whenever the record changes."""

    uid: str
    day: date
    title: str
    place: str
    address: str
    revision: int = 0
    is_cancelled: bool = False


def entries_of(person, today=None):
    """Visits of the last weeks and to come, and when inspections are due; an engineer's are their own visits."""
    since = (today or timezone.localdate()) - timedelta(days=DAYS_BACK)
    visits = Visit.objects.visible_to(person).filter(planned_on__gte=since).select_related("building")
    if person.is_engineer:
        return [_of_visit(one) for one in visits.filter(engineer=person).order_by("planned_on", "pk")]
    return [_of_visit(one) for one in visits.order_by("planned_on", "pk")] + _dues(person)


def _of_visit(visit):
    return Entry(
        uid=f"visit-{visit.pk}",
        day=visit.planned_on,
        title=f"{visit.get_kind_display().capitalize()}: {visit.building.name}",
        place=visit.building.address.replace("\n", ", "),
        address=visit.get_absolute_url(),
        revision=visit.row_version,
        is_cancelled=visit.state == Visit.State.CALLED_OFF,
    )


def _dues(person):
    """However long ago: an overdue inspection does not go away."""
    found = []
    for building in with_last_inspection(Building.objects.visible_to(person)).order_by("pk"):
        last = building.last_inspected_at and timezone.localtime(building.last_inspected_at).date()
        due_on = next_due_on(last, building.inspection_interval_months)
        if due_on:
            found.append(_due(building, due_on))
    return found


def _due(building, due_on):
    return Entry(
        uid=f"inspection-due-{building.pk}",
        day=due_on,
        title=f"Inspection due: {building.name}",
        place=building.address.replace("\n", ", "),
        address=reverse("building-detail", args=[building.slug]),
        revision=due_on.toordinal(),  # it only ever moves on
    )


def text_of(entries, now):
    """The calendar as bytes by RFC 5545: CRLF, lines folded at 75 octets, texts escaped."""
    calendar = Calendar()
    calendar.add("prodid", "-//Smoke control register//Visits and due dates//EN")
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", "Smoke control register")
    for entry in entries:
        calendar.add_component(_event(entry, now))
    return calendar.to_ical()


def _event(entry, now):
    event = Event()
    event.add("uid", f"{entry.uid}@{urlsplit(settings.PUBLIC_URL).hostname}")
    event.add("dtstamp", now)
    event.add("dtstart", entry.day)
    event.add("dtend", entry.day + timedelta(days=1))
    event.add("summary", entry.title)
    event.add("location", entry.place)
    event.add("url", settings.PUBLIC_URL + entry.address)
    event.add("sequence", entry.revision)
    event.add("status", "CANCELLED" if entry.is_cancelled else "CONFIRMED")
    event.add("transp", "TRANSPARENT")
    return event
