"""Which tests a phone offers to answer in one go: the same at several positions of a room, with nothing more to say."""

import pytest

from inspections.visits.ahead import ahead_of
from inspections.visits.alike import alike_of
from inspections.visits.edits import start_visit
from inspections.visits.walk import walk_of
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def detectors(town):
    places = [("SD11", "Store"), ("SD12", "Store"), ("SD13", "Store"), ("SD14", "Corridor")]
    return {
        tag: builders.make_position(town.hall, "smoke_detector", tag=tag, storey="7", room=room) for tag, room in places
    }


def tags_of(walk, alike):
    return [[walk.stops[stop].position.tag for _, stop in group["points"]] for group in alike["groups"]]


@pytest.fixture
def visit(town, detectors):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


def offered(visit):
    walk = walk_of(visit)
    return tags_of(walk, alike_of(visit, walk))


def test_the_same_test_in_one_room_is_offered_together(visit):
    assert offered(visit) == [["SD11", "SD12", "SD13"]]


def test_what_has_an_outcome_is_offered_no_more(visit, detectors):
    builders.make_result(visit.test_points.get(position=detectors["SD12"]))
    assert offered(visit) == [["SD11", "SD13"]]


def test_a_defect_that_stands_open_is_answered_by_itself(town, visit, detectors):
    builders.make_defect(town.hall, visit, position=detectors["SD11"])
    assert offered(visit) == [["SD12", "SD13"]]


def test_a_reading_is_answered_by_itself(visit):
    visit.test_points.update(quantity="line voltage")
    assert offered(visit) == []


def test_a_retest_is_answered_by_itself(visit, detectors):
    visit.test_points.filter(position=detectors["SD11"]).update(retest_since=visit.started_at)
    assert offered(visit) == [["SD12", "SD13"]]


def test_what_is_to_be_seen_differently_is_not_the_same_test(visit, detectors):
    visit.test_points.filter(position=detectors["SD11"]).update(expected="Another lamp lights")
    assert offered(visit) == []


def test_a_visit_not_started_yet_offers_the_same(town, detectors):
    ahead = ahead_of(town.visit)
    before = tags_of(ahead.walk, ahead.alike)
    assert before == offered(start_visit(visit=town.visit, started_by=town.people["engineer"]))
