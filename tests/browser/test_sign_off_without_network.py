"""The end of a visit on a phone that has no network: nobody signs for what the register would refuse."""

import json
import re

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from inspections.visits.edits import start_visit
from tests import builders
from tests.browser.field_steps import TRIED_AGAIN, draws_a_signature, record, sign_off, touch
from tests.browser.phones import answer, take_along

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def visit(town):
    """Under way, with one test left: that of the detector."""
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    for point in visit.test_points.exclude(position=town.detector):
        builders.make_result(point, recorded_by=town.people["engineer"])
    return visit


def fail_as_impaired(page):
    touch(page, "Fail")
    page.get_by_label("Impaired:").check()
    page.get_by_label("What is wrong").fill("Answers to no smoke")
    record(page)
    expect(page.locator("[data-progress-text]")).to_have_text("3 of 3")


def test_what_the_register_would_refuse_is_said_before_anybody_signs(phone, town, visit):
    take_along(phone, visit)
    phone.lose_network()
    page = phone.page
    phone.open("visit-finish", visit.pk)
    expect(page.get_by_role("heading", name="1 test point without an outcome")).to_be_visible()
    expect(page.get_by_label("signed on this phone")).to_be_hidden()

    phone.open("visit-field-position", visit.pk, town.detector.pk)
    fail_as_impaired(page)
    phone.open("visit-finish", visit.pk)
    expect(page.get_by_role("heading", name="without an outcome")).to_be_hidden()
    expect(page.locator("[data-numbers]")).to_have_text(re.compile("pass 2.*fail 1.*impaired points left open 1", re.S))
    expect(page.get_by_text("Answers to no smoke")).to_be_visible()
    page.get_by_role("button", name="Finish the visit").click()
    for sentence in ("See to this before you leave", "Tell the responsible person in writing", "Choose how the visit"):
        expect(page.get_by_role("alert").filter(has_text=sentence)).to_be_visible()

    page.get_by_label("Notice of impaired points handed to").fill("Mara Hollin, read out")
    sign_off(page, "Mara Hollin, caretaker")
    page.get_by_role("button", name="Finish the visit").click()
    expect(page.locator("[data-sent]")).to_contain_text("2 not sent")  # on the page of the walk
    phone.find_network()
    expect(page.get_by_role("link", name="This visit is finished")).to_be_visible()
    visit.refresh_from_db()
    assert (visit.state, visit.sign_off.name) == ("finished", "Mara Hollin, caretaker")
    assert visit.sign_off.notice_given == "Mara Hollin, read out"


def test_a_signature_is_whole_though_what_waits_is_sent_again_while_it_is_drawn(page_of, live_server, town, visit):
    builders.make_result(visit.test_points.get(position=town.detector), recorded_by=town.people["engineer"])
    page = page_of("engineer")
    page.goto(live_server.url + reverse("visit-finish", args=[visit.pk]))
    page.get_by_label("signed on this phone").check()
    page.get_by_role("button", name="Finish the visit").click()
    expect(page.get_by_role("alert").filter(has_text="Sign in the field above")).to_be_visible()
    sign_off(page, "Mara Hollin, caretaker")
    expect(page.locator("form.form-page").get_by_role("alert")).to_have_count(0)  # what they asked for is there
    page.get_by_role("button", name="Clear").click()
    signature = page.locator("[name=signature]")
    expect(signature).to_have_value("")
    draws_a_signature(page, half_way=lambda: page.evaluate(TRIED_AGAIN))
    expect(signature).not_to_have_value("")
    (stroke,) = json.loads(signature.input_value())["strokes"]
    (x, y, *_), (end_x, end_y, *_) = stroke[0], stroke[-1]
    assert (x, y, end_x, end_y) == pytest.approx((40, 80, 160, 30), abs=3)


def test_a_signature_is_asked_for_again_once_the_numbers_are_others(phone, town, visit):
    builders.make_result(visit.test_points.get(position=town.detector), recorded_by=town.people["engineer"])
    take_along(phone, visit)
    phone.lose_network()
    page = phone.page
    phone.open("visit-finish", visit.pk)
    sign_off(page, "Mara Hollin, caretaker")
    phone.open("visit-finish", visit.pk)
    expect(page.locator("[name=signature]")).not_to_have_value("")
    phone.open("visit-field-position", visit.pk, town.detector.pk)
    page.get_by_text("Change this answer").click()
    fail_as_impaired(page)
    phone.open("visit-finish", visit.pk)
    expect(page.get_by_text("no longer those that were signed for")).to_be_visible()
    expect(page.locator("[name=signature]")).to_have_value("")
    expect(page.get_by_label("Name and function of who signs")).to_have_value("Mara Hollin, caretaker")


def test_after_a_swap_nobody_signs_before_its_tests_are_done_again(phone, town, visit):
    take_along(phone, visit)
    phone.lose_network()
    page = phone.page
    phone.open("visit-field-position", visit.pk, town.detector.pk)
    answer(page)  # the last: nothing comes up after it
    phone.open("visit-swap", visit.pk, town.detector.pk)
    page.get_by_label("Old serial").fill("AK-0001")
    page.get_by_label("New serial").fill("AK-0002")
    page.get_by_label("Why it is swapped").fill("Contaminated")
    page.get_by_role("button", name="Swap the unit").click()
    expect(page.locator("[data-kept-forms]")).to_contain_text("AK-0002")
    phone.open("visit-finish", visit.pk)
    expect(page.get_by_role("heading", name="1 test point without an outcome")).to_be_visible()
    expect(page.get_by_label("signed on this phone")).to_be_hidden()
    expect(page.get_by_text("its tests are to be done again")).to_be_visible()


def test_a_visit_ended_twice_without_network_ends_once_as_it_was_ended_last(phone, town, visit):
    builders.make_result(visit.test_points.get(position=town.detector), recorded_by=town.people["engineer"])
    take_along(phone, visit)
    phone.lose_network()
    page = phone.page
    for name in ("Mara Hollin, caretaker", "Tove Lindqvist, manager"):
        phone.open("visit-finish", visit.pk)
        sign_off(page, name)
        page.get_by_role("button", name="Finish the visit").click()
        expect(page.get_by_role("link", name="The end of this visit is kept on this phone")).to_be_visible()
    expect(page.locator("[data-sent]")).to_contain_text("1 not sent")
    phone.find_network()
    phone.open("home")
    expect(page.locator("[data-held]")).to_contain_text("All sent")
    visit.refresh_from_db()
    assert (visit.state, visit.sign_off.name) == ("finished", "Tove Lindqvist, manager")


def test_an_end_that_may_be_on_its_way_stands_and_the_form_filled_in_anew_says_so(phone, town, visit):
    builders.make_result(visit.test_points.get(position=town.detector), recorded_by=town.people["engineer"])
    take_along(phone, visit)
    phone.line.cut()  # the phone does not know
    page = phone.page
    phone.open("visit-finish", visit.pk)
    sign_off(page, "Mara Hollin, caretaker")
    page.get_by_role("button", name="Finish the visit").click()
    expect(page.get_by_role("link", name="The end of this visit is kept on this phone")).to_be_visible()
    phone.open("visit-finish", visit.pk)
    sign_off(page, "Tove Lindqvist, manager")
    said = page.locator("[data-kept-state]")
    expect(said).to_contain_text("the one before may be on its way to the register and stands")
    page.get_by_role("button", name="Finish the visit").click()
    expect(said).to_be_in_viewport()
    expect(page.get_by_label("Name and function of who signs")).to_have_value("Tove Lindqvist, manager")
