"""What may be typed when a certificate is issued or revoked."""

from django import forms
from django.utils import timezone

from sites_registry.forms.base import RegisterForm


class IssueCertificateForm(RegisterForm):
    issued_on = forms.DateField(label="Date of issue", initial=timezone.localdate)
    capacity = forms.CharField(
        label="You sign as",
        max_length=80,
        initial="authorised person of the firm",
        help_text="It stands on the certificate.",
    )
    scope = forms.CharField(max_length=600, widget=forms.Textarea, help_text="What the certificate covers.")
    exclusions = forms.CharField(
        label="Not included", max_length=600, required=False, widget=forms.Textarea,
        help_text="Parts of the building or system that it does not cover.",
    )  # fmt: skip
    has_read = forms.BooleanField(
        label="I have read the whole text below and issue it.",
        error_messages={"required": "Read the text below, then tick this."},
    )


class RevokeCertificateForm(RegisterForm):
    reason = forms.CharField(
        max_length=400, widget=forms.Textarea, help_text="Kept with the certificate. It cannot be taken back."
    )
