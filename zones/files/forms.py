"""The form by which a file is kept with a record."""

from django import forms

from sites_registry.forms.base import RegisterForm
from zones.files.attachments import ALLOWED, IN_WORDS
from zones.models import Attachment, languages

ACCEPTED = ",".join(extension for extensions, _ in ALLOWED.values() for extension in extensions)


class AttachmentForm(RegisterForm):
    file = forms.FileField(
        allow_empty_file=True,  # told by the service, with what to do
        max_length=200,
        help_text=IN_WORDS[0].upper() + IN_WORDS[1:] + ".",
        widget=forms.ClearableFileInput(attrs={"accept": ACCEPTED}),
        error_messages={"required": "Choose a file."},
    )
    kind = forms.ChoiceField(choices=[("", "–"), *Attachment.Kind.choices])
    title = forms.CharField(max_length=200, required=False, help_text="Empty: the name of the file.")
    language = forms.ChoiceField(
        choices=[("", "not stated"), *languages.CHOICES], required=False, help_text="Of a manual, label or declaration."
    )
