"""Readings of all visits: on the page of a position, in the visit report, over all units of a model."""

import io
from datetime import UTC, date, datetime

import pytest
from django.urls import reverse
from openpyxl import load_workbook

from inspections.models import Visit
from tests import builders
from tests.sites_registry.documents.test_base import words_of
from zones.engineering.readings import supplies

YEARS = (2022, 2023, 2024, 2025)
SLOWER = ("50.0", "53.0", "56.0", "58.5")  # about 2.9 s a year: 60 s are reached half a year after the last


@pytest.fixture
def actuator(town):
    position = builders.make_position(town.hall, kind="actuator", tag="M71")
    builders.fit(
        position, builders.make_unit(builders.make_product_model("actuator"), batch="B71"), fitted_on=date(2020, 1, 1)
    )
    return position


def read(position, *values, years=YEARS, code="opening-time", **fields):
    """A finished visit a year, each with one reading of the check at the position."""
    fields = {"title": "Opening time", "quantity": "opening time", "unit": "s", "upper_limit": "60", **fields}
    points = []
    for year, value in zip(years, values, strict=False):
        at = datetime(year, 3, 2, 10, tzinfo=UTC)
        visit = builders.make_visit(
            position.building, state=Visit.State.FINISHED, started_at=at, finished_at=at, planned_on=at.date()
        )
        point = builders.make_test_point(visit, position, code=code, **fields)
        builders.make_result(point, seen_at=at, reading=value)
        points.append(point)
    return points


def text_of(response):
    return " ".join(response.content.decode().split())


# The page of a position -------------------------------------------------------------------------------------------


def test_a_reading_that_drifts_names_when_it_reaches_its_limit_and_how_sure_that_is(as_, actuator):
    read(actuator, *SLOWER)
    page = text_of(as_("manager").get(actuator.get_absolute_url()))
    assert "Rises by 2.9 s a year (2.5 to 3.0). Reaches 60 s about" in page
    assert '<td class="number">58.5</td>' in page
    assert "limit about Jul 2025" in page


@pytest.mark.parametrize(
    ("values", "state", "words"),
    [
        ((), "", "No visit has read a figure here."),
        (("50",), "A trend needs four readings over six months", "Read once"),
        (("61",), "outside its limit", "Read once"),
        (("50", "51", "52"), "not known yet", "Not known: 3 readings over 24 months. It takes four readings over"),
        (("50", "50", "50", "50"), "no trend", "Unchanged: 4 readings over 36 months."),
        (("50", "54", "58", "61"), "outside its limit", "Outside its limit on 2 Mar 2025, at the last reading."),
        (("50", "51", "49", "50.5"), "no trend", "which may be scatter."),
        (("50", "50.1", "50.2", "50.3"), "limit far ahead", "The limit is more than 20 years ahead."),
    ],
)
def test_each_course_has_its_words(as_, actuator, values, state, words):
    read(actuator, *values)
    page = text_of(as_("office").get(actuator.get_absolute_url()))
    assert words in page
    assert state in page


def test_what_a_former_unit_read_stands_in_the_table_and_not_in_the_trend(as_, actuator):
    read(actuator, *SLOWER)
    _swap(actuator)
    page = text_of(as_("office").get(actuator.get_absolute_url()))
    assert "2 Mar 2023, former unit" in page
    assert "Not known: 2 readings over 12 months." in page


def _swap(position, on=date(2024, 1, 1)):
    position.fittings.update(removed_on=on)
    builders.fit(position, fitted_on=on)


def test_a_repair_without_a_swap_begins_a_new_trend_with_the_result_that_proved_it(as_, actuator):
    *_, third, fourth = read(actuator, "50.0", "53.0", "56.0", "50.5")
    found = third.latest_result
    builders.make_defect(
        visit=third.visit,
        position=actuator,
        found_by_result=found,
        closed_at=fourth.latest_result.seen_at,
        closed_by_result=fourth.latest_result,
    )
    page = text_of(as_("office").get(actuator.get_absolute_url()))
    assert "2 Mar 2024, before the repair" in page
    assert "Not known: 1 reading. It takes four" in page


