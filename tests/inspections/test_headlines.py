"""A building's headline: the worst of what is known of it, everywhere."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections.headlines import worst_first
from inspections.models import Severity
from inspections.overview import answers
from sites_registry.models import Building
from tests import builders


def inspected(days_ago=10, name="Anchor House"):
    building = builders.make_building(name=name)
    builders.make_finished_visit(building, finished_at=builders.days_ago(days_ago))
    return building


def marks_of(building):
    (found,) = worst_first(Building.objects.filter(pk=building.pk))
    return [state for state, _ in found.headline.marks]


@pytest.mark.parametrize(
    ("severity", "days_ago", "marks"),
    [
        (None, 10, ["in_date"]),
        (Severity.MINOR, 10, ["minor", "in_date"]),
        (Severity.DEGRADED, 10, ["degraded", "in_date"]),
        (Severity.IMPAIRED, 10, ["impaired", "in_date"]),
        (Severity.IMPAIRED, 400, ["impaired", "overdue"]),
        (Severity.DEGRADED, 400, ["overdue", "degraded"]),
        (Severity.DEGRADED, 350, ["degraded", "due_soon"]),
    ],
)
def test_the_worst_of_defect_and_date_stands_first(db, severity, days_ago, marks):
    building = inspected(days_ago)
    if severity:
        builders.make_defect(building, severity=severity)
        builders.make_defect(building, severity=Severity.ADVICE)
    assert marks_of(building) == marks


def test_a_closed_defect_is_not_counted(db):
    building = inspected()
    defect = builders.make_defect(building, severity=Severity.IMPAIRED)
    result = builders.make_result(builders.make_test_point(builders.make_visit(building)))
    type(defect).objects.filter(pk=defect.pk).update(closed_at=timezone.now(), closed_by_result=result)
    assert marks_of(building) == ["in_date"]


def test_what_is_out_of_service_is_never_headed_by_its_date(db):
    planned, late = inspected(), inspected()
    builders.make_log_entry(planned, kind="disablement")
    ended = timezone.now() - timedelta(hours=1)
    builders.make_log_entry(late, kind="disablement", happened_at=builders.days_ago(2), planned_end_at=ended)
    assert marks_of(planned) == ["out_of_service", "in_date"]
    assert marks_of(late) == ["past_planned_end", "in_date"]


def test_the_list_of_buildings_is_sorted_worst_first_unless_asked_otherwise(as_, town):
    inspected()
    builders.make_defect(inspected(name="Yew House"), severity=Severity.IMPAIRED)
    inspected(400, name="Zinc House")
    client, address = as_("office"), reverse("building-list")
    shown = client.get(address).content.decode()
    names = sorted(["Anchor House", "Yew House", "Zinc House"], key=shown.index)
    assert names == ["Yew House", "Zinc House", "Anchor House"]
    by_name = client.get(address, {"sort": "name"}).content.decode()
    assert by_name.index("Anchor House") < by_name.index("Yew House") < by_name.index("Zinc House")
    backwards = client.get(address, {"sort": "-state"}).content.decode()
    assert backwards.index("Anchor House") < backwards.index("Yew House")


def test_the_page_is_headed_by_the_worst_of_its_four_answers(as_, town):
    builders.make_defect(town.hall, town.finished, severity=Severity.IMPAIRED)
    response = as_("manager").get(town.hall.get_absolute_url())
    assert response.context["worst"].word == "smoke control impaired"
    head = response.content.decode().split('<header class="title-block">')[1].split("<h1>")[0]
    assert "smoke control impaired" in head


def test_an_inspection_past_its_date_was_due_and_is_not_to_come(as_, town):
    late = inspected(400, name="Zinc House")
    page = as_("office").get(late.get_absolute_url()).content.decode()
    assert "The inspection was due on" in page and "Next inspection by" not in page


@pytest.mark.parametrize(
    ("states", "worst"),
    [
        (["pass", "in_date", "meets"], "pass"),
        (["pass", "not_known", "in_date"], "not_known"),
        (["due_soon", "fail", "not_known"], "fail"),
        (["missing", "pass"], "missing"),
        (["impaired", "fail"], "impaired"),
    ],
)
def test_the_worst_answer_is_the_worst_by_its_tone_and_the_first_of_those_alike(states, worst):
    assert answers.worst_of(*(answers.Answer(state, state, "") for state in states)).state == worst
