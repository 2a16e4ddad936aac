"""The answers that a small system needs, on one page: fields follow from its description."""

import re
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from django import forms

from sites_registry.forms.base import RegisterForm
from sites_registry.typed_numbers import NumberNotClear, with_point
from zones.editing.forms import computable, more_than_zero, past_or_today
from zones.editing.tags import tag_after
from zones.engineering.findings import counted
from zones.models import Cable, DeviceKind, Drive, EndPlace, ProductModel, SmokeZone
from zones.models.kinds import DRIVES
from zones.small_systems.answers import CableAnswer, PartAnswer, SystemAnswers, ZoneAnswer
from zones.wiring.forms.loops import AREAS, CLASSES

MOST_LENGTH_M = Decimal(2000)
PART_FIELDS = ("count", "model", "storey", "lengths")
CABLE_FIELDS = ("type", "area", "class")  # in the order of CableAnswer
ZONE_FIELDS = ("name", "storey", "each", "drive", "end")
CABLES = (("output_cable", "To the vents"), ("other_cable", "All others"))
MOST_ON_A_VENT = 8


class LengthsField(forms.CharField):
    """Metres of the cables of a run, leg by leg: "18 3.5"."""

    def __init__(self, **options):
        super().__init__(required=False, max_length=200, **options)
        self.widget.attrs["inputmode"] = "decimal"

    def clean(self, value):
        return tuple(self._metres(text) for text in re.split(r"[\s;+/]+", super().clean(value)) if text)

    def _metres(self, text):
        try:
            metres = Decimal(with_point(text))
        except NumberNotClear as error:
            raise forms.ValidationError(str(error)) from error
        except InvalidOperation:
            metres = None
        if metres is None or not metres.is_finite():
            raise forms.ValidationError(f"'{text}' is no length. Write metres in plain digits, a blank between legs.")
        if not 0 < metres <= MOST_LENGTH_M or round(metres, 1) != metres:
            raise forms.ValidationError(
                f"{text} m is not possible: more than 0, at most {MOST_LENGTH_M} m, one digit after the point."
            )
        return metres


@dataclass(frozen=True)
class PartRow:
    """One row of the page: the fields of a part."""

    part: object
    count: object
    model: object
    storey: object
    lengths: object


@dataclass(frozen=True)
class ZoneBlock:
    number: int
    fields: list
    rows: list


