"""Device schedule and zone schedule of a building, as PDF and as spreadsheet; a manager downloads those of own ones."""

from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from inspections.papers.list import papers_of
from sites_registry.documents.downloads import download, file_name
from sites_registry.models import Building
from sites_registry.spreadsheets import XLSX_TYPE
from zones.panels import device_schedule as devices
from zones.panels import zone_schedule as zones

PDF_TYPE = "application/pdf"


def _building(request, slug):
    return get_object_or_404(Building.objects.visible_to(request.user).with_client(), slug=slug)


def _name(building, document, extension):
    return file_name(building, document, timezone.localdate().isoformat(), extension)


@require_GET
def schedule_list(request, slug):
    """What can be looked at and printed of a building; a schedule too long for one document panel by panel."""
    building = _building(request, slug)
    parts = devices.parts_of(devices.positions_of(building))
    total = sum(len(part.positions) for part in parts)
    is_long = total > devices.ROWS_PER_DOCUMENT
    panels = building.panels.select_related("position").order_by("position__tag_key")
    context = {
        "building": building, "total": total, "zones": building.smoke_zones.count(), "is_long": is_long,
        "rows_per_document": devices.ROWS_PER_DOCUMENT,
        "papers": papers_of(building, list(panels), parts, is_long=is_long, user=request.user),
    }  # fmt: skip
    return render(request, "inspections/papers/schedule_list.html", context)


@require_GET
def device_schedule_pdf(request, slug):
    """The whole schedule, or the part that `?part=` names; a long one leads to the list of its parts."""
    building = _building(request, slug)
    parts = devices.parts_of(devices.positions_of(building))
    subtitle, document = "", "device schedule"
    if key := request.GET.get("part"):
        parts = [part for part in parts if part.key == key]
        if not parts:
            raise Http404
        subtitle = parts[0].name
        document = f"device schedule {subtitle}"
    elif sum(len(part.positions) for part in parts) > devices.ROWS_PER_DOCUMENT:
        return redirect(reverse("schedule-list", args=[slug]) + "#parts")
    content = devices.device_schedule_pdf(
        building, parts, prepared_by=request.user, now=timezone.now(), subtitle=subtitle
    )
    return download(content, PDF_TYPE, _name(building, document, "pdf"))


@require_GET
def device_schedule_xlsx(request, slug):
    building = _building(request, slug)
    content = devices.device_schedule_xlsx(
        building, devices.parts_of(devices.positions_of(building)), now=timezone.now()
    )
    return download(content, XLSX_TYPE, _name(building, "device schedule", "xlsx"))


@require_GET
def zone_schedule_pdf(request, slug):
    building = _building(request, slug)
    content = zones.zone_schedule_pdf(building, zones.rows_of(building), prepared_by=request.user, now=timezone.now())
    return download(content, PDF_TYPE, _name(building, "zone schedule", "pdf"))


@require_GET
def zone_schedule_xlsx(request, slug):
    building = _building(request, slug)
    content = zones.zone_schedule_xlsx(building, zones.rows_of(building), now=timezone.now())
    return download(content, XLSX_TYPE, _name(building, "zone schedule", "xlsx"))
