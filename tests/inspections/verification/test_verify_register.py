"""`manage.py verify_register`: ledger, rows and tables are whole, or the first broken link is named.

Whoever alters evidence here owns the database: the triggers are dropped first.
"""

import hashlib
import io
import json
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import IntegrityError, connection, transaction
from django.urls import reverse

from inspections.certificates.issue import digest_of, revoke_certificate
from inspections.certificates.papers import keep_pdf
from inspections.ledger.entering import enter_what_lacks
from inspections.ledger.records import canonical
from inspections.ledger.seals import is_sealed, new_key
from inspections.log_book.entries import correct_entry, end_entry, write_entry
from inspections.models import Certificate, CertificatePaper, LedgerEntry, LogEntry, Result, Verification
from inspections.sign_offs.taking import take_sign_off
from inspections.verification.running import verify_register
from sites_registry.append_only import lift
from sites_registry.keys import write_key
from sites_registry.models import Counter, KeptFile
from tests import builders
from tests.evidence import evidence_lifted
from tests.inspections.verification.altered_rows import not_told, rows_altered


@pytest.fixture
def evidence(shared, town):
    return shared.built(build_evidence, town)


def build_evidence(town):
    """A superseded and a revoked certificate, one in force, a signed-off visit, entries of a log book: all entered."""
    people = town.people
    visit = builders.make_finished_visit(town.hall, engineer=people["engineer"], job=builders.make_job(town.hall))
    take_sign_off(visit=visit, taken_by=people["engineer"], how="nobody", why_nobody="Nobody there.")
    builders.make_certificate(visit, people["office"])
    revoked = builders.make_certificate(builders.make_finished_visit(town.mill))
    revoke_certificate(certificate=revoked, revoked_by=people["office"], reason="Wrong building.")
    common = {"entered_by": people["manager"], "happened_at": builders.days_ago(3), "seen_by": "Mara Hollin"}
    write_entry(building=town.hall, kind="weekly_check", check_result="in_order", smoke_zone=town.zone, **common)
    fault = write_entry(building=town.hall, kind="fault", what="Lamp out.", **common)
    end_entry(entry=fault, ended_at=builders.days_ago(1), ended_by=people["manager"], note="Replaced.")
    correct_entry(entry=fault, kind="fault", what="Lamp of P1 out.", **common)
    return town


def run():
    said = io.StringIO()
    call_command("verify_register", stdout=said)
    return said.getvalue()


def faults():
    with pytest.raises(CommandError) as found:
        run()
    return str(found.value)


def by_raw_sql(statement, *values):
    with evidence_lifted(), connection.cursor() as cursor:
        cursor.execute(statement, values)
        assert cursor.rowcount


def test_what_was_done_through_the_register_is_whole_and_every_act_is_entered(evidence):
    said = run()
    assert "Whole: nothing differs." in said
    kinds = list(LedgerEntry.objects.values_list("kind", flat=True))
    assert kinds == [
        *("issue", "sign_off", "supersession", "issue", "issue", "revocation"),
        *("log_entry", "log_entry", "log_end", "log_entry", "log_end"),
    ]
    assert Verification.objects.get().ledger_head == LedgerEntry.objects.last().short


def test_a_seal_is_ed25519_as_published():
    """RFC 8032, section 7.1, test 2: one byte, 72, signed with the published key."""
    public_key = "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c"
    seal = (
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da"
        "085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00"
    )
    assert is_sealed("72", seal, public_key)
    assert not is_sealed("73", seal, public_key) and not is_sealed("72", seal[:-2] + "01", public_key)


def test_a_record_is_written_as_rfc_8785_orders_and_quotes_it():
    """RFC 8785, section 3.2.3: keys in their order (here all in the plane in which both orders agree), nothing escaped
    that need not be. Own rules for what JSON lacks: moments in UTC, decimals without trailing zeros."""
    given = {"\u20ac": "Euro Sign", "\r": "Carriage Return", "1": "One", "\u0080": "Control", "\u00f6": "Latin"}
    assert list(json.loads(canonical(given))) == ["\r", "1", "\u0080", "\u00f6", "\u20ac"]
    assert "€".encode() in canonical(given)


def alter(model, key, **changes):
    names = ", ".join(f"{name} = %s" for name in changes)
    by_raw_sql(f"UPDATE {model._meta.db_table} SET {names} WHERE id = %s", *changes.values(), key)  # noqa: S608


def test_an_altered_result_is_named_with_its_visit(evidence):
    result = Result.objects.first()
    alter(Result, result.pk, outcome="fail")
    assert f"First broken link: Result {result.pk} of visit {result.test_point.visit_id}: it is not" in faults()


def test_an_altered_certificate_is_named_with_what_differs(evidence):
    alter(Certificate, evidence.certificate.pk, token="another")
    assert f"Certificate {evidence.certificate.number}: token is not as entered; see entry 1 of" in faults()


def test_a_statement_altered_with_its_digest_is_still_told(evidence):
    statement = {**evidence.certificate.statement, "scope": "More than was tested."}
    alter(Certificate, evidence.certificate.pk, statement=json.dumps(statement), digest_sha256=digest_of(statement))
    assert "statement, digest_sha256 are not as entered" in faults()


def test_a_revoked_certificate_that_is_put_back_is_told(evidence):
    revoked = Certificate.objects.get(state="revoked")
    alter(Certificate, revoked.pk, state="in_force")
    assert f"Certificate {revoked.number}: state is not as entered; see entry 6 of the ledger" in faults()


