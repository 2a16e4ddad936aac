"""Sheets of labels of a building: choose, look, print. The choice stands in the address."""

from urllib.parse import urlencode

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_GET

from sites_registry.documents.downloads import download, file_name
from sites_registry.models import Building
from zones.labels.document import MOST_LABELS, labels_pdf, records_of, sheets_of
from zones.labels.forms import LabelSheetForm

SHEETS_SHOWN = 1
NOTHING = (
    "Nothing that was chosen has a label: no such device or cable is recorded. Choose a wider part of the building."
)


@require_GET
def label_page(request, slug):
    """The form, and the first sheet as it will be printed."""
    building = _building(request, slug)
    is_asked = "what" in request.GET
    form = LabelSheetForm(request.GET if is_asked else None, building=building)
    context = {"building": building, "form": form, "is_asked": is_asked}
    is_valid = is_asked and form.is_valid()
    if is_valid:
        context |= _preview(request, building, form.cleaned_data)
    return render(request, "zones/labels/labels.html", context, status=422 if is_asked and not is_valid else 200)


def _preview(request, building, chosen):
    records = records_of(building, chosen)
    if not records:
        return {"nothing": NOTHING}
    if len(records) > MOST_LABELS:
        return {"nothing": _too_many(len(records))}
    labels = sheets_of(building, records, chosen, most=SHEETS_SHOWN)
    used = chosen["start"] - 1 + len(records)
    return {
        # Our own text: every value in it is escaped where it is written (engineering/drawings/svg.py).
        "preview": mark_safe(labels.sheets[0]),  # noqa: S308
        "count": len(records), "sheets_count": -(-used // chosen["measures"].per_sheet), "labels": labels,
        "pdf_url": reverse("label-pdf", args=[building.slug]) + f"?{request.GET.urlencode()}",
    }  # fmt: skip


def _too_many(count):
    return f"{count} labels are too many for one file (at most {MOST_LABELS}). Choose a panel, a zone or some tags."


@require_GET
def label_pdf(request, slug):
    """The sheets as PDF; a choice that cannot be printed leads back to the form with its reasons."""
    building = _building(request, slug)
    form = LabelSheetForm(request.GET, building=building)
    if not form.is_valid():
        query = request.GET if "what" in request.GET else {}
        return redirect(f"{reverse('label-list', args=[slug])}?{urlencode(query, doseq=True)}")
    records = records_of(building, form.cleaned_data)
    if not records or len(records) > MOST_LABELS:
        messages.error(request, _too_many(len(records)) if records else NOTHING)
        return redirect("label-list", slug)
    labels = sheets_of(building, records, form.cleaned_data)
    name = file_name(building, f"labels {form.cleaned_data['what']}", timezone.localdate().isoformat(), "pdf")
    return download(labels_pdf(labels, now=timezone.now()), "application/pdf", name)


def _building(request, slug):
    return get_object_or_404(Building.objects.visible_to(request.user), slug=slug)
