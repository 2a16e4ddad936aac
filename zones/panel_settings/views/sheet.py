"""The settings sheet of a panel on screen; on paper: zones/panel_settings/document.py."""

from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET

from zones.editing.pages import may_edit
from zones.models import ControlPanel
from zones.panel_settings.sheet import settings_sheet

FORM_OF = {
    "panel": "panel-update",
    "setting": "setting-update",
    "circuit": "circuit-update",
    "line": "line-update",
    "device": "position-update",
}
# Read from the rules, not from a field of its own.
FROM_RULES = ("function", "dependency", "fault")


def form_url_of(line, panel):
    """Where a line of the sheet is changed: the form of its record, or the panel's cause and effect."""
    owner, key, field = line.key.split("-", 2)
    if owner == "on" or field in FROM_RULES:
        return reverse("rule-matrix", args=[panel.pk])
    if owner in FORM_OF:
        return reverse(FORM_OF[owner], args=[key])
    return reverse("zone-list", args=[panel.building.slug])


@require_GET
def panel_settings_sheet(request, pk):
    panels = ControlPanel.objects.visible_to(request.user).select_related("building__client", "position")
    panel = get_object_or_404(panels, pk=pk)
    sheet = settings_sheet(panel)
    edits = may_edit(request)
    sections = [
        (name, [(line, form_url_of(line, panel) if edits else "") for line in lines]) for name, lines in sheet.sections
    ]
    context = {"panel": panel, "building": panel.building, "sheet": sheet, "sections": sections}
    return render(request, "zones/panel_settings/settings_sheet.html", context)
