"""What an entry of the ledger vouches for: rows as the database holds them, in one way of writing.

A form is never changed: columns that are added later belong to a further form, or entries made before could not be
proved any more. Rows are read by column, so that SQLite and PostgreSQL give the same text.
"""

import hashlib
import json
from datetime import UTC, date, datetime
from decimal import Decimal
from uuid import UUID

from inspections.models import Certificate, CertificatePaper, LedgerEntry, LogEntry, Result, SignOff
from zones.models import RevisionAct

FORM = 1
ENDING = ("ended_at", "ended_by_id", "ending_note")
COLUMNS = {
    LedgerEntry.Kind.ISSUE: [
        "number",
        "kind",
        "building_id",
        "visit_id",
        "is_limited",
        "statement",
        "digest_sha256",
        "token",
        "issued_by_id",
        "issued_on",
        "issued_at",
        "next_due_on",
        "supersedes_id",
    ],
    LedgerEntry.Kind.SUPERSESSION: ["number", "state"],
    LedgerEntry.Kind.REVOCATION: ["number", "state", "revoked_at", "revoked_by_id", "revoked_reason"],
    LedgerEntry.Kind.SIGN_OFF: [
        "visit_id",
        "how",
        "name",
        "signature",
        "why_nobody",
        "notice_given",
        "stood",
        "taken_by_id",
        "taken_at",
    ],
    LedgerEntry.Kind.LOG_ENTRY: [
        "building_id",
        "kind",
        "happened_at",
        "seen_by",
        "smoke_zone_id",
        "position_id",
        "what",
        "check_result",
        "cause",
        "action",
        "planned_end_at",
        "interim_measure",
        "told_to",
        "corrects_id",
        "entered_by_id",
        "entered_at",
    ],
    LedgerEntry.Kind.LOG_END: list(ENDING),
    LedgerEntry.Kind.PAPER: ["certificate_id", "sha256", "made_at"],
    LedgerEntry.Kind.REVISION_ACT: [
        "revision_id",
        "revision__digest",
        "number",
        "kind",
        "by_id",
        "capacity",
        "competence",
        "remark",
        "why_alone",
        "at",
    ],
}
MODELS = {
    LedgerEntry.Kind.ISSUE: Certificate,
    LedgerEntry.Kind.SUPERSESSION: Certificate,
    LedgerEntry.Kind.REVOCATION: Certificate,
    LedgerEntry.Kind.SIGN_OFF: SignOff,
    LedgerEntry.Kind.LOG_ENTRY: LogEntry,
    LedgerEntry.Kind.LOG_END: LogEntry,
    LedgerEntry.Kind.PAPER: CertificatePaper,
    LedgerEntry.Kind.REVISION_ACT: RevisionAct,
}
WITH_RESULTS = (LedgerEntry.Kind.ISSUE, LedgerEntry.Kind.SIGN_OFF)
RESULT_COLUMNS = [
    "test_point_id",
    "client_uuid",
    "outcome",
    "reading",
    "figures",
    "remark",
    "reason",
    "correction_reason",
    "recorded_by_id",
    "seen_at",
    "device_at",
    "clock_offset_s",
    "clock_offset_at_sending_s",
    "known_results",
    "received_at",
]
RESULT_DIGITS = 32  # 128 bits: a visit has thousands, and nobody finds a second row with the same


def canonical(value):
    """JSON with sorted keys, no blanks, moments in UTC, decimal numbers without trailing zeros; UTF-8."""
    return json.dumps(
        value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, default=_as_text, allow_nan=False
    ).encode()


def _as_text(value):
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat(timespec="microseconds")
    if isinstance(value, Decimal):
        return f"{value.normalize():f}"
    if isinstance(value, date | UUID):
        return str(value)
    raise TypeError(f"{type(value)} has no place in a digest")


def digest_of_row(row):
    return hashlib.sha256(canonical(row)).hexdigest()


def columns_of_row(row):
    """Column → the first digits of a digest of it: they prove nothing, they tell which column differs."""
    return {name: hashlib.sha256(canonical(value)).hexdigest()[:8] for name, value in row.items()}


def rows_of(kind, which):
    """Key → row (column → value) of the records that entries of this kind are about."""
    found = MODELS[kind]._base_manager.filter(which).values("pk", *COLUMNS[kind])
    return {row.pop("pk"): row for row in found.iterator(chunk_size=500)}


def results_of(**which):
    """(visit, key, digest) of each result, in the order of the keys."""
    found = Result._base_manager.filter(**which).order_by("pk").values("pk", "test_point__visit_id", *RESULT_COLUMNS)
    for row in found.iterator(chunk_size=2000):
        key, visit = row.pop("pk"), row.pop("test_point__visit_id")
        yield visit, key, digest_of_row(row)[:RESULT_DIGITS]


def digest_of_entry(entry):
    """Digest of all that stands in an entry, the digest of the one before it among it."""
    stands = ("number", "kind", "about", "named", "content", "is_later", "entered_at", "previous")
    return digest_of_row({name: getattr(entry, name) for name in stands})
