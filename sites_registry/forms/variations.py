"""Forms about variations: agreed departures from the standard named by the client."""

from django import forms
from django.utils import timezone

from sites_registry.forms.base import RegisterModelForm
from sites_registry.models import Variation


class VariationForm(RegisterModelForm):
    class Meta:
        model = Variation
        fields = ["what", "why", "agreed_by", "agreed_on", "job"]
        labels = {"what": "What departs from the standard", "why": "Why", "agreed_by": "Agreed by"}
        help_texts = {
            "what": "With the clause. It is repeated on every certificate until it is removed.",
            "agreed_by": "Name, function and body of each who agreed.",
            "job": "In which job it was agreed, if in one.",
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["job"].queryset = self.instance.building.jobs.all()

    def clean_agreed_on(self):
        day = self.cleaned_data["agreed_on"]
        if day > timezone.localdate():
            raise forms.ValidationError(f"{day:%-d %b %Y} is still to come. A variation stands once it is agreed.")
        return day


class EndVariationForm(RegisterModelForm):
    fixed_fields = ("agreed_on",)
    sentences = {
        "variation_ends_on_or_after_its_start": (
            "removed_on",
            "{value:%-d %b %Y} is before the day on which it was agreed.",
        )
    }

    class Meta:
        model = Variation
        fields = ["removed_on"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["removed_on"].required = True

    def clean_removed_on(self):
        day = self.cleaned_data["removed_on"]
        if day > timezone.localdate():
            raise forms.ValidationError(f"{day:%-d %b %Y} is still to come; until then the variation stands.")
        return day
