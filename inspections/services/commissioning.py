"""The commissioning plan of a panel becomes test points of a commissioning visit."""

from django.db import transaction
from django.utils import timezone

from inspections.models import CommissioningPlan, PlannedStep, TestPoint, Visit, VisitKind
from inspections.models.plans import PARTS
from inspections.services.point_limits import LimitsHere
from sites_registry.services.refusals import Refused
from zones.cause_and_effect.commissioning import panel_plan
from zones.engineering.cause_and_effect import encode_events
from zones.engineering.hazards import hazards_text
from zones.models import ControlPanel

# Test points of a plan stand behind those that the protocol asks at the same position.
AFTER_THE_PROTOCOL = 1_000
LONGEST_TITLE = 200


class PlanRefused(Refused):
    """The visit cannot take over a commissioning plan."""


@transaction.atomic
def take_plans(*, visit):
    """Take over the plan of every panel with rules into a commissioning visit under way; returns the new plans.

    A panel whose plan the visit has already keeps it as it was taken over. Raises PlanRefused; RuleSetError:
    the rules of a panel point nowhere.
    """
    visit = Visit.objects.select_for_update(of=("self",)).select_related("building").get(pk=visit.pk)
    if visit.kind != VisitKind.COMMISSIONING:
        raise PlanRefused(f"A {visit.get_kind_display()} has no commissioning plan. Plan a commissioning visit.")
    if visit.state != Visit.State.UNDER_WAY:
        raise PlanRefused(f"The visit is {visit.get_state_display()}. Its plan is taken over while it is under way.")
    there = set(visit.plans.values_list("panel", flat=True))
    panels = ControlPanel.objects.filter(building=visit.building, position__retired_on=None).exclude(pk__in=there)
    panels = panels.filter(rules__isnull=False).distinct().select_related("position__product_model", "building")
    return [plan for panel in panels.order_by("position__tag_key") if (plan := _take(visit, panel))]


def _take(visit, panel):
    planned = panel_plan(panel)
    if not planned.steps:
        return None
    coverage = planned.coverage
    plan = CommissioningPlan(
        visit=visit, panel=panel, resets=coverage.resets, made_at=timezone.now(), not_covered=planned.not_covered,
        **{f"{part}_of": getattr(coverage, part).of for part in PARTS},
    )  # fmt: skip
    plan.full_clean()
    plan.save()
    points, limits = [_point(visit, panel, each) for each in planned.steps], LimitsHere(visit)
    for point in points:
        limits.put_into(point)
    TestPoint.objects.bulk_create(points, batch_size=500)
    PlannedStep.objects.bulk_create(
        [_step(plan, point, each) for point, each in zip(points, planned.steps, strict=True)], batch_size=500
    )
    return plan


def _point(visit, panel, planned):
    step = planned.step
    return TestPoint(
        visit=visit, position_id=planned.position_id, code=f"step-{panel.pk}-{planned.number:03}",
        order=AFTER_THE_PROTOCOL + planned.number, title=_cut(step.do, LONGEST_TITLE),
        instruction=_cut(" ".join(_instructions(planned)), 1000), hazards=hazards_text(planned.hazards),
        expected=_cut(" ".join(step.must) or "As described.", 1000), caution=planned.caution,
        limit_source="common practice; cause and effect as designed",
    )  # fmt: skip


def _instructions(planned):
    measures = [f"Measure {reading}." for reading in planned.step.readings]
    whole = [planned.step.do] if len(planned.step.do) > LONGEST_TITLE else []
    return [*whole, *measures, *(f"Then: {sentence}" for sentence in planned.then)]


def _cut(text, limit):
    return text if len(text) <= limit else f"{text[: limit - 2]} …"


def _step(plan, point, planned):
    step = planned.step
    return PlannedStep(
        plan=plan, test_point=point, number=planned.number, round=step.round, phase=step.phase.words,
        must=list(step.must), must_not=list(step.must_not), readings=list(step.readings),
        events=encode_events(step.events), tries=planned.tries,
    )  # fmt: skip


def coverage_of(visit):
    """How much of each plan of a visit its passing results cover; for the page, the report and the certificate.

    Returns a list of dicts: panel (tag), parts [(part, done, of)], steps, open_steps, not_covered (sentences),
    is_complete.
    """
    plans = visit.plans.select_related("panel__position").prefetch_related("steps__test_point__latest_result")
    return [_coverage(plan) for plan in plans.order_by("panel__position__tag_key")]


def _coverage(plan):
    steps = list(plan.steps.all())
    passed = [step for step in steps if step.is_passed]
    open_steps = len(steps) - len(passed)
    parts = [(part, _covered(part, steps, passed), getattr(plan, f"{part}_of")) for part in PARTS]
    return {
        "panel": plan.panel.tag, "parts": parts, "steps": len(steps), "open_steps": open_steps,
        "open_words": f"{open_steps} step{'s' * (open_steps != 1)} not passed", "not_covered": plan.not_covered,
        "is_complete": not open_steps and not plan.not_covered,
    }  # fmt: skip


def _covered(part, steps, passed):
    """How many of this part the passed steps cover. An input counts once everything it can say was tried."""
    done = {str(one) for step in passed for one in step.tries.get(part, [])}
    if part != "inputs":
        return len(done)
    wanted = {}
    for step in steps:
        for key, action in step.tries.get("inputs", []):
            wanted.setdefault(key, set()).add(str([key, action]))
    return sum(all_of <= done for all_of in wanted.values())
