"""The answers at the head of a zone's page: free area as the design check says it, units, positions tested."""

import re

import pytest
from django.urls import reverse
from django.utils import timezone

from tests import builders
from tests.zones.installations import make_installation

pytestmark = pytest.mark.django_db


@pytest.fixture
def zone(town):
    return make_installation(town.hall, tag="P7").zones[0]


def answers(as_, zone):
    """Heading → what stands under it, as one reads it."""
    page = as_("manager").get(reverse("zone-detail", args=[zone.building.slug, zone.number])).content.decode()
    part = page.split('<section class="answers"')[1].split("</section>")[0]
    words = [
        re.sub(r"\s+", " ", re.sub("<svg.*?</svg>|<[^>]+>", " ", one, flags=re.S)) for one in part.split("<h2>")[1:]
    ]
    return {heading: next(word for word in words if word.strip().startswith(heading)) for heading in HEADINGS}


HEADINGS = ("Free area", "Vents", "Units fitted", "Tested on a finished visit")


def test_a_zone_in_order_says_so(as_, zone):
    said = answers(as_, zone)
    assert "of 1.8 m² required" in said["Free area"] and "within the entered limit" in said["Free area"]
    assert "2 in 1 group" in said["Vents"] and "each has an actuator" in said["Vents"]
    assert "untested" in said["Tested on a finished visit"]


def test_too_small_a_free_area_is_not_met_and_by_how_much(as_, zone):
    zone.required_area_m2 = 50
    zone.save()
    area = answers(as_, zone)["Free area"]
    assert "not met" in area and "too little" in area


def test_without_a_required_area_the_free_area_is_not_known(as_, zone):
    zone.required_area_m2, zone.required_area_kind = None, ""
    zone.save()
    area = answers(as_, zone)["Free area"]
    assert area.count("not known") == 2  # figure and state


def test_where_only_the_replacement_air_fails_the_free_area_says_so(as_, zone):
    zone.vents.update(width_mm=None)  # what the outlets open is not known
    zone.inlet_ratio, zone.inlet_ratio_kind = 1, "geometric"
    zone.save()
    builders.make_vent(zone, tag="I1", purpose="inlet", opened_by="fixed", geometric_area_m2="0.10")
    area = answers(as_, zone)["Free area"]
    assert "not met" in area and "replacement air" in area


def test_a_vent_without_actuator_and_a_position_without_unit_are_named(as_, zone):
    builders.make_vent(zone, tag="V9")
    builders.make_position(zone.building, "actuator", smoke_zone=zone)
    said = answers(as_, zone)
    assert "no actuator recorded" in said["Vents"] and "V9" in said["Vents"]
    assert "not every unit recorded" in said["Units fitted"]


def test_only_what_a_finished_visit_saw_counts_as_tested(as_, zone):
    position = zone.positions.first()
    under_way = builders.make_visit(zone.building, state="under_way", started_at=timezone.now())
    builders.make_result(builders.make_test_point(under_way, position))
    assert "untested" in answers(as_, zone)["Tested on a finished visit"]
    builders.make_finished_visit(zone.building)
    tested = answers(as_, zone)["Tested on a finished visit"]
    assert f" {zone.positions.count()} of {zone.positions.count()} positions" in tested and "last" in tested
