"""The what-if box of a panel's design check: figures tried in place of the recorded ones. Nothing of it is saved."""

from dataclasses import replace

from django import forms
from django.core.exceptions import ValidationError

from sites_registry.forms.base import RegisterForm, no_null_characters
from sites_registry.typed_numbers import NumberNotClear, with_point
from zones.design_check import parts
from zones.design_check.supply import battery_place
from zones.engineering import LoadModel
from zones.engineering.conductors import CONDUCTOR_CLASSES, STANDARD_AREAS_MM2
from zones.engineering.quantities import QuantityError, in_words, shown
from zones.engineering.what_if import (
    with_actuators,
    with_area,
    with_battery,
    with_circuit,
    with_lengths,
    with_load_kind,
    with_run_length,
)
from zones.models import Cable, ProductModel

AS_RECORDED = ("", "as recorded")
# Fields that change the circuit chosen, in the order in which they are applied.
OF_CIRCUIT = ("actuators", "area", "lengths", "load")
FIGURES = (*OF_CIRCUIT, "length", "capacity")
_NEEDS = {"length": "run", "capacity": None}  # the others need the circuit


class TriedFigure(forms.CharField):
    """A number as one types it, comma or point; empty is "as recorded"."""

    def __init__(self, *, example, **options):
        self.example = example
        attributes = {"inputmode": "decimal", "autocomplete": "off"}
        options = {"required": False, "max_length": 20, "validators": [no_null_characters], **options}
        super().__init__(widget=forms.TextInput(attrs=attributes), **options)

    def clean(self, value):
        text = super().clean(value)
        if not text:
            return None
        try:
            return float(with_point(text))
        except NumberNotClear as error:
            raise ValidationError(str(error)) from error
        except ValueError as error:
            raise ValidationError(
                f"'{text}' is not a number. Write one such as {self.example}, or leave it empty for what is recorded."
            ) from error


class TriedChoice(forms.ChoiceField):
    """A choice whose refusal names what the address asked for and what there is."""

    def __init__(self, *, noun, **options):
        self.noun = noun
        super().__init__(required=False, choices=[AS_RECORDED], **options)

    def validate(self, value):
        if value and not self.valid_value(value):
            raise ValidationError(f"There is no {self.noun} '{value[:40]}' here. Choose one of the list.")


