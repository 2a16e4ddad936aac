"""A key that the evidence rests on is never made anew without a word: the register says that it is missing."""

import io
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse

from inspections.certificates.papers import keep_pdf
from inspections.deployment_checks import keys_beside_the_data, keys_of_evidence
from inspections.log_book.entries import write_entry
from inspections.models import LedgerEntry, LogEntry
from inspections.verification.running import verify_register
from sites_registry.keys import KeyMissing
from sites_registry.models import KeptFile
from tests import builders


@pytest.fixture
def ledger_key(town, settings, tmp_path):
    """The ledger has entries; its key was not taken along."""
    settings.LEDGER_KEY = str(tmp_path / "ledger_key.pem")
    return Path(settings.LEDGER_KEY)


@pytest.fixture
def signing_key(town, settings, tmp_path):
    """A paper was signed; the key was not taken along."""
    keep_pdf(town.certificate)
    settings.SIGNING_PKCS12 = str(tmp_path / "signing_key.p12")
    return Path(settings.SIGNING_PKCS12)


def told(command, **options):
    said = io.StringIO()
    call_command(command, stdout=said, stderr=said, **options)
    return said.getvalue()


def test_nothing_is_entered_without_the_key_of_the_ledger(town, ledger_key):
    entries = LogEntry.objects.count()
    with pytest.raises(KeyMissing, match=r"Put the key back .* manage.py make_keys --anew"):
        write_entry(
            building=town.hall,
            kind="fault",
            what="Lamp out.",
            entered_by=town.people["manager"],
            happened_at=builders.days_ago(3),
            seen_by="Mara Hollin",
        )
    assert not ledger_key.exists() and LogEntry.objects.count() == entries


def test_the_page_of_who_issues_says_it_and_names_no_folder(town, ledger_key, client):
    client.force_login(town.people["office"])
    client.raise_request_exception = False
    answer = client.post(
        reverse("certificate-revoke", args=[town.certificate.number]), {"reason": "Wrong building.", "is_sure": "on"}
    )
    assert answer.status_code == 503
    assert "A key of the register is missing" in answer.text and ledger_key.name not in answer.text
    town.certificate.refresh_from_db()
    assert town.certificate.state == "in_force"


def test_verify_register_tells_it_once_and_still_holds_each_entry_against_its_seal(ledger_key):
    faults = verify_register().faults
    assert len(faults) == 1 and faults[0].startswith("Key of the ledger: REGISTER_LEDGER_KEY is")
    assert not ledger_key.exists()


def test_a_paper_that_cannot_be_entered_leaves_no_file(town, ledger_key):
    with pytest.raises(KeyMissing):
        keep_pdf(town.certificate)
    assert not KeptFile.objects.exists()


def test_doctor_and_the_start_tell_a_missing_key(ledger_key):
    (wrong,) = keys_of_evidence()
    assert "where no file is, and the ledger of" in wrong.remedy
    assert "▲ A key of the register is missing" in told("start_summary")


def test_doctor_tells_another_key_and_what_to_name_if_it_was_meant(ledger_key):
    call_command("make_keys", anew=True, stdout=io.StringIO(), stderr=io.StringIO())
    (wrong,) = keys_of_evidence()
    assert "is not the one that sealed its last entry" in wrong.what
    assert f"REGISTER_LEDGER_FORMER_KEYS={LedgerEntry.objects.last().public_key}" in wrong.remedy


def test_a_key_is_made_in_its_place_only_on_purpose(ledger_key, settings):
    with pytest.raises(CommandError, match="The key of the ledger is missing"):
        told("make_keys")
    former = LedgerEntry.objects.last().public_key
    assert f"REGISTER_LEDGER_FORMER_KEYS={former}" in told("make_keys", anew=True)
    settings.LEDGER_FORMER_KEYS = [former]
    assert not verify_register().faults


def test_no_paper_is_signed_with_a_key_made_in_the_place_of_one_that_signed(town, signing_key):
    with pytest.raises(KeyMissing, match="papers were signed with it, 1 so far"):
        keep_pdf(builders.make_certificate(builders.make_finished_visit(town.mill)))
    assert not signing_key.exists()
    (wrong,) = keys_of_evidence()
    assert "REGISTER_SIGNING_PKCS12" in wrong.remedy


def test_doctor_says_when_a_key_lies_beside_the_data(ledger_key, settings, tmp_path):
    ledger_key.write_bytes(b"a key")
    settings.DATA_DIR = tmp_path
    (worth,) = keys_beside_the_data()
    assert "The keys of REGISTER_LEDGER_KEY lie in the data folder" in worth.what
    settings.DATA_DIR = tmp_path / "data"
    assert list(keys_beside_the_data()) == []
