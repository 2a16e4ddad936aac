"""Floor plans: positions dragged, tapped and spread along a run; on a visit a pin opens its test, offline too."""

import re

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from inspections.visits.edits import start_visit
from tests import builders
from tests.browser.conftest import DESK
from tests.browser.phones import answer, take_along
from tests.zones.floor_plans.plans import add_plan, put

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def place_of(plan, position):
    place = plan.places.filter(position=position).first()
    return place and (round(place.x, 1), round(place.y, 1))


def point(page, x, y):
    """A point of the plan on the screen, from parts of its width and height."""
    box = page.locator("[data-plan]").bounding_box()
    return box["x"] + box["width"] * x, box["y"] + box["height"] * y


def test_positions_are_placed_by_dragging_tapping_and_along_a_run_and_taken_back(page_of, live_server, town):
    detectors = [builders.make_position(town.hall, tag=f"SD{number}", storey="7") for number in range(41, 46)]
    plan = add_plan(town, storey="7")
    page = page_of("engineer", DESK)
    page.goto(live_server.url + plan.get_absolute_url())
    said = page.locator("[data-said]")
    row = page.locator(f'[data-choose="{detectors[0].pk}"]').bounding_box()
    page.mouse.move(row["x"] + 20, row["y"] + 10)
    page.mouse.down()
    page.mouse.move(*point(page, 0.5, 0.5))
    page.mouse.move(*point(page, 0.3, 0.4))
    page.mouse.up()
    expect(said).to_have_text("SD41 placed.")
    assert place_of(plan, detectors[0]) == (0.3, 0.4)

    page.get_by_role("button", name="SD42").click()
    page.mouse.click(*point(page, 0.6, 0.4))
    expect(said).to_contain_text("SD42 placed. SD43 is chosen")
    assert place_of(plan, detectors[1]) == (0.6, 0.4)
    page.keyboard.press("Escape")

    page.get_by_text("Place a run by number").click()
    page.get_by_label("First").select_option(label="SD43")
    page.get_by_label("Last").select_option(label="SD45")
    page.get_by_role("button", name="Tap its line").click()
    for x in (0.1, 0.9):
        page.mouse.click(*point(page, x, 0.8))
        page.wait_for_function(
            "before => document.querySelectorAll('.plan-run circle').length > before", arg=int(x > 0.5)
        )
    page.get_by_role("button", name="Spread along it").click()
    expect(said).to_have_text("3 placed along the line.")
    assert [place_of(plan, one) for one in detectors[2:]] == [(0.1, 0.8), (0.5, 0.8), (0.9, 0.8)]

    page.get_by_role("button", name="Undo").click()
    expect(said).to_have_text("Taken back: 3 as before.")
    assert plan.places.count() == 2
    expect(page.get_by_text("2 of 5 positions of the storey on it.")).to_be_visible()


def test_a_plan_taken_along_shows_without_network_what_was_answered_and_opens_tests(phone, town):
    position = builders.make_position(town.hall, "manual_call_point", tag="CP41", storey="7")
    plan = add_plan(town, storey="7")
    put(plan, position, town.people["office"])
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    take_along(phone, visit)
    phone.lose_network()
    phone.open("visit-floor-plan", visit.pk, plan.pk)
    page = phone.page
    expect(page.locator("[data-remaining]")).to_have_text("1 of 1 test remaining")
    page.wait_for_function(  # the drawing comes from the phone
        "async address => (await (await fetch(address)).blob()).type === 'image/png'", arg=plan.picture_url
    )
    page.get_by_role("link", name="CP41, manual call point").click()
    test = re.compile(re.escape(reverse("visit-field-position", args=[visit.pk, position.pk])))
    expect(page).to_have_url(test)
    answer(page)
    expect(page).not_to_have_url(test)  # the next position comes up by itself
    expect(page.locator("[data-sent]")).not_to_be_empty()
    phone.open("visit-floor-plan", visit.pk, plan.pk)
    expect(page.locator("[data-remaining]")).to_have_text("0 of 1 test remaining")
    expect(page.get_by_role("link", name="CP41, manual call point, done")).to_be_visible()
