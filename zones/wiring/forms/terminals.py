"""What may be typed about terminals, cables and cores."""

from django import forms

from sites_registry.forms.base import RegisterForm
from zones.editing.forms import GroupedForm, ZonesModelForm, more_than_zero
from zones.engineering.designations import DesignationError, check_colour, read_terminal_range
from zones.models import ActuatorCircuit, Cable, Core, DetectionLine, DeviceKind, Position, Terminal
from zones.models.terminals import RUNS_OF_A_TERMINAL
from zones.wiring.terminals import terminal_named

MOST_CORES = 200
OFFERED_TERMINALS = 500


class TerminalRangeForm(RegisterForm):
    designations = forms.CharField(
        label="Terminals", max_length=200, help_text="One or a run: -X3:1…12, X3:1-12 or -X3:1..4, 7, PE."
    )
    function = forms.CharField(max_length=120, required=False)
    electrical_kind = forms.ChoiceField(
        label="Electrical kind", choices=[("", "not entered"), *Terminal.ElectricalKind.choices], required=False
    )
    pole = forms.ChoiceField(choices=[("", "none or not known"), *Terminal.Pole.choices], required=False)
    passing = forms.ChoiceField(
        label="Line or output", choices=[("", "neither"), *Terminal.Passing.choices], required=False
    )
    rated_voltage_v = forms.DecimalField(
        label="Rated voltage (V)",
        max_digits=6,
        decimal_places=1,
        required=False,
        validators=[more_than_zero],
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )

    def clean_designations(self):
        try:
            return read_terminal_range(self.cleaned_data["designations"])
        except DesignationError as error:
            raise forms.ValidationError(str(error)) from error


