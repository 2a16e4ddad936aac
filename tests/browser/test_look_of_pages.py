"""What a page is about stands on its first screen; nothing scrolls sideways; what is touched is big enough.

Heights at 1440 px of the buildings that tests share, which are small: they hold that no page grows a second frame;
`large` is what big buildings and long names are held by.
"""

import re

import pytest
from playwright.sync_api import expect

from inspections.protocols.edits import install_standard_protocols
from tests import builders
from tests.browser.accessibility import accessibility_faults
from tests.browser.conftest import DESK, PHONE
from tests.paper_text import text_of
from tests.zones.installations import make_installation, make_models

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

NARROW = {"width": 320, "height": 640}
SMALL_DESK = {"width": 1100, "height": 900}
TABLET = {"width": 820, "height": 1180}
TWICE = {"width": 720, "height": 450}  # 1440 x 900 at 200 %
AT_MOST_HIGH = {
    "panel-detail": 1000,
    "building-detail": 900,
    "circuit-detail": 900,
    "line-detail": 900,
    "unit-detail": 1000,
    "building-update": 1300,
    "panel-update": 1120,
    "visit-create": 900,
}
AT_MOST_HIGH_OF_MANY = {1440: 1000, 1280: 1100}  # a panel of 12 circuits and 13 lines, by the width of the screen
AT_MOST_DOWN = {  # page: (what is looked for, where it may begin)
    "panel-design-check": (".rows.check .finding-state .state", 250),
    "building-design-check": (".rows.check .finding-state .state", 250),
    "panel-wiring": (".work-main input:not([type=hidden]), .work-main select", 300),
}
READ_ON_A_PHONE = ("building-detail", "panel-settings-sheet", "walking-order", "certificate-detail")
PAGES = {
    "office": (
        "home",
        "building-list",
        "building-detail",
        "panel-detail",
        "panel-update",
        "circuit-detail",
        "position-detail",
        "unit-detail",
        "battery-list",
        "visit-create",
        "visit-list",
    ),
    "engineer": (
        "home",
        "floor-plan-detail",
        "panel-wiring",
        "panel-design-check",
        "visit-detail",
        "calculator-voltage-drop",
    ),
    "manager": ("home", "building-detail", "log-book", "log-entry-create"),
}
TOUCHED = (
    "#content :is(button, .button, select, input:not([type=hidden], .calendar), summary), "
    ".siblings a, .drop a, .trail a, .pager a, .row-ways a, .wordmark, "
    "#content .way, .ways a, .answer-states > a, .block-head p a, .title-name .caption a, .message a, .empty a"
)

# Links that stand in a line of text: what a thumb reaches is more than the line shows, or the whole row.
IN_A_LINE = ".trail a, .title-block a, #content dd a, #content tbody a, .section-head a, .block-head h2 a"
REACH = """(all, least) => {
  const leadsTo = (link, x, y) => {
    const hit = document.elementFromPoint(x, y);
    const touched = hit?.closest("a, button, summary, input, select, label");
    const row = link.closest("tr[data-href]");
    if (getComputedStyle(link).pointerEvents === "none") return row?.contains(hit); // small print of a row
    return touched ? touched === link : row?.contains(hit) && row.dataset.href === link.getAttribute("href");
  };
  const reachOf = (link) => {
    link.scrollIntoView({ block: "center", behavior: "instant" });
    const { left, width, top, height } = link.getClientRects()[0];
    const [x, y] = [left + Math.min(width / 2, 20), top + height / 2];
    let [up, down] = [0, 0];
    while (up < least && leadsTo(link, x, y - up - 1)) up += 1;
    while (down < least && leadsTo(link, x, y + down)) down += 1;
    return up + down;
  };
  const found = all
    .filter((link) => link.checkVisibility({ opacityProperty: true, visibilityProperty: true }))
    .filter((link) => link.getBoundingClientRect().right > 0 && reachOf(link) < least)
    .map((link) => `${link.outerHTML.slice(0, 90)} ${reachOf(link)}`);
  scrollTo(0, 0);
  return found;
}"""
ONE_PIXEL = 1  # of what is measured point by point


