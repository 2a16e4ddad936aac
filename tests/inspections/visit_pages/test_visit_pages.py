"""Pages of visits: plan, change, call off, start, finish, list."""

import re
from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections.models import Visit
from inspections.visits.edits import start_visit
from sites_registry.models import Job
from tests import builders

SIGNED_ON_PAPER = {"is_restored": "on", "how": "paper", "witness": "Ada Wray, caretaker"}


@pytest.fixture
def started(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


def plan(client, town, **fields):
    fields = {"building": town.mill.pk, "kind": "inspection", "planned_on": timezone.localdate(), **fields}
    return client.post(reverse("visit-create"), fields)


def test_planning_a_visit_opens_its_service_job(as_, town):
    response = plan(as_("office"), town, engineer=town.people["engineer"].pk)
    visit = Visit.objects.get(building=town.mill)
    assert response.status_code == 302 and response.url == visit.get_absolute_url()
    assert (visit.engineer, visit.job.kind) == (town.people["engineer"], Job.Kind.SERVICE)


def test_the_form_sent_twice_plans_one_visit(as_, town):
    key = "2f1b0e5e-1d3c-4e51-8f3a-0d6a0f5b7a11"
    first, second = (plan(as_("office"), town, submission_key=key) for _ in range(2))
    assert first.url == second.url
    assert Visit.objects.filter(building=town.mill).count() == 1


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("planned_on", "2009-01-01", "1 Jan 2009 is more than a year ago"),
        ("planned_on", "9999-12-31", "five years ahead"),
        ("planned_on", "soon", "is not a day. Write it as 3 Mar 2026."),
        ("building", "999999", "not one of the available choices"),
        ("engineer", "x", "not one of the available choices"),
        ("kind", "party", "not one of the available choices"),
        ("witness", "a\x00b", "Null characters are not allowed."),
        ("witness", "x" * 121, "at most 120 characters"),
    ],
)
def test_what_cannot_be_planned_is_told_and_nothing_is_stored(as_, town, field, value, sentence):
    response = plan(as_("office"), town, **{field: value})
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert not Visit.objects.filter(building=town.mill).exists()
    assert not Job.objects.filter(building=town.mill).exists()


def test_a_job_of_another_building_is_refused(as_, town):
    response = plan(as_("office"), town, job=town.job.pk)
    assert response.status_code == 422
    assert f"Job {town.job.number} is for Ropewalk Hall. Choose a job of Mill House" in response.content.decode()


def test_a_visit_is_moved_to_another_day(as_, town):
    day = timezone.localdate() + timedelta(days=30)
    response = as_("office").post(
        reverse("visit-update", args=[town.visit.pk]),
        {"planned_on": day, "engineer": "", "job": town.job.pk, "seen_version": town.visit.row_version},
    )
    town.visit.refresh_from_db()
    assert response.status_code == 302
    assert (town.visit.planned_on, town.visit.engineer) == (day, None)


def test_of_two_people_the_second_is_told(as_, town):
    response = as_("office").post(
        reverse("visit-update", args=[town.visit.pk]),
        {"planned_on": timezone.localdate(), "job": town.job.pk, "seen_version": town.visit.row_version - 1},
    )
    assert response.status_code == 422
    assert "Changed meanwhile" in response.content.decode()


def test_a_finished_visit_is_not_changed(as_, town):
    Visit.objects.filter(pk=town.visit.pk).update(state="finished", finished_at=timezone.now())
    response = as_("office").post(
        reverse("visit-update", args=[town.visit.pk]),
        {"planned_on": timezone.localdate(), "job": town.job.pk, "seen_version": town.visit.row_version},
    )
    town.visit.refresh_from_db()
    assert response.status_code == 422
    assert town.visit.planned_on == date(2026, 3, 2)


def test_calling_off_asks_for_a_reason(as_, town):
    url = reverse("visit-call-off", args=[town.visit.pk])
    assert as_("office").post(url, {"reason": " "}).status_code == 422
    as_("office").post(url, {"reason": "Roof closed by snow."})
    town.visit.refresh_from_db()
    assert (town.visit.state, town.visit.called_off_reason) == ("called_off", "Roof closed by snow.")


def test_starting_leads_to_the_field_form(as_, town):
    response = as_("engineer").post(reverse("visit-start", args=[town.visit.pk]))
    assert response.url == reverse("visit-field", args=[town.visit.pk])
    assert town.visit.test_points.count() == 3


def test_finishing_with_open_points_names_them_and_finishes_nothing(as_, town, started):
    response = as_("engineer").post(
        reverse("visit-finish", args=[started.pk]), SIGNED_ON_PAPER | {"seen_version": started.row_version}
    )
    page = response.content.decode()
    started.refresh_from_db()
    assert response.status_code == 422
    assert "3 test points have no outcome yet" in page
    assert reverse("visit-field-position", args=[started.pk, town.detector.pk]) in page
    assert started.state == "under_way"


def test_a_visit_under_way_leads_to_its_end_once(as_, started):
    page = as_("engineer").get(started.get_absolute_url()).content.decode()
    assert page.count(f'href="{reverse("visit-finish", args=[started.pk])}"') == 1


def test_finishing_keeps_the_instruments(as_, town, started):
    for point in started.test_points.all():
        builders.make_result(point, recorded_by=town.people["engineer"])
    response = as_("engineer").post(
        reverse("visit-finish", args=[started.pk]),
        SIGNED_ON_PAPER | {"instruments": "Meter M-7, until 2027-01", "seen_version": started.row_version},
    )
    started.refresh_from_db()
    assert response.status_code == 302
    assert (started.state, started.instruments) == ("finished", "Meter M-7, until 2027-01")


