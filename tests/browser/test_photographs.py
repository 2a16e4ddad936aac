"""Photographs on a phone: taken without a network, kept over its end, sent once in parts that outlive a break."""

import io

import pytest
from django.http import HttpResponse
from PIL import Image
from playwright.sync_api import expect

from inspections.models import Photo, PhotoPart, Result
from sites_registry.middleware import WhoAndWhenMiddleware
from tests.browser.accessibility import accessibility_faults
from tests.browser.field_steps import expect_all_sent
from tests.browser.phones import answer, take_along
from tests.browser.test_visit_without_network import visit  # noqa: F401 (fixture)

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def picture_of_many_parts():
    """A picture that does not compress: larger than two parts when the phone has made it smaller."""
    file = io.BytesIO()
    exif = Image.Exif()
    exif[0x0112] = 6  # held upright: turned by a quarter
    Image.effect_noise((2000, 1500), 90).convert("RGB").save(file, "JPEG", quality=90, exif=exif)
    return {"name": "camera.jpg", "mimeType": "image/jpeg", "buffer": file.getvalue()}


def photograph(page, button, caption):
    with page.expect_file_chooser() as choosing:
        page.get_by_role("button", name=button, exact=True).locator("visible=true").click()
    choosing.value.set_files(picture_of_many_parts())
    dialog = page.get_by_role("dialog")
    expect(dialog).to_be_visible()
    dialog.get_by_label("What is to be seen").fill(caption)
    return dialog


def draw(page, dialog):
    dialog.locator("canvas").scroll_into_view_if_needed()
    box = dialog.locator("canvas").bounding_box()
    page.mouse.move(box["x"] + box["width"] * 0.2, box["y"] + box["height"] * 0.5)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] * 0.8, box["y"] + box["height"] * 0.5)
    page.mouse.up()


@pytest.fixture
def line(monkeypatch):
    """A register that is lost after the first part of a photograph, until `line.holds`."""

    class Line:
        holds = False
        parts = 0

    whole = WhoAndWhenMiddleware.__call__

    def answer_or_break(self, request):
        if "from" in request.GET and "/photos/" in request.path:
            Line.parts += 1
            if Line.parts > 1 and not Line.holds:
                return HttpResponse(status=500)
        return whole(self, request)

    monkeypatch.setattr(WhoAndWhenMiddleware, "__call__", answer_or_break)
    return Line


def test_a_photograph_taken_without_network_is_sent_once_in_parts_after_a_break(phone, town, visit, line):  # noqa: F811
    take_along(phone, visit)
    phone.lose_network()
    phone.open("visit-field-position", visit.pk, town.detector.pk)
    page = phone.page
    dialog = photograph(page, "Photograph", "Head full of dust")
    assert accessibility_faults(page) == []
    dialog.get_by_text("before", exact=True).click()
    draw(page, dialog)
    dialog.get_by_role("button", name="Keep it").click()
    expect(dialog).to_be_hidden()
    expect(page.locator("[data-sent]")).to_contain_text("1 photograph")
    expect(page.locator(".photo-strip:visible")).to_contain_text("kept on this phone")
    answer(page)
    phone.switch_off()
    phone.switch_on()
    phone.lose_network()
    phone.open("visit-field", visit.pk)
    expect(phone.page.locator("[data-sent]")).to_contain_text("1 · 1 photograph")
    phone.find_network()
    expect(phone.page.locator("[data-sent]")).to_contain_text("1 photograph not sent: answer 500")
    assert Result.objects.filter(test_point__visit=visit).count() == 1  # answers went first
    assert PhotoPart.objects.count() == 1 and not Photo.objects.exists()
    line.holds = True
    expect_all_sent(phone.page)
    photo = Photo.objects.get()
    assert (photo.test_point.position, photo.caption, photo.stage) == (town.detector, "Head full of dust", "before")
    assert photo.taken_by == town.people["engineer"] and photo.taken_at < photo.received_at
    assert (photo.width_px, photo.height_px) == (1200, 1600)
    assert [mark["kind"] for mark in photo.marks] == ["arrow"]
    assert not PhotoPart.objects.exists()
    phone.lose_network()
    phone.open("visit-field-position", visit.pk, town.detector.pk)  # as it was taken along, before the photograph
    phone.page.evaluate("location.hash = document.querySelector('.point[data-point]').id")
    shown = phone.page.locator(".photo-strip:visible")
    expect(shown).to_contain_text("● sent")
    expect(shown.get_by_role("img", name="Head full of dust")).to_be_visible()


def test_a_phone_without_room_says_so_and_the_answer_is_kept(phone, town, visit):  # noqa: F811
    take_along(phone, visit)
    phone.lose_network()
    phone.open("visit-field-position", visit.pk, town.detector.pk)
    page = phone.page
    page.evaluate(
        """() => {
          const put = IDBObjectStore.prototype.put;
          IDBObjectStore.prototype.put = function (value, ...rest) {
            if (this.name === "photos") throw new DOMException("full", "QuotaExceededError");
            return put.call(this, value, ...rest);
          };
        }"""
    )
    dialog = photograph(page, "Photograph", "Head full of dust")
    expect(dialog.get_by_role("alert")).to_contain_text("no room for the photograph. Your answers are kept")
    dialog.get_by_role("button", name="Discard").click()
    answer(page)
    phone.find_network()
    expect_all_sent(page)
    assert Result.objects.filter(test_point__visit=visit).count() == 1
