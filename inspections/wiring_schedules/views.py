"""Terminal, cable and end-of-line schedules, on screen; a manager reads those of own buildings."""

from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inspections.wiring_schedules import document as schedules
from sites_registry.models import Building
from zones.models import ControlPanel


def _building(request, slug):
    return get_object_or_404(Building.objects.visible_to(request.user).with_client(), slug=slug)


def _panel(request, pk):
    panels = ControlPanel.objects.visible_to(request.user).select_related("building__client", "position")
    return get_object_or_404(panels, pk=pk)


def _show(request, schedule):
    notice = schedule.wiring.notice(timezone.localdate()) if schedule.row_count else ""
    context = {"schedule": schedule, "building": schedule.building, "notice": notice}
    return render(request, "inspections/wiring_schedules/wiring_schedule.html", context)


@require_GET
def terminal_schedule(request, pk):
    return _show(request, schedules.terminal_schedule(_panel(request, pk)))


@require_GET
def cable_schedule(request, slug):
    return _show(request, schedules.cable_schedule(_building(request, slug)))


@require_GET
def end_of_line_schedule(request, slug):
    return _show(request, schedules.end_of_line_schedule(_building(request, slug)))
