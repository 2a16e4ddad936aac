"""Waits for what a page does or has done, as `expect` of Playwright waits for what it shows."""

import time

from tests.browser.conftest import PATIENCE_MS


def until(page, told):
    """What `told()` gives as soon as it is true; what the browser tells comes meanwhile, and the register works on."""
    given_up = time.monotonic() + PATIENCE_MS / 1000
    while not (found := told()):
        assert time.monotonic() < given_up, f"{page.url}: has not come in {PATIENCE_MS / 1000:.0f} s"
        page.wait_for_timeout(20)
    return found


def hold(page, addresses, **options):
    """Keep back what a page (or a context) asks for there; what is returned waits for it and gives its route."""
    kept = []
    page.route(addresses, lambda route: kept.append(route), **options)
    return lambda page=page: until(page, lambda: kept)[0]
