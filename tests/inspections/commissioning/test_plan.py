"""The commissioning plan: from rules and wiring to the test points of a visit, and to the certificate's coverage.

What must be tried, and what must stay: handbook process.md §3 (point by point; rain in smoke; mains and battery off;
"see every other zone stay"), common practice. The order of powering up: the same section, common practice.
"""

from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils.html import escape

from inspections.commissioning.plans import take_plans
from inspections.models import PlannedStep
from inspections.protocols.edits import install_standard_protocols
from inspections.visits.edits import start_visit
from inspections.visits.results import take_answers
from inspections.visits.walk import walk_of
from tests import builders
from tests.paper_text import text_of
from zones.cause_and_effect.commissioning import panel_plan
from zones.cause_and_effect.commissioning_points import plain
from zones.cause_and_effect.edits import add_usual_rules
from zones.engineering.power_order import ISOLATE, POWER_UP
from zones.models import DataLink, InputDevice, InputPort, LinkEntry, PlaceConfirmation, Position


def done_of(plan):
    return {step.step.do: step for step in plan.steps}


def test_the_plan_covers_everything(hall):
    plan = panel_plan(hall.panel)
    assert plan.coverage.is_complete
    assert plan.not_covered == []


def test_the_parts_of_the_plan_hold_every_step_once_in_its_order(hall):
    plan = panel_plan(hall.panel)
    assert [planned for _, places, _ in plan.parts for points in places for planned in points] == plan.steps
    words = [words for words, _, _ in plan.parts]
    assert (words[0], words[-1]) == ("first, at the panel", "last, at the panel")
    assert sum(count for _, _, count in plan.parts) == len(plan.steps)


def test_the_plan_starts_with_the_general_order_of_powering_up(hall):
    steps = [move["do"] for planned in panel_plan(hall.panel).steps for move in planned.moves]
    of_the_order = [do for do in steps if not do.startswith("Measure: ")]
    assert of_the_order[: len(POWER_UP.steps)] == [step.do for step in POWER_UP.steps]


def test_each_reading_has_a_field_of_its_own(hall, visit):
    """Issue 9 §4: each 'Measure … V' step has its field."""
    asked = [planned.reading for planned in panel_plan(hall.panel).steps if planned.reading[0]]
    assert ("mains terminals", "V") in asked and ("battery leads", "V") in asked and ("battery voltage", "V") in asked
    steps = PlannedStep.objects.filter(plan__visit=visit).select_related("test_point")
    with_reading = [step.test_point for step in steps if step.readings]
    assert len(with_reading) == len(asked)
    assert all(point.quantity and point.unit and point.is_reading_required for point in with_reading)


def test_what_the_protocol_asks_as_well_is_asked_once_with_its_code_and_reading(hall, visit):
    at_the_call_point = visit.test_points.filter(position__tag="CP2")
    assert [point.code for point in at_the_call_point] == ["function"]
    at_the_panel = visit.test_points.filter(position=hall.panel.position)
    assert not at_the_panel.filter(code="power-up-order").exists()
    failure = at_the_panel.get(code="mains-change-over")
    assert (failure.quantity, failure.planned_step.phase) == ("supply voltage under load", "mains and battery")


def test_what_has_an_answer_already_stays_and_the_step_is_asked_beside_it(hall):
    install_standard_protocols()
    rules = list(hall.panel.rules.all())
    hall.panel.rules.all().delete()
    visit = builders.make_visit(hall.hall, kind="commissioning", engineer=hall.people["engineer"])
    visit = start_visit(visit=visit, started_by=hall.people["engineer"])
    answered = visit.test_points.get(position__tag="CP2", code="function")
    builders.make_result(answered, recorded_by=hall.people["engineer"])
    type(rules[0]).objects.bulk_create(rules)
    take_plans(visit=visit)
    assert visit.test_points.filter(position__tag="CP2").count() == 2
    assert not PlannedStep.objects.filter(test_point=answered).exists()


