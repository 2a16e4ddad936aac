"""The PDF of a certificate is made apart from the issue, kept, and made again where it is missing."""

import io
from pathlib import Path

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.management import CommandError, call_command
from django.urls import reverse

from inspections.certificates import papers
from inspections.certificates.document import certificate_pdf
from inspections.certificates.examining import examine
from inspections.models import Certificate


def compose_papers():
    said = io.StringIO()
    call_command("compose_papers", stdout=said)
    return said.getvalue()


def test_the_worker_makes_what_lacks_and_nothing_twice(town):
    assert not town.certificate.pdf
    assert compose_papers() == "1 made; every certificate and hand-over has its PDF.\n"
    assert default_storage.is_whole(Certificate.objects.get(pk=town.certificate.pk).pdf.name)
    assert compose_papers() == "0 made; every certificate and hand-over has its PDF.\n"


def test_a_paper_that_cannot_be_made_is_told_and_made_the_next_time(town, settings):
    folder, settings.MEDIA_ROOT = settings.MEDIA_ROOT, "/dev/null/nowhere"
    with pytest.raises(CommandError, match="0 made, 1 not"):
        compose_papers()
    settings.MEDIA_ROOT = folder
    assert compose_papers().startswith("1 made")


def test_the_manager_downloads_the_pdf_under_a_name_a_person_would_give(as_, town):
    response = as_("manager").get(reverse("certificate-pdf", args=[town.certificate.number]))
    assert response.headers["Content-Type"] == "application/pdf"
    assert (
        f"Ropewalk-Hall_inspection-certificate_{town.certificate.number}.pdf" in response.headers["Content-Disposition"]
    )


def test_the_pdf_kept_at_first_download_stays_the_same(as_, town):
    address = reverse("certificate-pdf", args=[town.certificate.number])
    first = as_("manager").get(address).content
    kept = Certificate.objects.get(pk=town.certificate.pk).pdf.name
    town.hall.name = "Renamed Hall"
    town.hall.save()
    assert as_("manager").get(address).content == first
    assert Certificate.objects.get(pk=town.certificate.pk).pdf.name == kept


@pytest.mark.parametrize("harm", ["gone", "empty", "cut short", "altered"])
def test_a_pdf_that_is_not_as_it_was_issued_is_composed_again_from_the_statement(as_, town, harm):
    address = reverse("certificate-pdf", args=[town.certificate.number])
    whole = as_("manager").get(address).content
    kept = Path(Certificate.objects.get(pk=town.certificate.pk).pdf.path)
    if harm == "gone":
        kept.unlink()
    else:
        kept.write_bytes({"empty": b"", "cut short": whole[:2000], "altered": whole.replace(b"obj", b"OBJ", 1)}[harm])
    for _ in range(2):
        assert as_("manager").get(address).content == whole


def test_one_that_a_later_version_composes_otherwise_is_kept_beside_the_first_and_told(as_, town, monkeypatch, caplog):
    address = reverse("certificate-pdf", args=[town.certificate.number])
    as_("manager").get(address)
    first = Certificate.objects.get(pk=town.certificate.pk).pdf
    Path(first.path).write_bytes(b"%PDF-1.7 half of it")
    monkeypatch.setattr(papers, "certificate_pdf", lambda certificate: b"%PDF-1.7 of a later version %%EOF")
    monkeypatch.setattr(papers, "signed", lambda pdf, reason: pdf + b" signed")
    assert as_("manager").get(address).content == b"%PDF-1.7 of a later version %%EOF signed"
    assert Certificate.objects.get(pk=town.certificate.pk).pdf.name != first.name
    assert Path(first.path).read_bytes() == b"%PDF-1.7 half of it"
    assert f"restore ARCHIVE --file {first.name}" in caplog.text


def test_a_pdf_from_before_there_were_signatures_stays_the_one_that_was_given_out(as_, town):
    first = certificate_pdf(town.certificate)
    town.certificate.pdf.save("before.pdf", ContentFile(first))
    assert as_("manager").get(reverse("certificate-pdf", args=[town.certificate.number])).content == first
    assert examine(first).is_ours
