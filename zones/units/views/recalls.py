"""The question of a recall: which buildings have this batch of this model?"""

from django.db.models import Count, Sum
from django.shortcuts import render
from django.utils import timezone

from sites_registry.access import STAFF_ROLES, for_roles
from sites_registry.spreadsheets import file_name_of, table_response
from zones.models import BatterySet, DeviceKind, Fitting, Unit
from zones.units.forms.units import RecallForm

BATCHES_SHOWN = 40
TAGS_SHOWN = 12
BATTERY_SETS_SHOWN = 200
HEAD = [
    "Building",
    "Client",
    "Address",
    "Tag",
    "Storey",
    "Room",
    "Place",
    "Model",
    "Serial",
    "Batch",
    "Fitted on",
    "Date code",
    "Blocks",
]


def _units_asked_for(user, typed):
    units = Unit.objects.visible_to(user).filter(product_model=typed["model"])
    return units.filter(batch__iexact=typed["batch"]) if typed["batch"] else units


def _battery_sets_asked_for(user, typed):
    """Battery sets fitted now of this model and batch or date code, by building: blocks count as units do."""
    sets = BatterySet.objects.visible_to(user).fitted().filter(product_model=typed["model"])
    sets = sets.of_batch(typed["batch"]) if typed["batch"] else sets
    sets = sets.select_related("panel__position", "panel__building__client", "product_model__maker")
    return sets.order_by("panel__building__name", "panel__position__tag_key")


def _batteries_context(user, typed):
    """What the page says of a battery model; sets that lack a mark could be of the batch, and are told."""
    fitted = BatterySet.objects.visible_to(user).fitted()
    of_model = fitted.filter(product_model=typed["model"])
    sets = _battery_sets_asked_for(user, typed)
    counted = sets.order_by().aggregate(
        sets=Count("pk"), blocks=Sum("blocks"), buildings=Count("panel__building", distinct=True)
    )
    unmarked = of_model.filter(batch="", date_code="").count() if typed["batch"] else 0
    marks = of_model.order_by().values("batch", "date_code").annotate(number=Count("pk")).order_by("-date_code")
    return {
        "battery_sets": list(sets[:BATTERY_SETS_SHOWN]),
        "batteries": counted,
        "batteries_unmarked": unmarked,
        "batteries_without_model": fitted.filter(product_model=None).count(),
        "battery_marks": marks.exclude(batch="", date_code="")[:BATCHES_SHOWN],
    }


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
        if form.cleaned_data["model"].kind == DeviceKind.BATTERY:
            context |= _batteries_context(request.user, form.cleaned_data)
    return render(request, "zones/units/unit_recall.html", context, status=422 if asked and form.errors else 200)


@for_roles(*STAFF_ROLES)
def unit_recall_export(request, file_format):
    """The same answer as a file, one row per unit or battery set; units in store have no building."""
    form = RecallForm(request.GET, person=request.user)
    if not form.is_valid():
        return render(request, "zones/units/unit_recall.html", {"form": form, "asked": True}, status=422)
    units = _units_asked_for(request.user, form.cleaned_data).with_model()
    fittings = Fitting.objects.open().filter(unit__in=units).select_related("position__building__client")
    place_of = {fitting.unit_id: fitting for fitting in fittings}
    rows = [_row(unit, place_of.get(unit.pk)) for unit in units.order_by("serial")]
    rows += [_battery_row(battery) for battery in _battery_sets_asked_for(request.user, form.cleaned_data)]
    rows.sort(key=lambda row: (row[0] == "in store", row[0], row[3]))
    typed = form.cleaned_data
    name = file_name_of("Recall", typed["model"].name, typed["batch"], timezone.localdate())
    return table_response(name=name, file_format=file_format, headings=HEAD, rows=rows)


def _row(unit, fitting):
    model, end = str(unit.product_model), [unit.serial, unit.batch]
    if fitting is None:
        return ["in store", "", "", "", "", "", "", model, *end, None, "", None]
    return [*_place(fitting.position, fitting.position.building), model, *end, fitting.fitted_on, "", None]


def _battery_row(battery):
    place = _place(battery.panel.position, battery.panel.building)
    end = ["", battery.batch, battery.fitted_on, battery.date_code, battery.blocks]
    return [*place, str(battery.product_model), *end]


def _place(position, building):
    return [
        building.name,
        building.client.name,
        " ".join(building.address.split()),
        position.tag,
        position.storey,
        position.room,
        position.place,
    ]
