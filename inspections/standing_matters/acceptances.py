"""Accept what stands, with a reason, and take an acceptance back. Nothing accepted is ever lost."""

from django.db import transaction
from django.utils import timezone

from inspections.models import AcceptedMatter
from inspections.standing_matters.matters import what_stands
from sites_registry.access import STAFF_ROLES
from sites_registry.models import Building
from sites_registry.services.refusals import Refused


class AcceptanceRefused(Refused):
    """The matters are not accepted, and nothing was stored."""


@transaction.atomic
def accept_matters(*, job, digests, reason, by, visit=None, record=None, at=None):
    """Accept the matters of these digests as they read now, all or none; returns the new acceptances.

    Accepted already, a matter stays as it was accepted first. `record` as for `what_stands`. Raises AcceptanceRefused.
    """
    if by.role not in STAFF_ROLES:
        raise AcceptanceRefused("The office or an engineer accepts what stands.")
    reason = " ".join(reason.split())
    if not reason:
        raise AcceptanceRefused(
            "Say why it is accepted as it stands: the certificate prints the reason.", field="reason"
        )
    if not digests:
        raise AcceptanceRefused("Nothing was chosen. Tick what you accept.", field="matters")
    # Two people accept one after the other; on SQLite the immediate transaction makes the second wait.
    Building.objects.select_for_update(of=("self",)).get(pk=job.building_id)
    now = {one.digest: one for one in what_stands(job, visit=visit, record=record).matters}
    chosen = [now[digest] for digest in dict.fromkeys(digests) if digest in now]
    if gone := len(set(digests)) - len(chosen):
        raise AcceptanceRefused(
            f"{gone} of what you chose {'has' if gone == 1 else 'have'} changed since the page was shown. Look at the "
            "list as it stands now, and choose again.",
            field="matters",
        )
    if fixed := [one for one in chosen if not one.may_be_accepted]:
        raise AcceptanceRefused(f"This is put right, not accepted: {fixed[0].words}", field="matters")
    accepted = [
        AcceptedMatter(
            building_id=job.building_id,
            job=job,
            kind=one.kind,
            about=one.place[:200],
            words=one.words,
            digest_sha256=one.digest,
            reason=reason,
            accepted_by=by,
            accepted_at=at or timezone.now(),
        )
        for one in chosen
        if one.stands
    ]
    for one in accepted:
        one.full_clean(validate_unique=False, validate_constraints=False)
    return AcceptedMatter.objects.bulk_create(accepted)


@transaction.atomic
def take_back_acceptance(*, acceptance, by):
    """The matter is asked again; who accepted it and why stays on record. Called twice, it keeps who was first."""
    acceptance = AcceptedMatter.objects.select_for_update(of=("self",)).get(pk=acceptance.pk)
    if acceptance.taken_back_at is None:
        acceptance.taken_back_at, acceptance.taken_back_by = timezone.now(), by
        acceptance.save(update_fields=["taken_back_at", "taken_back_by"])
    return acceptance
