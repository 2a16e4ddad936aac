"""Change what is on record of an open defect; it is closed by a result only."""

from django import forms
from django.utils import timezone

from inspections.models import Defect, Severity
from inspections.models.defects import SEVERITY_MEANING
from sites_registry.forms.base import RegisterModelForm
from sites_registry.forms.moments import WallClockField


class DefectForm(RegisterModelForm):
    needed_at_times = ("interim_measure", "told_to")
    severity = forms.ChoiceField(
        choices=[(value, f"{label.capitalize()}: {SEVERITY_MEANING[value]}") for value, label in Severity.choices],
        widget=forms.RadioSelect,
    )
    reason = forms.CharField(label="Why it is changed", max_length=200, help_text="Kept in the history.")

    class Meta:
        model = Defect
        fields = ["severity", "description", "interim_measure", "told_to", "told_at"]
        field_classes = {"told_at": WallClockField}
        widgets = {"description": forms.Textarea, "interim_measure": forms.Textarea}

    def clean_told_at(self):
        told_at = self.cleaned_data["told_at"]
        if told_at and told_at > timezone.now():
            raise forms.ValidationError(
                f"{timezone.localtime(told_at):%-d %b %Y, %H:%M} lies ahead. Enter when they were told."
            )
        if told_at and told_at.year < 2000:
            raise forms.ValidationError(f"{told_at:%-d %b %Y} cannot be right. Correct the year.")
        return told_at

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("told_at") and not cleaned.get("told_to"):
            self.add_error("told_to", "There is a time, but nobody named. Enter who was told, or take the time out.")
        return cleaned
