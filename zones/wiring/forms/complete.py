"""What may be typed to declare a wiring complete."""

from django import forms

from sites_registry.forms.base import RegisterForm
from zones.editing.forms import past_or_today


class DeclareCompleteForm(RegisterForm):
    """`declare` or `take_back` names a part ("line-12") or is "all"."""

    on = forms.DateField(required=False, validators=[past_or_today])
    declare = forms.CharField(required=False, max_length=40)
    take_back = forms.CharField(required=False, max_length=40)
