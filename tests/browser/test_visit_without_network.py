"""A visit on a phone that has no network: the server is out of reach, the browser ended and started again."""

import re

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from inspections.models import Result, Visit
from inspections.visits.edits import start_visit
from tests import builders
from tests.browser.conftest import NEVER
from tests.browser.field_steps import expect_all_sent, touch
from tests.browser.phones import answer, answer_and_go_on, take_along

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def visit(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


def test_a_visit_taken_along_is_walked_to_its_end_without_network_and_sent_once(phone, town, visit):
    take_along(phone, visit)
    phone.lose_network()
    phone.open("visit-field", visit.pk)
    page = phone.page
    expect(page.locator("[data-kept-line]")).to_contain_text("as it was taken along on")
    page.get_by_role("link", name=re.compile("^Begin with")).click()
    open_points = visit.test_points.count()
    for _ in range(open_points):
        expect(page.get_by_role("button", name="Pass", exact=True).locator("visible=true")).to_be_enabled()
        answer(page)
    expect(page.locator("[data-progress-text]")).to_have_text(f"{open_points} of {open_points}")
    phone.switch_off()
    phone.switch_on()
    phone.lose_network()
    phone.open("visit-field", visit.pk)
    expect(phone.page.locator("[data-progress-text]")).to_have_text(f"{open_points} of {open_points}")
    expect(phone.page.locator(".stop-state").first).to_contain_text("done")
    expect(phone.page.get_by_role("link", name="Every point has an outcome")).to_be_visible()
    expect(phone.page.get_by_role("link", name=re.compile("^(Go on|Begin) with"))).to_be_hidden()
    assert not Result.objects.filter(test_point__visit=visit).exists()
    phone.find_network()
    expect_all_sent(phone.page)
    results = Result.objects.filter(test_point__visit=visit)
    assert results.count() == open_points
    assert {result.recorded_by for result in results} == {town.people["engineer"]}


def test_whoever_takes_the_phone_next_sees_neither_pages_nor_answers_of_the_person_before(phone, town, visit, broken):
    take_along(phone, visit)
    phone.lose_network()
    phone.open("visit-field-position", visit.pk, town.detector.pk)
    answer_and_go_on(phone.page)
    broken.append("/answers/")
    phone.find_network()
    phone.open("visit-field", visit.pk)
    phone.page.get_by_text("Menu", exact=True).click()
    phone.page.get_by_role("button", name="Log out").click()  # asks, and is answered with yes
    expect(phone.page.locator("[data-held]")).to_contain_text("goes out when Edwin Marsh is logged in on this phone")
    phone.lose_network()
    phone.open("visit-field", visit.pk)
    expect(phone.page.locator("main")).to_contain_text("Nobody is logged in on this phone")
    phone.find_network()
    phone.log_in(builders.make_person("engineer", full_name="Ada Quill"))
    phone.open("home")
    phone.lose_network()
    phone.open("visit-field", visit.pk)
    expect(phone.page.get_by_role("heading", name="No network")).to_be_visible()
    expect(phone.page.locator("main")).not_to_contain_text("Ropewalk Hall", timeout=1000)
    phone.find_network()
    broken.clear()
    phone.log_in(town.people["engineer"])
    phone.open("home")
    expect(phone.page.locator("[data-held]")).to_contain_text("All sent")
    assert Result.objects.get(test_point__visit=visit).recorded_by == town.people["engineer"]


def test_a_swap_made_without_network_goes_out_between_the_answers_before_and_after_it(phone, town, visit):
    take_along(phone, visit)
    phone.lose_network()
    swap(phone, visit, town.detector, old="AK-0001")
    page = phone.page
    expect(page.locator("[data-sent]")).to_contain_text("1")
    expect(page.locator("[data-kept-forms]")).to_contain_text("new serial AK-0002: kept on this phone, not sent yet")
    answer(page)
    phone.switch_off()
    phone.switch_on()
    phone.find_network()
    phone.open("home")
    expect(phone.page.locator("[data-held]")).to_contain_text("All sent")
    result = Result.objects.get(test_point__visit=visit)
    assert town.detector.fittings.open().get().unit.serial == "AK-0002"
    assert result.test_point.position == town.detector


def test_pages_go_at_log_out_though_every_answer_was_sent(phone, town, visit):
    take_along(phone, visit)
    phone.open("visit-field-position", visit.pk, town.detector.pk)
    answer_and_go_on(phone.page)
    expect_all_sent(phone.page)
    phone.open("visit-field", visit.pk)
    expect(phone.page.locator("[data-sent]")).to_have_text(re.compile(r"all sent \d\d:\d\d$"))
    expect(phone.page.locator("[data-queue-lines]")).to_contain_text(re.compile(r"sent last .* \d\d:\d\d"))
    phone.lose_network()
    phone.page.get_by_text("Menu", exact=True).click()
    phone.page.get_by_role("button", name="Log out").click()
    expect(phone.page.get_by_text("Nothing was sent: this needs a network")).to_be_visible()
    phone.open("visit-field", visit.pk)  # still here: nobody has logged out
    phone.find_network()
    phone.page.get_by_text("Menu", exact=True).click()
    phone.page.get_by_role("button", name="Log out").click()
    expect(phone.page.get_by_role("button", name="Log in")).to_be_visible()
    names = phone.page.evaluate("caches.keys()")
    assert not [name for name in names if name.startswith("pages of")]


def test_answers_given_after_a_swap_wait_while_the_swap_cannot_go(phone, town, visit, broken):
    take_along(phone, visit)
    phone.lose_network()
    swap(phone, visit, town.detector, old="AK-0001")
    answer(phone.page)
    asked = []
    phone.browser.on("request", lambda request: asked.append(request.method) if "/visits/" in request.url else None)
    broken.append("/swap/")
    phone.find_network()
    expect(phone.page.locator("[data-sent]")).to_contain_text("2 not sent: answer 500")
    assert not Result.objects.filter(test_point__visit=visit).exists()
    assert asked.count("POST") <= 4  # the swap, a greeting, and no more until it is tried again
    broken.clear()
    expect_all_sent(phone.page)
    assert Result.objects.filter(test_point__visit=visit).count() == 1


def swap(phone, visit, position, old):
    phone.open("visit-swap", visit.pk, position.pk)
    phone.page.get_by_label("Old serial").fill(old)
    phone.page.get_by_label("New serial").fill("AK-0002")
    phone.page.get_by_label("Why it is swapped").fill("Contaminated")
    phone.page.get_by_role("button", name="Swap the unit").click()


def test_a_kept_form_that_the_register_refuses_stands_there_with_the_reason(phone, town, visit):
    take_along(phone, visit)
    phone.lose_network()
    swap(phone, visit, town.detector, old="AK-7777")
    page = phone.page
    phone.find_network()
    expect(page.locator("[data-sent]")).to_contain_text("1 refused")
    phone.lose_network()
    answer_and_go_on(page)
    expect(page.locator("[data-sent]")).to_contain_text("1 refused, 1 waiting")
    phone.find_network()
    phone.open("visit-swap", visit.pk, town.detector.pk)
    expect(page.locator("[data-kept-state]")).to_contain_text("AK-7777")
    expect(page.get_by_label("New serial")).to_have_value("AK-0002")
    page.get_by_label("Old serial").fill("AK-0001")
    page.get_by_role("button", name="Swap the unit").click()
    expect(page.locator("main")).to_contain_text("AK-0002")
    assert town.detector.fittings.open().get().unit.serial == "AK-0002"


def test_a_label_leads_to_its_test_without_network(phone, town, visit):
    take_along(phone, visit)
    phone.lose_network()
    page = phone.page
    phone.open("visit-find", visit.pk)
    page.get_by_label("Tag, serial").fill("(01)09506000134352(21)AK-0001")  # as a scanner types it
    page.keyboard.press("Enter")
    expect(page).to_have_title(re.compile("^SD1,"))
    phone.open("visit-field", visit.pk)
    phone.open("position-at", town.detector.pk)  # the phone's own camera
    expect(page).to_have_title(re.compile("^SD1,"))
    answer_and_go_on(page)
    phone.open("visit-find", visit.pk)
    page.get_by_label("Tag, serial").press_sequentially("S")
    expect(page.locator("[data-found] li", has_text="SD1")).to_contain_text("done")


def test_back_and_reload_without_network_lose_no_answer(phone, town, visit):
    take_along(phone, visit)
    phone.lose_network()
    page = phone.page
    phone.open("visit-field-position", visit.pk, town.detector.pk)
    for _ in range(2):
        answer_and_go_on(page)
        expect(page.get_by_role("button", name="Pass", exact=True).locator("visible=true")).to_be_enabled()
    page.go_back()
    page.go_back()
    page.reload()
    expect(page.locator("[data-progress-text]")).to_have_text(re.compile("^2 of"))
    phone.find_network()
    expect_all_sent(page)
    assert Result.objects.filter(test_point__visit=visit).count() == 2


def test_a_network_that_never_answers_is_waited_for_once_and_not_at_each_page(phone, town, visit, silent):
    take_along(phone, visit)
    silent.append(NEVER)
    phone.open("visit-field", visit.pk)
    expect(phone.page.locator("[data-kept-line]")).to_contain_text("as it was taken along on")
    silent[:] = [3]
    phone.open("visit-field-position", visit.pk, town.detector.pk)
    expect(phone.page.locator("[data-kept-line]")).to_contain_text("as it was taken along on")


def test_what_went_into_a_silence_is_sent_again_and_taken_once(phone, town, visit, silent):
    phone.open("visit-field-position", visit.pk, town.detector.pk)
    page = phone.page
    page.wait_for_load_state(
        "networkidle"
    )  # the two clocks are compared: not one of them before, one after the next line
    page.clock.install()
    silent.append(NEVER)
    answer(page)
    page.clock.fast_forward(31_000)
    expect(page.locator("[data-sent]")).to_contain_text("1 not sent: no network")
    silent.clear()
    page.clock.fast_forward(6_000)
    expect_all_sent(page)
    assert Result.objects.filter(test_point__visit=visit).count() == 1


def test_a_defect_half_written_stands_there_after_the_phone_was_off_and_is_not_recorded_with_its_storey(
    phone, town, visit
):
    builders.make_test_point(visit, town.detector, code="age", title="Age")
    take_along(phone, visit)
    phone.lose_network()
    phone.open("visit-field-position", visit.pk, town.detector.pk)
    touch(phone.page, "Fail")
    described = phone.page.locator(".point:visible").get_by_label("What is wrong")
    described.fill("Head full of dust")
    phone.switch_off()
    phone.switch_on()
    phone.lose_network()
    phone.open("visit-field", visit.pk)
    storey = phone.page.locator(".storey", has_text="SD1")
    storey.evaluate("fold => (fold.open = true)")
    storey.get_by_text("Not accessible here").click()
    storey.get_by_label("Why, and who was told").fill("Locked; caretaker told")
    storey.get_by_role("button", name="Record 1 test as not accessible").click()
    expect(storey.locator("summary").first).to_contain_text("1 of 2")
    phone.open("visit-field-position", visit.pk, town.detector.pk)
    described = phone.page.locator(".point:visible").get_by_label("What is wrong")
    expect(described).to_have_value("Head full of dust")


def test_a_swap_half_written_stands_there_after_a_reload(phone, town, visit):
    take_along(phone, visit)
    phone.lose_network()
    phone.open("visit-swap", visit.pk, town.detector.pk)
    phone.page.get_by_label("New serial").fill("AK-0002")
    phone.page.reload()
    expect(phone.page.get_by_label("New serial")).to_have_value("AK-0002")


def test_a_storey_that_could_not_be_entered_is_recorded_with_one_reason(phone, town, visit):
    take_along(phone, visit)
    phone.lose_network()
    phone.open("visit-field", visit.pk)
    page = phone.page
    storey = page.locator(".storey", has_text="SD1")
    storey.locator("summary").first.click()
    storey.get_by_text("Not accessible here").click()
    storey.get_by_role("button", name="Record 1 test as not accessible").click()
    expect(storey.get_by_role("alert")).to_have_text("Say why.")
    storey.get_by_label("Why, and who was told").fill("Locked; caretaker told")
    storey.get_by_role("button", name="Record 1 test as not accessible").click()
    expect(storey.locator(".stop-state")).to_contain_text("not accessible")
    expect(storey.locator("summary").first).to_contain_text("1 not accessible")
    expect(storey.locator("summary").first).to_contain_text("1 of 1")
    expect(storey.get_by_text("Not accessible here")).to_be_hidden()
    phone.find_network()
    expect_all_sent(page)
    result = Result.objects.get(test_point__visit=visit)
    assert (result.outcome, result.reason) == ("not_accessible", "Locked; caretaker told")


def test_a_reading_typed_here_goes_along_into_the_search_for_a_fault_once_there_is_a_network(phone, town):
    line = builders.make_line(town.panel, number=3, name="Main stair", end_of_line_ohm=10_000)
    end = builders.make_position(town.hall, "smoke_detector", tag="D9", panel=town.panel, detection_line=line)
    point = {"quantity": "line resistance", "unit": "kΩ", "lower_limit": "9.9", "upper_limit": "10.1"}
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    builders.make_test_point(visit, end, code="end-of-line-resistance", title="Line resistance", **point)
    take_along(phone, visit)
    phone.lose_network()
    phone.open("visit-field-position", visit.pk, end.pk)
    page = phone.page
    expect(page.locator("[data-sent]")).not_to_be_empty()
    page.evaluate("location.hash = document.querySelector('.point[data-point]:has([name=reading])').id")
    page.locator(".point:visible input[name=reading]").fill("5,02")
    page.evaluate("location.hash = 'here'")
    page.get_by_text("What is known here").click()
    page.get_by_role("link", name="Why does it read something else?").click()
    expect(page.locator("[data-why-said]")).to_contain_text("The reading, 5.02kΩ, stays here")
    phone.find_network()
    page.get_by_role("link", name="Why does it read something else?").click()
    expect(page.get_by_role("heading", name="Locate a fault on line 3")).to_be_visible()
    expect(page).to_have_url(re.compile("reading_ohm=5.02k$"))


def test_the_walk_without_network_shows_only_what_was_asked_for(phone, town, visit):
    take_along(phone, visit)
    phone.lose_network()
    phone.open("visit-field-position", visit.pk, town.detector.pk)
    answer_and_go_on(phone.page)
    phone.open("visit-field", visit.pk)
    page = phone.page
    page.get_by_role("link", name="Remaining").click()
    expect(page.get_by_role("link", name="Remaining")).to_have_attribute("aria-current", "page")
    expect(page.locator(".stops > li:visible").first).to_be_visible()
    expect(page.locator(".stops > li", has_text="SD1")).to_be_hidden()
    page.get_by_role("link", name="Failed").click()
    expect(page.get_by_text("No position matches.")).to_be_visible()
    expect(page.locator(".stops > li:visible")).to_have_count(0)


def test_what_is_refused_no_longer_counts_in_the_list_that_is_open(phone, town, visit):
    take_along(phone, visit)
    phone.lose_network()
    phone.open("visit-field-position", visit.pk, town.detector.pk)
    answer_and_go_on(phone.page)
    phone.open("visit-field", visit.pk)
    page = phone.page
    storey = page.locator(".storey", has_text="SD1")
    expect(storey.locator("[data-storey-count]")).to_have_text("1 of 1")
    Visit.objects.filter(pk=visit.pk).update(state=Visit.State.FINISHED, finished_at=timezone.now())
    phone.find_network()
    expect(page.locator("[data-sent]")).to_contain_text("1 refused")
    expect(storey.locator("[data-storey-count]")).to_have_text("0 of 1")
    expect(storey.locator(".stop-state")).to_contain_text("0 of 1")
