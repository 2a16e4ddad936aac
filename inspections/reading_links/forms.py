"""Who reads it, until when."""

from datetime import timedelta

from django import forms
from django.utils import timezone

from sites_registry.forms.base import RegisterForm
from sites_registry.forms.sent import PlainTextField


def in_a_month():
    return timezone.localdate() + timedelta(days=30)


class ReadingLinkForm(RegisterForm):
    reader = PlainTextField(
        label="Who reads it", max_length=160, help_text="Person and body, such as the insurer’s surveyor."
    )
    ends_on = forms.DateField(
        label="Can be opened until", initial=in_a_month, help_text="That day included; a year at most."
    )
