"""Readings on site against the record of this very thing: planted faults are found, right readings pass."""

import io
import uuid
from decimal import Decimal

import pytest
from django.urls import reverse
from openpyxl import load_workbook

from inspections.certificates.statements import readings_summary
from inspections.models import Protocol
from inspections.protocols.edits import install_standard_protocols
from inspections.test_points.limits import LimitsHere, store_rule
from inspections.visit_pages.report import visit_report_xlsx
from inspections.visits.edits import start_visit
from inspections.visits.results import take_answers
from tests import builders
from tests.inspections.test_points.readings_on_site import ACTUATOR, CIRCUIT, LIMIT_60_S, WHOSE
from tests.zones.installations import make_installation, set_figure
from zones.engineering import Actuator
from zones.engineering.readings import actuators, supplies
from zones.engineering.readings.rule import Level
from zones.engineering.solved_circuits import DISCHARGED
from zones.engineering.travels import travel
from zones.models import ActuatorCircuit, DetectionLine, PlateFigure


def test_a_model_without_its_figure_is_asked_for_it_and_judged_with_it():
    rule = actuators.running_current(Actuator("M1"), WHOSE)
    assert (rule.level(5), rule.asked_in_words()) == (
        Level.ASKED,
        f"the rated current (A) of {WHOSE} from its data plate",
    )
    assert rule.with_figures({"rated_current_a": 0.8}).level(5) == Level.OUTSIDE
    assert rule.with_figures({"rated_current_a": 0.8}).still_asked() == ()


def test_stroke_and_speed_are_both_asked_for_where_a_time_rests_on_them():
    rule = actuators.run_time(Actuator("M1"), WHOSE, CIRCUIT)
    assert rule.asked_in_words() == f"the stroke (mm) and the speed (mm/s) of {WHOSE} from its data plate"
    assert (rule.level(100), rule.level(300)) == (Level.ASKED, Level.OUTSIDE)  # within the ceiling is not yet right
    assert rule.with_figures({"stroke_mm": 500, "speed_mm_s": 12.5}).limits().lower == 48


def test_without_stroke_and_speed_the_limit_of_the_building_still_judges_an_opening_time():
    rule = actuators.opening_time(Actuator("M1"), WHOSE, limit=LIMIT_60_S)
    assert (rule.level(59), rule.level(61)) == (Level.WITHIN, Level.OUTSIDE)
    assert [one.name for one in rule.still_asked()] == ["stroke_mm", "speed_mm_s"]


def test_the_opening_time_beside_a_reading_is_computed_at_the_voltage_that_arrives():
    """Handbook 4: 590 mm at 10 mm/s, 19.6 V at the drive, in proportion 8.17 mm/s: 72.2 s, not 59 s."""
    figures = {"stroke_mm": 590.0, "speed_mm_per_s": 10.0, "rated_voltage_v": 24.0}
    known = Actuator("M1", **figures, lower_voltage_v=19.6, lower_speed_mm_per_s=8.1667)
    solved = travel(known, DISCHARGED, "at the end of battery discharge", 19.6)
    assert actuators.opening_time(known, WHOSE, solved=solved).computed_value() == pytest.approx(72.2, abs=0.1)
    silent = Actuator("M1", **figures)
    solved = travel(silent, DISCHARGED, "at the end of battery discharge", 19.6)
    assert actuators.opening_time(silent, WHOSE, solved=solved).computed_value() is None


def test_the_slowest_actuator_of_a_circuit_decides_its_run_time():
    slow = Actuator("M1.1", stroke_mm=1000.0, speed_mm_per_s=12.5)  # 80 s
    rule = actuators.run_time(ACTUATOR, WHOSE, type(CIRCUIT)("Circuit 1", actuators=(slow, ACTUATOR)))
    assert (rule.limits().lower, rule.level(60)) == (96, Level.OUTSIDE)
    assert "M1.1" in rule.limits().source and "stops part open" in rule.looks_like(60)


