"""The design check as PDF, of a panel and of a building."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_GET

from sites_registry.documents.downloads import download, file_name
from sites_registry.models import Building
from zones.design_check.checked import checked_building, checked_panel
from zones.design_check.document import FINDINGS_PER_DOCUMENT, building_report_pdf, panel_report_pdf
from zones.models import ControlPanel


@require_GET
def panel_design_report(request, pk):
    panels = ControlPanel.objects.visible_to(request.user).select_related("building__client", "position")
    panel = get_object_or_404(panels, pk=pk)
    now = timezone.now()
    pdf = panel_report_pdf(checked_panel(panel), prepared_by=request.user, now=now)
    return _download(pdf, panel.building, f"design-check-{panel.tag}", now)


@require_GET
def building_design_report(request, slug):
    building = get_object_or_404(Building.objects.visible_to(request.user).with_client(), slug=slug)
    checked = checked_building(building)
    if len(checked.all_findings) > FINDINGS_PER_DOCUMENT:
        messages.error(
            request,
            f"{len(checked.all_findings)} findings are too many for one document (at most {FINDINGS_PER_DOCUMENT}). "
            "Print the design check panel by panel.",
        )
        return redirect("building-design-check", slug)
    now = timezone.now()
    pdf = building_report_pdf(checked, prepared_by=request.user, now=now)
    return _download(pdf, building, "design-check", now)


def _download(pdf, building, document, now):
    name = file_name(building, document, f"{timezone.localtime(now):%Y-%m-%d}", "pdf")
    return download(pdf, "application/pdf", name)
