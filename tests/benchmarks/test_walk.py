"""What the walk of a large visit costs: its page, and a phone without a network at a quarter of its pace.

Printed, never asserted: a busy machine is no fault of the register.
"""

import re
import time
from statistics import median

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from inspections.visits.edits import start_visit
from tests.benchmarks.test_answers import cpu_of
from tests.browser.conftest import database_beside_the_loop_of_the_browser  # noqa: F401 -- fixture
from tests.browser.phones import Phone, take_along
from zones.models import Position
from zones.models.kinds import DeviceKind

MANY, TAKEN, SLOWER, COLD_STARTS = 3_000, 300, 4, 5

pytestmark = pytest.mark.django_db(transaction=True)
FIRST_SEEN = """() => new Promise((resolve) => {
  const isSeen = () => document.querySelector("[data-sent]")?.textContent;
  const seen = () => (isSeen() ? resolve(performance.now()) : setTimeout(seen, 5));
  seen();
})"""
FIRST_PAINTED = "performance.getEntriesByName('first-contentful-paint')[0].startTime"
TAP = """() => new Promise((resolve) => {
  const card = [...document.querySelectorAll(".point")].find((one) => one.offsetParent);
  const said = card.querySelector("[data-recorded]");
  const start = performance.now();
  const painted = () => requestAnimationFrame(() => resolve(performance.now() - start));
  new MutationObserver(painted).observe(said, { childList: true });
  card.querySelector("button[name=outcome][value=pass]").click();
})"""


def visit_to(town, positions):
    Position.objects.bulk_create(
        Position(
            building=town.hall,
            kind=DeviceKind.MANUAL_CALL_POINT,
            tag=f"CP-{i}",
            tag_key=f"CP-{i:08}",
            storey=str(i // 60),
            walking_order=i,
        )
        for i in range(positions)
    )
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


def test_page_of_a_walk_of_three_thousand_positions(as_, town):
    address = reverse("visit-field", args=[visit_to(town, MANY).pk])
    client = as_("engineer")
    client.get(address)
    taken_s = [cpu_of(lambda: client.get(address)) for _ in range(3)]
    size_mb = len(client.get(address).content) / 1e6
    print(f"\nwalk of {MANY} positions: {median(taken_s):.2f} s of one core, {size_mb:.1f} MB")


def cold_start(phone, visit):
    """{what: ms} from a phone that was off to its walk with counts, at a quarter of its pace; `thread`: busy."""
    phone.switch_off()
    phone.switch_on()
    phone.lose_network()
    slow = phone.browser.new_cdp_session(phone.page)
    slow.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    slow.send("Performance.enable", {"timeDomain": "threadTicks"})
    started = time.monotonic()
    phone.open("visit-field", visit.pk)
    counted_ms = phone.page.evaluate(FIRST_SEEN)
    all_ms = (time.monotonic() - started) * 1e3
    metrics = {one["name"]: one["value"] for one in slow.send("Performance.getMetrics")["metrics"]}
    painted_ms = phone.page.evaluate(FIRST_PAINTED)
    return {"painted": painted_ms, "counted": counted_ms, "all": all_ms, "thread": metrics["TaskDuration"] * 1e3}


def test_phone_without_network(playwright, tmp_path, live_server, town):
    visit = visit_to(town, TAKEN)
    phone = Phone(playwright, tmp_path / "phone", live_server.url)
    phone.log_in(town.people["engineer"])
    started = time.monotonic()
    take_along(phone, visit)
    print(f"\nvisit to {TAKEN} positions taken along in {time.monotonic() - started:.0f} s")
    starts = [cold_start(phone, visit) for _ in range(COLD_STARTS)]
    middle = {what: round(median(start[what] for start in starts)) for what in starts[0]}
    print(
        f"cold start of its walk (of {COLD_STARTS}): painted after {middle['painted']} ms, "
        f"counted {middle['counted']} ms, {middle['all']} ms in all; {middle['thread']} ms of the page's thread"
    )
    taps_ms = []
    phone.page.get_by_role("link", name=re.compile("^Begin with")).click()
    for _ in range(5):
        here = phone.page.url.split("#")[0]
        phone.page.evaluate(FIRST_SEEN)
        expect(phone.page.get_by_role("button", name="Pass", exact=True).locator("visible=true")).to_be_enabled()
        taps_ms.append(phone.page.evaluate(TAP))
        phone.page.wait_for_url(lambda url, here=here: not url.startswith(here))  # the next position comes up by itself
    print(f"from tap to 'recorded': {median(taps_ms):.0f} ms (of five)")
    phone.switch_off()
