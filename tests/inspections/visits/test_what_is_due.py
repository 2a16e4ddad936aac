"""A visit of what is due: it asks that alone, says so, and hides nothing that an earlier visit found."""

from datetime import timedelta
from uuid import uuid4

import pytest
from dateutil.relativedelta import relativedelta
from django.core.exceptions import ValidationError
from django.urls import reverse
from django.utils import timezone

from inspections.certificates.statements import statement_of
from inspections.models import LogEntry, ProtocolCheck, Visit, VisitKind
from inspections.models.protocols import DoneBy, Interval
from inspections.overview.answers import last_test
from inspections.visits.edits import VisitRefused, finish_visit, plan_visit, positions_not_asked, start_visit
from inspections.visits.results import take_answers
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def quarterly(town):
    """The hall every three months; its function checks are spread, and four detectors more are there."""
    town.hall.inspection_interval_months = 3
    town.hall.save()
    ProtocolCheck.objects.filter(code="function").update(is_spread=True)
    for number in range(2, 6):
        builders.make_position(town.hall, "smoke_detector", tag=f"SD{number}", walking_order=number)
    return town


def due_visit(town, **fields):
    today = timezone.localdate()
    visit = plan_visit(building=town.hall, kind=VisitKind.INSPECTION, planned_on=today, extent="due", **fields)
    return start_visit(visit=visit, started_by=town.people["engineer"])


def answer_all(visit, person, outcome="pass", **more):
    answers = [
        {
            "client_uuid": str(uuid4()),
            "test_point": point.pk,
            "outcome": outcome,
            "seen_at": timezone.now().isoformat(),
            **more,
        }
        | ({"reading": "27.3"} if point.quantity and outcome == "pass" else {})
        for point in visit.test_points.all()
    ]
    assert {verdict.fate.value for verdict in take_answers(visit=visit, person=person, answers=answers)} == {"taken"}
    return finish_visit(visit=visit, finished_by=person)


def asked_of(visit):
    return sorted(visit.test_points.values_list("position__tag", "code"))


def test_it_asks_what_was_never_tested_and_a_share_of_the_spread_checks(quarterly):
    # SD1 and CP1 were tested ten days ago; four detectors and the panel never. A quarter of five detectors is two.
    assert asked_of(due_visit(quarterly)) == [("P1", "charger-voltage"), ("SD2", "function"), ("SD3", "function")]


def test_the_next_one_goes_on_with_the_others(quarterly):
    answer_all(due_visit(quarterly), quarterly.people["engineer"])
    assert asked_of(due_visit(quarterly)) == [("SD4", "function"), ("SD5", "function")]


def test_what_was_not_accessible_is_asked_again(quarterly):
    answer_all(due_visit(quarterly), quarterly.people["engineer"], "not_accessible", reason="Locked.")
    assert [tag for tag, _ in asked_of(due_visit(quarterly))] == ["P1", "SD2", "SD3", "SD4", "SD5"]


def test_a_unit_fitted_since_its_last_test_was_never_tested(quarterly):
    quarterly.fitting.fitted_on = timezone.localdate() - timedelta(days=1)
    quarterly.fitting.save()
    assert ("SD1", "function") in asked_of(due_visit(quarterly))


def test_nothing_due_is_said_and_changes_nothing(quarterly):
    ProtocolCheck.objects.exclude(device_kind="manual_call_point").delete()
    ProtocolCheck.objects.update(is_spread=False)
    with pytest.raises(VisitRefused, match="Nothing falls due at Ropewalk Hall before"):
        due_visit(quarterly)
    planned = Visit.objects.get(extent="due")
    assert (planned.state, planned.due_before, planned.protocol) == ("planned", None, None)


def test_only_an_inspection_asks_what_is_due(town):
    with pytest.raises(ValidationError, match="Only a periodic inspection"):
        plan_visit(building=town.hall, kind="commissioning", planned_on=timezone.localdate(), extent="due")


def test_a_check_of_the_user_is_asked_of_no_visit(quarterly):
    ProtocolCheck.objects.filter(device_kind="control_panel").update(
        interval=Interval.WEEKLY, done_by=DoneBy.USER, is_spread=False
    )
    assert "P1" not in {
        tag for tag, _ in asked_of(start_visit(visit=quarterly.visit, started_by=quarterly.people["engineer"]))
    }


def test_what_is_not_due_is_not_called_new(quarterly):
    visit = due_visit(quarterly)
    assert not positions_not_asked(visit).exists()
    new = builders.make_position(quarterly.hall, "smoke_detector", tag="SD9")
    assert positions_not_asked(visit).get() == new


def test_certificate_and_visit_page_say_that_a_part_was_asked(quarterly, as_):
    visit = answer_all(due_visit(quarterly), quarterly.people["engineer"])
    words = f"3 of 7 checks: what falls due before {visit.due_before:%-d %b %Y}."
    today = timezone.localdate()
    statement = statement_of(
        visit, scope="", exclusions="", capacity="", issued_by=quarterly.people["office"], issued_on=today
    )
    assert statement["visit"]["asked"].startswith(words)
    assert words in as_("office").get(visit.get_absolute_url()).text


def test_a_fail_of_an_earlier_visit_stands_until_it_was_tested_again(town):
    engineer, before = town.people["engineer"], timezone.now() - timedelta(days=5)
    whole = builders.make_finished_visit(town.hall, outcome="fail", finished_at=before, engineer=engineer)
    at = timezone.now()
    part = builders.make_visit(town.hall, extent="due", state="finished", started_at=at, finished_at=at)
    builders.make_result(builders.make_test_point(part, town.call_point), engineer, seen_at=at)
    # The detector was not tested again.
    assert last_test([whole, part]).outcomes == {"fail": 1, "pass": 1}


def test_the_plan_of_a_visit_says_what_it_would_ask(quarterly, as_):
    visit = plan_visit(building=quarterly.hall, kind="inspection", planned_on=timezone.localdate(), extent="due")
    assert "3 of 7 checks if it were started today" in as_("office").get(visit.get_absolute_url()).text


def test_the_page_of_a_position_says_when_its_checks_are_due(quarterly, as_):
    last = timezone.localtime(quarterly.finished.finished_at).date()
    page = as_("manager").get(reverse("position-detail", args=[quarterly.detector.pk])).text
    assert f"{last + relativedelta(years=1):%-d %b %Y}" in page


def test_the_log_book_says_which_check_of_the_user_is_due(town, as_):
    ProtocolCheck.objects.filter(device_kind="manual_call_point").update(
        interval=Interval.WEEKLY, done_by=DoneBy.USER, title="Weekly test"
    )
    page = reverse("log-book", args=[town.hall.slug])
    assert "not made yet" in as_("manager").get(page).text.split('id="checks"')[1]
    builders.make_log_entry(
        town.hall,
        kind=LogEntry.Kind.WEEKLY_CHECK,
        position=town.call_point,
        check_result="in_order",
        happened_at=timezone.now() - timedelta(days=9),
    )
    assert "overdue by 2 days" in as_("manager").get(page).text.split('id="checks"')[1]
