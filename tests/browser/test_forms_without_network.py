"""Forms and ticks beside the walk, on a phone that has no network: kept, sent once, mended where they were refused."""

import re

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from inspections.models import Result
from inspections.visits.edits import start_visit
from tests import builders
from tests.browser.field_steps import sign_off
from tests.browser.phones import answer, answer_and_go_on, take_along
from zones.models import PlaceConfirmation

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def identical(town):
    """D1 and D2 with units of one model, a terminal at the panel, and an instrument."""
    model = builders.make_product_model("smoke_detector", name="KA 1")
    for number in (1, 2):
        position = builders.make_position(town.hall, "smoke_detector", tag=f"D{number}", smoke_zone=town.zone)
        builders.fit(position, builders.make_unit(model, serial=f"A-{number}"))
    town.terminal = builders.make_terminal(town.panel, block="X9", number="1")
    builders.make_instrument(name="Multimeter")
    town.load_tester = builders.make_instrument(name="Load tester")
    return town


@pytest.fixture
def visit(identical):
    return start_visit(visit=identical.visit, started_by=identical.people["engineer"])


def confirm_place(phone, town, tag, serial):
    phone.open("identical-unit-list", town.hall.slug)
    phone.page.get_by_role("link", name=f"Confirm place {tag}").click()
    phone.page.get_by_label("Serial read at the place").fill(serial)
    phone.page.get_by_role("button", name="Confirm the place").click()
    expect(phone.page.get_by_role("heading", name="Identical units")).to_be_visible()  # where it goes on


def expect_sent(phone):
    phone.open("home")
    expect(phone.page.locator("[data-held]")).to_contain_text("All sent")


def test_places_terminals_and_instruments_go_on_without_network_and_are_sent_once(phone, identical, visit):
    take_along(phone, visit)
    phone.lose_network()
    confirm_place(phone, identical, "D1", "A-1")
    page = phone.page
    phone.open("panel-wiring", identical.panel.pk)
    page.get_by_label("X9:1 seen on site").check()
    expect(page.locator("[data-tick-word]").first).to_have_text("▲ kept on this phone")
    page.reload()
    expect(page.get_by_label("X9:1 seen on site")).to_be_checked()
    for number, instrument in enumerate(("Multimeter", "Load tester")):  # chosen, and chosen otherwise
        phone.open("visit-instruments", visit.pk)
        page.get_by_label(re.compile(f"^{instrument}")).check()
        page.get_by_role("button", name="Keep these").click()
        expect(page.locator("[data-sent]")).to_contain_text(f"{3 + number} not sent")  # on the page of the walk
    assert not PlaceConfirmation.objects.exists()
    phone.switch_off()
    phone.switch_on()
    phone.find_network()
    expect_sent(phone)
    confirmation = PlaceConfirmation.objects.get()
    assert (confirmation.by, confirmation.fitting.unit.serial) == (identical.people["engineer"], "A-1")
    identical.terminal.refresh_from_db()
    assert identical.terminal.checked_by == identical.people["engineer"]
    assert identical.terminal.checked_at < timezone.now()
    assert visit.instruments_used.get().instrument == identical.load_tester


def test_a_place_that_is_refused_stands_in_its_form_with_the_reason(phone, identical, visit):
    take_along(phone, visit)
    phone.lose_network()
    confirm_place(phone, identical, "D1", "A-2")
    phone.find_network()
    phone.open("visit-field", visit.pk)
    expect(phone.page.locator("[data-sent]")).to_contain_text("1 refused")
    phone.open("place-confirmation-create", identical.hall.positions.get(tag="D1").pk)
    expect(phone.page.locator("[data-kept-state]")).to_contain_text("the record of D1 says 'A-1'")
    expect(phone.page.get_by_label("Serial read at the place")).to_have_value("A-2")
    phone.page.get_by_label("Serial read at the place").fill("A-1")
    phone.page.get_by_role("button", name="Confirm the place").click()
    expect(phone.page.get_by_role("heading", name="Which unit hangs at D2?")).to_be_visible()
    assert PlaceConfirmation.objects.get().fitting.unit.serial == "A-1"
    expect(phone.page.locator("[data-held]")).not_to_contain_text("refused")


def test_a_planned_visit_is_started_by_the_first_answer_and_ended_without_network(phone, town):
    visit = town.visit
    phone.open("home")
    phone.page.get_by_role("button", name="Take my week along").click()
    expect(phone.page.get_by_text("All of 1 on this phone")).to_be_visible()
    phone.lose_network()
    phone.open("visit-field", visit.pk)
    page = phone.page
    expect(page.locator("main")).to_contain_text("Not started yet.")
    phone.open("visit-field-position", visit.pk, town.detector.pk)
    answer_and_go_on(page)
    phone.open("visit-field-position", visit.pk, town.call_point.pk)
    answer_and_go_on(page)
    phone.switch_off()
    phone.switch_on()
    phone.lose_network()
    phone.open("visit-field", visit.pk)
    expect(phone.page.locator("[data-progress-text]")).to_have_text("2 of 3")
    phone.open("visit-finish", visit.pk)
    page = phone.page
    expect(page.get_by_role("heading", name="1 test point without an outcome")).to_be_visible()
    phone.open("visit-field-position", visit.pk, town.panel.position_id)
    answer(page)
    phone.open("visit-finish", visit.pk)
    sign_off(page, "Mara Hollin, caretaker")
    page.get_by_role("button", name="Finish the visit").click()
    expect(page.locator("[data-sent]")).to_contain_text("5 not sent")  # its start, three answers, its end
    assert not visit.test_points.exists()
    phone.find_network()
    expect_sent(phone)
    visit.refresh_from_db()
    results = Result.objects.filter(test_point__visit=visit)
    assert {result.test_point.position for result in results} == {town.detector, town.call_point, town.panel.position}
    assert results.count() == 3 and (visit.state, visit.engineer) == ("finished", town.people["engineer"])
    assert visit.sign_off.name == "Mara Hollin, caretaker"
    assert visit.started_at < min(result.seen_at for result in results)
