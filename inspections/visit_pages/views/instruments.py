"""The instruments of a visit: chosen by its engineer, or by the office before it."""

from django.contrib import messages
from django.urls import reverse

from inspections.instruments.calibration import day_of, said_of_instruments
from inspections.instruments.choosing import choose_instruments
from inspections.instruments.forms import ChooseInstrumentsForm
from inspections.visits.kept_forms import kept_form
from inspections.visits.views.field import visit_of
from sites_registry.access import STAFF_ROLES
from sites_registry.views.base import FormPage


class VisitInstruments(FormPage):
    roles = STAFF_ROLES
    form_class = ChooseInstrumentsForm
    template_name = "inspections/instruments/visit_instruments.html"
    verb = "Keep these"
    saved_message = "The instruments of the visit are kept."

    def get_record(self):
        self.visit = visit_of(self.request, self.kwargs["pk"])
        return None

    def form_arguments(self):
        chosen = list(self.visit.instruments_used.values_list("instrument", flat=True))
        return {"chosen": chosen, "day": day_of(self.visit)}

    def get_heading(self, record):
        return f"Instruments of {str(self.visit).lower()}, {self.visit.building}"

    def get_trail(self, record):
        return [self.visit.building, self.visit]

    def get_back_url(self, record):
        return self.visit.get_absolute_url()

    def get_context(self, form):
        label = f"instruments of {str(self.visit).lower()}"
        kept = kept_form(self.request.user, self.visit, label, done=self.success_url(self.visit))
        return super().get_context(form) | {
            "visit": self.visit,
            "kept_form": kept if self.request.user.is_engineer else None,
            "said": said_of_instruments(self.visit) if self.visit.is_open_for_results else [],
        }

    def perform(self, form):
        return choose_instruments(visit=self.visit, chosen_by=self.request.user, **form.cleaned_data)

    def success_url(self, record):
        if self.request.user.is_engineer and record.is_open_for_results:
            return reverse("visit-field", args=[record.pk])
        return record.get_absolute_url()

    def announce(self, record):
        super().announce(record)
        for state, sentence in said_of_instruments(record):
            if state == "overdue":
                messages.warning(self.request, sentence)
