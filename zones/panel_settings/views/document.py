"""The settings sheet of a panel as PDF; a manager downloads those of own buildings."""

from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.views.decorators.http import require_GET

from sites_registry.documents.downloads import download, file_name
from zones.models import ControlPanel
from zones.panel_settings.document import settings_sheet_pdf
from zones.panel_settings.sheet import settings_sheet


@require_GET
def settings_sheet_report(request, pk):
    panels = ControlPanel.objects.visible_to(request.user).select_related("building__client", "position")
    panel = get_object_or_404(panels, pk=pk)
    now = timezone.now()
    content = settings_sheet_pdf(settings_sheet(panel), prepared_by=request.user, now=now)
    name = file_name(panel.building, f"settings {panel.tag}", f"{timezone.localtime(now):%Y-%m-%d}", "pdf")
    return download(content, "application/pdf", name)
