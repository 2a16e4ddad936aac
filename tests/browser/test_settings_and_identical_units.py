"""Settings compared and identical units told apart with a phone in the hand."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from inspections.models import Defect, SettingFound
from inspections.visits.edits import start_visit
from tests import builders
from tests.browser.accessibility import accessibility_faults
from tests.browser.conftest import PHONE
from zones.models import Fitting, PlaceConfirmation

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
TARGETS = ".choice-row label, button.primary, .field-bar a, .choice-list label, .actions a.button"


def expect_usable(page):
    """Fits the phone, has big targets, and a screen reader finds no fault."""
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    for target in page.locator(f"main :is({TARGETS})").all():
        if target.is_visible():
            assert target.bounding_box()["height"] >= 48, target
    assert accessibility_faults(page) == []


def test_a_setting_that_differs_is_recorded_from_the_phone(page_of, live_server, town, context):
    builders.make_circuit(town.panel, number=2, drive="polarity", run_time_s=75)
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    page = page_of("engineer")
    page.goto(live_server.url + reverse("visit-settings", args=[visit.pk, town.panel.pk]))
    row = page.get_by_role("group", name="Run time of circuit 2")
    found = page.locator(".setting-row", has_text="Run time").get_by_label("Found (s)")
    expect(found).to_be_hidden()
    row.get_by_label("differs").check()
    found.fill("60")
    expect(found).to_be_visible()
    expect_usable(page)
    page.set_viewport_size({"width": 320, "height": 640})
    assert page.evaluate("document.documentElement.scrollWidth") == 320
    page.set_viewport_size(PHONE)
    context.set_offline(True)
    page.get_by_role("button", name="Save what is answered").click()
    expect(page.locator("[data-kept-state]")).to_contain_text("kept on this phone, not sent yet")
    expect(found).to_have_value("60")
    assert not SettingFound.objects.exists()
    context.set_offline(False)
    expect(page.locator(".setting-row", has_text="Run time")).to_contain_text("60 s")
    expect(page.locator("[data-kept-state]")).to_have_count(0)
    assert Defect.objects.get().description == "Setting Run time of circuit 2: found 60 s, left at 75 s"
    expect_usable(page)


def test_identical_units_are_told_apart_one_after_another(page_of, live_server, town):
    model = builders.make_product_model("actuator", name="KA 1")
    for number in (1, 2):
        position = builders.make_position(town.hall, "actuator", tag=f"M{number}", smoke_zone=town.zone)
        builders.fit(position, builders.make_unit(model, serial=f"A-{number}"))
    page = page_of("engineer")
    page.goto(live_server.url + reverse("identical-unit-list", args=[town.hall.slug]))
    expect_usable(page)
    page.get_by_role("link", name="Confirm place M1").click()
    page.get_by_label("Serial read at the place").fill("A-2")
    page.get_by_role("button", name="Confirm the place").click()
    exchange = page.get_by_role("button", name="Exchange the two records")
    expect(exchange).to_be_visible()
    expect_usable(page)
    exchange.click()
    expect(page.get_by_role("heading", name="Which unit hangs at M2?")).to_be_visible()
    page.get_by_label("by operating it").check()
    page.get_by_label("Seen to move or report").check()
    page.get_by_label("Note").fill("-X1:1 driven, M2 opened alone")
    expect_usable(page)
    page.get_by_role("button", name="Confirm the place").click()
    expect(page.get_by_role("definition").filter(has_text="Told apart 2 of 2")).to_be_visible()
    at = Fitting.objects.open().values_list("position__tag", "unit__serial").filter(unit__product_model=model)
    assert dict(at) == {"M1": "A-2", "M2": "A-1"}
    assert PlaceConfirmation.objects.count() == 2
