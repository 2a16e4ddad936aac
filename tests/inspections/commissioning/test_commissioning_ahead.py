"""A planned commissioning as a phone takes it along: with the plans that it takes over once it is started."""

from uuid import uuid4

import pytest
from django.urls import reverse

from inspections.models import CommissioningPlan, TestPoint
from inspections.models.test_points import Leg
from inspections.test_points.numbers_ahead import STEPS, made_of, step_numbers_ahead
from inspections.visits.ahead import ahead_of
from inspections.visits.edits import start_visit
from inspections.visits.results import take_answers
from inspections.visits.walk import walk_of
from tests import builders
from zones.cause_and_effect.edits import add_usual_rules
from zones.models import DetectionLine

pytestmark = pytest.mark.django_db


@pytest.fixture
def planned(small, town):
    """Of a building whose commissioning is under way: one more, not started."""
    return builders.make_visit(small.building, kind="commissioning", engineer=town.people["engineer"])


def start(visit):
    return start_visit(visit=visit, started_by=visit.engineer)


def said_by(point):
    step = getattr(point, "planned_step", None)
    place = point.done_at_id or point.position_id, point.leg == Leg.END
    return (
        *place,
        point.code,
        point.title,
        point.instruction,
        point.expected,
        point.order,
        point.leg,
        step and step.number,
    )


def test_it_asks_what_the_commissioning_asks_once_it_is_started(planned):
    ahead = ahead_of(planned)
    shown = [
        point
        for points in ahead.points_at({stop.position.pk for stop in ahead.walk.stops}).values()
        for point in points
    ]
    before = {said_by(point): point.limits_text for point in shown}
    stops = [(stop.url, stop.leg, stop.total) for stop in ahead.walk.stops]
    visit = start(planned)
    points = visit.test_points.select_related("planned_step")
    assert before == {said_by(point): point.limits_text for point in points}
    assert stops == [(stop.url, stop.leg, stop.total) for stop in walk_of(visit).stops]


def test_each_number_ahead_is_that_of_one_test_once_it_is_started(planned):
    ahead = {point.pk: (point.position_id, point.code) for point in ahead_of(planned).points_in_walking_order}
    visit = start(planned)
    points = {point.pk: (point.position_id, point.code) for point in visit.test_points.all()}
    made = made_of(visit, set(ahead))
    assert {number: points[made[number]] for number in ahead} == ahead
    assert all(-(2**53) < number < 0 for number in ahead)  # exact in a browser


def words_of(point):
    return (point.position_id, point.title, point.instruction, point.expected, point.quantity)


def put_a_step_in(building):
    """A call point on a line of two: steps of its own, others that say something else by it, and all behind move on."""
    panel, line = building.panels.get(), DetectionLine.objects.filter(panel__building=building).first()
    fields = {"panel": panel, "smoke_zone": line.smoke_zone, "detection_line": line}
    builders.make_position(building, "manual_call_point", tag="CP9", **fields)
    add_usual_rules(panel=panel)


def test_an_answer_stands_at_its_step_where_one_was_put_in_before_it_and_at_no_other(planned):
    steps = [point for point in ahead_of(planned).points_in_walking_order if point.pk <= -STEPS]
    put_a_step_in(planned.building)
    visit = start(planned)
    answers = [{"client_uuid": str(uuid4()), "test_point": step.pk, "outcome": "fail", "reading": ""} for step in steps]
    for answer in answers:
        answer["defect"] = {"severity": "minor", "description": "Not so"}
    fates = take_answers(visit=visit, person=visit.engineer, answers=answers)
    made = {point.pk: point for point in visit.test_points.all()}
    taken = [(step, made[fate.test_point_id]) for step, fate in zip(steps, fates, strict=True) if fate.fate == "taken"]
    assert all(words_of(step) == words_of(point) for step, point in taken)
    assert [step.title for step, point in taken if step.code != point.code] == [
        "In service: mains and battery",
        "In service: panel normal, vents closed",
        "In service: settings as recorded",
        "In service: linked plant, receiving centre",
    ]
    message = "was changed after the visit was taken along"
    changed = [step for step, fate in zip(steps, fates, strict=True) if message in fate.message]
    said = {words_of(point) for point in made.values()}
    assert changed and not any(words_of(step) in said for step in changed)


def test_of_steps_that_say_the_same_none_is_taken_for_another_once_there_is_one_more(planned):
    visit = start(planned)
    points = list(visit.test_points.filter(planned_step__isnull=False).select_related("planned_step__plan")[:2])
    steps = [point.planned_step for point in points]
    two = step_numbers_ahead(points[:1] * 2, steps[:1] * 2)
    three = step_numbers_ahead(points[:1] * 3, steps[:1] * 3)
    assert len({*two, *three, *step_numbers_ahead(points, steps)}) == 7


def test_every_page_of_it_comes_and_nothing_is_stored(as_, planned):
    before = TestPoint.objects.count(), CommissioningPlan.objects.count()
    client = as_("engineer")
    named = client.get(reverse("visit-taken-along", args=[planned.pk])).json()
    found, start_at = {}, 0
    while start_at is not None:
        answer = client.get(reverse("visit-taken-pages", args=[planned.pk]), {"from": start_at}).json()
        found.update(answer["pages"])
        start_at = answer["next"]
    assert (TestPoint.objects.count(), CommissioningPlan.objects.count()) == before
    assert {stop["url"] for stop in named["stops"]} <= set(found)
    assert set(named["pages"]) - set(found) == {reverse("visit-plan", args=[planned.pk])}
    last = next(url for url in found if url.endswith("/last/"))
    assert "Step " in found[last]
