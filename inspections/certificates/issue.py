"""Issue, issue again, revoke. A certificate is numbered without gaps and frozen at issue."""

import hashlib
import json

from django.db import transaction
from django.utils import timezone

from inspections.certificates.statements import CONCLUDED, statement_of
from inspections.ledger.entering import enter
from inspections.models import Certificate, LedgerEntry, Visit, VisitKind
from inspections.standing_matters.matters import what_stands
from sites_registry.services.numbers import next_number

CERTIFIABLE = {
    VisitKind.COMMISSIONING: Certificate.Kind.COMMISSIONING,
    VisitKind.INSPECTION: Certificate.Kind.INSPECTION,
}

# What the person who issues enters, or what follows from the date they enter; all else of a statement is from records.
ENTERED_AT_ISSUE = {"scope", "exclusions", "signatures", "not_tested_for_12_months", *CONCLUDED}
GIVEN_AT_ISSUE = {"number", "kind", "issued_on", "supersedes"}


class NotCertifiable(Exception):
    """The visit cannot be certified; `reasons` are sentences for the user."""

    def __init__(self, reasons):
        super().__init__(" ".join(reasons))
        self.reasons = reasons


class ReadAgain(NotCertifiable):
    """The records are not those that the person has read."""


class NotRevocable(Exception):
    """The certificate cannot be revoked; the message is for the user."""


