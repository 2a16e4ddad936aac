"""Wiring diagram and zone overview of a panel: page, SVG and PDF. Who sees the panel sees its drawings."""

from django.conf import settings
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_GET

from sites_registry.documents.downloads import download, file_name
from zones.drawings.document import DRAWINGS, drawing_pdf
from zones.editing.pages import may_edit
from zones.engineering.power_order import BEFORE_A_GUARD_COMES_OFF
from zones.models import ControlPanel


def _drawing(request, pk, kind):
    panels = ControlPanel.objects.visible_to(request.user).select_related("building__client", "position")
    return DRAWINGS[kind](get_object_or_404(panels, pk=pk))


def _name(drawing, extension):
    building = drawing.panel.building
    return file_name(building, f"{drawing.slug}-{drawing.panel.tag}", timezone.localdate().isoformat(), extension)


@require_GET
def drawing_page(request, pk, kind):
    """The whole drawing, to be moved and sized; without anything recorded, where to record it."""
    drawing = _drawing(request, pk, kind)
    # Our own text: every value in it is escaped where it is written (engineering/drawings/svg.py).
    svg = "" if drawing.is_empty else mark_safe(drawing.svg())  # noqa: S308
    context = {
        "drawing": drawing, "panel": drawing.panel, "svg": svg,
        "caution": BEFORE_A_GUARD_COMES_OFF, "may_edit": may_edit(request),
        "svg_url": reverse(f"{kind}-svg", args=[pk]), "pdf_url": reverse(f"{kind}-pdf", args=[pk]),
        "notice": drawing.wiring.notice(timezone.localdate()) if svg else "",
        "remarks": () if drawing.is_empty else sorted(set(drawing.remarks)),
    }  # fmt: skip
    return render(request, "zones/drawings/drawing.html", context)


@require_GET
def drawing_as_svg(request, pk, kind):
    drawing = _drawing(request, pk, kind)
    if drawing.is_empty:
        raise Http404
    stamp = drawing.wiring.notice(timezone.localdate())
    return download(drawing.svg(settings.PUBLIC_URL, stamp), "image/svg+xml; charset=utf-8", _name(drawing, "svg"))


@require_GET
def drawing_as_pdf(request, pk, kind):
    """The PDF, A3 sheets."""
    drawing = _drawing(request, pk, kind)
    if drawing.is_empty:
        raise Http404
    pdf = drawing_pdf(drawing, prepared_by=request.user, now=timezone.now())
    return download(pdf, "application/pdf", _name(drawing, "pdf"))
