"""What may be typed about cause and effect: a rule, a cell of the matrix, a coincidence."""

from django import forms

from sites_registry.forms.base import RegisterForm
from zones.cause_and_effect.records import INPUT_KIND_OF
from zones.editing.forms import ZonesModelForm
from zones.engineering.cause_and_effect.rules import ALARMS, Action, cause_actions_of
from zones.models import (
    CauseAndEffectRule,
    Coincidence,
    DataLink,
    DetectionLine,
    Position,
    SmokeZone,
    VentGroup,
)

Effect = CauseAndEffectRule.Effect
LONGEST_DELAY_S = 600  # EN 54-2 clause 7.11: a delay to outputs is at most 10 minutes (from memory, see the handbook)


def check_delay(value):
    if value > LONGEST_DELAY_S:
        raise forms.ValidationError(
            f"{value} s is more than the longest delay of an output, {LONGEST_DELAY_S} s (EN 54-2, clause 7.11). "
            "Enter less."
        )


class RuleForm(ZonesModelForm):
    fixed_fields = ("panel",)
    sentences = {
        "rule_names_a_device_when_the_cause_is_one": (
            "position",
            "Name the device for the cause 'a device operates', and only for that.",
        ),
        "rule_names_a_coincidence_when_the_cause_is_one": (
            "coincidence",
            "Name the coincidence for the cause 'several devices operate', and only for that.",
        ),
        "rule_names_the_zone_in_alarm_when_that_is_the_cause": (
            "cause_zone",
            "Name the zone for the cause 'a zone is in alarm', and only for that.",
        ),
        "rule_names_the_group_when_that_is_the_cause": (
            "cause_group",
            "Name the group for the cause 'a vent group is not shut', and only for that.",
        ),
        "rule_names_a_line_only_for_its_fault": ("detection_line", "Name a line only for the cause 'fault on a line'."),
        "rule_names_a_data_link_only_for_its_break": (
            "data_link",
            "Name a data link only for the cause 'break of a data link'.",
        ),
        "rule_action_only_of_a_device": (
            "action",
            "Open, stop and close are what a switch or selector says; choose 'operates' for this cause.",
        ),
        "rule_has_a_target": ("smoke_zone", "Choose the zone or group in which the effect happens."),
        "rule_acts_on_a_zone_or_on_a_group": ("vent_group", "Choose the whole zone or one group, not both."),
        "rule_output_only_for_a_signal": (
            "output",
            "A panel output takes a signal, and stands in place of a zone or group.",
        ),
        "rule_priority_possible": (
            "priority",
            "{value}: a priority is from 1 (highest) to 6 (lowest), or empty for the usual.",
        ),
    }

    class Meta:
        model = CauseAndEffectRule
        fields = [
            "cause",
            "position",
            "action",
            "coincidence",
            "detection_line",
            "data_link",
            "cause_zone",
            "cause_group",
            "effect",
            "smoke_zone",
            "vent_group",
            "output",
            "delay_s",
            "is_latching",
            "priority",
            "is_cross_zone",
            "note",
        ]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        panel = self.instance.panel
        positions = Position.objects.filter(building=panel.building_id)
        offered = positions.in_use().filter(kind__in=INPUT_KIND_OF) | positions.filter(pk=self.instance.position_id)
        zones = SmokeZone.objects.filter(building=panel.building_id).order_by("number")
        groups = VentGroup.objects.filter(smoke_zone__building=panel.building_id).select_related("smoke_zone")
        groups = groups.order_by("smoke_zone__number", "number")
        lines = DetectionLine.objects.filter(panel=panel).select_related("panel__position").order_by("number")
        of_panel = {
            "position": offered.order_by("tag_key"),
            "coincidence": Coincidence.objects.filter(panel=panel),
            "detection_line": lines,
            "data_link": DataLink.objects.filter(panel=panel).select_related("panel__position").order_by("number"),
            "cause_zone": zones,
            "cause_group": groups,
            "smoke_zone": zones,
            "vent_group": groups,
        }
        for name, queryset in of_panel.items():
            self.fields[name].queryset = queryset
        self.fields["delay_s"].validators.append(check_delay)
        self.fields["action"].required = False

    def clean_action(self):
        return self.cleaned_data["action"] or CauseAndEffectRule.Action.ON

    def clean(self):
        cleaned = super().clean()
        position, action = cleaned.get("position"), cleaned.get("action")
        if position and action:
            several = Action.ON not in cause_actions_of(INPUT_KIND_OF.get(position.kind))
            if several == (action == CauseAndEffectRule.Action.ON):
                said = "says open, stop or close" if several else "operates"
                self.add_error("action", f"A {position.get_kind_display()} {said}. Choose that.")
        return cleaned


class CellForm(RegisterForm):
    """What one cause does to one target."""

    effect = forms.ChoiceField(
        required=False,
        label="Effect on the vents",
        widget=forms.RadioSelect,
        choices=[
            ("", "none: they stay as they are"),
            *((value, word) for value, word in Effect.choices if value not in (Effect.SIGNAL, Effect.UNCHANGED)),
            (Effect.UNCHANGED, "unchanged, to be tested by name"),
        ],
    )
    signals = forms.BooleanField(required=False, label="Lights the alarm lamp, or signals at the output")
    is_latching = forms.BooleanField(required=False, label="Latches until reset")
    delay_s = forms.IntegerField(
        required=False, min_value=0, label="Delay (s)", validators=[check_delay], help_text="Empty: none."
    )
    priority = forms.IntegerField(
        required=False,
        min_value=1,
        max_value=6,
        help_text="1 is the highest priority, 6 the lowest. Empty: the usual one of its cause.",
    )
    is_cross_zone = forms.BooleanField(required=False, label="Meant for another zone than the device's own")

    def __init__(self, *args, takes_signals_only=False, **kwargs):
        super().__init__(*args, **kwargs)
        if takes_signals_only:
            for name in ("effect", "is_cross_zone"):
                del self.fields[name]

    def clean_delay_s(self):
        return self.cleaned_data["delay_s"] or 0


class CoincidenceForm(ZonesModelForm):
    fixed_fields = ("panel",)
    sentences = {
        "coincidence_name_unique_per_panel": ("name", "This panel has a coincidence '{value}' already. Name it anew."),
        "coincidence_needs_at_least_two": ("needed", "{value}: a coincidence needs 2 to 20 devices to operate."),
    }

    class Meta:
        model = Coincidence
        fields = ["name", "positions", "needed", "counts_lines"]
        widgets = {"positions": forms.CheckboxSelectMultiple}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        kinds = [kind for kind, tells in INPUT_KIND_OF.items() if tells in ALARMS]
        positions = Position.objects.in_use().filter(building=self.instance.panel.building_id, kind__in=kinds)
        self.fields["positions"].queryset = positions.order_by("tag_key")
        self.fields["positions"].error_messages["required"] = "Choose the devices of which some must operate."

    def clean(self):
        cleaned = super().clean()
        positions, needed = cleaned.get("positions"), cleaned.get("needed")
        if not positions or not needed:
            return cleaned
        if cleaned.get("counts_lines"):
            lines = {position.detection_line_id for position in positions}
            if None in lines:
                loose = next(position for position in positions if position.detection_line_id is None)
                self.add_error("positions", f"{loose} sits on no line, so its line cannot be counted. Leave it out.")
            elif needed > len(lines):
                self.add_error("needed", f"{needed} lines are needed, but the devices sit on {len(lines)}.")
        elif needed > len(positions):
            self.add_error("needed", f"{needed} are needed of {len(positions)} devices. Choose more, or need fewer.")
        return cleaned
