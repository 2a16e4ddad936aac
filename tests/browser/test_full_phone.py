"""A phone that is full: what cannot be kept says so at once and stays on the screen."""

import re

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from inspections.models import Result
from inspections.visits.edits import start_visit
from tests.browser.field_steps import expect_all_sent, expect_last, touch
from tests.browser.phones import take_along
from tests.browser.waiting import until

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

NO_ROOM_FOR_ANSWERS = """() => {
  const put = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function (value, ...rest) {
    if (this.name === "answers") throw new DOMException("full", "QuotaExceededError");
    return put.call(this, value, ...rest);
  };
}"""
ROOM_FOR_THREE_PAGES = """
let left = 3;
const put = Cache.prototype.put;
Cache.prototype.put = function (address, ...rest) {
  if (String(address).includes("/visits/") && !left--) throw new DOMException("full", "QuotaExceededError");
  return put.call(this, address, ...rest);
};
"""


@pytest.fixture
def visit(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


def test_an_answer_that_finds_no_room_stays_on_its_page_until_it_is_sent(phone, town, visit):
    take_along(phone, visit)
    phone.lose_network()
    phone.open("visit-field-position", visit.pk, town.detector.pk)
    page = phone.page
    expect(page.locator("[data-sent]")).not_to_be_empty()
    page.evaluate(NO_ROOM_FOR_ANSWERS)
    here = page.url.split("#")[0]
    touch(page, "Pass")
    expect(page.locator("[data-sent]")).to_contain_text("1 on this page only")
    page.locator("[data-sent]").click()
    expect(page.locator("[data-queue-lines]")).to_contain_text("leave this page open until they are sent, or write")
    assert page.url.split("#")[0] == here
    phone.find_network()
    expect_all_sent(page)
    assert Result.objects.get(test_point__visit=visit).test_point.position == town.detector


# A disk that is busy: what is written next waits for it.
BUSY = """() => {
  indexedDB.open("register on this phone").onsuccess = ({ target }) => {
    const answers = target.result.transaction("answers", "readwrite").objectStore("answers");
    const goOn = () => { if (!window.isFree) answers.count().onsuccess = goOn; };
    goOn();
    window.isBusy = true;
  };
}"""


def test_a_page_that_is_left_before_its_answer_is_on_the_disk_asks_first(page_of, live_server, town, visit):
    page, asked = page_of("engineer"), []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.dismiss()))
    page.goto(live_server.url + reverse("visit-field-position", args=[visit.pk, town.detector.pk]))
    expect_all_sent(page)
    page.evaluate(BUSY)
    page.wait_for_function("() => window.isBusy")
    touch(page, "Pass")
    page.evaluate("location.reload()")
    until(page, lambda: asked == ["beforeunload"])
    page.evaluate("window.isFree = true")
    expect_last(page, "pass · recorded")
    assert Result.objects.get(test_point__visit=visit).outcome == "pass"


def test_a_form_that_finds_no_room_says_so_and_stays_filled_in(phone, town, visit):
    take_along(phone, visit)
    phone.lose_network()
    phone.open("visit-swap", visit.pk, town.detector.pk)
    page = phone.page
    page.evaluate(NO_ROOM_FOR_ANSWERS)
    page.get_by_label("Old serial").fill("AK-0001")
    page.get_by_label("New serial").fill("AK-0002")
    page.get_by_label("Why it is swapped").fill("Contaminated")
    page.get_by_role("button", name="Swap the unit").click()
    expect(page.locator("[data-kept-state]")).to_contain_text("no room to keep it: leave this page open")
    expect(page.get_by_label("New serial")).to_have_value("AK-0002")
    phone.find_network()
    expect(page).to_have_title(re.compile("^SD1,"))  # sent, and gone on
    assert town.detector.fittings.open().get().unit.serial == "AK-0002"


def test_pages_that_find_no_room_are_named_by_what_cannot_be_tested(phone, town, visit):
    phone.browser.add_init_script(ROOM_FOR_THREE_PAGES)
    phone.open("visit-field", visit.pk)
    said = phone.page.locator("[data-kept-words]")
    expect(said).to_contain_text("▲ This visit is not whole on this phone: This phone has no room: 3 of")
    expect(said).to_contain_text("Without a network there is no test at")
