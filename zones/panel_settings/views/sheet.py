"""The settings sheet of a panel on screen; on paper: zones/panel_settings/document.py."""

from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from zones.editing.pages import may_edit
from zones.models import ControlPanel
from zones.panel_settings.page import sections_of
from zones.panel_settings.sheet import settings_sheet


@require_GET
def panel_settings_sheet(request, pk):
    panels = ControlPanel.objects.visible_to(request.user).select_related("building__client", "position")
    panel = get_object_or_404(panels, pk=pk)
    sheet = settings_sheet(panel)
    sections = sections_of(sheet, with_forms=may_edit(request))
    context = {"panel": panel, "building": panel.building, "sheet": sheet, "sections": sections}
    return render(request, "zones/panel_settings/settings_sheet.html", context)