@pytest.mark.parametrize(
    ("rated_v", "usual_c", "limits"),
    [
        (24, None, (27.0, 27.6)),
        (24, 20, (27.0, 27.6)),
        (12, None, (13.5, 13.8)),
        (48, None, (54.0, 55.2)),
        (24, 18, (27.0, 27.6)),
        (24, 10, (27.0, 28.0)),
        (24, 35, (26.6, 27.6)),
    ],
)
def test_a_charger_is_judged_by_cells_and_warmth_of_its_battery(rated_v, usual_c, limits):
    """2.25 to 2.30 V a cell at 20 to 25 °C, 3 mV a kelvin beyond (common practice)."""
    found = supplies.charger_voltage(rated_v, "P 1", usual_c).limits()
    assert (found.lower, found.upper) == limits


# --- on a visit: the same rules, frozen with its test points ---


@pytest.fixture
def made(town, shared):
    return shared.built(installation_under_the_standard_protocols, town)


def installation_under_the_standard_protocols(town):
    Protocol.objects.filter(pk=town.protocol.pk).update(standard_edition=1)
    install_standard_protocols()
    return make_installation(town.hall, tag="P7")


@pytest.fixture
def visit(town, made, shared):
    """A commissioning visit under way; `visit_after` for one that starts after the record was changed."""
    return shared.built(_start, town)


@pytest.fixture
def visit_after(town, made):
    def start(**figures):
        set_figure(made.models["actuator"], **figures)
        return _start(town)

    return start


def _start(town):
    visit = builders.make_visit(town.hall, kind="commissioning")
    return start_visit(visit=visit, started_by=town.people["engineer"])


def take(visit, code, reading, outcome="pass", tag="P7M1.2", **fields):
    point = visit.test_points.get(code=code, position__tag=tag)
    answer = {"client_uuid": str(uuid.uuid4()), "test_point": point.pk, "outcome": outcome, "reading": reading}
    (verdict,) = take_answers(visit=visit, person=visit.engineer, answers=[answer | fields])
    return verdict


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("code", "reading", "says"),
    [
        ("running-current", "5", "Current 5 A is outside the limits (1 A or less). They are from: rated current of"),
        (
            "voltage-at-last-actuator",
            "9",
            "Voltage 9 V is outside the limits (18 to 30 V). They are from: at least: least",
        ),
        ("run-time", "30", "Run time 30 s is outside the limits (60 to 180 s)."),
        ("opening-time", "20", "Opening time 20 s is outside the limits (40 to 60 s)."),
    ],
)
def test_a_planted_fault_is_refused_with_value_limit_and_source(visit, code, reading, says):
    assert says in take(visit, code, reading).message


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("code", "reading"),
    [
        ("running-current", "0.9"),
        ("voltage-at-last-actuator", "22.6"),
        ("run-time", "90"),
        ("opening-time", "51"),
    ],
)
def test_a_right_reading_passes(visit, code, reading):
    assert (take(visit, code, reading).fate, visit.test_points.get(latest_result__isnull=False).judged) == ("taken", "")


@pytest.mark.django_db
def test_a_voltage_below_what_the_design_check_leaves_is_looked_into_though_the_motor_runs(visit):
    point = visit.test_points.get(code="voltage-at-last-actuator", position__tag="P7M1.2")
    assert point.level_of(Decimal("18.2")) == Level.ATTENTION
    assert "that the design check leaves here at the end of discharge" in point.judged_in_words(Decimal("18.2"))


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("normal_ohm", "limits", "source"),
    [
        (None, "3.52 to 6.11 kΩ", "scaled to 4.7 kΩ"),  # 7.5 to 13 kΩ, times 0.47
        ((3_900, 5_600), "3.90 to 5.60 kΩ", "normal range of the lines of"),
    ],
)
def test_without_its_cable_a_line_is_read_by_the_panels_own_range_or_that_of_its_resistor(
    town, made, normal_ohm, limits, source
):
    made.lines[0].cables.update(length_m=None)
    DetectionLine.objects.update(end_of_line_ohm=4_700)
    if normal_ohm:
        low, high = normal_ohm
        set_figure(made.models["control_panel"], normal_low_ohm=low, normal_high_ohm=high, alarm_high_ohm=2_000)
    point = _start(town).test_points.filter(code="end-of-line-resistance").get()
    assert (point.limits_text, source in point.limit_source) == (limits, True)
    assert point.level_of(Decimal(limits.split()[0])) == Level.WITHIN  # what is printed passes


