"""The building's page: the four answers, each with its one line and a way in."""

from django.shortcuts import get_object_or_404, render

from inspections.headlines import with_headline
from inspections.models import Defect, HandOver
from inspections.overview import page as overview
from sites_registry.models import Building, Job

MOST_HAND_OVERS = 3


def building_detail(request, slug):
    buildings = with_headline(Building.objects.visible_to(request.user).with_client())
    building = get_object_or_404(buildings, slug=slug)
    fitted, limits = overview.fitted_and_wired(building), overview.within_limits(building)
    proven, due = overview.proven(building), overview.due(building)
    context = {
        "building": building,
        "fitted": fitted,
        "limits": limits,
        "proven": proven,
        "due": due,
        "worst": overview.worst_of(due, proven, limits, fitted),
        "certificates": overview.certificates_in_force(building),
        **overview.visits_of(building),
        "defects": Defect.objects.filter(building=building).open().worst_first().with_place()[:6],
        "hand_overs": HandOver.objects.visible_to(request.user)
        .filter(building=building)
        .select_related("to", "job")
        .with_file_count()[:MOST_HAND_OVERS],
        "newest_job": Job.objects.visible_to(request.user).open().filter(building=building).first(),
        "put_right": overview.put_right_lately(building),
        "panels": building.panels.select_related("position").order_by("position__tag_key"),
        "zones": building.smoke_zones.order_by("number"),
        "managers": building.managers.all(),
        "attachments": building.attachments.visible_to(request.user).for_list(),
        "owner": building,
    }
    return render(request, "inspections/overview/building_detail.html", context)