def test_finishing_asks_whether_everything_is_restored(as_, town, started):
    for point in started.test_points.all():
        builders.make_result(point, recorded_by=town.people["engineer"])
    response = as_("engineer").post(reverse("visit-finish", args=[started.pk]), {"seen_version": started.row_version})
    started.refresh_from_db()
    assert response.status_code == 422 and started.state == "under_way"


def test_finishing_points_out_an_impaired_defect_that_nobody_was_told_of(as_, town, started):
    builders.make_defect(town.hall, started, severity="impaired")
    page = as_("engineer").get(reverse("visit-finish", args=[started.pk])).content.decode()
    assert "Tell the responsible person in writing before you leave" in page


def test_a_position_put_in_use_later_is_brought_in(as_, town, started):
    builders.make_position(town.hall, tag="SD2")
    as_("engineer").post(reverse("visit-positions-add", args=[started.pk]), {"all": "1"})
    assert started.test_points.filter(position__tag="SD2").exists()


def test_positions_of_another_building_are_not_brought_in(as_, town, started):
    elsewhere = builders.make_position(town.mill)
    url = reverse("visit-positions-add", args=[started.pk])
    as_("engineer").post(url, {"positions": [elsewhere.pk, "x", "9" * 40]})
    assert not started.test_points.filter(position=elsewhere).exists()


@pytest.mark.parametrize(
    ("query", "is_shown"),
    [
        ({"state": "planned"}, True),
        ({"state": "finished"}, False),
        ({"kind": "inspection"}, True),
        ({"kind": "remedial"}, False),
        ({"building": "rope"}, True),
        ({"building": "mill"}, False),
        ({"planned_from": "2026-03-02", "planned_to": "2026-03-02"}, True),
        ({"planned_from": "2026-03-03"}, False),
    ],
)
def test_the_list_shows_what_is_asked_for(as_, town, query, is_shown):
    page = as_("office").get(reverse("visit-list"), query).content.decode()
    assert (town.visit.get_absolute_url() in page) is is_shown


@pytest.mark.parametrize("query", [{"planned_from": "x"}, {"engineer": "9" * 30}, {"state": "x"}, {"page": "x"}])
def test_a_filter_that_makes_no_sense_is_no_server_error(as_, town, query):
    assert as_("office").get(reverse("visit-list"), query).status_code in (200, 404)


def test_a_manager_sees_visits_of_own_buildings_only(as_, town):
    elsewhere = builders.make_visit(town.mill)
    page = as_("manager").get(reverse("visit-list")).content.decode()
    assert town.visit.get_absolute_url() in page
    assert elsewhere.get_absolute_url() not in page


def test_a_manager_does_not_see_the_firms_notes(as_, town):
    Visit.objects.filter(pk=town.visit.pk).update(notes="Quote for new heads.")
    url = town.visit.get_absolute_url()
    assert "Quote for new heads." in as_("office").get(url).content.decode()
    assert "Quote for new heads." not in as_("manager").get(url).content.decode()


def test_an_address_beyond_any_number_is_not_found(as_, town):
    assert as_("office").get(f"/visits/{'9' * 30}/").status_code == 404


def test_the_list_begins_with_what_is_under_way_then_the_next_then_what_is_over(town, started):
    far = builders.make_visit(town.hall, planned_on=date(2027, 9, 1))
    near = builders.make_visit(town.hall, planned_on=date(2027, 2, 1))
    old, older = (
        builders.make_visit(town.hall, planned_on=date(year, 2, 1), state="finished", finished_at=timezone.now())
        for year in (2025, 2024)
    )
    listed = Visit.objects.exclude(pk=town.finished.pk).soonest_first()
    assert list(listed) == [started, near, far, old, older]


def test_the_visits_of_a_building_lead_the_firm_to_their_jobs(as_, town):
    url = reverse("building-visits", args=[town.hall.slug])
    to_the_job = f'href="{town.visit.job.get_absolute_url()}"'
    assert to_the_job in as_("office").get(url).content.decode()
    assert to_the_job not in as_("manager").get(url).content.decode()


@pytest.mark.parametrize(
    ("person", "kind", "is_certified", "leads"),
    [
        ("office", "inspection", False, True),
        ("office", "inspection", True, False),
        ("office", "remedial", False, False),
        ("engineer", "inspection", False, False),
    ],
)
def test_a_finished_visit_leads_the_office_to_its_certificate(as_, town, person, kind, is_certified, leads):
    visit = builders.make_finished_visit(town.hall, kind=kind)
    if is_certified:
        builders.make_certificate(visit)
    page = as_(person).get(visit.get_absolute_url()).content.decode()
    assert (reverse("certificate-issue", args=[visit.pk]) in page) == leads


def test_tests_without_an_outcome_stand_under_their_own_head_and_nobodys_name(as_, town, started):
    result = builders.make_result(started.test_points.get(position=town.detector), town.people["engineer"])
    for number in range(3):
        builders.make_test_point(started, town.detector, code=f"open-{number}", title=f"open {number}")
    page = as_("office").get(started.get_absolute_url()).content.decode()
    heads = [" ".join(head.split()) for head in re.findall(r'<th scope="rowgroup"[^>]*>(.*?)</th>', page, re.S)]
    assert result.recorded_by.full_name in page and heads == ["No outcome yet"]
