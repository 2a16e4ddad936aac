"""The title block of a page, and the page on paper: nothing is cut or hidden, and paper offers nothing to change."""

import re

import pytest
from playwright.sync_api import expect

from inspections.visits.edits import start_visit
from tests.browser.conftest import DESK, PHONE
from tests.paper_text import sheets_of

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

TITLED = (
    "building-detail",
    "zone-detail",
    "panel-detail",
    "panel-record",
    "position-detail",
    "circuit-detail",
    "client-detail",
    "visit-detail",
    "certificate-detail",
    "defect-detail",
    "job-detail",
    "product-model-detail",
)
PARTS_OF_TITLE = ".title-block :is(h1, .caption, .trail, li, dl, dt, dd, .fact-line, .title-words)"
# A tag in the line reaches a little over it; a line that is cut is 24 px or more.
NOT_WHOLE = """all => all
  .filter((one) => one.scrollHeight > one.clientHeight + 4 && one.clientHeight
    || one.getBoundingClientRect().right > innerWidth || one.scrollWidth > one.clientWidth + 1 && one.clientWidth)
  .map((one) => one.textContent.trim().slice(0, 60))"""
PRINTED = (
    *TITLED,
    "building-design-check",
    "building-list",
    "cable-detail",
    "certificate-issue",
    "data-link-detail",
    "line-detail",
    "log-book",
    "panel-design-check",
    "panel-settings-sheet",
    "panel-wiring",
    "position-grid",
    "schedule-list",
    "unit-detail",
    "visit-plan",
    "zone-list",
)
TO_CHANGE = re.compile(
    "(Accept|Add|Attach|Change|Choose|Close|Confirm|Correct|Declare|Enter|Import|Issue|Invite|Locate|Mark|Plan|Propose|Put|"
    "Record|Remove|Repeat|Revoke|Save|Set|Start|Swap|Take|Undo|Wire|Withdraw|Write)\\b(?! up)"
)


def test_a_large_building_with_a_long_name_fits_its_first_screen_and_no_title_block_cuts_or_hides_anything(
    large, page_of, address
):
    page = page_of("office", DESK)
    page.goto(address("building-detail"))
    assert page.evaluate("document.documentElement.scrollHeight") <= DESK["height"]
    cut = {}
    for name in TITLED:
        page.goto(address(name))
        for width in (1440, 1280, 1100, 1024, 820, 641):
            page.set_viewport_size({"width": width, "height": 900})
            if found := page.locator(PARTS_OF_TITLE).evaluate_all(NOT_WHOLE):
                cut[name, width] = found
    assert cut == {}


def test_a_title_block_of_plain_names_is_at_most_72_px_high_at_a_desk(page_of, address):
    page = page_of("office", DESK)
    high = {}
    for name in TITLED:
        page.goto(address(name))
        for width in (1440, 1280):
            page.set_viewport_size({"width": width, "height": 900})
            if (height := page.locator(".title-block").bounding_box()["height"]) > 72:
                high[name, width] = height
    assert high == {}


@pytest.mark.parametrize("name", ["visit-detail", "panel-detail", "defect-detail"])
def test_a_phone_keeps_every_fact_of_a_title_block(page_of, address, name):
    page = page_of("office", PHONE)
    page.goto(address(name))
    facts = page.locator(".title-facts > div")
    expect(facts).to_have_count(4)
    for fact in facts.all():
        expect(fact).to_be_visible()


def test_a_long_name_leaves_the_facts_beside_it_whole(page_of, address, town):
    town.hall.name = "Former tannery, warehouse and drying lofts at the upper basin, north range and south range"
    town.hall.save()
    page = page_of("office", DESK)
    page.goto(address("building-detail"))
    facts = page.locator(".title-facts dd").evaluate_all(
        "all => all.map((one) => [one.clientWidth >= 120, one.scrollHeight <= one.clientHeight])"
    )
    assert facts == [[True, True]] * 4


def test_the_head_of_the_site_is_the_same_on_a_page_for_the_thumb(page_of, live_server, town):
    start_visit(visit=town.visit, started_by=town.people["engineer"])
    page = page_of("engineer", DESK)
    for size in (DESK, PHONE):
        page.set_viewport_size(size)
        heads = []
        for path in ("", "finish/"):
            page.goto(live_server.url + town.visit.get_absolute_url() + path)
            heads.append([page.locator(part).bounding_box() for part in (".wordmark", ".masthead .find")])
        assert [[box["x"], box["width"]] for box in heads[1]] == [[box["x"], box["width"]] for box in heads[0]], size


def test_paper_offers_nothing_to_change(page_of, address):
    page = page_of("office", DESK)
    page.emulate_media(media="print")
    offered = {}
    for name in PRINTED:
        page.goto(address(name))
        page.evaluate("dispatchEvent(new Event('beforeprint'))")
        ways = page.locator("#content :is(a, button, summary, input[type=submit]):visible")
        if found := [words for words in ways.all_inner_texts() if TO_CHANGE.match(words.strip())]:
            offered[name] = found
    assert offered == {}


def test_no_head_stands_alone_at_the_end_of_a_sheet(page_of, address):
    page = page_of("office", DESK)
    page.goto(address("panel-detail"))
    heads = page.locator(".block-head h2").all_inner_texts()
    alone = {}
    for down in range(0, 480, 60):
        page.locator("main").evaluate("(main, down) => { main.style.paddingTop = `${down}px`; }", down)
        for sheet in sheets_of(page.pdf()):
            if found := [line for line in sheet[-2:] if line in heads]:
                alone[down] = found
    assert (len(heads) > 3, alone) == (True, {})
