"""Touches on a screen whose script has not come yet: none is lost, none is done that was not meant."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from inspections.models import Result
from inspections.visits.edits import start_visit
from tests.browser.field_steps import expect_all_sent, expect_last
from tests.browser.waiting import hold

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def visit(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


@pytest.fixture
def before_its_script(page_of, live_server, town, visit):
    """The form whose screen has come and whose script has not: (page, its Pass, what lets the script come)."""
    page = page_of("engineer")
    script = hold(page, "**/field/form*.js", times=1)
    page.goto(live_server.url + reverse("visit-field-position", args=[visit.pk, town.detector.pk]), wait_until="commit")
    page.wait_for_function("() => document.readyState !== 'loading'")
    return page, page.get_by_role("button", name="Pass", exact=True), lambda: script().continue_()


def test_a_touch_before_the_script_is_ready_is_done_when_it_is(before_its_script, visit):
    page, button, let_come = before_its_script
    button.click()
    expect(button).to_have_attribute("aria-busy", "true")
    let_come()
    expect_last(page, "pass · recorded")
    assert Result.objects.get(test_point__visit=visit).outcome == "pass"


def test_a_touch_that_is_under_way_as_the_script_becomes_ready_is_not_lost(before_its_script, visit):
    page, button, let_come = before_its_script
    expect(button).to_be_enabled()
    button.hover()
    page.mouse.down()
    let_come()
    expect_all_sent(page)  # the script has run and greeted the register
    page.mouse.up()
    expect_last(page, "pass · recorded")
    assert Result.objects.get(test_point__visit=visit).outcome == "pass"


def test_a_form_waits_with_what_is_typed_for_the_script_that_keeps_it(page_of, live_server, town, visit):
    page = page_of("engineer")
    page.goto(live_server.url + reverse("visit-swap", args=[visit.pk, town.detector.pk]))
    page.get_by_label("New serial").fill("half written before")
    script = hold(page, "**/field/kept_form*.js", times=1)
    page.reload(wait_until="commit")
    page.get_by_label("Old serial").fill("AK-0001")
    page.get_by_label("New serial").fill("AK-0002")
    page.get_by_label("Why it is swapped").fill("Contaminated")
    page.get_by_role("button", name="Swap the unit").click()
    expect(page.get_by_role("button", name="Swap the unit")).to_have_attribute("aria-busy", "true")
    script().continue_()
    expect(page.locator(".who-is-it")).to_contain_text("AK-0002")
    assert town.detector.fittings.open().get().unit.serial == "AK-0002"


@pytest.fixture
def still_clock(page_of, context):
    """Timers of a page run only when they are told to."""
    context.clock.install(time=timezone.now())
    context.clock.pause_at(timezone.now() + timedelta(seconds=1))
    return context.clock


def test_a_second_touch_that_meets_the_screen_as_it_comes_answers_nothing(still_clock, before_its_script, visit):
    page, button, let_come = before_its_script
    button.click(force=True)  # where it stands, taking touches or not
    let_come()
    expect_all_sent(page)
    still_clock.run_for(500)
    button.click()
    expect_last(page, "pass · recorded")
    assert Result.objects.filter(test_point__visit=visit).count() == 1