class WhatIfForm(RegisterForm):
    """Give it the CheckedPanel; once valid, `variant` is the design with what was typed, None where nothing was."""

    circuit = TriedChoice(noun="circuit", label="Circuit")
    area = TriedChoice(noun="standard section", label="Cable section of every run")
    conductor_class = TriedChoice(noun="class", label="Class, where none is recorded")
    lengths = TriedFigure(label="Length of every run, times", example="1.5", help_text="1.5 is half as long again.")
    actuators = TriedFigure(label="Number of actuators", example="4", help_text="More are copies of the last one.")
    load = TriedChoice(noun="kind of load", label="Kind of load of its actuators")
    run = TriedChoice(noun="run", label="One run")
    length = TriedFigure(label="Length of that run (m)", example="25")
    capacity = TriedFigure(label="Battery capacity (Ah)", example="17")

    def __init__(self, data, *, checked):
        super().__init__(data)
        self.checked, self.design, self.variant = checked, checked.design, None
        for name, choices in self._choices():
            self.fields[name].choices = [*self.fields[name].choices, *choices]
        # Asked only where it is wanted, or where the address gives it.
        runs = [run for circuit in self.design.circuits for run in circuit.runs]
        if all(run.conductor and run.conductor.conductor_class for run in runs) and not data.get("conductor_class"):
            del self.fields["conductor_class"]
        if chosen := self.by_number.get(data.get("circuit")):
            self.fields["circuit"].help_text = f"Recorded: {_summary(chosen)}."
        if battery := self.design.battery:
            recorded = "not known" if battery.capacity_ah is None else f"{shown(battery.capacity_ah)} Ah"
            self.fields["capacity"].help_text = f"Recorded: {recorded}."

    def _choices(self):
        names = {parts.circuit_name(row): str(row.number) for row in self.checked.records.circuits}
        self.by_number = {names[circuit.name]: circuit for circuit in self.design.circuits}
        self.circuit_of_run = {run.name: circuit for circuit in self.design.circuits for run in circuit.runs}
        yield "circuit", [(number, circuit.name) for number, circuit in self.by_number.items()]
        yield "area", [(f"{area:g}", f"{area:g} mm²") for area in STANDARD_AREAS_MM2]
        yield "load", [*ProductModel.LoadKind.choices, (LoadModel.NOT_KNOWN.value, "not known")]
        words = dict(Cable.ConductorClass.choices)
        yield "conductor_class", [(str(one), words[str(one)]) for one in CONDUCTOR_CLASSES]
        yield (
            "run",
            [
                (circuit.name, [(run.name, f"{run.name}: {_metres(run.length_m)}") for run in circuit.runs])
                for circuit in self.design.circuits
                if circuit.runs
            ],
        )

    @property
    def is_asked(self):
        """Whether anything was typed or chosen at all, right or wrong."""
        return any(self.data.get(name) for name in self.fields)

    def clean(self):
        cleaned = super().clean()
        asked = [name for name in FIGURES if cleaned.get(name) not in (None, "")]
        if cleaned.get("circuit") == "" and any(name in OF_CIRCUIT for name in asked):
            self.add_error("circuit", "Choose the circuit that is to be changed.")
        if cleaned.get("length") is not None and cleaned.get("run") == "":
            self.add_error("run", "Choose the run that gets this length.")
        if cleaned.get("run") and cleaned.get("length") is None and "length" not in self.errors:
            self.add_error("length", f"Enter the length of {cleaned['run']} in metres, such as 25.")
        self._apply(cleaned, asked)
        return cleaned

    def _apply(self, cleaned, asked):
        """Change the design by one figure after the other; what engineering refuses is told at its field."""
        design = self.design
        for name in asked:
            needed = _NEEDS.get(name, "circuit")
            if needed and not cleaned.get(needed):
                continue  # told already: there is nothing to change it on
            try:
                design = self._changed(design, name, cleaned)
            except QuantityError as error:
                self.add_error("conductor_class" if error.field == "conductor_class" else name, _refusal(error))
        self.variant = design if asked and not self.errors else None

    def _changed(self, design, name, cleaned):
        value = cleaned[name]
        if name == "capacity":
            if design.battery is None:
                design = replace(design, battery=battery_place([], self.checked.records))
            return with_battery(design, value)
        if name == "length":
            circuit = design.circuit(self.circuit_of_run[cleaned["run"]].name)
            if cleaned["run"] not in {run.name for run in circuit.runs}:
                raise QuantityError("run", cleaned["run"], "one that is left after taking actuators off")
            return with_circuit(design, with_run_length(circuit, cleaned["run"], value))
        circuit = design.circuit(self.by_number[cleaned["circuit"]].name)
        if name == "area":
            chosen = cleaned.get("conductor_class")
            circuit = with_area(circuit, float(value), int(chosen) if chosen else None)
        else:
            circuit = {"actuators": with_actuators, "lengths": with_lengths, "load": with_load_kind}[name](
                circuit, value
            )
        return with_circuit(design, circuit)

    def add_error(self, field, error):
        """A field that the page does not show has its error at the head."""
        super().add_error(field if field in self.fields else None, error)


def _refusal(error):
    """What engineering refused, as a sentence without the names of its fields."""
    name = in_words(error.field)
    whose = f"{name} of {error.subject}" if error.subject else name
    value = "is not known" if error.value is None else f"would be {shown(error.value)}"
    return " ".join(filter(None, (f"{whose[:1].upper()}{whose[1:]} {value}; it must be {error.accepted}.", error.hint)))


def _summary(circuit):
    """ "4 actuators, 2.5 mm², 46 m in all": what is recorded of it."""
    count = len(circuit.actuators)
    areas = sorted({run.conductor.area_mm2 for run in circuit.runs if run.conductor and run.conductor.area_mm2})
    section = f"{'/'.join(f'{area:g}' for area in areas)} mm²" if areas else "section not known"
    lengths = [run.length_m for run in circuit.runs]
    length = _metres(None if not lengths or None in lengths else sum(lengths))
    return f"{count} actuator{'' if count == 1 else 's'}, {section}, {length} of cable"


def _metres(length_m):
    return "not known how many metres" if length_m is None else f"{shown(round(length_m, 1))} m"
