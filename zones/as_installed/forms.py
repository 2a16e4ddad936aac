"""What may be typed about as-installed revisions."""

from django import forms

from sites_registry.forms.base import RegisterForm


class RevisionForm(RegisterForm):
    reason = forms.CharField(
        max_length=200, help_text="Why now: taken over from another contractor, record checked on site …"
    )
