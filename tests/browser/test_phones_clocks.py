"""Two phones whose clocks are wrong, on one visit: no clock settles what only a person can."""

from datetime import datetime, timedelta

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from inspections.models import Defect, Result
from inspections.visits.edits import start_visit
from tests import builders
from tests.browser.conftest import as_slow_as_asked
from tests.browser.field_steps import expect_last, record, touch

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PHONE = {"width": 390, "height": 844}


@pytest.fixture
def visit(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


@pytest.fixture
def smoke(visit, town):
    return visit.test_points.get(position=town.detector)


@pytest.fixture
def address(live_server, visit, town):
    return live_server.url + reverse("visit-field-position", args=[visit.pk, town.detector.pk])


@pytest.fixture
def phone(browser, live_server, visit, address):
    """`phone(person, minutes_fast)`: a phone of its own with its own clock, at the detector's test point."""
    contexts = []

    def phone(person, minutes_fast=0):
        client = Client()  # one log-in each: a second one on the same client would end the first
        client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
        cookie = client.cookies[settings.SESSION_COOKIE_NAME].value
        contexts.append(context := browser.new_context(viewport=PHONE))
        as_slow_as_asked(context)
        context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": cookie, "url": live_server.url}])
        page = context.new_page()
        page.clock.install(time=timezone.now() + timedelta(minutes=minutes_fast))
        with page.expect_response("**/answers/"):  # it measures its clock
            page.goto(address)
        return page

    yield phone
    for context in contexts:
        context.close()


def passes(page):
    touch(page, "Pass")
    expect_last(page, "pass · recorded")


def fails(page):
    touch(page, "Fail")
    page.get_by_label("Impaired:").check()
    page.get_by_label("What is wrong").fill("Vent stays shut.")
    record(page)
    expect_last(page, "stands open: impaired.")


@pytest.mark.parametrize("minutes_fast", [10, -60, 24 * 60])
def test_the_pass_of_a_wrong_clock_does_not_outlive_a_fail_and_both_are_shown(
    phone, address, town, smoke, minutes_fast
):
    wrong = phone(town.people["engineer"], minutes_fast)
    right = phone(builders.make_person("engineer", full_name="Ada Quill"))
    passes(wrong)
    fails(right)
    for page in (wrong, right):
        page.goto(address)
        contradiction = page.locator(".contradiction")
        expect(contradiction).to_contain_text("answers contradict each other")
        expect(contradiction).to_contain_text("Ada Quill")
        expect(contradiction).to_contain_text("phone's clock")
        expect(page.locator("[data-recorded]")).to_contain_text("fail")
    smoke.refresh_from_db()
    assert (smoke.latest_result.outcome, smoke.is_contradicted) == ("fail", True)
    assert Defect.objects.get().is_open


@pytest.mark.parametrize("minutes_fast", [10, -60])
def test_the_time_of_a_wrong_clock_is_corrected(phone, town, minutes_fast):
    before = timezone.now()
    page = phone(town.people["engineer"], minutes_fast)
    passes(page)
    result = Result.objects.get(test_point__visit__state="under_way")
    assert before <= result.seen_at <= timezone.now()
    assert abs(result.clock_offset_s + minutes_fast * 60) < 50
    assert abs(result.device_at - result.seen_at - timedelta(minutes=minutes_fast)) < timedelta(seconds=50)
    said = page.locator("[data-queue-lines]").text_content()
    sent_at = page.evaluate("(said) => new Date(/sent last (.*)\\.$/.exec(said)[1]).toISOString()", said)
    assert abs(datetime.fromisoformat(sent_at) - result.seen_at) < timedelta(minutes=2), said


def test_a_clock_set_right_while_the_answer_waited_does_not_move_the_answer(phone, town, visit):
    """Answered ten minutes fast without network, sent after somebody set the clock."""
    page = phone(town.people["engineer"], 10)
    page.context.set_offline(True)
    touch(page, "Pass")
    answered_at = timezone.now()
    expect(page.locator("[data-queue]")).to_contain_text("1 answer not sent yet")
    page.clock.set_system_time(timezone.now())
    page.context.set_offline(False)
    expect_last(page, "pass · recorded")
    result = Result.objects.get(test_point__visit__state="under_way")
    assert abs(result.seen_at - answered_at) < timedelta(seconds=50)
    assert "10 min fast, corrected; set while the answer waited" in result.clock_words


def test_somebody_who_has_seen_both_settles_the_contradiction(phone, address, town, smoke):
    first = phone(town.people["engineer"], 10)
    second = phone(builders.make_person("engineer"))
    passes(first)
    fails(second)
    first.goto(address)
    first.get_by_text("Change this answer").click()
    touch(first, "Pass")
    first.get_by_label("This pass closes it.").check()
    first.get_by_label("Why it is changed").fill("Tested again together: opens.")
    record(first)
    expect_last(first, "is closed.")
    first.goto(address)
    expect(first.locator(".contradiction")).to_have_count(0)
    smoke.refresh_from_db()
    assert (smoke.latest_result.outcome, smoke.is_contradicted) == ("pass", False)
