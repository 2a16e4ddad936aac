"""Forms of fittings: the unit that comes to a position, the one that leaves it, serials in a row."""

from django import forms
from django.urls import reverse
from django.utils import timezone

from sites_registry.forms.base import RegisterForm
from zones.models import ProductModel
from zones.units.edits import tidy_serial
from zones.units.forms.units import LONGEST_SCAN, label_of, models_by_kind, way_to_propose


class FittingForm(RegisterForm):
    """The unit that is fitted at a position; where one stands there already, it is swapped."""

    serial = forms.CharField(
        max_length=LONGEST_SCAN,
        help_text="As on the label, typed or scanned.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false"}),
    )
    product_model = forms.ModelChoiceField(label="Model", queryset=ProductModel.objects.none())
    batch = forms.CharField(label="Batch or date code", max_length=40, required=False)
    firmware = forms.CharField(max_length=40, required=False)
    day = forms.DateField(label="Date", initial=timezone.localdate)
    reason = forms.CharField(label="Why swapped", max_length=200, help_text="Kept with the old unit: fault, age …")

    def __init__(self, *args, position, present, **kwargs):
        super().__init__(*args, **kwargs)
        of_kind = ProductModel.objects.filter(kind=position.kind)
        self.fields["product_model"].queryset = of_kind
        self.fields["product_model"].choices = models_by_kind(of_kind)
        back = reverse("fitting-create", args=[position.pk])
        self.fields["product_model"].help_text = way_to_propose(position.kind, back)
        if present is None:
            del self.fields["reason"]

    def clean_serial(self):
        self.label = label_of(self.cleaned_data["serial"])
        return tidy_serial(self.label.serial)

    def clean(self):
        cleaned = super().clean()
        if not cleaned.get("batch") and "serial" in cleaned:
            cleaned["batch"] = self.label.batch_or_date_code
        return cleaned


class TakeOffForm(RegisterForm):
    """The present unit leaves a position."""

    day = forms.DateField(label="Date", initial=timezone.localdate)
    reason = forms.CharField(max_length=200, help_text="Fault, age, recall, wrong serial recorded …")


class SerialRowForm(RegisterForm):
    """One row of the serials page."""

    serial = forms.CharField(max_length=LONGEST_SCAN, error_messages={"required": "Nothing was typed."})
    product_model = forms.ModelChoiceField(
        queryset=ProductModel.objects.none(), error_messages={"required": "Choose the model of this unit."}
    )
    fitted_on = forms.DateField(
        error_messages={
            "required": "Enter the date fitted at the top of the page.",
            "invalid": "The date fitted at the top of the page is not a date.",
        }
    )

    def __init__(self, *args, position, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["product_model"].queryset = ProductModel.objects.filter(kind=position.kind).with_maker()

    def clean_serial(self):
        self.label = label_of(self.cleaned_data["serial"])
        return tidy_serial(self.label.serial)
