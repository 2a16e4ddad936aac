"""Wiring diagram and zone overview of a panel: page, SVG and PDF. Who sees the panel sees its drawings."""

from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_GET

from zones.drawings.document import DRAWINGS
from zones.editing.pages import may_edit
from zones.engineering.power_order import BEFORE_A_GUARD_COMES_OFF
from zones.models import ControlPanel
from zones.wiring.photos import photos_of


def _drawing(request, pk, kind):
    panels = ControlPanel.objects.visible_to(request.user).select_related("building__client", "position")
    return DRAWINGS[kind](get_object_or_404(panels, pk=pk))


@require_GET
def drawing_page(request, pk, kind):
    """The whole drawing, to be moved and sized; without anything recorded, where to record it."""
    drawing = _drawing(request, pk, kind)
    # Our own text: every value in it is escaped where it is written (engineering/drawings/svg.py).
    svg = "" if drawing.is_empty else mark_safe(drawing.svg())  # noqa: S308
    context = {
        "drawing": drawing,
        "panel": drawing.panel,
        "svg": svg,
        "caution": BEFORE_A_GUARD_COMES_OFF,
        "may_edit": may_edit(request),
        "svg_url": reverse(f"{kind}-svg", args=[pk]),
        "dxf_url": reverse(f"{kind}-dxf", args=[pk]),
        "pdf_url": reverse(f"{kind}-pdf", args=[pk]),
        "notice": drawing.wiring.notice(timezone.localdate()) if svg else "",
        "photos": photos_of(drawing.panel, request.user) if kind == "wiring-diagram" else None,
        "remarks": () if drawing.is_empty else sorted(set(drawing.remarks)),
    }
    return render(request, "zones/drawings/drawing.html", context)
