"""Sheets of labels of a building: choose, look, print. The choice stands in the address."""

from urllib.parse import urlencode

from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_GET

from sites_registry.documents.papers import Made, SeePage
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
        "count": len(records),
        "sheets_count": -(-used // chosen["measures"].per_sheet),
        "labels": labels,
        "pdf_url": reverse("label-pdf", args=[building.slug]) + f"?{request.GET.urlencode()}",
    }


def _too_many(count):
    return f"{count} labels are too many for one file (at most {MOST_LABELS}). Choose a panel, a zone or some tags."


def labels_asked_for(building, asked):
    """The sheets that the form chose; a choice that cannot be printed leads back to the form with its reasons."""
    form, page = LabelSheetForm(asked.query, building=building), reverse("label-list", args=[building.slug])
    if not form.is_valid():
        query = asked.query if "what" in asked.query else {}
        raise SeePage(f"{page}?{urlencode(query, doseq=True)}")
    records = records_of(building, form.cleaned_data)
    if not records or len(records) > MOST_LABELS:
        raise SeePage(page, _too_many(len(records)) if records else NOTHING)
    labels = sheets_of(building, records, form.cleaned_data)
    return Made(labels_pdf(labels, now=asked.now), words=f"labels {form.cleaned_data['what']}")


def _building(request, slug):
    return get_object_or_404(Building.objects.visible_to(request.user), slug=slug)
