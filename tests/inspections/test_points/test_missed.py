"""'Not accessible' twice running rises one class and stands first on the next walk (handbook process.md §4)."""

import io
from datetime import timedelta

import pytest
from django.utils import timezone
from openpyxl import load_workbook

from inspections.certificates.statements import statement_of
from inspections.models import Severity
from inspections.test_points.missed import class_of_missed, missed_before
from inspections.visit_pages.report import visit_report_xlsx
from inspections.visits.edits import start_visit
from inspections.visits.walk import walk_of
from tests import builders

pytestmark = pytest.mark.django_db


def not_reached(town, days_ago, outcome="not_accessible"):
    """A finished visit on which the detector was not accessible, or came out so."""
    at = timezone.now() - timedelta(days=days_ago)
    visit = builders.make_visit(town.hall, state="finished", started_at=at, finished_at=at, job=town.job)
    visit.engineer = town.people["engineer"]
    visit.save()
    reason = "Flat locked." if outcome == "not_accessible" else ""
    point = builders.make_test_point(visit, town.detector)
    builders.make_result(point, visit.engineer, outcome=outcome, reason=reason, seen_at=at)
    return visit


def next_visit(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


def test_once_is_minor_and_twice_running_degraded():
    # Handbook process.md §4: twice running rises one class; that once is minor is common practice.
    assert [class_of_missed(times) for times in (1, 2, 3)] == [Severity.MINOR, Severity.DEGRADED, Severity.DEGRADED]


def test_what_was_missed_twice_running_stands_first_with_a_word_why(town):
    not_reached(town, 5)
    not_reached(town, 3)
    first, *others = walk_of(next_visit(town)).storeys
    assert (first.name, [stop.position.tag for stop in first.stops]) == (
        "first, as not accessible twice running",
        ["SD1"],
    )
    assert first.stops[0].missed_words == "degraded, as not accessible on 2 visits running"
    assert {stop.missed_words for storey in others for stop in storey.stops} == {""}


def test_missed_once_keeps_its_place(town):
    not_reached(town, 3)
    assert {stop.missed_words for stop in walk_of(next_visit(town)).stops} == {""}


@pytest.mark.parametrize("outcome", ["pass", "fail"])
def test_a_test_in_between_ends_the_run(town, outcome):
    for days, found in ((6, "not_accessible"), (5, outcome), (3, "not_accessible")):
        not_reached(town, days, found)
    assert missed_before(next_visit(town)) == {(town.detector.pk, "function"): 1}


def test_a_visit_that_did_not_ask_it_does_not_end_the_run(town):
    not_reached(town, 6)
    at = timezone.now() - timedelta(days=4)
    other = builders.make_visit(town.hall, state="finished", started_at=at, finished_at=at)
    builders.make_result(builders.make_test_point(other, town.call_point), seen_at=at)
    not_reached(town, 3)
    assert missed_before(next_visit(town)) == {(town.detector.pk, "function"): 2}


def test_certificate_and_report_name_the_class(town):
    not_reached(town, 6)
    visit = not_reached(town, 3)
    statement = statement_of(
        visit, scope="", exclusions="", capacity="", issued_by=town.people["office"], issued_on=timezone.localdate()
    )
    words = "degraded, as not accessible on 2 visits running"
    assert statement["not_reached"] == ["1 position not accessible, 1 of them on two visits running or more (degraded)"]
    assert statement["limited_because"][0] == statement["not_reached"][0]
    assert statement["not_tested"][0]["reason"] == f"Flat locked. · {words}"
    sheet = load_workbook(io.BytesIO(visit_report_xlsx(visit)))["Not reached"]
    assert words in {cell.value for row in sheet for cell in row}
