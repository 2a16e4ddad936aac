"""Visits: planned with their job, started with frozen test points, finished when every point has an outcome."""

from datetime import date
from decimal import Decimal

import pytest

from inspections.models import ProtocolCheck, TestPoint
from inspections.protocols.edits import install_standard_protocols
from inspections.visits.edits import (
    NotFinishable,
    VisitRefused,
    add_positions,
    call_off_visit,
    finish_visit,
    plan_visit,
    start_visit,
)
from sites_registry.models import Job
from tests import builders


@pytest.fixture
def started(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


def pass_all(visit, person):
    for point in visit.test_points.without_outcome():
        reading = Decimal("27.3") if point.is_reading_required else None
        builders.make_result(point, recorded_by=person, reading=reading)


def test_a_visit_goes_to_the_open_job_of_its_kind(town):
    visit = plan_visit(building=town.hall, kind="inspection", planned_on=date(2026, 5, 4))
    assert visit.job == town.job


def test_a_visit_without_an_open_job_opens_one(town):
    visit = plan_visit(building=town.mill, kind="inspection", planned_on=date(2026, 5, 4))
    assert (visit.job.building, visit.job.kind, visit.job.closed_on) == (town.mill, Job.Kind.SERVICE, None)
    again = plan_visit(building=town.mill, kind="inspection", planned_on=date(2026, 11, 4))
    assert again.job == visit.job


def test_remedial_work_does_not_go_to_a_service_job(town):
    visit = plan_visit(building=town.hall, kind="remedial", planned_on=date(2026, 5, 4))
    assert visit.job.kind == Job.Kind.REMEDIAL


def test_starting_makes_the_points_of_every_position_in_use(town, started):
    gone = builders.make_position(town.mill, retired_on=date(2025, 1, 1))
    asked = set(started.test_points.values_list("position__tag", "code"))
    assert asked == {("P1", "charger-voltage"), ("SD1", "function"), ("CP1", "function")}
    assert not TestPoint.objects.filter(position=gone).exists()


@pytest.mark.parametrize(
    ("drive", "instruction", "expected"),
    [
        ("addressed", "Unplug the actuator.", "Fault shown; the panel finds one actuator less than it expects"),
        ("polarity", "Open the end-of-line module.", "Fault shown"),
        ("", "As the drive asks.", "As the check says"),
    ],
)
def test_the_fault_of_a_circuit_is_asked_as_its_drive_has_it(town, drive, instruction, expected):
    """Handbook process.md, "Point by point", circuit fault."""
    ProtocolCheck.objects.create(
        protocol=ProtocolCheck.objects.first().protocol,
        device_kind="actuator",
        code="circuit-fault",
        title="Fault of the circuit",
        instruction="As the drive asks.",
        expected="As the check says",
        order=9,
    )
    circuit = builders.make_circuit(town.panel, number=1, drive=drive)
    builders.make_position(town.hall, "actuator", tag="M1", panel=town.panel, actuator_circuit=circuit)
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    point = visit.test_points.get(code="circuit-fault")
    assert (point.instruction, point.expected) == (instruction, expected)


def test_starting_twice_adds_nothing(town, started):
    start_visit(visit=town.visit, started_by=town.people["engineer"])
    assert started.test_points.count() == 3


def test_limits_are_frozen_when_the_visit_starts(town, started):
    ProtocolCheck.objects.filter(code="charger-voltage").update(upper_limit=30)
    point = started.test_points.get(code="charger-voltage")
    assert point.upper_limit == Decimal("27.6")
    assert point.limit_source == "common practice"


def test_a_visit_without_engineer_becomes_that_of_whoever_starts_it(town):
    visit = builders.make_visit(town.hall)
    assert start_visit(visit=visit, started_by=town.people["engineer"]).engineer == town.people["engineer"]


def test_without_a_published_protocol_nothing_starts(town):
    visit = builders.make_visit(town.hall, kind="commissioning")
    with pytest.raises(VisitRefused, match="no published protocol for commissioning"):
        start_visit(visit=visit, started_by=town.people["engineer"])
    visit.refresh_from_db()
    assert visit.state == "planned"


def test_a_building_without_positions_is_not_started(town):
    visit = builders.make_visit(town.mill)
    with pytest.raises(VisitRefused, match="Mill House has no positions"):
        start_visit(visit=visit, started_by=town.people["engineer"])


def test_what_is_asked_once_is_asked_at_the_first_panel_only(town):
    install_standard_protocols()
    builders.make_panel(town.hall, tag="P2")
    visit = start_visit(visit=builders.make_visit(town.hall, kind="commissioning"), started_by=town.people["engineer"])
    ProtocolCheck.objects.filter(protocol__kind="remedial", code="retest").update(asked_of="first")
    builders.make_defect(town.hall, town.visit, position=town.panel.position)
    remedial = start_visit(visit=builders.make_visit(town.hall, kind="remedial"), started_by=town.people["engineer"])
    assert remedial.test_points.filter(code="retest").count() == 1
    assert visit.test_points.filter(code="charger-voltage").count() == 2


def test_the_end_of_line_is_asked_at_the_last_device_with_the_range_of_its_element(town):
    install_standard_protocols()
    line = builders.make_line(town.panel, number=1, end_of_line_ohm="4700")
    first = builders.make_position(town.hall, tag="SD7", detection_line=line, order_on_line=1)
    last = builders.make_position(town.hall, tag="SD6", detection_line=line, order_on_line=2)
    visit = start_visit(visit=builders.make_visit(town.hall, kind="commissioning"), started_by=town.people["engineer"])
    point = visit.test_points.get(code="end-of-line-resistance")
    assert point.position == last != first
    # Handbook calculations.md §3: normal 7.5–13 kΩ for 10 kΩ; × 0.47 by hand,
    # 3.525 outward to the three figures that are printed.
    assert (point.lower_limit, point.upper_limit) == (Decimal("3.52"), Decimal("6.110"))
    assert "scaled to 4.7 kΩ" in point.limit_source


def test_remedial_work_asks_only_where_a_defect_is_open(town):
    install_standard_protocols()
    builders.make_defect(town.hall, town.visit, position=town.detector)
    visit = start_visit(visit=builders.make_visit(town.hall, kind="remedial"), started_by=town.people["engineer"])
    assert {point.position for point in visit.test_points.all()} == {town.detector}


def test_a_position_added_later_comes_into_the_visit_under_way(town, started):
    builders.make_position(town.hall, tag="SD2")
    assert add_positions(visit=started) == 1
    assert add_positions(visit=started) == 0


def test_finishing_lists_every_point_without_an_outcome(town, started):
    with pytest.raises(NotFinishable) as refused:
        finish_visit(visit=started, finished_by=town.people["engineer"])
    assert sorted(refused.value.reasons) == [
        "CP1, Function: no outcome yet.",
        "P1, Charger voltage: no outcome yet.",
        "SD1, Function: no outcome yet.",
    ]
    started.refresh_from_db()
    assert started.state == "under_way"


def test_a_visit_with_all_outcomes_is_finished(town, started):
    pass_all(started, town.people["engineer"])
    finished = finish_visit(visit=started, finished_by=town.people["engineer"])
    assert (finished.state, finished.finished_at is not None) == ("finished", True)
    assert finished.history.first().history_user == town.people["engineer"]
    assert finish_visit(visit=started, finished_by=town.people["engineer"]).finished_at == finished.finished_at


def test_a_visit_without_test_points_is_not_finished(town):
    install_standard_protocols()
    visit = start_visit(visit=builders.make_visit(town.hall, kind="remedial"), started_by=town.people["engineer"])
    with pytest.raises(VisitRefused, match="has no test points"):
        finish_visit(visit=visit, finished_by=town.people["engineer"])


def test_calling_off_keeps_the_reason_and_what_was_recorded(town, started):
    visit = call_off_visit(visit=started, reason="Roof closed", called_off_by=town.people["office"])
    assert (visit.state, visit.called_off_reason) == ("called_off", "Roof closed")
    assert visit.test_points.count() == 3
    newest = visit.history.first()
    assert (newest.history_user, newest.history_change_reason) == (town.people["office"], "Roof closed")


def test_calling_off_needs_a_reason(town):
    with pytest.raises(VisitRefused, match="Say why"):
        call_off_visit(visit=town.visit, reason="  ", called_off_by=town.people["office"])


def test_a_finished_visit_is_not_called_off(town, started):
    pass_all(started, town.people["engineer"])
    finish_visit(visit=started, finished_by=town.people["engineer"])
    with pytest.raises(VisitRefused, match="is finished"):
        call_off_visit(visit=started, reason="Mistake", called_off_by=town.people["office"])
