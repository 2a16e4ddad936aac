"""The design check of a panel and of a building: computed from the records each time it is read."""

from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from zones.design_check.alike import told_once
from zones.design_check.checked import checked_building, checked_panel
from zones.design_check.filters import FILTERS, count_boxes, filter_of
from zones.design_check.findings import building_group, groups_of
from zones.design_check.forms import WhatIfForm
from zones.design_check.line_meters import meter_readings
from zones.design_check.plots import plots_of
from zones.design_check.variants import compare
from zones.editing.pages import building_of, may_edit
from zones.models import ControlPanel

CAUTION = (
    "This check supports a competent person and signs for nobody; a measurement on the installation outranks every "
    "figure in it."
)


def page_of(request, check, record):
    """Returns (what was checked, context common to both pages)."""
    chosen = filter_of(request.GET.get("severity", ""))
    return check(record), {
        "chosen": chosen,
        "severities": FILTERS[chosen],
        "caution": CAUTION,
        "may_edit": may_edit(request),
        "back": request.get_full_path(),
    }


@require_safe
def panel_design_check(request, pk):
    """Every finding about one panel, worst first."""
    panels = ControlPanel.objects.visible_to(request.user).select_related("building", "position")
    panel = get_object_or_404(panels, pk=pk)
    checked, context = page_of(request, checked_panel, panel)
    groups = groups_of(checked, severities=context["severities"], user=request.user, back=context["back"])
    context |= {
        "panel": panel,
        "building": panel.building,
        "design": checked.design,
        "groups": told_once(checked, groups),
        "boxes": count_boxes(checked.findings, context["chosen"]),
        "total": len(checked.findings),
        "plot_sections": plots_of(checked),
        "basis": checked.records.basis,
    }
    context["meters"] = meter_readings(checked)
    if context["may_edit"]:
        context |= what_if(request, checked)
    return render(request, "zones/design_check/panel_design_check.html", context)


def what_if(request, checked):
    """The what-if box with what the address asks of it; reads and computes, stores nothing."""
    form = WhatIfForm(request.GET, checked=checked)
    severity = request.GET.get("severity")
    form.full_clean()
    return {
        "what_if": form,
        "comparison": compare(checked, form.variant) if form.variant else None,
        "as_recorded": f"{request.path}?severity={filter_of(severity)}" if severity else request.path,
    }


@require_safe
def building_design_check(request, slug):
    """Every finding about a building and its panels, panel by panel."""
    building = building_of(request, slug)
    checked, context = page_of(request, checked_building, building)
    options = {"severities": context["severities"], "user": request.user, "back": context["back"]}
    panels = [
        {
            "panel": each.panel,
            "boxes": count_boxes(each.findings, context["chosen"]),
            "groups": told_once(each, groups_of(each, **options)),
        }
        for each in checked.panels
    ]
    findings = checked.all_findings
    whole = building_group(building, checked.findings, **options)
    context |= {
        "building": building,
        "panels": panels,
        "whole": whole,
        "whole_groups": [whole],
        "nothing_shown": not whole and not any(row["groups"] for row in panels),
        "boxes": count_boxes(findings, context["chosen"]),
        "total": len(findings),
        "basis": getattr(building, "design_basis", None),
    }
    return render(request, "zones/design_check/building_design_check.html", context)
