"""Chromium over the live server: `page_of("engineer")` is a phone-sized page, logged in; `log_in` uses the real form.

Every test also fails on what a page complains of: a script that breaks, a rule of the content security policy that
something broke, a style sheet or script that is not there.
"""

import os
import shutil
import threading

import pytest
from django.conf import settings
from django.http import HttpResponse
from django.urls import reverse
from playwright.sync_api import expect

from sites_registry.middleware import WhoAndWhenMiddleware
from tests import builders
from tests.builders import PASSWORD

PHONE = {"width": 390, "height": 844}
DESK = {"width": 1440, "height": 900}

# What must come is waited for as long as it takes on a busy machine; a test that is stuck still ends.
PATIENCE_MS = 120_000
NEVER = 60  # seconds
expect.set_options(timeout=PATIENCE_MS)


@pytest.fixture(scope="session")
def base_url():
    """In place of a plugin's fixture that this pytest warns of; addresses come from the live server."""
    return None


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args):
    # Debian's own browser; nothing is downloaded.
    return {
        **browser_type_launch_args,
        "executable_path": shutil.which("chromium-headless-shell") or shutil.which("chromium"),
        "args": ["--no-sandbox"],
    }


@pytest.fixture(scope="session")
def browser_context_args(browser_context_args):
    # A page that a worker answers for is out of reach of `route`; phones.py has phones with one.
    return {**browser_context_args, "service_workers": "block"}


@pytest.fixture(scope="session", autouse=True)
def database_beside_the_loop_of_the_browser():
    """The browser's tool keeps an event loop in this thread, which Django would refuse to work beside.

    For the session: the loop outlives each test, and so does the emptying of the database.
    """
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "1"
    yield
    del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


def as_slow_as_asked(context):
    """BROWSER_SLOWDOWN=6: each page runs at a sixth of the machine's pace, where races show.

    Not the phones of phones.py: beside what slows it down a page that opens believes that there is a network.
    """
    context.set_default_timeout(PATIENCE_MS)
    if rate := float(os.environ.get("BROWSER_SLOWDOWN", "0")):

        def slow_down(page):
            context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": rate})

        context.on("page", slow_down)
        for page in context.pages:
            slow_down(page)
    return context


@pytest.fixture
def context(context):
    return as_slow_as_asked(context)


@pytest.fixture(autouse=True)
def no_page_complains(context):
    """What the browser says of a page of this test; a test that expects a complaint empties the list."""
    complaints = []

    def hear(message):
        # The browser says this of each answer with an error and of each lost connection; tests make both on purpose.
        if message.type == "error" and not message.text.startswith("Failed to load resource"):
            complaints.append(message.text)

    def look_at(response):
        if "/static/" in response.url and response.status >= 400:
            complaints.append(f"{response.status} {response.url}")

    context.on("console", hear)
    context.on("weberror", lambda error: complaints.append(str(error.error)))
    context.on("response", look_at)
    yield complaints
    assert not complaints


@pytest.fixture
def page_of(live_server, client, town, context):
    def page_of(name, size=PHONE):
        client.force_login(town.people[name], backend="django.contrib.auth.backends.ModelBackend")
        cookie = client.cookies[settings.SESSION_COOKIE_NAME].value
        context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": cookie, "url": live_server.url}])
        page = context.new_page()
        page.set_viewport_size(size)
        return page

    return page_of


@pytest.fixture
def log_in(live_server, town, context):
    """`log_in("engineer")`: through the log-in form, as a person does; slower than `page_of`."""

    def log_in(name, size=PHONE, password=PASSWORD):
        page = context.new_page()
        page.set_viewport_size(size)
        page.goto(live_server.url + reverse("log-in"))
        page.get_by_label("E-mail").fill(town.people[name].email)
        page.get_by_label("Password").fill(password)
        page.get_by_role("button", name="Log in").click()
        return page

    return log_in


@pytest.fixture
def address(town, live_server):
    from tests.access.test_urls import address_of

    return lambda name: live_server.url + address_of(name, town)


@pytest.fixture
def large(town):
    """Ropewalk Hall with twelve zones, fifty positions more, and names as long as they may reasonably be."""
    client = town.hall.client
    client.name = "Harbour and Riverside Building Preservation Trust, Skellmere"
    client.save()
    town.hall.name = "Former tannery and drying lofts at the upper basin, hall 123"
    town.hall.save()
    town.zone.name = "Drying loft above the counting house and the boiler room"
    town.zone.save()
    for number in range(2, 13):
        zone = builders.make_zone(town.hall, town.panel, number=number, name=f"Bay {number}")
        for _ in range(4):
            place = "in the ceiling of the passage between the counting house and the drying loft"
            builders.make_position(town.hall, smoke_zone=zone, panel=town.panel, storey=str(number), place=place)
    return town


@pytest.fixture
def phone(playwright, tmp_path, live_server, town):
    """A phone of the engineer, with the worker that answers without a network."""
    from tests.browser.phones import Phone

    phone = Phone(playwright, tmp_path / "profile", live_server.url)
    phone.log_in(town.people["engineer"])
    yield phone
    phone.switch_off()
    phone.line.close()


@pytest.fixture
def broken(monkeypatch):
    """Ends of addresses where the register answers 500; at the register, as a page's worker passes by `route`."""
    ends = []
    whole = WhoAndWhenMiddleware.__call__

    def answer(self, request):
        return HttpResponse(status=500) if request.path.endswith(tuple(ends)) else whole(self, request)

    monkeypatch.setattr(WhoAndWhenMiddleware, "__call__", answer)
    return ends


@pytest.fixture
def silent(monkeypatch):
    """For how many seconds the register says nothing, the last of the list; a test that is over waits no longer."""
    seconds, is_over = [], threading.Event()
    whole = WhoAndWhenMiddleware.__call__

    def answer(self, request):
        if seconds:
            is_over.wait(seconds[-1])
        return whole(self, request)

    monkeypatch.setattr(WhoAndWhenMiddleware, "__call__", answer)
    yield seconds
    is_over.set()
