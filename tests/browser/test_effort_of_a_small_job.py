"""From an empty building to a wired panel with rules and settings, by forms: in few clicks and few fields."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from tests import builders
from tests.browser.conftest import DESK
from tests.zones.installations import make_models
from zones.models import ControlPanel, DeviceKind
from zones.wiring_check import findings_of_wiring

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
MOST_CLICKS, MOST_FIELDS = 40, 60  # by forms alone it took 107 clicks and 374 fields

PASTE = """(cell, text) => {
  const clipboardData = new DataTransfer();
  clipboardData.setData("text/plain", text);
  cell.dispatchEvent(new ClipboardEvent("paste", { clipboardData, bubbles: true, cancelable: true }));
}"""


class Hand:
    """Does what a person does, and counts it: a click or key that acts, and a field that is filled in."""

    def __init__(self, page):
        self.page, self.clicks, self.fields = page, 0, 0

    def click(self, words, role="link"):
        self.clicks += 1
        self.page.get_by_role(role, name=words).first.click()

    def press(self, field, key):
        self.clicks += 1
        self.page.locator(f"[name={field}]").press(key)

    def fill(self, **fields):
        for name, text in fields.items():
            self.fields += 1
            self.page.locator(f"main [name={name}]").fill(text)

    def paste(self, field, text):
        self.clicks += 1
        self.page.locator(f"[name={field}]").evaluate(PASTE, text)


@pytest.fixture
def building(town):
    make_models()
    builders.make_product_model(DeviceKind.SMOKE_DETECTOR, name="OD 9")  # so that there is one to choose
    return builders.make_building(town.quay_housing, name="Sluice House", slug="sluice-house")


def test_a_small_job_takes_few_clicks_and_few_fields(page_of, live_server, building):
    page = page_of("office", DESK)
    page.goto(live_server.url + reverse("building-set-up", args=[building.slug]))
    hand = Hand(page)
    make_two_zones(hand)
    panel = ControlPanel.objects.get(building=building)
    assert [finding.sentence for finding in findings_of_wiring(panel)] == []
    assert panel.rules.exists() and panel.actuator_circuits.filter(run_time_s=60).count() == 2

    page.goto(live_server.url + reverse("position-grid", args=[building.slug]))
    add_five_positions(hand)
    added = building.positions.filter(tag__in=["SD3", "SD4", "SD5"]).order_by("tag")
    assert list(added.values_list("kind", "detection_line__number", "order_on_line", "storey", "place")) == [
        ("smoke_detector", 2, 2, "1", "lobby"), ("smoke_detector", 2, 3, "1", "corridor"),
        ("smoke_detector", 2, 4, "1", "corridor"),
    ]  # fmt: skip
    assert hand.clicks <= MOST_CLICKS and hand.fields <= MOST_FIELDS, (hand.clicks, hand.fields)


def make_two_zones(hand):
    hand.click("Small system in one step")
    hand.click("One panel, two zones")
    detector = hand.page.locator("[name=z1_detectors_model] option").nth(1)
    hand.fill(end_of_line_ohm="10000", mains_feed="DB1, way 4, 6 A", output_cable_type="E30", other_cable_type="E30")
    hand.fields += 1
    hand.page.locator("[name=z1_detectors_model]").select_option(detector.get_attribute("value"))
    hand.fill(z1_name="North stair", z1_storey="roof", z1_actuators_lengths="18", z1_detectors_lengths="9")
    hand.fill(z2_name="South stair", z2_storey="roof", z2_actuators_lengths="26", z2_detectors_lengths="14")
    hand.click("Show all that would be made", "button")
    expect(hand.page.locator("#system-preview")).to_contain_text("no finding on the wiring")
    hand.click("Make it like this", "button")
    expect(hand.page.get_by_role("status").first).to_contain_text("Panel P1 is made")


def add_five_positions(hand):
    """The second row repeats the first, the third is filled from above, two are pasted; tags and order count on."""
    page = hand.page
    hand.fill(**{"tag-1": "SD3"})
    page.locator("[name=tag-1]").press("Tab")
    expect(page.locator("[name=kind-1]")).to_have_value("smoke detector")
    hand.fill(**{"circuit_or_line-1": "line 2", "storey-1": "1", "place-1": "lobby"})
    hand.click("Repeat row 1", "button")
    expect(page.locator("[name=tag-2]")).to_have_value("SD4")
    hand.fill(**{"place-2": "corridor"})
    for column in ("tag", "circuit_or_line", "storey", "place"):
        hand.press(f"{column}-3", "Control+d")
    expect(page.locator("[name=tag-3]")).to_have_value("SD5")
    hand.paste("tag-4", "RS2\train sensor\nWS1\twind sensor\n")
    expect(page.locator("[name=kind-5]")).to_have_value("wind sensor")
    hand.click("Make the positions", "button")
    expect(page.get_by_role("status").first).to_contain_text("5 positions made")
