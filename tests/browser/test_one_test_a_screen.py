"""One test a screen: what a thumb needs stands inside it, and an answer given by mistake can be taken back."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from inspections.models import Defect, Protocol, Result
from inspections.protocols.edits import install_standard_protocols
from inspections.visits.edits import start_visit
from inspections.visits.walk import walk_of
from tests import builders
from tests.browser.accessibility import accessibility_faults
from tests.browser.conftest import DESK, PHONE
from tests.browser.field_steps import expect_all_sent, expect_last, record, shown, touch
from tests.browser.waiting import hold
from tests.inspections.commissioning.conftest import small_commissioning
from tests.kinds.every_kind import make_every_kind

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

KEYBOARD_OPEN = {"width": 390, "height": 500}
SMALL_AND_KEYBOARD_OPEN = {"width": 360, "height": 400}
SIZES = (
    PHONE,
    KEYBOARD_OPEN,
    SMALL_AND_KEYBOARD_OPEN,
    {"width": 320, "height": 568},
    {"width": 820, "height": 1180},
    DESK,
)

# Of each screen of the page what does not fit, in words; WCAG 2.5.5 and common practice for gloves: 44 px.
WHAT_DOES_NOT_FIT = """async () => {
  const faults = [];
  const settled = () => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));
  const inside = ({ left, right, top, bottom }) =>
    left >= 0 && right <= innerWidth && top >= 0 && bottom <= innerHeight;
  for (const screen of document.querySelectorAll(".points > *")) {
    location.hash = screen.id;
    await settled();
    const say = (words) => faults.push(`${screen.querySelector("h2").innerText}: ${words}`);
    const seen = (element) => element.getClientRects().length > 0;
    const caution = screen.querySelector(".point-body > .point-caution");
    if (caution) {
      const { left, bottom } = caution.getBoundingClientRect();
      const whole = caution.contains(document.elementFromPoint(left + 1, bottom - 1));
      const told = seen(screen.querySelector(".read-on"));
      if (!whole && innerHeight > 640) say("its caution is cut");
      if (!whole && !told) say("its caution is cut, and nothing says so");
    }
    const first = [...screen.querySelectorAll(screen.id === "here" ? "a" : "input, textarea, button")].find(seen);
    if (innerHeight <= 640) first.focus(); // a small screen shows first what to mind
    if (!inside(first.getBoundingClientRect())) say(`first comes ${first.name || first.innerText}, outside the screen`);
    const buttons = [...screen.querySelectorAll(".dock .button")].filter(seen);
    if (!buttons.length) say("no button");
    for (const button of buttons) {
      const box = button.getBoundingClientRect();
      const least = button.classList.contains("primary") ? 56 : 44;
      if (box.height < least) say(`${button.innerText} is ${box.height} high`);
      if (!inside(box)) say(`${button.innerText} is outside the screen`);
    }
    const around = document.querySelectorAll(".field-head a, .field-head summary, .who-is-it a");
    for (const target of [...around, ...screen.querySelectorAll("a, button, input, summary")].filter(seen)) {
      const { height } = target.getBoundingClientRect();
      if (height < 44 && !["radio", "checkbox"].includes(target.type)) say(`${target.innerText} is ${height} high`);
    }
    for (const [i, [one, a]] of buttons.map((each) => [each, each.getBoundingClientRect()]).entries())
      for (const other of buttons.slice(i + 1)) {
        const b = other.getBoundingClientRect();
        const apart = Math.max(b.left - a.right, a.left - b.right, b.top - a.bottom, a.top - b.bottom);
        if (apart < 7.9) say(`${one.innerText} and ${other.innerText} are ${apart} apart`);
      }
    if (document.documentElement.scrollWidth > innerWidth) say("scrolls sideways");
  }
  return faults;
}"""


def of_every_kind(town):
    Protocol.objects.update(state=Protocol.State.WITHDRAWN, kind="remedial")  # out of the way of the standard one
    install_standard_protocols()
    every = make_every_kind(name="Every House", slug="every-house")
    visit = builders.make_visit(every.building, engineer=town.people["engineer"])
    return start_visit(visit=visit, started_by=town.people["engineer"])


@pytest.mark.parametrize("visit_of", [of_every_kind, small_commissioning])
def test_what_a_test_needs_stands_inside_the_screen_at_every_size(page_of, live_server, town, visit_of):
    page = page_of("engineer")
    stops = walk_of(visit_of(town)).stops
    assert len({stop.position.kind for stop in stops}) >= 6
    faults = []
    for stop in stops:
        page.goto(live_server.url + stop.url)
        for size in SIZES:
            page.set_viewport_size(size)
            expect(page.locator("body")).to_have_css("height", f"{size['height']}px")
            if found := page.evaluate(WHAT_DOES_NOT_FIT):
                faults.append((stop.position.tag, size["width"], size["height"], *found))
    assert faults == [], "\n".join(map(str, faults))


@pytest.fixture
def visit(town):
    """Two tests at the detector, one with a reading at the panel, one at the call point."""
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    builders.make_test_point(visit, town.detector, code="head", title="Head", expected="Clean", order=9)
    return visit


@pytest.fixture
def page(page_of, live_server, town, visit):
    page = page_of("engineer")
    page.goto(live_server.url + reverse("visit-field-position", args=[visit.pk, town.detector.pk]))
    return page


def title(page):
    return shown(page).get_by_role("heading", level=2)


def undo(page):
    page.get_by_role("button", name="Undo").click()


def results_of(visit):
    return Result.objects.filter(test_point__visit=visit)


def test_an_answer_brings_the_next_test_and_the_last_one_the_next_position(page, town):
    expect(title(page)).to_contain_text("Function")
    touch(page, "Pass")
    expect(title(page)).to_contain_text("Head")
    touch(page, "Pass")
    expect(page.get_by_role("heading", level=1)).to_contain_text(town.panel.position.tag)
    expect_last(page, "SD1, Head: ●pass · recorded")


def test_two_touches_where_one_was_meant_answer_one_test(page, visit):
    page.get_by_role("button", name="Pass", exact=True).dblclick()
    expect(title(page)).to_contain_text("Head")
    expect_last(page, "SD1, Function: ●pass · recorded")
    assert results_of(visit).count() == 1


def test_undo_of_what_was_never_sent_takes_it_back_and_keeps_what_was_typed(page, visit, context):
    context.set_offline(True)
    touch(page, "Pass with remark")
    shown(page).get_by_label("Remark").fill("Dusty.")
    record(page)
    expect_last(page, "not sent yet")
    undo(page)
    expect(title(page)).to_contain_text("Function")
    expect_all_sent(page)
    expect(shown(page).get_by_role("button", name="Pass", exact=True)).to_be_visible()
    touch(page, "Pass with remark")
    expect(shown(page).get_by_label("Remark")).to_have_value("Dusty.")
    context.set_offline(False)
    shown(page).get_by_label("Remark").fill("Dusty, cleaned.")
    record(page)
    expect_last(page, "recorded")
    expect_all_sent(page)
    assert [result.remark for result in results_of(visit)] == ["Dusty, cleaned."]


def test_undo_of_what_was_sent_opens_the_test_and_another_answer_takes_its_place(page, visit, town):
    touch(page, "Pass")
    expect_last(page, "· recorded")
    undo(page)
    expect(title(page)).to_contain_text("Function")
    expect(shown(page).get_by_text("It stands until another outcome is recorded here.")).to_be_visible()
    touch(page, "Fail")
    shown(page).get_by_label("Minor:").check()
    shown(page).get_by_label("What is wrong").fill("Cracked.")
    record(page)
    expect_last(page, "stands open: minor.")
    point = visit.test_points.get(position=town.detector, code="function")
    first, second = point.results.order_by("pk")
    assert (point.latest_result, point.is_contradicted) == (second, False)
    assert second.known_results == [str(first.client_uuid)]


def test_undo_of_a_fail_that_was_sent_asks_for_what_its_defect_needs(page, visit):
    touch(page, "Fail")
    shown(page).get_by_label("Minor:").check()
    shown(page).get_by_label("What is wrong").fill("Nothing, a slip.")
    record(page)
    expect_last(page, "stands open: minor.")
    undo(page)
    touch(page, "Pass")
    record(page)
    expect(page.get_by_role("alert")).to_contain_text("Say that this pass closes its defect, or leave the fail.")
    shown(page).get_by_label("This pass closes it.").check()
    shown(page).get_by_label("Why it is changed").fill("Touched by mistake.")
    record(page)
    expect_last(page, "is closed.")
    assert not Defect.objects.open().exists()


def test_undo_on_the_page_of_the_next_position_leads_back_to_the_open_test(page, visit, town):
    for heading in ("Function", "Head"):
        expect(title(page)).to_contain_text(heading)
        touch(page, "Pass")
    expect(page.get_by_role("heading", level=1)).to_contain_text(town.panel.position.tag)
    undo(page)
    expect(page.get_by_role("heading", level=1)).to_contain_text("SD1")
    expect(title(page)).to_contain_text("Head")
    touch(page, "Not applicable")
    shown(page).get_by_label("Why, and who was told").fill("No head here.")
    record(page)
    expect_last(page, "No head here. · recorded")
    assert visit.test_points.get(code="head").latest_result.outcome == "not_applicable"


def test_undo_of_all_as_expected_takes_all_of_them_back(page, visit, context):
    context.set_offline(True)
    page.get_by_role("link", name="test 1 of 2").click()
    page.get_by_role("button", name="All 2 as expected").click()
    expect_last(page, "SD1, Function and 1 more: ●pass · not sent yet")
    undo(page)
    expect_all_sent(page)
    expect(page.locator("[data-state-of]")).to_have_text(["?not tested yet", "?not tested yet"])
    context.set_offline(False)
    page.reload()
    expect_all_sent(page)  # what waited would have gone by now
    assert not results_of(visit).exists()


def test_with_no_network_the_last_answer_stays_with_the_list_of_its_position(page, context):
    context.set_offline(True)
    touch(page, "Pass")
    touch(page, "Pass")
    expect(title(page)).to_contain_text("SD1: 2 tests")
    expect(page.locator("[data-sent]")).to_contain_text("2 not sent: no network")
    context.set_offline(False)
    expect_all_sent(page)


def test_the_browsers_way_back_leads_to_the_test_before(page):
    touch(page, "Pass")
    expect(title(page)).to_contain_text("Head")
    page.go_back()
    expect(title(page)).to_contain_text("Function")
    expect(shown(page).locator("[data-recorded]")).to_contain_text("recorded")


def test_the_button_says_what_is_missing_and_enter_sends_nothing(page, live_server, town, visit):
    page.goto(live_server.url + reverse("visit-field-position", args=[visit.pk, town.panel.position.pk]))
    expect(page.locator("[data-lacks]")).to_have_text("enter the float voltage first")
    touch(page, "Fail")  # which may be that nothing can be read
    expect(page.locator("[data-record-lacks]")).to_have_text("Choose how severe the defect is.")
    page.get_by_role("link", name="Other outcome").click()
    shown(page).get_by_label("Float voltage").fill("27.3")
    expect(page.locator("[data-lacks]")).to_have_text("")
    shown(page).get_by_label("Float voltage").press("Enter")
    expect(page.get_by_role("button", name="Pass", exact=True)).to_be_visible()
    assert not results_of(visit).exists()


def test_a_test_its_questions_and_the_list_are_free_of_accessibility_faults(page, live_server, visit):
    def check():
        assert accessibility_faults(page) == []

    expect_all_sent(page)
    check()
    touch(page, "Fail")
    check()
    page.get_by_role("link", name="test 1 of 2").click()
    check()
    page.goto(live_server.url + reverse("visit-field", args=[visit.pk]))
    check()


def test_the_list_opens_at_the_storey_that_is_next_and_leads_to_the_rest_of_the_register(
    page, live_server, visit, town
):
    for number in range(3):
        position = builders.make_position(town.hall, "smoke_detector", tag=f"SD{number + 7}", storey="3")
        builders.make_test_point(visit, position)
    page.goto(live_server.url + reverse("visit-field", args=[visit.pk]))
    expect(page.locator("details.storey[open]")).to_have_count(1)
    for row in page.locator(".stops a:visible").all():
        assert row.bounding_box()["height"] >= 48
    page.get_by_text("Menu", exact=True).click()
    expect(page.get_by_role("link", name="Buildings")).to_be_visible()
    page.get_by_role("searchbox", name="Find").fill("SD8")
    page.get_by_role("searchbox", name="Find").press("Enter")
    expect(page.locator("main")).to_contain_text("SD8")


def test_the_stop_watch_fills_in_the_time_of_a_stroke(page_of, live_server, town, visit):
    position = builders.make_position(town.hall, "actuator", tag="M9", smoke_zone=town.zone)
    point = builders.make_test_point(
        visit, position, code="stroke", title="Stroke", expected="Opens all the way", quantity="opening time", unit="s"
    )
    page = page_of("engineer")
    page.clock.install()
    page.goto(live_server.url + reverse("visit-field-position", args=[visit.pk, position.pk]))
    page.clock.pause_at(timezone.now() + timedelta(minutes=1))
    page.get_by_role("button", name="Time it").click()
    page.clock.run_for(47_300)
    page.get_by_role("button", name="Stop").click()
    expect(page.get_by_label("Opening time, s")).to_have_value("47.3")
    page.clock.run_for(1_000)
    touch(page, "Pass")
    page.clock.run_for(1_000)
    expect_all_sent(page)
    assert str(Result.objects.get(test_point=point).reading) == "47.300"


HEARS = """
window.SpeechRecognition = class extends EventTarget {
  start() { window.heard = (transcript) => this.dispatchEvent(Object.assign(new Event("result"), {
    resultIndex: 0, results: [Object.assign([{ transcript }], { isFinal: true })] })); }
  stop() { this.dispatchEvent(new Event("end")); }
  abort() { this.stop(); }
};
"""


def test_what_is_dictated_stands_in_the_remark_and_in_no_later_answer(page_of, live_server, town, visit):
    page = page_of("engineer")
    page.add_init_script(HEARS)
    page.goto(live_server.url + reverse("visit-field-position", args=[visit.pk, town.detector.pk]))
    touch(page, "Pass with remark")
    remark = page.get_by_label("Remark", exact=True).locator("visible=true")
    remark.fill("Glass dusty,")
    touch(page, "Dictate")
    page.evaluate("heard('wiped')")
    expect(remark).to_have_value("Glass dusty, wiped")
    assert not Result.objects.filter(test_point__visit=visit).exists()
    expect_all_sent(page)
    answers = hold(page, "**/answers/", times=1)  # or the form goes on to the next position
    page.get_by_role("button", name="Record").locator("visible=true").first.click()
    route = answers()
    page.evaluate("heard('too late')")
    route.continue_()
    expect_all_sent(page)
    assert Result.objects.get(test_point__visit=visit).remark == "Glass dusty, wiped"
