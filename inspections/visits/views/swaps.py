"""Swap the unit of a position on a visit, from the phone."""

from django.contrib import messages
from django.shortcuts import get_object_or_404
from django.urls import reverse

from inspections.models import Visit
from inspections.visits.forms.swaps import SwapForm
from inspections.visits.kept_forms import kept_form
from inspections.visits.swaps import swap_unit_on_visit
from inspections.visits.views.field import fitting_at, visit_of
from sites_registry.access import Role
from sites_registry.filled_in import filled_in_at
from sites_registry.views.base import FormPage
from zones.models import Position
from zones.units.edits import UnitRefused
from zones.units.fittings import FittingRefused

# Names under which the services know a field → names on this form.
FIELDS = {"unit": "new_serial", "serial": "new_serial", "date": "__all__", "position": "__all__"}


class VisitSwap(FormPage):
    roles = (Role.ENGINEER,)
    form_class = SwapForm
    template_name = "inspections/visits/visit_swap.html"
    verb = "Swap the unit"
    known = None  # (visit, position, fitting) where they were read for many pages at once

    def get_record(self):
        if self.known:
            self.visit, self.position, self.fitting = self.known
            return None
        self.visit = visit_of(self.request, self.kwargs["pk"])
        positions = Position.objects.visible_to(self.request.user).filter(building=self.visit.building_id)
        if not self.is_ahead():  # a phone takes its form along to a visit that it starts without a network
            positions = positions.filter(test_points__visit=self.visit).distinct()
        self.position = get_object_or_404(positions, pk=self.kwargs["position_pk"])
        self.fitting = fitting_at(self.position)
        return None

    def is_ahead(self):
        return self.visit.is_ahead or self.visit.state == Visit.State.PLANNED

    def form_arguments(self):
        return {"position": self.position, "fitting": self.fitting, "back": self.request.path}

    def get_heading(self, record):
        return f"Swap the unit of {self.position}" if self.fitting else f"Record the unit of {self.position}"

    def get_context(self, form):
        context = super().get_context(form)
        verb = self.verb if self.fitting else "Record the unit"
        return context | {
            "visit": self.visit,
            "position": self.position,
            "fitting": self.fitting,
            "verb": verb,
            "back_url": self.position_url(),
            "kept_form": kept_form(
                self.request.user,
                self.visit,
                f"{'swap' if self.fitting else 'record'} of the unit of {self.position}",
                self.position_url(),
                self.position_url(),
                starts=self.is_ahead(),
            ),
        }

    def position_url(self):
        return reverse("visit-field-position", args=[self.visit.pk, self.position.pk])

    def perform(self, form):
        cleaned = dict(form.cleaned_data)
        cleaned.setdefault("old_serial", "")
        try:
            fitting, points = swap_unit_on_visit(
                visit=self.visit,
                position=self.position,
                swapped_by=self.request.user,
                swapped_at=filled_in_at(self.request, not_before=self.visit.started_at),
                **cleaned,
            )
        except (FittingRefused, UnitRefused) as refusal:
            name = FIELDS.get(refusal.field, refusal.field)
            form.add_error(name if name in form.fields else None, refusal.reasons)
        else:
            messages.success(
                self.request,
                f"{fitting.unit.serial} is at {self.position} now. "
                f"Repeat its test{'s' if points != 1 else ''}, and the test of its zone.",
            )
            return fitting
        return None

    def success_url(self, record):
        return self.position_url()
