"""The list of buildings: the same answers as on the page of each, as marks, for the rows that are shown."""

import pytest
from django.urls import reverse

from inspections.models import Outcome, VisitKind
from inspections.overview import answers
from inspections.overview.marks import marks_of
from tests import builders
from zones.models import DeviceKind

pytestmark = pytest.mark.django_db


@pytest.fixture
def building():
    return builders.make_building()


def marks(building):
    return marks_of([building])[building.pk]


def page_says(building):
    """What the page of the building says of its last test."""
    test = answers.last_test(building.visits.all())
    return answers.proven(test, answers.not_tested_lately(building)).state


def test_an_empty_building_has_nothing_fitted_measured_or_tested(building):
    found = marks(building)
    assert (found.fitted, found.readings, found.tested) == (
        ("missing", "no position"),
        ("not_known", "no reading"),
        ("untested", "not tested"),
    )


def test_units_are_counted_against_the_positions_that_have_a_place_for_one(building):
    builders.fit(builders.make_position(building))
    assert marks(building).fitted == ("fitted", "1 of 1")
    builders.make_position(building)
    builders.make_position(building, DeviceKind.JUNCTION_BOX)
    assert marks(building).fitted == ("missing", "1 of 2")


def test_readings_are_judged_by_the_limits_of_their_points(building):
    visit = builders.make_finished_visit(building)
    for code, reading in (("first", 50), ("second", 75)):
        point = builders.make_test_point(visit, code=code, upper_limit=60)
        builders.make_result(point, visit.engineer, reading=reading, seen_at=visit.finished_at)
    assert marks(building).readings == ("not_met", "1 outside")
    builders.make_finished_visit(building, finished_at=builders.days_ago(1))
    assert marks(building).readings == ("not_known", "no reading")


def test_the_last_test_is_marked_as_the_page_of_the_building_says_it(building):
    visit = builders.make_finished_visit(building)
    assert (marks(building).tested[0], page_says(building)) == ("pass", "pass")
    point = builders.make_test_point(visit, code="opening")
    builders.make_result(point, visit.engineer, outcome=Outcome.FAIL, seen_at=visit.finished_at)
    assert (marks(building).tested, page_says(building)) == (("fail", "1 point failed"), "fail")
    remedial = VisitKind.REMEDIAL
    builders.make_finished_visit(building, kind=remedial, finished_at=builders.days_ago(2))
    assert (marks(building).tested[0], page_says(building)) == ("fail", "fail")
    builders.make_finished_visit(building, finished_at=builders.days_ago(1))
    assert (marks(building).tested[0], page_says(building)) == ("pass", "pass")


def test_a_position_that_nobody_tested_for_a_year_is_marked(building):
    builders.make_finished_visit(building)
    builders.make_position(building)
    assert marks(building).tested == ("not_accessible", "1 not in 12 months")


def test_one_building_is_not_marked_by_what_another_has(building):
    other = builders.make_building()
    builders.fit(builders.make_position(other))
    builders.make_finished_visit(other)
    found = marks_of([building, other])
    assert found[building.pk] == marks(building)
    assert found[other.pk].tested[0] == "pass"


def test_the_words_of_a_mark_are_there_to_be_read_out(as_, town):
    page = as_("office").get(reverse("building-list")).content.decode()
    (words,) = {one.fitted[1] for one in marks_of([town.hall]).values()}
    assert words in page
