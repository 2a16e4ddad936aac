"""State of an as-installed revision that it is checked or approved, or take back what was stated last.

A second pair of eyes is common practice for drawings; a firm of one person says why nobody else was there.
"""

from django.db import transaction
from django.utils import timezone
from django.utils.formats import date_format

from inspections.ledger.entering import enter
from inspections.models import LedgerEntry
from sites_registry.services.refusals import Refused
from zones.models import AsInstalledRevision, RevisionAct

Kind = RevisionAct.Kind


class ActRefused(Refused):
    """It cannot be stated of this revision now."""


@transaction.atomic
def check_revision(*, revision, by, remark="", why_alone="", at=None):
    """State that the revision is as built. Raises ActRefused."""
    revision = _locked(revision)
    if standing := revision.standing_acts:
        raise ActRefused(f"It is {_told(standing[-1])}. Withdraw that first, with the reason.")
    is_own = by == revision.taken_by
    if is_own and not why_alone.strip():
        raise ActRefused(
            f"You took {revision} yourself, so somebody else checks it. If nobody else can, say why.", field="why_alone"
        )
    return _stated(revision, Kind.CHECK, by, at, remark=remark, why_alone=why_alone if is_own else "")


@transaction.atomic
def approve_revision(*, revision, by, remark="", at=None):
    """State that the checked revision is released. Raises ActRefused."""
    revision = _locked(revision)
    standing = revision.standing_acts
    if not standing:
        raise ActRefused("Nobody has checked it, or the check was withdrawn. Have it checked first.")
    if standing[-1].kind == Kind.APPROVAL:
        raise ActRefused(f"It is {_told(standing[-1])} already.")
    return _stated(revision, Kind.APPROVAL, by, at, remark=remark)


@transaction.atomic
def withdraw_last_act(*, revision, by, remark, at=None):
    """Take back the approval, or the check where nothing was approved; both stay on record. Raises ActRefused."""
    revision = _locked(revision)
    standing = revision.standing_acts
    if not standing:
        raise ActRefused("It is neither checked nor approved: there is nothing to withdraw.")
    if not may_withdraw(standing[-1], by):
        raise ActRefused("An approval is withdrawn by the office.")
    return _stated(revision, Kind.WITHDRAWAL, by, at, remark=remark)


def may_withdraw(act, person):
    """An approval is the office's; a check may be taken back by any of the firm's people."""
    return person.is_office if act.kind == Kind.APPROVAL else person.works_for_the_firm


def _locked(revision):
    # Of the revision itself alone: who took it and the building stand beside it.
    found = AsInstalledRevision.objects.select_for_update(of=("self",)).select_related("taken_by", "building")
    revision = found.get(pk=revision.pk)
    if not revision.is_unaltered:
        raise ActRefused("The revision no longer is what was stored when it was taken. Restore it from a backup.")
    return revision


def _told(act):
    day = date_format(timezone.localtime(act.at), "j M Y")
    return f"{act.get_kind_display()} by {act.by.full_name} on {day}"


def _stated(revision, kind, by, at, **words):
    at = at or timezone.now()
    act = RevisionAct(
        revision=revision,
        number=revision.acts.count() + 1,
        kind=kind,
        by=by,
        capacity=by.get_role_display(),
        competence=_competence_of(by, timezone.localtime(at).date()),
        at=at,
        **{name: text.strip() for name, text in words.items()},
    )
    act.full_clean()
    act.save()
    enter(LedgerEntry.Kind.REVISION_ACT, act)
    return act


def _competence_of(person, day):
    lapsed = person.competence_expires_on
    if lapsed and lapsed < day:
        return f"{person.competence} (lapsed on {date_format(lapsed, 'j M Y')})".strip()
    return person.competence
