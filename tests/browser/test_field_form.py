"""The phone form in a browser: readings judged as they are typed, answers sent once, kept while there is no network."""

import re
from dataclasses import replace

import pytest
from django.templatetags.static import static
from django.urls import reverse
from playwright.sync_api import expect

from inspections.models import Defect, Result, Visit
from inspections.test_points.limits import store_rule
from inspections.visits.edits import start_visit
from tests import builders
from tests.browser.field_steps import TRIED_AGAIN, expect_all_sent, expect_last, record, shown, touch
from tests.browser.waiting import hold
from tests.inspections.test_points.readings_on_site import FAULTS, RIGHT, RULES, WHOSE
from zones.engineering import Actuator
from zones.engineering.readings.actuators import running_current
from zones.engineering.readings.rule import Term
from zones.engineering.readings.supplies import insulation

TYPED = "Object.keys(localStorage).filter((key) => key.startsWith('typed by'))"

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def results_of(visit):
    return Result.objects.filter(test_point__visit=visit)


@pytest.fixture
def visit(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


@pytest.fixture
def at(page_of, live_server, visit):
    """Open the form at a position; returns the page."""
    page = page_of("engineer")

    def open_at(position, **options):
        page.goto(live_server.url + reverse("visit-field-position", args=[visit.pk, position.pk]), **options)
        return page

    return open_at


def test_a_plain_pass_is_one_touch(at, town, visit):
    page = at(town.detector)
    touch(page, "Pass")
    expect_last(page, "· recorded")
    expect(page.locator("[data-progress-text]")).to_have_text("1 of 3")
    expect_all_sent(page)
    assert results_of(visit).get().outcome == "pass"


def test_a_reading_outside_the_limits_is_told_at_once_and_cannot_pass(at, town, visit):
    page = at(town.panel.position)
    page.get_by_label("Float voltage").fill("26,1")
    expect(page.locator("[data-judged]")).to_contain_text("Outside the limits (27 to 27.6 V)")
    expect(page.locator("[data-lacks]")).to_have_text("not with this reading")
    touch(page, "Pass")
    expect(page.get_by_role("alert")).to_contain_text("26.1 V is outside the limits (27 to 27.6 V).")
    assert not results_of(visit).exists()
    page.get_by_label("Float voltage").fill("27.3")
    expect(page.locator("[data-judged]")).to_contain_text("Within the limits")
    touch(page, "Pass")
    expect_last(page, "27.3 V · recorded")


def test_a_pass_that_was_touched_before_its_reading_counts_when_touched_again(at, town, visit):
    page = at(town.panel.position)
    touch(page, "Pass")
    expect(page.get_by_role("alert")).to_have_text("Enter the float voltage in V, then touch pass again.")
    expect(page.get_by_label("Float voltage")).to_be_focused()
    page.get_by_label("Float voltage").fill("27.3")
    touch(page, "Pass")
    expect_last(page, "27.3 V · recorded")
    expect(page.get_by_role("alert")).to_have_count(0)
    assert page.evaluate(TYPED) == []
    assert results_of(visit).count() == 1


def test_what_was_typed_and_not_recorded_stands_there_after_a_reload(at, town, visit):
    page = at(town.panel.position)
    page.get_by_label("Float voltage").fill("26.1")
    touch(page, "Fail")
    page.get_by_label("What is wrong").fill("Charger weak.")
    page.reload()
    expect(page.get_by_label("Float voltage")).to_have_value("26.1")
    expect(page.locator("[data-judged]")).to_contain_text("Outside the limits")
    expect(page.get_by_label("What is wrong")).to_have_value("Charger weak.")
    page.get_by_label("Degraded:").check()
    here = page.url.split("#")[0]
    record(page)
    expect_last(page, "· recorded")
    page.wait_for_url(lambda url: not url.startswith(here))  # goes on to the next position by itself
    page.goto(here)
    assert page.evaluate(TYPED) == []
    assert results_of(visit).count() == 1


def test_all_as_expected_lists_what_is_stated_and_gives_each_point_its_own_result(at, town, visit):
    for code, title in (("lamps", "Lamps"), ("labels", "Labels")):
        builders.make_test_point(visit, town.panel.position, code=code, title=title, expected=f"{title} all right")
    page = at(town.panel.position)
    stated = page.locator("[data-together]")
    expect(stated.locator("li")).to_have_text(["Lamps: Lamps all right", "Labels: Labels all right"])
    page.get_by_role("link", name="test 1 of 3").click()
    page.get_by_role("link", name=re.compile("^Charger voltage")).click()
    page.get_by_label("Float voltage").fill("26.1")  # outside its limits: not among them
    expect(stated.locator("li")).to_have_count(2)
    page.get_by_label("Float voltage").fill("27.3")
    expect(stated.locator("li").nth(2)).to_contain_text("27.3 V")
    page.get_by_label("Float voltage").fill("")
    page.get_by_role("link", name="test 3 of 3").click()
    page.get_by_role("button", name="All 2 as expected").click()
    expect(page.locator("[data-progress-text]")).to_have_text("2 of 5")
    expect_all_sent(page)
    assert {(one.test_point.code, one.outcome) for one in results_of(visit)} == {("lamps", "pass"), ("labels", "pass")}


def test_a_fail_asks_for_its_severity_and_opens_a_defect(at, town):
    page = at(town.detector)
    touch(page, "Fail")
    record(page)
    expect(page.get_by_role("alert")).to_have_text("Choose how severe the defect is.")
    page.get_by_label("Degraded:").check()
    page.get_by_label("What is wrong").fill("Slow to answer.")
    record(page)
    expect_last(page, "stands open: degraded.")
    assert Defect.objects.get().description == "Slow to answer."


def test_fields_appear_only_with_the_outcome_that_asks_for_them(at, town):
    page = at(town.detector)
    expect(page.get_by_label("Why, and who was told")).to_be_hidden()
    touch(page, "Not accessible")
    expect(page.get_by_label("Why, and who was told")).to_be_visible()
    expect(page.get_by_label("What is wrong")).to_be_hidden()


def test_an_answer_given_without_network_is_kept_and_sent_once(at, town, visit, context):
    page = at(town.detector)
    context.set_offline(True)
    touch(page, "Pass")
    expect(page.locator("[data-queue]")).to_contain_text("1 answer not sent yet")
    assert not results_of(visit).exists()
    context.set_offline(False)
    expect_last(page, "· recorded")
    expect_all_sent(page)
    assert results_of(visit).count() == 1


def test_an_answer_survives_a_page_that_was_left_before_it_was_sent(at, town, page_of, live_server, visit):
    page = at(town.detector)
    page.route("**/answers/", lambda route: route.abort())
    touch(page, "Pass")
    expect(page.locator("[data-queue]")).to_contain_text("1 answer not sent yet")
    page.on("dialog", lambda dialog: dialog.accept())
    page.goto(live_server.url + reverse("visit-field", args=[visit.pk]))
    page.unroute("**/answers/")
    expect(page.locator("[data-progress-text]")).to_contain_text("1 of 3")
    expect_all_sent(page)
    assert results_of(visit).count() == 1


def test_an_answer_that_the_register_refuses_is_shown_and_not_lost_silently(at, town, visit):
    page = at(town.detector)
    Visit.objects.filter(pk=visit.pk).update(state="planned")
    touch(page, "Pass")
    expect(shown(page).locator("[data-recorded]")).to_contain_text("not recorded")
    expect(page.get_by_role("alert")).to_contain_text("it takes no answers")
    expect(page.locator("[data-queue]")).to_contain_text("1 answer was refused")


def test_an_answer_given_while_the_clock_is_measured_is_sent_too(context, at, town, visit):
    greeting = hold(context, "**/answers/", times=1)  # the page greets the register as it opens
    page = at(town.detector)
    touch(page, "Pass")
    expect_last(page, "pass · not sent yet")
    greeting(page).continue_()
    expect_last(page, "pass · recorded")
    assert results_of(visit).get().outcome == "pass"


def test_who_leaves_by_a_link_while_the_answer_is_sent_comes_to_where_the_link_leads(context, at, town, visit):
    page = at(town.detector)
    expect_all_sent(page)
    answers, find = hold(page, "**/answers/"), hold(page, "**/find/")
    touch(page, "Pass")
    page.get_by_role("link", name="Find").click()
    find_asked = find()
    with page.expect_response("**/answers/"):
        answers().continue_()
    page.wait_for_timeout(300)  # time enough to go on to the next position
    find_asked.continue_()
    page.wait_for_url("**/find/")
    expect(page.locator("[data-sent]")).not_to_be_empty()
    expect(page).to_have_url(re.compile("/find/$"))


def test_the_mode_of_highest_contrast_stays_on_for_every_page_of_a_visit(page_of, live_server, town, visit):
    page = page_of("engineer")
    page.goto(live_server.url + reverse("visit-field", args=[visit.pk]))
    page.get_by_text("Menu", exact=True).click()
    page.get_by_role("button", name="Highest contrast: off").click()
    expect(page.get_by_role("button", name="Highest contrast: on")).to_be_visible()
    for name in ("visit-finish", "visit-instruments", "home"):
        page.goto(live_server.url + reverse(name, args=[visit.pk] if name != "home" else []))
        assert page.evaluate("getComputedStyle(document.body).color") == "rgb(0, 0, 0)", name
    page.goto(live_server.url + reverse("visit-field-position", args=[visit.pk, town.detector.pk]))
    assert page.evaluate("getComputedStyle(document.body).color") == "rgb(0, 0, 0)"


def test_a_refused_reading_keeps_its_figure_on_the_page_and_after_a_reload(at, town, visit):
    page = at(town.panel.position)
    reading = page.get_by_label("Float voltage")
    point = visit.test_points.get(code="charger-voltage")
    store_rule(point, replace(point.rule, lower=(Term("", 27.4),)), None)  # the page does not know
    point.save()
    reading.fill("27.3")
    touch(page, "Pass")
    for _ in range(2):
        expect(shown(page).locator("[data-recorded]")).to_contain_text("not recorded 27.3 V · pass")
        expect(page.get_by_role("alert")).to_contain_text("Float voltage 27.3 V is outside the limits")
        expect(page.locator("[data-queue]")).to_contain_text("27.3 V · pass")
        expect(reading).to_have_value("27.3")
        page.reload()
    reading.fill("27.5")
    touch(page, "Pass")
    expect_last(page, "27.5 V · recorded")
    expect_all_sent(page)
    assert str(results_of(visit).get().reading) == "27.500"


def test_a_refused_answer_is_discarded_only_when_the_person_says_so_twice(at, town, visit):
    page = at(town.detector)
    Visit.objects.filter(pk=visit.pk).update(state="planned")
    touch(page, "Pass")
    page.get_by_text("1 refused").click()
    discard = page.get_by_role("button", name="Discard the answer at SD1")
    page.once("dialog", lambda dialog: dialog.dismiss())
    discard.click()
    expect(page.locator("[data-queue]")).to_contain_text("1 answer was refused")
    discard.focus()
    page.evaluate(TRIED_AGAIN)
    expect(discard).to_be_focused()  # what is said anew and is the same stays
    page.once("dialog", lambda dialog: dialog.accept())
    discard.click()
    expect_all_sent(page)
    expect(page.locator("[data-recorded]")).not_to_contain_text("not recorded")


def test_an_answer_that_waits_is_still_shown_after_a_reload(at, town):
    page = at(town.detector)
    page.route("**/answers/", lambda route: route.abort())
    touch(page, "Pass")
    expect_last(page, "pass · not sent yet")
    page.on("dialog", lambda dialog: dialog.accept())
    page.reload()
    expect(page.locator("[data-recorded]")).to_contain_text("pass sending …")
    expect(page.locator("[data-state-of]")).to_contain_text("pass")
    expect_last(page, "pass · not sent yet")


def test_a_fail_that_is_put_right_is_closed_by_the_pass_that_says_so(at, town, visit):
    page = at(town.detector)
    touch(page, "Fail")
    page.get_by_label("Degraded:").check()
    page.get_by_label("What is wrong").fill("Slow to answer.")
    record(page)
    expect_last(page, "stands open")
    at(town.detector)
    page.get_by_text("Change this answer").click()
    touch(page, "Pass")
    record(page)
    expect(page.get_by_role("alert")).to_contain_text("Say that this pass closes its defect, or leave the fail.")
    page.get_by_label("This pass closes it.").check()
    page.get_by_label("Why it is changed").fill("Chamber cleaned, tested again.")
    record(page)
    expect_last(page, "is closed.")
    defect = Defect.objects.get()
    assert (defect.is_open, defect.closing_note) == (False, "Chamber cleaned, tested again.")


JUDGED_ON_THE_PHONE = """async ([address, rules, readings]) => {
  const { levelOf, limitsOf, limitsInWords, looksLike } = await import(address);
  return readings.map(([name, reading]) => {
    const { lower, upper, source } = limitsOf(rules[name], rules[name].figures);
    return [levelOf(rules[name], rules[name].figures, reading), looksLike(rules[name], rules[name].figures, reading),
            lower, upper, source];
  });
}"""


def test_the_phone_judges_every_reading_as_the_register_does(at, town, live_server):
    page = at(town.detector)
    readings = [(name, reading) for name, reading, *_ in (*FAULTS, *RIGHT)]
    rules = {name: rule.as_data() for name, rule in RULES.items()}
    address = live_server.url + static("js/field/rule.js")
    on_the_phone = page.evaluate(JUDGED_ON_THE_PHONE, [address, rules, readings])
    for (name, reading), seen in zip(readings, on_the_phone, strict=True):
        rule = RULES[name]
        limits = rule.limits()
        expected = [rule.level(reading), rule.looks_like(reading), limits.lower, limits.upper, limits.source]
        assert seen == expected, (name, reading)


def test_a_figure_of_the_data_plate_is_asked_and_the_reading_judged_by_it_with_no_network(at, town, visit):
    point = visit.test_points.get(quantity="float voltage")
    point.quantity, point.unit, point.limit_source = "current", "A", ""
    model = builders.make_product_model("actuator", rated_current_a=None)
    store_rule(point, running_current(Actuator("M1"), WHOSE), model.pk)
    point.save()
    page = at(town.panel.position)
    expect_all_sent(page)
    source = page.locator(".point:visible [data-limits-source]")
    before = "one => [one.textContent, getComputedStyle(one, '::before').content]"
    assert source.evaluate(before) == ["common practice", '"Source: "']  # there are no limits yet that could be from it
    page.context.set_offline(True)
    page.get_by_label("Current, A", exact=True).fill("5")
    expect(page.locator("[data-judged]")).to_contain_text(f"enter the rated current (A) of {WHOSE} from its data plate")
    touch(page, "Pass")
    expect(page.locator("[data-error]:visible")).to_contain_text("Nothing on record says what current is right here.")
    page.get_by_label("Rated current").fill("0,8")
    expect(page.locator("[data-error]:visible")).to_have_count(0)
    assert source.evaluate(before)[1] == '"Limits from: "'
    expect(page.locator("[data-judged]")).to_contain_text("Outside the limits (0.8 A or less). More than its rated")
    expect(page.locator("[data-lacks]")).to_have_text("not with this reading")
    page.get_by_label("Current, A", exact=True).fill("0.7")
    touch(page, "Pass")
    page.context.set_offline(False)
    expect_last(page, "Rated current 0.8 A is on record now")
    model.refresh_from_db()
    assert float(model.rated_current_a) == 0.8


def test_the_voltage_of_an_insulation_reading_is_asked_and_kept_with_it_with_no_network(at, town, visit):
    point = visit.test_points.get(quantity="float voltage")
    point.quantity, point.unit, point.limit_source = "insulation", "MΩ", ""
    store_rule(point, insulation(), None)
    point.save()
    page = at(town.panel.position)
    page.context.set_offline(True)
    page.get_by_label("Insulation, MΩ", exact=True).fill("5")
    expect(page.locator("[data-judged]")).to_contain_text(
        "enter the test voltage (V DC, 250 or more) of the instrument"
    )
    page.get_by_label("Test voltage").fill("100")
    expect(page.locator("[data-judged]")).to_contain_text("Not judged")
    page.get_by_label("Test voltage").fill("250")
    expect(page.locator("[data-judged]")).to_contain_text("Within the limits")
    touch(page, "Pass")
    page.context.set_offline(False)
    expect_last(page, "5 MΩ · recorded")
    assert Result.objects.get(test_point=point).figures == {"test_voltage_v": 250}