def test_the_small_installation_is_asked_in_half_the_points_and_comes_back_to_the_panel(as_, small):
    """94 test points for two vents before; the goal is 45 beside the insulation of each run, and each place once."""
    walk = walk_of(small)
    assert walk.total <= 45 + small.test_points.filter(code="cable-insulation").count()
    stops = [(stop.position.tag, stop.leg) for stop in walk.stops]
    assert stops[0] == ("P1", 0) and stops[-1] == ("P1", 2)
    assert len(set(stops)) == len(stops)
    assert [tag for tag, leg in stops if leg == 1] == ["CP1", "CP2", "VS1", "VS2", "SD1", "SD2", "M1", "M2", "RS1"]
    wetted = [step for step in PlannedStep.objects.filter(plan__visit=small) if "Wet" in str(step.moves)]
    assert {step.test_point.position.tag for step in wetted} == {"RS1"}
    page = as_("engineer").get(walk.stops[-1].url).content.decode()
    assert "The panel shows normal and nothing else." in page and 'name="reading"' not in page


def test_a_line_is_measured_where_it_begins_before_the_power_is_up(small):
    measured = small.test_points.filter(code="end-of-line-resistance")
    power = small.test_points.get(code="step-supply-voltage")
    assert {point.done_at.tag for point in measured} == {"P1"}
    assert all(point.leg == 0 and point.order < power.order for point in measured)


def test_insulation_is_measured_where_the_run_begins_before_the_power_is_up(small):
    measured = small.test_points.filter(code="cable-insulation")
    power = small.test_points.get(code="step-supply-voltage")
    assert {point.position.actuator_circuit_id is None for point in measured} == {True, False}  # circuits and lines
    assert all(point.done_at.tag == "P1" and point.leg == 0 and point.order < power.order for point in measured)
    assert all("destroys electronics" in point.caution for point in measured)


def test_what_is_done_alike_at_one_line_after_another_is_told_with_its_caution_at_each(as_, small):
    alike = small.test_points.filter(code="end-of-line-resistance")
    lines = alike.count()
    page = as_("engineer").get(walk_of(small).stops[0].url).content.decode()
    assert lines > 1 and page.count(escape(alike[0].caution_words)) == page.count(escape(alike[0].instruction)) == lines


def test_a_step_tells_its_way_once_and_a_line_is_opened_and_shorted(small):
    """The plan says how; the check that it takes over adds what to expect, no second way of doing the same."""
    supply = PlannedStep.objects.get(plan__visit=small, test_point__code="battery-failure")
    assert "connect again" not in str(supply.moves)  # the battery is not on yet
    point = small.test_points.filter(code="line-fault").first()
    done = [move["do"] for move in point.planned_step.moves]
    assert [words.split()[0] for words in done] == ["Take", "Short", "Then:"]


def test_the_page_of_a_step_does_not_tell_the_way_of_the_check_as_well(as_, small):
    page = as_("engineer").get(walk_of(small).stops[0].url).content.decode()
    assert "Measure: charger voltage." in page and "Disconnect the battery, mains on" not in page


def test_no_title_of_the_plan_repeats_what_is_done(hall):
    planned = [step for step in panel_plan(hall.panel).steps if step.step.lines]
    assert {step.title.split(",")[0] for step in planned} >= {"Device off at SD1", "Open and short at SD1"}
    assert not [step for step in planned if step.title == step.moves[0]["do"]]


def test_what_several_zones_do_is_one_sentence():
    lamps = [f"Alarm lamp of Zone {k} comes on." for k in (1, 2)]
    shut = [f"Group Z{k} stays shut: lock-out, because Zone 1 was in alarm first." for k in (2, 3)]
    said = [
        "Zone 1 goes into alarm.",
        "Group Z1 opens.",
        "Zone 2 goes into alarm.",
        *lamps,
        *shut,
        "Output fault comes on.",
    ]
    assert plain(said) == [
        "Zones 1 and 2 go into alarm.",
        "Group Z1 opens.",
        "Alarm lamps of Zones 1 and 2 come on.",
        "Groups Z2 and Z3 stay shut: lock-out, because Zone 1 was in alarm first.",
        "Output fault comes on.",
    ]


