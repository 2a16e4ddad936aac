"""The question of a recall: which buildings have this batch of this model?"""

from django.db.models import Count
from django.shortcuts import render
from django.utils import timezone

from sites_registry.access import STAFF_ROLES, for_roles
from sites_registry.spreadsheets import file_name_of, sheet_response
from zones.forms.units import RecallForm
from zones.models import Fitting, Unit

BATCHES_SHOWN = 40
TAGS_SHOWN = 12
HEAD = [
    "Building", "Client", "Address", "Tag", "Storey", "Room", "Place", "Model", "Serial", "Batch", "Fitted on",
]  # fmt: skip


def _units_asked_for(user, typed):
    units = Unit.objects.visible_to(user).filter(product_model=typed["model"])
    return units.filter(batch__iexact=typed["batch"]) if typed["batch"] else units


def _with_tags(fitted):
    """Buildings with the number of units and their tags, the first few spelt out."""
    tags_of = {}
    places = fitted.order_by("position__tag_key").values_list("position__building__slug", "position__tag")
    for slug, tag in places:
        tags_of.setdefault(slug, []).append(tag)
    return [
        {**row, "tags": tags_of[row["slug"]][:TAGS_SHOWN], "more_tags": max(0, row["number"] - TAGS_SHOWN)}
        for row in fitted.counted_by_building()
    ]


@for_roles(*STAFF_ROLES)
def unit_recall(request):
    asked = "model" in request.GET
    form = RecallForm(request.GET if asked else None, person=request.user)
    context = {"form": form, "asked": asked}
    if asked and form.is_valid():
        units = _units_asked_for(request.user, form.cleaned_data)
        fitted = Fitting.objects.open().filter(unit__in=units)
        of_model = Unit.objects.filter(product_model=form.cleaned_data["model"]).exclude(batch="")
        context |= {
            "product_model": form.cleaned_data["model"],
            "batch": form.cleaned_data["batch"],
            "unit_count": units.count(),
            "fitted_count": fitted.count(),
            "buildings": _with_tags(fitted),
            "batches": of_model.order_by()
            .values("batch")
            .annotate(number=Count("pk"))
            .order_by("batch")[:BATCHES_SHOWN],
        }
    return render(request, "zones/unit_recall.html", context, status=422 if asked and form.errors else 200)


@for_roles(*STAFF_ROLES)
def unit_recall_export(request, file_format):
    """The same answer as a file, one row per unit; units in store have no building."""
    form = RecallForm(request.GET, person=request.user)
    if not form.is_valid():
        return render(request, "zones/unit_recall.html", {"form": form, "asked": True}, status=422)
    units = _units_asked_for(request.user, form.cleaned_data).with_model()
    fittings = Fitting.objects.open().filter(unit__in=units).select_related("position__building__client")
    place_of = {fitting.unit_id: fitting for fitting in fittings}
    rows = [_row(unit, place_of.get(unit.pk)) for unit in units.order_by("serial")]
    rows.sort(key=lambda row: (row[0] == "in store", row[0], row[3]))
    typed = form.cleaned_data
    name = file_name_of("Recall", typed["model"].name, typed["batch"], timezone.localdate())
    return sheet_response(name=name, file_format=file_format, head=HEAD, rows=rows)


def _row(unit, fitting):
    model, end = str(unit.product_model), [unit.serial, unit.batch]
    if fitting is None:
        return ["in store", "", "", "", "", "", "", model, *end, None]
    position, building = fitting.position, fitting.position.building
    return [
        building.name, building.client.name, " ".join(building.address.split()), position.tag, position.storey,
        position.room, position.place, model, *end, fitting.fitted_on,
    ]  # fmt: skip
