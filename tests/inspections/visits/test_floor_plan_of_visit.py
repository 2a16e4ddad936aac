"""The plan of a storey on a visit: states at their places, the order of the walk, what is left."""

import re

import pytest
from django.urls import reverse

from inspections.visits.edits import start_visit
from inspections.visits.results import take_answers
from tests import builders
from tests.zones.floor_plans.plans import add_plan, put

pytestmark = pytest.mark.django_db


@pytest.fixture
def walked(town):
    """Storey 7 with three call points, the first two on its plan, and a visit that asks them."""
    town.points = [
        builders.make_position(town.hall, "manual_call_point", tag=f"CP4{number}", storey="7") for number in (1, 2, 3)
    ]
    town.plan = add_plan(town, storey="7")
    for number, position in enumerate(town.points[:2], start=1):
        put(town.plan, position, town.people["office"], x=number / 10, y=0.5)
    town.visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    return town


def answer(town, position, outcome, **more):
    for number, point in enumerate(town.visit.test_points.filter(position=position)):
        take_answers(
            visit=town.visit,
            person=town.people["engineer"],
            answers=[{"client_uuid": f"{point.pk:031}{number}", "test_point": point.pk, "outcome": outcome, **more}],
        )


def shown(as_, town):
    url = reverse("visit-floor-plan", args=[town.visit.pk, town.plan.pk])
    return as_("engineer").get(url).content.decode()


def said(html):
    """What is said of each pin."""
    return re.findall(r'<a href="[^"]+" aria-label="([^"]+)">', html)


def test_each_pin_says_how_far_its_tests_are_and_leads_to_them(as_, walked):
    answer(walked, walked.points[0], "pass")
    answer(walked, walked.points[1], "not_accessible", reason="Locked, caretaker told.")
    html = shown(as_, walked)
    assert said(html) == ["CP41, manual call point, done", "CP42, manual call point, not accessible"]
    assert reverse("visit-field-position", args=[walked.visit.pk, walked.points[0].pk]) in html


def test_the_route_joins_positions_in_the_order_of_the_walk(as_, walked):
    html = " ".join(shown(as_, walked).split())
    assert re.findall('<line x1="([^"]+)" y1="([^"]+)" x2="([^"]+)" y2="([^"]+)"', html) == [
        ("10.000%", "50.000%", "20.000%", "50.000%")
    ]


def test_what_remains_on_the_storey_counts_positions_without_a_place_too(as_, walked):
    html = shown(as_, walked)
    total = walked.visit.test_points.filter(position__in=walked.points).count()
    assert f"{total} of {total} tests remaining" in html
    assert "CP43" in html.split("Without a place on the plan")[1]


def test_a_position_that_the_visit_does_not_ask_is_said_to_be_so(as_, walked):
    later = builders.make_position(walked.hall, "manual_call_point", tag="CP49", storey="7")
    put(walked.plan, later, walked.people["office"])
    assert "CP49, manual call point, not on this visit" in said(shown(as_, walked))


def test_the_walk_leads_to_the_plan_and_a_phone_takes_it_along(as_, walked):
    client = as_("engineer")
    url = reverse("visit-floor-plan", args=[walked.visit.pk, walked.plan.pk])
    assert url in client.get(reverse("visit-field", args=[walked.visit.pk])).content.decode()
    along = client.get(reverse("visit-taken-along", args=[walked.visit.pk])).json()
    assert url in along["pages"] and along["pictures"] == [walked.plan.picture_url]


def test_a_planned_visit_that_is_taken_along_has_its_tests_on_the_plan_ahead(as_, walked):
    planned = builders.make_visit(walked.hall, job=walked.job, engineer=walked.people["engineer"])
    url = reverse("visit-floor-plan", args=[planned.pk, walked.plan.pk])
    client, pages, start = as_("engineer"), {}, 0
    while start is not None:
        answer = client.get(reverse("visit-taken-pages", args=[planned.pk]), {"from": start}).json()
        pages.update(answer["pages"])
        start = answer["next"]
    assert any("0 of" in words for words in said(pages[url])) and "remaining" in pages[url]


def test_a_plan_of_another_building_is_not_found(as_, walked):
    other = add_plan(walked, storey="2")
    other.building = walked.mill
    other.save()
    assert as_("engineer").get(reverse("visit-floor-plan", args=[walked.visit.pk, other.pk])).status_code == 404
