"""The wiring page: cores typed by keyboard at a desk, looked at and ticked on a phone, and without scripts."""

import pytest
from django.conf import settings
from django.urls import reverse
from playwright.sync_api import expect

from tests import builders
from tests.browser.accessibility import accessibility_faults
from tests.browser.conftest import DESK, PHONE
from zones.models import CoreEnd, Terminal
from zones.units.patterns import use_panel_pattern
from zones.wiring.loops import loop_run

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def wired(town, live_server):
    """P1 with line 1 looped through SD11, and terminals -X9:1 … 3 for a cable W12 of three cores to SD1."""
    line = builders.make_line(town.panel, number=1, name="Main stair", end_of_line_ohm=10_000)
    device = builders.make_position(
        town.hall, tag="SD11", panel=town.panel, detection_line=line, order_on_line=1, storey="2"
    )
    use_panel_pattern(panel=town.panel, lines=1)
    loop_run(owner=line, devices=[device])
    for number in "123":
        builders.make_terminal(town.panel, block="X9", number=number, electrical_kind="contact", function="signal")
    for number in "12":
        builders.make_terminal(position=town.detector, block="X1", number=number, electrical_kind="contact")
    builders.make_cable(town.hall, tag="W12", cores_count=3, from_place="P1", to_place="SD1")
    town.url = live_server.url + reverse("panel-wiring", args=[town.panel.pk])
    return town


def without_violations(page):
    assert accessibility_faults(page, rules=None) == []


def test_wiring_is_typed_by_keyboard_checked_at_once_and_undone(page_of, wired):
    page = page_of("engineer", DESK)
    page.goto(wired.url)
    without_violations(page)
    first = page.get_by_label("Core on P1 -X9:1")
    first.focus()
    page.keyboard.type("w12.1 bn")
    page.keyboard.press("Enter")
    expect(page.get_by_label("Core on P1 -X9:2")).to_be_focused()
    expect(first).to_have_value("W12.1 BN")
    row = page.locator("tr", has=first)
    expect(row.locator("[data-findings]")).to_contain_text("its far end is on no terminal")
    page.keyboard.press("ArrowUp")
    expect(first).to_be_focused()
    page.keyboard.press("Tab")
    page.keyboard.type("SD1 -X1:1")
    page.keyboard.press("Enter")
    expect(page.locator("[data-wiring-said]")).to_contain_text("W12.1 BN joins P1 -X9:1 and SD1 -X1:1")
    expect(row.locator("[data-findings]")).not_to_contain_text("on no terminal")
    assert CoreEnd.objects.filter(core__cable__tag="W12").count() == 2
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_label("Far end from P1 -X9:1")).to_have_value("")
    assert CoreEnd.objects.filter(core__cable__tag="W12").count() == 1


def test_what_cannot_be_is_told_at_the_row_and_escape_brings_back_what_was(page_of, wired):
    page = page_of("office", DESK)
    page.goto(wired.url)
    first = page.get_by_label("Core on P1 -X9:1")
    first.fill("W99.1")
    first.press("Enter")
    row = page.locator("tr", has=first)
    expect(row.locator("[data-refusal]")).to_contain_text("This building has no cable 'W99'")
    expect(first).to_have_value("W99.1")
    without_violations(page)
    first.press("Escape")
    expect(first).to_have_value("")
    expect(row.locator("[data-refusal]")).to_have_count(0)
    assert not CoreEnd.objects.filter(terminal__block="X9").exists()


def test_on_a_phone_the_page_is_looked_at_and_ticked(page_of, wired):
    page = page_of("engineer", PHONE)
    page.goto(wired.url)
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    expect(page.get_by_label("Core on P1 -XL1:1")).to_be_hidden()
    expect(page.locator("tr", has_text="-XL1:1").locator("[data-shown=far]").first).to_have_text("SD11 -X1:1")
    without_violations(page)
    tick = page.get_by_label("P1 -XL1:1 seen on site as recorded")
    expect(tick).to_be_hidden()
    page.get_by_role("button", name="-XL1").click()
    tick.check()
    expect(page.get_by_text("seen just now")).to_be_visible()
    assert Terminal.objects.get(panel=wired.panel, block="XL1", number="1").checked_by == wired.people["engineer"]


def test_rows_are_saved_without_scripts(browser, client, wired, live_server):
    client.force_login(wired.people["office"], backend="django.contrib.auth.backends.ModelBackend")
    context = browser.new_context(java_script_enabled=False)
    cookie = client.cookies[settings.SESSION_COOKIE_NAME].value
    context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": cookie, "url": live_server.url}])
    page = context.new_page()
    page.goto(wired.url)
    page.get_by_label("Core on P1 -X9:1").fill("W12.1")
    page.get_by_role("button", name="Save all typed rows").click()
    expect(page.get_by_text("1 change of the wiring saved.")).to_be_visible()
    context.close()
