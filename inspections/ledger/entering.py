"""Enter in the ledger what happened, in the transaction in which it happens."""

from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from inspections.ledger.records import (
    COLUMNS,
    FORM,
    MODELS,
    WITH_RESULTS,
    columns_of_row,
    digest_of_entry,
    digest_of_row,
    results_of,
)
from inspections.ledger.seals import seal_of
from inspections.models import Certificate, CertificatePaper, LedgerEntry, LogEntry
from sites_registry.services.numbers import next_number
from zones.models import RevisionAct

SERIES = "ledger"
BEFORE_THE_FIRST = "0" * 64
Kind = LedgerEntry.Kind


def enter(kind, record, *, is_later=False):
    """Add the entry that vouches for a record as the database holds it. Call it in the transaction that stores it.

    Whoever comes second waits for the number, so that the chain has one end.
    """
    number = next_number(series=SERIES)
    before = LedgerEntry.objects.filter(number=number - 1).values_list("digest", flat=True).first()
    entry = LedgerEntry(
        number=number,
        kind=kind,
        about=record.pk,
        named=_name_of(record),
        content=content_of(kind, record),
        is_later=is_later,
        entered_at=timezone.now(),
        previous=before or BEFORE_THE_FIRST,
    )
    entry.digest = digest_of_entry(entry)
    entry.seal, entry.public_key = seal_of(entry.digest)
    entry.save(force_insert=True)
    return entry


def _name_of(record):
    if isinstance(record, Certificate):
        return f"certificate {record.number}"
    if isinstance(record, CertificatePaper):
        return f"paper of certificate {record.certificate.number}"
    if isinstance(record, RevisionAct):
        return f"statement {record.number} on as-installed {record.revision}"
    return f"log entry {record.pk}" if isinstance(record, LogEntry) else f"visit {record.visit_id}"


def content_of(kind, record):
    row = MODELS[kind]._base_manager.values(*COLUMNS[kind]).get(pk=record.pk)
    content = {"form": FORM, "record": digest_of_row(row), "columns": columns_of_row(row)}
    if kind in WITH_RESULTS:
        results = results_of(test_point__visit=record.visit_id)
        content["results"] = {str(key): digest for _visit, key, digest in results}
    return content


def enter_log_entry(entry):
    """A new entry of a log book; its end too, where it came with one."""
    enter(Kind.LOG_ENTRY, entry)
    if entry.ended_at:
        enter(Kind.LOG_END, entry)


def issue_of(certificate):
    """The entry of its issue, which fixes all that was entered before it; None where it is not entered."""
    return LedgerEntry.objects.filter(kind=Kind.ISSUE, about=certificate.pk).first()


def head():
    """The last entry, by which all before it is fixed; None while nothing is entered."""
    return LedgerEntry.objects.order_by("-number").first()


@transaction.atomic
def enter_what_lacks(building=None):
    """Enter what happened before there was a ledger, or beside it, as entered later; returns how many entries.

    With a building only what happened in it.
    """
    entered = 0
    for kind, which in TOLD_OF.items():
        here = Q(**{BUILDING_OF[kind]: building}) if building else EVERY_ROW
        known = LedgerEntry.objects.filter(kind=kind).values("about")
        for record in MODELS[kind]._base_manager.filter(which & here).exclude(pk__in=known).order_by("pk"):
            enter(kind, record, is_later=True)
            entered += 1
    return entered


EVERY_ROW = Q()
BUILDING_OF = dict.fromkeys(LedgerEntry.Kind, "building") | {
    Kind.SIGN_OFF: "visit__building",
    Kind.PAPER: "certificate__building",
    Kind.REVISION_ACT: "revision__building",
}
_IS_REVOKED = Q(state=Certificate.State.REVOKED) | Q(revoked_at__isnull=False) | ~Q(revoked_reason="")
# Which records there is an entry of each kind about.
TOLD_OF = {
    Kind.LOG_ENTRY: EVERY_ROW,
    Kind.LOG_END: Q(ended_at__isnull=False) | Q(ended_by__isnull=False) | ~Q(ending_note=""),
    Kind.SIGN_OFF: EVERY_ROW,
    Kind.ISSUE: EVERY_ROW,
    Kind.SUPERSESSION: Q(state=Certificate.State.SUPERSEDED),
    Kind.REVOCATION: _IS_REVOKED | Q(revoked_by__isnull=False),
    Kind.PAPER: EVERY_ROW,
    Kind.REVISION_ACT: EVERY_ROW,
}