def too_small(page, least):
    """What can be touched and is neither as high as it must be nor the box of a label that is."""
    return page.locator(TOUCHED).evaluate_all(
        """(all, least) => all
          .filter((one) => one.checkVisibility({ opacityProperty: true, visibilityProperty: true }))
          .filter((one) => {
            const touched = [one, one.closest(".form-check"), ...(one.labels ?? [])].filter(Boolean);
            return Math.max(...touched.map((each) => each.getBoundingClientRect().height)) < least;
          })
          .map((one) => `${one.outerHTML.slice(0, 90)} ${one.getBoundingClientRect().height}`)""",
        least,
    )


def test_pages_are_as_high_as_what_they_say(page_of, address):
    page = page_of("office", DESK)
    found = {}
    for name in AT_MOST_HIGH:
        page.goto(address(name))
        found[name] = page.evaluate("document.documentElement.scrollHeight")
    assert {name: height for name, height in found.items() if height > AT_MOST_HIGH[name]} == {}


def test_a_panel_of_many_runs_is_no_higher_and_shows_at_once_what_is_not_met(page_of, live_server, town):
    models = make_models(control_panel={"supply_limit_a": 40, "supply_peak_a": 60})
    panel = make_installation(town.hall, models=models, tag="P7", circuits=12, actuators=1).panel
    panel.actuator_circuits.update(expected_actuators=1)
    builders.make_line(panel, number=13, name="without an end")
    page = page_of("office", DESK)
    page.goto(live_server.url + panel.get_absolute_url())
    lines = page.locator("#lines")
    head = lines.get_by_role("button", name="12 of 13 lines")
    expect(head).to_be_visible()
    expect(page.get_by_role("button", name="All 12 circuits")).to_be_visible()
    found = {}
    for width, most in AT_MOST_HIGH_OF_MANY.items():
        page.set_viewport_size({"width": width, "height": 900})
        found[width] = page.evaluate("document.documentElement.scrollHeight") - most
    assert {width: over for width, over in found.items() if over > 0} == {}
    expect(lines.get_by_role("row", name="without an end")).to_be_visible()
    expect(lines.get_by_role("link", name="Fault")).to_have_count(1)
    assert accessibility_faults(page) == []
    assert "P7M12.1" in text_of(page.pdf())
    head.click()
    expect(lines.get_by_role("link", name="Fault")).to_have_count(13)


@pytest.mark.parametrize("name", ["panel-detail", "line-detail"])
def test_measured_bars_beside_each_other_stand_at_one_height(page_of, address, name):
    page = page_of("office", SMALL_DESK)
    page.goto(address(name))
    bars = page.locator(".answers .measure").all()
    assert len(bars) > 1
    assert len({bar.bounding_box()["y"] for bar in bars}) == 1


def test_what_a_work_page_is_about_begins_near_its_top(page_of, address, town):
    builders.make_terminal(town.panel)
    page = page_of("engineer", DESK)
    found = {}
    for name, (selector, _) in AT_MOST_DOWN.items():
        page.goto(address(name))
        found[name] = page.locator(selector).first.bounding_box()["y"]
    assert {name: down for name, down in found.items() if down > AT_MOST_DOWN[name][1]} == {}


def test_a_large_building_scrolls_one_way_at_320_and_on_a_phone_is_touched_and_read_not_scrolled(
    large, page_of, address
):
    line = builders.make_line(large.panel, number=9)
    for number in range(91, 95):  # SD91-SD94, a range that opens
        builders.make_position(large.hall, "smoke_detector", tag=f"SD{number}", panel=large.panel, detection_line=line)
    page = page_of("office", NARROW)
    wide, high, small = {}, {}, {}
    for name in ("panel-detail", "zone-detail", "building-design-check", *READ_ON_A_PHONE):
        page.goto(address(name))
        if (width := page.evaluate("document.documentElement.scrollWidth")) > NARROW["width"]:
            wide[name] = width
        page.set_viewport_size(PHONE)
        if name in READ_ON_A_PHONE and (height := page.evaluate("document.documentElement.scrollHeight")) > 4000:
            high[name] = height
        if found := too_small(page, 44):
            small[name] = found
        page.set_viewport_size(NARROW)
    assert (wide, high, small) == ({}, {}, {})


def test_a_table_to_type_in_scrolls_in_its_frame_on_a_tablet(page_of, address):
    page = page_of("office", TABLET)
    page.goto(address("position-grid"))
    assert page.evaluate("document.documentElement.scrollWidth") == TABLET["width"]