@pytest.mark.django_db
def test_report_and_certificate_say_what_the_phone_said(visit):
    take(visit, "run-time", "75", "remark", remark="Set again.")  # 90 s by the record, 50 s the stroke
    sentence = "The record has 90 s set for Circuit 1: correct the setting or the record."
    assert visit.test_points.get(latest_result__isnull=False).judged == sentence
    record = load_workbook(io.BytesIO(visit_report_xlsx(visit)))["Test record"]
    assert sentence in {cell.value for row in record for cell in row}
    points = visit.test_points.select_related("position", "latest_result")
    assert [row["note"] for row in readings_summary(points)] == [sentence]


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("figures", "within", "verdict", "note"),
    [
        ({"test_voltage_v": "250"}, True, "meets", "test voltage 250 V DC."),
        ({"test_voltage_v": "100"}, None, "not judged", "test voltage 100 V DC."),
        ({}, None, "not judged", "test voltage not recorded: not judged."),
    ],
)
def test_the_voltage_of_an_insulation_reading_is_kept_with_it_and_decides(visit, figures, within, verdict, note):
    asks_for_insulation(visit)
    assert take(visit, "running-current", "5", figures=figures).fate == "taken"
    point = visit.test_points.get(latest_result__isnull=False)
    result = point.latest_result
    assert point.is_within_limits(result.reading, result.figures) is within
    assert ("enter the test voltage" in point.judged) == (within is None)
    (row,) = readings_summary([point])
    assert (row["verdict"], row["note"]) == (verdict, note)
    assert PlateFigure.objects.count() == 0


@pytest.mark.django_db
@pytest.mark.parametrize("typed", ["-250", "250000", "abc"])
def test_a_test_voltage_that_cannot_be_is_refused(visit, typed):
    asks_for_insulation(visit)
    verdict = take(visit, "running-current", "5", figures={"test_voltage_v": typed})
    assert (verdict.fate, verdict.field) == ("refused", "figures")
    assert "Test voltage" in verdict.message


def asks_for_insulation(visit):
    """The point of the running current asks for insulation instead."""
    point = visit.test_points.get(code="running-current", position__tag="P7M1.2")
    point.unit = "MΩ"
    store_rule(point, supplies.insulation(), None)
    point.save()


@pytest.mark.django_db
def test_a_plain_pass_without_any_limit_asks_for_the_figure_of_the_data_plate(visit_after, made):
    visit = visit_after(rated_current_a=None)
    verdict = take(visit, "running-current", "5")
    assert (verdict.fate, verdict.field) == ("refused", "figures")
    assert f"Enter the rated current (A) of {made.models['actuator']} from its data plate" in verdict.message
    assert take(visit, "running-current", "5", "remark", remark="Plate painted over.").fate == "taken"


@pytest.mark.django_db
def test_the_figure_goes_to_the_model_under_the_readers_name_and_judges_all_of_it(visit_after, made):
    visit, model = visit_after(rated_current_a=None), made.models["actuator"]
    verdict = take(visit, "running-current", "0.7", figures={"rated_current_a": "0.8"})
    assert verdict.fate == "taken" and "Rated current 0.8 A is on record now" in verdict.notes[0]
    model.refresh_from_db()
    assert (model.rated_current_a, model.history.first().history_user) == (Decimal("0.8"), visit.engineer)
    other = take(visit, "running-current", "5", tag="P7M1.1")
    assert "Current 5 A is outside the limits (0.8 A or less)" in other.message


