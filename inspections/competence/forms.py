"""What a person is trained for."""

from sites_registry.forms.base import RegisterModelForm
from sites_registry.models import Qualification


class QualificationForm(RegisterModelForm):
    fixed_fields = ("person",)
    sentences = {
        "qualification_ends_on_or_after_its_start": (
            "valid_until",
            "{value:%-d %b %Y} is before the day it was obtained. Exchange the days, or correct one.",
        ),
    }

    class Meta:
        model = Qualification
        fields = ["subject", "title", "obtained_on", "valid_until", "notes"]
