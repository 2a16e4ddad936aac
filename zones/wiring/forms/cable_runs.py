"""The form over all runs of a circuit or line: what they have in common, and a row for each device."""

from django import forms

from sites_registry.forms.base import RegisterForm, no_null_characters
from zones.editing.forms import computable, from_zero, more_than_zero
from zones.engineering.conductors import STANDARD_AREAS_MM2
from zones.models import Cable
from zones.models.terminals import choices_of_insulation, choices_of_methods
from zones.wiring.cable_runs import RunRow

AREAS = [("", "as they are"), *((f"{area:g}", f"{area:g} mm²") for area in STANDARD_AREAS_MM2)]
CLASSES = [("", "as they are"), *Cable.ConductorClass.choices]
INSULATIONS = [("", "as they are"), *choices_of_insulation()]
METHODS = [("", "as they are"), *choices_of_methods()]
FIRE_CLASSES = [("", "as they are"), *Cable.FireClass.choices]
# Of the runs of an actuator circuit: what current they carry for good, and how long they last in a fire.
OF_CIRCUITS = ("insulation", "method", "grouped_circuits", "ambient_c", "fire_class", "integrity_min", "fixing_min")


class RunsForm(RegisterForm):
    area_mm2 = forms.TypedChoiceField(
        label="Area of every core",
        choices=AREAS,
        required=False,
        coerce=forms.DecimalField().clean,
        empty_value=None,
        help_text="Sizes of IEC 60228; others cable by cable.",
    )
    conductor_class = forms.ChoiceField(label="Class (IEC 60228)", choices=CLASSES, required=False)
    fire_rating = forms.CharField(max_length=40, required=False, validators=[no_null_characters])
    insulation = forms.ChoiceField(label="Insulation of the cores", choices=INSULATIONS, required=False)
    method = forms.ChoiceField(
        label="Method of installation", choices=METHODS, required=False, help_text="Where it is worst (IEC 60364-5-52)."
    )
    grouped_circuits = forms.IntegerField(
        label="Circuits bunched",
        validators=[computable("grouped_circuits")],
        required=False,
        help_text="Its own counted.",
    )
    ambient_c = forms.DecimalField(
        label="Ambient temperature (°C)",
        validators=[computable("ambient_c")],
        max_digits=4,
        decimal_places=1,
        required=False,
        help_text="The warmest place on the way.",
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )
    fire_class = forms.ChoiceField(label="Class of circuit integrity", choices=FIRE_CLASSES, required=False)
    integrity_min = forms.IntegerField(
        label="Keeps its circuit for (min)", validators=[computable("integrity_min")], required=False
    )
    fixing_min = forms.IntegerField(
        label="Its fixings hold for (min)", validators=[computable("fixing_min")], required=False
    )

    def __init__(self, *args, devices, runs, tags, with_fire, **kwargs):
        """`devices` in order, `runs` by device, `tags` proposed for new runs by device."""
        super().__init__(*args, **kwargs)
        self.devices, self.with_fire = devices, with_fire
        if not with_fire:
            for name in OF_CIRCUITS:
                del self.fields[name]
        for position in devices:
            run = runs.get(position.pk)
            self._add_row(position, run, tags.get(position.pk, ""))
        self._set_common(list(runs.values()))

    def _add_row(self, position, run, tag):
        key = position.pk
        self.fields[f"tag_{key}"] = forms.CharField(
            label=f"Cable to {position}", max_length=40, required=False, initial=run.tag if run else tag
        )
        self.fields[f"length_{key}"] = self._metres(
            f"Length to {position} (m)", run and run.length_m, "length_m", more_than_zero
        )
        if self.with_fire:
            self.fields[f"hot_{key}"] = self._metres(
                f"Length exposed to fire, to {position} (m)", run and run.hot_length_m, "hot_length_m", from_zero
            )
        self.fields[f"seen_{key}"] = forms.IntegerField(
            required=False, widget=forms.HiddenInput, initial=run.row_version if run else None
        )

    def _metres(self, label, initial, name, least):
        return forms.DecimalField(
            label=label,
            max_digits=7,
            decimal_places=1,
            required=False,
            initial=initial,
            validators=[least, computable(name)],
            widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "size": 7}),
        )

    def _set_common(self, runs):
        """Show what all runs have in common already."""
        for name in ("conductor_class", "fire_rating", *(OF_CIRCUITS if self.with_fire else ())):
            values = {getattr(run, name) for run in runs}
            if len(values) == 1:
                self.initial[name] = values.pop()
        areas = {run.area_mm2 for run in runs}
        if len(areas) == 1 and (area := areas.pop()) is not None:
            self.initial["area_mm2"] = f"{float(area):g}"

    def rows(self):
        """(position, tag field, length field, field for the fire or None, hidden field) for the page."""
        for position in self.devices:
            key = position.pk
            hot = self[f"hot_{key}"] if self.with_fire else None
            yield position, self[f"tag_{key}"], self[f"length_{key}"], hot, self[f"seen_{key}"]

    def typed_rows(self):
        """What was typed, for the service. A proposed tag alone makes no cable."""
        cleaned = self.cleaned_data
        for position in self.devices:
            key = position.pk
            length_m, hot_m, seen = cleaned[f"length_{key}"], cleaned.get(f"hot_{key}"), cleaned[f"seen_{key}"]
            has_run = seen is not None or length_m is not None or hot_m is not None
            yield RunRow(position, cleaned[f"tag_{key}"] if has_run else "", length_m, hot_m, seen)

    def common(self):
        names = ("area_mm2", "conductor_class", "fire_rating", *OF_CIRCUITS)
        return {name: self.cleaned_data[name] for name in names if name in self.fields}

    def laying_fields(self):
        """What all runs of an actuator circuit have in common beside size and class, for the page."""
        return [self[name] for name in OF_CIRCUITS if name in self.fields]