@pytest.mark.django_db
def test_a_pass_that_a_later_figure_shows_to_be_outside_waits_to_be_tested_again(visit_after):
    visit = visit_after(speed_mm_s=None)
    assert take(visit, "opening-time", "20").fate == "taken"  # within the 60 s of the building; half of the stroke
    assert take(visit, "run-time", "90", figures={"speed_mm_s": "10"}).fate == "taken"
    point = visit.test_points.get(code="opening-time", position__tag="P7M1.2")
    assert point.latest_result is None
    assert point.retest_reason.startswith("20 s passed before a figure of the data plate was known; it is outside")
    assert take(visit, "opening-time", "51").fate == "taken"


@pytest.mark.django_db
def test_a_refused_answer_leaves_no_figure_behind(visit_after, made):
    visit = visit_after(rated_current_a=None)
    assert "0.8 A or less" in take(visit, "running-current", "5", figures={"rated_current_a": "0.8"}).message
    made.models["actuator"].refresh_from_db()
    assert (made.models["actuator"].rated_current_a, PlateFigure.objects.count()) == (None, 0)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("figures", "says"),
    [
        ({"rated_current_a": "x"}, "Rated current: 'x' is no number."),
        ({"rated_current_a": "0"}, "Rated current: a data plate says more than 0"),
        ({"rated_current_a": "9999"}, "Rated current: 9999"),
        ({"name": "1"}, "This point asks for no such figure."),
        ("0.8", "This point asks for no such figure."),
    ],
)
def test_a_figure_that_cannot_be_is_refused_with_a_sentence(visit_after, figures, says):
    verdict = take(visit_after(rated_current_a=None), "running-current", "0.7", figures=figures)
    assert (verdict.fate, verdict.message[: len(says)]) == ("refused", says)


@pytest.mark.django_db
def test_a_figure_that_differs_from_the_record_overwrites_nothing_and_is_shown_to_the_office(as_, visit, made):
    model = made.models["actuator"]
    verdict = take(visit, "running-current", "0.9", figures={"rated_current_a": "1.2"})
    assert "The register has rated current 1 A" in verdict.notes[0]
    model.refresh_from_db()
    assert model.rated_current_a == 1
    page = as_("office").get(reverse("product-model-detail", args=[model.pk])).content.decode()
    assert "differs from the record" in page and "1.2 A" in page
    assert "?figures=differ" in as_("office").get("/").content.decode()
    set_figure(model, rated_current_a="1.2")  # the office has looked: the plate is right
    assert "?figures=differ" not in as_("office").get("/").content.decode()


@pytest.mark.django_db
def test_the_office_keeps_the_record_against_a_plate_with_a_reason(as_, visit, made):
    model = made.models["actuator"]
    for tag in ("P7M1.1", "P7M1.2"):  # two phones read the same wrong plate
        take(visit, "running-current", "0.9", tag=tag, figures={"rated_current_a": "1.2"})
    office, figure = as_("office"), PlateFigure.objects.first()
    keep = reverse("plate-figure-keep", args=[model.pk, figure.pk])
    assert "Say why the record is kept" in office.post(keep, {"reason": " "}, follow=True).content.decode()
    assert "?figures=differ" in office.get("/").content.decode()
    page = office.post(keep, {"reason": "Plate of the former drive."}, follow=True).content.decode()
    assert "record kept" in page and "Plate of the former drive." in page and "differs from the record" not in page
    assert "?figures=differ" not in office.get("/").content.decode()
    model.refresh_from_db()
    assert model.rated_current_a == 1
    assert "settled before" in office.post(keep, {"reason": "Twice."}, follow=True).content.decode()
    assert set(PlateFigure.objects.values_list("kept_reason", flat=True)) == {"Plate of the former drive."}
    take(visit, "running-current", "0.9", remark="Once more.", figures={"rated_current_a": "1.3"})  # another figure
    assert "?figures=differ" in office.get("/").content.decode()


