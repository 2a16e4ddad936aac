"""The same test at several positions of a room on a phone without network: one touch, one undo, an answer for each."""

import pytest
from playwright.sync_api import expect

from inspections.models import ProtocolCheck, Result
from inspections.visits.edits import start_visit
from tests import builders
from tests.browser.field_steps import expect_all_sent
from tests.browser.phones import take_along

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def visit(town):
    for number in (11, 12, 13):
        builders.make_position(town.hall, "smoke_detector", tag=f"SD{number}", storey="7", room="Server room")
    builders.make_position(town.hall, "smoke_detector", tag="SD14", storey="7", room="Corridor")
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


def test_detectors_of_a_room_pass_in_one_touch_and_come_back_in_one(phone, town, visit):
    take_along(phone, visit)
    phone.lose_network()
    phone.open("visit-field", visit.pk)
    page = phone.page
    storey = page.locator(".storey", has_text="SD11")
    storey.locator("summary").first.click()
    storey.get_by_text("The same test at several").click()
    expect(storey.locator(".same-test-group")).to_have_count(1)
    expect(storey.get_by_role("button", name="Tick where it passed")).to_be_disabled()
    storey.get_by_role("button", name="Tick all 3").click()
    storey.get_by_label("SD13").uncheck()
    storey.get_by_role("button", name="Pass at 2").click()
    expect(storey.locator("[data-storey-count]")).to_have_text("2 of 4")
    expect(page.locator("[data-together-last]")).to_contain_text("SD11, SD12: ")
    expect(page.locator("[data-together-last]")).to_be_focused()
    page.get_by_role("button", name="Undo").click()
    expect(storey.locator("[data-storey-count]")).to_have_text("0 of 4")
    storey.get_by_role("button", name="Pass at 2").click()
    expect(storey.locator("[data-storey-count]")).to_have_text("2 of 4")
    storey.get_by_text("Not accessible here").click()
    storey.get_by_label("Where").select_option("Corridor")
    storey.get_by_label("Why, and who was told").fill("Locked")
    storey.get_by_role("button", name="Record 1 test as not accessible").click()
    expect(storey.locator("[data-storey-count]")).to_have_text("3 of 4")
    phone.find_network()
    expect_all_sent(page)
    results = Result.objects.filter(test_point__visit=visit)
    found = set(results.values_list("test_point__position__tag", "outcome"))
    assert found == {("SD11", "pass"), ("SD12", "pass"), ("SD14", "not_accessible")}
    assert results.count() == 3


def open_list(phone, visit):
    phone.open("visit-field", visit.pk)
    storey = phone.page.locator(".storey", has_text="SD11")
    storey.locator("summary").first.click()
    storey.get_by_text("The same test at several").click()
    return storey


def test_two_touches_where_one_was_meant_record_one_group_and_lead_nowhere(phone, town, visit):
    like = {"device_kind": "smoke_detector", "code": "head", "order": 2, "title": "Head", "expected": "Clean"}
    check = ProtocolCheck.objects.create(protocol=visit.protocol, **like)
    for position in town.hall.positions.filter(tag__in=["SD11", "SD12", "SD13"]):
        builders.make_test_point(visit, position, code="head", title="Head", expected="Clean", order=9, check_of=check)
    take_along(phone, visit)
    phone.lose_network()
    storey = open_list(phone, visit)
    every = storey.get_by_role("button", name="Tick all 3")
    expect(every).to_have_count(2)
    every.first.click()
    every.last.click()
    storey.get_by_role("button", name="Pass at 3").first.dblclick()
    expect(storey.locator("[data-storey-count]")).to_have_text("3 of 7")
    expect(storey.get_by_role("button", name="Pass at 3")).to_be_visible()  # the other group


FULL_AT_THE_THIRD = """() => {
  const { put } = IDBObjectStore.prototype;
  let number = 0;
  IDBObjectStore.prototype.put = function (row) {
    if (++number === 3) throw new DOMException("full", "QuotaExceededError");
    return put.call(this, row);
  };
}"""


def test_what_is_recorded_by_one_touch_is_kept_whole_or_not_at_all(phone, town, visit):
    take_along(phone, visit)
    phone.lose_network()
    storey, page = open_list(phone, visit), phone.page
    storey.get_by_role("button", name="Tick all 3").click()
    page.evaluate(FULL_AT_THE_THIRD)
    storey.get_by_role("button", name="Pass at 3").click()
    expect(page.locator("[data-sent]")).to_contain_text("3 on this page only")
    page.reload()
    expect(page.locator("[data-sent]")).not_to_be_empty()
    expect(page.locator(".storey", has_text="SD11").locator("[data-storey-count]")).to_have_text("0 of 4")


def test_the_list_leads_to_the_end_as_soon_as_all_is_answered_on_it(phone, town):
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    for point in visit.test_points.exclude(position=town.detector):
        builders.make_result(point, recorded_by=town.people["engineer"])
    take_along(phone, visit)
    phone.lose_network()
    phone.open("visit-field", visit.pk)
    end = phone.page.get_by_role("link", name="Every point has an outcome")
    storey = phone.page.locator(".storey", has_text="SD1")
    expect(phone.page.get_by_role("link", name="Go on with SD1")).to_be_visible()
    expect(end).to_be_hidden()
    storey.get_by_text("Not accessible here").click()
    storey.get_by_label("Why, and who was told").fill("Locked")
    storey.get_by_role("button", name="Record 1 test as not accessible").click()
    expect(end).to_be_visible()
    expect(phone.page.get_by_role("link", name="Go on with SD1")).to_be_hidden()
