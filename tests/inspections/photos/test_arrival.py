"""Photographs as a phone sends them: in parts, resumed, once, under their author's name, forged ones refused."""

import io
import json
from hashlib import sha256
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from inspections.models import ArrivingPhoto, Photo, PhotoPart
from inspections.photos.arrival import MOST_BYTES_OF_A_PART
from inspections.visits.edits import start_visit
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


class Sender:
    """A phone with one photograph; `told` is what it says of it."""

    def __init__(self, client, visit, content=None, **told):
        self.client, self.visit = client, visit
        self.content = builders.picture_bytes() if content is None else content
        self.uuid = str(uuid4())
        digest = sha256(self.content).hexdigest()
        self.told = {"client_uuid": self.uuid, "size_bytes": len(self.content), "sha256": digest, **told}

    def announce(self, **headers):
        body = json.dumps({"photo": self.told, "sent_at": timezone.now().isoformat()})
        address = reverse("visit-photos", args=[self.visit.pk])
        return self.client.post(address, body, content_type="application/json", headers=headers)

    def part(self, start, end=None):
        address = f"{reverse('visit-photo-part', args=[self.visit.pk, self.uuid])}?from={start}"
        return self.client.post(address, self.content[start:end], content_type="application/octet-stream").json()

    def send(self):
        fate = self.announce().json()
        return self.part(0) if fate["fate"] == "going_on" else fate


def with_everything_that_a_camera_writes():
    exif = Image.Exif()
    exif[0x0112] = 6  # turned by a quarter
    exif[0x010F] = "Invented Cameras"
    exif.get_ifd(0x8825)[1] = "N"
    return builders.picture_bytes(size=(40, 30), exif=exif, comment=b"the author's street")


def test_a_photograph_is_kept_with_what_was_told_of_it(as_, town, visit):
    point = visit.test_points.first()
    taken_at = timezone.now().replace(microsecond=0)
    told = {"test_point": point.pk, "stage": "before", "caption": "Dust", "taken_at": taken_at.isoformat()}
    fate = Sender(as_("engineer"), visit, **told, clock_offset_ms=0).send()
    photo = Photo.objects.get()
    assert fate["fate"] == "taken"
    assert (photo.visit, photo.test_point, photo.stage, photo.caption) == (visit, point, "before", "Dust")
    assert (photo.taken_by, photo.taken_at) == (town.people["engineer"], taken_at)
    assert not PhotoPart.objects.exists() and not ArrivingPhoto.objects.exists()


def test_a_clock_ten_minutes_fast_is_put_right_as_for_an_answer(as_, visit):
    at = timezone.now().replace(microsecond=0) + timezone.timedelta(minutes=10)
    Sender(as_("engineer"), visit, taken_at=at.isoformat(), clock_offset_ms=-600_000).send()
    photo = Photo.objects.get()
    assert (photo.taken_at, photo.device_at, photo.clock_offset_s) == (at - timezone.timedelta(minutes=10), at, -600)


def test_a_clock_beyond_belief_leaves_the_time_unknown_and_the_photograph_kept(as_, visit):
    Sender(as_("engineer"), visit, taken_at="1999-01-01T00:00:00Z", clock_offset_ms=0).send()
    photo = Photo.objects.get()
    assert photo.taken_at is None and photo.device_at.year == 1999


def test_sending_goes_on_after_a_break_and_makes_one_record_however_often_it_is_sent(as_, visit):
    content = builders.picture_bytes(size=(300, 300))
    sender, half = Sender(as_("engineer"), visit, content), len(content) // 2
    sender.announce()
    assert sender.part(0, half)["next"] == half
    assert sender.announce().json()["next"] == half  # the phone was off: it asks where to go on
    assert sender.part(0, half)["next"] == half
    assert not Photo.objects.exists()
    assert sender.part(half)["fate"] == "taken"
    assert sender.part(half)["fate"] == "taken"
    assert sender.announce().json()["fate"] == "taken"
    assert Photo.objects.count() == 1


def test_parts_that_no_phone_went_on_with_go_after_a_month_and_a_late_phone_begins_anew(as_, visit):
    late = Sender(as_("engineer"), visit)
    late.announce()
    late.part(0, 100)
    ArrivingPhoto.objects.update(begun_at=timezone.now() - timezone.timedelta(days=31))
    Sender(as_("engineer"), visit).announce()
    assert not PhotoPart.objects.exists()
    assert late.announce().json()["next"] == 0
    assert late.part(0)["fate"] == "taken"


def test_what_is_recorded_is_not_changed_by_other_words_under_its_identifier(as_, visit):
    sender = Sender(as_("engineer"), visit, caption="Dust")
    sender.send()
    sender.told["caption"] = "No dust"
    fate = sender.announce().json()
    assert fate["fate"] == "refused" and "recorded before" in fate["message"]
    assert Photo.objects.get().caption == "Dust"


def test_a_part_ahead_of_those_kept_is_not_kept(as_, visit):
    sender = Sender(as_("engineer"), visit)
    sender.announce()
    assert sender.part(100)["next"] == 0
    assert not PhotoPart.objects.exists()


def test_what_is_kept_is_upright_and_carries_nothing_of_what_the_camera_wrote(as_, visit):
    Sender(as_("engineer"), visit, with_everything_that_a_camera_writes()).send()
    photo = Photo.objects.get()
    assert (photo.width_px, photo.height_px) == (30, 40)
    for stored in (photo.file, photo.shown, photo.small):
        with stored.open("rb") as file:
            content = file.read()
        picture = Image.open(io.BytesIO(content))
        assert not picture.getexif() and not {"exif", "comment"} & set(picture.info)
        assert b"street" not in content and b"Invented" not in content


