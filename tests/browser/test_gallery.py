"""The gallery: every part in every state, at each width, dark, in forced colours, at twice the size.

`make gallery` keeps the pictures in `.pictures/gallery/`, for a person to look at.
"""

import os
from pathlib import Path

import pytest
from playwright.sync_api import expect

from sites_registry.states import Tone
from tests.browser.accessibility import accessibility_faults
from tests.browser.conftest import DESK

pytestmark = [
    pytest.mark.browser,
    pytest.mark.django_db(transaction=True),
    pytest.mark.urls("tests.browser.gallery_addresses"),
]

PICTURES = os.environ.get("GALLERY", "")
WAYS = {  # name: (width, what else the page is told)
    "320": (320, {}),
    "390": (390, {}),
    "820": (820, {}),
    "1440": (1440, {}),
    "1920": (1920, {}),
    "twice": (720, {}),  # 1440 px at 200 %
    "dark": (1440, {"color_scheme": "dark"}),
    "forced": (1440, {"forced_colors": "active"}),
    "print": (1123, {"media": "print"}),
}


@pytest.fixture
def gallery(page_of, live_server):
    page = page_of("office", DESK)
    page.goto(f"{live_server.url}/gallery/")
    return page


def to_the_top(page):
    """Faults take the focus, which scrolls; what sticks would then stand over what is looked at."""
    page.evaluate("scrollTo(0, 0)")


def test_no_part_scrolls_sideways_at_any_width_or_in_any_colours(gallery):
    for name, (width, told) in WAYS.items():
        gallery.emulate_media(**{"color_scheme": "light", "forced_colors": "none", "media": "screen"} | told)
        gallery.set_viewport_size({"width": width, "height": 900})
        to_the_top(gallery)
        if PICTURES:
            gallery.screenshot(path=Path(PICTURES) / f"{name}.png", full_page=True)
        assert gallery.evaluate("document.documentElement.scrollWidth") <= width, name


@pytest.mark.parametrize("colours", ["light", "dark"])
def test_every_part_is_free_of_accessibility_faults(gallery, colours):
    gallery.emulate_media(color_scheme=colours)
    to_the_top(gallery)
    assert accessibility_faults(gallery, rules=("wcag2a", "wcag2aa", "wcag22aa")) == []


def test_a_state_of_every_tone_is_shown(gallery):
    shown = gallery.locator("#states .state").evaluate_all("all => all.map((one) => one.classList[1])")
    assert set(shown) == {str(tone) for tone in Tone}


def test_the_present_page_is_told_apart_in_forced_colours(gallery):
    gallery.emulate_media(forced_colors="active")
    borders = gallery.locator(".siblings a").evaluate_all(
        "all => all.map((one) => [one.hasAttribute('aria-current'), getComputedStyle(one).borderBottomColor])"
    )
    here = {colour for is_here, colour in borders if is_here}
    elsewhere = {colour for is_here, colour in borders if not is_here}
    assert here and elsewhere and not here & elsewhere


def test_faults_take_the_focus_and_lead_to_their_fields(gallery):
    faults = gallery.locator(".error-list")
    expect(faults).to_be_focused()
    faults.get_by_role("link", name="Supply limit (A)").click()
    field = gallery.locator("#faulty_supply_limit_a")
    expect(field).to_be_focused()
    assert field.evaluate(
        """one => {
          const label = one.labels[0].getBoundingClientRect();
          return one.labels[0].contains(document.elementFromPoint(label.left + 4, label.top + 2));
        }"""
    ), "the word of the field stands under the menu"


def test_a_day_chosen_in_the_calendar_stands_in_words(gallery):
    box = gallery.locator("#id_fitted_on")
    gallery.locator("#div_id_fitted_on .calendar").evaluate(
        "one => { one.value = '2026-03-04'; one.dispatchEvent(new Event('change')); }"
    )
    expect(box).to_have_value("4 Mar 2026")


def test_focus_shows_by_three_pixels_of_the_accent(gallery):
    for selector in ("#id_tag", "#id_kind", "#id_notes", "#buttons .button >> nth=0", ".siblings a >> nth=0"):
        gallery.locator(selector).focus()
        gallery.keyboard.press("Shift+Tab")
        gallery.keyboard.press("Tab")
        expect(gallery.locator(selector)).to_be_focused()
        ring = gallery.locator(selector).evaluate(
            "one => { const s = getComputedStyle(one); return [s.outlineStyle, s.outlineWidth, s.outlineColor]; }"
        )
        accent = gallery.evaluate(
            """() => {
              const probe = document.body.appendChild(document.createElement("i"));
              probe.style.color = "var(--accent)";
              const colour = getComputedStyle(probe).color;
              probe.remove();
              return colour;
            }"""
        )
        assert ring == ["solid", "3px", accent], selector
