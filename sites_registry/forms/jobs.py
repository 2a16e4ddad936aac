"""Forms about jobs: the order, its receipt, what was handed over, its end."""

from django import forms
from django.db.models import Q
from django.utils import timezone

from sites_registry.forms.base import RegisterForm, RegisterModelForm
from sites_registry.models import Building, HandedOverDocument, Job, Person


class JobForm(RegisterModelForm):
    class Meta:
        model = Job
        fields = ["kind", "scope", "standard", "lead", "label_language", "opened_on"]
        help_texts = {
            "lead": "The engineer who answers for the work.",
            "label_language": "In which the labels on panels and devices are written.",
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        may_lead = Q(pk__in=Person.objects.engineers()) | Q(pk=self.instance.lead_id)
        self.fields["lead"].queryset = Person.objects.filter(may_lead)
        self.fields["lead"].empty_label = "not decided"

    def clean_opened_on(self):
        opened_on = self.cleaned_data["opened_on"]
        if self.instance.pk and opened_on.year != self.instance.opened_on.year:
            raise forms.ValidationError(
                f"{self.instance.number} belongs to {self.instance.opened_on.year}. Give a day of that year."
            )
        return opened_on


class NewJobForm(JobForm):
    class Meta(JobForm.Meta):
        fields = ["building", *JobForm.Meta.fields]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["building"].queryset = Building.objects.with_client()
        self.fields["building"].label_from_instance = lambda building: f"{building} ({building.client})"
        self.fields["building"].empty_label = "choose"

    def job_data(self):
        """What the service takes."""
        return {name: self.cleaned_data[name] for name in self.Meta.fields}


class ReceiptForm(RegisterModelForm):
    """Who acknowledged the hand-over, and when; emptied together when it was recorded in error."""

    class Meta:
        model = Job
        fields = ["receipt_signed_by", "receipt_signed_on"]
        labels = {"receipt_signed_by": "Received by", "receipt_signed_on": "Received on"}
        help_texts = {"receipt_signed_by": "Who took the papers for the client, with function."}

    def clean(self):
        cleaned = super().clean()
        by, on = cleaned.get("receipt_signed_by"), cleaned.get("receipt_signed_on")
        if "receipt_signed_on" in self.errors or "receipt_signed_by" in self.errors:
            return cleaned
        if bool(by) != bool(on):
            missing = "receipt_signed_on" if by else "receipt_signed_by"
            self.add_error(missing, "A receipt has a name and a day. Give both, or empty both.")
        elif on and on > timezone.localdate():
            self.add_error("receipt_signed_on", f"{on:%-d %b %Y} is still to come.")
        elif on and on < self.instance.opened_on:
            opened_on = self.instance.opened_on
            self.add_error("receipt_signed_on", f"{on:%-d %b %Y} is before the job was opened ({opened_on:%-d %b %Y}).")
        return cleaned


class CloseJobForm(RegisterForm):
    closed_on = forms.DateField(label="Closed on")


class HandedOverDocumentForm(RegisterModelForm):
    class Meta:
        model = HandedOverDocument
        fields = ["kind", "title", "language", "handed_over_on", "handed_over_to"]

    def clean_handed_over_on(self):
        day = self.cleaned_data["handed_over_on"]
        if day > timezone.localdate():
            raise forms.ValidationError(
                f"{day:%-d %b %Y} is still to come. Note what was handed over, not what will be."
            )
        return day
