"""As-installed revisions: take one, compare two."""

from django.db import transaction
from django.utils import timezone

from sites_registry.services.numbers import next_number
from zones.as_installed.changes import changes_between
from zones.as_installed.record import record_of
from zones.models import AsInstalledRevision


@transaction.atomic
def take_revision(*, building, taken_by, reason, job=None, taken_at=None):
    """Freeze the record of a building as its next revision; returns it."""
    revision = AsInstalledRevision(
        building=building,
        number=next_number(series=f"as-installed-{building.pk}"),
        job=job,
        reason=reason,
        taken_at=taken_at or timezone.now(),
        taken_by=taken_by,
        record=record_of(building),
    )
    revision.full_clean(exclude=["digest"])
    revision.save()
    return revision


def changes_since(revision, *, until=None):
    """Changes from a revision to a later one, or to what stands now."""
    return changes_between(revision.record, until.record if until else record_of(revision.building))
