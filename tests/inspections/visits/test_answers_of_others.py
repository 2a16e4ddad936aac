"""Who answered and is not the engineer of the visit is shown, and told so where the visit was theirs before."""

import json
import uuid

import pytest
from django.urls import reverse

from inspections.models import Visit
from inspections.visits.edits import start_visit
from tests import builders


@pytest.fixture
def visit(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


@pytest.fixture
def colleague():
    return builders.make_person("engineer", full_name="Ada Quill")


def give_to(visit, person):
    kept = Visit.objects.get(pk=visit.pk)
    kept.engineer = person
    kept.save()


def send(client, visit, position):
    point = visit.test_points.get(position=position)
    answer = {"client_uuid": str(uuid.uuid4()), "test_point": point.pk, "outcome": "pass"}
    url = reverse("visit-answers", args=[visit.pk])
    response = client.post(url, json.dumps({"answers": [answer]}), content_type="application/json")
    return response.json()["verdicts"][0]


def test_an_engineer_whose_visit_was_given_to_another_meanwhile_is_told_and_shown(as_, visit, colleague, town):
    give_to(visit, colleague)
    verdict = send(as_("engineer"), visit, town.detector)
    assert verdict["fate"] == "taken"
    assert verdict["notes"] == ["This visit is given to Ada Quill now. Your answer is recorded under your name."]
    page = as_("office").get(reverse("visit-detail", args=[visit.pk])).text
    assert "somebody else than the engineer of this visit" in page and f"{town.people['engineer']} (1 answer)." in page


def test_the_engineer_of_the_visit_is_told_nothing(as_, visit, town):
    assert send(as_("engineer"), visit, town.detector)["notes"] == []
    assert "somebody else than" not in as_("office").get(reverse("visit-detail", args=[visit.pk])).text


def test_a_colleague_who_helps_is_shown_and_not_told(as_, visit, colleague, client, town):
    client.force_login(colleague)
    assert send(client, visit, town.detector)["notes"] == []
    assert "Ada Quill (1 answer)." in as_("office").get(reverse("visit-detail", args=[visit.pk])).text
