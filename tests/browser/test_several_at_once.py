"""The same test at several positions of a room on a phone without network: one touch, one undo, an answer for each."""

import pytest
from playwright.sync_api import expect

from inspections.models import Result
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
    storey.get_by_label("SD13").uncheck()
    storey.get_by_role("button", name="Pass at 2").click()
    expect(storey.locator("[data-storey-count]")).to_have_text("2 of 4")
    expect(page.locator("[data-together-last]")).to_contain_text("SD11, SD12: ")
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
