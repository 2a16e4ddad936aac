"""A new version of the register comes while answers wait on a phone."""

import pytest
from playwright.sync_api import expect

from inspections.models import Result
from inspections.visits.edits import start_visit
from sites_registry.views import offline
from tests.browser.conftest import PATIENCE_MS
from tests.browser.field_steps import expect_all_sent, touch
from tests.browser.phones import answer_and_go_on, take_along

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

ANSWERS_WITH_ITS_VERSION = """
self.addEventListener("message", ({ data, source }) => data === "which version?" && source.postMessage("the new one"));
"""
# The one before is silent. It is left alone until it goes: a browser lets it go only when nothing waits for it.
WHICH_VERSION = f"""() => new Promise((resolve) => {{
  navigator.serviceWorker.onmessage = ({{ data }}) => resolve(data);
  navigator.serviceWorker.startMessages();
  const ask = () => navigator.serviceWorker.controller.postMessage("which version?");
  ask();
  navigator.serviceWorker.addEventListener("controllerchange", ask);
  setInterval(ask, 30_000);
  setTimeout(resolve, {PATIENCE_MS}, "no answer");
}})"""


@pytest.fixture
def visit(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


def update_register(monkeypatch):
    """Another worker, as of a register brought up to date."""
    before = offline._text_of
    monkeypatch.setattr(offline, "_text_of", lambda name: before(name) + ANSWERS_WITH_ITS_VERSION)


def test_an_update_during_a_day_without_network_loses_nothing(phone, town, visit, broken, monkeypatch):
    take_along(phone, visit)
    phone.lose_network()
    phone.open("visit-field-position", visit.pk, town.detector.pk)
    answer_and_go_on(phone.page)
    phone.open("visit-field-position", visit.pk, town.call_point.pk)
    touch(phone.page, "Fail")
    phone.page.get_by_label("What is wrong").fill("Glass broken")

    update_register(monkeypatch)
    broken.append("/answers/")
    phone.find_network()
    phone.open("home")  # with a network it takes the visit along anew, and the new worker takes over
    phone.page.get_by_role("button", name="Take my week along").click()
    expect(phone.page.get_by_text("All of 1 on this phone")).to_be_visible()
    assert phone.page.evaluate(WHICH_VERSION) == "the new one"
    expect(phone.page.locator("[data-held]")).to_contain_text("1 answer of yours waits on this phone, not recorded")
    phone.switch_off()
    phone.switch_on()
    phone.lose_network()
    phone.open("visit-field-position", visit.pk, town.call_point.pk)
    assert phone.page.evaluate(WHICH_VERSION) == "the new one"
    expect(phone.page.get_by_label("What is wrong")).to_have_value("Glass broken")
    expect(phone.page.locator("[data-sent]")).to_contain_text("1 not sent")

    broken.clear()
    phone.find_network()
    expect_all_sent(phone.page)
    result = Result.objects.get(test_point__visit=visit)
    assert (result.test_point.position, result.recorded_by) == (town.detector, town.people["engineer"])
