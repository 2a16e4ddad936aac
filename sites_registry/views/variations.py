"""Variations of a building: which departures from the standard stand here, agreed by whom."""

from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from sites_registry.access import STAFF_ROLES
from sites_registry.forms.variations import EndVariationForm, VariationForm
from sites_registry.models import Building, Variation
from sites_registry.views.base import FormPage, for_change


def variation_list(request, slug):
    building = get_object_or_404(Building.objects.visible_to(request.user), slug=slug)
    variations = building.variations.visible_to(request.user).select_related("job")
    context = {
        "building": building,
        "standing": [variation for variation in variations if not variation.removed_on],
        "removed": [variation for variation in variations if variation.removed_on],
    }
    return render(request, "sites_registry/variation_list.html", context)


class _VariationPage(FormPage):
    roles = STAFF_ROLES

    def get_trail(self, record):
        return [record.building]

    def success_url(self, record):
        return reverse("variation-list", args=[record.building.slug])

    def get_back_url(self, record):
        return self.success_url(record)


class VariationCreate(_VariationPage):
    form_class = VariationForm
    heading = "Add a variation"
    verb = "Add the variation"
    saved_message = "The variation stands from now on and is repeated on every certificate until it is removed."

    def get_record(self):
        building = get_object_or_404(Building.objects.visible_to(self.request.user), slug=self.kwargs["slug"])
        return Variation(building=building)


class VariationUpdate(_VariationPage):
    form_class = VariationForm
    heading = "Correct the variation"
    saved_message = "Corrected. Certificates issued before keep their wording."

    def get_record(self):
        return for_change(Variation.objects.select_related("building"), self.request, pk=self.kwargs["pk"])


class VariationEnd(_VariationPage):
    form_class = EndVariationForm
    heading = "The variation no longer stands"
    verb = "Remove the variation"
    saved_message = "Removed. Certificates issued from now on do not repeat it; earlier ones keep it."

    def get_record(self):
        return for_change(Variation.objects.select_related("building"), self.request, pk=self.kwargs["pk"])

    def form_arguments(self):
        return {"initial": {"removed_on": timezone.localdate()}}

    def get_lead_line(self, record):
        return f"“{record.what}”, agreed by {record.agreed_by}."
