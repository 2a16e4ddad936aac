"""Serials of a building in walking order: type or scan, Enter, next. Works as one big form without JavaScript."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.db import IntegrityError
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from sites_registry.access import STAFF_ROLES, for_roles
from sites_registry.models import Building
from sites_registry.services.refusals import Refused
from zones.models import Position, ProductModel
from zones.positions.edits import storey_rank
from zones.positions.forms.fittings import SerialRowForm
from zones.positions.serials import record_serial
from zones.positions.views.positions import PositionsOf

ROWS_ON_A_PAGE = 300


class SerialRow:
    """One position on the serials page, with what was typed and what came of it."""

    def __init__(self, position, models, typed="", model_key=None):
        self.position = position
        self.models = [] if position.product_model_id else models.get(position.kind, [])
        self.typed = typed
        # The only model of its kind is proposed, but never taken unless it was sent.
        proposed = str(self.models[0].pk) if len(self.models) == 1 else ""
        self.model_key = proposed if model_key is None else model_key
        self.fitting = position.open_fittings[0] if position.open_fittings else None
        self.reasons = []
        self.is_new = False

    @property
    def serial_key(self):
        """What makes a serial the same as another on the page: its text and its maker."""
        chosen = next((model for model in self.models if str(model.pk) == self.model_key), None)
        model = self.position.product_model or chosen
        return self.typed.strip().casefold(), model and model.maker_id

    def save(self, *, fitted_on, by):
        """Record what was typed; whatever is wrong becomes the row's reasons and the typed text stays."""
        form = SerialRowForm(
            {
                "serial": self.typed,
                "product_model": self.position.product_model_id or self.model_key,
                "fitted_on": fitted_on,
            },
            position=self.position,
        )
        if not form.is_valid():
            self.reasons = [error for errors in form.errors.values() for error in errors]
            return
        typed = form.cleaned_data
        try:
            self.fitting = record_serial(
                position=self.position,
                label=form.label,
                product_model=typed["product_model"],
                fitted_on=typed["fitted_on"],
                by=by,
            )
            self.is_new = True
        except Refused as refusal:
            self.reasons = refusal.reasons
        except IntegrityError:
            self.reasons = ["Somebody recorded the same serial or position at this moment. Load the page again."]


def models_of_kinds(kinds):
    """Current product models by kind, for rows whose position has none planned; one query."""
    found = {}
    for product_model in ProductModel.objects.filter(is_current=True, kind__in=kinds).with_maker():
        found.setdefault(product_model.kind, []).append(product_model)
    return found


def _positions(user):
    positions = Position.objects.visible_to(user).select_related("product_model__maker", "smoke_zone")
    return positions.with_open_fitting().in_walking_order()


@for_roles(*STAFF_ROLES)
def serial_list(request, slug):
    building = get_object_or_404(Building.objects.visible_to(request.user), slug=slug)
    context = {"building": building, "positions_page": PositionsOf(building), "today": timezone.localdate()}
    context |= _asked_for(request, building)
    if request.method == "POST":
        # A row that somebody filled or gave up meanwhile must still be answered: take the rows that were sent.
        sent = _positions(request.user).filter(building=building, pk__in=_keys_sent(request.POST))
        context |= _page_of(sent, request)
        context |= _save_all(context["rows"], context["fitted_on"], request.user)
        if not context["refused"]:
            messages.success(request, f"{context['saved']} serials recorded.")
            return redirect(request.get_full_path())
        return render(request, "zones/positions/serial_list.html", context, status=422)
    context |= _page_of(context.pop("positions"), request)
    return render(request, "zones/positions/serial_list.html", context)


def _asked_for(request, building):
    """The positions that the address asks for, and what the filter offers."""
    positions = _positions(request.user).in_use().filter(building=building)
    storeys = positions.order_by().exclude(storey="").values_list("storey", flat=True).distinct()
    storeys = sorted(storeys, key=storey_rank)
    storey = request.GET.get("storey", "")
    if storey in storeys:
        positions = positions.filter(storey=storey)
    without = positions.without_unit()
    shown = "all" if request.GET.get("show") == "all" else "without"
    return {
        "positions": positions if shown == "all" else without,
        "shown": shown,
        "storey": storey,
        "storeys": storeys,
        "counts": {"all": positions.count(), "without": without.count()},
    }


def _page_of(positions, request):
    page = Paginator(positions, ROWS_ON_A_PAGE).get_page(request.GET.get("page"))
    models = models_of_kinds({position.kind for position in page if not position.product_model_id})
    typed = request.POST
    not_sent = "" if request.method == "POST" else None
    rows = [
        SerialRow(position, models, typed.get(f"serial-{position.pk}", ""), typed.get(f"model-{position.pk}", not_sent))
        for position in page
    ]
    return {"page": page, "rows": rows, "fitted_on": typed.get("fitted_on", timezone.localdate().isoformat())}


def _keys_sent(typed):
    keys = (
        name.removeprefix("serial-") for name, value in typed.items() if name.startswith("serial-") and value.strip()
    )
    return [int(key) for key in keys if key.isascii() and key.isdecimal() and len(key) < 19][:ROWS_ON_A_PAGE]


def _save_all(rows, fitted_on, by):
    """Save each row that was filled in; one serial typed at two positions is saved at neither."""
    filled = [row for row in rows if row.typed.strip()]
    tags_of = {}
    for row in filled:
        tags_of.setdefault(row.serial_key, []).append(row.position.tag)
    for row in filled:
        tags = tags_of[row.serial_key]
        if len(tags) > 1:
            row.reasons = [f"Serial '{row.typed.strip()}' is typed {len(tags)} times: at {', '.join(tags)}. Keep one."]
        else:
            row.save(fitted_on=fitted_on, by=by)
    saved, refused = sum(row.is_new for row in filled), sum(bool(row.reasons) for row in filled)
    return {"saved": saved, "refused": refused}


@for_roles(*STAFF_ROLES)
@require_POST
def serial_save(request, pk):
    """Save one row and answer with its state; the page moves on meanwhile."""
    position = get_object_or_404(_positions(request.user), pk=pk)
    models = {} if position.product_model_id else models_of_kinds({position.kind})
    row = SerialRow(position, models, request.POST.get(f"serial-{pk}", ""), request.POST.get(f"model-{pk}", ""))
    row.save(fitted_on=request.POST.get("fitted_on", ""), by=request.user)
    return render(request, "zones/positions/serial_state.html", {"row": row}, status=422 if row.reasons else 200)
