"""A whole visit by the keys alone, as a keyboard at the phone or a switch works it (WCAG 2.2: 2.1.1, 2.4.7, 2.4.11)."""

import re

import pytest
from playwright.sync_api import expect

from inspections.models import Defect, Result, SettingFound
from tests import builders
from tests.browser.conftest import DESK
from tests.browser.field_steps import expect_last
from tests.browser.test_forms_without_network import expect_sent
from tests.zones.floor_plans.plans import add_plan, put

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

MOST_STEPS = 80

# What is wrong with where the focus is: nowhere, without a mark, outside the screen, or wholly under something else.
WHERE = """(wanted) => {
  const at = document.activeElement;
  const seen = (() => {
    if (at === document.body) return "nowhere";
    const { outlineStyle, outlineWidth } = getComputedStyle(at);
    const ring = at.matches("svg a") && at.querySelector(".pin-target"); // in the drawing of a plan
    const hasOutline = outlineStyle !== "none" && parseFloat(outlineWidth);
    const isMarked = ring ? getComputedStyle(ring).stroke !== "none" : hasOutline;
    if (!isMarked) return "without a mark of the focus";
    const { left, right, top, bottom } = at.getBoundingClientRect();
    const over = [0.1, 0.5, 0.9].map((part) =>
      document.elementFromPoint((left + right) / 2, top + part * (bottom - top)));
    return over.some((one) => one && (at.contains(one) || one.contains(at))) ? "" : "out of sight";
  })();
  return [at === wanted, seen, at.outerHTML.slice(0, 200)];
}"""


class Keys:
    def __init__(self, page):
        self.page, self.faults = page, []

    def reach(self, wanted, key="Tab"):
        """Go on with this key until the focus is there."""
        expect(wanted).to_be_visible()
        for _ in range(MOST_STEPS):
            self.page.keyboard.press(key)
            is_there, wrong, at = wanted.evaluate(WHERE)
            if wrong and wrong != "nowhere":  # past the last one the browser's own bar has the focus
                self.faults.append(f"{self.page.url}: {wrong}: {at}")
            if is_there:
                return
        raise AssertionError(f"{self.page.url}: {MOST_STEPS} × {key} do not lead to {wanted}")

    def press(self, wanted, key="Enter"):
        self.reach(wanted)
        self.page.keyboard.press(key)

    def type(self, wanted, words):
        self.reach(wanted)
        self.page.keyboard.type(words)

    def button(self, name):
        self.press(self.page.get_by_role("button", name=name, exact=True).locator("visible=true"))

    def link(self, name):
        self.press(self.page.get_by_role("link", name=name).locator("visible=true").first)

    def go_on(self, name):
        """Give the last answer of a position; the next one comes up by itself."""
        here = self.page.url.split("#")[0]
        self.button(name)
        self.page.wait_for_url(lambda url: not url.startswith(here))

    def choose(self, group, radio):
        """The first radio button of a group takes the focus, arrows lead to the others."""
        self.reach(group.first)
        if group.first.evaluate("(first) => first === document.activeElement"):
            self.page.keyboard.press("Space")
        while not radio.is_checked():
            self.page.keyboard.press("ArrowDown")


def swap_a_unit(phone, keys, town, visit):
    page = phone.page
    phone.open("visit-swap", visit.pk, town.detector.pk)
    keys.type(page.get_by_label("Old serial"), town.unit.serial)
    keys.type(page.get_by_label("New serial"), "AK-0002")
    keys.type(page.get_by_label("Why it is swapped"), "Contaminated")
    keys.button("Swap the unit")
    page.wait_for_url(lambda url: not url.endswith("/swap/"))
    phone.open("visit-field", visit.pk)


def compare_a_setting(phone, keys, town, visit):
    page = phone.page
    phone.open("visit-settings", visit.pk, town.panel.pk)
    row = page.locator(".setting-row", has_text="Run time")
    keys.choose(row.get_by_role("radio"), row.get_by_label("differs"))
    keys.type(row.get_by_label("Found (s)"), "60")
    keys.button("Save what is answered")
    page.wait_for_url(lambda url: "/settings/" not in url)


def come_to_a_test_by_its_plan(phone, keys, plan, visit):
    phone.open("visit-floor-plan", visit.pk, plan.pk)
    keys.link("SD1, smoke detector")
    expect(phone.page).to_have_title(re.compile("^SD1,"))
    phone.open("visit-field", visit.pk)