def test_readings_of_test_points_that_kept_no_computed_value_say_so(as_, actuator):
    read(actuator, *SLOWER)
    page = text_of(as_("office").get(actuator.get_absolute_url()))
    assert "No reading has a computed value beside it: earlier test points kept none." in page


def test_the_resistance_of_a_line_outlives_the_unit_at_its_end(as_, actuator):
    line = {"code": "end-of-line-resistance", "title": "Line resistance", "quantity": "line resistance", "unit": "kΩ"}
    read(actuator, "10.0", "10.1", "10.2", "10.3", upper_limit="10.5", **line)
    _swap(actuator)
    assert "Reaches 10.5 kΩ about" in text_of(as_("office").get(actuator.get_absolute_url()))


def test_a_battery_begins_anew_with_its_blocks(as_, town):
    rest = {"title": "Rest voltage", "quantity": "rest voltage", "unit": "V", "upper_limit": None, "lower_limit": "25"}
    builders.make_battery_set(town.panel, fitted_on=date(2023, 12, 1))
    read(town.panel.position, "25.9", "25.7", "26.0", "25.8", code="battery-rest-voltage", **rest)
    page = text_of(as_("office").get(town.panel.position.get_absolute_url()))
    assert "2 Mar 2023, former battery" in page
    assert "Not known: 2 readings over 12 months." in page


def test_the_computed_value_stands_beside_the_reading_with_the_deviation(as_, town):
    rule = supplies.quiescent_current(0.1).as_data()
    fields = {"title": "Quiescent current", "quantity": "quiescent current", "unit": "A", "upper_limit": "0.11"}
    read(town.panel.position, "0.104", code="quiescent-current", years=(2025,), reading_rule=rule, **fields)
    page = text_of(as_("office").get(town.panel.position.get_absolute_url()))
    assert "+4.0</td>" in page


def test_a_stranger_sees_no_readings(as_, actuator):
    read(actuator, *SLOWER)
    assert as_("stranger").get(actuator.get_absolute_url()).status_code == 404


# The visit report -------------------------------------------------------------------------------------------------


def test_the_report_names_what_reaches_its_limit_before_the_inspection_after_next(as_, actuator):
    *_, last = read(actuator, *SLOWER)
    words = words_of(as_("engineer").get(reverse("visit-report", args=[last.visit_id])).content)
    assert "Readings that drift to their limit" in words
    assert "+2.9 s" in words
    assert "Jul 2025" in words
    workbook = load_workbook(io.BytesIO(_workbook(as_, last).content))
    _, row = workbook["Trends"].iter_rows(values_only=True)
    assert row[:5] == ("M71", "Opening time", 58.5, "s", "60 s or less")


@pytest.mark.parametrize(
    "values", [("50.0", "50.6", "51.0", "51.5"), ("50", "50", "50", "50"), ("50", "53", "58", "61")]
)
def test_the_report_leaves_out_what_is_far_ahead_still_or_outside_already(as_, actuator, values):
    *_, last = read(actuator, *values)
    assert "drift" not in words_of(as_("engineer").get(reverse("visit-report", args=[last.visit_id])).content)
    assert "Trends" not in load_workbook(io.BytesIO(_workbook(as_, last).content)).sheetnames


def test_the_report_of_an_earlier_visit_says_what_was_known_then(as_, actuator):
    *_, fourth, fifth = read(actuator, *SLOWER, "50.0", years=(*YEARS, 2026))
    _swap(actuator, date(2026, 6, 1))
    assert "+2.9 s" in words_of(as_("engineer").get(reverse("visit-report", args=[fourth.visit_id])).content)
    assert "drift" not in words_of(as_("engineer").get(reverse("visit-report", args=[fifth.visit_id])).content)


def _workbook(as_, point):
    return as_("office").get(reverse("visit-report-spreadsheet", args=[point.visit_id]))


# All units of a model ---------------------------------------------------------------------------------------------


