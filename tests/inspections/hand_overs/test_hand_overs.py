"""One act gives the manager all papers and the job's files; they stay as given, and the receipt is confirmed."""

import hashlib
import io
import zipfile
from pathlib import Path

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from inspections.hand_overs import collect as hand_overs
from inspections.hand_overs.collect import HandOverRefused, begin_hand_over, confirm_receipt, put_together
from inspections.models import HandOver, HandOverFile
from tests import builders
from tests.sites_registry.documents.test_base import words_of
from zones.files.documents_needed import models_in_use
from zones.labels.document import device_sheets_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(town):
    job = builders.make_job(town.hall, kind="new", label_language="English")
    builders.make_attachment(job=job, name="plan.txt", content=b"Plan of the roof.")
    return job


@pytest.fixture
def given(town, job, monkeypatch):
    """A hand-over with the files that are kept; composing papers is tried in a test of its own."""
    monkeypatch.setattr(hand_overs, "compose_paper", lambda hand_over, paper: f"%PDF {paper}".encode())
    hand_over = begin_hand_over(job=job, to=town.people["manager"], by=town.people["office"], note="Keys in the box.")
    return put_together(hand_over=hand_over, seconds=60)


def archive_of(response):
    return zipfile.ZipFile(io.BytesIO(b"".join(response.streaming_content)))


