"""Cause and effect as an engineer works on it: the matrix by keyboard at a desk, the simulator on a phone."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from tests import builders
from tests.browser.conftest import DESK, PHONE
from zones.cause_and_effect.edits import add_usual_rules
from zones.models import CauseAndEffectRule

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def middle(part):
    box = part.bounding_box()
    return box["y"] + box["height"] / 2


def test_a_cell_is_set_by_keyboard(page_of, town, live_server):
    builders.make_zone(town.hall, panel=town.panel, number=2, name="Roof stair")
    page = page_of("engineer", DESK)
    page.goto(live_server.url + reverse("rule-matrix", args=[town.panel.pk]))
    cell = page.get_by_role("link", name="CP1, Zone 1 Main stair: stays as it is")
    cell.focus()
    page.keyboard.press("o")
    page.get_by_role("link", name="CP1, Zone 1 Main stair: open").wait_for()
    page.keyboard.press("l")
    latching = page.locator("td sup", has_text="L")
    latching.wait_for()
    assert middle(latching) <= middle(page.locator("td b", has_text="O")) - 3  # raised, as the legend shows it
    page.keyboard.press("ArrowRight")
    expect(page.get_by_role("link", name="CP1, Zone 2 Roof stair")).to_be_focused()
    rule = CauseAndEffectRule.objects.get()
    assert (rule.position, rule.smoke_zone, rule.effect, rule.is_latching) == (town.call_point, town.zone, "O", True)
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Delete")
    page.get_by_role("link", name="CP1, Zone 1 Main stair: stays as it is").wait_for()
    assert not CauseAndEffectRule.objects.exists()


def test_a_smoke_alarm_is_played_on_a_phone(page_of, town, live_server):
    builders.make_position(town.hall, "actuator", tag="M1", smoke_zone=town.zone, panel=town.panel)
    add_usual_rules(panel=town.panel)
    page = page_of("manager")
    page.goto(live_server.url + reverse("simulator", args=[town.panel.pk]))
    button = page.get_by_role("button", name="SD1 operates")
    assert button.bounding_box()["height"] >= 48
    button.click()
    expect(page.get_by_role("status").get_by_text("Zone 1 Main stair goes into alarm.")).to_be_visible()
    vents = page.locator(".zone-vents .state")
    expect(vents.first).to_contain_text("open for smoke")
    page.get_by_role("link", name="Step back").click()
    expect(vents.first).to_contain_text("shut")
    page.get_by_role("link", name="Step on").click()
    expect(vents.first).to_contain_text("open for smoke")
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
