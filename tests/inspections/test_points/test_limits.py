"""Limits of test points: one limit, from the design check where it computes it, in one unit everywhere."""

import io
import uuid
from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone
from openpyxl import load_workbook

from inspections.certificates.statements import readings_summary
from inspections.models import Protocol, Result
from inspections.protocols.edits import install_standard_protocols
from inspections.visit_pages.report import visit_report_xlsx
from inspections.visits.edits import start_visit
from inspections.visits.results import ask_for_retest, take_answers
from tests import builders
from tests.evidence import rewrite
from tests.zones.installations import make_installation
from zones.models import DetectionLine, ProductModel

pytestmark = pytest.mark.django_db
# 10 kΩ within 1 % and 30 m of 0.75 mm², class 1 (24.5 Ω/km, IEC 60228), there and back: 9.90 to 10.10 kΩ by Ohm's law.
RANGE = "9.90 to 10.10 kΩ"
# 500 mm at 10 mm/s are 50 s; a drive without load is at most a fifth faster (common practice).
OPENING_SOURCE = "at least: stroke ÷ speed of {} with tolerance (common practice); at most: {}"


@pytest.fixture
def made(town, shared):
    return shared.built(installation_under_the_standard_protocols, town)


def installation_under_the_standard_protocols(town):
    # The town's own protocol makes way for the standard one, as an earlier edition does.
    Protocol.objects.filter(pk=town.protocol.pk).update(standard_edition=1)
    install_standard_protocols()
    return make_installation(town.hall, tag="P7")


@pytest.fixture
def start(town):
    def start(kind="inspection", started_at=None):
        visit = builders.make_visit(town.hall, kind=kind)
        return start_visit(visit=visit, started_by=town.people["engineer"], started_at=started_at)

    return start


def line_point(visit):
    return visit.test_points.get(code="end-of-line-resistance", position__tag="P7D1.3")


def take(visit, point, outcome="pass", **fields):
    answer = {"client_uuid": str(uuid.uuid4()), "test_point": point.pk, "outcome": outcome, **fields}
    (verdict,) = take_answers(visit=visit, person=visit.engineer, answers=[answer])
    return verdict


@pytest.mark.parametrize("kind", ["inspection", "commissioning"])
def test_a_line_is_read_against_the_range_of_the_design_check(made, start, kind):
    point = line_point(start(kind))
    assert (point.lower_limit, point.upper_limit) == (Decimal("9.90"), Decimal("10.10"))
    assert point.limit_source.startswith("design check")


def test_phone_report_certificate_and_design_check_print_the_same_limits(as_, made, start):
    visit = start()
    point = line_point(visit)
    take(visit, point, reading="10.01")
    pages = [
        as_("engineer").get(reverse("visit-field-position", args=[visit.pk, point.position_id])),
        as_("office").get(reverse("visit-detail", args=[visit.pk])),
        as_("engineer").get(reverse("panel-design-check", args=[made.panel.pk])),
        as_("engineer").get(reverse("line-locate-fault", args=[made.panel.pk, 1])),
    ]
    for page in pages:
        assert RANGE in page.content.decode().replace("\xa0", " ")
    record = load_workbook(io.BytesIO(visit_report_xlsx(visit)))["Test record"]
    assert RANGE in {cell.value for row in record for cell in row}
    points = visit.test_points.select_related("position", "latest_result")
    assert RANGE in {row["limits"] for row in readings_summary(points)}


def test_a_reading_that_the_protocol_would_pass_and_the_design_would_not_is_no_plain_pass(made, start):
    visit = start()
    verdict = take(visit, line_point(visit), reading="9.6")
    assert f"Line resistance 9.6 kΩ is outside the limits ({RANGE})" in verdict.message


def test_where_the_design_is_not_known_the_limits_of_the_protocol_stand(made, start):
    DetectionLine.objects.update(end_of_line_ohm=None)
    point = line_point(start())
    assert point.limits_text == "7.50 to 13.00 kΩ"
    assert point.limit_source.startswith("common practice")


def test_a_line_of_less_than_a_kilohm_keeps_its_unit_and_gains_a_digit(made, start):
    DetectionLine.objects.update(end_of_line_ohm=680)
    # 680 Ω within 1 % is 673.2 to 686.8 Ω; the cable adds at most 1.5 Ω (24.5 Ω/km), at least 0.85 of that.
    assert line_point(start()).limits_text == "0.674 to 0.688 kΩ"