def test_a_paper_altered_with_every_digest_of_it_is_told(evidence):
    certificate = keep_pdf(evidence.certificate)
    other = Path(certificate.pdf.path).read_bytes() + b"\n"
    Path(certificate.pdf.path).write_bytes(other)
    digest = hashlib.sha256(other).hexdigest()
    alter(CertificatePaper, certificate.papers.get().pk, sha256=digest)
    KeptFile.objects.filter(name=certificate.pdf.name).update(sha256=digest, size_bytes=len(other))
    assert (
        f"Paper of certificate {certificate.number}: sha256 is not as entered; see entry 12 of the ledger" in faults()
    )


def test_a_row_that_was_slipped_in_is_told(evidence):
    entry = builders.make_log_entry(evidence.hall)  # by no service
    assert f"Log entry {entry.pk}: it is not in the ledger" in faults()


def test_a_row_that_was_taken_out_is_told(evidence):
    entry = LogEntry.objects.get(kind="weekly_check")
    by_raw_sql("DELETE FROM inspections_logentry WHERE id = %s", entry.pk)
    assert f"Log entry {entry.pk}: its row is missing" in faults()


def test_an_entry_of_the_ledger_that_was_taken_out_is_told_and_the_last_one_too(evidence):
    by_raw_sql("DELETE FROM inspections_ledgerentry WHERE number = 3")
    assert "First broken link: Ledger, entry 3: entry 3 is missing" in faults()
    by_raw_sql("DELETE FROM inspections_ledgerentry WHERE number = 11")
    assert "Ledger, after entry 10: 1 were given out after it and are missing" in faults()


def test_an_entry_of_the_ledger_that_was_altered_is_told(evidence):
    by_raw_sql("UPDATE inspections_ledgerentry SET named = 'certificate 2020-0001' WHERE number = 2")
    assert "Ledger, entry 2 (visit signed off, certificate 2020-0001): its content is not" in faults()


def test_a_ledger_made_anew_with_another_key_is_told(evidence, settings, tmp_path):
    by_raw_sql("DELETE FROM inspections_ledgerentry")
    Counter.objects.filter(series="ledger").delete()
    of_the_register, settings.LEDGER_KEY = settings.LEDGER_KEY, str(tmp_path / "another.pem")
    enter_what_lacks()
    settings.LEDGER_KEY = of_the_register
    assert "sealed with a key that is not the register's" in faults()


def test_a_former_key_that_is_named_stays_good(evidence, settings, tmp_path):
    former = LedgerEntry.objects.first().public_key
    settings.LEDGER_KEY, settings.LEDGER_FORMER_KEYS = str(tmp_path / "next.pem"), [former]
    write_key(settings.LEDGER_KEY, new_key())
    assert "Whole: nothing differs." in run()


def test_a_table_that_lost_its_guard_is_told(evidence):
    lift(connection, {"inspections_result"})
    assert "Table inspections_result: the database takes changes of its rows" in faults()


def test_what_stood_before_there_was_a_ledger_is_entered_as_entered_later(evidence):
    by_raw_sql("DELETE FROM inspections_ledgerentry")
    Counter.objects.filter(series="ledger").delete()
    call_command("enter_in_ledger", if_empty=True, stdout=io.StringIO())
    assert set(LedgerEntry.objects.values_list("is_later", flat=True)) == {True}
    assert "Whole: nothing differs." in run()
    builders.make_log_entry(evidence.hall)
    call_command("enter_in_ledger", if_empty=True, stdout=io.StringIO())
    assert "is not in the ledger" in faults()


def test_of_a_sample_of_altered_rows_each_is_told(evidence):
    """Each column of each row of evidence could be altered; a seeded dozen of them is, one after the other."""
    assert not_told(rows_altered(12, seed=14)) == []


def test_a_chain_made_anew_is_told_by_papers_and_former_runs(evidence):
    keep_pdf(evidence.certificate)
    verify_register()
    with evidence_lifted(LedgerEntry._meta.db_table, CertificatePaper._meta.db_table):
        LedgerEntry.objects.all().delete()
        Counter.objects.filter(series="ledger").delete()
        enter_what_lacks()
    told = "\n".join(verify_register().faults)
    assert "Head of the ledger" in told
    assert f"Paper of certificate {evidence.certificate}: it bears entry" in told


class TestPage:
    def page(self, as_):
        return as_("office").get(reverse("verification-list")).content.decode()

    def test_before_the_first_run_it_says_how_it_is_run(self, as_):
        page = self.page(as_)
        assert "never run" in page and "manage.py verify_register" in page

    def test_it_shows_what_was_looked_at_and_that_nothing_differs(self, evidence, as_):
        last = verify_register()
        page = self.page(as_)
        assert "whole: nothing differs" in page and last.ledger_head in page

    def test_the_last_run_is_not_among_those_before_it(self, evidence, as_):
        first, _last = verify_register(), verify_register()
        before = as_("office").get(reverse("verification-list")).context["before"]
        assert before == [first]

    def test_it_names_the_first_broken_link_and_the_runs_before(self, evidence, as_):
        verify_register()
        alter(Certificate, evidence.certificate.pk, token="another")
        verify_register()
        page = self.page(as_)
        assert "not whole" in page and "token is not as entered; see entry 1" in page and "Runs before" in page

    def test_a_run_that_was_kept_is_not_changed(self, evidence):
        run = verify_register()
        with pytest.raises(IntegrityError, match="are evidence"), transaction.atomic():
            Verification.objects.filter(pk=run.pk).update(faults_count=1)