def test_the_call_points_are_compared_as_listed_and_confirmed_by_operating(small):
    listed = small.test_points.get(title="Call points as listed")
    first, second = (small.building.positions.with_serial().get(tag=tag) for tag in ("CP1", "CP2"))
    assert f"CP1: serial {first.serial}, Zone 1" in listed.expected
    assert f"CP2: serial {second.serial}, Zone 2" in listed.expected
    point = small.test_points.get(position=first, code="function")
    assert f"The panel names this call point and no other: CP1, serial {first.serial}." in point.expected
    answer = {"client_uuid": str(uuid4()), "test_point": point.pk, "outcome": "pass"}
    take_answers(visit=small, person=small.engineer, answers=[answer])
    (proof,) = PlaceConfirmation.objects.all()
    assert (proof.fitting.position, proof.method, proof.by) == (first, "operated", small.engineer)


def test_a_call_point_that_failed_has_no_place_confirmed(small):
    point = small.test_points.get(position__tag="CP1", code="function")
    defect = {"severity": "degraded", "description": "The panel names CP2."}
    answer = {"client_uuid": str(uuid4()), "test_point": point.pk, "outcome": "fail", "defect": defect}
    take_answers(visit=small, person=small.engineer, answers=[answer])
    assert point.results.exists() and not PlaceConfirmation.objects.exists()


def test_a_monitored_input_is_opened_a_line_measured_where_it_begins_and_an_entry_of_a_link_confirmed(hall):
    """Operating a call point on a data link confirms the entry of the panel's list with its serial; a link has no
    end-of-line resistor."""
    link = DataLink.objects.create(panel=hall.panel, number=1, when_broken="fault")
    Position.objects.filter(pk=hall.call_point.pk).update(data_link=link, panel=hall.panel)
    fitting = hall.call_point.fittings.open().first() or builders.fit(hall.call_point)
    entry = LinkEntry.objects.create(data_link=link, place=1, serial=fitting.unit.serial, number_given=11)
    monitored = InputPort.objects.create(panel=hall.panel, number=3, function="rain", is_monitored=True)
    InputDevice.objects.create(input_port=monitored, position=hall.hall.positions.get(tag="RS1"))
    hall.panel.detection_lines.update(starts_at=hall.call_point)
    install_standard_protocols()
    visit = builders.make_visit(hall.hall, kind="commissioning", engineer=hall.people["engineer"])
    visit = start_visit(visit=visit, started_by=hall.people["engineer"])
    assert not visit.test_points.filter(title__contains="resistor of Data link").exists()
    assert visit.test_points.filter(position__tag="RS1", title__startswith="Open monitored input 3").exists()
    assert visit.test_points.get(code="end-of-line-resistance").done_at == hall.call_point
    operated = visit.test_points.get(position=hall.call_point, code="function")
    assert "number 11" in operated.expected
    answer = {"client_uuid": str(uuid4()), "test_point": operated.pk, "outcome": "pass"}
    take_answers(visit=visit, person=visit.engineer, answers=[answer])
    entry.refresh_from_db()
    assert (entry.position, entry.confirmed_how, entry.confirmed_by) == (hall.call_point, "operating", visit.engineer)


def test_a_line_that_is_not_used_has_no_step_and_is_named(hall):
    builders.make_line(hall.panel, number=7)
    add_usual_rules(panel=hall.panel)
    plan = panel_plan(hall.panel)
    assert plan.unused == ("Line 7",)
    assert not [move for planned in plan.steps for move in planned.moves if "resistor of Line 7" in move["do"]]
    assert plan.coverage.is_complete


def test_isolating_is_no_step_of_the_plan_and_stands_beside_it(as_, hall):
    """A plan that ended with isolating would be whole only with the smoke control dead and its guards off."""
    plan = panel_plan(hall.panel)
    assert not {step.step.do for step in plan.steps} & {step.do for step in ISOLATE.steps}
    paper = text_of(as_("engineer").get(reverse("panel-commissioning-plan-pdf", args=[hall.panel.pk])).content)
    page = as_("engineer").get(reverse("panel-commissioning-plan", args=[hall.panel.pk])).content.decode()
    for shown in (page, paper):
        assert "ends with the panel in service" in " ".join(shown.split())
    assert ISOLATE.steps[-1].do in page and "Both proven dead" in " ".join(paper.split())


