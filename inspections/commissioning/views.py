"""The commissioning plan: of a panel as it would be now, and of a visit as it was taken over."""

from dataclasses import dataclass
from itertools import groupby

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from inspections.commissioning.document import CAUTION
from inspections.commissioning.plans import PlanRefused, coverage_of, take_plans
from inspections.models import Outcome, PlannedStep, Visit
from inspections.models.test_points import Leg
from sites_registry.access import Role, for_roles
from sites_registry.words import storey_words
from zones.cause_and_effect.commissioning import panel_plan
from zones.cause_and_effect.views.matrix import panel_of
from zones.engineering.cause_and_effect import RuleSetError


@require_safe
def panel_commissioning_plan(request, pk):
    """The plan of a panel from its rules as they are now."""
    panel = panel_of(request, pk)
    context = {"panel": panel, "caution": CAUTION}
    try:
        context["plan"] = panel_plan(panel)
    except RuleSetError as error:
        context["faults"] = error.sentences
    return render(request, "inspections/commissioning/panel_commissioning_plan.html", context)


@require_safe
def visit_plan(request, pk):
    """The plans that a visit took over: steps in their order, with what was found."""
    visit = get_object_or_404(Visit.objects.visible_to(request.user).with_building(), pk=pk)
    steps = (
        PlannedStep.objects.filter(plan__visit=visit)
        .select_related("plan__panel__position", "test_point__position", "test_point__latest_result")
        .order_by("plan__panel__position__tag_key", "number")
    )
    panels = [
        (panel, [StepsAtPlace(list(there)) for _, there in groupby(of_panel, key=_place_of)])
        for panel, of_panel in groupby(steps, key=lambda step: step.plan.panel)
    ]
    context = {
        "visit": visit,
        "building": visit.building,
        "panels": panels,
        "coverage": coverage_of(visit),
        "next_place": next((place for _, places in panels for place in places if not place.is_done), None),
        "caution": CAUTION,
        "may_take": request.user.is_engineer and visit.kind == "commissioning" and visit.state == Visit.State.UNDER_WAY,
    }
    return render(request, "inspections/commissioning/visit_plan.html", context)


def _place_of(step):
    return step.test_point.leg, step.test_point.position_id


@dataclass(frozen=True)
class StepsAtPlace:
    """Neighbouring steps of a plan at one place, and how far they are."""

    steps: list

    @property
    def first(self):
        return self.steps[0]

    @property
    def words(self):
        point = self.first.test_point
        where = " · ".join(filter(None, [storey_words(point.position.storey), point.position.room]))
        return {Leg.START: "first", Leg.END: "last"}.get(point.leg, where)

    @property
    def done(self):
        return sum(step.test_point.latest_result_id is not None for step in self.steps)

    @property
    def failed(self):
        results = [step.test_point.latest_result for step in self.steps]
        return sum(result is not None and result.outcome == Outcome.FAIL for result in results)

    @property
    def failed_words(self):
        return f"{self.failed} failed"

    @property
    def is_done(self):
        return self.done == len(self.steps) and not self.failed


@for_roles(Role.ENGINEER)
@require_POST
def visit_plan_take(request, pk):
    """Take over the plans of panels that came or got their rules after the start of the visit."""
    visit = get_object_or_404(Visit.objects.visible_to(request.user), pk=pk)
    try:
        plans = take_plans(visit=visit)
    except PlanRefused as refusal:
        messages.error(request, str(refusal))
    except RuleSetError as error:
        for sentence in error.sentences:
            messages.error(request, sentence)
    else:
        if plans:
            tags = ", ".join(plan.panel.tag for plan in plans)
            messages.success(request, f"The plan of {tags} is taken over: its steps are test points of this visit.")
        else:
            messages.info(request, "No panel has a plan that this visit lacks.")
    return redirect("visit-plan", pk)
