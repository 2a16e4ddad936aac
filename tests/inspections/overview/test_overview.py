"""A building's answers on limits and on the last test: no green without what it rests on."""

import pytest
from django.utils import timezone

from inspections.models import Outcome, VisitKind
from inspections.overview import answers
from tests import builders
from tests.zones.installations import make_installation
from zones.design_check.checked import checked_building

pytestmark = pytest.mark.django_db


@pytest.fixture
def building():
    return builders.make_building()


@pytest.fixture
def failed(building):
    """The point that failed at the inspection ten days ago, with the defect it opened; a second one passed."""
    visit = builders.make_finished_visit(building)
    point = builders.make_test_point(visit, builders.make_position(building), code="opening-time", upper_limit=60)
    result = builders.make_result(point, visit.engineer, outcome=Outcome.FAIL, reading=75, seen_at=visit.finished_at)
    builders.make_defect(building, visit, found_by_result=result, position=point.position)
    return point


def remedial(building, finished_at=None, **result):
    """A remedial visit, finished yesterday, at which one point passed."""
    visit = builders.make_finished_visit(
        building, kind=VisitKind.REMEDIAL, finished_at=finished_at or builders.days_ago(1)
    )
    point = builders.make_test_point(visit, builders.make_position(building), code="retest")
    return builders.make_result(point, visit.engineer, **result)


def last_test(building):
    return answers.last_test(building.visits.all())


def proven(building):
    return answers.proven(last_test(building), answers.not_tested_lately(building.positions.all()))


def readings(building):
    test = last_test(building)
    return test.judged, test.outside


def within_limits(building):
    return answers.within_limits(checked_building(building), last_test(building))


def test_a_remedial_visit_elsewhere_does_not_hide_a_point_that_failed_at_the_inspection(building, failed):
    remedial(building)
    answer = proven(building)
    assert (answer.state, answer.word) == ("fail", "1 of 5 points failed")
    assert answer.line.startswith("Periodic inspection finished on ")
    assert ", then remedial work finished on " in answer.line
    assert readings(building) == (1, 1)


def test_a_failed_point_is_put_right_when_a_result_closed_its_defect(building, failed):
    result = remedial(building)
    defect = failed.latest_result.defect
    defect.closed_at, defect.closed_by_result = timezone.now(), result
    defect.save()
    assert proven(building).state == "pass"
    assert readings(building) == (0, 0)


def test_the_next_inspection_stands_for_itself(building, failed):
    builders.make_finished_visit(building, finished_at=builders.days_ago(1))
    assert proven(building).state == "pass"


def test_a_position_that_the_last_visit_left_out_is_named(building, failed):
    result = remedial(building)
    defect = failed.latest_result.defect
    defect.closed_at, defect.closed_by_result = timezone.now(), result
    defect.save()
    builders.make_position(building, tag="SD90")
    answer = proven(building)
    assert (answer.state, answer.word) == ("not_accessible", "1 position not tested")
    assert answer.line.startswith("SD90: not for 12 months.")


def test_without_a_finished_visit_nothing_is_proven(building):
    builders.make_visit(building)
    assert (proven(building).state, proven(building).word) == ("untested", "not tested")


def test_a_design_within_its_limits_is_not_called_so_of_readings_that_nobody_took():
    building = make_installation().building
    answer = within_limits(building)
    assert (answer.state, answer.word) == ("not_known", "design within the entered limits, nothing measured")
    visit = builders.make_finished_visit(building)
    point = visit.test_points.first()
    point.upper_limit = 60
    point.save()
    builders.make_result(point, visit.engineer, reading=50, seen_at=visit.finished_at)
    answer = within_limits(building)
    assert (answer.state, answer.word) == ("meets", "design and readings within the entered limits")
    assert "1 reading of the last visit" in answer.line