class SmallSystemForm(RegisterForm):
    """Fields by name: z1_name, z1_actuators_count … for each zone, rain_sensor_count … for what is there once."""

    panel_tag = forms.CharField(label="Tag", max_length=40)
    panel_model = forms.ModelChoiceField(ProductModel.objects.none(), label="Model", required=False)
    panel_storey = forms.CharField(label="Storey", max_length=40, required=False)
    panel_place = forms.CharField(label="Place", max_length=200, required=False)
    end_of_line_ohm = forms.DecimalField(
        label="End-of-line resistors (Ω)",
        max_digits=9,
        decimal_places=1,
        required=False,
        validators=[more_than_zero, computable("end_of_line_ohm")],
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
        help_text="Empty: as the panel's data sheet says.",
    )
    battery_model = forms.ModelChoiceField(ProductModel.objects.none(), label="Battery, two blocks", required=False)
    battery_fitted_on = forms.DateField(
        label="Battery fitted on", required=False, help_text="Empty: today.", validators=[past_or_today]
    )
    mains_feed = forms.CharField(
        label="Mains feed", max_length=200, required=False, help_text="Board, circuit, protective device."
    )

    def __init__(self, *args, building, system, **kwargs):
        self.building, self.system = building, system
        last = building.smoke_zones.order_by("-number").values_list("number", flat=True).first() or 0
        self.first_number = last + 1
        self.models = {}
        for model in (
            ProductModel.objects.filter(is_current=True).select_related("maker").order_by("maker__name", "name")
        ):
            self.models.setdefault(model.kind, []).append(model)
        super().__init__(*args, **kwargs)
        self._offer("panel_model", DeviceKind.CONTROL_PANEL)
        self._offer("battery_model", DeviceKind.BATTERY)
        self.initial.setdefault("panel_tag", tag_after("P0", building.positions.values_list("tag", flat=True)))
        for prefix, _ in CABLES:
            self._cable_fields(prefix)
        for zone in range(1, system.zones + 1):
            self._zone_fields(zone)
        for part in system.shared_parts:
            self._part_fields("", part, is_first=True)

    # Fields ---------------------------------------------------------------------------------------------------------

    def _offer(self, name, kind, empty="not known yet"):
        """Models of a kind to choose from, read once for all fields; the only one is chosen beforehand."""
        field, models = self.fields[name], self.models.get(kind, [])
        field.queryset = ProductModel.objects.filter(kind=kind, is_current=True)
        field.choices = [("", empty), *((model.pk, str(model)) for model in models)]
        if len(models) == 1 and empty == "not known yet":
            self.initial.setdefault(name, models[0].pk)

    def _cable_fields(self, prefix):
        limit = Cable._meta.get_field("cable_type").max_length
        self.fields[f"{prefix}_type"] = forms.CharField(label="Type", max_length=limit, required=False)
        self.fields[f"{prefix}_area"] = forms.TypedChoiceField(
            label="Area of a core", choices=AREAS, required=False, coerce=Decimal, empty_value=None
        )
        self.fields[f"{prefix}_class"] = forms.ChoiceField(label="Class (IEC 60228)", choices=CLASSES, required=False)

    def _zone_fields(self, zone):
        longest = SmokeZone._meta.get_field("name").max_length
        self.fields[f"z{zone}_name"] = forms.CharField(label="Name", max_length=longest)
        self.fields[f"z{zone}_storey"] = forms.CharField(label="Storey", max_length=40, required=False)
        self.fields[f"z{zone}_each"] = forms.IntegerField(
            label="Actuators on each vent", min_value=1, max_value=MOST_ON_A_VENT, initial=1
        )
        self.fields[f"z{zone}_drive"] = forms.ChoiceField(
            label="Drive", choices=[("", "as the model says"), *Drive.choices], required=False
        )
        self.fields[f"z{zone}_end"] = forms.ChoiceField(
            label="End-of-line module",
            required=False,
            choices=[("", "at the last actuator"), (EndPlace.IN_BOX.value, "in a box before the last actuator")],
        )
        for part in self.system.zone_parts:
            self._part_fields(f"z{zone}_", part, is_first=zone == 1)

    def _part_fields(self, prefix, part, *, is_first):
        name = f"{prefix}{part.key}"
        self.fields[f"{name}_count"] = forms.IntegerField(
            label=f"{part.label}, how many", min_value=0, max_value=part.most, initial=part.usual
        )
        if part.run == "battery":  # its model is asked with the panel, its leads need no length
            return
        self.fields[f"{name}_model"] = forms.ModelChoiceField(
            ProductModel.objects.none(), label=f"{part.label}, model", required=False
        )
        self._offer(f"{name}_model", part.kind, "not known yet" if is_first else "as in the zone before")
        self.fields[f"{name}_storey"] = forms.CharField(label=f"{part.label}, storey", max_length=40, required=False)
        self.fields[f"{name}_lengths"] = LengthsField(label=f"{part.label}, cables (m)")

    # For the page ---------------------------------------------------------------------------------------------------

    def panel_fields(self):
        return [self[name] for name in SmallSystemForm.base_fields]

    def cable_rows(self):
        return [(words, *(self[f"{prefix}_{name}"] for name in CABLE_FIELDS)) for prefix, words in CABLES]

    def zone_blocks(self):
        return [
            ZoneBlock(
                self.first_number + zone - 1,
                [self[f"z{zone}_{name}"] for name in ZONE_FIELDS],
                [self._row(f"z{zone}_", part) for part in self.system.zone_parts],
            )
            for zone in range(1, self.system.zones + 1)
        ]

    def shared_rows(self):
        return [self._row("", part) for part in self.system.shared_parts]

    def _row(self, prefix, part):
        names = [f"{prefix}{part.key}_{name}" for name in PART_FIELDS]
        return PartRow(part, *(self[name] if name in self.fields else None for name in names))

    # What was answered ----------------------------------------------------------------------------------------------

    def clean_panel_tag(self):
        tag = " ".join(self.cleaned_data["panel_tag"].split())
        if self.building.positions.filter(tag__iexact=tag).exists():
            raise forms.ValidationError(f"{self.building} has '{tag}' already. Choose another tag.")
        return tag

    def clean(self):
        cleaned = super().clean()
        for zone in range(1, self.system.zones + 1):
            for part in self.system.zone_parts:
                self._model_of(cleaned, zone, part)
                self._check_lengths(cleaned, f"z{zone}_", part)
            self._check_drive(cleaned, zone)
        for part in self.system.shared_parts:
            self._check_lengths(cleaned, "", part)
        if not any(cleaned.get(f"z1_{part.key}_count") for part in self.system.zone_parts) and not self.errors:
            self.add_error(None, "Zone 1 has no device at all. Say how many there are.")
        return cleaned

    def _model_of(self, cleaned, zone, part):
        """A model that is left open is that of the zone before."""
        name = f"z{zone}_{part.key}_model"
        if zone > 1 and cleaned.get(name) is None and name not in self.errors:
            cleaned[name] = cleaned.get(f"z{zone - 1}_{part.key}_model")

    def _check_drive(self, cleaned, zone):
        for part in self.system.zone_parts:
            model, name = cleaned.get(f"z{zone}_{part.key}_model"), f"z{zone}_drive"
            if part.kind not in DRIVES or not cleaned.get(f"z{zone}_{part.key}_count"):
                continue
            drive = cleaned.get(name) or (model and model.drive)
            if not drive:
                of = f"the data sheet of {model} here" if model else "record without a model"
                self.add_error(name, f"The drive is not on {of}. Choose addressed or polarity.")
            elif drive != Drive.POLARITY and cleaned.get(f"z{zone}_end"):
                self.add_error(
                    f"z{zone}_end",
                    "An addressed circuit has no end-of-line module. Choose 'at the last actuator', or polarity.",
                )

    def _check_lengths(self, cleaned, prefix, part):
        name = f"{prefix}{part.key}"
        lengths, count = cleaned.get(f"{name}_lengths") or (), cleaned.get(f"{name}_count")
        legs = count or 0
        if part.kind in DRIVES and legs:
            legs = legs * (cleaned.get(f"{prefix}each") or 1) + bool(cleaned.get(f"{prefix}end"))
        if count is not None and len(lengths) > legs:
            self.add_error(
                f"{name}_lengths",
                f"{counted(len(lengths), 'length')} for {counted(legs, 'cable')}: one for each cable, in their order.",
            )

    def answers(self):
        typed = self.cleaned_data
        zones = tuple(
            ZoneAnswer(
                *(typed[f"z{zone}_{name}"] for name in ("name", "storey", "drive", "end", "each")),
                {part.key: self._part_answer(f"z{zone}_{part.key}") for part in self.system.zone_parts},
            )
            for zone in range(1, self.system.zones + 1)
        )
        cables = {prefix: CableAnswer(*(typed[f"{prefix}_{name}"] for name in CABLE_FIELDS)) for prefix, _ in CABLES}
        shared = {part.key: self._part_answer(part.key) for part in self.system.shared_parts}
        panel = {name: typed[name] for name in SmallSystemForm.base_fields}
        return SystemAnswers(zones=zones, parts=shared, **panel, **cables)

    def _part_answer(self, name):
        typed = self.cleaned_data
        count, model, storey, lengths = (typed.get(f"{name}_{each}") for each in PART_FIELDS)
        return PartAnswer(count, model, lengths or (), storey or "")
