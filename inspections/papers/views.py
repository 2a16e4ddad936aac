"""Everything of a building that can be looked at or printed; a manager sees that of own buildings."""

from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET

from inspections.models import HandOver
from inspections.overview.page import certificates_in_force
from sites_registry.documents.of_building import FILE_WORDS, WHOLE, Line, line_of, papers_of
from sites_registry.documents.papers import papers
from sites_registry.models import Building, Job
from zones.panels import device_schedule as devices

MOST_HAND_OVERS = 3


@require_GET
def schedule_list(request, slug):
    """What can be looked at and printed of a building; a schedule too long for one document panel by panel."""
    building = get_object_or_404(Building.objects.visible_to(request.user).with_client(), slug=slug)
    parts = devices.parts_of(devices.positions_of(building))
    total = sum(len(part.positions) for part in parts)
    is_long = total > devices.ROWS_PER_DOCUMENT
    context = {
        "building": building,
        "total": total,
        "zones": building.smoke_zones.count(),
        "is_long": is_long,
        "rows_per_document": devices.ROWS_PER_DOCUMENT,
        "certificates": certificates_in_force(building),
        "hand_overs": HandOver.objects.visible_to(request.user)
        .filter(building=building)
        .select_related("to", "job")
        .with_file_count()[:MOST_HAND_OVERS],
        "newest_job": Job.objects.visible_to(request.user).open().filter(building=building).first(),
        "papers": papers_of(building, request.user, lines={"device-schedule": _by_parts(building, parts, is_long)}),
    }
    return render(request, "inspections/papers/schedule_list.html", context)


def _by_parts(building, parts, is_long):
    """The whole device schedule, then its parts; only the parts where the whole is too long for one document."""
    whole = line_of(papers()["device-schedule"], building)
    if not is_long and len(parts) < 2:
        return [whole]
    pdf = reverse("device-schedule-pdf", args=[building.slug])
    ways = tuple(way for way in whole.ways if not is_long or way[1] != pdf)
    return [Line(WHOLE, ways), *(Line(part.name, ((FILE_WORDS["pdf"], f"{pdf}?part={part.key}"),)) for part in parts)]
