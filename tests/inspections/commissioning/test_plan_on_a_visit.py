"""A plan taken over by a visit: its steps as test points, and the coverage that the certificate states."""

import pytest
from django.urls import reverse
from django.utils.html import escape

from inspections.commissioning.plans import coverage_of, take_plans
from inspections.models import CommissioningPlan, PlannedStep
from inspections.visits.edits import start_visit
from tests import builders
from tests.inspections.commissioning.conftest import commissioning_of_the_hall
from tests.paper_text import text_of
from zones.cause_and_effect.commissioning import panel_plan
from zones.cause_and_effect.edits import add_usual_rules
from zones.models import Position


def test_a_started_commissioning_visit_has_the_steps_as_test_points(hall, visit):
    plan = CommissioningPlan.objects.get(visit=visit)
    assert plan.steps.count() == len(panel_plan(hall.panel).steps)
    step = plan.steps.get(test_point__instruction__contains="Operate CP2", phase="point by point")
    assert step.test_point.position.tag == "CP2"
    assert "Zone 2 Roof stair goes into alarm" in step.test_point.expected


def test_an_inspection_takes_no_plan_over(hall):
    visit = start_visit(visit=hall.visit, started_by=hall.people["engineer"])
    assert not visit.plans.exists()


def test_the_plan_is_taken_over_once(as_, hall, visit):
    before = visit.test_points.count()
    for _ in range(2):
        as_("engineer").post(reverse("visit-plan-take", args=[visit.pk]))
    assert visit.test_points.count() == before


def test_a_panel_that_got_its_rules_later_is_taken_over_on_asking(as_, hall, visit):
    panel = builders.make_panel(hall.hall, tag="P2")
    zone = builders.make_zone(hall.hall, panel=panel, number=3)
    builders.make_position(hall.hall, "actuator", tag="M9", smoke_zone=zone, panel=panel)
    builders.make_position(hall.hall, "manual_call_point", tag="CP9", smoke_zone=zone, panel=panel)
    add_usual_rules(panel=panel)
    as_("engineer").post(reverse("visit-plan-take", args=[visit.pk]))
    assert visit.plans.filter(panel=panel).exists()


def test_later_rules_do_not_change_the_plan_of_a_visit(hall, visit):
    before = list(PlannedStep.objects.values_list("must", flat=True))
    hall.panel.rules.all().delete()
    assert list(PlannedStep.objects.values_list("must", flat=True)) == before


def pass_all(visit, person, leave=()):
    for point in visit.test_points.all():
        if point.pk not in leave:
            builders.make_result(point, recorded_by=person)


def test_coverage_counts_what_passed(hall, visit):
    (row,) = coverage_of(visit)
    assert [done for _, done, _ in row["parts"]] == [0, 0, 0, 0]
    assert row["open_words"] == f"{row['steps']} steps not passed"
    pass_all(visit, hall.people["engineer"])
    (row,) = coverage_of(visit)
    assert row["is_complete"]
    assert all(done == of for _, done, of in row["parts"])


def test_a_step_that_was_left_out_lowers_the_coverage(hall, visit):
    step = PlannedStep.objects.get(test_point__position__tag="CP2")
    left = PlannedStep.objects.filter(test_point__position=step.test_point.position)
    pass_all(visit, hall.people["engineer"], leave=set(left.values_list("test_point", flat=True)))
    (row,) = coverage_of(visit)
    assert not row["is_complete"]
    assert (row["open_steps"], row["open_words"]) == (left.count(), "1 step not passed")


def test_the_certificate_states_the_coverage(hall, visit):
    from inspections.certificates.issue import issue_certificate
    from inspections.visits.edits import finish_visit

    pass_all(visit, hall.people["engineer"])
    finish_visit(visit=visit, finished_by=hall.people["engineer"])
    builders.accept_what_stands(visit)
    certificate = issue_certificate(
        visit=visit,
        issued_by=hall.people["office"],
        issued_on=builders.days_ago(0).date(),
        capacity="authorised person",
        scope="All.",
        exclusions="",
    )
    (row,) = certificate.statement["plans"]
    assert row["panel"] == "P1"
    assert row["open_steps"] == 0


