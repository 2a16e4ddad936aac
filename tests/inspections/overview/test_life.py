"""The life line of a building: what of its record stands on it, and the same in words."""

from datetime import timedelta

import pytest
from django.utils import timezone

from inspections.headlines import headline_of, with_headline
from inspections.models import VisitKind
from inspections.overview.life import life_of
from sites_registry.models import Building
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def building():
    return builders.make_building(inspection_interval_months=12)


def life(building):
    found = with_headline(Building.objects.filter(pk=building.pk)).get()
    return life_of(found, list(building.visits.all()), headline_of(found, soon_days=30).due)


def kinds(building):
    return [mark.kind for mark in life(building).drawings["wide"].marks]


def words(building):
    return {word.kind: word.text for word in life(building).drawings["wide"].words if word.kind != "year"}


def commissioned(building, days=800):
    kind = VisitKind.COMMISSIONING
    return builders.make_finished_visit(building, kind=kind, finished_at=builders.days_ago(days))


def test_a_building_without_a_visit_has_no_life_line(building):
    assert life(building) is None


def test_one_visit_makes_a_line_that_ends_with_what_is_due(building):
    commissioned(building, days=10)
    assert kinds(building) == ["commissioned", "due"]
    assert words(building).keys() == {"commissioned", "due", "today"}


def test_visits_stand_by_their_kind_and_only_the_last_inspection_is_named(building):
    commissioned(building)
    for days in (400, 30):
        builders.make_finished_visit(building, finished_at=builders.days_ago(days))
    builders.make_finished_visit(building, kind=VisitKind.REMEDIAL, finished_at=builders.days_ago(100))
    assert kinds(building) == ["commissioned", "inspected", "remedial", "inspected", "due"]
    named = [word for word in life(building).drawings["wide"].words if word.kind == "inspected"]
    assert len(named) == 1
    assert named[0].at == life(building).drawings["wide"].marks[3].at


def test_an_inspection_that_is_overdue_was_due(building):
    commissioned(building)
    due_on = life(building).rows[1][0]
    assert words(building)["overdue"] == f"was due {due_on:%-d %b %Y}"
    assert life(building).rows[1][1] == "next inspection was due"


def test_defects_of_a_day_are_told_together_with_when_the_last_was_closed(building):
    visit, found_at = commissioned(building, days=300), builders.days_ago(120)
    for days in (3, 21):
        point = builders.make_test_point(visit, code=f"after-{days}-days")
        result = builders.make_result(point, visit.engineer)
        builders.make_defect(
            building, visit, found_at=found_at, closed_at=found_at + timedelta(days=days), closed_by_result=result
        )
    assert words(building)["defect closed"] == "2 defects, closed 21 days later"
    builders.make_defect(building, visit, found_at=found_at)
    assert words(building)["defect"] == "3 defects, 1 open"


def test_a_visit_planned_ahead_stands_on_the_line_and_one_that_was_missed_does_not(building):
    today = timezone.localdate()
    builders.make_visit(building, planned_on=today - timedelta(days=5))
    assert life(building) is None
    builders.make_visit(building, planned_on=today + timedelta(days=5))
    assert kinds(building) == ["planned"]


def test_the_list_says_all_that_is_drawn_in_the_order_of_the_days(building):
    commissioned(building)
    builders.make_defect(building, building.visits.get())
    rows = life(building).rows
    assert [day for day, _ in rows] == sorted(day for day, _ in rows)
    assert {said for _, said in rows} >= {
        "commissioning finished",
        "1 defect, open",
        "today",
        "next inspection was due",
    }
