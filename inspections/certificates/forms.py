"""What may be typed when a certificate is issued or revoked."""

from django import forms
from django.utils import timezone

from inspections.certificates.examining import MOST_MB
from sites_registry.forms.base import RegisterForm

NOTHING_EXCLUDED = "Nothing is excluded."


LEAST_LETTERS = 4
TOO_FEW_LETTERS = "Type 4 letters or more of the name that stands on the paper."


def letters_of(name):
    """A name as it is compared: letters and digits alone, small."""
    return "".join(sign for sign in name.casefold() if sign.isalnum())


class IssueCertificateForm(RegisterForm):
    needed_at_times = ("exclusions",)
    issued_on = forms.DateField(label="Date of issue", initial=timezone.localdate)
    capacity = forms.CharField(
        label="You issue it as",
        max_length=80,
        initial="authorised person of the firm",
        help_text="It stands on the certificate.",
    )
    scope = forms.CharField(max_length=600, widget=forms.Textarea, help_text="What the certificate covers.")
    exclusions = forms.CharField(
        label="Not included",
        max_length=600,
        required=False,
        widget=forms.Textarea,
        help_text="Parts of the building or system that it does not cover; or tick the next line.",
    )
    is_nothing_excluded = forms.BooleanField(label=NOTHING_EXCLUDED, required=False)
    has_read = forms.BooleanField(
        label="I have read the whole text below and issue it.",
        error_messages={"required": "Read the text below, then tick this."},
    )

    def clean(self):
        """An empty field is no statement: either what is left out is typed, or it is ticked that nothing is."""
        cleaned = super().clean()
        typed, is_nothing = cleaned.get("exclusions", "").strip(), cleaned.get("is_nothing_excluded")
        if typed and is_nothing:
            self.add_error(
                "is_nothing_excluded",
                f"‘{NOTHING_EXCLUDED}’ is ticked, and something is typed as not included. Keep one of the two.",
            )
        elif "exclusions" not in self.errors and not (typed or is_nothing):
            self.add_error(
                "exclusions",
                f"Write what the certificate does not cover, or tick ‘{NOTHING_EXCLUDED}’ if it covers all.",
            )
        return cleaned

    @property
    def statement_fields(self):
        """What was typed, as the service takes it."""
        fields = {name: self.cleaned_data[name] for name in ("issued_on", "capacity", "scope", "exclusions")}
        return fields | ({"exclusions": NOTHING_EXCLUDED} if self.cleaned_data["is_nothing_excluded"] else {})


class RevokeCertificateForm(RegisterForm):
    reason = forms.CharField(
        max_length=400, widget=forms.Textarea, help_text="Kept with the certificate. It cannot be taken back."
    )


class BuildingLettersForm(RegisterForm):
    letters = forms.CharField(
        label="Name of the building",
        min_length=LEAST_LETTERS,
        max_length=120,
        help_text="As it stands on the paper: its first letters, 4 or more. The register says only whether they fit.",
        error_messages={"min_length": TOO_FEW_LETTERS},
    )

    def clean_letters(self):
        typed = self.cleaned_data["letters"]
        if len(letters_of(typed)) < LEAST_LETTERS:  # signs and blanks fit every name
            raise forms.ValidationError(TOO_FEW_LETTERS)
        return typed


class CertificateFileForm(RegisterForm):
    file = forms.FileField(
        label="The certificate as a PDF",
        widget=forms.FileInput(attrs={"accept": "application/pdf,.pdf"}),
        error_messages={"required": "Choose the PDF of the certificate first.", "empty": "The file is empty."},
    )

    def clean_file(self):
        file = self.cleaned_data["file"]
        if file.size > MOST_MB * 1024 * 1024:
            size_mb = file.size / 1024 / 1024
            raise forms.ValidationError(f"The file has {size_mb:.0f} MB. A certificate has less than {MOST_MB}.")
        return file
