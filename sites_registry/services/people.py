"""People come by invitation; the office changes what they may do."""

import hashlib
import secrets
from datetime import timedelta

from django.db import transaction
from django.utils import timezone

from sites_registry.access import Role
from sites_registry.models import Building, Invitation, Person
from sites_registry.services.invitation_mail import send_invitation
from sites_registry.services.refusals import Refused

INVITATION_LASTS = timedelta(days=14)
PERSON_FIELDS = {"full_name", "email", "phone", "role", "competence", "competence_expires_on", "is_active"}


class NotInvited(Refused):
    """The invitation cannot be sent, sent again or withdrawn."""


class NotAccepted(Refused):
    """The link does not work any more."""


class PersonNotChanged(Refused):
    """The change would lock somebody out."""


def hash_of(token):
    """What is stored of a token; the token itself leaves in the mail only."""
    return hashlib.sha256(token.encode()).hexdigest()


@transaction.atomic
def invite(*, email, full_name, role, invited_by, buildings=()):
    """Store an invitation and mail its link once the transaction is committed.

    Raises NotInvited: the e-mail has a log-in or an open invitation, or role and buildings do not fit.
    """
    email = email.strip().lower()
    if reasons := _reasons_not_to_invite(email, role, buildings):
        raise NotInvited(*reasons)
    token = secrets.token_urlsafe(32)
    invitation = Invitation(
        email=email,
        full_name=full_name,
        role=role,
        invited_by=invited_by,
        token_hash=hash_of(token),
        expires_at=timezone.now() + INVITATION_LASTS,
    )
    invitation.full_clean()
    invitation.save()
    invitation.buildings.set(buildings)
    transaction.on_commit(lambda: send_invitation(invitation=invitation, token=token))
    return invitation


def _reasons_not_to_invite(email, role, buildings):
    reasons = []
    if person := Person.objects.filter(email=email).first():
        state = "has a log-in already" if person.is_active else "has a log-in that is switched off; switch it on again"
        reasons.append(f"{email} {state} ({person.full_name}, {person.get_role_display()}).")
    if Invitation.objects.open().filter(email=email).exists():
        reasons.append(f"{email} has an open invitation already. Send that one again, or withdraw it first.")
    if role == Role.MANAGER and not buildings:
        reasons.append("A building manager sees named buildings only. Choose at least one.")
    if role != Role.MANAGER and buildings:
        reasons.append(f"Buildings are chosen for building managers only; {Role(role).label} see all. Choose none.")
    return reasons


@transaction.atomic
def send_again(*, invitation):
    """Mail a new link, good for another 14 days; the link sent before stops working. Raises NotInvited."""
    invitation = Invitation.objects.select_for_update().get(pk=invitation.pk)
    if invitation.accepted_at or invitation.withdrawn_at:
        raise NotInvited(_why_closed(invitation))
    if Person.objects.filter(email=invitation.email).exists():
        raise NotInvited(f"{invitation.email} has a log-in meanwhile. Withdraw this invitation.")
    others = Invitation.objects.open().filter(email=invitation.email).exclude(pk=invitation.pk)
    if others.exists():
        raise NotInvited(f"{invitation.email} has a newer open invitation. Send that one again.")
    token = secrets.token_urlsafe(32)
    invitation.token_hash = hash_of(token)
    invitation.expires_at = timezone.now() + INVITATION_LASTS
    invitation.save(update_fields=["token_hash", "expires_at"])
    transaction.on_commit(lambda: send_invitation(invitation=invitation, token=token))
    return invitation


@transaction.atomic
def withdraw(*, invitation):
    """Make the link useless; withdrawing twice changes nothing. Raises NotInvited when it was taken up."""
    invitation = Invitation.objects.select_for_update().get(pk=invitation.pk)
    if invitation.accepted_at:
        raise NotInvited(_why_closed(invitation))
    if not invitation.withdrawn_at:
        invitation.withdrawn_at = timezone.now()
        invitation.save(update_fields=["withdrawn_at"])
    return invitation


def invitation_of(token):
    """The invitation of a link, open or not; None when there is none."""
    return Invitation.objects.select_related("invited_by").filter(token_hash=hash_of(token)).first()


def why_closed(invitation):
    """Why this link does not work any more, in a sentence; empty while it does."""
    return "" if invitation.is_open else _why_closed(invitation)


def _why_closed(invitation):
    if invitation.accepted_at:
        return f"This invitation was taken up on {_day(invitation.accepted_at)}."
    if invitation.withdrawn_at:
        return f"This invitation was withdrawn on {_day(invitation.withdrawn_at)}."
    return f"This invitation expired on {_day(invitation.expires_at)}."


def _day(moment):
    day = timezone.localtime(moment)
    return f"{day.day} {day:%b %Y}"


@transaction.atomic
def accept(*, invitation, full_name, password):
    """Make the person of an invitation, once. Raises NotAccepted when the link does not work any more."""
    invitation = Invitation.objects.select_for_update().get(pk=invitation.pk)
    if not invitation.is_open:
        raise NotAccepted(_why_closed(invitation))
    if Person.objects.filter(email=invitation.email).exists():
        raise NotAccepted(f"{invitation.email} has a log-in already. Log in, or set a new password by e-mail.")
    person = Person.objects.create_user(invitation.email, password, full_name=full_name, role=invitation.role)
    for building in invitation.buildings.all():
        building.managers.add(person)
    invitation.accepted_at = timezone.now()
    invitation.accepted_by = person
    invitation.save(update_fields=["accepted_at", "accepted_by"])
    return person


@transaction.atomic
def change_person(*, person, changed_by, **changes):
    """Change name, role, competence or whether somebody can log in, or change nothing.

    Who stops being a building manager gives up the buildings. Raises PersonNotChanged: one's own role or log-in,
    or the last office person who can log in.
    """
    if unknown := set(changes) - PERSON_FIELDS:
        raise TypeError(f"change_person() does not change {sorted(unknown)}.")
    # All office people are locked, so that two of them cannot switch off each other at the same moment.
    office_pks = set(
        Person.objects.select_for_update().filter(role=Role.OFFICE, is_active=True).values_list("pk", flat=True)
    )
    person = Person.objects.select_for_update().get(pk=person.pk)
    role, is_active = changes.get("role", person.role), changes.get("is_active", person.is_active)
    loses_office = person.pk in office_pks and (role != Role.OFFICE or not is_active)
    reasons = []
    if person.pk == changed_by.pk and (role != person.role or is_active != person.is_active):
        reasons.append("You cannot change your own role or switch off your own log-in. Ask another office person.")
    elif loses_office and len(office_pks) == 1:
        reasons.append(f"{person.full_name} is the last office person who can log in. Invite or appoint another first.")
    if reasons:
        raise PersonNotChanged(*reasons)
    was_manager = person.role == Role.MANAGER
    for name, value in changes.items():
        setattr(person, name, value)
    person.email = person.email.strip().lower()
    person.full_clean(exclude=["password"])
    person.save()
    if was_manager and person.role != Role.MANAGER:
        for building in Building.objects.filter(managers=person):
            building.managers.remove(person)
    return person
