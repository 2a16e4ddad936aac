"""The forms by which a photograph is added at a desk, and withdrawn."""

from django import forms
from django.utils import timezone

from inspections.models import Photo
from sites_registry.forms.base import RegisterForm


class PhotoForm(RegisterForm):
    file = forms.FileField(
        label="Photograph",
        max_length=200,
        help_text="JPEG, PNG or WebP. It is kept without what the camera wrote into it.",
        widget=forms.ClearableFileInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
        error_messages={"required": "Choose a photograph.", "empty": "This file is empty. Choose it again."},
    )
    caption = forms.CharField(max_length=200, required=False, help_text="What is to be seen.")
    taken_at = forms.DateTimeField(
        required=False, help_text="Empty: as the camera wrote it. By the clock of the building."
    )

    def clean_taken_at(self):
        taken_at = self.cleaned_data["taken_at"]
        if taken_at and taken_at > timezone.now():
            raise forms.ValidationError(f"{timezone.localtime(taken_at):%-d %b %Y, %H:%M} has not come yet.")
        return taken_at


class PhotoOfDefectForm(PhotoForm):
    stage = forms.ChoiceField(
        label="Before or after it was put right",
        choices=[("", "not said"), *Photo.Stage.choices],
        required=False,
    )
    field_order = ("file", "stage", "caption", "taken_at")


class WithdrawPhotoForm(RegisterForm):
    reason = forms.CharField(max_length=200, label="Why it is withdrawn")
