"""A drawing on a phone and at a desk: sized by button and key, readable by a screen reader, no sideways scroll."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from tests.browser.accessibility import accessibility_faults
from tests.browser.conftest import DESK, PHONE
from tests.browser.waiting import until
from tests.paper_text import sheets_of
from tests.zones.wiring.wired import wire_town

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def width_of(page):
    return page.locator("[data-view] svg").bounding_box()["width"]


@pytest.mark.parametrize("kind", ["wiring-diagram", "zone-overview"])
def test_a_drawing_is_sized_and_moved_and_has_no_accessibility_faults(page_of, live_server, town, kind):
    wire_town(town)
    page = page_of("engineer")
    page.goto(live_server.url + reverse(kind, args=[town.panel.pk]))
    page.get_by_role("button", name="Size").wait_for()
    page.get_by_role("button", name="Size").click()
    expect(page.get_by_role("button", name="Size 100 %")).to_be_visible()
    before = width_of(page)
    page.get_by_role("button", name="Larger").click()
    expect(page.get_by_role("button", name="Size 125 %")).to_be_visible()
    assert width_of(page) == pytest.approx(before * 1.25, rel=0.01)
    page.get_by_role("button", name="Width").click()
    expect(page.get_by_role("button", name="Size 125 %")).to_be_hidden()
    assert width_of(page) == pytest.approx(page.locator("[data-view]").evaluate("view => view.clientWidth"), abs=1)
    page.locator("[data-view]").focus()
    page.keyboard.press("0")
    expect(page.get_by_role("button", name="Size 100 %")).to_be_visible()
    assert width_of(page) == pytest.approx(before, abs=1)
    for size in (PHONE, DESK):
        page.set_viewport_size(size)
        assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]
        assert accessibility_faults(page) == []


def test_a_simulator_shows_its_drawing_whole_beside_the_sequence_and_prints_it_on_one_sheet(page_of, live_server, town):
    page = page_of("engineer", size={"width": 1280, "height": 800})
    page.goto(live_server.url + reverse("simulator", args=[town.panel.pk]))
    page.get_by_role("button", name="Larger").wait_for()
    view = page.locator("[data-view]")
    assert width_of(page) <= view.evaluate("view => view.clientWidth") + 1
    assert page.locator(".work-aside").bounding_box()["x"] >= view.bounding_box()["x"] + width_of(page)
    words = [" ".join(sheet) for sheet in sheets_of(page.pdf(prefer_css_page_size=True)) if sheet]
    assert ["Sequence" in sheet for sheet in words] == [True, False]
    assert all(drawn in words[1] for drawn in ("detector: operate", "reset: press"))


def test_dragging_moves_the_drawing_and_a_device_leads_to_its_page(page_of, live_server, town):
    wire_town(town)
    page = page_of("engineer", size=DESK)
    page.goto(live_server.url + reverse("wiring-diagram", args=[town.panel.pk]))
    for _ in range(7):
        page.get_by_role("button", name="Larger").click()
    expect(page.get_by_role("button", name="Size 400 %")).to_be_visible()
    view = page.locator("[data-view]")
    box = view.bounding_box()
    left = view.evaluate("view => view.scrollLeft")
    page.mouse.move(box["x"] + box["width"] - 20, box["y"] + 12)
    page.mouse.down()
    page.mouse.move(box["x"] + 200, box["y"] + 12)
    page.mouse.up()
    until(page, lambda: view.evaluate("view => view.scrollLeft") > left)
    page.locator("[data-view] a", has_text="SD1").click()
    page.wait_for_url(f"**{reverse('position-detail', args=[town.detector.pk])}")


def test_labels_are_chosen_and_shown_on_a_phone_and_at_a_desk(page_of, live_server, town):
    wire_town(town)
    page = page_of("engineer")
    page.goto(live_server.url + reverse("label-list", args=[town.hall.slug]))
    expect(page.get_by_label("Rows", exact=True)).to_be_hidden()
    page.get_by_label("Sheet of labels").select_option("own")
    expect(page.get_by_label("Rows", exact=True)).to_be_visible()
    page.get_by_label("Sheet of labels").select_option("5x13")
    page.get_by_label("Labels for").select_option("cores")
    expect(page.get_by_label("Storey")).to_be_hidden()
    page.get_by_role("button", name="Show labels").click()
    page.get_by_role("link", name="PDF, 4 labels").wait_for()
    for size in (PHONE, DESK):
        page.set_viewport_size(size)
        assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]
        assert accessibility_faults(page) == []
