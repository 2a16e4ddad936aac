"""Photographs where people look for them: who sees which, how they are added at a desk, withdrawn, printed."""

import io
from datetime import datetime
from zoneinfo import ZoneInfo

import pikepdf
import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, transaction
from django.urls import reverse
from openpyxl import load_workbook
from PIL import Image

from inspections.models import Photo
from inspections.photos.keeping import withdraw_photo
from inspections.visits.edits import start_visit
from tests import builders
from tests.evidence import rewrite
from tests.sites_registry.documents.test_base import words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


@pytest.fixture
def photo(town, visit):
    point = visit.test_points.get(position=town.detector)
    return builders.make_photo(visit, town.people["engineer"], test_point=point, caption="Head full of dust")


def text_of(client, record_or_url):
    url = record_or_url if isinstance(record_or_url, str) else record_or_url.get_absolute_url()
    return client.get(url).content.decode()


@pytest.mark.parametrize("person", ["office", "engineer", "manager"])
def test_it_stands_with_its_visit_and_its_position_for_all_who_see_the_building(as_, town, visit, photo, person):
    for page in (visit, town.detector):
        text = text_of(as_(person), page)
        assert photo.small_url in text and 'alt="Head full of dust"' in text


def test_it_stands_with_the_defect_that_its_test_found(as_, town, visit, photo):
    result = builders.make_result(photo.test_point, town.people["engineer"], outcome="fail")
    defect = builders.make_defect(town.hall, visit, position=town.detector, found_by_result=result)
    assert photo.small_url in text_of(as_("manager"), defect)


def test_before_and_after_stand_beside_each_other(as_, town, visit):
    defect = builders.make_defect(town.hall, visit, position=town.detector)
    for stage in ("before", "after"):
        builders.make_photo(visit, defect=defect, stage=stage)
    text = text_of(as_("office"), defect)
    assert text.index("<h3>Before</h3>") < text.index("<h3>After</h3>")


def test_photographs_of_a_visit_stand_in_the_order_of_the_walk(town, visit):
    positions = sorted((town.detector, town.call_point), key=lambda one: (one.walking_order, one.tag_key))
    later, sooner = (builders.make_photo(visit, position=one) for one in reversed(positions))
    of_visit = builders.make_photo(visit)
    assert list(visit.photos.in_walking_order()) == [of_visit, sooner, later]


def test_bytes_come_with_headers_that_keep_them_private_and_unguessed(as_, photo):
    response = as_("manager").get(photo.get_absolute_url())
    assert response["Content-Type"] == "image/jpeg" and response["X-Content-Type-Options"] == "nosniff"
    assert response["Cache-Control"] == "private, no-cache" and "sandbox" in response["Content-Security-Policy"]
    again = as_("manager").get(photo.get_absolute_url(), headers={"If-None-Match": response["ETag"]})
    assert again.status_code == 304 and not again.content
    assert as_("stranger").get(photo.get_absolute_url(), headers={"If-None-Match": response["ETag"]}).status_code == 404


def test_small_is_small(as_, town, visit):
    photo = builders.make_photo(visit, content=builders.picture_bytes(size=(3000, 2000)))
    small = Image.open(io.BytesIO(as_("office").get(photo.small_url).content))
    assert (photo.width_px, photo.height_px, small.size) == (1600, 1067, (480, 320))


def test_a_file_that_is_gone_is_told_and_is_a_sentence_on_paper(as_, visit, photo):
    default_storage.delete(photo.small.name)
    page = as_("office").get(photo.small_url)
    assert page.status_code == 500 and "missing or damaged" in page.content.decode()
    text = words_of(as_("office").get(reverse("visit-report", args=[visit.pk])).content)
    assert "1 cannot be printed: its file is missing here." in text


def send(client, address, content=None, name="front.jpg", **data):
    file = SimpleUploadedFile(name, builders.picture_bytes() if content is None else content)
    return client.post(address, {"file": file, "caption": "", "taken_at": "", **data})


@pytest.mark.parametrize("person", ["office", "engineer"])
def test_a_photograph_is_added_at_a_desk_without_script(as_, town, visit, person):
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0x9003] = "2026:03:02 09:15:00"
    content = builders.picture_bytes("WEBP", exif=exif)
    response = send(as_(person), reverse("visit-photo-create", args=[visit.pk]), content, caption="Front")
    assert response.url == f"{visit.get_absolute_url()}#photographs"
    photo = Photo.objects.get()
    assert (photo.caption, photo.taken_by) == ("Front", town.people[person])
    assert photo.taken_at == datetime(2026, 3, 2, 9, 15, tzinfo=ZoneInfo("Europe/London"))


