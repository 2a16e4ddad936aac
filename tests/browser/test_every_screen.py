"""Main pages of each person: readable by a screen reader, no sideways scrolling, nothing refused by the CSP."""

import pytest
from django.urls import reverse

from inspections.visits.edits import start_visit
from tests import builders
from tests.browser.accessibility import accessibility_faults
from tests.browser.conftest import DESK, PHONE

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

PAGES = {
    "office": (
        "home",
        "building-list",
        "building-detail",
        "position-list",
        "serial-list",
        "zone-detail",
        "panel-detail",
        "building-set-up",
        "device-list-import",
        "visit-list",
        "visit-create",
        "defect-list",
        "certificate-list",
        "certificate-detail",
        "unit-list",
        "unit-detail",
        "battery-list",
        "circuit-detail",
        "line-detail",
        "product-model-list",
        "job-list",
        "client-list",
        "person-list",
        "log-book",
        "due-list",
        "cable-list",
        "job-detail",
        "job-materials",
        "as-installed-list",
        "as-installed-changes",
    ),
    "engineer": (
        "home",
        "visit-detail",
        "building-detail",
        "position-detail",
        "floor-plan-detail",
        "protocol-list",
        "circuit-cables",
        "line-cables",
        "rule-matrix",
        "rule-list",
        "rule-cell",
        "coincidence-create",
        "simulator",
        "panel-proof",
        "rule-comparison",
    ),
    "manager": ("home", "building-detail", "log-book", "log-entry-create", "certificate-detail"),
}


@pytest.fixture
def address(town, live_server):
    from tests.access.test_urls import address_of

    return lambda name: live_server.url + address_of(name, town)


IN_THE_FIELD = (
    "visit-field",
    "visit-field-position",
    "visit-find",
    "visit-swap",
    "visit-settings",
    "visit-finish",
    "visit-instruments",
    "visit-floor-plan",
    "panel-wiring",
)
AT_400_PER_CENT = {"width": 320, "height": 256}  # CSS px of 1280 × 1024 (WCAG 2.2, 1.4.10)


@pytest.mark.parametrize("person", PAGES)
def test_pages_fit_a_phone(page_of, address, person):
    page = page_of(person)
    for name in PAGES[person]:
        page.goto(address(name))
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"], f"{name} scrolls sideways"


@pytest.mark.parametrize("person", PAGES)
def test_pages_are_free_of_accessibility_faults(page_of, address, person):
    page = page_of(person, DESK)
    for name in PAGES[person]:
        page.goto(address(name))
        assert accessibility_faults(page) == [], name


def test_the_public_check_and_the_log_in_page_are_too(context, town, live_server):
    page = context.new_page()
    for name, arguments in (("certificate-check", [town.certificate.token]), ("log-in", [])):
        page.goto(live_server.url + reverse(name, args=arguments))
        assert accessibility_faults(page) == [], name


def test_field_pages_scroll_one_way_at_400_per_cent_and_are_free_of_accessibility_faults(page_of, address, town):
    page = page_of("engineer", AT_400_PER_CENT)
    builders.make_terminal(town.panel)
    addresses = {name: address(name) for name in IN_THE_FIELD}
    start_visit(visit=town.visit, started_by=town.people["engineer"])
    faults = {}
    for name, its_address in addresses.items():
        page.goto(its_address)
        page.locator("details:not([open])").evaluate_all("folds => folds.forEach((fold) => (fold.open = true))")
        if (width := page.evaluate("document.documentElement.scrollWidth")) > AT_400_PER_CENT["width"]:
            faults[name] = f"{width} wide"
        if found := accessibility_faults(page, rules=None):
            faults[f"{name}, to axe"] = found
    assert faults == {}
