"""The firm's own particulars, as its papers name it."""

from django import forms

from sites_registry.forms.base import RegisterModelForm
from sites_registry.models import Firm
from sites_registry.views.base import FormPage


class FirmForm(RegisterModelForm):
    due_soon_days = forms.IntegerField(
        label="Due soon means within (days)", min_value=1, max_value=366, help_text="Common practice; the firm decides."
    )

    class Meta:
        model = Firm
        fields = ["name", "address", "phone", "email", "registration", "due_soon_days"]


class FirmUpdate(FormPage):
    form_class = FirmForm
    heading = "The firm"
    saved_message = "Saved. Papers issued from now on carry these particulars; issued ones keep theirs."

    def get_record(self):
        Firm.objects.get_or_create(pk=1)
        return Firm.objects.select_for_update().get(pk=1) if self.request.method == "POST" else Firm.current()

    def get_back_url(self, record):
        return "/"