def test_a_protocol_is_one_screen_of_kinds_on_a_tablet_its_checks_open_wide_and_paper_shows_all(
    page_of, live_server, town
):
    (protocol,) = [made for made in install_standard_protocols() if made.kind == "commissioning"]
    page = page_of("office", TABLET)
    page.goto(live_server.url + protocol.get_absolute_url())
    assert page.evaluate("document.documentElement.scrollHeight") <= TABLET["height"] + 40
    kind = page.locator("details", has=page.get_by_role("heading", name="Actuator"))
    kind.locator("summary").click()
    row = kind.locator("tr", has_text="Full stroke on battery")
    expect(row).to_be_visible()
    assert row.locator("[data-label=Do]").bounding_box()["width"] > 300
    assert row.bounding_box()["height"] < 200
    assert page.evaluate("document.documentElement.scrollWidth") == TABLET["width"]
    assert "Battery under load" in text_of(page.pdf())


@pytest.mark.parametrize("name", ["panel-detail", "panel-proof"])
def test_the_page_that_is_shown_stands_in_sight_in_its_bar_under_a_trail_of_one_line_on_a_phone(page_of, address, name):
    page = page_of("office", NARROW)
    page.goto(address(name))
    current = page.locator(".siblings [aria-current]").bounding_box()
    assert current["x"] >= 0
    assert current["x"] + current["width"] <= NARROW["width"]
    assert len({one.bounding_box()["y"] for one in page.locator(".trail a").all()}) <= 1


@pytest.mark.parametrize("name", ["panel-detail", "zone-detail"])
def test_sibling_pages_stay_in_one_line_at_a_small_desk(page_of, address, name):
    page = page_of("office", SMALL_DESK)
    page.goto(address(name))
    places = [one.bounding_box() for one in page.locator(".siblings a").all()]
    assert len({place["y"] for place in places}) == 1
    assert places[-1]["x"] + places[-1]["width"] <= SMALL_DESK["width"]


def test_what_a_phone_folds_says_what_is_in_it_and_paper_shows_it_whole(page_of, address):
    page = page_of("office", PHONE)
    page.goto(address("panel-settings-sheet"))
    devices = page.locator("details.fold", has_text="Input devices")
    expect(devices.locator("summary")).to_contain_text("settings of 2 devices")
    expect(devices.locator("table")).to_be_hidden()
    assert "Function (manual call point)" in text_of(page.pdf())
    expect(devices.locator("table")).to_be_hidden()


def test_a_long_group_of_a_visit_says_its_states_on_a_phone_and_hides_no_fail(page_of, live_server, town):
    for number in range(3, 10):
        builders.make_position(town.hall, "smoke_detector", tag=f"SD{number}", smoke_zone=town.zone, panel=town.panel)
    visit = builders.make_finished_visit(town.hall)
    builders.make_result(
        builders.make_test_point(visit, town.detector, code="again", title="Smoke in the room"),
        visit.engineer,
        outcome="fail",
        seen_at=visit.finished_at,
    )
    page = page_of("office", PHONE)
    page.goto(live_server.url + visit.get_absolute_url())
    head = page.locator("#results .group-fold")
    passed = page.locator("#results tr", has_text="SD9")
    expect(head).to_contain_text(re.compile(r"\d+ more · ●\s*pass$"))
    assert too_small(page, 44) == []
    expect(page.locator("#results tr", has_text="Smoke in the room")).to_be_visible()
    expect(passed).to_be_hidden()
    assert "SD9" in text_of(page.pdf())
    head.click()
    expect(passed).to_be_visible()
    assert accessibility_faults(page) == []


def test_positions_stand_under_their_kinds_on_a_phone_whatever_their_order(page_of, address, town):
    for number in range(20, 26):
        builders.make_position(
            town.hall, "ventilation_switch", tag=f"VS{number}", smoke_zone=town.zone, walking_order=number * 10
        )
        builders.make_position(town.hall, "rain_sensor", tag=f"RS{number}", smoke_zone=town.zone)
    page = page_of("office", PHONE)
    for name in ("position-list", "zone-detail"):
        page.goto(address(name))
        head = page.get_by_role("button", name="Ventilation switch")
        expect(head).to_contain_text("6")
        row = page.locator("tr[data-href]", has_text="VS25")
        expect(row).to_be_hidden()
        head.click()
        expect(row).to_be_visible()
    page.goto(f"{address('position-list')}?q=VS25")
    expect(page.locator("tr[data-href]", has_text="VS25")).to_be_visible()