def test_one_of_a_defect_that_shows_it_put_right_belongs_to_the_visit_that_closed_it(as_, town, visit):
    defect = builders.make_defect(town.hall, town.finished, position=town.detector)
    result = builders.make_result(visit.test_points.get(position=town.detector), town.people["engineer"])
    defect.closed_at, defect.closed_by_result = result.seen_at, result
    defect.save()
    address = reverse("defect-photo-create", args=[defect.pk])
    for stage in ("before", "after"):
        send(as_("engineer"), address, stage=stage)
    assert [(photo.stage, photo.visit) for photo in Photo.objects.order_by("pk")] == [
        ("before", town.finished),
        ("after", visit),
    ]


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"GIF89a" + b"x" * 40, "is a GIF picture by its content. Choose JPEG or PNG or WEBP."),
        (
            builders.picture_bytes()[: len(builders.picture_bytes()) // 2],
            "cannot be read: it is damaged or far too large",
        ),
        (builders.picture_bytes()[:200], "cannot be read: it is damaged or far too large"),
        (b"", "This file is empty"),
    ],
)
def test_what_is_no_photograph_is_refused_at_a_desk(as_, visit, content, sentence):
    response = send(as_("office"), reverse("visit-photo-create", args=[visit.pk]), content)
    assert response.status_code == 422 and sentence in response.content.decode()
    assert not Photo.objects.exists()


def test_one_of_a_visit_not_started_is_refused_with_what_to_do(as_, town):
    response = send(as_("office"), reverse("visit-photo-create", args=[town.visit.pk]))
    assert "has not been started" in response.content.decode()


def test_a_withdrawn_photograph_is_seen_by_the_firm_with_its_reason_and_by_no_manager(as_, town, visit, photo):
    as_("office").post(reverse("photo-withdraw", args=[photo.pk]), {"reason": "Shows a resident"})
    photo.refresh_from_db()
    assert (photo.withdrawn_by, photo.withdrawn_reason) == (town.people["office"], "Shows a resident")
    assert "Shows a resident" in text_of(as_("engineer"), visit)
    assert photo.small_url not in text_of(as_("manager"), visit)
    assert as_("manager").get(photo.get_absolute_url()).status_code == 404
    assert "Photographs" not in words_of(as_("office").get(reverse("visit-report", args=[visit.pk])).content)


def test_an_engineer_withdraws_own_photographs_only_and_says_why(as_, town, visit, photo):
    of_another = builders.make_photo(visit)
    assert as_("engineer").post(reverse("photo-withdraw", args=[of_another.pk]), {"reason": "x"}).status_code == 403
    assert as_("engineer").post(reverse("photo-withdraw", args=[photo.pk]), {"reason": " "}).status_code == 422
    assert not Photo.objects.withdrawn().exists()


def test_withdrawn_twice_it_keeps_who_was_first(town, photo):
    for person, reason in (("office", "First"), ("engineer", "Second")):
        withdraw_photo(photo=photo, by=town.people[person], reason=reason)
    photo.refresh_from_db()
    assert photo.withdrawn_reason == "First"


@pytest.mark.parametrize(
    ("fields", "rule"),
    [
        ({"position": True}, "photo_is_of_one_thing"),
        ({"test_point": None, "stage": "after"}, "photo_before_or_after_is_of_something"),
        ({"latitude": 54}, "photo_place_is_on_earth"),
        ({"withdrawn_reason": "Dark"}, "photo_is_withdrawn_by_somebody_with_a_reason"),
        ({"width_px": 0}, "photo_has_a_size"),
    ],
)
def test_the_database_holds_what_is_true_of_every_photograph(town, photo, fields, rule):
    fields = {name: town.detector if value is True else value for name, value in fields.items()}
    with pytest.raises(IntegrityError, match=rule), transaction.atomic():
        rewrite(Photo.objects.filter(pk=photo.pk), **fields)


def pictures_on(pdf):
    with pikepdf.open(io.BytesIO(pdf)) as paper:
        return len({name for page in paper.pages for name in page.get_images()})


def test_report_and_paper_of_the_defect_print_it_with_number_place_time_and_caption(as_, town, visit):
    defect = builders.make_defect(town.hall, visit, position=town.detector)
    at = datetime(2026, 3, 2, 9, 15, tzinfo=ZoneInfo("Europe/London"))
    content = builders.picture_bytes(size=(300, 200))
    photo = builders.make_photo(
        visit, town.people["engineer"], content, defect=defect, stage="before", caption="Cut core", taken_at=at
    )
    for address in (reverse("visit-report", args=[visit.pk]), reverse("defect-sheet-pdf", args=[defect.pk])):
        pdf = as_("manager").get(address).content
        text = words_of(pdf)
        for words in (f"Photograph {photo.pk}", "before", "SD1", "Cut core", "2 Mar 2026, 09:15", "Edwin Marsh"):
            assert words in text, (address, words)
        assert pictures_on(pdf) == 1


def test_the_spreadsheet_of_a_report_lists_them(as_, visit, photo):
    response = as_("office").get(reverse("visit-report-spreadsheet", args=[visit.pk]))
    _, row = load_workbook(io.BytesIO(response.content))["Photographs"].values
    assert row[:5] == (photo.pk, "SD1", photo.test_point.title, None, "Head full of dust")


def test_a_report_prints_no_more_photographs_than_it_bears_and_says_how_many_it_leaves_out(as_, visit, monkeypatch):
    monkeypatch.setattr("inspections.photo_sheets.MOST_ON_A_PAPER", 2)
    for _ in range(3):
        builders.make_photo(visit)
    assert "1 more stands on the page of this visit" in words_of(
        as_("office").get(reverse("visit-report", args=[visit.pk])).content
    )
