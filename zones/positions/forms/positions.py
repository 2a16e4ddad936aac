"""Forms of positions: one position, a run of them, and giving one up."""

import re

from django import forms
from django.utils import timezone

from sites_registry.forms.base import RegisterForm, RegisterModelForm
from zones.models import (
    ActuatorCircuit,
    ControlPanel,
    DataLink,
    DetectionLine,
    DeviceKind,
    Position,
    ProductModel,
    SmokeZone,
    Vent,
    VentGroup,
)
from zones.models.kinds import DRIVES
from zones.models.position_rules import NOT_ON_A_LINK
from zones.positions.edits import MOST_IN_A_RUN, next_free_number, run_of_tags
from zones.units.forms.units import models_by_kind, way_to_propose

WHERE = ("storey", "room", "place", "access_need")
WIRING = (
    "smoke_zone",
    "vent_group",
    "vent",
    "panel",
    "actuator_circuit",
    "detection_line",
    "data_link",
    "order_on_line",
)


class PositionFields(RegisterModelForm):
    """What all forms of positions share: relations limited to the building."""

    fixed_fields = ("building",)

    def __init__(self, *args, building, **kwargs):
        super().__init__(*args, **kwargs)
        self.instance.building = building
        self.building = building
        of_building = {
            "smoke_zone": SmokeZone.objects.filter(building=building),
            "vent_group": VentGroup.objects.filter(smoke_zone__building=building).select_related("smoke_zone"),
            "vent": Vent.objects.filter(smoke_zone__building=building).select_related("smoke_zone"),
            "panel": ControlPanel.objects.filter(building=building).select_related("position"),
            "actuator_circuit": ActuatorCircuit.objects.filter(panel__building=building).select_related(
                "panel__position"
            ),
            "detection_line": DetectionLine.objects.filter(panel__building=building).select_related("panel__position"),
            "data_link": DataLink.objects.filter(panel__building=building).select_related("panel__position"),
        }
        for name, queryset in of_building.items():
            self.fields[name].queryset = queryset
            self.fields[name].empty_label = "none"
        self.fields["product_model"].choices = models_by_kind(ProductModel.objects.all())
        self.fields["product_model"].help_text = way_to_propose(self.instance.kind)
        self.fields["storey"].widget.attrs["list"] = "storeys"
        self._limit_kinds()

    def _limit_kinds(self):
        """A control panel is made with its position on the panel's own page, and stays one."""
        choices = DeviceKind.choices
        if self.is_of_a_panel:
            choices = [choice for choice in choices if choice[0] == DeviceKind.CONTROL_PANEL]
        elif self.instance.kind != DeviceKind.CONTROL_PANEL:
            choices = [choice for choice in choices if choice[0] != DeviceKind.CONTROL_PANEL]
        self.fields["kind"].choices = choices if self.is_of_a_panel else [("", "choose"), *choices]

    @property
    def is_of_a_panel(self):
        return bool(self.instance.pk) and hasattr(self.instance, "control_panel")

    def storeys(self):
        """Storeys that the building uses already, for the browser to offer."""
        return self.building.positions.exclude(storey="").order_by("storey").values_list("storey", flat=True).distinct()

    kinds_on_a_circuit = " ".join(DRIVES)
    kinds_on_a_line = " ".join(kind for kind in DeviceKind.values if kind not in DRIVES)
    kinds_on_a_link = " ".join(kind for kind in DeviceKind.values if kind not in NOT_ON_A_LINK)

    @property
    def offers_a_link(self):
        """Whether the building has a data link to choose."""
        return bool(self.fields["data_link"].queryset)

    def clean(self):
        cleaned = super().clean()
        run = cleaned.get("actuator_circuit") or cleaned.get("detection_line") or cleaned.get("data_link")
        if run and cleaned.get("panel") is None:
            cleaned["panel"] = run.panel  # follows from the circuit, so nobody need type it
        return cleaned


class PositionForm(PositionFields):
    """Create or change one position."""

    class Meta:
        model = Position
        fields = ["kind", "tag", "product_model", *WHERE, *WIRING]

    def clean_tag(self):
        tag = " ".join(self.cleaned_data["tag"].split())
        same = self.building.positions.filter(tag__iexact=tag).exclude(pk=self.instance.pk).first()
        if same:
            words = " (no longer used)" if same.retired_on else ""
            raise forms.ValidationError(
                f"{self.building} has '{same.tag}' already, a {same.get_kind_display()}{words}. Choose another tag."
            )
        return tag


class PositionRunForm(PositionFields):
    """A run of like positions, 'Z3-SD-{01..12}': the tags by prefix, first number and count, all else the same."""

    prefix = forms.CharField(max_length=36, strip=True, help_text="What stands before the number: Z3-SD-")
    first_number = forms.IntegerField(min_value=0, max_value=9999, initial=1)
    count = forms.IntegerField(label="How many", min_value=1, max_value=MOST_IN_A_RUN, initial=12)
    digits = forms.IntegerField(min_value=1, max_value=4, initial=2, help_text="2 gives 01, 02 …")

    class Meta:
        model = Position
        fields = ["kind", "product_model", *WHERE, *WIRING]

    field_order = ["prefix", "first_number", "count", "digits"]

    def tag_fields(self):
        return [self[name] for name in ("prefix", "first_number", "count", "digits")]

    def tags(self):
        """Tags of the run as typed, or none while they cannot be reckoned."""
        typed = getattr(self, "cleaned_data", {})  # also while cleaning, when is_valid() cannot be asked
        if not all(typed.get(name) is not None for name in ("prefix", "first_number", "count", "digits")):
            return []
        return run_of_tags(
            prefix=typed["prefix"], first_number=typed["first_number"], count=typed["count"], digits=typed["digits"]
        )

    def clean(self):
        cleaned = super().clean()
        longest = Position._meta.get_field("tag").max_length
        if any(len(tag) > longest for tag in self.tags()):
            self.add_error("prefix", f"A tag has at most {longest} characters. Shorten the prefix.")
        return cleaned

    def _get_validation_exclusions(self):
        return super()._get_validation_exclusions() | {"tag"}  # each tag of the run is checked by the service


def start_of_run(position):
    """Initial values of a run that continues after a position: 'Z3-SD-01' leads to prefix 'Z3-SD-', number 2."""
    initial = {
        name: getattr(position, f"{name}_id" if name in WIRING[:7] else name)
        for name in ("kind", *WHERE, *WIRING)
        if name != "order_on_line"
    }
    initial["product_model"] = position.product_model_id
    initial["order_on_line"] = position.order_on_line and position.order_on_line + 1
    found = re.fullmatch(r"(.*?)([0-9]{1,4})", position.tag)
    prefix, number = found.groups() if found else (f"{position.tag}-", "0")
    return initial | {
        "prefix": prefix,
        "first_number": next_free_number(building=position.building, prefix=prefix, after=int(number)),
        "digits": len(number) if found else 2,
    }


class GiveUpForm(RegisterForm):
    """A position is needed no longer, from a day on."""

    day = forms.DateField(label="No longer used since", initial=timezone.localdate)
    reason = forms.CharField(max_length=200, help_text="Kept in the history: 'door walled up'.")