@pytest.fixture
def with_the_makers_order(hall):
    """The hall, whose panel's model has its maker's order of powering up; none of isolating."""
    model = builders.make_product_model(
        "control_panel", power_up_order="Close switch F1.\n" + "Wait. " * 50, power_order_source="Manual 12, page 4"
    )
    Position.objects.filter(pk=hall.panel.position_id).update(product_model=model)
    hall.panel.refresh_from_db()
    return hall


def test_the_makers_order_wins_and_the_general_one_stands_beneath_it(as_, with_the_makers_order):
    hall = with_the_makers_order
    plan = panel_plan(hall.panel)
    up = [step for step in plan.steps if step.step.phase == "power_up"]
    assert up[0].step.do == "Close switch F1."
    assert [step.about for step in up[2:]] == ["call-points-listed"]
    assert all("live" in step.hazards for step in up[:2])  # nobody has sorted them
    assert plan.isolation.steps == ISOLATE.steps
    page = as_("engineer").get(reverse("panel-commissioning-plan", args=[hall.panel.pk])).content.decode()
    assert "Manual 12, page 4" in page
    assert POWER_UP.steps[1].do in page  # folded beneath
    paper = text_of(as_("engineer").get(reverse("panel-commissioning-plan-pdf", args=[hall.panel.pk])).content)
    assert "Manual 12, page 4" in paper and "opens the door" in paper


def test_a_step_that_is_its_own_name_is_said_once(as_, with_the_makers_order):
    page = as_("engineer").get(reverse("panel-commissioning-plan", args=[with_the_makers_order.panel.pk]))
    assert page.content.decode().count("Close switch F1.") == 1


def test_a_long_step_of_the_maker_is_kept_whole_on_the_visit(with_the_makers_order):
    hall = with_the_makers_order
    install_standard_protocols()
    visit = builders.make_visit(hall.hall, kind="commissioning", engineer=hall.people["engineer"])
    start_visit(visit=visit, started_by=hall.people["engineer"])
    point = visit.test_points.get(code=f"step-{hall.panel.pk}-002")
    assert point.instruction.startswith(("Wait. " * 50).strip())
    assert point.hazards == "live,moving,alarm"


def test_each_step_carries_its_hazards_to_the_visit_the_phone_and_paper(as_, hall, visit):
    step = PlannedStep.objects.get(test_point__position__tag="CP2")
    assert step.test_point.hazards == "moving,height,alarm"  # no control here closes the vents: by hand
    assert "everyone clear" in step.test_point.caution and "Receiving centre" in step.test_point.caution
    detector = PlannedStep.objects.get(test_point__position__tag="SD1", phase="point by point")
    assert detector.test_point.hazards == "moving,height,alarm"
    for name in ("visit-plan", "visit-field-position"):
        pk = [visit.pk] if name == "visit-plan" else [visit.pk, step.test_point.position_id]
        page = as_("engineer").get(reverse(name, args=pk)).content.decode()
        assert "vents move" in page and "may raise an alarm" in page
    paper = text_of(as_("engineer").get(reverse("panel-commissioning-plan-pdf", args=[hall.panel.pk])).content)
    for words in ("live work", "vents move", "at height", "may raise an alarm"):
        assert words in paper


def test_each_call_point_says_which_zone_must_stay(hall):
    step = done_of(panel_plan(hall.panel))["Operate CP2 with its test key or frangible element."]
    assert any("Zone 2 Roof stair goes into alarm" in sentence for sentence in step.step.must)
    assert any("Zone 1 Main stair" in sentence for sentence in step.step.must_not)


def test_the_end_of_line_part_is_taken_out_at_the_last_device(hall):
    step = next(step for step in panel_plan(hall.panel).steps if "end-of-line" in step.step.do)
    assert step.tag == "SD1"