def test_marks_are_drawn_on_what_is_shown_and_not_on_what_was_taken(as_, visit):
    mark = {"kind": "arrow", "from": [0.1, 0.5], "to": [0.9, 0.5]}
    Sender(as_("engineer"), visit, builders.picture_bytes(size=(200, 200)), marks=[mark]).send()
    photo = Photo.objects.get()
    red, _, _ = Image.open(photo.shown.path).getpixel((100, 100))
    plain, _, _ = Image.open(photo.file.path).getpixel((100, 100))
    assert photo.marks == [mark]
    assert red > 150 > plain


def test_a_photograph_comes_after_the_visit_was_finished(as_, town):
    assert Sender(as_("engineer"), town.finished).send()["fate"] == "taken"


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"\xff\xd8\xff\xe0 broken", "cannot be read"),
        (builders.picture_bytes("PNG"), "is a PNG picture by its content. Choose JPEG."),
        (b"<html><script>alert(1)</script></html>", "is a web page by its content"),
    ],
)
def test_what_is_no_photograph_is_refused_with_a_sentence(as_, visit, content, sentence):
    fate = Sender(as_("engineer"), visit, content).send()
    assert fate["fate"] == "refused" and sentence in fate["message"]
    assert not Photo.objects.exists() and not ArrivingPhoto.objects.exists()


def test_of_a_position_that_was_removed_meanwhile_it_is_refused_with_a_sentence(as_, town, visit):
    position = builders.make_position(town.hall, "smoke_detector")
    sender = Sender(as_("engineer"), visit, position=position.pk)
    sender.announce()
    position.delete()
    fate = sender.part(0)
    assert fate["fate"] == "refused" and "The position that it is of was removed" in fate["message"]


def test_bytes_that_are_not_those_announced_are_refused_and_may_be_sent_again(as_, visit):
    sender = Sender(as_("engineer"), visit)
    whole = sender.content
    sender.announce()
    sender.content = whole[:-1] + b"x"
    assert "damaged on its way" in sender.part(0)["message"]
    sender.content = whole
    assert sender.send()["fate"] == "taken"


@pytest.mark.parametrize(
    ("told", "sentence"),
    [
        ({"size_bytes": 90_000_000}, "more than 8 MB"),
        ({"sha256": "a" * 65}, "no digest"),
        ({"client_uuid": "x"}, "no valid identifier"),
        ({"test_point": 1, "position": 1}, "of one test, position or defect"),
        ({"stage": "before"}, "are told of a defect"),
        ({"stage": "during", "defect": 1}, "Stage"),
        ({"marks": [{"kind": "arrow", "from": [0, 2], "to": [0, 0]}]}, "drawn on the photograph"),
        ({"marks": {"kind": "arrow"}}, "drawn on the photograph"),
        ({"latitude": "54.1"}, "a latitude and a longitude"),
        ({"caption": "x" * 201}, "at most 200"),
        ({"test_point": 2**70}, "Test point"),
        ({"defect": 999_999}, "defect 999999 is not in the register"),
    ],
)
def test_a_forged_announcement_is_refused_noted_and_changes_nothing(as_, visit, told, sentence, caplog):
    fate = Sender(as_("engineer"), visit, **told).announce().json()
    assert fate["fate"] == "refused" and sentence in fate["message"]
    assert fate["message"] in caplog.text
    assert not ArrivingPhoto.objects.exists()


@pytest.mark.parametrize("body", [b"[" * 100_000, b"{}", b"\xff", b'{"photo": 1}', b'{"photo": null}'])
def test_a_body_that_is_no_announcement_is_refused(as_, visit, body):
    answer = as_("engineer").post(reverse("visit-photos", args=[visit.pk]), body, content_type="application/json")
    assert answer.status_code == 400 or answer.json()["fate"] == "refused"


def test_things_of_another_building_or_visit_are_refused(as_, town, visit):
    elsewhere = builders.make_position(town.mill, "smoke_detector")
    point = town.finished.test_points.first()
    defect = builders.make_defect(town.mill, builders.make_finished_visit(town.mill))
    for told in ({"position": elsewhere.pk}, {"test_point": point.pk}, {"defect": defect.pk}):
        assert Sender(as_("engineer"), visit, **told).announce().json()["fate"] == "refused"


def test_a_visit_that_was_not_started_takes_no_photograph(as_, town):
    assert "has not been started" in Sender(as_("engineer"), town.visit).announce().json()["message"]


def test_another_person_can_neither_send_nor_claim_it(as_, town, visit, client):
    sender = Sender(as_("engineer"), visit)
    author = town.people["engineer"].pk
    sender.announce()
    client.force_login(builders.make_person("engineer"), backend="django.contrib.auth.backends.ModelBackend")
    assert sender.announce(**{"X-Person": str(author)}).status_code == 409
    assert sender.announce().json()["fate"] == "refused"
    assert sender.part(0)["fate"] == "refused"
    as_("engineer")
    sender.send()
    client.force_login(builders.make_person("engineer"), backend="django.contrib.auth.backends.ModelBackend")
    assert sender.announce().json()["fate"] == "refused"
    assert Photo.objects.get().taken_by_id == author


def test_a_part_too_large_or_nowhere_is_refused(as_, visit):
    sender = Sender(as_("engineer"), visit)
    sender.announce()
    address = reverse("visit-photo-part", args=[visit.pk, sender.uuid])
    large = as_("engineer").post(f"{address}?from=0", b"x" * (MOST_BYTES_OF_A_PART + 1), content_type="x/y")
    assert large.json()["fate"] == "refused"
    assert as_("engineer").post(f"{address}?from=-1", b"x", content_type="x/y").status_code == 400
    assert sender.send()["fate"] == "taken"
