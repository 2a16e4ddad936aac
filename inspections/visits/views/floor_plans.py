"""The plan of a storey on a visit, for the phone."""

from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET

from inspections.visits.floor_plans import plan_of_visit
from inspections.visits.views.field import page_data, visit_of
from inspections.visits.walk import walk_of
from sites_registry.access import Role, for_roles
from zones.models import FloorPlan


@for_roles(Role.ENGINEER)
@require_GET
def visit_floor_plan(request, pk, plan_pk):
    """Its positions with their state, the route of the walk, what is without a place."""
    visit = visit_of(request, pk)
    return floor_plan_page(request, visit, walk_of(visit), plan_pk)


def floor_plan_page(request, visit, walk, plan_pk):
    """The page of a plan with this walk, which a phone may have ahead of the visit's start."""
    plans = FloorPlan.objects.visible_to(request.user).filter(building=visit.building)
    plan = get_object_or_404(plans, pk=plan_pk)
    shown = plan_of_visit(plan, walk)
    context = {
        "visit": visit,
        "building": visit.building,
        "back_url": reverse("visit-field", args=[visit.pk]),
        "back_word": "All storeys",
        "walk": walk,
        "plan": plan,
        "shown": shown,
        "others": plans.in_force().exclude(pk=plan.pk).order_by("storey"),
        "page_data": page_data(request.user, visit, walk, []),
    }
    return render(request, "inspections/visits/visit_floor_plan.html", context)
