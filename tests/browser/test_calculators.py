"""Calculators on a phone: typed, answered, shared; readable by a screen reader; no sideways scroll."""

import re

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from tests.browser.accessibility import accessibility_faults
from tests.browser.conftest import DESK, PHONE
from tests.zones.installations import make_installation

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

CABLE = "length_m=40&size=1.5&conductor_class=2&actuators=4&rated_current_a=1&mains_v=24&minimum_voltage_v=19.2"
LINE = "call_points=1&detectors=3&removal_opens_line=yes&detector_ua=0&length_m=80&size=0.75&conductor_class=1"
LINE += "&end_of_line_ohm=10000&alarm_ohm=680"
PAGES = (
    "/calculator/",
    f"/calculator/voltage-drop/?{CABLE}&discharged_v=21",
    "/calculator/voltage-drop/?length_m=25000",
    "/calculator/cable-rating/?size=2.5&insulation=thermoplastic&method=C&grouped_circuits=3&ambient_c=35&load_a=10",
    f"/calculator/protection/?{CABLE}&discharged_v=21&device_kind=blade&device_a=5&own_drop_v=0.3&supply_a=10",
    "/calculator/battery/?basis=vde-0833-30h&quiescent_a=0.2&panel_alarm_a=0.1&motors_a=8&capacity_ah=17",
    "/calculator/supply/?rated_current_a=8&alarm_current_a=0.1&charger_inhibited=yes&outputs_1=12&actuators_1=1"
    "&current_a_1=1&operation=sequential&gap_s=0&stroke_mm=500&speed_mm_per_s=10",
    f"/calculator/monitored-line/?{LINE}",
    f"/calculator/locate-fault/?{LINE}&reading_ohm=open",
    "/calculator/opening-time/?stroke_mm=500&speed_mm_per_s=10&delay_s=0",
    "/calculator/vent-area/?kind=top+hung&width_mm=1000&height_mm=1000&stroke_mm=500&reveal_mm=0",
    "/calculator/required-area/?method=axisymmetric&heat_release_kw=2500&clear_height_m=4&layer_depth_m=2",
)


@pytest.fixture
def recorded(town):
    made = make_installation(town.hall, tag="P5")
    return reverse("line-locate-fault", args=[made.panel.pk, 1])


def test_calculators_fit_a_phone_and_are_free_of_accessibility_faults(page_of, live_server, recorded):
    page = page_of("engineer")
    for url in (*PAGES, recorded, f"{recorded}?reading_ohm=open"):
        page.goto(live_server.url + url)
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"], f"{url} scrolls sideways"
        assert accessibility_faults(page) == [], url
    page.set_viewport_size(DESK)
    assert accessibility_faults(page) == []


def test_an_engineer_calculates_by_hand_and_sends_the_link(page_of, live_server):
    page = page_of("engineer")
    page.goto(live_server.url)
    page.get_by_text("Menu").click()
    page.get_by_role("link", name="Calculator").click()
    page.get_by_role("link", name="Opening time").click()
    page.get_by_label("Stroke (mm)").fill("500")
    page.get_by_label("Speed (mm/s)").fill("8.3")
    page.get_by_label("Delay before it starts (s)").fill("0")
    page.get_by_role("button", name="Calculate").click()
    page.get_by_text("beyond the limit of 60 s").wait_for()
    # The address ends in #answer, and the browser follows it while it draws the page.
    expect(page.locator("#answer .figures")).to_be_in_viewport()
    page.get_by_role("link", name="Link to this calculation").click()
    expect(page).to_have_url(re.compile(r"\?stroke_mm=500&speed_mm_per_s=8\.3&delay_s=0$"))
    expect(page.get_by_label("Speed (mm/s)")).to_have_value("8.3")


def test_only_the_figures_of_the_chosen_method_are_asked_for(page_of, live_server):
    page = page_of("engineer")
    page.goto(f"{live_server.url}/calculator/required-area/")
    floor, height = page.get_by_label("Floor area (m²)"), page.get_by_label("Clear height below the smoke (m)")
    expect(floor).to_be_hidden()
    page.get_by_label("Method").select_option("fr-workplace")
    expect(floor).to_be_visible()
    expect(height).to_be_hidden()
    page.get_by_text("inlets of the same area").wait_for()
    page.get_by_label("Method").select_option("axisymmetric")
    expect(height).to_be_visible()
    expect(floor).to_be_hidden()


def test_a_mistyped_figure_is_in_sight_with_its_sentence(page_of, live_server):
    page = page_of("office")
    page.goto(f"{live_server.url}/calculator/voltage-drop/")
    page.get_by_label("Length, one way (m)").fill("25000")
    page.get_by_role("button", name="Calculate").click()
    sentence = page.locator(".error-list").get_by_text("Typed in mm? 25000 mm is 25 m.")
    sentence.wait_for()
    assert 0 < sentence.bounding_box()["y"] < PHONE["height"]


def test_a_fault_is_located_in_the_field(page_of, live_server, recorded):
    page = page_of("engineer")
    page.goto(live_server.url + recorded)
    page.get_by_label("Reading at the terminals").fill("open")
    assert page.get_by_role("button", name="Calculate").bounding_box()["height"] >= 48
    page.get_by_label("Which devices still report?").select_option("yes")
    page.get_by_label("P5D1.1").check()
    page.get_by_role("button", name="Calculate").click()
    answer = page.get_by_role("heading", name="P5D1.2 is taken out of its base.")
    answer.wait_for()
    expect(page.get_by_label("P5D1.1")).to_be_checked()
    # The answer first, the boxes of the first reading after it.
    assert answer.bounding_box()["y"] < page.get_by_label("Reading at the terminals").bounding_box()["y"]
