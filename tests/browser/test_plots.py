"""The plots of a design check as a browser draws them, on a phone and at a desk: no text over another, no fault."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from tests.browser.accessibility import accessibility_faults
from tests.browser.conftest import DESK, PHONE
from tests.zones.installations import make_installation, make_models

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

OVERLAPS = """() => [...document.querySelectorAll("svg.plot")].flatMap((svg) => {
  const boxes = [...svg.querySelectorAll("text")].map((text) => [text.textContent, text.getBBox()]);
  return boxes.flatMap(([one, a], k) => boxes.slice(k + 1)
    .filter(([, b]) => a.x < b.x + b.width - 0.5 && b.x < a.x + a.width - 0.5
      && a.y + 2.5 < b.y + b.height - 2.5 && b.y + 2.5 < a.y + a.height - 2.5)
    .map(([other]) => `${svg.getAttribute("aria-labelledby")}: ${one} / ${other}`));
})"""
OUTSIDE = """() => [...document.querySelectorAll("svg.plot")].flatMap((svg) => {
  const { width, height } = svg.viewBox.baseVal;
  return [...svg.querySelectorAll("text")].filter((text) => {
    const box = text.getBBox();
    return box.x < -1 || box.x + box.width > width + 1 || box.y < -2 || box.y + box.height > height + 2;
  }).map((text) => text.textContent);
})"""
READ = """() => Math.min(
  ...[...document.querySelectorAll("svg.plot text")].map((text) => text.getBoundingClientRect().height))"""

# A head that stays in sight of the page is displaced by a frame that scrolls by itself, and covers its first row.
HEADS_OVER_ROWS = """() => [...document.querySelectorAll(".plot-table > table")].filter((table) => {
  const first = (part) => part.querySelector("th, td").getBoundingClientRect();
  const [head, row] = [first(table.tHead), first(table.tBodies[0])];
  return head.height && head.bottom > row.top + 1;
}).map((table) => table.textContent.trim().slice(0, 20))"""


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_drawings_are_legible_and_free_of_faults(page_of, town, live_server, size):
    # The last of nine gets little: its speed is known there, so that the battery is drawn too.
    models = make_models(actuator={"minimum_voltage_v": 12, "lower_voltage_v": 12})
    made = make_installation(town.hall, models=models, tag="P7", circuits=2, actuators=9)
    page = page_of("manager", size)
    page.goto(live_server.url + reverse("panel-design-check", args=[made.panel.pk]))
    for fold in page.locator("details.plot-fold > summary").all():
        fold.click()
    expect(page.locator("svg.plot:visible")).to_have_count(5)
    assert page.evaluate(OVERLAPS) == []
    assert page.evaluate(OUTSIDE) == []
    assert page.evaluate(HEADS_OVER_ROWS) == []
    assert page.evaluate(READ) >= 11
    assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]
    assert accessibility_faults(page) == []