def digest_of(statement):
    """SHA-256 of a statement in canonical JSON (sorted keys, no spaces, UTF-8)."""
    text = json.dumps(statement, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def digest_of_records(statement):
    """Digest of what the records say in a statement, by which a text that was read is told from a later one."""
    left_out = ENTERED_AT_ISSUE | GIVEN_AT_ISSUE
    return digest_of({name: value for name, value in statement.items() if name not in left_out})


def is_intact(certificate):
    """Whether the stored statement is the one that was issued, and what is read beside it says the same."""
    statement = certificate.statement
    beside = (certificate.number, str(certificate.next_due_on or ""), certificate.is_limited)
    stated = (statement.get("number"), statement.get("next_due_on") or "", statement.get("is_limited"))
    return digest_of(statement) == certificate.digest_sha256 and beside == stated


def reasons_not_to_certify(visit):
    """Sentences that say why a visit has no certificate, whatever stands of it; empty when it can have one."""
    reasons = []
    if visit.kind not in CERTIFIABLE:
        reasons.append(
            "Remedial work has no certificate of its own: issue the last inspection's certificate again, "
            "which then lists what was put right."
        )
    if visit.state != Visit.State.FINISHED:
        reasons.append(f"The visit is {visit.get_state_display()}. Finish it first.")
    elif not visit.test_points.exists():
        reasons.append("The visit has no test point: nothing was tested, so there is nothing to certify.")
    if visit.engineer_id is None:
        reasons.append("The visit has no engineer. Enter who carried it out.")
    return reasons


@transaction.atomic
def issue_certificate(
    *,
    visit,
    issued_by,
    issued_on,
    scope,
    capacity,
    exclusions="",
    again=False,
    instead_of=None,
    read=None,
    issued_at=None,
    submission_key=None,
    record=None,
):
    """Issue the certificate of a finished visit and supersede the one in force, or change nothing.

    Called twice, it returns the certificate it issued first; with `again=True` it takes the records as they stand
    now (after remedial work, say) and supersedes that one: the one numbered `instead_of`, where it is given, so that a
    second click issues nothing more. `read` is the `digest_of_records` of the text that the person has read.
    `submission_key` is that of the form: sent again, it gives the certificate that it led to, whatever became of that.
    `issued_at` (default now) is for records taken over. `record` as for `what_stands`: nothing of it may stand unless
    somebody accepted it. The PDF is no part of the issue: `papers.py` makes it afterwards.
    Raises NotCertifiable, and ReadAgain where the records are others than those that were read.
    """
    visit = _locked(visit)
    if taken := submission_key and Certificate.objects.filter(visit=visit, submission_key=submission_key).first():
        return taken
    issued = Certificate.objects.in_force().filter(visit=visit).first()
    if issued and (not again or instead_of not in (None, issued.number)):
        return issued
    stands = what_stands(visit.job, visit=visit, record=record)
    if reasons := [*reasons_not_to_certify(visit), *filter(None, [stands.refusal])]:
        raise NotCertifiable(reasons)
    check_dates(visit, issued_on)
    kind = CERTIFIABLE[visit.kind]
    earlier = Certificate.objects.in_force().filter(building=visit.building, kind=kind).first()
    check_order(visit, earlier)
    _supersede(earlier)
    statement = statement_of(
        visit,
        scope=scope,
        exclusions=exclusions,
        capacity=capacity,
        issued_by=issued_by,
        issued_on=issued_on,
        stands=stands,
    )
    if read not in (None, digest_of_records(statement)):
        raise ReadAgain(["The records have changed since you read the text. Read it again below, then issue it."])
    return _numbered_and_kept(
        visit,
        kind,
        statement,
        earlier,
        issued_by=issued_by,
        issued_on=issued_on,
        issued_at=issued_at or timezone.now(),
        submission_key=submission_key,
    )


def _locked(visit):
    # SQLite ignores row locks; there the immediate transaction of settings.py makes the second click wait.
    visits = Visit.objects.select_for_update(of=("self",)).select_related("building__client", "job__building")
    return visits.get(pk=visit.pk)


def _supersede(certificate):
    if certificate:
        certificate.state = Certificate.State.SUPERSEDED
        certificate.save(update_fields=["state"])
        enter(LedgerEntry.Kind.SUPERSESSION, certificate)


def _numbered_and_kept(visit, kind, statement, earlier, *, issued_on, **issued):
    number = f"{issued_on.year}-{next_number(series=f'certificate {issued_on.year}'):04}"
    statement |= {"number": number, "kind": kind.label, "issued_on": issued_on.isoformat()}
    statement["supersedes"] = earlier.number if earlier else ""
    certificate = Certificate(
        number=number,
        kind=kind,
        building=visit.building,
        visit=visit,
        statement=statement,
        is_limited=statement["is_limited"],
        digest_sha256=digest_of(statement),
        issued_on=issued_on,
        **issued,
        next_due_on=statement["next_due_on"],
        supersedes=earlier,
    )
    certificate.full_clean()
    certificate.save()
    enter(LedgerEntry.Kind.ISSUE, certificate)
    return certificate


def check_dates(visit, issued_on):
    finished_on = timezone.localtime(visit.finished_at).date()
    if issued_on < finished_on:
        raise NotCertifiable([f"{issued_on:%-d %b %Y} is before the visit was finished ({finished_on:%-d %b %Y})."])
    if issued_on > timezone.localdate():
        raise NotCertifiable([f"{issued_on:%-d %b %Y} lies ahead. A certificate is dated today or earlier."])


def check_order(visit, earlier):
    """An old visit must not push the certificate of a newer one out of force."""
    if earlier and earlier.visit_id != visit.pk and earlier.visit.finished_at > visit.finished_at:
        raise NotCertifiable(
            [f"Certificate {earlier.number} of a later visit is in force. An earlier visit cannot supersede it."]
        )


@transaction.atomic
def revoke_certificate(*, certificate, revoked_by, reason):
    """Take a certificate out of force for good; it stays readable. Revoking twice keeps the first reason."""
    certificate = Certificate.objects.select_for_update().get(pk=certificate.pk)
    if certificate.state == Certificate.State.REVOKED:
        return certificate
    if certificate.state == Certificate.State.SUPERSEDED:
        raise NotRevocable(f"Certificate {certificate.number} is superseded already, so it is not in force.")
    certificate.state = Certificate.State.REVOKED
    certificate.revoked_at, certificate.revoked_by, certificate.revoked_reason = timezone.now(), revoked_by, reason
    certificate.full_clean()
    certificate.save(update_fields=["state", "revoked_at", "revoked_by", "revoked_reason"])
    enter(LedgerEntry.Kind.REVOCATION, certificate)
    return certificate
