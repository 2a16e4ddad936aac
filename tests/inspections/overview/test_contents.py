"""Panels and zones on the page of a building: what of the four answers belongs to each."""

import math
from itertools import pairwise

import pytest

from inspections.overview import answers
from inspections.overview.contents import contents_of
from tests import builders
from tests.zones.installations import make_installation
from zones.design_check.checked import checked_building

pytestmark = pytest.mark.django_db


@pytest.fixture
def made():
    return make_installation()


def contents(building):
    test = answers.last_test(building.visits.all())
    old = answers.not_tested_lately(building.positions.all())
    return contents_of(building, checked_building(building), answers.places_of(building), test, old)


def rows(building):
    return {(row.tag, row.name): row for row in contents(building).rows}


def test_a_zone_stands_below_its_panel_with_what_it_has(made):
    zone = made.zones[0]
    first, second = contents(made.building).rows[:2]
    assert (first.record, second.record, second.is_zone) == (made.panel, zone, True)
    found = made.building.positions.filter(smoke_zone=zone).with_place_for_a_unit()
    assert (second.wanted, second.fitted) == (found.count(), found.count() - found.without_unit().count())


def test_a_panel_and_a_zone_within_their_limits_say_so(made):
    assert {row.limits for row in contents(made.building).rows if row.record} == {("meets", "within the limit")}


def test_a_fault_of_a_line_stands_at_its_zone_and_its_panel_but_not_at_another_zone():
    made = make_installation(circuits=2)
    line = made.lines[0]
    line.end_of_line_ohm = None
    line.save()
    limits = [row.limits[0] for row in contents(made.building).rows if row.record]
    assert limits == ["not_known", "not_known", "meets"]


def test_the_free_area_is_that_of_the_design_check_with_two_decimals(made):
    zone = made.zones[0]
    sums = [
        figure.value
        for finding in checked_building(made.building).all_findings
        if finding.code == "area.zone"
        for figure in finding.inputs
        if figure.name == "sum"
    ]
    row = next(row for row in contents(made.building).rows if row.is_zone)
    assert row.area == f"{math.floor(sums[0] * 100) / 100:.2f}"  # what is there is never rounded up
    assert row.required == f"{zone.required_area_m2:.2f}"


def test_a_free_area_that_cannot_be_known_is_said_to_be_so(made):
    made.zones[0].vents.update(width_mm=None, geometric_area_m2=None, aerodynamic_area_m2=None)
    row = next(row for row in contents(made.building).rows if row.is_zone)
    assert row.area == "not known"


def test_a_panel_counts_its_own_position_with_what_hangs_on_it(made):
    row = contents(made.building).rows[0]
    assert row.wanted == made.building.positions.with_place_for_a_unit().count()


def test_a_zone_and_a_position_on_no_panel_come_last_under_their_own_head(made):
    builders.make_zone(made.building, number=9, name="Annexe")
    builders.make_position(made.building, tag="SD90")
    *_, head, zone = contents(made.building).rows
    assert (head.name, head.wanted, head.fitted) == ("On no panel", 1, 0)
    assert (zone.name, zone.limits) == ("Annexe", ("not_known", "not checked"))


def test_what_was_never_tested_is_named_and_what_was_tested_has_its_day(made):
    building = made.building
    assert {row.tested[0] for row in contents(building).rows} == {"not_accessible"}
    visit = builders.make_finished_visit(building)
    point = builders.make_test_point(visit, made.panel.position)
    builders.make_result(point, visit.engineer, seen_at=visit.finished_at)
    assert {row.tested for row in contents(building).rows} == {("", f"{visit.finished_at:%-d %b %Y}")}
    builders.make_position(building, tag="SD90", panel=made.panel, smoke_zone=made.zones[0])
    assert rows(building)["P1", str(made.models["control_panel"])].tested == ("not_accessible", "SD90 never")


def test_a_building_with_nothing_has_no_rows():
    assert contents(builders.make_building()).rows == []


def many_zones(number, panels=1):
    """A building with zones that nothing is known of, spread over its panels."""
    building = builders.make_building()
    for place in range(panels):
        builders.make_panel(building, tag=f"P{place + 1}")
    for place in range(number):
        panel = building.panels.order_by("position__tag")[place % panels]
        builders.make_zone(building, number=place + 1, name=f"Bay {place + 1}", panel=panel)
    return building


def test_all_zones_of_a_small_building_stand_at_once():
    found = contents(many_zones(7))
    assert (found.at_once, found.folded, found.folded_states) == (found.rows, [], [])


@pytest.mark.parametrize(("zones", "panels"), [(8, 1), (12, 3), (64, 4)])
def test_of_many_zones_few_stand_at_once_and_the_rest_below_their_panels_in_the_fold(zones, panels):
    found = contents(many_zones(zones, panels))
    at_once, folded = [row for row in found.at_once if row.is_zone], [row for row in found.folded if row.is_zone]
    assert sorted([*at_once, *folded], key=found.rows.index) == [row for row in found.rows if row.is_zone]
    assert [row for row in found.at_once if not row.is_zone] == [row for row in found.rows if not row.is_zone]
    assert len(found.at_once) == max(5, panels + 2)
    assert all(head.record == zone.record.panel for head, zone in pairwise(found.folded) if not head.is_zone)
    assert found.zones_left == len(folded)


def test_the_worst_zones_stand_at_once_and_the_fold_says_the_state_of_the_others():
    made = make_installation(circuits=9)
    made.lines[7].end_of_line_ohm = None
    made.lines[7].save()
    found = contents(made.building)
    assert made.zones[7] in [row.record for row in found.at_once]
    assert dict(found.folded_states)["meets"] == "5 within the limit"
    assert dict(found.folded_states)["not_accessible"] == "5 not tested in a year"


def test_the_page_of_a_building_with_many_zones_names_each_of_them(as_):
    building = many_zones(12)
    page = as_("office").get(building.get_absolute_url()).content.decode()
    assert all(f"{zone.number} {zone.name}" in page for zone in building.smoke_zones.all())
    assert "8 more zones" in page
