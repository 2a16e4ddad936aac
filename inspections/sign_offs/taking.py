"""Take a sign-off, once, with how the visit stands."""

from django.db import transaction
from django.utils import timezone

from inspections.ledger.entering import enter
from inspections.models import LedgerEntry, SignOff
from inspections.sign_offs.standing import stood_of


@transaction.atomic
def take_sign_off(*, visit, taken_by, how, name="", signature=None, why_nobody="", notice_given=""):
    """The sign-off of a visit; the one that it has, where it has one. Raises ValidationError."""
    if standing := SignOff.objects.filter(visit=visit).first():
        return standing
    is_nobody = how == SignOff.How.NOBODY
    sign_off = SignOff(
        visit=visit,
        how=how,
        name="" if is_nobody else name.strip(),
        signature=signature if how == SignOff.How.GLASS else None,
        why_nobody=why_nobody.strip() if is_nobody else "",
        notice_given=notice_given.strip(),
        stood=stood_of(visit).as_data(),
        taken_by=taken_by,
        taken_at=visit.finished_at or timezone.now(),
    )
    sign_off.full_clean()
    sign_off.save()
    enter(LedgerEntry.Kind.SIGN_OFF, sign_off)
    return sign_off
