"""The engineer on a phone: from my visits through every point to a finished visit."""

import re

import pytest
from playwright.sync_api import expect

from inspections.models import Defect, Visit
from tests.browser.field_steps import expect_all_sent, expect_last, record, sign_off, touch

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_a_visit_is_carried_out_from_log_in_to_the_end(log_in, town):
    page = log_in("engineer")
    expect(page.get_by_role("heading", name="My visits")).to_be_visible()
    page.locator(".big-list a", has_text="Ropewalk Hall").first.click()
    page.get_by_role("button", name="Start the visit").click()
    page.get_by_role("link", name=re.compile("Begin with")).click()

    expect(page.get_by_role("heading", name="P1")).to_be_visible()
    page.get_by_label("Float voltage").fill("27.3")
    expect(page.locator("[data-judged]")).to_contain_text("Within the limits")
    touch(page, "Pass")
    expect_last(page, "27.3 V · recorded")

    expect(page.get_by_role("heading", name="CP1")).to_be_visible()
    touch(page, "Not accessible")
    page.get_by_label("Why, and who was told").fill("Room locked; caretaker told.")
    record(page)
    expect(page.locator("[data-progress-text]")).to_have_text("2 of 3")

    expect(page.get_by_role("heading", name="SD1")).to_be_visible()
    touch(page, "Fail")
    page.get_by_label("Minor:").check()
    page.get_by_label("What is wrong").fill("Housing cracked.")
    record(page)
    expect_last(page, "stands open")

    page.get_by_role("link", name="Swap the unit").click()
    page.get_by_label("Old serial").fill("AK-0001")
    page.get_by_label("New serial").fill("AK-0002")
    page.get_by_label("Why it is swapped").fill("Housing cracked.")
    page.get_by_role("button", name="Swap the unit").click()
    expect(page.locator(".who-is-it")).to_contain_text("AK-0002")
    touch(page, "Pass")
    expect(page.locator("[data-progress-text]")).to_have_text("3 of 3")
    expect_all_sent(page)
    page.get_by_role("link", name="To the end").click()

    sign_off(page, "Mara Hollin, caretaker")
    page.reload()  # what is half written stands there again, the signature too
    page.get_by_role("button", name="Finish the visit").click()
    page.wait_for_url(f"**{town.visit.get_absolute_url()}")
    town.visit.refresh_from_db()
    assert town.visit.state == Visit.State.FINISHED
    assert (town.visit.sign_off.name, len(town.visit.sign_off.signature["strokes"])) == ("Mara Hollin, caretaker", 1)
    assert Defect.objects.get().description == "Housing cracked."
    assert town.detector.fittings.get(removed_on=None).unit.serial == "AK-0002"


def test_a_wrong_password_lets_nobody_in(log_in):
    page = log_in("engineer", password="tar-and-ropes-1907")
    expect(page.get_by_role("alert")).to_be_visible()
    expect(page.get_by_role("heading", name="My visits")).to_be_hidden()