class TestHandingOver:
    def test_one_act_gives_the_manager_every_paper_and_the_files_of_the_job(self, as_, town, job, given):
        assert set(given.files.values_list("folder", flat=True)) >= {
            "certificates",
            "drawings",
            "schedules",
            "settings",
            "cause_and_effect",
            "other",
        }
        client = as_("manager")
        home = client.get("/").content.decode()
        assert given.get_absolute_url() in home and "receipt not confirmed" in home
        page = client.get(given.get_absolute_url()).content.decode()
        plan = given.files.get(attachment__job=job)
        assert plan.get_absolute_url() in page
        assert client.get(plan.get_absolute_url()).content == b"Plan of the roof."

    def test_papers_are_composed_from_the_record_and_those_with_nothing_to_show_are_missing(self, as_, town, job):
        hand_over = begin_hand_over(job=job, to=town.people["manager"], by=town.people["office"])
        keep = ("device-schedule", "end-of-line-schedule")
        hand_over.files.exclude(paper__in=[f"{key}:{town.hall.pk}" for key in keep]).delete()
        hand_over = put_together(hand_over=hand_over, seconds=60)
        (schedule,) = hand_over.files.all()
        assert schedule.title == "Device schedule" and "SD1" in words_of(
            as_("manager").get(schedule.get_absolute_url()).content
        )
        assert "End-of-line schedule: nothing to show." in hand_over.missing

    @pytest.mark.parametrize(
        ("typed", "words"),
        [
            ("German", ("Handmelder / manual call point", "Rauchmelder / smoke detector")),
            ("Polish and French", ("strefa / zone",)),
            ("English", ("zone 1",)),
            ("", ("zone 1",)),
        ],
    )
    def test_the_label_sheet_is_in_the_languages_of_the_jobs_labels_and_english_beside_one(self, job, typed, words):
        job.label_language = typed
        text = "\n".join(line for label in device_sheets_of(job).texts for line in label.lines)
        assert all(word in text for word in words)

    def test_the_label_sheet_is_among_the_papers(self, town, job):
        hand_over = begin_hand_over(job=job, to=town.people["manager"], by=town.people["office"])
        hand_over.files.exclude(paper=f"label-sheet:{job.pk}").delete()
        (sheet,) = put_together(hand_over=hand_over, seconds=60).files.all()
        assert (sheet.folder, sheet.title) == ("labels", "Label sheet, devices")
        assert sheet.size_bytes > 1000

    def test_every_file_keeps_its_digest_and_stays_when_the_record_changes(self, as_, town, job, given):
        plan = given.files.get(attachment__job=job)
        assert plan.sha256 == hashlib.sha256(b"Plan of the roof.").hexdigest()
        before = {one.pk: one.sha256 for one in given.files.all()}
        town.detector.tag = "SD77"
        town.detector.save()
        as_("office").post(reverse("attachment-withdraw", args=[plan.attachment_id]))
        client = as_("manager")
        for one in given.files.all():
            content = client.get(one.get_absolute_url()).content
            assert hashlib.sha256(content).hexdigest() == before[one.pk]

    def test_what_takes_longer_than_a_step_goes_on_with_the_next_and_is_seen_when_whole(
        self, as_, town, job, monkeypatch
    ):
        monkeypatch.setattr(hand_overs, "compose_paper", lambda *_: b"%PDF")
        hand_over = begin_hand_over(job=job, to=town.people["manager"], by=town.people["office"])
        hand_over = put_together(hand_over=hand_over, seconds=0)
        assert hand_over.files.put_together().count() == 1 and hand_over.handed_over_at is None
        assert as_("manager").get(hand_over.get_absolute_url()).status_code == 404
        assert begin_hand_over(job=job, to=town.people["manager"], by=town.people["office"]) == hand_over
        while not hand_over.handed_over_at:
            hand_over = put_together(hand_over=hand_over, seconds=0)
        given_at = hand_over.handed_over_at
        assert put_together(hand_over=hand_over).handed_over_at == given_at
        assert as_("manager").get(hand_over.get_absolute_url()).status_code == 200

    def test_it_is_noted_with_the_job_folder_by_folder(self, job, given):
        titles = list(job.handed_over.values_list("kind", "title"))
        assert ("settings", f"Settings: 1 file of hand-over {given.pk}") in titles

    def test_missing_documents_are_named_in_the_list_and_on_paper(self, as_, town, job, given):
        assert any("manual in English" in words for words in given.missing)
        text = words_of(as_("manager").get(reverse("hand-over-list", args=[given.pk])).content)
        assert "Hand-over list" in text and "manual in English" in text and "Keys in the box." in text
        assert given.files.get(attachment__job=job).sha256[:16] in text

    def test_with_every_paper_there_nothing_is_missing(self, as_, town, job, monkeypatch):
        monkeypatch.setattr(hand_overs, "compose_paper", lambda *_: b"%PDF")
        manual = builders.make_attachment(building=town.hall, name="manual.txt", content=b"Press, then wait.")
        type(manual).objects.filter(pk=manual.pk).update(kind="manual", language="en")
        letter = builders.make_attachment(building=town.hall, name="letter.txt", content=b"As agreed.")
        type(letter).objects.filter(pk=letter.pk).update(language="en")
        for model in models_in_use(town.hall):
            paper = builders.make_attachment(product_model=model, name="paper.txt", content=str(model).encode())
            type(paper).objects.filter(pk=paper.pk).update(kind="declaration")
        hand_over = begin_hand_over(job=job, to=town.people["manager"], by=town.people["office"])
        hand_over = put_together(hand_over=hand_over, seconds=60)
        assert hand_over.missing == []
        paths = {one.path for one in hand_over.files.all()}
        assert "Manuals/manual (English).txt" in paths  # nothing else is one of several languages
        assert any(path.endswith("/letter.txt") for path in paths)
        text = words_of(as_("manager").get(reverse("hand-over-list", args=[hand_over.pk])).content)
        assert "Nothing that the register asks for was missing." in text

    def test_two_files_of_one_name_get_two_names(self, town, job, monkeypatch):
        monkeypatch.setattr(hand_overs, "compose_paper", lambda *_: None)
        for content in (b"One.", b"Two."):
            builders.make_attachment(building=town.hall, name="Plan.txt", content=content)
        hand_over = begin_hand_over(job=job, to=town.people["manager"], by=town.people["office"])
        names = hand_over.files.filter(folder="other", paper="").values_list("file_name", flat=True)
        assert sorted(names) == ["Plan (2).txt", "Plan (3).txt", "plan.txt"]

    def test_the_files_of_a_folder_stand_kind_by_kind_each_with_its_language(self, town, job, monkeypatch):
        monkeypatch.setattr(hand_overs, "compose_paper", lambda *_: None)
        for kind, language in (("declaration", "fr"), ("conformity", "de"), ("declaration", "en")):
            paper = builders.make_attachment(
                building=town.hall, name=f"{kind} {language}.txt", content=language.encode()
            )
            type(paper).objects.filter(pk=paper.pk).update(kind=kind, language=language)
        hand_over = begin_hand_over(job=job, to=town.people["manager"], by=town.people["office"])
        files = hand_over.files.filter(folder="declarations").order_by("number")
        assert list(files.values_list("attachment__kind", "language")) == [
            ("conformity", "de"),
            ("declaration", "fr"),
            ("declaration", "en"),
        ]

    @pytest.mark.parametrize(
        ("to", "by", "field", "sentence"),
        [
            ("stranger", "office", "to", "does not manage Ropewalk Hall"),
            ("manager", "manager", None, "The office or an engineer"),
        ],
    )
    def test_it_is_refused_to_a_stranger_and_by_a_manager(self, town, job, to, by, field, sentence):
        with pytest.raises(HandOverRefused, match=sentence) as refused:
            begin_hand_over(job=job, to=town.people[to], by=town.people[by])
        assert refused.value.field == field
        assert not HandOver.objects.exists()

    def test_one_in_the_making_is_gone_on_with_and_after_it_a_new_one_begins(self, town, job, monkeypatch):
        monkeypatch.setattr(hand_overs, "compose_paper", lambda hand_over, paper: b"%PDF")
        who = {"to": town.people["manager"], "by": town.people["office"]}
        first = begin_hand_over(job=job, **who)
        assert begin_hand_over(job=job, **who) == first
        put_together(hand_over=first, seconds=60)
        assert begin_hand_over(job=job, **who) != first


