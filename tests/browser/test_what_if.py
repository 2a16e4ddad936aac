"""Trying another battery on a phone: found, filled in, read side by side, taken back, and free of faults."""

import re

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from tests.browser.accessibility import accessibility_faults
from tests.browser.conftest import PHONE
from tests.zones.installations import make_installation

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_an_engineer_tries_another_battery_on_a_phone(page_of, town, live_server):
    made = make_installation(town.hall, tag="P7")
    page = page_of("engineer")
    path = reverse("panel-design-check", args=[made.panel.pk])
    page.goto(live_server.url + path)
    page.get_by_text("What if?").click()
    page.get_by_label("Battery capacity (Ah)").fill("none")
    page.get_by_role("button", name="Show what changes").click()
    expect(page.get_by_text("'none' is not a number.")).to_be_visible()
    page.get_by_label("Battery capacity (Ah)").fill("4.5")
    page.get_by_role("button", name="Show what changes").click()
    expect(page).to_have_url(re.compile("capacity=4.5"))
    expect(page.get_by_text("P7: the battery has 4.5").first).to_be_visible()
    expect(page.get_by_text("Nothing is saved. The records are as they were")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    assert accessibility_faults(page) == []
    typed = page.locator(".what-if :is(input:not([type=hidden]), select, .button)")
    assert min(one.bounding_box()["height"] for one in typed.all()) >= 48
    page.get_by_role("link", name="As recorded").click()
    expect(page).not_to_have_url(re.compile("capacity"))
