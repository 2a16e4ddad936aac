"""Edit a draft protocol and its checks."""

from django import forms

from inspections.models import Protocol, ProtocolCheck
from sites_registry.forms.base import RegisterModelForm
from zones.engineering.hazards import NONE_STATED, Hazard, hazards_text


class HazardsField(forms.MultipleChoiceField):
    """Ticked hazards, kept as one word; nothing ticked is no answer, 'none of these' is one."""

    widget = forms.CheckboxSelectMultiple

    def __init__(self, **options):
        choices = [*((one.value, f"{one.sign} {one.words}") for one in Hazard), (NONE_STATED, "none of these")]
        super().__init__(
            choices=choices,
            error_messages={"required": "Tick what can hurt at this check, or 'none of these'."},
            **options,
        )

    def prepare_value(self, value):
        return value.split(",") if isinstance(value, str) else value

    def clean(self, value):
        ticked = super().clean(value)
        if NONE_STATED in ticked and len(ticked) > 1:
            raise forms.ValidationError("'None of these' stands beside a hazard. Take one of the two ticks away.")
        return hazards_text(one for one in ticked if one != NONE_STATED)

    def has_changed(self, initial, data):
        return (initial or "") != ",".join(data or ())


class ProtocolForm(RegisterModelForm):
    class Meta:
        model = Protocol
        fields = ["title", "basis"]


class ProtocolCheckForm(RegisterModelForm):
    hazards = HazardsField(help_text="Shown at the step, on the phone and on paper.")

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
        "protocol_check_of_user_is_weekly_or_monthly": (
            "done_by",
            "The user of the building makes weekly and monthly checks, not spread over visits. Choose such an "
            "interval, or the service engineer.",
        ),
        "protocol_check_percent_stands_for_limits": (
            "within_percent_of_first",
            "A share of the first value stands in place of limits and needs the name of the reading.",
        ),
    }

    class Meta:
        model = ProtocolCheck
        fields = [
            "device_kind",
            "code",
            "order",
            "asked_of",
            "interval",
            "done_by",
            "is_spread",
            "title",
            "instruction",
            "expected",
            "hazards",
            "caution",
            "quantity",
            "unit",
            "is_reading_required",
            "lower_limit",
            "upper_limit",
            "within_percent_of_first",
            "limit_source",
        ]
        labels = {"limit_source": "Source"}
        help_texts = {
            "limit_source": "What the check rests on: 'common practice', or a standard with edition and clause, and "
            "'second-hand' or 'from memory' where nobody read the document. Certificates state it.",
            "order": "Checks of one kind are asked in this order.",
        }
        widgets = {"instruction": forms.Textarea, "expected": forms.Textarea, "caution": forms.Textarea}

    def clean(self):
        cleaned = super().clean()
        has_limit = cleaned.get("lower_limit") is not None or cleaned.get("upper_limit") is not None
        if has_limit and not cleaned.get("limit_source"):
            self.add_error("limit_source", "A limit needs its source: a standard with edition, or 'common practice'.")
        return cleaned
