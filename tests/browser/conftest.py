"""Chromium over the live server: `page_of("engineer")` is a phone-sized page, logged in."""

import os
import shutil

import pytest
from django.conf import settings

PHONE = {"width": 390, "height": 844}


@pytest.fixture(scope="session")
def base_url():
    """In place of a plugin's fixture that this pytest warns of; addresses come from the live server."""
    return None


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args):
    # Debian's own browser; nothing is downloaded.
    return {**browser_type_launch_args, "executable_path": shutil.which("chromium"), "args": ["--no-sandbox"]}


@pytest.fixture(scope="session", autouse=True)
def database_beside_the_loop_of_the_browser():
    """The browser's tool keeps an event loop in this thread, which Django would refuse to work beside.

    For the session: the loop outlives each test, and so does the emptying of the database.
    """
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "1"
    yield
    del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


@pytest.fixture
def page_of(live_server, client, town, context):
    def log_in(name, size=PHONE):
        client.force_login(town.people[name], backend="django.contrib.auth.backends.ModelBackend")
        cookie = client.cookies[settings.SESSION_COOKIE_NAME].value
        context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": cookie, "url": live_server.url}])
        page = context.new_page()
        page.set_viewport_size(size)
        return page

    return log_in
