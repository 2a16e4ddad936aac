"""Prove the evidence of the register whole, or name what is not: ledger, rows, tables; each fault is a sentence.

A check yields `Fault`s and counts what it looked at. None of them changes anything.
"""

from collections import Counter as Tally
from dataclasses import dataclass

from django.core.exceptions import ImproperlyConfigured
from django.core.files.storage import default_storage
from django.db import connection

from inspections.certificates.issue import is_intact
from inspections.ledger.entering import BEFORE_THE_FIRST, SERIES, TOLD_OF
from inspections.ledger.records import MODELS, columns_of_row, digest_of_entry, digest_of_row, results_of, rows_of
from inspections.ledger.seals import is_sealed, keys_of_the_register
from inspections.models import Certificate, CertificatePaper, LedgerEntry
from sites_registry.append_only import tables_not_held
from sites_registry.models import Counter, KeptFile
from sites_registry.whole_files import NotWhole

Kind = LedgerEntry.Kind
KINDS_TOLD = {
    Kind.SUPERSESSION: "that it was superseded",
    Kind.REVOCATION: "that it was revoked",
    Kind.LOG_END: "when it ended",
}


@dataclass(frozen=True, slots=True)
class Fault:
    """`what` record or link is not whole, and how it `differs`."""

    what: str
    differs: str

    def __str__(self):
        return f"{self.what}: {self.differs}"


class Known:
    """What the ledger says, read once: the digests of rows by kind and key, those of results by key."""

    def __init__(self):
        self.rows = {kind: {} for kind in Kind}
        self.results = {}

    def add(self, entry):
        self.rows[Kind(entry.kind)][entry.about] = (entry.number, entry.named, entry.content)
        for key, digest in entry.content.get("results", {}).items():
            self.results.setdefault(int(key), (digest, entry))


def check_ledger(looked_at: Tally, known: Known):
    """Each entry follows the one before it, says what its digest says, and is sealed by a key of the register."""
    number, digest = 0, BEFORE_THE_FIRST
    try:
        keys = keys_of_the_register()
    except ImproperlyConfigured as error:  # told once; the entries are still held against their own seals
        keys = None
        yield Fault("Key of the ledger", str(error))
    for entry in LedgerEntry.objects.order_by("number").iterator(chunk_size=500):
        number += 1
        if entry.number != number:
            lost = f"entry {number} is" if entry.number == number + 1 else f"entries {number} to {entry.number - 1} are"
            yield Fault(f"Ledger, entry {number}", f"{lost} missing")
            number, digest = entry.number, entry.previous
        what = f"Ledger, entry {entry.number} ({entry.get_kind_display()}, {entry.named})"
        if entry.previous != digest:
            yield Fault(what, "it does not follow from the entry before it")
        if wrong := _wrong_with(entry, keys):
            yield Fault(what, wrong)
        else:  # what is not proved vouches for nothing
            known.add(entry)
        digest = entry.digest
    looked_at["ledger entries"] = number
    given_out = Counter.objects.filter(series=SERIES).values_list("last_number", flat=True).first() or 0
    if given_out > number:
        yield Fault(f"Ledger, after entry {number}", f"{given_out - number} were given out after it and are missing")


def _wrong_with(entry, keys):
    if digest_of_entry(entry) != entry.digest:
        return "its content is not what its digest was made of"
    if not is_sealed(entry.digest, entry.seal, entry.public_key):
        return "its seal does not fit its digest"
    if keys is not None and entry.public_key not in keys:
        return f"it is sealed with a key that is not the register's ({entry.public_key[:16]}…)"
    return ""


def check_rows(looked_at: Tally, known: Known):
    """Each certificate, sign-off and entry of a log book is as it was entered, and is entered."""
    for kind, which in TOLD_OF.items():
        entered = dict(known.rows[kind])
        rows = rows_of(kind, which)
        looked_at[str(MODELS[kind]._meta.verbose_name_plural)] += 0 if which else len(rows)
        for key, row in rows.items():
            if key not in entered:
                yield Fault(
                    f"{MODELS[kind]._meta.verbose_name.capitalize()} {row.get('number', key)}", _not_entered(kind)
                )
                continue
            number, named, content = entered.pop(key)
            if digest_of_row(row) != content["record"]:
                yield Fault(named.capitalize(), f"{_what_differs(row, content)}; see entry {number} of the ledger")
        for number, named, _content in entered.values():
            told = KINDS_TOLD.get(kind)
            words = f"the ledger tells {told}, the row does not" if told else "its row is missing"
            yield Fault(named.capitalize(), f"{words}; see entry {number} of the ledger")


def _not_entered(kind):
    told = KINDS_TOLD.get(kind)
    return f"its row says {told}, the ledger does not" if told else "it is not in the ledger"


def _what_differs(row, content):
    now = columns_of_row(row)
    names = [name.removesuffix("_id") for name, digest in content["columns"].items() if now.get(name) != digest]
    return f"{', '.join(names) or 'its row'} {'are' if len(names) > 1 else 'is'} not as entered"


def check_results(looked_at: Tally, known: Known):
    """Each result that a certificate or a sign-off rests on is as it was then."""
    expected = dict(known.results)
    for visit, key, digest in results_of():
        looked_at["results"] += 1
        if key in expected and expected.pop(key)[0] != digest:
            entry = known.results[key][1]
            yield Fault(f"Result {key} of visit {visit}", f"it is not as it was when {entry.named} was entered")
    for key, (_digest, entry) in expected.items():
        yield Fault(f"Result {key}", f"it is missing; {entry.named} rests on it")


def check_statements(looked_at: Tally, known: Known):
    """Each certificate says what its digest was made of, and what is shown beside its statement says the same."""
    for certificate in Certificate.objects.order_by("pk").iterator(chunk_size=100):
        looked_at["statements"] += 1
        if not is_intact(certificate):
            yield Fault(f"Certificate {certificate.number}", "its statement is not the one that was issued")


def check_tables(looked_at: Tally, known: Known):
    """The database refuses changes of each table of evidence."""
    for table in tables_not_held(connection):
        yield Fault(f"Table {table}", "the database takes changes of its rows; manage.py migrate lays the guards again")


def check_papers(looked_at: Tally, known: Known):
    """The paper that the register holds of each certificate is one that was given out."""
    given_out = {}
    for certificate, digest in CertificatePaper.objects.values_list("certificate", "sha256"):
        given_out.setdefault(certificate, set()).add(digest)
    kept = dict(KeptFile.objects.values_list("name", "sha256"))
    for certificate in Certificate.objects.exclude(pdf="").defer("statement").order_by("pk").iterator(chunk_size=500):
        looked_at["papers"] += 1
        if kept.get(certificate.pdf.name) not in given_out.get(certificate.pk, {kept.get(certificate.pdf.name)}):
            yield Fault(f"Paper of certificate {certificate}", "its file is not the one that was given out")


def check_files(looked_at: Tally, known: Known):
    """Every file lies there as it was kept: papers, photographs, plans, what was handed over or kept with a record."""
    for name in KeptFile.objects.order_by("name").values_list("name", flat=True).iterator(chunk_size=500):
        looked_at["files"] += 1
        try:
            default_storage.read_whole(name)
        except (NotWhole, OSError) as error:
            yield Fault("File", str(error))


CHECKS = (check_ledger, check_rows, check_results, check_statements, check_tables, check_papers, check_files)