@pytest.mark.django_db
def test_the_phone_gets_the_rule_and_a_field_for_what_is_missing(as_, visit_after):
    visit = visit_after(rated_current_a=None)
    point = visit.test_points.get(code="running-current", position__tag="P7M1.1")
    page = as_("engineer").get(reverse("visit-field-position", args=[visit.pk, point.position_id])).content.decode()
    assert 'name="figure_rated_current_a"' in page and '"name": "rated_current_a"' in page


@pytest.mark.django_db
def test_without_script_the_figure_comes_with_the_form(as_, visit_after, made):
    visit = visit_after(rated_current_a=None)
    point = visit.test_points.get(code="running-current", position__tag="P7M1.1")
    answer = {
        "client_uuid": str(uuid.uuid4()),
        "test_point": point.pk,
        "outcome": "pass",
        "reading": "0.7",
        "figure_rated_current_a": "0.8",
    }
    as_("engineer").post(reverse("visit-answers", args=[visit.pk]), answer)
    made.models["actuator"].refresh_from_db()
    assert made.models["actuator"].rated_current_a == Decimal("0.8")


@pytest.mark.django_db
def test_only_an_addressed_circuit_is_asked_how_many_actuators_it_found(town, made):
    assert not _start(town).test_points.filter(code="actuators-found")
    ActuatorCircuit.objects.update(drive="addressed", expected_actuators=3)
    points = _start(town).test_points.filter(code="actuators-found")
    assert [(point.position.tag, point.limits_text) for point in points] == [("P7M1.2", "exactly 3")]


@pytest.mark.django_db
def test_what_a_step_of_a_plan_measures_is_judged_by_its_words(visit, made):
    point = builders.make_test_point(
        visit, made.panel.position, code="step-1-004", quantity="battery voltage", unit="V", check_of=None
    )
    LimitsHere(visit).put_into(point)
    assert (point.limits_text, point.level_of(Decimal("12.9"))) == ("24 to 28.2 V", "outside")


@pytest.mark.django_db
def test_the_number_found_goes_to_the_record_of_the_circuit_under_the_readers_name(town, made):
    ActuatorCircuit.objects.update(drive="addressed", expected_actuators=2)
    visit = _start(town)
    circuit = visit.test_points.get(code="actuators-found").position.actuator_circuit
    defect = {"severity": "degraded", "description": "One lacks."}
    verdict = take(visit, "actuators-found", "1", "fail", defect=defect)
    assert "the panel reports 1" in " ".join(verdict.notes)
    circuit.refresh_from_db()
    assert (circuit.found_actuators, circuit.history.first().history_user) == (1, visit.engineer)
    put_right = {"closes_fails": True, "correction_reason": "Plug pushed home."}
    fail = visit.test_points.get(code="actuators-found").latest_result
    take(visit, "actuators-found", "2", knows=[str(fail.client_uuid)], **put_right)
    circuit.refresh_from_db()
    assert (circuit.found_actuators, circuit.row_version) == (2, 2)


@pytest.mark.django_db
def test_an_older_reading_that_arrives_late_changes_no_circuit(town, made):
    ActuatorCircuit.objects.update(drive="addressed", expected_actuators=2)
    first, second = _start(town), _start(town)
    take(second, "actuators-found", "2")
    take(first, "actuators-found", "2", "remark", remark="Seen before.", seen_at=first.started_at.isoformat())
    ActuatorCircuit.objects.update(found_actuators=3)  # the office knows better
    take(first, "actuators-found", "2", "remark", remark="Still before.", seen_at=first.started_at.isoformat())
    assert set(ActuatorCircuit.objects.values_list("found_actuators", flat=True)) == {3}
