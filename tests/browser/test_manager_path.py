"""The building manager on a phone: invited, sees own buildings only, takes the certificate, keeps the log."""

import re

import pytest
from django.core import mail
from django.urls import reverse
from playwright.sync_api import expect

from inspections.models import LogEntry
from sites_registry.models import Person
from sites_registry.services.people import invite
from tests import builders

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_the_link_in_the_mail_leads_to_own_building_and_to_no_other(town, context, live_server, settings):
    settings.PUBLIC_URL = live_server.url
    invite(
        email="new@tarn.example",
        full_name="Nell Ware",
        role="manager",
        buildings=[town.hall],
        invited_by=town.people["office"],
    )
    page = context.new_page()
    page.goto(re.search(r"http\S+", mail.outbox[0].body).group())
    for field in page.locator("input[type=password]").all():
        field.fill("ropes-and-tar-1907")
    with page.expect_navigation():
        page.locator("main form button.primary").click()
    page.goto(live_server.url)
    expect(page.locator("main")).to_contain_text("Ropewalk Hall")
    expect(page.locator("main")).not_to_contain_text("Mill House")
    assert Person.objects.get(email="new@tarn.example").role == "manager"
    assert page.goto(live_server.url + reverse("building-detail", args=["mill-house"])).status == 404


def test_the_certificate_is_two_touches_away(page_of, town, live_server):
    page = page_of("manager")
    page.goto(live_server.url)
    with page.expect_download() as download:
        page.get_by_role("link", name=re.compile(town.certificate.number)).click()
    assert download.value.suggested_filename == f"Ropewalk-Hall_inspection-certificate_{town.certificate.number}.pdf"


def test_a_weekly_check_goes_into_the_log_book(page_of, town, live_server):
    page = page_of("manager")
    page.goto(live_server.url + reverse("log-entry-create", args=[town.hall.slug]))
    page.locator("main form [name=kind]").select_option("weekly_check")
    page.locator("main form [name=what]").fill("Call point CP1 operated, vents opened.")
    page.get_by_label("in order", exact=True).check()
    page.locator("main form button.primary").click()
    expect(page.locator("main")).to_contain_text("Call point CP1 operated")
    assert LogEntry.objects.get().entered_by == town.people["manager"]


def test_a_disablement_that_is_over_is_ended(page_of, town, live_server):
    entry = builders.make_log_entry(town.hall, kind="disablement", what="Zone 1 off for roof works.")
    page = page_of("manager")
    page.goto(live_server.url)
    page.get_by_role("link", name=re.compile("Zone 1 off for roof works")).click()
    page.get_by_role("link", name="Note the end").click()
    page.get_by_label("How and by whom").fill("Zone 1 on again, tried with CP1; Mara Hollin.")
    page.get_by_role("button", name="Note the end").click()
    expect(page.locator("main")).to_contain_text("tried with CP1")
    entry.refresh_from_db()
    assert entry.ended_at is not None
