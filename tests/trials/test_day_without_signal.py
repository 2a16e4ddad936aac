"""A day without signal, at its whole length: hundreds of positions, everything that can go wrong on the way.

Run by `make trial`; TRIAL_POSITIONS sets its length. At its end each answer stands in the
register once, under its author.
"""

import contextlib
import io
import os
import random
import re
import signal
import subprocess
import time
from collections import Counter

import pytest
from django.test import Client
from django.urls import reverse
from PIL import Image
from playwright.sync_api import Error as PlaywrightError
from playwright.sync_api import expect

from inspections.models import Photo, ProtocolCheck, Result, SettingFound
from inspections.visits.edits import start_visit
from sites_registry.models import Person
from tests import builders
from tests.browser.field_steps import expect_all_sent
from tests.browser.phones import Phone, take_along
from zones.models.kinds import DeviceKind

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

POSITIONS = int(os.environ.get("TRIAL_POSITIONS", "300"))
CHECKS_EACH = 7
PHOTOGRAPHS = max(2, POSITIONS // 5)
CLOCK_OFF_MS = 2 * 60 * 60 * 1000
CLOCK = """
const Real = Date;
Date = class extends Real {
  constructor(...parts) { parts.length ? super(...parts) : super(Real.now() + OFF); }
  static now() { return Real.now() + OFF; }
};
"""


def say(*words):
    print(*words, flush=True)


@pytest.fixture
def visit(town):
    for order in range(2, CHECKS_EACH + 1):
        builders.save(
            ProtocolCheck(
                protocol=town.protocol,
                device_kind=DeviceKind.SMOKE_DETECTOR,
                code=f"check-{order}",
                order=order,
                title=f"Check {order}",
                expected="As it should be",
            )
        )
    builders.make_circuit(town.panel, number=2, drive="polarity", run_time_s=75)
    town.terminal = builders.make_terminal(town.panel, block="X9", number="1")
    model = builders.make_product_model("smoke_detector")
    for number in range(POSITIONS):
        position = builders.make_position(
            town.hall, "smoke_detector", tag=f"D{number + 1}", panel=town.panel, storey=str(number // 40)
        )
        builders.fit(position, builders.make_unit(model, serial=f"TR-{number + 1:04}"))
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


# A screen that has just come up takes no touch for half a second (REST_MS in screen.js): over two thousand tests a
# quarter of an hour in which nothing is tried.
NO_REST = """{
  const REST_MS = 500;
  const later = setTimeout;
  setTimeout = (act, afterMs, ...more) => later(act, afterMs === REST_MS ? 0 : afterMs, ...more);
}"""


class PhoneWithItsClock(Phone):
    """A phone whose clock is out by so much, also after it was off, and whose screens need no rest."""

    def __init__(self, playwright, folder, address, clock_off_ms):
        self.clock_off_ms = clock_off_ms
        super().__init__(playwright, folder, address)

    def switch_on(self):
        super().switch_on()
        self.browser.add_init_script(CLOCK.replace("OFF", str(self.clock_off_ms)) + NO_REST)


class Day:
    """What the engineer does with one phone, and what was given so far: {test point: (outcome, words)}."""

    def __init__(self, phone, visit):
        self.phone, self.visit = phone, visit
        self.given = {}

    @property
    def page(self):
        return self.phone.page

    def at(self, position, page=None):
        """Answer every test of a position, in the page or in another tab."""
        page = page or self.page
        here = self.phone.address + reverse("visit-field-position", args=[self.visit.pk, position.pk])
        if not page.url.startswith(here):  # the position before it has led here, mostly
            page.goto(here)
        for point in self.visit.test_points.filter(position=position).order_by("order", "pk"):
            self.answer(page, point)
        page.wait_for_url(lambda url: not url.startswith(here))  # the next position comes up by itself

    def answer(self, page, point):
        """Through the screen of the test: a pass, at times a remark, a fail, not accessible."""
        number = len(self.given)
        outcome = {7: "remark", 31: "fail", 47: "not_accessible"}.get(number % 53, "pass")
        words = "" if outcome == "pass" else f"Words {number}"
        page.evaluate("point => (location.hash = `point-${point}`)", point.pk)
        screen = page.locator(f"#point-{point.pk}")
        button = {"pass": "Pass", "remark": "Pass with remark", "fail": "Fail", "not_accessible": "Not accessible"}
        screen.get_by_role("button", name=button[outcome], exact=True).click()
        if outcome == "fail":
            screen.get_by_label("Minor:").check()
            screen.get_by_label("What is wrong").fill(words)
        elif outcome == "remark":
            screen.get_by_label("Remark").fill(words)
        elif outcome == "not_accessible":
            screen.get_by_label("Why, and who was told").fill(words)
        if outcome != "pass":
            screen.get_by_role("button", name=re.compile("^Record")).click()
        expect(page.locator("[data-last]")).to_contain_text(f"{point.title}: ")
        self.given[point.pk] = (outcome, words)


def kill(phone):
    """As a phone does that runs out of memory: without a word to its pages."""
    found = subprocess.run(["pgrep", "-f", str(phone.folder)], capture_output=True, text=True, check=False)
    for number in found.stdout.split():
        os.kill(int(number), signal.SIGKILL)
    with contextlib.suppress(PlaywrightError):
        phone.browser.close()
    for lock in phone.folder.glob("Singleton*"):
        lock.unlink()
    phone.switch_on()


def disturb(day, number):
    """What happens to a phone on the way, each now and then."""
    if number % 17 == 3:
        day.page.reload()
    if number % 29 == 5:
        day.phone.page.close()
        day.phone.page = day.phone.browser.new_page()
    if number % 23 == 7:
        day.page.go_back()
    if number in (POSITIONS // 3, 2 * POSITIONS // 3):
        kill(day.phone)
        day.phone.lose_network()


def walk(day, positions, camera):
    """The whole walk offline, each tenth position in a second tab, with photographs here and there."""
    started = time.monotonic()
    for number, position in enumerate(positions):
        tab = day.phone.browser.new_page() if number % 10 == 9 else None
        day.at(position, tab)
        if number % 5 == 4:
            camera(tab or day.page)
        if tab:
            tab.close()
        disturb(day, number)
        if number % 20 == 19:
            taken_s = time.monotonic() - started
            say(f"{number + 1} of {len(positions)} positions, {len(day.given)} answers, {taken_s:.0f} s")


class Camera:
    """Photographs the test that the page shows, while pictures are left."""

    def __init__(self, picture, left):
        self.picture, self.left, self.taken = picture, left, 0

    def __call__(self, page):
        if not self.left:
            return
        expect(page.locator("[data-sent]")).not_to_be_empty()
        # "Back" may have brought the list of a position's tests in place of one of them.
        page.evaluate("location.hash = document.querySelector('.point[data-point]').id")
        with page.expect_file_chooser() as choosing:
            page.get_by_role("button", name="Photograph", exact=True).locator("visible=true").first.click()
        choosing.value.set_files(self.picture)
        dialog = page.get_by_role("dialog")
        dialog.get_by_role("button", name="Keep it").click()
        expect(dialog).to_be_hidden()
        self.left -= 1
        self.taken += 1


def small_picture():
    file = io.BytesIO()
    Image.effect_noise((640, 480), 60).convert("RGB").save(file, "JPEG")
    return {"name": "camera.jpg", "mimeType": "image/jpeg", "buffer": file.getvalue()}


def send_again(posts, order):
    """Every post that reached the register once more, in any order, each by whoever sent it."""
    for person, path, content_type, body in order.sample(posts, len(posts)):
        client = Client()
        client.force_login(Person.objects.get(pk=person), backend="django.contrib.auth.backends.ModelBackend")
        client.generic("POST", path, body, content_type=content_type)


def recorded_by(person, visit):
    """{test point: (outcome, words)} and how many results there are of this person."""
    results = Result.objects.filter(test_point__visit=visit, recorded_by=person)
    # Fails at one point are one defect, whoever found it first.
    of_tests = visit.defects_found.exclude(found_by_result=None)
    defects = {defect.found_by_result.test_point_id: defect.description for defect in of_tests}
    found = {}
    for result in results:
        words = defects[result.test_point_id] if result.outcome == "fail" else result.remark or result.reason
        found[result.test_point_id] = (result.outcome, words)
    return found, results.count()


def swap(phone, visit, position, serial):
    phone.open("visit-swap", visit.pk, position.pk)
    page = phone.page
    page.get_by_label("Old serial").fill(position.fittings.get(removed_on=None).unit.serial)
    page.get_by_label("New serial").fill(serial)
    page.get_by_label("Why it is swapped").fill("Contaminated")
    page.get_by_role("button", name="Swap the unit").click()
    page.wait_for_url(lambda url: not url.endswith("/swap/"))


def forms_beside_the_walk(phone, town, visit, position):
    """A setting that differs, a terminal ticked, a place confirmed."""
    page = phone.page
    phone.open("visit-settings", visit.pk, town.panel.pk)
    row = page.locator(".setting-row", has_text="Run time")
    row.get_by_label("differs").check()
    row.get_by_label("Found (s)").fill("60")
    page.get_by_role("button", name="Save what is answered").click()
    page.wait_for_url(lambda url: "/settings/" not in url)
    phone.open("panel-wiring", town.panel.pk)
    page.get_by_label("X9:1 seen on site").check()
    expect(page.locator("[data-tick-word]").first).to_have_text("▲ kept on this phone")
    phone.open("place-confirmation-create", position.pk)
    page.get_by_label("Serial read at the place").fill(position.fittings.get(removed_on=None).unit.serial)
    page.get_by_role("button", name="Confirm the place").click()
    page.wait_for_url(lambda url: "/place-confirmation/" not in url)


def assert_forms_stand(engineer, town, visit, position):
    (setting,) = SettingFound.objects.filter(visit=visit)
    assert (setting.found, setting.recorded_by) == ("60", engineer)
    assert position.fittings.get(removed_on=None).place_confirmations.get().by == engineer
    town.terminal.refresh_from_db()
    assert town.terminal.checked_by == engineer


def take_both_along(first, second, visit, posts):
    """And both lose the network."""
    for day in (first, second):
        take_along(day.phone, visit, patience_ms=POSITIONS * 4_000)
        day.phone.lose_network()
    posts.is_out_of_reach = True


@pytest.fixture
def phone_of(playwright, tmp_path, live_server):
    """A phone of a person, its clock out by so much."""
    phones = []

    def phone_of(person, clock_off_ms=0):
        phone = PhoneWithItsClock(playwright, tmp_path / f"phone-{len(phones)}", live_server.url, clock_off_ms)
        phones.append(phone)
        phone.log_in(person)
        return phone

    yield phone_of
    for phone in phones:
        with contextlib.suppress(PlaywrightError):
            phone.switch_off()


def test_at_the_end_of_the_day_each_answer_stands_once_under_its_author(phone_of, town, visit, posts):
    started, order = time.monotonic(), random.Random(POSITIONS)
    engineer, ada = town.people["engineer"], builders.make_person("engineer", full_name="Ada Quill")
    positions = list(town.hall.positions.filter(tag__startswith="D").in_walking_order())
    first, second = Day(phone_of(engineer), visit), Day(phone_of(ada, CLOCK_OFF_MS), visit)
    take_both_along(first, second, visit, posts)
    say(f"taken along after {time.monotonic() - started:.0f} s")

    camera = Camera(small_picture(), PHOTOGRAPHS)
    swapped = positions[:: max(1, len(positions) // 3)][:3]
    for number, position in enumerate(swapped):
        swap(first.phone, visit, position, f"NEW-{number}")
    confirmed = next(one for one in positions if one not in swapped)
    forms_beside_the_walk(first.phone, town, visit, confirmed)
    walk(first, positions, camera)
    walk(second, positions[:5], Camera(None, 0))
    assert not posts.taken
    posts.is_out_of_reach = False

    # The log-in of the first phone is over, and somebody else takes it: nothing goes out, nothing is shown.
    first.phone.browser.clear_cookies()
    first.phone.log_in(ada)
    first.phone.find_network()
    first.phone.open("home")
    expect(first.page.locator("[data-held]")).to_contain_text(f"of {engineer.full_name} wait on this phone")
    assert recorded_by(engineer, visit) == ({}, 0)
    assert recorded_by(ada, visit) == ({}, 0)

    # Its owner again, at a register that is killed before and after it has taken a batch.
    posts.breaks = ["after", "before", "after"]
    first.phone.log_in(engineer)
    first.phone.open("home")
    second.phone.find_network()
    second.phone.open("visit-field", visit.pk)
    expect_all_sent(second.page)
    expect(first.page.locator("[data-held]")).to_contain_text("All sent", timeout=600_000)
    say(f"all sent after {time.monotonic() - started:.0f} s, {len(posts.taken)} posts")

    for _ in range(2):
        for day, person in ((first, engineer), (second, ada)):
            found, count = recorded_by(person, visit)
            assert {
                point: (given, found.get(point)) for point, given in day.given.items() if found.get(point) != given
            } == {}
            assert count == len(day.given)
        assert Photo.objects.filter(visit=visit, taken_by=engineer).count() == camera.taken
        serials = [position.fittings.get(removed_on=None).unit.serial for position in swapped]
        assert serials == [f"NEW-{number}" for number in range(len(swapped))]
        assert_forms_stand(engineer, town, visit, confirmed)
        send_again(posts.taken, order)  # and all of it once more, shuffled
    outcomes = Counter(outcome for outcome, _ in first.given.values())
    say(f"{len(first.given)} and {len(second.given)} answers, {dict(outcomes)}, {camera.taken} photographs")
