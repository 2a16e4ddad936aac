"""Zone plan and device plan: an A3 sheet a storey, what is not on it listed, nothing that PDF/A forbids."""

import io
import subprocess

import pikepdf
import pytest
from django.urls import reverse

from tests import builders
from tests.zones.floor_plans.plans import add_plan, put

pytestmark = pytest.mark.django_db
A3_LANDSCAPE_MM = (420.0, 297.0)  # ISO 216
MM_PER_POINT = 25.4 / 72


@pytest.fixture
def planned(town):
    """Two storeys with plans; `SD31` has its place, `SD32` has none, storey 9 has no plan."""
    placed, _, _ = (
        builders.make_position(town.hall, tag=tag, storey=storey, smoke_zone=town.zone)
        for tag, storey in (("SD31", "7"), ("SD32", "7"), ("SD33", "9"))
    )
    for storey in ("7", "8"):
        plan = add_plan(town, storey=storey)
        if storey == "7":
            put(plan, placed, town.people["office"])
    return town


def text_of(content):
    done = subprocess.run(["pdftotext", "-layout", "-", "-"], input=content, capture_output=True, check=True)
    return " ".join(done.stdout.decode().split())


@pytest.mark.parametrize("name", ["zone-plan-pdf", "device-plan-pdf"])
def test_each_storey_with_a_plan_has_an_a3_sheet_and_what_is_not_on_it_is_listed(as_, planned, name):
    content = as_("manager").get(reverse(name, args=[planned.hall.slug])).content
    with pikepdf.open(io.BytesIO(content)) as pdf:
        sizes = [[float(value) * MM_PER_POINT for value in page.mediabox[2:]] for page in pdf.pages]
    assert sizes == [pytest.approx(A3_LANDSCAPE_MM, abs=0.1)] * 3
    text = text_of(content)
    assert "storey 7" in text and "Quay Housing" in text and "1 of 3" in text
    assert "Storey 7, without a place: SD32 (smoke detector)" in text
    assert "Storey 9, without a plan: 1 position" in text


def test_the_device_plan_names_devices_and_the_zone_plan_zones(as_, planned):
    client = as_("office")
    devices, zones = (
        text_of(client.get(reverse(name, args=[planned.hall.slug])).content)
        for name in ("device-plan-pdf", "zone-plan-pdf")
    )
    assert "SD31" in devices and "smoke detector · 1" in devices
    assert "Zone 1 · Main stair · 1" in zones
    assert "hull of the positions of a zone, not the limit of the fire compartment" in zones


def test_without_a_plan_the_paper_says_what_to_do(as_, town):
    response = as_("office").get(reverse("zone-plan-pdf", args=[town.hall.slug]), follow=True)
    assert "No floor plan of this building is kept yet." in response.content.decode()