def test_the_pages_and_the_paper_show_the_steps(as_, hall, visit):
    client = as_("manager")
    for name, key in (("panel-commissioning-plan", hall.panel.pk), ("visit-plan", visit.pk)):
        text = client.get(reverse(name, args=[key])).content.decode()
        assert "Operate CP2 with its test key or frangible element." in text
        assert "No vent of Zone 1 Main stair moves." in text
    paper = client.get(reverse("panel-commissioning-plan-pdf", args=[hall.panel.pk]))
    assert "Operate CP2 with its test key or frangible element." in text_of(paper.content)


def test_the_field_page_says_what_must_not_happen(as_, hall, visit):
    position = hall.hall.positions.get(tag="CP2")
    text = as_("engineer").get(reverse("visit-field-position", args=[visit.pk, position.pk])).content.decode()
    assert "No vent of Zone 1 Main stair moves." in text


def test_a_step_that_is_one_move_says_its_sentence_once(as_, hall, visit):
    step = visit.plans.get().steps.select_related("test_point").first()
    step.moves = [{"do": step.test_point.title, "must": ["The lamp lights."], "must_not": []}]
    step.save()
    address = reverse("visit-field-position", args=[visit.pk, step.test_point.position_id])
    page = as_("engineer").get(address).content.decode()
    told = page.split(f'id="point-{step.test_point_id}"')[1].split('class="questions')[0]
    assert told.count(escape(step.test_point.title)) == 1
    assert "See: The lamp lights." in told


def test_a_panel_without_rules_says_what_to_do(as_, town):
    text = as_("engineer").get(reverse("panel-commissioning-plan", args=[town.panel.pk])).content.decode()
    assert "No rule is recorded for this panel" in text


def test_an_inspection_refuses_a_plan_with_a_sentence(as_, hall):
    response = as_("engineer").post(reverse("visit-plan-take", args=[hall.visit.pk]), follow=True)
    assert "has no commissioning plan" in response.content.decode()
    assert not CommissioningPlan.objects.exists()


def test_taking_over_is_atomic(hall, visit, monkeypatch):
    visit.plans.all()
    count = visit.test_points.count()
    builders.make_rule(builders.make_panel(hall.hall, tag="P3"), position=hall.call_point, output="x", effect="S")
    monkeypatch.setattr(PlannedStep.objects, "bulk_create", lambda *a, **k: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        take_plans(visit=visit)
    assert visit.test_points.count() == count


def test_beside_a_second_panel_actuators_are_counted_at_the_panel_of_their_circuit_which_the_title_names_once(hall):
    other = builders.make_panel(hall.hall, tag="P2")
    zone = builders.make_zone(hall.hall, panel=other, number=3)
    builders.make_position(hall.hall, "actuator", tag="M9", smoke_zone=zone, panel=other)
    for number, tag in enumerate(("M1", "M9"), 1):
        actuator = hall.hall.positions.get(tag=tag)
        actuator.actuator_circuit = builders.make_circuit(actuator.panel, number=number, drive="addressed")
        actuator.save()
    builders.make_position(hall.hall, "manual_call_point", tag="CP9", smoke_zone=zone, panel=other)
    add_usual_rules(panel=other)
    visit = commissioning_of_the_hall(hall)
    told = visit.test_points.filter(title__contains=", circuit ")
    assert {(one.code, one.position.tag, one.done_at.tag, one.title.split(", ", 1)[1]) for one in told} == {
        ("actuators-found", "M1", "P1", "circuit 1"),
        ("actuators-found", "M9", "P2", "circuit 2"),
        ("cable-insulation", "M1", "P1", "circuit 1"),
        ("cable-insulation", "M9", "P2", "circuit 2"),
    }


@pytest.mark.parametrize(("more", "kept"), [(0, "W" * 199 + "."), (1, "W" * 198 + " …")])
def test_a_title_is_cut_only_where_it_is_longer_than_its_room(hall, more, kept):
    step = "W" * (199 + more) + "."
    model = builders.make_product_model("control_panel", power_up_order=step, power_order_source="Manual 12, page 4")
    Position.objects.filter(pk=hall.panel.position_id).update(product_model=model)
    visit = commissioning_of_the_hall(hall)
    assert visit.test_points.get(instruction=step).title == kept