def test_the_units_of_a_model_stand_worst_first_with_their_number_of_readings(as_, town, actuator):
    unit = actuator.fittings.get().unit
    steady = builders.make_position(builders.make_building(), kind="actuator", tag="M72")
    builders.fit(steady, builders.make_unit(unit.product_model), fitted_on=date(2020, 1, 1))
    read(steady, "50", "50", "50", "50")
    read(actuator, *SLOWER)
    address = reverse("product-model-trends", args=[unit.product_model_id])
    page = text_of(as_("office").get(address))
    content = page[page.index("<main") :]
    assert content.count(str(unit.product_model)) == 1  # the trail names the model, the heading does not again
    assert page.index("M71") < page.index("M72")
    assert "2 units, 2 with a known slope: median +1.5 s a year; 1 beyond scatter." in page
    assert page.count('<td data-label="Readings" class="number">4</td>') == 2
    assert '<span class="soft small">in 2025</span>' in page  # about Jul 2025, with how sure that is
    assert address in as_("office").get(unit.product_model.get_absolute_url()).content.decode()


def test_a_check_that_names_the_circuit_stands_under_its_name_alone(as_, actuator):
    model = actuator.fittings.get().unit.product_model
    for number in (1, 2):
        position = builders.make_position(actuator.building, kind="actuator")
        builders.fit(position, builders.make_unit(model), fitted_on=date(2020, 1, 1))
        read(position, "70", years=(2022 + number,), code="run-time", title=f"Run time, circuit {number}")
    page = text_of(as_("office").get(reverse("product-model-trends", args=[model.pk])))
    assert "<h2>Run time</h2>" in page


def test_a_batch_shows_its_own_units_and_the_traced_batch_leads_there(as_, actuator):
    model = actuator.fittings.get().unit.product_model
    other = builders.make_position(actuator.building, kind="actuator", tag="M73")
    builders.fit(other, builders.make_unit(model, batch="B99"), fitted_on=date(2020, 1, 1))
    read(actuator, *SLOWER)
    read(other, *SLOWER, years=(2021, 2022, 2023, 2024))
    address = reverse("product-model-trends", args=[model.pk]) + "?batch=b71"
    page = text_of(as_("office").get(address))
    assert "M71" in page
    assert "M73" not in page
    traced = as_("office").get(reverse("unit-recall") + f"?model={model.pk}&batch=B71").content.decode()
    assert reverse("product-model-trends", args=[model.pk]) + "?batch=B71" in traced


def test_a_unit_counts_with_what_was_read_while_it_was_fitted(as_, actuator):
    unit = actuator.fittings.get().unit
    read(actuator, *SLOWER)
    before = text_of(as_("office").get(reverse("product-model-trends", args=[unit.product_model_id])))
    _swap(actuator)
    after = text_of(as_("office").get(reverse("product-model-trends", args=[unit.product_model_id])))
    assert "1 unit, 1 with a known slope" in before
    assert "1 unit, 0 with a known slope" in after
    assert "No unit has four readings over six months yet." in after
    newcomer = actuator.fittings.get(removed_on=None).unit.product_model_id
    its_own = text_of(as_("office").get(reverse("product-model-trends", args=[newcomer])))
    assert "1 unit, 0 with a known slope" in its_own


def test_a_model_of_which_nothing_was_read_says_so(as_, actuator):
    model = actuator.fittings.get().unit.product_model
    page = text_of(as_("office").get(reverse("product-model-trends", args=[model.pk]) + "?batch=none%00"))
    assert "No visit has read a figure of a unit of this model and batch yet." in page


def test_battery_sets_stand_for_the_units_of_a_battery_model(as_, town):
    model = builders.make_product_model(kind="battery")
    builders.make_battery_set(town.panel, product_model=model, fitted_on=date(2021, 1, 1), date_code="2020W50")
    rest = {"title": "Rest voltage", "quantity": "rest voltage", "unit": "V", "upper_limit": None, "lower_limit": "25"}
    read(town.panel.position, "25.9", "25.7", "25.5", "25.3", code="battery-rest-voltage", **rest)
    page = text_of(as_("office").get(reverse("product-model-trends", args=[model.pk])))
    assert "2020W50" in page
    assert "−0.20 V" in page
