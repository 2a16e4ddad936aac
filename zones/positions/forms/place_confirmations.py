"""Pair a unit with its place: by the serial read there, or by operating it."""

from django import forms

from sites_registry.forms.base import RegisterForm
from zones.models import PlaceConfirmation
from zones.units.edits import tidy_serial
from zones.units.forms.units import LONGEST_SCAN, label_of

Method = PlaceConfirmation.Method


class PlaceConfirmationForm(RegisterForm):
    method = forms.ChoiceField(
        label="How",
        choices=[(Method.SERIAL, "by its serial"), (Method.OPERATED, "by operating it")],
        widget=forms.RadioSelect,
        initial=Method.SERIAL,
    )
    serial = forms.CharField(
        label="Serial read at the place",
        max_length=LONGEST_SCAN,
        required=False,
        widget=forms.TextInput(
            attrs={
                "autocomplete": "off",
                "autocapitalize": "characters",
                "spellcheck": "false",
                "class": "form-control serial",
            }
        ),
    )
    seen = forms.BooleanField(
        label="Seen to move or report when its terminal was driven, and no identical unit with it", required=False
    )
    note = forms.CharField(
        max_length=300, required=False, widget=forms.TextInput(attrs={"class": "form-control", "autocomplete": "off"})
    )

    def clean_serial(self):
        text = self.cleaned_data["serial"]
        return tidy_serial(label_of(text).serial) if text else ""

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("method") == Method.SERIAL and not cleaned.get("serial") and "serial" not in self.errors:
            self.add_error("serial", "Type or scan the serial that is on the unit at this place.")
        if cleaned.get("method") == Method.OPERATED:
            if not cleaned.get("seen"):
                self.add_error("seen", "Tick it only when you saw this unit, and no identical unit, move or report.")
            if not cleaned.get("note"):
                self.add_error("note", "Say which terminal was driven and what was seen.")
        return cleaned
