"""The visit report says what the register says, as PDF and as spreadsheet."""

import io
from datetime import date

import pytest
from django.urls import reverse
from openpyxl import load_workbook

from inspections.visits.edits import start_visit
from inspections.visits.results import take_answers
from tests import builders
from tests.inspections.visits.test_results import answer
from tests.sites_registry.documents.test_base import words_of


@pytest.fixture
def visit(town):
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    charger = visit.test_points.get(code="charger-voltage")
    smoke, call_point = (visit.test_points.get(position=p) for p in (town.detector, town.call_point))
    verdicts = take_answers(
        visit=visit,
        person=town.people["engineer"],
        answers=[
            answer(charger, reading="27.25"),
            answer(smoke, "fail", defect={"severity": "degraded", "description": "=Slow head"}),
            answer(call_point, "not_accessible", reason="Behind a locked door."),
        ],
    )
    assert {verdict.fate for verdict in verdicts} == {"taken"}
    return visit


def sheets(response):
    workbook = load_workbook(io.BytesIO(response.content))
    return {sheet.title: [tuple(cell.value for cell in row) for row in sheet.rows] for sheet in workbook}


def test_the_spreadsheet_holds_record_defects_and_what_was_not_reached(as_, town, visit):
    response = as_("manager").get(reverse("visit-report-spreadsheet", args=[visit.pk]))
    found = sheets(response)
    record = {row[0]: row for row in found["Test record"][1:]}
    # Columns of the test record: handbook process.md §6, row 11.
    wanted = ["Tag", "Test", "Expected", "Found", "Reading", "Unit", "Limit", "Last time", "By", "At"]
    assert [heading for heading in found["Test record"][0] if heading in wanted] == wanted
    assert record["P1"][7:10] == (27.25, "V", "27 to 27.6 V")
    assert record["P1"][4] == "live work"
    assert [row[0] for row in found["Not reached"][1:]] == ["CP1"]
    assert found["Defects"][1][3] == "'=Slow head"


def test_the_spreadsheet_has_the_name_that_a_person_would_give(as_, town, visit):
    response = as_("office").get(reverse("visit-report-spreadsheet", args=[visit.pk]))
    assert f'"Ropewalk-Hall_inspection-report_2026-03-02_{visit.pk}.xlsx"' in response["Content-Disposition"]


def test_the_pdf_says_what_was_found(as_, town, visit):
    response = as_("engineer").get(reverse("visit-report", args=[visit.pk]))
    assert response["Content-Type"] == "application/pdf"
    text = words_of(response.content)
    for words in (
        "Visit report",
        "27.25",
        "=Slow head",
        "Behind a locked door.",
        "Edwin Marsh",
        "not finished",
        "live work",
        "vents move",
    ):
        assert words in text, words


def test_a_limit_that_is_a_share_of_the_first_value_is_printed_with_that_value(as_, visit):
    charger = visit.test_points.filter(code="charger-voltage")
    charger.update(first_reading="27.31", first_read_on=date(2023, 7, 28), within_percent_of_first=20)
    text = words_of(as_("engineer").get(reverse("visit-report", args=[visit.pk])).content)
    assert "27.31," in text and "28 Jul 2023" in text


def test_a_report_without_test_points_is_made_all_the_same(as_, town):
    assert as_("office").get(reverse("visit-report", args=[town.visit.pk])).status_code == 200
    builders.make_defect(town.hall, town.visit)
    assert as_("office").get(reverse("visit-report-spreadsheet", args=[town.visit.pk])).status_code == 200
