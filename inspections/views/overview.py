"""The building's page: the four answers, each with its one line and a way in."""

from django.shortcuts import get_object_or_404, render

from inspections import overview
from inspections.due import with_last_inspection
from inspections.models import Defect
from sites_registry.models import Building


def building_detail(request, slug):
    buildings = with_last_inspection(Building.objects.visible_to(request.user).with_client())
    building = get_object_or_404(buildings, slug=slug)
    context = {
        "building": building,
        "fitted": overview.fitted_and_wired(building),
        "limits": overview.within_limits(building),
        "proven": overview.proven(building),
        "due": overview.due(building),
        "certificates": overview.certificates_in_force(building),
        "next_visit": overview.next_visit_of(building),
        "defects": Defect.objects.filter(building=building).open().worst_first().with_place()[:6],
        "panels": building.panels.select_related("position").order_by("position__tag_key"),
        "zones": building.smoke_zones.order_by("number"),
        "managers": building.managers.all(),
        "attachments": building.attachments.visible_to(request.user).for_list(),
        "owner": building,
    }
    return render(request, "inspections/building_detail.html", context)
