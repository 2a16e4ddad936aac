"""Terminal, cable and end-of-line schedules, on screen and as PDF; a manager reads those of own buildings."""

from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inspections.wiring_schedules import document as schedules
from sites_registry.documents.downloads import download, file_name
from sites_registry.models import Building
from zones.models import ControlPanel

PDF_TYPE = "application/pdf"


def _building(request, slug):
    return get_object_or_404(Building.objects.visible_to(request.user).with_client(), slug=slug)


def _panel(request, pk):
    panels = ControlPanel.objects.visible_to(request.user).select_related("building__client", "position")
    return get_object_or_404(panels, pk=pk)


def _show(request, schedule):
    notice = schedule.wiring.notice(timezone.localdate()) if schedule.row_count else ""
    context = {"schedule": schedule, "building": schedule.building, "notice": notice}
    return render(request, "inspections/wiring_schedules/wiring_schedule.html", context)


def _pdf(request, schedule):
    content = schedules.schedule_pdf(schedule, prepared_by=request.user, now=timezone.now())
    name = file_name(schedule.building, schedule.title, timezone.localdate().isoformat(), "pdf")
    return download(content, PDF_TYPE, name)


@require_GET
def terminal_schedule(request, pk):
    return _show(request, schedules.terminal_schedule(_panel(request, pk)))


@require_GET
def terminal_schedule_pdf(request, pk):
    return _pdf(request, schedules.terminal_schedule(_panel(request, pk)))


@require_GET
def cable_schedule(request, slug):
    return _show(request, schedules.cable_schedule(_building(request, slug)))


@require_GET
def cable_schedule_pdf(request, slug):
    return _pdf(request, schedules.cable_schedule(_building(request, slug)))


@require_GET
def end_of_line_schedule(request, slug):
    return _show(request, schedules.end_of_line_schedule(_building(request, slug)))


@require_GET
def end_of_line_schedule_pdf(request, slug):
    return _pdf(request, schedules.end_of_line_schedule(_building(request, slug)))
