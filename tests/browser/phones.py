"""A phone of its own profile, and what its owner does with it where there is no network."""

import re
import shutil
import socket
from contextlib import suppress
from threading import Thread
from urllib.parse import urlsplit

from django.conf import settings
from django.test import Client
from django.urls import reverse
from playwright.sync_api import expect

from tests.browser.conftest import PATIENCE_MS, PHONE
from tests.browser.field_steps import touch


class Line:
    """What lies between a phone and the register, and can be cut.

    A browser's own "no network" does not reach a worker that starts after it.
    """

    def __init__(self, register):
        parts = urlsplit(register)
        self.register, self.is_cut, self._ends = (parts.hostname, parts.port), False, set()
        self._listener = socket.create_server(("localhost", 0))
        self.address = f"http://localhost:{self._listener.getsockname()[1]}"
        Thread(target=self._serve, daemon=True).start()

    def cut(self):
        self.is_cut = True
        for end in list(self._ends):
            _hang_up(end)

    def mend(self):
        self.is_cut = False

    def close(self):
        self.cut()
        _hang_up(self._listener)

    def _serve(self):
        with suppress(OSError):  # the end of the listener
            while True:
                self._answer(self._listener.accept()[0])

    def _answer(self, phone):
        if self.is_cut:
            return _hang_up(phone)
        register = socket.create_connection(self.register)
        self._ends |= {phone, register}
        for source, sink in ((phone, register), (register, phone)):
            Thread(target=self._pass_on, args=(source, sink), daemon=True).start()
        return None

    def _pass_on(self, source, sink):
        with suppress(OSError):
            while data := source.recv(65536):
                sink.sendall(data)
        for end in (source, sink):
            self._ends.discard(end)
            _hang_up(end)


def _hang_up(end):
    with suppress(OSError):
        end.shutdown(socket.SHUT_RDWR)
    end.close()


class Phone:
    """One browser profile: what it keeps lies on disk, over the end of the browser."""

    def __init__(self, playwright, folder, register, arguments=()):
        self.playwright, self.folder, self.arguments = playwright, folder, arguments
        self.line = Line(register)
        self.address = self.line.address
        self.browser = None
        self.switch_on()

    def switch_on(self):
        self.browser = self.playwright.chromium.launch_persistent_context(
            str(self.folder),
            executable_path=shutil.which("chromium-headless-shell") or shutil.which("chromium"),
            args=["--no-sandbox", *self.arguments],
            viewport=PHONE,
        )
        self.browser.set_default_timeout(PATIENCE_MS)
        self.page = self.browser.pages[0]
        self.page.on("dialog", lambda dialog: dialog.accept())

    def switch_off(self):
        self.browser.close()

    def log_in(self, person):
        client = Client()
        client.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
        cookie = client.cookies[settings.SESSION_COOKIE_NAME]
        self.browser.add_cookies(
            [{"name": cookie.key, "value": cookie.value, "url": self.address, "expires": 2_000_000_000}]
        )

    def lose_network(self):
        self.line.cut()
        self.browser.set_offline(True)  # by which its pages hear of it

    def find_network(self):
        self.line.mend()
        self.browser.set_offline(False)

    def open(self, name, *arguments):
        self.page.goto(self.address + reverse(name, args=arguments))


def take_along(phone, visit, patience_ms=PATIENCE_MS):
    phone.open("visit-field", visit.pk)
    expect(phone.page.locator("[data-kept-words]")).to_contain_text("This visit is on this phone", timeout=patience_ms)


def answer(page):
    """Pass the test on the screen, with its reading where it takes one, and wait until it is kept."""
    expect(page.locator("[data-sent]")).not_to_be_empty()  # the page has counted what this phone keeps
    before = int(page.locator("[data-progress-text]").inner_text().split()[0])
    reading = page.locator(".point:visible input[name=reading]")
    if reading.count():
        reading.fill("27.3")
    touch(page, "Pass")
    expect(page.locator("[data-progress-text]")).to_have_text(re.compile(f"^{before + 1} of"))


def answer_and_go_on(page):
    """Answer the only open test of a position; the next position comes up by itself."""
    here = page.url.split("#")[0]
    answer(page)
    page.wait_for_url(lambda url: not url.startswith(here))
