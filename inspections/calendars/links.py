"""Make the secret address of a person's calendar, find whose it is, take it away."""

import hashlib
import secrets

from django.db import transaction
from django.utils import timezone

from inspections.models import CalendarLink


def _digest(secret):
    return hashlib.sha256(secret.encode()).hexdigest()


@transaction.atomic
def make_calendar_link(*, person):
    """Returns the secret (192 random bits, stored nowhere); an address made before opens nothing from now on."""
    secret = secrets.token_urlsafe(24)
    CalendarLink.objects.update_or_create(
        person=person, defaults={"digest_sha256": _digest(secret), "made_at": timezone.now()}
    )
    return secret


def take_calendar_link_away(*, person):
    CalendarLink.objects.filter(person=person).delete()


def whose_calendar(secret):
    """The person of this address, or None: no such address, or a log-in that was closed."""
    link = CalendarLink.objects.select_related("person").filter(digest_sha256=_digest(secret)).first()
    return link.person if link and link.person.is_active else None