class TerminalForm(ZonesModelForm):
    fixed_fields = ("panel", "position")
    sentences = {
        name: ("number", "Terminal {value} of this block exists already. Choose another number.")
        for name in ("terminal_unique_per_panel", "terminal_unique_per_device")
    }

    class Meta:
        model = Terminal
        fields = [
            "block",
            "number",
            "function",
            "electrical_kind",
            "pole",
            "passing",
            "rated_voltage_v",
            "cores_allowed",
            *RUNS_OF_A_TERMINAL,
        ]
        help_texts = {
            "pole": "As marked or measured, never by the colour of a core.",
            "cores_allowed": "1, or as many as the maker allows in it, 4 at most.",
            "actuator_circuit": "The output that starts at this terminal.",
            "detection_line": "The line that starts at this terminal.",
            "data_link": "The data link that starts at this terminal.",
            "input_port": "The input that starts at this terminal.",
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for name in RUNS_OF_A_TERMINAL:
            records = Terminal._meta.get_field(name).related_model.objects.select_related("panel__position")
            if name in ("detection_line", "input_port"):
                start = self.instance.position_id
                records = records.filter(starts_at=start, **({} if start else {"panel": self.instance.panel_id}))
            else:
                records = records.filter(panel=self.instance.panel_id)
            self.fields[name].queryset = records.order_by("number")
            self.fields[name].empty_label = "none"
            if not self.instance.panel_id and name in ("actuator_circuit", "data_link"):
                del self.fields[name]  # a device offers lines and inputs only

    def clean(self):
        cleaned = super().clean()
        for name in ("block", "number"):
            value = cleaned.get(name)
            if value and (":" in value or len(value.split()) > 1):
                self.add_error(name, f"'{value}' may hold neither a colon nor a blank.")
        return cleaned


class CableForm(GroupedForm):
    """A cable; with a circuit or line also a run of its tree."""

    fixed_fields = ("building",)
    first_heading = "Cable"
    field_groups = (
        (
            "Way",
            "",
            (
                "actuator_circuit",
                "detection_line",
                "upstream",
                "feeds",
                "far_box",
                "length_m",
                "from_place",
                "to_place",
                "route",
            ),
        ),
        ("Laid", "For what it may carry.", ("insulation", "method", "grouped_circuits", "ambient_c")),
        ("In a fire", "", ("hot_length_m", "fire_rating", "fire_class", "integrity_min", "fixing_min")),
    )
    more_than_zero_fields = ("cores_count", "cores_per_pole", "grouped_circuits", "integrity_min", "fixing_min")
    from_zero_fields = ("hot_length_m",)
    sentences = {
        "cable_cores_per_pole_possible": (
            "cores_per_pole",
            "{value} cores per pole: 1 to 8 are possible, and the cable needs as many for each pole.",
        ),
        "cable_hot_length_within_its_length": (
            "hot_length_m",
            "{value} m in the fire is more than the length of the cable. Correct one of the two.",
        ),
        "cable_area_or_awg": ("awg", "'{value}' and an area in mm²: give one of the two."),
        "cable_of_a_circuit_or_of_a_line": (
            "detection_line",
            "A cable is a run of a circuit or of a line, not of both. Clear one of the two.",
        ),
        "cable_feeds_a_device_or_ends_in_a_box": (
            "far_box",
            "{value} and a device: a cable ends at one of the two. Clear the other.",
        ),
        "cable_one_per_fed_device": (
            "feeds",
            "Another cable feeds {value} already. Change that one first, or choose another device.",
        ),
        "cable_tag_unique_per_building": (
            "tag",
            "This building has a cable '{value}' already. Choose another tag, or change that cable.",
        ),
    }

    class Meta:
        model = Cable
        fields = [
            "tag",
            "cable_type",
            "cores_count",
            "area_mm2",
            "awg",
            "conductor_class",
            "is_tinned",
            "cores_per_pole",
            "insulation",
            "method",
            "grouped_circuits",
            "ambient_c",
            "length_m",
            "actuator_circuit",
            "detection_line",
            "upstream",
            "feeds",
            "far_box",
            "hot_length_m",
            "fire_rating",
            "fire_class",
            "integrity_min",
            "fixing_min",
            "from_place",
            "to_place",
            "route",
        ]
        help_texts = {
            "tag": "Unique in the building, for instance W12.",
            "awg": "In place of the area, such as 14 or 2/0.",
            "length_m": "One way, as run.",
            "hot_length_m": "Metres that run through the fire, as the fire engineer decides; 0 for none.",
            "cores_per_pole": "Alike cores side by side on plus, and as many on minus. Empty: one.",
            "method": "How it is laid where that is worst (IEC 60364-5-52).",
            "grouped_circuits": "Loaded circuits touching each other on the way, its own counted.",
            "ambient_c": "The warmest place on the way.",
            "fire_rating": "As printed on it.",
            "integrity_min": "Minutes of its class, such as 30 of PH 30.",
            "fixing_min": "Clips, trays and anchors, by their own proof.",
            "upstream": "Empty: it begins at the panel.",
            "feeds": "Empty: a junction box.",
            "far_box": "Where it is registered as a position.",
            "from_place": "The near end.",
            "to_place": "The far end.",
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        building = self.instance.building_id
        circuits = ActuatorCircuit.objects.filter(panel__building=building).select_related("panel__position")
        lines = DetectionLine.objects.filter(panel__building=building).select_related("panel__position")
        on_something = Position.objects.in_use().filter(building=building)
        of_building = {
            "actuator_circuit": circuits.order_by("panel__position__tag_key", "number"),
            "detection_line": lines.order_by("panel__position__tag_key", "number"),
            "upstream": Cable.objects.filter(building=building).exclude(pk=self.instance.pk),
            "feeds": on_something.exclude(kind=DeviceKind.CONTROL_PANEL).exclude(
                actuator_circuit=None, detection_line=None
            ),
        }
        for name, queryset in of_building.items():
            self.fields[name].queryset = queryset
        self.fields["far_box"].queryset = Position.objects.in_use().filter(
            building=building, kind=DeviceKind.JUNCTION_BOX
        )
        self.fields["far_box"].empty_label = "none, or not registered"
        self.fields["upstream"].empty_label = "the panel"
        self.fields["feeds"].empty_label = "a junction box"


def checked_colour(text):
    try:
        return check_colour(text)
    except DesignationError as error:
        raise forms.ValidationError(str(error)) from error


class CoresForm(RegisterForm):
    """Several cores at once."""

    count = forms.IntegerField(label="How many cores", min_value=1, max_value=MOST_CORES)
    colours = forms.CharField(
        max_length=1_000,
        required=False,
        help_text="IEC 60757 codes in order, for instance BN BU GNYE. Empty: cores known by number only.",
    )
    is_spare = forms.BooleanField(label="Spare, parked on purpose", required=False)

    def clean_colours(self):
        return [checked_colour(part) for part in self.cleaned_data["colours"].replace(",", " ").split()]

    def clean(self):
        cleaned = super().clean()
        count, colours = cleaned.get("count"), cleaned.get("colours")
        if count and colours and len(colours) != count:
            self.add_error("colours", f"{len(colours)} colours for {count} cores. Name one for each core, or none.")
        return cleaned


class TerminalField(forms.CharField):
    """A terminal of a building, typed as "P1 -X3:5": tag of the panel or device, block, number."""

    def __init__(self, **options):
        super().__init__(required=False, max_length=80, **options)
        self.building = None

    def clean(self, value):
        text = super().clean(value)
        return self.find(text) if text else None

    def find(self, text):
        if terminal := terminal_named(building_id=self.building, text=text):
            return terminal
        raise forms.ValidationError(
            f"'{text}' is no terminal of this building. Write panel or device and terminal, for instance P1 -X3:5."
        )


class CoreForm(ZonesModelForm):
    """A core with its two ends."""

    near = TerminalField(label="Near end", help_text="Panel or device and terminal: P1 -X3:5. Empty: on no terminal.")
    far = TerminalField(label="Far end")

    class Meta:
        model = Core
        fields = ["colour", "is_spare"]

    def __init__(self, *args, ends, names, **kwargs):
        kwargs["initial"] = {name: names.get(name, "") for name in ("near", "far")} | (kwargs.get("initial") or {})
        super().__init__(*args, **kwargs)
        self.ends = ends
        for name in ("near", "far"):
            self.fields[name].building = self.instance.cable.building_id
            self.fields[name].widget.attrs.update({"list": "free-terminals", "autocomplete": "off"})
        self.order_fields(["colour", "near", "far", "is_spare"])

    def clean_colour(self):
        return checked_colour(self.cleaned_data["colour"]) if self.cleaned_data["colour"] else ""

    def clean(self):
        cleaned = super().clean()
        for name in ("near", "far"):
            if cleaned.get("is_spare") and cleaned.get(name):
                self.add_error(name, "A spare core is on no terminal. Clear its ends, or take the spare mark off.")
        return cleaned
