"""What is to be told to whom, and the mails that tell it: a digest a day at most, an impairment at once where wanted.

The worker asks this again and again. A thing is told to a person once; who wants no mail is told nothing later on.
"""

from collections import defaultdict
from datetime import timedelta
from textwrap import shorten

from django.conf import settings
from django.db import transaction
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.formats import date_format

from inspections.due import due_of, with_last_inspection
from inspections.models import Certificate, Defect, Notice, Severity
from sites_registry.access import Role
from sites_registry.models import Building, Firm, Mail, Person
from sites_registry.services.outbox import queue_mail
from sites_registry.words import counted

DIGEST_FROM_HOUR = 7
NEW_FOR = timedelta(days=7)  # older certificates are no news: a register that begins to send does not tell its past


def gather():
    """Note what is new and queue the mails that tell it; returns how many mails."""
    people = _people()
    with transaction.atomic():
        _note(people)
        waiting = defaultdict(list)
        for one in Notice.objects.filter(person__in=people, mail=None).select_related("building"):
            waiting[one.person_id].append(one)
        return sum(_queue(person, waiting[person.pk]) for person in people if waiting[person.pk])


def _people():
    """Who is told anything, each with the buildings of theirs."""
    found = Person.objects.filter(role__in=(Role.OFFICE, Role.MANAGER), is_active=True)
    return list(found.exclude(mails=Person.Mails.OFF).prefetch_related("buildings"))


def _note(people):
    events = list(_events())
    Notice.objects.filter(mail=None).exclude(event__in={one["event"] for one in events}).delete()  # so no more
    told = set(Notice.objects.filter(event__in={one["event"] for one in events}).values_list("person", "event"))
    new = []
    for person in people:
        new += [
            Notice(person=person, **one)
            for one in events
            if _is_of(person, one["building_id"]) and (person.pk, one["event"]) not in told
        ]
    Notice.objects.bulk_create(new, ignore_conflicts=True)


def _is_of(person, building_pk):
    return person.is_office or any(building.pk == building_pk for building in person.buildings.all())


def _events():
    """Every thing that somebody is to be told, as fields of a notice; which are old news is asked by the caller."""
    since = timezone.now() - NEW_FOR
    new = Certificate.objects.in_force().filter(issued_at__gte=since)
    for one in new.exclude(pdf="").select_related("building"):
        words = f"{one.building}: {one.get_kind_display()} {one.number} is there."
        yield {"building_id": one.building_id, "event": f"certificate {one.pk}", "words": words}
    yield from _due_dates()
    for one in Defect.objects.open().filter(severity=Severity.IMPAIRED).select_related("building", "position"):
        at = f" at {one.position}" if one.position else ""
        words = f"{one.building}: smoke control is impaired by defect {one.pk}{at}"
        yield {
            "building_id": one.building_id,
            "event": f"impaired {one.pk}",
            "words": _in_a_line(f"{words}: {one.description}", 300),
            "is_impairment": True,
        }


def _due_dates():
    soon_days = Firm.current().due_soon_days
    for building in with_last_inspection(Building.objects.all()):
        due = due_of(building, soon_days=soon_days)
        if due.state in ("due_soon", "overdue"):
            on = date_format(due.due_on, "j M Y")
            words = (
                f"the inspection falls due on {on}" if due.state == "due_soon" else f"the inspection was due on {on}"
            )
            event = f"{due.state} {building.pk} {due.due_on}"
            yield {"building_id": building.pk, "event": event, "words": f"{building}: {words}."}


def _queue(person, waiting):
    """The mails to one person that are due now; returns how many. A building that was taken from them is not told."""
    waiting = [one for one in waiting if _is_of(person, one.building_id)]
    at_once = [one for one in waiting if one.is_impairment and person.mails == Person.Mails.AT_ONCE]
    queued = 0
    if at_once:
        queued += _mail(person, at_once, Mail.Kind.IMPAIRED, f"Smoke control is impaired: {_where(at_once)}")
    rest = [one for one in waiting if one not in at_once]
    if rest and _is_time_for_a_digest(person):
        queued += _mail(person, rest, Mail.Kind.DIGEST, f"Smoke control: {counted(len(rest), 'things')} to know")
    return queued


def _where(notices):
    buildings = {one.building for one in notices}
    return _in_a_line(str(*buildings), 150) if len(buildings) == 1 else counted(len(buildings), "buildings")


def _in_a_line(words, most):
    """On one line, as a subject must be."""
    return shorten(words, most, placeholder=" …")


def _is_time_for_a_digest(person):
    now = timezone.localtime()
    midnight = now.replace(hour=0, minute=0, second=0, microsecond=0)
    had_one = Mail.objects.filter(person=person, kind=Mail.Kind.DIGEST, queued_at__gte=midnight).exists()
    return now.hour >= DIGEST_FROM_HOUR and not had_one


def _mail(person, notices, kind, subject):
    by_building = defaultdict(list)
    for one in notices:
        by_building[one.building].append(one.words)
    body = render_to_string(
        "inspections/notices/mail.txt",
        {
            "person": person,
            "buildings": [
                (one, f"{settings.PUBLIC_URL}{one.get_absolute_url()}", by_building[one]) for one in by_building
            ],
            "is_impairment": kind == Mail.Kind.IMPAIRED,
            "public_url": settings.PUBLIC_URL,
            "firm": Firm.current(),
        },
    )
    mail = queue_mail(kind=kind, person=person, subject=subject, body=body)
    Notice.objects.filter(pk__in=[one.pk for one in notices]).update(mail=mail)
    return 1
