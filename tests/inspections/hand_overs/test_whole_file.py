"""The hand-over file: everything that was handed over in one PDF, register and contents first, kept with its digest."""

import hashlib
import io
from pathlib import Path

import pikepdf
import pytest
from django.core.management import call_command
from django.urls import reverse

from inspections.hand_overs import whole_file
from inspections.hand_overs.collect import begin_hand_over, put_together
from inspections.hand_overs.whole_file import keep_whole_file
from sites_registry.documents.typeset import PaperError
from tests import builders
from tests.sites_registry.documents.test_base import words_of

pytestmark = pytest.mark.django_db


def strange_pdf(sheets=2):
    """As a maker's manual comes: untagged, with a form and a link that would start a program."""
    pdf = pikepdf.new()
    for _ in range(sheets):
        page = pdf.add_blank_page(page_size=(300, 400))
        launch = pikepdf.Dictionary(S=pikepdf.Name.Launch, F=pikepdf.String("calc"))
        link = pikepdf.Dictionary(Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.Link, Rect=[0, 0, 9, 9], A=launch)
        page.Annots = pikepdf.Array([pdf.make_indirect(link)])
    target = io.BytesIO()
    pdf.save(target)
    return target.getvalue()


@pytest.fixture
def hand_over(town):
    """Two papers of ours, one certificate, a manual of another hand, a PDF that is none, a text."""
    job = builders.make_job(town.hall, kind="new")
    builders.make_attachment(job=job, name="manual.pdf", content=strange_pdf())
    builders.make_attachment(job=job, name="torn.pdf", content=b"%PDF-1.7 and no more")
    builders.make_attachment(job=job, name="plan.txt", content=b"Plan of the roof.")
    begun = begin_hand_over(job=job, to=town.people["manager"], by=town.people["office"], note="Keys in the box.")
    wanted = (f"device-schedule:{town.hall.pk}", f"zone-schedule:{town.hall.pk}")
    begun.files.exclude(paper__in=wanted).filter(attachment=None, certificate=None).delete()
    return begun


@pytest.fixture
def given(hand_over):
    """The same, with its file."""
    return keep_whole_file(put_together(hand_over=hand_over, seconds=60))


def test_the_worker_puts_together_what_was_begun_and_makes_one_pdf_of_it(as_, hand_over):
    call_command("compose_papers")
    hand_over.refresh_from_db()
    assert hand_over.handed_over_at
    content = as_("manager").get(reverse("hand-over-file-pdf", args=[hand_over.pk])).content
    assert hashlib.sha256(content).hexdigest() == hand_over.whole_sha256
    page = as_("manager").get(hand_over.get_absolute_url()).content.decode()
    assert hand_over.whole_sha256[:16] in page and f"{hand_over.whole_sheets} sheets" in page
    text = words_of(content)
    for one in hand_over.files.all():
        assert one.title in text and one.sha256[:16] in text
    assert "Keys in the box." in text and "Received by" in text and "SD1" in text


def content_of(hand_over):
    return Path(hand_over.whole_file.path).read_bytes()


def pages_of(tree, pages):
    """{number of a page: elements of the structure that lie on it}, by the key that each page has."""
    places = dict(pikepdf.NumberTree(tree.ParentTree).items())
    return {
        number: [one for one in places[int(page.StructParents)] if isinstance(one, pikepdf.Dictionary)]
        for number, page in enumerate(pages)
        if "/StructParents" in page
    }


def test_each_part_keeps_its_tags_its_bookmark_and_its_line_of_the_contents(given):
    with pikepdf.open(given.whole_file.path) as whole:
        tree = whole.Root.StructTreeRoot
        parts = [str(one.T) for one in tree.K if one.get("/S") == "/Part"]
        ours = given.files.filter(attachment=None)
        assert parts == [one.title for one in ours]
        tagged = pages_of(tree, whole.pages)
        assert len(tagged) == len(whole.pages) - 2  # the manual's sheets are as they came
        assert all(
            one.Pg.objgen == whole.pages[n].objgen for n, found in tagged.items() for one in found if "/Pg" in one
        )
        names = [name for name, _one in pikepdf.NameTree(tree.IDTree).items()]
        assert len(names) == len(set(names)) and names == sorted(names)
        with whole.open_outline() as outline:
            kept = {item.title: item for folder in outline.root[1:] for item in folder.children}
        assert set(kept) == {*ours.values_list("title", flat=True), "manual.pdf"}
        goals = {link.Dest[0].objgen for page in whole.pages[:2] for link in page.get("/Annots", ()) if "/Dest" in link}
        assert goals >= {item.destination[0].objgen for item in kept.values()}


def test_what_is_no_sheet_is_attached_and_nothing_of_another_hand_acts(given):
    """A certificate is attached byte by byte too, with its signature; with strange sheets the whole is no PDF/A."""
    with pikepdf.open(given.whole_file.path) as whole:
        kept = {hashlib.sha256(one.get_file().read_bytes()).hexdigest() for one in whole.attachments.values()}
        assert kept == {
            one.sha256 for one in given.files.all() if one.certificate_id or one.file_name in ("torn.pdf", "plan.txt")
        }
        assert len(whole.Root.AF) == len(kept)
        assert "/AcroForm" not in whole.Root
        actions = [one.A.S for page in whole.pages for one in page.get("/Annots", ()) if "/A" in one]
        assert set(actions) <= {"/URI", "/GoTo"}
        assert "pdfaid:part" not in whole.open_metadata()
    assert "attached: closed or damaged" in words_of(content_of(given))


def test_a_torn_one_is_put_back_by_the_same_bytes(as_, town, given):
    before = given.whole_sha256
    with open(given.whole_file.path, "wb") as file:
        file.write(b"half")
    content = as_("manager").get(reverse("hand-over-file-pdf", args=[given.pk])).content
    assert hashlib.sha256(content).hexdigest() == before


def test_a_file_that_cannot_be_joined_is_attached_and_said_and_the_rest_is_pdf_a(town, monkeypatch):
    job = builders.make_job(town.hall)
    builders.make_attachment(job=job, name="manual.pdf", content=strange_pdf(3))
    begun = begin_hand_over(job=job, to=town.people["manager"], by=town.people["office"])
    begun.files.exclude(attachment__job=job).delete()
    asked = whole_file._asked

    def refuse_others(what):
        if any(not part["is_ours"] for part in what.get("parts", ())):
            raise PaperError("too much memory")
        return asked(what)

    monkeypatch.setattr(whole_file, "_asked", refuse_others)
    made = keep_whole_file(put_together(hand_over=begun, seconds=60))
    assert "attached: cannot be joined" in words_of(content_of(made))
    with pikepdf.open(made.whole_file.path) as whole:
        assert len(whole.attachments) == 1 and whole.open_metadata()["pdfaid:part"] == "3"
