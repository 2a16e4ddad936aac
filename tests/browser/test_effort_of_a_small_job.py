"""From an empty building to a wired panel with rules and settings, by forms: in few clicks and few fields."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from inspections.demo.product_models import PANEL_PATTERN
from tests import builders
from tests.browser.conftest import DESK
from tests.zones.installations import make_models
from zones.engineering.findings import Severity
from zones.engineering.pattern_texts import LINK_CALL_POINT, TWO_CORE_ACTUATOR
from zones.models import ControlPanel
from zones.wiring.check import findings_of_wiring

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

    def choose(self, **fields):
        """By what stands in the list: '2 cores' is the choice that contains these words."""
        for name, words in fields.items():
            self.fields += 1
            choice = self.page.locator(f"[name={name}] option", has_text=words).first
            self.page.locator(f"main [name={name}]").select_option(choice.get_attribute("value"))


@pytest.fixture
def building(town):
    """An empty building; two models of each kind are on record, so that each must be chosen."""
    changes = {
        "control_panel": {"wiring_pattern": PANEL_PATTERN, "end_of_line_ohm": 10_000},
        "manual_call_point": {"wiring_pattern": LINK_CALL_POINT},
    }
    for kind, model in make_models(**changes).items():
        model.name = f"A usual {kind.label}"
        model.save()
        builders.make_product_model(kind, name=f"B other {kind.label}")
    builders.make_product_model(
        "actuator", name="C two cores", drive="polarity", stroke_mm=400, speed_mm_s=10, wiring_pattern=TWO_CORE_ACTUATOR
    )
    return builders.make_building(town.quay_housing, name="Sluice House", slug="sluice-house")


def test_a_small_job_takes_few_clicks_and_few_fields(page_of, live_server, building):
    page = page_of("office", DESK)
    page.goto(live_server.url + reverse("building-set-up", args=[building.slug]))
    hand = Hand(page)
    make_the_small_job(hand)
    panel = ControlPanel.objects.get(building=building)
    assert [one.sentence for one in findings_of_wiring(panel) if one.severity != Severity.MISSING] == []
    assert list(panel.actuator_circuits.order_by("number").values_list("drive", "run_time_s", "end_place")) == [
        ("addressed", 64, "none_needed"),
        ("polarity", 48, "in_box"),
    ]
    assert building.positions.count() == 13 and panel.rules.exists() and not building.cables.filter(cores=None).exists()

    page.goto(live_server.url + reverse("position-grid", args=[building.slug]))
    add_five_positions(hand)
    added = building.positions.filter(tag__in=["SD3", "SD4", "SD5"]).order_by("tag")
    assert list(added.values_list("kind", "detection_line__number", "order_on_line", "storey", "place")) == [
        ("smoke_detector", 1, 2, "1", "lobby"),
        ("smoke_detector", 1, 3, "1", "corridor"),
        ("smoke_detector", 1, 4, "1", "corridor"),
    ]
    assert hand.clicks <= MOST_CLICKS and hand.fields <= MOST_FIELDS, (hand.clicks, hand.fields)


def make_the_small_job(hand):
    """Two zones: circuits of either drive, call points on a data link, the module of one circuit in a box."""
    hand.click("Small system in one step")
    hand.click("One panel, two zones, call points on a data link")
    hand.choose(panel_model="A usual", battery_model="A usual")
    hand.fill(panel_storey="0", mains_feed="DB1, way 7, 10 A", output_cable_type="E30", other_cable_type="E30")
    hand.choose(output_cable_area="1.5", other_cable_area="0.75")
    hand.fill(z1_name="Front stair", z1_storey="roof", z1_actuators_lengths="18", z1_call_point_switches_count="0")
    hand.choose(z1_drive="addressed", z1_actuators_model="A usual", z1_link_call_points_model="A usual")
    hand.choose(z1_call_point_detectors_model="A usual", z1_panel_detectors_model="A usual")
    hand.fill(z1_link_call_points_storey="0", z1_panel_switches_count="1", z1_panel_detectors_count="1")
    hand.fill(z1_link_call_points_lengths="9", z1_call_point_detectors_lengths="22", z1_panel_detectors_lengths="12")
    hand.fill(z2_name="Back stair", z2_storey="roof", z2_actuators_lengths="24 1", z2_call_point_detectors_count="0")
    hand.choose(z2_drive="polarity", z2_end="in a box", z2_actuators_model="C two cores")
    hand.fill(z2_link_call_points_storey="0", z2_call_point_switches_lengths="6", monitored_rain_lengths="15")
    hand.click("Show all that would be made", "button")
    expect(hand.page.locator("#system-preview")).to_contain_text("1 data link, 3 lines, 5 inputs, 12 positions")
    hand.click("Make it like this", "button")
    expect(hand.page.get_by_role("status").first).to_contain_text("Panel P1 is made")


def add_five_positions(hand):
    """The second row repeats the first, the third is filled from above, two are pasted; tags and order count on."""
    page = hand.page
    hand.fill(**{"tag-1": "SD3"})
    page.locator("[name=tag-1]").press("Tab")
    expect(page.locator("[name=kind-1]")).to_have_value("smoke detector")
    hand.fill(**{"circuit_or_line-1": "line 1", "storey-1": "1", "place-1": "lobby"})
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
