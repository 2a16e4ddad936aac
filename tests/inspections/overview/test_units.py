"""The page of a unit opens with its answers; a test counts for it only while it was fitted where the test was made."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from inspections.models import Severity
from tests import builders
from zones.models import Fitting

pytestmark = pytest.mark.django_db


def days_ago(days):
    return timezone.localdate() - timedelta(days=days)


@pytest.fixture
def position():
    return builders.make_position(builders.make_building(), "actuator", tag="M1")


@pytest.fixture
def fitting(position):
    return builders.fit(position, fitted_on=days_ago(800))


def answers_of(as_, unit, person="office"):
    return as_(person).get(unit.get_absolute_url()).context["answers"]


def test_it_is_in_service_where_it_is_fitted(as_, fitting):
    page = as_("office").get(fitting.unit.get_absolute_url())
    assert (page.context["answers"].service.state, page.context["answers"].service.word) == ("fitted", "in service")
    assert fitting.position.get_absolute_url() in page.content.decode()


@pytest.mark.parametrize("of", ["position", "zone", "another position"])
def test_what_is_out_of_service_at_its_position_or_zone_is_said(as_, fitting, of):
    building, where = fitting.position.building, {"position": fitting.position}
    if of == "zone":
        fitting.position.smoke_zone = builders.make_zone(building)
        fitting.position.save()
        where = {"smoke_zone": fitting.position.smoke_zone}
    if of == "another position":
        where = {"position": builders.make_position(building)}
    builders.make_log_entry(building, kind="disablement", **where)
    state = answers_of(as_, fitting.unit).service.state
    assert state == ("fitted" if of == "another position" else "out_of_service")


def test_in_store_it_is_said_where_it_was_last_and_nothing_is_due(as_, fitting):
    Fitting.objects.update(removed_on=days_ago(100))
    answers = answers_of(as_, fitting.unit)
    assert (answers.service.word, answers.due.word) == ("in store", "nothing due")
    assert "Last at M1" in answers.service.line


def test_a_unit_that_was_never_fitted_says_so_in_each_answer(as_, town):
    answers = answers_of(as_, builders.make_unit())
    assert (answers.worked.state, answers.age.word) == ("untested", "never fitted")
    assert answers.service.line == "It was never fitted."


def test_it_worked_when_its_points_passed(as_, fitting):
    builders.make_finished_visit(fitting.position.building)
    answers = answers_of(as_, fitting.unit)
    assert (answers.worked.state, answers.worked.word) == ("pass", "1 of 1 passed")
    assert [point.latest_result.outcome for point in answers.points] == ["pass"]


def test_a_failed_point_is_what_the_answer_says(as_, fitting):
    builders.make_finished_visit(fitting.position.building, outcome="fail")
    assert answers_of(as_, fitting.unit).worked.word == "1 of 1 point failed"


def test_a_pass_of_more_than_a_year_ago_is_no_pass(as_, fitting):
    builders.make_finished_visit(fitting.position.building, finished_at=builders.days_ago(400))
    assert answers_of(as_, fitting.unit).worked.state == "not_accessible"


def test_what_an_earlier_unit_showed_at_the_position_says_nothing_of_this_one(as_, position):
    builders.fit(position, fitted_on=days_ago(800), removed_on=days_ago(5))
    present = builders.fit(position, fitted_on=days_ago(5))
    builders.make_finished_visit(position.building, finished_at=builders.days_ago(30))
    answers = answers_of(as_, present.unit)
    assert (answers.worked.state, answers.points) == ("untested", [])


def test_nor_does_what_a_later_unit_showed_there(as_, position):
    earlier = builders.fit(position, fitted_on=days_ago(800), removed_on=days_ago(50))
    builders.fit(position, fitted_on=days_ago(50))
    builders.make_finished_visit(position.building, finished_at=builders.days_ago(30))
    assert answers_of(as_, earlier.unit).worked.state == "untested"


@pytest.mark.parametrize("asked_anew", [True, False])
def test_on_the_day_of_a_swap_only_what_was_asked_anew_counts(as_, position, asked_anew):
    swap_day = builders.days_ago(30)
    builders.fit(position, fitted_on=days_ago(800), removed_on=timezone.localdate(swap_day))
    present = builders.fit(position, fitted_on=timezone.localdate(swap_day))
    visit = builders.make_finished_visit(position.building, finished_at=swap_day)
    if asked_anew:
        visit.test_points.update(retest_since=swap_day, retest_reason="Unit swapped")
    assert answers_of(as_, present.unit).worked.state == ("pass" if asked_anew else "untested")


def test_a_point_that_waits_for_its_retest_keeps_the_answer_from_being_good(as_, fitting):
    visit = builders.make_finished_visit(fitting.position.building)
    builders.make_test_point(visit, fitting.position, code="stroke")
    answers = answers_of(as_, fitting.unit)
    assert (answers.worked.state, answers.worked.word) == ("not_accessible", "1 of 2 passed")


def test_the_worse_of_defect_and_due_date_is_the_answer(as_, fitting):
    building = fitting.position.building
    builders.make_finished_visit(building)
    assert answers_of(as_, fitting.unit).due.state == "in_date"
    builders.make_defect(building, position=fitting.position, severity=Severity.IMPAIRED, description="Does not open.")
    answers = answers_of(as_, fitting.unit)
    assert (answers.due.state, answers.due.line) == ("impaired", "Does not open.")
    assert answers.due.figures == "Next inspection: in date."


@pytest.mark.parametrize(
    ("life", "state"), [(None, "note"), (10, "in_date"), (Decimal("2.5"), "due_soon"), (2, "overdue")]
)
def test_its_age_is_counted_from_its_first_fitting_against_the_service_life(as_, fitting, life, state):
    model = fitting.unit.product_model
    model.service_life_years = life
    model.save()
    age = answers_of(as_, fitting.unit).age
    assert (age.state, age.word) == (state, "2.2 years since first fitted")  # 800 days


def test_a_manager_hears_nothing_of_where_else_it_was(as_, town):
    elsewhere = builders.fit(
        builders.make_position(builders.make_building(), tag="ELSEWHERE"),
        fitted_on=days_ago(90),
        removed_on=days_ago(60),
    )
    here = builders.fit(builders.make_position(town.hall), elsewhere.unit, fitted_on=days_ago(50))
    page = as_("manager").get(here.unit.get_absolute_url())
    assert "ELSEWHERE" not in page.content.decode()
    assert page.context["answers"].age.word == "0.1 years since first fitted"


def test_the_title_block_says_what_the_answers_do_not(as_, fitting):
    fitting.unit.batch = "23W01"
    fitting.unit.save()
    page = as_("office").get(fitting.unit.get_absolute_url()).text
    head = page.partition('<dl class="title-facts">')[2].partition("</dl>")[0]
    assert "23W01" in head
    assert fitting.position.building.name not in head