def answer_at_three_positions(phone, keys, town, visit):
    page = phone.page
    keys.type(page.get_by_role("searchbox", name="Tag or serial"), "SD1")  # the place of the search
    page.keyboard.press("Enter")
    expect(page).to_have_title(re.compile("^SD1,"))
    keys.button("Fail")
    expect(page.get_by_label("What is wrong")).to_be_visible()
    keys.choose(page.locator(".point:visible [name=severity]"), page.get_by_label("Minor:"))
    keys.type(page.get_by_label("What is wrong"), "Housing cracked")
    keys.go_on(re.compile("^Record"))
    expect_last(page, "fail · not sent yet")

    phone.open("visit-field-position", visit.pk, town.call_point.pk)
    keys.button("Pass with remark")
    keys.type(page.get_by_label("Remark"), "Glass dusty")
    keys.go_on(re.compile("^Record"))
    expect_last(page, "pass with remark")

    phone.open("visit-field-position", visit.pk, town.panel.position_id)
    keys.type(page.get_by_label("Float voltage"), "27.3")
    keys.go_on("Pass")
    expect(page.locator("[data-progress-text]")).to_have_text("3 of 4")


def leave_out_a_storey(phone, keys, visit):
    page = phone.page
    phone.open("visit-field", visit.pk)
    storey = page.locator(".storey", has_text="SD7")
    if storey.get_attribute("open") is None:
        keys.press(storey.locator("summary").first)
    keys.press(storey.get_by_text("Not accessible here"))
    keys.type(storey.get_by_label("Why, and who was told"), "Locked; nobody there")
    keys.button("Record 1 test as not accessible")
    expect(page.locator("[data-progress-text]")).to_have_text("4 of 4")
    keys.link("Every point has an outcome")


def end_with_nobody_there(page, keys):
    keys.press(page.get_by_label(re.compile("All vents closed")), "Space")
    keys.choose(page.locator("[name=how]"), page.locator("[name=how][value=nobody]"))
    keys.type(page.get_by_label("Why nobody signed"), "Caretaker gone home")
    keys.button("Finish the visit")


def test_a_visit_without_network_is_carried_out_by_keys_from_taking_along_to_its_end(phone, town):
    visit, page, keys = town.visit, phone.page, Keys(phone.page)
    builders.make_position(town.hall, "smoke_detector", tag="SD7", storey="7")
    builders.make_circuit(town.panel, number=2, drive="polarity", run_time_s=75)
    plan = add_plan(town, storey=town.detector.storey)
    put(plan, town.detector, town.people["office"])
    phone.open("home")
    keys.button("Take my week along")
    expect(page.get_by_text("All of 1 on this phone")).to_be_visible()
    phone.lose_network()
    phone.open("visit-field", visit.pk)

    swap_a_unit(phone, keys, town, visit)
    compare_a_setting(phone, keys, town, visit)
    come_to_a_test_by_its_plan(phone, keys, plan, visit)
    answer_at_three_positions(phone, keys, town, visit)
    leave_out_a_storey(phone, keys, visit)
    end_with_nobody_there(page, keys)
    expect(page.locator("[data-sent]")).to_contain_text("8 not sent")  # start, swap, settings, four answers, end
    assert keys.faults == [], "\n".join(keys.faults)

    phone.find_network()
    expect_sent(phone)
    visit.refresh_from_db()
    assert (visit.state, visit.sign_off.why_nobody) == ("finished", "Caretaker gone home")
    assert town.detector.fittings.get(removed_on=None).unit.serial == "AK-0002"
    assert SettingFound.objects.get().found == "60"
    assert {defect.description for defect in Defect.objects.all()} == {
        "Housing cracked",
        "Setting Run time of circuit 2: found 60 s, left at 75 s",
    }
    said = Result.objects.filter(test_point__visit=visit).values_list("outcome", "remark", "reason")
    assert sorted(said) == [
        ("fail", "", ""),
        ("not_accessible", "", "Locked; nobody there"),
        ("pass", "", ""),
        ("remark", "Glass dusty", ""),
    ]


def test_a_position_is_placed_on_a_plan_by_keys_moved_and_taken_off(page_of, live_server, town):
    detector = builders.make_position(town.hall, tag="SD41", storey="7")
    plan = add_plan(town, storey="7")
    page = page_of("engineer", DESK)
    page.goto(live_server.url + plan.get_absolute_url())
    keys, said = Keys(page), page.locator("[data-said]")
    row = page.locator(f'[data-choose="{detector.pk}"]')
    keys.press(row)
    page.keyboard.press("Shift+ArrowLeft")
    page.keyboard.press("ArrowUp")
    expect(said).to_have_text("SD41 placed.")
    expect(row).to_be_focused()  # though it stands in another list now
    page.keyboard.press("ArrowUp")
    expect(said).to_have_text("SD41 moved.")
    place = plan.places.get()
    assert (place.position, round(place.x, 3), round(place.y, 3)) == (detector, 0.49, 0.496)
    keys.button("Undo")
    expect(said).to_have_text("Taken back: 1 as before.")
    keys.press(row)
    keys.button("Take off the plan")
    expect(said).to_have_text("SD41 taken off the plan.")
    assert not plan.places.exists()
    assert keys.faults == [], "\n".join(keys.faults)
