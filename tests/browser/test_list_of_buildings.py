"""The list of buildings shows at once and is then told what the design check says; where that fails, it says so."""

import re

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from tests.browser.conftest import DESK
from tests.browser.waiting import hold

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

ASKED = "**/buildings/within-limits.json?*"


def mark_of(page, building):
    return page.locator(f"[data-limits-of='{building.slug}']")


def test_the_marks_of_what_is_within_limits_come_after_the_list(page_of, town, live_server):
    page = page_of("office", DESK)
    request = hold(page, ASKED)
    page.goto(live_server.url + reverse("building-list"))
    expect(mark_of(page, town.hall)).to_have_attribute("aria-busy", "true")
    expect(mark_of(page, town.hall).locator(".quiet")).to_be_visible()
    request().continue_()
    expect(mark_of(page, town.hall).locator(".alarm")).to_contain_text("1 not met")
    expect(mark_of(page, town.hall)).not_to_have_attribute("aria-busy", re.compile(".*"))


def test_when_they_cannot_be_asked_the_list_says_so_and_leads_to_the_design_check(page_of, town, live_server):
    page = page_of("office", DESK)
    page.route(ASKED, lambda route: route.abort())
    page.goto(live_server.url + reverse("building-list"))
    expect(page.get_by_role("status").filter(has_text="could not be asked")).to_be_visible()
    mark_of(page, town.hall).get_by_role("link").click()
    expect(page).to_have_url(live_server.url + reverse("building-design-check", args=[town.hall.slug]))
