"""Where a certificate stands today: superseded, revoked, or not withdrawn and when the next inspection is, or was, due.

A certificate says nothing of the time after it, so none is called good for longer than the register can say. The date
that counts is that of the latest certificate of the building that is neither superseded nor revoked: a commissioning
certificate stays, and is followed by inspections.
"""

from dataclasses import dataclass
from datetime import date

from django.db.models import OuterRef, Q, Subquery
from django.utils import timezone

from inspections.models import Certificate


@dataclass(frozen=True, slots=True)
class Standing:
    """`state` is next_ahead · next_ahead_limited · next_past · next_unknown · superseded · revoked; `words` say it."""

    state: str
    words: str

    @property
    def is_withdrawn(self):
        return self.state in ("superseded", "revoked")

    @property
    def words_if_genuine(self):
        """The words where the text was compared with its digest and is the one that was issued."""
        return f"genuine, {self.words}"


def with_standing(certificates):
    """Annotate certificates with number, date and limitation of the one whose date counts, as `counted_…`."""
    latest = (
        Certificate.objects.in_force()
        .filter(building=OuterRef("building"))
        .order_by("-visit__finished_at", "-issued_at", "-pk")
    )
    return certificates.annotate(
        counted_number=Subquery(latest.values("number")[:1]),
        counted_due_on=Subquery(latest.values("next_due_on")[:1]),
        counted_is_limited=Subquery(latest.values("is_limited")[:1]),
    )


def past_due(certificates, today=None):
    """Certificates not withdrawn whose building's next inspection is past its date; of those with a standing."""
    return certificates.filter(state=Certificate.State.IN_FORCE, counted_due_on__lt=today or timezone.localdate())


def standing_of(certificate, *, today=None) -> Standing:
    """The standing of a certificate annotated by `with_standing`."""
    if certificate.state != Certificate.State.IN_FORCE:
        return Standing(certificate.state, certificate.get_state_display())
    standing = next_inspection(certificate.counted_due_on, today or timezone.localdate())
    if standing.state == "next_ahead" and (certificate.is_limited or certificate.counted_is_limited):
        return Standing("next_ahead_limited", standing.words)
    return standing


def next_inspection(due_on: date | None, today: date) -> Standing:
    """What is said of a certificate not withdrawn; the day itself is not past yet."""
    if due_on is None:
        return Standing("next_unknown", "not withdrawn; no date of the next inspection on record")
    days = (today - due_on).days
    if days > 0:
        ago = f"{days} day{'s' if days != 1 else ''} ago"
        return Standing("next_past", f"not withdrawn; next inspection was due on {due_on:%-d %b %Y}, {ago}")
    return Standing("next_ahead", f"not withdrawn; next inspection due on {due_on:%-d %b %Y}")


def certificates_after(certificate):
    """The later certificates of the building, by their visits; of one issued again, the last issue only."""
    later = Q(visit__finished_at__gt=certificate.visit.finished_at)
    found = with_standing(Certificate.objects.filter(later, building=certificate.building_id))
    last_of_visit = {}
    for one in found.defer("statement").select_related("visit").order_by("visit__finished_at", "issued_at", "pk"):
        last_of_visit[one.visit_id] = one
    return list(last_of_visit.values())
