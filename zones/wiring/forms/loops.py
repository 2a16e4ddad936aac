"""What may be typed to loop a run, to make a panel's terminals, and as the wiring pattern of a product model."""

import re

from django import forms

from sites_registry.forms.base import RegisterForm
from zones.editing.forms import computable, more_than_zero
from zones.engineering.conductors import STANDARD_AREAS_MM2
from zones.models import Cable, EndOfLinePart, InputPort, Position, Terminal
from zones.units.forms.pattern_starts import PatternStartFields
from zones.units.patterns import MOST_OF_A_PANEL
from zones.wiring.forms.terminals import checked_colour
from zones.wiring.input_devices import devices_of_inputs
from zones.wiring.loops import MOST_CORES, LoopOptions

AREAS = [("", "not known"), *((f"{area:g}", f"{area:g} mm²") for area in STANDARD_AREAS_MM2)]
CLASSES = [("", "not known"), *Cable.ConductorClass.choices]


class DevicesField(forms.CharField):
    """Tags of devices in order, separated by commas or blanks; gives the positions. `offered` by tag in capitals."""

    def __init__(self, **options):
        super().__init__(max_length=4_000, required=False, widget=forms.Textarea(attrs={"rows": 2}), **options)
        self.offered = {}

    def clean(self, value):
        tags = [tag.upper() for tag in re.split(r"[,;\s]+", super().clean(value)) if tag]
        for tag in tags:
            if tag not in self.offered:
                known = ", ".join(position.tag for position in list(self.offered.values())[:12]) or "none"
                raise forms.ValidationError(f"'{tag}' is no device of this run. Devices that can be wired: {known}.")
            if tags.count(tag) > 1:
                raise forms.ValidationError(f"'{tag}' stands there twice. Name each device once, in order.")
        return [self.offered[tag] for tag in tags]


class LoopForm(RegisterForm):
    """The devices of a run in order, and what all new cables have in common."""

    devices = DevicesField(label="Devices, in order from the panel")
    cores_count = forms.IntegerField(
        label="Cores of a new cable",
        min_value=1,
        max_value=MOST_CORES,
        required=False,
        help_text="Empty: as many as are needed. What is more is parked as spare.",
    )
    colours = forms.CharField(
        max_length=400, required=False, help_text="IEC 60757 codes in order, such as BN BU BK. Empty: by number only."
    )
    cable_type = forms.CharField(label="Type of the cable", max_length=80, required=False)
    area_mm2 = forms.TypedChoiceField(
        label="Area of a core", choices=AREAS, required=False, coerce=forms.DecimalField().clean, empty_value=None
    )
    conductor_class = forms.ChoiceField(label="Class (IEC 60228)", choices=CLASSES, required=False)
    fire_rating = forms.CharField(max_length=40, required=False)
    element_kind = forms.ChoiceField(label="End of line", choices=EndOfLinePart.Kind.choices)
    element_ohm = forms.DecimalField(
        label="Its value (Ω)",
        max_digits=9,
        decimal_places=1,
        required=False,
        validators=[more_than_zero, computable("end_of_line_ohm")],
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
        help_text="Empty: as the line or the panel's data sheet says.",
    )

    def __init__(self, *args, devices, with_element, **kwargs):
        kwargs["initial"] = {"devices": ", ".join(one.tag for one in devices), **(kwargs.get("initial") or {})}
        super().__init__(*args, **kwargs)
        self.fields["devices"].offered = {position.tag.upper(): position for position in devices}
        if not with_element:
            del self.fields["element_kind"], self.fields["element_ohm"]

    def clean_colours(self):
        return tuple(checked_colour(part) for part in self.cleaned_data["colours"].replace(",", " ").split())

    def clean(self):
        cleaned = super().clean()
        count, colours = cleaned.get("cores_count"), cleaned.get("colours") or ()
        if count and len(colours) > count:
            self.add_error("colours", f"{len(colours)} colours for {count} cores. Leave the last ones out.")
        if len(set(colours)) < len(colours):
            self.add_error("colours", "A colour stands there twice. Name each once, or leave the colours out.")
        return cleaned

    def options(self):
        names = LoopOptions.__dataclass_fields__
        return LoopOptions(**{name: self.cleaned_data[name] for name in names if name in self.fields})


class InputLoopForm(LoopForm):
    """As LoopForm, from a block of the panel's inputs on."""

    block = forms.ChoiceField(label="Block at the panel")

    def __init__(self, *args, panel, **kwargs):
        super().__init__(*args, with_element=False, **kwargs)
        blocks = Terminal.objects.filter(panel=panel, actuator_circuit=None, detection_line=None)
        blocks = blocks.exclude(electrical_kind__in=("supply", "earth", "battery")).order_by("order_key")
        names = list(dict.fromkeys(blocks.values_list("block", flat=True)))
        self.fields["block"].choices = [("", "choose"), *((name, f"-{name}") for name in names)]
        self.fields["devices"].required = True
        self.order_fields(["block", "devices"])


class InputPortLoopForm(LoopForm):
    """One or several inputs of one panel or device, and the device wired to them; none: the inputs are unused."""

    inputs = forms.ModelMultipleChoiceField(
        queryset=InputPort.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        help_text="Those that one cable joins to the device: all of the panel, or all of one call point.",
        error_messages={"required": "Choose the inputs to wire."},
    )
    device = forms.ModelChoiceField(
        queryset=Position.objects.none(),
        required=False,
        empty_label="none: the inputs are unused",
        help_text="Unused, a monitored input has its resistor at its own terminals.",
    )

    def __init__(self, *args, panel, **kwargs):
        super().__init__(*args, devices=[], with_element=True, **kwargs)
        del self.fields["devices"], self.fields["element_kind"]
        inputs = panel.input_ports.select_related("panel__position", "starts_at").order_by("number")
        self.fields["inputs"].queryset = inputs
        self.fields["inputs"].label_from_instance = _input_in_words
        self.fields["device"].queryset = devices_of_inputs(panel)
        self.fields["element_ohm"].help_text = "Of monitored inputs. Empty: as recorded at the input."
        self.order_fields(["inputs", "device"])


def _input_in_words(one):
    function = one.get_function_display() if one.function else ""
    named = [one.name] if function and function.casefold() in one.name.casefold() else [one.name, function]
    return ", ".join(filter(None, [f"Input {one.number}", *named])) + (
        f", at {one.starts_at.tag}" if one.starts_at else ""
    )


class PanelPatternForm(RegisterForm):
    outputs = forms.IntegerField(min_value=0, max_value=MOST_OF_A_PANEL, help_text="Actuator outputs.")
    lines = forms.IntegerField(min_value=0, max_value=MOST_OF_A_PANEL, help_text="Detection lines, used or not.")
    inputs = forms.IntegerField(
        min_value=0, max_value=MOST_OF_A_PANEL, help_text="For switches, sensors and interfaces."
    )
    links = forms.IntegerField(
        label="Data links", min_value=0, max_value=MOST_OF_A_PANEL, help_text="Of call points that the panel lists."
    )


class WiringPatternForm(PatternStartFields, RegisterForm):
    def __init__(self, *args, kind="", **kwargs):
        super().__init__(*args, **kwargs)
        self.dress_pattern(kind)
