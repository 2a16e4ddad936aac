"""Forms of the log book. Which fields belong to which kind is said once, for the form and for its script."""

from django import forms
from django.utils import timezone

from inspections.log_book.entries import text_of_check
from inspections.models import LogEntry
from sites_registry.forms.base import RegisterForm, RegisterModelForm
from sites_registry.forms.moments import WallClockField
from sites_registry.words import storey_words
from zones.models.kinds import CALL_POINTS

PLACE = ["smoke_zone", "position"]
FIELDS_OF_KIND = {
    "weekly_check": [*PLACE, "check_result", "action"],
    "monthly_check": [*PLACE, "check_result", "action"],
    "alarm": [*PLACE, "cause", "action", "told_to"],
    "false_alarm": [*PLACE, "cause", "action", "told_to"],
    "fault": [*PLACE, "cause", "action", "told_to"],
    "disablement": [*PLACE, "cause", "planned_end_at", "interim_measure", "told_to"],
    "visit": ["action", "told_to"],
    "change": [*PLACE, "action", "told_to"],
    "other": [*PLACE, "cause", "action", "told_to"],
}


class LogEntryForm(RegisterModelForm):
    class Meta:
        model = LogEntry
        fields = [
            "kind",
            "happened_at",
            "position",
            "smoke_zone",
            "check_result",
            "what",
            "cause",
            "planned_end_at",
            "interim_measure",
            "action",
            "told_to",
            "seen_by",
        ]
        field_classes = {"happened_at": WallClockField, "planned_end_at": WallClockField}
        widgets = {
            "check_result": forms.RadioSelect,
            "what": forms.Textarea,
            "action": forms.Textarea,
            "interim_measure": forms.Textarea,
        }
        labels = {
            "position": "Device",
            "smoke_zone": "Zone",
            "cause": "Cause or reason",
            "happened_at": "When",
            "check_result": "Result",
            "interim_measure": "What protects the building meanwhile",
        }
        help_texts = {
            "interim_measure": "For instance: patrol every hour, somebody at the panel, stair kept clear.",
            "told_to": "Occupants, alarm receiving centre, fire service, the firm.",
            "what": "Of a check it may stay empty: the result says it.",
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        building = self.instance.building
        self.fields["kind"].choices = LogEntry.Kind.choices
        self.fields["what"].required = False
        self.fields["check_result"].choices = LogEntry.CheckResult.choices
        self.fields["smoke_zone"].queryset = building.smoke_zones.order_by("number")
        self.fields["smoke_zone"].empty_label = "none"
        self._offer_positions(building)

    def _offer_positions(self, building):
        """All devices in use, call points first: they are what a weekly check operates."""
        positions = building.positions.in_use() | building.positions.filter(pk=self.initial.get("position"))
        self.fields["position"].queryset = positions
        by_kind = {kind.label: [] for kind in CALL_POINTS}
        for position in positions.in_walking_order():
            where = ", ".join(part for part in (storey_words(position.storey), position.room, position.place) if part)
            label = f"{position.tag} · {where}" if where else position.tag
            by_kind.setdefault(position.get_kind_display(), []).append((position.pk, label))
        groups = [(kind, rows) for kind, rows in by_kind.items() if rows]
        self.fields["position"].choices = [("", "none"), *groups]

    def clean(self):
        cleaned = super().clean()
        if not cleaned.get("what") and "what" not in self.errors and cleaned.get("kind"):
            result = cleaned.get("check_result") or ""
            text = text_of_check(LogEntry(kind=cleaned["kind"], check_result=result))
            if text:
                cleaned["what"] = text
            elif cleaned["kind"] not in LogEntry.CHECK_KINDS:
                self.add_error("what", "Say what happened.")
        return cleaned

    def _get_validation_exclusions(self):
        # An empty text of a check without a result is told at the result.
        return super()._get_validation_exclusions() | ({"what"} if not self.cleaned_data.get("what") else set())

    def entry_data(self):
        """What the service takes."""
        return {name: self.cleaned_data[name] for name in self.Meta.fields}


class EndEntryForm(RegisterForm):
    ended_at = WallClockField(label="Ended at")
    note = forms.CharField(
        label="How and by whom",
        max_length=400,
        widget=forms.Textarea,
        help_text="What was done, who restored it, and who was told that it works again.",
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.initial.setdefault("ended_at", timezone.localtime())
