"""A planned visit as a phone takes it along: as it would be under way, to be started without a network."""

import json
import re
from uuid import uuid4

import pytest
from django.urls import reverse

from inspections.models import ProtocolCheck, TestPoint
from inspections.test_points.numbers_ahead import number_ahead
from inspections.visits.ahead import ahead_of
from inspections.visits.edits import start_visit
from inspections.visits.results import take_answers

pytestmark = pytest.mark.django_db


def pages(client, visit):
    found, start = {}, 0
    while start is not None:
        answer = client.get(reverse("visit-taken-pages", args=[visit.pk]), {"from": start}).json()
        found.update(answer["pages"])
        start = answer["next"]
    return found


def data_of(page):
    return json.loads(re.search(r'id="field-data" type="application/json">(.*?)</script>', page).group(1))


def test_it_asks_what_the_visit_asks_once_it_is_started(town):
    ahead = ahead_of(town.visit)
    shown = {(stop.position.pk, stop.total) for stop in ahead.walk.stops}
    limits = {
        (point.position_id, point.code): point.limits_text
        for points in ahead.points_at({stop.position.pk for stop in ahead.walk.stops}).values()
        for point in points
    }
    started = start_visit(visit=town.visit, started_by=town.people["engineer"])
    points = list(started.test_points.all())
    assert shown == {(pk, len([p for p in points if p.position_id == pk])) for pk in {p.position_id for p in points}}
    assert limits == {(point.position_id, point.code): point.limits_text for point in points}


def test_taking_it_along_starts_and_stores_nothing(as_, town):
    before = TestPoint.objects.count()
    found = pages(as_("engineer"), town.visit)
    town.visit.refresh_from_db()
    assert (town.visit.state, TestPoint.objects.count()) == ("planned", before)
    page = data_of(found[reverse("visit-field-position", args=[town.visit.pk, town.detector.pk])])
    assert page["starts"] == reverse("visit-start", args=[town.visit.pk])
    assert all(point["id"] < 0 for point in page["points"]) and page["points"]
    assert reverse("visit-swap", args=[town.visit.pk, town.detector.pk]) in found
    assert "3 test points without an outcome" in found[reverse("visit-finish", args=[town.visit.pk])]
    walk = found[reverse("visit-field", args=[town.visit.pk])]
    assert "Not started yet." in walk and "Begin with" in walk


def answer_ahead(town, check):
    return {"client_uuid": str(uuid4()), "test_point": number_ahead(town.detector.pk, check), "outcome": "pass"}


@pytest.fixture
def check(town):
    return ProtocolCheck.objects.get(protocol=town.protocol, device_kind=town.detector.kind)


def test_an_answer_given_ahead_stands_at_its_test_once_the_visit_is_started(town, check):
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    (fate,) = take_answers(visit=visit, person=town.people["engineer"], answers=[answer_ahead(town, check.pk)])
    assert fate.fate == "taken"
    assert visit.test_points.get(position=town.detector).latest_result.outcome == "pass"


def test_an_answer_to_what_is_not_asked_any_more_is_refused_with_the_reason(town, check):
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    (fate,) = take_answers(visit=visit, person=town.people["engineer"], answers=[answer_ahead(town, check.pk + 99)])
    assert (fate.fate, fate.message) == (
        "refused",
        "Visit 2 does not ask this test: the record or the protocol was changed after the visit was taken along.",
    )


@pytest.mark.parametrize("number", [-1, -(10**30), -True, [-5], {"a": -5}, "-5", -0.5])
def test_a_strange_number_is_refused_and_no_fault(town, number):
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    answer = {"client_uuid": str(uuid4()), "test_point": number, "outcome": "pass"}
    (fate,) = take_answers(visit=visit, person=town.people["engineer"], answers=[answer])
    assert fate.fate == "refused"


def test_a_visit_that_cannot_be_started_comes_as_it_stands(as_, town):
    town.protocol.state = "draft"
    town.protocol.save()
    assert ahead_of(town.visit) is None
    assert "has not been started" in pages(as_("engineer"), town.visit)[reverse("visit-field", args=[town.visit.pk])]
