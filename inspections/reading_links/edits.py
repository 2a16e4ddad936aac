"""Make a reading link, find it by its secret, record an opening, withdraw it."""

import hashlib
import secrets
from datetime import timedelta

from django.db import transaction
from django.utils import timezone

from inspections.models import HandOver, ReadingLink, ReadingLinkOpening
from sites_registry.access import Role
from sites_registry.models import Building
from sites_registry.services.refusals import Refused

LONGEST_DAYS = 366
OPENINGS_A_DAY = 200  # beyond it somebody has handed the link to a machine


class ReadingLinkRefused(Refused):
    """No link is made or withdrawn so."""


class OpenedTooOften(Exception):
    """The link was opened as often as it may be within a day."""


def digest_of(secret):
    return hashlib.sha256(secret.encode()).hexdigest()


@transaction.atomic
def make_link(*, paper, reader, ends_on, by):
    """A link that reads this certificate or hand-over up to and with a day.

    Returns:  (the link, its secret: 192 random bits that are stored nowhere).
    Raises:   ReadingLinkRefused.
    """
    _check_who(by, paper.building)
    today = timezone.localdate()
    if not today <= ends_on <= today + timedelta(days=LONGEST_DAYS):
        raise ReadingLinkRefused(
            f"{ends_on:%-d %b %Y} is not between today and a year from now. Give a day within a year.",
            field="ends_on",
        )
    if isinstance(paper, HandOver) and paper.handed_over_at is None:
        raise ReadingLinkRefused("The hand-over is still being put together. Make the link once it is handed over.")
    secret = secrets.token_urlsafe(24)
    field = "hand_over" if isinstance(paper, HandOver) else "certificate"
    link = ReadingLink(
        building=paper.building,
        reader=reader,
        ends_on=ends_on,
        made_by=by,
        digest_sha256=digest_of(secret),
        **{field: paper},
    )
    link.full_clean()
    link.save()
    return link, secret


def _check_who(person, building):
    is_of_building = Building.objects.visible_to(person).filter(pk=building.pk).exists()
    if person.role not in (Role.OFFICE, Role.MANAGER) or not is_of_building:
        raise ReadingLinkRefused("The office, or a manager of the building, lets others read its papers.")


@transaction.atomic
def withdraw_link(*, link, by):
    """End it at once; what was downloaded stays with the reader. Withdrawn before, nothing changes."""
    link = ReadingLink.objects.select_for_update(of=("self",)).select_related("building").get(pk=link.pk)
    _check_who(by, link.building)
    if link.withdrawn_at is None:
        link.withdrawn_at, link.withdrawn_by = timezone.now(), by
        link.save(update_fields=["withdrawn_at", "withdrawn_by"])
    return link


def record_opening(link, what):
    """Keep that the page, or a file from it, was opened now. Raises OpenedTooOften."""
    since = timezone.now() - timedelta(days=1)
    if ReadingLinkOpening.objects.filter(link=link, opened_at__gt=since).count() >= OPENINGS_A_DAY:
        raise OpenedTooOften
    return ReadingLinkOpening.objects.create(link=link, what=what[:240])
