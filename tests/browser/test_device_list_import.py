"""The import in a browser: with a progress bar piece by piece, and without scripts in one go."""

import pytest
from django.conf import settings
from django.urls import reverse
from playwright.sync_api import expect

from tests.browser.conftest import DESK
from tests.zones.device_lists.lists import csv_of
from zones.models import Position

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def choose_file(page, url, content):
    page.goto(url)
    page.get_by_label("Device list (.xlsx or .csv)").set_input_files(
        {"name": "list.csv", "mimeType": "text/csv", "buffer": content}
    )
    page.get_by_role("button", name="Read the file").click()
    page.get_by_role("button", name="Check the rows").click()


def test_a_long_list_shows_its_progress_and_comes_in(page_of, live_server, town):
    content = csv_of(*[(f"N{n}", "SD", "1") for n in range(1_200)], headings=("Ref", "Type", "Floor"))
    page = page_of("office", DESK)
    seen = []
    page.on("response", lambda response: seen.append(response.url) if response.url.endswith("/check/") else None)
    choose_file(page, live_server.url + reverse("device-list-import", args=[town.hall.slug]), content)
    page.get_by_role("button", name="Import 1200 rows").click()
    expect(page.get_by_text("Imported: list.csv.")).to_be_visible()
    assert len(seen) == 2  # the list was checked in two pieces
    assert Position.objects.filter(building=town.hall, tag__startswith="N").count() == 1_200


def test_the_import_works_without_scripts(browser, live_server, client, town):
    client.force_login(town.people["office"], backend="django.contrib.auth.backends.ModelBackend")
    context = browser.new_context(java_script_enabled=False)
    cookie = client.cookies[settings.SESSION_COOKIE_NAME].value
    context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": cookie, "url": live_server.url}])
    page = context.new_page()
    content = csv_of(("N1", "SD", "1"), ("N2", "blind", "1"), headings=("Ref", "Type", "Floor"))
    choose_file(page, live_server.url + reverse("device-list-import", args=[town.hall.slug]), content)
    page.get_by_role("button", name="Check all rows now").click()
    expect(page.get_by_text("Row 3, Kind:")).to_be_visible()
    assert not Position.objects.filter(tag="N1").exists()
    context.close()
