"""Fit, swap and take off a unit at a position."""

from django.shortcuts import get_object_or_404
from django.utils.formats import date_format

from sites_registry.access import STAFF_ROLES
from sites_registry.views.base import FormPage
from zones.models import Position
from zones.positions.forms.fittings import FittingForm, TakeOffForm
from zones.positions.views.positions import PositionsOf
from zones.units.edits import find_or_create_unit
from zones.units.fittings import FittingRefused, fit, swap, take_off

FIELD_OF = {"date": "day", "reason": "reason", "position": None, "unit": "serial"}


class AtPosition(FormPage):
    """A page about one position and the unit there."""

    roles = STAFF_ROLES

    def get_record(self):
        positions = Position.objects.visible_to(self.request.user).select_related("building").with_open_fitting()
        self.position = get_object_or_404(positions, pk=self.kwargs["pk"])
        self.present = self.position.open_fittings[0] if self.position.open_fittings else None
        return None

    def get_trail(self, record):
        return [self.position.building, PositionsOf(self.position.building), self.position]

    def get_back_url(self, record):
        return self.position.get_absolute_url()

    def success_url(self, record):
        return self.position.get_absolute_url()

    def refuse(self, form, refusal):
        field = FIELD_OF[refusal.field]
        form.add_error(field if field in form.fields else None, refusal.reasons)


class FittingCreateView(AtPosition):
    """Fit a unit where none stands, swap where one does."""

    form_class = FittingForm

    def form_arguments(self):
        model = self.present.unit.product_model_id if self.present else self.position.product_model_id
        return {
            "position": self.position,
            "present": self.present,
            "initial": {"product_model": model, "serial": self.request.GET.get("serial", "")[:200]},
        }

    def get_heading(self, record):
        return f"Swap the unit at {self.position}" if self.present else f"Fit a unit at {self.position}"

    def get_lead_line(self, record):
        if self.present:
            since = date_format(self.present.fitted_on)
            return f"Unit {self.present.unit} is there since {since}; it comes off on that day."
        return f"{self.position.get_kind_display().capitalize()}; no unit there now."

    def get_context(self, form):
        return {**super().get_context(form), "verb": "Swap unit" if self.present else "Fit unit"}

    def perform(self, form):
        typed = form.cleaned_data
        unit, _ = find_or_create_unit(
            product_model=typed["product_model"],
            serial=typed["serial"],
            batch=typed["batch"],
            firmware=typed["firmware"],
        )
        try:
            if self.present:
                return swap(
                    position=self.position,
                    new_unit=unit,
                    swapped_on=typed["day"],
                    by=self.request.user,
                    reason=typed["reason"],
                )
            return fit(position=self.position, unit=unit, fitted_on=typed["day"], by=self.request.user)
        except FittingRefused as refusal:
            self.refuse(form, refusal)

    def announce(self, record):
        self.saved_message = f"Unit {record.unit} is fitted at {self.position}."
        super().announce(record)


class FittingCloseView(AtPosition):
    """Take the present unit off; the position stays without one."""

    form_class = TakeOffForm
    verb = "Take unit off"

    def get_heading(self, record):
        return f"Take the unit off {self.position}"

    def get_lead_line(self, record):
        if self.present is None:
            return "There is no unit at this position now."
        return f"Unit {self.present.unit}, fitted {date_format(self.present.fitted_on)}. It goes to store."

    def perform(self, form):
        typed = form.cleaned_data
        try:
            return take_off(
                position=self.position, removed_on=typed["day"], by=self.request.user, reason=typed["reason"]
            )
        except FittingRefused as refusal:
            self.refuse(form, refusal)

    def announce(self, record):
        self.saved_message = f"Unit {record.unit} was taken off {self.position}."
        super().announce(record)
