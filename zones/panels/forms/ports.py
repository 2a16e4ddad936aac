"""What may be typed about data links and inputs."""

from django import forms
from django.db.models import Q

from zones.editing.forms import ZonesModelForm
from zones.models import DataLink, InputPort, Position, SmokeZone, VentGroup
from zones.models.kinds import kinds_where
from zones.wiring.input_devices import devices_of_inputs

# What neither offers a line or an input of its own nor is wired to one.
NO_PORTS = kinds_where(lambda facts: not facts.offers_ports)


def devices_that_offer(panel, present=None):
    """Devices of a panel and of its data links at which a line or an input may start, and the one chosen before."""
    on_panel = Position.objects.in_use().filter(Q(panel=panel) | Q(data_link__panel=panel)).exclude(kind__in=NO_PORTS)
    return (on_panel | Position.objects.filter(pk=present)).order_by("tag_key")


class DataLinkForm(ZonesModelForm):
    fixed_fields = ("panel",)
    sentences = {
        "data_link_number_unique_per_panel": (
            "number",
            "Data link {value} of this panel exists already. Choose another number, or change that one.",
        )
    }

    class Meta:
        model = DataLink
        fields = ["number", "name", "when_broken"]
        help_texts = {"when_broken": "What the panel does when a core of the link is broken, as its manual says."}


class TagsInOrderField(forms.CharField):
    """Tags of devices in order, separated by commas or blanks; gives the positions, of those in `offered`."""

    def __init__(self, **options):
        super().__init__(max_length=400, required=False, **options)
        self.offered = {}

    def clean(self, value):
        tags = super().clean(value).upper().replace(",", " ").replace(";", " ").split()
        for tag in tags:
            if tag not in self.offered:
                known = ", ".join(position.tag for position in list(self.offered.values())[:12]) or "none"
                raise forms.ValidationError(f"'{tag}' is no device of this panel. Devices to choose from: {known}.")
            if tags.count(tag) > 1:
                raise forms.ValidationError(f"'{tag}' stands there twice. Name each device once, in order.")
        return [self.offered[tag] for tag in tags]


class InputPortForm(ZonesModelForm):
    """An input, with the devices wired to it in their order."""

    fixed_fields = ("panel",)
    sentences = {
        "input_port_number_unique_per_panel": (
            "number",
            "Input {value} of this panel exists already. Choose another number, or change that one.",
        )
    }
    wired = TagsInOrderField(
        label="Devices, in order", help_text="Tags of the switches, sensors or contacts wired to it, such as VS1."
    )

    class Meta:
        model = InputPort
        fields = [
            "number",
            "name",
            "starts_at",
            "function",
            "long_press",
            "short_press",
            "smoke_zone",
            "vent_group",
            "is_monitored",
            "end_of_line_ohm",
            "end_place",
        ]
        help_texts = {
            "number": "As at the panel; inputs that a device offers are counted on from 201.",
            "starts_at": "Empty: at the panel. Else the device, such as a call point, on whose terminals it begins.",
            "long_press": "For a switch: what a press does that is held.",
            "vent_group": "Empty: the whole zone.",
            "is_monitored": "By a resistor, so that a break or a short circuit is reported.",
            "end_place": "At the last device; at its own terminals only when the input is unused.",
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        panel = self.instance.panel
        zones = SmokeZone.objects.filter(building=panel.building_id)
        groups = VentGroup.objects.filter(smoke_zone__building=panel.building_id).select_related("smoke_zone")
        self.fields["smoke_zone"].queryset = zones.order_by("number")
        self.fields["vent_group"].queryset = groups.order_by("smoke_zone__number", "number")
        self.fields["starts_at"].queryset = devices_that_offer(panel, self.instance.starts_at_id)
        self.fields["starts_at"].empty_label = "the panel"
        standing = []
        if self.instance.pk:
            standing = [one.position for one in self.instance.wired_devices.select_related("position")]
        offered = {one.tag.upper(): one for one in [*devices_of_inputs(panel), *standing]}
        self.fields["wired"].offered = offered
        self.fields["wired"].widget.attrs.update({"autocapitalize": "characters", "spellcheck": "false"})
        self.initial.setdefault("wired", ", ".join(one.tag for one in standing))

    def clean(self):
        cleaned = super().clean()
        group = cleaned.get("vent_group")
        if group and cleaned.get("smoke_zone") is None and "smoke_zone" not in self.errors:
            cleaned["smoke_zone"] = group.smoke_zone  # follows from the group, so nobody need choose it
        if cleaned.get("end_of_line_ohm") and not cleaned.get("is_monitored"):
            self.add_error("is_monitored", "A resistor is entered: tick this, or leave the resistor empty.")
        return cleaned
