"""What a person does and sees on the screen of a test."""

import re

from playwright.sync_api import expect

from tests.browser.waiting import until

# What waits is sent again, as happens every few seconds where there is no network.
TRIED_AGAIN = """async () => {
  dispatchEvent(new Event("online"));
  await new Promise((resolve) => setTimeout(resolve, 300));
}"""


def touch(page, outcome):
    page.get_by_role("button", name=outcome, exact=True).click()


def record(page):
    page.get_by_role("button", name=re.compile("^Record")).click()


def expect_last(page, words):
    """What the line at the thumb says of the answer given last; it stands on the page that follows too."""
    expect(page.locator("[data-last]")).to_contain_text(words)


def expect_all_sent(page):
    expect(page.locator("[data-sent]")).to_have_text(re.compile(r"all sent( \d\d:\d\d)?$"))


def shown(page):
    """The test, or list of tests, that the screen shows."""
    return page.locator(".point:visible")


def sign_off(page, name):
    page.get_by_label(re.compile("All vents closed")).check()
    page.get_by_label("signed on this phone").check()
    page.get_by_label("Name and function of who signs").fill(name)
    until(
        page, lambda: draws_a_signature(page)
    )  # the glass takes none before the numbers stand there, and they move it


def draws_a_signature(page, half_way=lambda: None):
    glass = page.locator("canvas")
    glass.scroll_into_view_if_needed()
    box = glass.bounding_box()
    page.mouse.move(box["x"] + 40, box["y"] + 80)
    page.mouse.down()
    page.mouse.move(box["x"] + 100, box["y"] + 55, steps=3)
    half_way()
    page.mouse.move(box["x"] + 160, box["y"] + 30, steps=3)
    page.mouse.up()
    return page.locator("[name=signature]").input_value()
