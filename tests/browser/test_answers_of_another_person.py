"""One phone, more than one person, more than one tab: what waits goes out under its author's name, or waits."""

import json
import re
from uuid import uuid4

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from inspections.models import Result
from inspections.visits.edits import start_visit
from tests import builders
from tests.browser.field_steps import expect_all_sent, expect_last, touch

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def visit(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


@pytest.fixture
def ada(town):
    return builders.make_person("engineer", full_name="Ada Quill")


@pytest.fixture
def log_in_as(context, live_server):
    def log_in_as(person):
        client = Client()
        client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
        cookie = client.cookies[settings.SESSION_COOKIE_NAME].value
        context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": cookie, "url": live_server.url}])

    return log_in_as


@pytest.fixture
def tab(context, live_server, visit):
    """A new tab at a position of the visit."""

    def tab(position):
        page = context.new_page()
        page.set_viewport_size({"width": 390, "height": 844})
        page.on("dialog", lambda dialog: dialog.accept())
        page.goto(live_server.url + reverse("visit-field-position", args=[visit.pk, position.pk]))
        return page

    return tab


def passes_without_network(page):
    page.route("**/answers/", lambda route: route.abort())
    touch(page, "Pass")
    expect(page.locator("[data-queue]")).to_contain_text("not sent yet")


def results_of(visit):
    return Result.objects.filter(test_point__visit=visit)


def test_what_waits_never_goes_out_under_the_name_of_whoever_logs_in_next(log_in_as, tab, town, visit, ada):
    engineer = town.people["engineer"]
    log_in_as(engineer)
    page = tab(town.detector)
    passes_without_network(page)
    log_in_as(ada)
    page.unroute("**/answers/")
    with page.expect_response("**/answers/"):  # the greeting by which the clock is measured
        page.reload()
    expect(page.locator("[data-held]")).to_contain_text(f"1 answer of {engineer.full_name} waits on this phone")
    expect(page.locator("[data-held]")).not_to_contain_text("Ropewalk Hall")
    expect(page.locator("[data-state-of]")).to_contain_text("not tested yet")
    assert not results_of(visit).exists()
    log_in_as(engineer)
    page.reload()
    expect_last(page, "· recorded")
    expect(page.locator("[data-held]")).to_be_hidden()
    assert results_of(visit).get().recorded_by == engineer


def test_a_page_left_open_holds_its_answers_while_another_person_is_logged_in(log_in_as, tab, town, visit, ada):
    engineer = town.people["engineer"]
    log_in_as(engineer)
    page = tab(town.detector)
    log_in_as(ada)
    touch(page, "Pass")
    expect(page.locator("[data-queue]")).to_contain_text("Ada Quill is logged in on this phone")
    assert not results_of(visit).exists()
    log_in_as(engineer)  # in another tab, as the line asks; the page sends by itself
    expect_last(page, "· recorded")
    assert results_of(visit).get().recorded_by == engineer


def test_two_tabs_do_not_write_over_what_waits_in_the_other(log_in_as, tab, town, visit, context):
    log_in_as(town.people["engineer"])
    first, second = tab(town.detector), tab(town.call_point)
    context.route("**/answers/", lambda route: route.abort())
    for page in (first, second):
        touch(page, "Pass")
        expect(page.locator("[data-queue]")).to_contain_text("not sent yet")
    first.close()
    second.close()
    context.unroute("**/answers/")
    third = tab(town.detector)
    expect(third.locator("[data-recorded]")).to_contain_text("recorded")
    assert results_of(visit).count() == 2


def test_one_tab_tells_and_sends_what_another_could_not(log_in_as, tab, town, visit, context):
    log_in_as(town.people["engineer"])
    first, second = tab(town.detector), tab(town.call_point)
    expect_all_sent(second)
    context.route("**/answers/", lambda route: route.abort())
    passes_without_network(first)
    expect(second.locator("[data-sent]")).to_contain_text(re.compile("1 (waiting|not sent)"))
    first.close(run_before_unload=False)
    context.unroute("**/answers/")
    expect_all_sent(second)
    assert results_of(visit).count() == 1


def test_every_page_tells_what_waits_and_sends_it(log_in_as, tab, town, visit, live_server, context):
    log_in_as(town.people["engineer"])
    page = tab(town.detector)
    context.route("**/answers/", lambda route: route.abort())
    touch(page, "Pass")
    expect_last(page, "pass · not sent yet")
    page.goto(live_server.url + reverse("home"))
    held = page.locator("[data-held]")
    expect(held).to_contain_text("1 answer of yours waits on this phone, not recorded")
    expect(held.get_by_role("link", name="Open the visit")).to_have_attribute(
        "href", reverse("visit-field", args=[visit.pk])
    )
    context.unroute("**/answers/")
    expect(held).to_contain_text(re.compile(r"All sent \d\d:\d\d"))
    page.goto(live_server.url + reverse("visit-list"))
    expect(held).to_contain_text(re.compile(r"All sent \d\d:\d\d"))
    assert results_of(visit).count() == 1


def test_what_an_earlier_version_kept_still_goes_out(log_in_as, tab, town, visit):
    engineer = town.people["engineer"]
    log_in_as(engineer)
    page = tab(town.detector)
    answer = {
        "client_uuid": str(uuid4()),
        "test_point": visit.test_points.get(position=town.detector).pk,
        "outcome": "pass",
        "seen_at": timezone.now().isoformat(),
        "knows": [],
    }
    kept = {"entry": {"answer": answer, "label": "SD1", "words": ""}, "name": "Edwin Marsh", "at": "Visit", "href": "/"}
    place = f"answer of {engineer.pk} on visit {visit.pk}: {answer['client_uuid']}"
    page.evaluate("([place, text]) => localStorage.setItem(place, text)", [place, json.dumps(kept)])
    page.reload()
    expect_all_sent(page)
    assert str(results_of(visit).get().client_uuid) == answer["client_uuid"]
    assert page.evaluate("Object.keys(localStorage).filter((name) => !name.startsWith('last sent by'))") == []


def test_after_a_log_out_the_log_in_page_tells_whose_answers_wait(log_in_as, tab, town, live_server, context):
    log_in_as(town.people["engineer"])
    page = tab(town.detector)
    passes_without_network(page)
    context.clear_cookies()
    page.goto(live_server.url + reverse("log-in"))
    held = page.locator("[data-held]")
    expect(held).to_contain_text(f"It goes out when {town.people['engineer'].full_name} is logged in on this phone")
