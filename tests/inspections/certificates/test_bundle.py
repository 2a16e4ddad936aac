"""The certificates of a list as one ZIP: complete, and with a list that says what each file is."""

import csv
import hashlib
import io
import zipfile
from unittest.mock import Mock

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse

from inspections.certificates import bundle, papers
from inspections.models import Certificate
from tests import builders


@pytest.fixture
def of_mill(town):
    return builders.make_certificate(
        builders.make_finished_visit(town.mill, engineer=town.people["engineer"]), town.people["office"]
    )


def packed(client, **asked):
    response = client.get(reverse("certificate-bundle"), asked)
    archive = zipfile.ZipFile(io.BytesIO(response.getvalue()))
    listed = csv.DictReader(io.StringIO(archive.read(bundle.CONTENTS).decode("utf-8-sig")))
    return archive, {line["Number"]: line for line in listed}


def test_the_archive_holds_each_pdf_byte_by_byte_and_the_list_its_digest(as_, town, of_mill):
    archive, listed = packed(as_("office"))
    assert set(listed) == {town.certificate.number, of_mill.number}
    assert set(archive.namelist()) == {bundle.CONTENTS, *(line["File"] for line in listed.values())}
    line = listed[town.certificate.number]
    content = archive.read(line["File"])
    assert content == as_("office").get(reverse("certificate-pdf", args=[town.certificate.number])).content
    assert line["SHA-256"] == hashlib.sha256(content).hexdigest()
    assert (line["Building"], line["State"], line["Note"]) == ("Ropewalk Hall", "not withdrawn", "")


def test_the_archive_holds_what_the_list_shows_to_this_person(as_, town, of_mill):
    assert set(packed(as_("manager"))[1]) == {town.certificate.number}
    assert set(packed(as_("office"), q="Mill House")[1]) == {of_mill.number}
    address = f"{reverse('certificate-bundle')}?q=Mill+House"
    assert (
        f'href="{address}">All 1 as one ZIP<'
        in as_("office").get(reverse("certificate-list"), {"q": "Mill House"}).text
    )


def test_a_pdf_that_cannot_be_made_is_told_in_the_list_and_the_others_are_packed(as_, town, of_mill, monkeypatch):
    def made_but_one(certificate):
        if certificate == of_mill:
            raise papers.KeyMissing("The key is gone.")
        return keep_pdf(certificate)

    keep_pdf = papers.keep_pdf
    monkeypatch.setattr(papers, "keep_pdf", made_but_one)
    archive, listed = packed(as_("office"))
    assert (listed[of_mill.number]["File"], listed[of_mill.number]["Note"]) == ("", bundle.NOT_MADE)
    assert archive.namelist() == [listed[town.certificate.number]["File"], bundle.CONTENTS]


@pytest.mark.parametrize(
    "most, asked, sentence",
    [
        (2_000, "nobody", "No certificate is listed, so there is nothing to pack."),
        (1, "", "2 certificates are listed; one ZIP holds 1 at most. Narrow the list."),
    ],
)
def test_what_makes_no_archive_leads_back_to_the_list_with_a_sentence(as_, of_mill, monkeypatch, most, asked, sentence):
    monkeypatch.setattr("inspections.certificates.views.certificates.MOST", most)
    response = as_("office").get(reverse("certificate-bundle"), {"q": asked}, follow=True)
    assert response.redirect_chain == [(f"{reverse('certificate-list')}?q={asked}", 302)]
    assert sentence in response.text


@pytest.mark.parametrize("processors, shares", [(1, [20]), (2, [10, 10]), (64, [10, 10])])
def test_no_process_is_started_for_fewer_papers_than_it_takes_to_start_it(monkeypatch, processors, shares):
    monkeypatch.setattr(papers, "PROCESSES", processors)
    assert [len(share) for share in papers.shared(list(range(20)))] == shares


def test_a_number_that_no_certificate_has_is_told_and_nothing_is_made(town):
    with pytest.raises(CommandError, match="No certificate has the number 2020-0001; none was made."):
        call_command("compose_papers", only=[town.certificate.number, "2020-0001"])
    assert not Certificate.objects.exclude(pdf="").exists()


def test_many_papers_are_shared_by_processes_each_made_once(town, of_mill, monkeypatch):
    """A process of its own would open another database than that of the tests: here its command is called."""
    shares = []

    def start(numbers):
        shares.append(numbers)
        call_command("compose_papers", only=numbers, stdout=io.StringIO())
        return Mock()

    monkeypatch.setattr(papers, "start", start)
    monkeypatch.setattr(papers, "FEWEST", 1)
    monkeypatch.setattr(papers, "PROCESSES", 2)
    said = io.StringIO()
    call_command("compose_papers", stdout=said)
    assert said.getvalue().startswith("2 made;")
    assert sorted(shares) == [[town.certificate.number], [of_mill.number]]
    assert [certificate.papers.count() for certificate in Certificate.objects.exclude(pdf="")] == [1, 1]
