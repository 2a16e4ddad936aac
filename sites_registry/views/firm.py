"""The firm's own particulars, as its papers name it."""

from django import forms
from django.core.exceptions import ValidationError

from sites_registry.documents.logo import MOST_MB, LogoRefused, keep_logo
from sites_registry.forms.base import RegisterModelForm
from sites_registry.models import Firm
from sites_registry.views.base import FormPage


class FirmForm(RegisterModelForm):
    logo_file = forms.FileField(
        label="Logo",
        required=False,
        help_text=f"PNG or JPEG, {MOST_MB} MB at most: in the title block of every paper, 20 by 7 mm.",
        widget=forms.FileInput(attrs={"accept": ".png,.jpg,.jpeg"}),
    )
    is_logo_taken_off = forms.BooleanField(label="Take the logo off", required=False)
    due_soon_days = forms.IntegerField(
        label="Due soon means within (days)", min_value=1, max_value=366, help_text="Common practice; the firm decides."
    )

    class Meta:
        model = Firm
        fields = ["name", "address", "phone", "email", "registration", "due_soon_days"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if not self.instance.logo:
            del self.fields["is_logo_taken_off"]

    def clean_logo_file(self):
        file = self.cleaned_data["logo_file"]
        try:
            return file and keep_logo(file.read())
        except LogoRefused as refused:
            raise ValidationError(refused.reasons) from refused

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("logo_file"):
            self.instance.logo = cleaned["logo_file"]
        elif cleaned.get("is_logo_taken_off"):
            self.instance.logo = ""
        return cleaned


class FirmUpdate(FormPage):
    form_class = FirmForm
    heading = "The firm"
    saved_message = "Saved. Papers issued from now on carry these particulars; issued ones keep theirs."

    def get_record(self):
        Firm.objects.get_or_create(pk=1)
        return Firm.objects.select_for_update().get(pk=1) if self.request.method == "POST" else Firm.current()

    def get_back_url(self, record):
        return "/"
