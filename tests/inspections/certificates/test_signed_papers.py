"""The signed PDF, and what is told of a file that somebody hands over: ours and unaltered, or where it differs."""

import asyncio
import io
import shutil
import subprocess
from pathlib import Path

import pikepdf
import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command
from django.urls import reverse
from pyhanko.sign.timestamps import DummyTimeStamper

from inspections.certificates.comparing import differences
from inspections.certificates.document import certificate_pdf
from inspections.certificates.examining import _alone, examine
from inspections.certificates.issue import revoke_certificate
from inspections.certificates.own_loop import in_own_loop
from inspections.certificates.papers import keep_pdf
from inspections.certificates.signing import signed
from inspections.certificates.signing_keys import signer, trust_roots
from inspections.models import Certificate
from sites_registry.keys import KEY_MODE
from tests import builders
from tests.inspections.certificates.altered_papers import WAYS, sample


@pytest.fixture(autouse=True)
def a_machine_of_its_own(settings, tmp_path):
    """Where one file is read at a time: other processes of the tests read theirs."""
    settings.DATA_DIR = tmp_path


def paper_of(certificate):
    return default_storage.read_whole(keep_pdf(certificate).pdf.name)


@pytest.fixture
def paper(town):
    return paper_of(town.certificate)


@pytest.mark.skipif(not shutil.which("pdfsig"), reason="poppler-utils is not installed")
def test_an_independent_reader_finds_the_signature_valid_and_over_the_whole_file(paper, tmp_path):
    """pdfsig of poppler. It does not know the root of a trial: "issuer isn't Trusted" is what it must say."""
    path = tmp_path / "paper.pdf"
    path.write_bytes(paper)
    said = subprocess.run(["pdfsig", path], capture_output=True, text=True, check=False).stdout
    for words in ("ETSI.CAdES.detached", "Total document signed", "Signature is Valid.", "issuer isn't Trusted"):
        assert words in said
    path.write_bytes(paper.replace(b"/Lang", b"/Lanh", 1))
    said = subprocess.run(["pdfsig", path], capture_output=True, text=True, check=False).stdout
    assert "Signature is Valid." not in said


def test_signed_it_is_still_tagged_pdf_a_and_begins_with_what_was_composed(town, paper):
    assert paper.startswith(certificate_pdf(town.certificate))
    with pikepdf.open(io.BytesIO(paper)) as pdf:
        assert "/StructTreeRoot" in pdf.Root and "/OutputIntents" in pdf.Root
        assert b"pdfaid" in pdf.Root.Metadata.read_bytes()
        assert list(pdf.attachments) == [f"{town.certificate.number}.json"]


def test_with_a_time_stamp_authority_the_signature_bears_its_stamp(town):
    """A stamp of our own clock stands for the authority: it shows the form (RFC 3161), it proves no time."""
    stamper = DummyTimeStamper(signer().signing_cert, signer().signing_key)
    stamped = signed(certificate_pdf(town.certificate), reason="Trial", time_stamper=stamper)
    assert len(stamped) > len(signed(certificate_pdf(town.certificate), reason="Trial")) + 2000


def test_a_paper_is_signed_where_an_event_loop_is_already_running(monkeypatch):
    """In an asynchronous server, or beside a browser test."""
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")

    async def within_a_loop():
        paper = signed(certificate.getvalue(), reason="Trial")
        return differences(paper + b"\n", paper, trust_roots())

    certificate = io.BytesIO()
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        pdf.save(certificate)
    assert "cannot be read" not in " ".join(in_own_loop(asyncio.run, within_a_loop()))


def test_the_keys_are_made_for_this_account_alone(paper, settings):
    modes = {Path(path).stat().st_mode & 0o777 for path in (settings.SIGNING_PKCS12, settings.LEDGER_KEY)}
    assert modes == {KEY_MODE}


class TestExamined:
    def test_the_file_that_was_given_out_is_ours_whoever_hands_it_over(self, town, paper):
        assert examine(paper).is_ours and examine(paper).certificate == town.certificate

    def test_of_a_seeded_dozen_of_altered_papers_each_is_told_and_where(self, town, paper):
        other = paper_of(builders.make_certificate(builders.make_finished_visit(town.mill)))
        told = {}
        for way, altered in sample(2 * len(WAYS), 14, paper, other):
            found = differences(altered, paper, trust_roots())
            assert found, way
            told.setdefault(way, " ".join(found))
        assert "was issued with" in told["page_removed"]
        assert "The signature is missing." in told["signature_stripped"]
        assert "were added after its end" in told["something_added"]
        assert "The attached record" in told["attachment"]
        assert "not what was issued" in told["text"] and "not what was issued" in told["two_mixed"]

    def test_an_altered_one_is_compared_with_the_one_that_it_says_it_is(self, town, paper):
        examined = examine(paper + b"\n")
        assert examined.certificate == town.certificate and not examined.is_ours

    def test_a_file_that_is_none_of_ours_names_no_certificate(self, paper):
        examined = examine(b"%PDF-1.7 of somebody else")
        assert (examined.certificate, examined.is_ours) == (None, False)


