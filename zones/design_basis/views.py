"""The design basis of a building, and the firm's table of common practice."""

from itertools import groupby

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404
from django.shortcuts import redirect, render
from django.urls import reverse, reverse_lazy
from django.views.decorators.http import require_POST, require_safe

from sites_registry.access import Role, for_roles
from zones.design_basis.edits import reset_practice, set_practice
from zones.design_basis.forms import DesignBasisForm, PracticeForm
from zones.design_basis.practice import BY_NAME, FIGURES, in_words, stored_values
from zones.editing.pages import ZonesFormPage, building_of
from zones.engineering.trade_practice import TRADE_PRACTICE
from zones.models import DesignBasis, PracticeValue


class DesignBasisUpdateView(ZonesFormPage):
    """Make or change the one row of a building."""

    form_class = DesignBasisForm
    template_name = "zones/design_basis/design_basis_form.html"
    heading = "Design basis"
    lead_line = (
        "What the fire strategy fixes and no data sheet gives. Empty means not stated: then there is no verdict."
    )
    verb = "Save design basis"
    saved_message = "Design basis saved."

    def get_record(self):
        self.building = building_of(self.request, self.kwargs["slug"])
        rows = DesignBasis.objects.filter(building=self.building)
        if self.request.method == "POST":
            rows = rows.select_for_update()
        return rows.first() or DesignBasis(building=self.building)

    def get_trail(self, record):
        return [self.building]

    def get_back_url(self, record):
        return self.building.get_absolute_url()

    def success_url(self, record):
        return self.building.get_absolute_url()


@for_roles(Role.OFFICE)
@require_safe
def practice_list(request):
    """Every figure of common practice with its value, unit and source; set ones can go back to the default."""
    values = stored_values()
    groups = [
        (
            name,
            [
                {
                    "figure": figure,
                    "default": in_words(getattr(TRADE_PRACTICE, figure.name)),
                    "value": values.get(figure.name) or in_words(getattr(TRADE_PRACTICE, figure.name)),
                    "is_set": figure.name in values,
                }
                for figure in figures
            ],
        )
        for name, figures in groupby(FIGURES, key=lambda figure: figure.group)
    ]
    return render(request, "zones/design_basis/practice_list.html", {"groups": groups, "set_count": len(values)})


class PracticeUpdateView(ZonesFormPage):
    roles = (Role.OFFICE,)
    form_class = PracticeForm
    verb = "Set figure"
    saved_message = "Set. The design checks use it from now on."
    list_url = reverse_lazy("practice-list")
    list_word = "Common practice"

    def get_record(self):
        self.figure = BY_NAME.get(self.kwargs["name"])
        if self.figure is None:
            raise Http404
        name = self.figure.name
        return PracticeValue.objects.filter(name=name).first() or PracticeValue(
            name=name, value=in_words(getattr(TRADE_PRACTICE, name))
        )

    def get_heading(self, record):
        return f"{self.figure.group}: {self.figure.label}"

    def get_lead_line(self, record):
        default = in_words(getattr(TRADE_PRACTICE, self.figure.name))
        unit = f" {self.figure.unit}" if self.figure.unit else ""
        return f"Default {default}{unit} ({self.figure.source})."

    def get_back_url(self, record):
        return reverse("practice-list")

    def act(self, form):
        return set_practice(name=self.figure.name, value=form.cleaned_data["value"])


@for_roles(Role.OFFICE)
@require_POST
def practice_reset(request, name):
    if name not in BY_NAME:
        raise Http404
    try:
        reset_practice(name=name)
    except ValidationError as error:
        messages.error(request, " ".join(error.messages))
    else:
        messages.success(request, f"{BY_NAME[name].label.capitalize()}: back to the default.")
    return redirect("practice-list")
