"""Identical units of a building, and the step that pairs each with its place."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from sites_registry.access import STAFF_ROLES, for_roles
from sites_registry.filled_in import filled_in_at
from sites_registry.kept_forms import kept_form
from sites_registry.services.refusals import Refused
from sites_registry.views.base import FormPage, TrailPage, local_next
from zones.editing.pages import building_of, may_edit
from zones.models import Position
from zones.positions.forms.place_confirmations import Method, PlaceConfirmationForm
from zones.positions.identical_units import (
    fittings_to_tell_apart,
    groups_of,
    identical_units_of,
    panel_terminals_of,
    with_confirmation,
    without_confirmation,
)
from zones.positions.place_confirmations import (
    PlaceConfirmationRefused,
    confirm_by_operating,
    confirm_by_serial,
    exchange_and_confirm,
)

ROWS_ON_A_PAGE = 50


@require_GET
def identical_unit_list(request, slug):
    """Groups of identical units; the rows of the group that `?model=` names, else of the first with work left."""
    building = building_of(request, slug)
    groups = groups_of(building)
    chosen = next((group for group in groups if str(group.product_model) == request.GET.get("model")), None)
    chosen = chosen or next((group for group in groups if group.remaining), groups[0] if groups else None)
    context = {
        "building": building,
        "groups": groups,
        "chosen": chosen,
        "may_edit": may_edit(request),
        "proven": sum(group.proven for group in groups),
        "total": sum(group.total for group in groups),
    }
    if chosen:
        show = "remaining" if request.GET.get("show") == "remaining" else ""
        fittings = fittings_to_tell_apart(building).filter(unit__product_model=chosen.product_model)
        fittings = with_confirmation(without_confirmation(fittings) if show else fittings)
        page = Paginator(fittings, ROWS_ON_A_PAGE).get_page(request.GET.get("page"))
        terminals = panel_terminals_of([fitting.position for fitting in page])
        context |= {"page": page, "show": show, "rows": [_row(fitting, terminals) for fitting in page]}
    return render(request, "zones/positions/identical_unit_list.html", context)


def _row(fitting, terminals):
    position = fitting.position
    wire = position.actuator_circuit or position.detection_line or position.data_link
    confirmations = list(fitting.place_confirmations.all())
    return {
        "fitting": fitting,
        "position": position,
        "wire": str(wire) if wire else "",
        "confirmation": confirmations[0] if confirmations else None,
        "terminals": terminals[position.pk],
    }


def identical_units_url(building, product_model):
    return f"{reverse('identical-unit-list', args=[building.slug])}?model={product_model}"


def next_after(position, product_model):
    """Where a confirmed place leads: the next of them without one in walking order, else the group."""
    waiting = without_confirmation(fittings_to_tell_apart(position.building)).filter(unit__product_model=product_model)
    waiting = waiting.exclude(position=position)
    waiting = list(waiting.select_related("position").order_by("position__walking_order", "position__tag_key"))
    here = (position.walking_order, position.tag_key)
    further = [f.position for f in waiting if (f.position.walking_order, f.position.tag_key) > here]
    following = further or [f.position for f in waiting]
    if following:
        return reverse("place-confirmation-create", args=[following[0].pk])
    return identical_units_url(position.building, product_model)


class PlaceConfirmationView(FormPage):
    roles = STAFF_ROLES
    form_class = PlaceConfirmationForm
    template_name = "zones/positions/place_confirmation.html"
    verb = "Confirm the place"

    def get_record(self):
        positions = Position.objects.visible_to(self.request.user).with_wiring().select_related("building")
        self.position = get_object_or_404(positions, pk=self.kwargs["pk"])
        fittings = with_confirmation(self.position.fittings.open())
        self.fitting = fittings.first()
        if self.fitting:
            self.fitting.position.building = self.position.building
        self.mistaken_for = None
        return None

    def get_heading(self, record):
        return f"Which unit hangs at {self.position}?"

    def get_trail(self, record):
        identical_units = reverse("identical-unit-list", args=[self.position.building.slug])
        return [self.position.building, TrailPage("Identical units", identical_units), self.position]

    def get_back_url(self, record):
        if self.fitting is None:
            return self.position.get_absolute_url()
        return identical_units_url(self.position.building, self.fitting.unit.product_model_id)

    def get_context(self, form):
        position = self.position
        identical_units = (
            list(identical_units_of(self.fitting).select_related("position").order_by("position__tag_key"))
            if self.fitting
            else []
        )
        same_wire = [
            fitting.position.tag
            for fitting in identical_units
            if (position.actuator_circuit_id and fitting.position.actuator_circuit_id == position.actuator_circuit_id)
            or (position.detection_line_id and fitting.position.detection_line_id == position.detection_line_id)
            or (position.data_link_id and fitting.position.data_link_id == position.data_link_id)
        ]
        return super().get_context(form) | {
            "position": position,
            "building": position.building,
            "fitting": self.fitting,
            "identical_units": len(identical_units),
            "same_wire": same_wire,
            "wire": str(position.actuator_circuit or position.detection_line or position.data_link or ""),
            "terminals": panel_terminals_of([position])[position.pk],
            "mistaken_for": self.mistaken_for,
            "kept_form": kept_form(
                self.request.user,
                f"place of {position.tag}",
                self.get_back_url(self.record),
                next_after(position, self.fitting.unit.product_model_id) if self.fitting else "",
            ),
            "confirmations": list(self.fitting.place_confirmations.all()) if self.fitting else [],
        }

    def perform(self, form):
        typed, at = form.cleaned_data, filled_in_at(self.request)
        try:
            if typed["method"] == Method.SERIAL:
                return confirm_by_serial(
                    position=self.position, serial=typed["serial"], by=self.request.user, note=typed["note"], at=at
                )
            return confirm_by_operating(position=self.position, note=typed["note"], by=self.request.user, at=at)
        except PlaceConfirmationRefused as refusal:
            self.mistaken_for = refusal.other
            raise

    def announce(self, record):
        messages.success(self.request, f"{self.position} confirmed: {record.fitting.unit} hangs there.")

    def success_url(self, record):
        return next_after(self.position, record.fitting.unit.product_model_id)


@for_roles(*STAFF_ROLES)
@require_POST
def place_exchange(request, pk, other_pk):
    """Exchange the records of two identical units: the serial of the other one was read at this position."""
    positions = Position.objects.visible_to(request.user).select_related("building")
    position, other = get_object_or_404(positions, pk=pk), get_object_or_404(positions, pk=other_pk)
    serial = " ".join(request.POST.get("serial", "").replace("\x00", "").split())[:60]
    try:
        confirmation = exchange_and_confirm(position=position, other=other, serial=serial, by=request.user)
    except Refused as refusal:
        messages.error(request, f"Nothing was exchanged. {refusal}")
        return redirect("place-confirmation-create", position.pk)
    messages.success(
        request,
        f"Exchanged: {confirmation.fitting.unit} is at {position}, confirmed there. {other} needs confirming too.",
    )
    return redirect(local_next(request) or next_after(position, confirmation.fitting.unit.product_model_id))