class TestCommand:
    def verify(self, tmp_path, content):
        path, said = tmp_path / "paper.pdf", io.StringIO()
        path.write_bytes(content)
        call_command("verify_certificate", str(path), stdout=said)
        return said.getvalue()

    def test_it_says_ours_unaltered_and_how_it_stands(self, town, paper, tmp_path):
        assert "ours and unaltered; not withdrawn" in self.verify(tmp_path, paper)
        revoke_certificate(certificate=town.certificate, revoked_by=town.people["office"], reason="x")
        assert "ours and unaltered; revoked" in self.verify(tmp_path, paper)

    def test_it_says_where_an_altered_one_differs(self, paper, tmp_path):
        with pytest.raises(CommandError, match="says that it is certificate .* 1 bytes"):
            self.verify(tmp_path, paper + b"\n")


class TestPublicCheck:
    def send(self, client, certificate, content):
        address = reverse("certificate-check-file", args=[certificate.token])
        return client.post(address, {"file": SimpleUploadedFile("paper.pdf", content, "application/pdf")})

    def ask(self, client, certificate, letters):
        address = reverse("certificate-check-building", args=[certificate.token])
        return client.post(address, {"letters": letters})

    def test_the_file_is_told_ours_and_unaltered(self, client, town, paper):
        assert "ours, and unaltered" in self.send(client, town.certificate, paper).content.decode()

    def test_the_page_bears_the_digests_with_which_a_browser_compares(self, client, town, paper):
        page = client.get(reverse("certificate-check", args=[town.certificate.token])).content.decode()
        assert f'data-digests="{town.certificate.papers.get().sha256}"' in page

    def test_an_altered_file_is_told_and_where(self, client, town, paper):
        page = self.send(client, town.certificate, paper + b"\n").content.decode()
        assert "altered, or not ours" in page and "1 bytes were added after its end." in page

    def test_another_certificate_of_ours_is_told_apart(self, client, town, paper):
        other = builders.make_certificate(builders.make_finished_visit(town.mill))
        page = self.send(client, other, paper).content.decode()
        assert "another certificate" in page and town.certificate.number in page and "Ropewalk" not in page

    @pytest.mark.parametrize(("content", "sentence"), [(b"", "The file is empty."), (None, "Choose the PDF")])
    def test_without_a_file_it_is_asked_for(self, client, town, content, sentence):
        address = reverse("certificate-check-file", args=[town.certificate.token])
        data = {} if content is None else {"file": SimpleUploadedFile("paper.pdf", content)}
        response = client.post(address, data)
        assert response.status_code == 422 and sentence in response.content.decode()

    def test_while_another_file_is_read_it_is_asked_to_come_again(self, client, town, paper):
        with _alone():
            response = self.send(client, town.certificate, paper + b"\n")
            assert self.send(client, town.certificate, paper).status_code == 200  # by its digest, without reading it
        assert response.status_code == 503 and "Another file is being compared" in response.content.decode()

    def test_of_a_stranger_more_than_a_file_is_not_even_read(self, client, town, paper, monkeypatch):
        monkeypatch.setattr("sites_registry.middleware.MOST_OF_A_STRANGER_BYTES", 1000)
        response = self.send(client, town.certificate, paper)
        assert response.status_code == 413 and "This is too large" in response.content.decode()
        client.force_login(town.people["office"])  # has pages that take many files at once
        assert self.send(client, town.certificate, paper).status_code == 200

    def test_a_file_of_more_than_any_certificate_has_is_refused(self, client, town, monkeypatch):
        monkeypatch.setattr("inspections.certificates.forms.MOST_MB", 0)
        response = self.send(client, town.certificate, b"%PDF-1.7")
        assert response.status_code == 422 and "A certificate has less than 0." in response.content.decode()

    @pytest.mark.parametrize("letters", ["Ropewalk", "ropewalk hall", "ROPE-WALK"])
    def test_the_first_letters_of_its_building_fit(self, client, town, letters):
        page = self.ask(client, town.certificate, letters).content.decode()
        assert "of a building that begins so" in page and "Quay Housing" not in page

    def test_the_letters_of_another_building_do_not_and_the_name_is_not_said(self, client, town):
        page = self.ask(client, town.certificate, "Mill House").content.decode()
        assert "not of that building" in page and "Ropewalk" not in page

    @pytest.mark.parametrize("letters", ["Ro", "----", "R - - -", "\u200b\u200b\u200b\u200b"])
    def test_too_few_letters_are_no_question(self, client, town, letters):
        response = self.ask(client, town.certificate, letters)
        assert response.status_code == 422 and "Type 4 letters or more" in response.content.decode()

    def test_guessing_ends_as_it_does_at_the_log_in(self, client, town, settings):
        answers = [self.ask(client, town.certificate, f"Guess {n}") for n in range(settings.AXES_FAILURE_LIMIT + 1)]
        assert [answer.status_code for answer in answers] == [200] * settings.AXES_FAILURE_LIMIT + [429]
        assert "Wait a quarter of an hour" in answers[-1].content.decode()

    def test_a_certificate_without_a_paper_yet_says_so_to_the_browser(self, client, town):
        page = client.get(reverse("certificate-check", args=[town.certificate.token])).content.decode()
        assert 'data-digests=""' in page and Certificate.objects.get(pk=town.certificate.pk).pdf.name == ""
