"""The office at a desk: from a new client to a serial found again, from a finished visit to a certificate."""

import re

import openpyxl
import pytest
from django.urls import reverse
from playwright.sync_api import expect

from inspections.models import Certificate
from sites_registry.models import Building, Client, Job
from tests import builders
from tests.browser.conftest import DESK
from zones.models import ControlPanel, Position, SmokeZone

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def desk(page_of, live_server):
    page = page_of("office", DESK)
    page.address = live_server.url
    page.goto(page.address)
    return page


def field(page, name):
    return page.locator(f"main form [name={name}]")


def save(page):
    page.locator("main form button.primary").first.click()


def test_from_a_new_client_to_a_serial_found_again(desk):
    desk.goto(desk.address + reverse("client-create"))
    field(desk, "name").fill("Beacon Housing")
    save(desk)
    desk.get_by_role("link", name="Add a building").first.click()
    field(desk, "name").fill("Beacon Court")
    save(desk)
    expect(desk.get_by_role("heading", name="Beacon Court")).to_be_visible()
    building = Building.objects.get(name="Beacon Court")
    assert building.client == Client.objects.get(name="Beacon Housing")

    desk.goto(desk.address + reverse("panel-create", args=[building.slug]))
    field(desk, "tag").fill("P1")
    save(desk)
    expect(desk.get_by_role("heading", name="P1")).to_be_visible()
    assert ControlPanel.objects.get(building=building).tag == "P1"

    desk.goto(desk.address + reverse("zone-create", args=[building.slug]))
    field(desk, "number").fill("1")
    field(desk, "name").fill("Stair")
    save(desk)
    expect(desk.get_by_role("heading", name="Stair")).to_be_visible()
    assert SmokeZone.objects.get(building=building).name == "Stair"


def test_serials_go_in_by_typing_and_enter_and_are_found_from_any_page(desk, town):
    model = builders.make_product_model("manual_call_point", name="RB-1")
    town.call_point.product_model = model
    town.call_point.save()
    desk.goto(desk.address + reverse("serial-list", args=[town.hall.slug]))
    field = desk.get_by_role("textbox", name=re.compile("CP1"))
    field.fill("TW-4711")
    field.press("Enter")
    expect(desk.locator("main")).to_contain_text("1 saved")
    desk.get_by_role("searchbox").fill("tw-4711")
    desk.get_by_role("searchbox").press("Enter")
    expect(desk).to_have_url(re.compile("/units/"))
    expect(desk.locator("main")).to_contain_text("Ropewalk Hall")


@pytest.fixture
def schedule(tmp_path):
    """Writes a device schedule and returns its path."""

    def write(*rows):
        book = openpyxl.Workbook()
        book.active.append(["Tag", "Kind", "Zone no.", "Zone name", "Storey", "Maker", "Model", "Serial"])
        for row in rows:
            book.active.append(row)
        path = tmp_path / "schedule.xlsx"
        book.save(path)
        return path

    return write


def test_a_faulty_schedule_names_its_faults_and_the_corrected_one_goes_in_whole(desk, town, schedule):
    good = ("SD21", "smoke detector", 1, "Main stair", "2", "Tarn Works", "OD 9", "Q-1")
    bad = ("SD22", "teleporter", 1, "Main stair", "2", "Tarn Works", "OD 9", "Q-2")
    upload(desk, town, schedule(good, bad))
    expect(desk.locator("main")).to_contain_text("'teleporter' is not a kind of device")
    assert not Position.objects.filter(tag="SD21").exists()

    corrected = (*bad[:1], "smoke detector", *bad[2:])
    upload(desk, town, schedule(good, corrected))
    desk.get_by_role("button", name=re.compile("^Import")).click()
    expect(desk.locator("main")).to_contain_text("SD21")
    assert Position.objects.filter(building=town.hall, tag__in=["SD21", "SD22"]).count() == 2


def upload(page, town, path):
    page.goto(page.address + reverse("device-list-import", args=[town.hall.slug]))
    page.locator("input[type=file]").set_input_files(path)
    save(page)
    page.get_by_role("button", name="Check the rows").click()
    expect(page.get_by_role("heading", name="Preview of the import")).to_be_visible()
    expect(page.locator(".figures")).to_be_visible()


