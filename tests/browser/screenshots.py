"""Pictures of the main pages for the README, taken of the demo: `make screenshots`.

Loads the demo into a folder of its own, serves it on a free port, photographs it with Debian's Chromium, and writes
small PNG files into `.pictures/`.
"""

import io
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

from PIL import Image
from playwright.sync_api import sync_playwright

TOP = Path(__file__).resolve().parents[2]
PICTURES = TOP / ".pictures"
PASSWORD = "open-the-vents-2026"
DESK, PHONE = {"width": 1280, "height": 800}, {"width": 390, "height": 844}
CABLE = (
    "length_m=40&size=2.5&conductor_class=2&actuators=4&place=even&rated_current_a=1&minimum_voltage_v=18"
    "&mains_v=24&discharged_v=21"
)
SHOTS = (  # file, person, size, address
    ("building", "office", DESK, "/buildings/larch-tower/"),
    ("office-home", "office", DESK, "/"),
    ("device-list", "office", DESK, "/buildings/larch-tower/positions/"),
    ("engineer-home", "engineer", PHONE, "/"),
    ("field-form", "engineer", PHONE, "FIELD"),
    ("plots", "engineer", DESK, "PLOTS"),
    ("calculator", "engineer", PHONE, f"/calculator/voltage-drop/?{CABLE}"),
    ("simulator", "engineer", DESK, "SIMULATOR"),
    ("wiring-diagram", "engineer", DESK, "WIRING"),
    ("manager-home", "manager", PHONE, "/"),
)


def main():
    with tempfile.TemporaryDirectory() as data:
        environment = {**os.environ, "REGISTER_DEBUG": "1", "REGISTER_DATA_DIR": data}
        manage("migrate", "--verbosity", "0", environment=environment)
        manage("load_demo", environment=environment)
        port = free_port()
        server = subprocess.Popen(
            [sys.executable, "manage.py", "runserver", f"127.0.0.1:{port}", "--noreload"],
            cwd=TOP,
            env=environment,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        try:
            wait_for(f"http://127.0.0.1:{port}/log-in/")
            photograph(f"http://127.0.0.1:{port}")
        finally:
            server.terminate()


def manage(*arguments, environment):
    subprocess.run([sys.executable, "manage.py", *arguments], cwd=TOP, env=environment, check=True)


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def wait_for(address):
    for _ in range(60):
        try:
            urllib.request.urlopen(address).close()  # noqa: S310 - this machine only
            return
        except OSError:
            time.sleep(0.5)
    sys.exit(f"The register did not answer at {address}.")


def photograph(address):
    PICTURES.mkdir(exist_ok=True)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=shutil.which("chromium-headless-shell") or shutil.which("chromium"), args=["--no-sandbox"]
        )
        for name, person, size, path in SHOTS:
            page = browser.new_context(viewport=size).new_page()
            page.goto(address + "/log-in/")
            page.fill("[name=username]", f"{person}@skellmere.example")
            page.fill("[name=password]", PASSWORD)
            page.click("main button[type=submit]")
            page.goto(address + (path if path.startswith("/") else "/"))
            if path == "FIELD":
                open_field_form(page)
            elif path == "PLOTS":
                open_plots(page, address)
            elif path == "SIMULATOR":
                play_a_smoke_alarm(page, address)
            elif path == "WIRING":
                open_wiring_diagram(page, address)
            elif page.locator("#answer").count():
                show(page, page.locator("#answer"))
            keep(name, page.screenshot())
            page.context.close()
        browser.close()


def open_field_form(page):
    """The first visit under way, at its next open position."""
    page.locator(".big-list a").first.click()
    page.get_by_role("link", name="Open the field form").click()
    page.get_by_role("link", name="Go on with").click()


def open_plots(page, address):
    """The drawings of a panel with a cable that is long for its section and a battery that is too small."""
    page.goto(address + "/buildings/mariner-house/design-check/")
    page.get_by_role("link", name="P1", exact=True).first.click()
    folds = page.locator("details.plot-fold > summary")
    for k in (1, 2):
        folds.nth(k).click()
    show(page, page.locator("details.plot-fold").nth(1))


def play_a_smoke_alarm(page, address):
    """Ventilation, rain, then a call point: what closes, and what opens all the same."""
    open_panel(page, address, "ropewalk-hall", "Cause and effect")
    page.get_by_role("link", name="Simulator", exact=True).click()
    for name in ("VS2 says open", "RS1 reports rain", "CP3 operates"):
        page.get_by_role("button", name=name).click()
    show(page, page.get_by_role("status").first)


def open_wiring_diagram(page, address):
    open_panel(page, address, "beacon-court", "Wiring diagram", panel="P2")
    page.wait_for_timeout(500)


def open_panel(page, address, building, word, panel="P1"):
    """The page of a panel to which the entry of its bar that begins with `word` leads."""
    page.goto(f"{address}/buildings/{building}/")
    page.get_by_role("link", name=panel, exact=True).first.click()
    page.locator(".siblings a", has_text=word).first.click()


def show(page, part):
    """Bring a part of the page to the top, below the bar that stays there."""
    page.evaluate(
        "([y]) => window.scrollTo({ top: window.scrollY + y - 72, behavior: 'instant' })", [part.bounding_box()["y"]]
    )
    page.wait_for_timeout(200)


def keep(name, png):
    """Write the picture with at most 128 colours: a drawing-office page needs no more, and the file stays small."""
    picture = Image.open(io.BytesIO(png)).convert("RGB").quantize(128)
    picture.save(PICTURES / f"{name}.png", optimize=True)
    print(f".pictures/{name}.png: {(PICTURES / f'{name}.png').stat().st_size // 1024} KB")


if __name__ == "__main__":
    main()
