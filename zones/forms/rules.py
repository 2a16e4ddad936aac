"""What may be typed about cause-and-effect rules."""

from zones.forms.base import ZonesModelForm
from zones.models import CauseAndEffectRule, Position, SmokeZone, VentGroup


class RuleForm(ZonesModelForm):
    fixed_fields = ("panel",)
    sentences = {
        "rule_names_a_device_when_the_cause_is_one": (
            "position",
            "Name the device for the cause 'a device operates', and only for that.",
        ),
        "rule_has_a_target": ("smoke_zone", "Choose the zone or group in which the effect happens."),
    }

    class Meta:
        model = CauseAndEffectRule
        fields = ["cause", "position", "effect", "smoke_zone", "vent_group", "delay_s", "is_latching", "note"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        building_id = self.instance.panel.building_id
        positions = Position.objects.filter(building=building_id)
        offered = positions.in_use().exclude(kind="actuator") | positions.filter(pk=self.instance.position_id)
        self.fields["position"].queryset = offered.order_by("tag_key")
        self.fields["smoke_zone"].queryset = SmokeZone.objects.filter(building=building_id).order_by("number")
        groups = VentGroup.objects.filter(smoke_zone__building=building_id).select_related("smoke_zone")
        self.fields["vent_group"].queryset = groups.order_by("smoke_zone__number", "number")