class TestArchive:
    def test_one_archive_holds_every_file_under_its_folder_and_the_list(self, as_, given):
        response = as_("manager").get(reverse("hand-over-archive", args=[given.pk]))
        assert response.streaming and "Ropewalk-Hall_hand-over-j-" in response["Content-Disposition"]
        archive = archive_of(response)
        assert archive.testzip() is None
        assert set(archive.namelist()) >= {one.path for one in given.files.all()}
        assert len(archive.namelist()) == given.files.count() + 2
        assert archive.namelist()[1] == "check-these-files.html"
        for one in given.files.all():
            assert hashlib.sha256(archive.read(one.path)).hexdigest() == one.sha256

    def test_a_file_that_is_torn_is_told_and_does_not_spoil_the_rest(self, as_, job, given):
        plan = given.files.get(attachment__job=job)
        Path(plan.file.path).write_bytes(b"half of it")
        client = as_("manager")
        assert client.get(plan.get_absolute_url()).status_code == 500
        archive = archive_of(client.get(reverse("hand-over-archive", args=[given.pk])))
        assert archive.testzip() is None and plan.path not in archive.namelist()
        note = archive.read(f"{plan.path}.NOT-WHOLE.txt").decode()
        assert f"'{plan.path}' was handed over" in note and "restore it from a backup" in note

    def test_without_the_key_of_the_ledger_a_note_takes_the_place_of_the_page_that_checks(self, as_, given, settings):
        settings.LEDGER_KEY, settings.LEDGER_KEY_IS_NAMED = "/nowhere/key.pem", True
        archive = archive_of(as_("manager").get(reverse("hand-over-archive", args=[given.pk])))
        assert "could not be sealed" in archive.read("check-these-files.html.NOT-MADE.txt").decode()


class TestReceipt:
    def test_one_button_records_who_received_and_when_with_the_job_too(self, as_, town, job, given):
        as_("manager").post(reverse("hand-over-receipt", args=[given.pk]))
        given.refresh_from_db()
        job.refresh_from_db()
        assert given.received_by == town.people["manager"]
        assert (job.receipt_signed_by, job.receipt_signed_on is not None) == ("Mara Hollin", True)
        assert job.history.first().history_change_reason == f"{given} confirmed"
        page = as_("manager").get(given.get_absolute_url()).content.decode()
        assert "Confirm the receipt" not in page

    def test_confirmed_twice_it_stays_as_it_was_confirmed_first(self, town, given):
        first = confirm_receipt(hand_over=given, by=town.people["manager"]).received_at
        assert confirm_receipt(hand_over=given, by=town.people["manager"]).received_at == first

    def test_a_receipt_noted_with_the_job_before_stays(self, town, job, given):
        type(job).objects.filter(pk=job.pk).update(receipt_signed_by="Caretaker", receipt_signed_on="2026-01-02")
        confirm_receipt(hand_over=given, by=town.people["manager"])
        job.refresh_from_db()
        assert job.receipt_signed_by == "Caretaker"

    def test_the_office_does_not_confirm_for_the_manager(self, town, given):
        with pytest.raises(HandOverRefused, match="A manager of Ropewalk Hall confirms"):
            confirm_receipt(hand_over=given, by=town.people["office"])

    def test_the_database_holds_the_rules(self, town, job, given):
        wrong = [
            (HandOver.objects.filter(pk=given.pk), {"received_by": town.people["manager"]}),
            (HandOver.objects.filter(pk=given.pk), {"handed_over_at": None, "received_at": given.begun_at}),
            (HandOverFile.objects.filter(attachment__job=job), {"sha256": ""}),
            (HandOverFile.objects.filter(attachment__job=job), {"paper": "device-schedule:1"}),
        ]
        for rows, changes in wrong:
            with pytest.raises(IntegrityError), transaction.atomic():
                rows.update(**changes)


class TestPages:
    def test_the_form_names_what_is_missing_and_hands_over_to_the_only_manager(self, as_, town, job):
        url = reverse("hand-over-create", args=[job.number])
        page = as_("engineer").get(url).content.decode()
        assert "manual in English not attached." in page and f'value="{town.people["manager"].pk}" selected' in page
        answer = as_("engineer").post(url, {"to": town.people["manager"].pk})
        assert answer.url == HandOver.objects.get().get_absolute_url()

    def test_without_a_manager_the_form_says_who_must_be_invited_first(self, as_, town, job):
        town.hall.managers.clear()
        page = as_("office").get(reverse("hand-over-create", args=[job.number])).content.decode()
        assert "has no manager with a log-in" in page and reverse("building-managers", args=["ropewalk-hall"]) in page

    def test_another_manager_sees_nothing_of_it(self, as_, given):
        for name in ("hand-over-detail", "hand-over-list", "hand-over-archive"):
            assert as_("stranger").get(reverse(name, args=[given.pk])).status_code == 404
