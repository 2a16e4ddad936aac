"""Edit a draft protocol and its checks."""

from django import forms

from inspections.models import Protocol, ProtocolCheck
from sites_registry.forms.base import RegisterModelForm


class ProtocolForm(RegisterModelForm):
    class Meta:
        model = Protocol
        fields = ["title", "basis"]


class ProtocolCheckForm(RegisterModelForm):
    fixed_fields = ("protocol",)
    sentences = {
        "protocol_check_code_unique_per_kind": (
            "code",
            "This kind of device has a check of the code '{value}' in this version already. Choose another code.",
        ),
        "protocol_check_limits_in_order": (
            "upper_limit",
            "The upper limit {value} is below the lower limit. Exchange them.",
        ),
        "protocol_check_limits_need_a_reading": (
            "quantity",
            "Limits, unit and 'no result without a reading' need the name of the reading. Name it, or empty them.",
        ),
    }

    class Meta:
        model = ProtocolCheck
        fields = [
            "device_kind", "code", "order", "asked_of", "title", "instruction", "expected", "caution", "quantity",
            "unit", "is_reading_required", "lower_limit", "upper_limit", "limit_source",
        ]  # fmt: skip
        labels = {"limit_source": "Source"}
        help_texts = {
            "limit_source": "Standard with edition, or 'common practice'; 'to be verified against the document' where "
            "nobody has looked it up.",
            "order": "Checks of one kind are asked in this order.",
        }
        widgets = {"instruction": forms.Textarea, "expected": forms.Textarea, "caution": forms.Textarea}

    def clean(self):
        cleaned = super().clean()
        has_limit = cleaned.get("lower_limit") is not None or cleaned.get("upper_limit") is not None
        if has_limit and not cleaned.get("limit_source"):
            self.add_error("limit_source", "A limit needs its source: a standard with edition, or 'common practice'.")
        return cleaned