def accept_what_stands(page):
    """Tick every matter group by group, say why, and come back to the page of the certificate."""
    expect(page.get_by_role("heading", name="No certificate yet")).to_be_visible()
    boxes = page.locator(".matter-list input")
    page.get_by_role("button", name=re.compile("^Tick all")).first.click()
    expect(boxes.first).to_be_checked()
    for box in boxes.all():
        box.check()
    page.get_by_label("Why it is accepted as it stands").fill("Agreed with the client; put right in May.")
    fold = page.locator("[data-choices] details").first
    fold.locator("summary").click()
    page.get_by_role("button", name="Accept what is ticked").click()
    expect(fold).to_have_attribute("open", "")  # what is ticked is accepted with its words in sight
    page.get_by_role("button", name="Accept what is ticked").click()
    expect(page.get_by_role("heading", name="Issue certificate")).to_be_visible()


def test_a_certificate_is_read_issued_checked_in_public_and_revoked(desk, town, context):
    visit = builders.make_finished_visit(town.hall, engineer=town.people["engineer"], job=town.job)
    desk.goto(desk.address + reverse("certificate-issue", args=[visit.pk]))
    accept_what_stands(desk)
    save(desk)
    expect(desk.locator("form.form-page")).to_contain_text("Read the text below, then tick this.")
    desk.get_by_label("Nothing is excluded.").check()
    desk.get_by_label(re.compile("I have read the whole text")).check()
    save(desk)
    expect(desk).to_have_url(re.compile("/certificates/"))
    certificate = Certificate.objects.get(visit=visit)
    expect(desk.get_by_role("heading", name=certificate.number)).to_be_visible()

    stranger = context.browser.new_context().new_page()
    stranger.goto(desk.address + reverse("certificate-check", args=[certificate.token]))
    expect(stranger.locator("main")).to_contain_text("genuine, not withdrawn")
    desk.get_by_role("link", name="Revoke").click()
    desk.get_by_label("Reason").fill("Wrong device list.")
    desk.get_by_role("button", name="Revoke certificate").click()
    expect(desk.locator("main")).to_contain_text("Wrong device list.")
    stranger.reload()
    expect(stranger.locator("main")).to_contain_text("revoked")
    stranger.context.close()


def test_a_double_click_on_save_makes_one_job(desk, town):
    before = Job.objects.count()
    desk.goto(desk.address + reverse("job-create") + f"?building={town.hall.slug}")
    field(desk, "building").select_option(str(town.hall.pk))
    field(desk, "kind").select_option("service")
    field(desk, "scope").fill("Yearly service.")
    desk.locator("main form button.primary").first.dblclick()
    expect(desk).to_have_url(re.compile("/jobs/J-"))
    assert Job.objects.count() == before + 1


def test_the_second_of_two_people_sees_both_entries_and_loses_nothing(desk, town):
    address = desk.address + reverse("client-update", args=[town.quay_housing.pk])
    desk.goto(address)
    other = desk.context.new_page()
    other.goto(address)
    field(other, "phone").fill("0000 555 111")
    save(other)
    other.wait_for_url(lambda url: url != address)
    field(desk, "phone").fill("0000 555 222")
    save(desk)
    expect(desk.get_by_role("alert").first).to_contain_text("0000 555 111")
    expect(field(desk, "phone")).to_have_value("0000 555 222")
    save(desk)
    expect(desk.get_by_role("alert")).to_have_count(0)
    town.quay_housing.refresh_from_db()
    assert town.quay_housing.phone == "0000 555 222"


def test_going_back_after_saving_and_saving_again_makes_no_second_job(desk, town):
    before = Job.objects.count()
    desk.goto(desk.address + reverse("job-create") + f"?building={town.hall.slug}")
    field(desk, "building").select_option(str(town.hall.pk))
    field(desk, "kind").select_option("service")
    field(desk, "scope").fill("Yearly service.")
    save(desk)
    expect(desk).to_have_url(re.compile("/jobs/J-"))
    desk.go_back()
    expect(field(desk, "scope")).to_be_visible()
    field(desk, "kind").select_option("service")
    field(desk, "scope").fill("Yearly service.")
    save(desk)
    expect(desk).to_have_url(re.compile("/jobs/J-"))
    expect(desk.get_by_role("status")).to_contain_text("sent before")
    assert Job.objects.count() == before + 1
