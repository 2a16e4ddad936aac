"""A label read by the camera of a phone: a picture of its code stands for what the camera sees."""

import re

import pytest
import segno
from django.conf import settings
from django.urls import reverse
from PIL import Image
from playwright.sync_api import expect

from inspections.visits.edits import start_visit
from tests.browser.phones import Phone

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def film_of(code, path):
    """A film (YUV4MPEG2, 640 × 480) that shows this code, standing still."""
    picture = path.with_suffix(".png")
    segno.make(code, error="m", micro=False).save(str(picture), scale=6, border=4)
    drawn = Image.open(picture).convert("L")
    image = Image.new("L", (640, 480), 255)
    image.paste(drawn, ((640 - drawn.width) // 2, (480 - drawn.height) // 2))
    colour = b"\x80" * (320 * 240)
    frame = b"FRAME\n" + image.tobytes() + colour + colour
    path.write_bytes(b"YUV4MPEG2 W640 H480 F10:1 Ip A1:1 C420mpeg2\n" + frame * 10)
    return path


@pytest.fixture
def phone_before(playwright, tmp_path, live_server, town):
    """A phone whose camera sees this code."""
    phones = []

    def phone_before(code):
        film = film_of(code, tmp_path / "label.y4m")
        camera = ["--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream"]
        phone = Phone(
            playwright, tmp_path / "profile", live_server.url, [*camera, f"--use-file-for-fake-video-capture={film}"]
        )
        phone.log_in(town.people["engineer"])
        phones.append(phone)
        return phone

    yield phone_before
    for phone in phones:
        phone.switch_off()
        phone.line.close()


def test_the_code_of_a_label_leads_straight_to_its_test(phone_before, town):
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    phone = phone_before(settings.PUBLIC_URL + reverse("position-at", args=[town.detector.pk]))
    phone.open("visit-find", visit.pk)
    phone.page.get_by_role("button", name="Read a label with the camera").click()
    expect(phone.page).to_have_title(re.compile("^SD1,"))