def test_the_opening_time_is_that_of_the_design_basis(made, start):
    type(made.building.design_basis).objects.update(opening_limit_s=45)
    point = start().test_points.filter(code="opening-time").first()
    assert (point.limits_text, point.limit_source.partition("; the check: ")[0]) == (
        "40 to 45 s",
        OPENING_SOURCE.format(made.models["actuator"], "design basis of the building"),
    )


def test_without_a_limit_in_the_design_basis_the_opening_time_is_that_of_the_protocol(made, start):
    assert start().test_points.filter(code="opening-time").first().limits_text == "40 to 60 s"


def test_the_last_actuator_has_at_least_the_voltage_of_its_data_sheet(made, start):
    point = start("commissioning").test_points.get(code="voltage-at-last-actuator")
    assert point.limits_text == "18 to 30 V"
    assert point.limit_source.startswith("at least: least voltage that Tarn Works")


@pytest.fixture
def year_before(made, start):
    """A visit of a year ago that read 1 A at the first actuator, rated 2 A, the first value of its unit."""
    ProductModel.objects.filter(kind="actuator").update(rated_current_a=2)
    then = timezone.now() - timedelta(days=365)
    earlier = builders.make_visit(made.building, state="finished", started_at=then, finished_at=then)
    position = made.building.positions.get(tag="P7M1.1")
    position.fittings.update(fitted_on=then.date() - timedelta(days=30))
    point = builders.make_test_point(earlier, position, code="running-current", quantity="current", unit="A")
    return builders.make_result(point, reading="1", seen_at=then)


def current_point(visit):
    return visit.test_points.get(code="running-current", position__tag="P7M1.1")


def test_a_share_of_the_first_value_becomes_limits(year_before, start):
    point = current_point(start())
    assert (point.lower_limit, point.upper_limit, point.first_reading) == (Decimal("0.8"), Decimal("1.2"), Decimal(1))
    read_on = f"{timezone.localdate(year_before.seen_at):%-d %b %Y}"
    assert point.limit_source == f"within 20 % of the first value, 1 A on {read_on}; common practice"


def test_a_first_value_beyond_the_rated_current_leaves_the_rated_current_as_limit(year_before, start):
    ProductModel.objects.filter(kind="actuator").update(rated_current_a="0.7")
    assert current_point(start()).limits_text == "0.7 A or less"


def test_what_was_read_when_the_check_failed_is_no_first_value(year_before, start):
    rewrite(Result.objects.filter(pk=year_before.pk), outcome="fail")
    assert (current_point(start()).first_reading, current_point(start()).limits_text) == (None, "2 A or less")


@pytest.mark.parametrize(
    ("reading", "fate"), [("0.79", "refused"), ("0.8", "taken"), ("1.2", "taken"), ("1.21", "refused")]
)
def test_out_of_the_share_a_plain_pass_is_refused(year_before, start, reading, fate):
    visit = start()
    assert take(visit, current_point(visit), reading=reading).fate == fate


def test_out_of_the_share_a_remark_is_taken(year_before, start):
    visit = start()
    assert take(visit, current_point(visit), "remark", reading="1.3", remark="Seal renewed, runs in.").fate == "taken"


def test_first_and_last_value_are_shown_beside_the_field(as_, year_before, start, made):
    later = builders.make_visit(
        made.building, state="finished", started_at=builders.days_ago(100), finished_at=builders.days_ago(100)
    )
    between = builders.make_test_point(later, year_before.test_point.position, code="running-current", unit="A")
    builders.make_result(between, reading="1.07", seen_at=builders.days_ago(100))
    visit = start()
    page = as_("engineer").get(reverse("visit-field-position", args=[visit.pk, current_point(visit).position_id]))
    text = page.content.decode()
    assert ">1.07 A<" in text and "First value <strong>1 A</strong>" in text


def test_the_value_of_a_unit_that_was_taken_off_is_no_first_value(year_before, start):
    year_before.test_point.position.fittings.update(fitted_on=timezone.localdate() - timedelta(days=2))
    point = current_point(start())
    assert (point.first_reading, point.limits_text) == (None, "2 A or less")


def test_after_a_swap_the_first_value_of_the_old_unit_limits_nothing(year_before, start):
    visit = start()
    point = current_point(visit)
    ask_for_retest(visit=visit, position=point.position, since=timezone.now(), reason="Swapped.")
    point.refresh_from_db()
    assert (point.limits_text, take(visit, point, reading="1.9").fate) == ("2 A or less", "taken")
    assert Result.objects.get(test_point=point).reading == Decimal("1.9")