def test_a_cable_schedule_stands_under_its_runs_on_a_phone_and_cables_of_none_under_their_own_head(
    page_of, address, town
):
    circuit = builders.make_circuit(town.panel, number=9)
    for number in range(1, 5):
        builders.make_cable(town.hall, tag=f"W9.{number}", actuator_circuit=circuit)
        builders.make_cable(town.hall, tag=f"W8.{number}")
    page = page_of("office", PHONE)
    page.goto(address("cable-schedule"))
    for head, tag in (("P1 circuit 9", "W9.4"), ("Of no circuit or line", "W8.4")):
        row = page.locator("tr", has_text=tag)
        expect(row).to_be_hidden()
        page.get_by_role("button", name=head).click()
        expect(row).to_be_visible()
    assert accessibility_faults(page) == []


def test_a_fold_that_an_address_leads_into_is_open_on_a_phone(page_of, address, town):
    later = builders.make_position(town.hall, tag="M1", storey="9", walking_order=1000)
    page = page_of("office", PHONE)
    page.goto(address("walking-order"))
    row = page.locator(f"#position-{later.pk}")
    expect(row).to_be_hidden()
    page.goto(f"{address('walking-order')}?again=1#position-{later.pk}")
    expect(row).to_be_in_viewport()


def test_a_table_to_type_in_shows_its_boxes_on_a_phone(page_of, address):
    page = page_of("office", PHONE)
    page.goto(address("position-grid"))
    expect(page.locator(".entry-grid input").first).to_have_css("border-top-width", "1px")


@pytest.mark.parametrize("person", PAGES)
def test_pages_scroll_one_way_only_at_320_and_at_twice_the_size(page_of, address, person):
    page = page_of(person, NARROW)
    found = []
    for name in PAGES[person]:
        page.goto(address(name))
        for size in (NARROW, TWICE):
            page.set_viewport_size(size)
            if (width := page.evaluate("document.documentElement.scrollWidth")) > size["width"]:
                found.append((name, size["width"], width))
    assert found == []


def test_a_long_standing_of_a_certificate_turns_at_twice_the_size(page_of, address):
    page = page_of("office", TWICE)
    page.goto(address("certificate-detail"))
    standing = page.locator(".answer-figure .state").first
    standing.evaluate("one => one.append('; next inspection was due on 28 Nov 2026, 2 days ago, and so on')")
    assert page.evaluate("document.documentElement.scrollWidth") <= TWICE["width"]


@pytest.mark.parametrize("person", PAGES)
def test_what_is_touched_is_44_px_high_on_a_phone_and_apart_at_a_desk(page_of, address, person):
    page = page_of(person, PHONE)
    small = {}
    for name in PAGES[person]:
        page.goto(address(name))
        if found := too_small(page, 44) + page.locator(IN_A_LINE).evaluate_all(REACH, 44 - ONE_PIXEL):
            small[name] = found
        page.set_viewport_size(DESK)
        assert accessibility_faults(page, rules=("wcag22aa",)) == [], name
        page.set_viewport_size(PHONE)
    assert small == {}


def test_the_bar_to_save_covers_no_field_that_has_the_focus_on_a_phone(page_of, address):
    page = page_of("office", PHONE)
    page.goto(address("cable-create"))
    inside, covered = 0, []
    page.locator("#content form.form-page").press("Tab")
    for _ in range(40):
        place = page.evaluate(
            """() => {
              const focused = document.activeElement;
              if (!focused.closest("form.form-page") || focused.closest(".save-bar")) return null;
              const top = document.querySelector(".save-bar .button").getBoundingClientRect().top;
              return [focused.name || focused.className, Math.round(focused.getBoundingClientRect().bottom - top)];
            }"""
        )
        inside += place is not None
        if place and place[1] > 0:
            covered.append(place)
        page.keyboard.press("Tab")
    assert (inside > 10, covered) == (True, [])


def test_figures_of_other_kinds_are_out_of_sight_whatever_a_list_stands_at(page_of, live_server):
    page = page_of("office", DESK)
    page.goto(f"{live_server.url}/product-models/new/")
    page.select_option("[name=kind]", "actuator")
    expect(page.get_by_label("Stroke", exact=False)).to_be_visible()
    expect(page.locator("[name=supply_limit_a]")).to_be_hidden()
    page.select_option("[name=load_kind]", "resistive")
    page.select_option("[name=kind]", "control_panel")
    expect(page.locator("[name=supply_limit_a]")).to_be_visible()
    expect(page.locator("[name=load_kind]")).to_be_hidden()
