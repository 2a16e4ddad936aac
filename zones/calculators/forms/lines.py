"""What may be typed about a monitored line, and about a reading taken of one."""

import math
import re

from django import forms
from django.core.exceptions import ValidationError

from sites_registry.forms.base import RegisterForm, shortened
from sites_registry.typed_numbers import NumberNotClear, with_point
from zones.calculators.forms.base import CalculatorForm, FigureField, OneOfField, YesNoField, refused
from zones.calculators.forms.cables import class_field, size_field
from zones.engineering import QuantityError
from zones.engineering.detection_lines import AlarmWiring
from zones.engineering.fault_location.measurements import GREATEST_V, ProbeKind
from zones.engineering.quantities import check_quantity

WIRING = [
    (AlarmWiring.PARALLEL.value, "across the line (usual)"),
    (AlarmWiring.SERIES.value, "in series with the line"),
]
RANGES = (
    "short_below_ohm",
    "alarm_low_ohm",
    "alarm_high_ohm",
    "normal_low_ohm",
    "normal_high_ohm",
    "open_above_ohm",
)
MOST_DEVICES = 32  # of a kind
MOST_READINGS = 24
MULTIPLES = {"": 1.0, "k": 1e3, "m": 1e6}
OPEN = {"open": math.inf, "ol": math.inf}
TAKEN = [("meter", "by a meter, line off the panel"), ("panel", "by the panel, line connected")]


class LineForm(CalculatorForm):
    """A line by its figures: call points first, then detectors, spread evenly, the resistor at the last of them."""

    groups = (
        ("Devices", ("call_points", "detectors", "removal_opens_line", "detector_ua", "line_voltage_v")),
        ("Cable", ("length_m", "size", "conductor_class")),
        ("End-of-line resistor", ("end_of_line_ohm", "element_percent")),
        ("Device in alarm", ("alarm_ohm", "alarm_percent", "alarm_wiring")),
        ("Panel; its resistance ranges (empty: common practice)", (*RANGES, "keeps_first_alarm")),
    )

    call_points = FigureField(
        "Call points", "count", whole=True, most=MOST_DEVICES, help_text="0 where there are none."
    )
    from_practice = (
        ("element_percent", "element_tolerance", 100),
        ("alarm_percent", "element_tolerance", 100),
        *((name, name, 1) for name in RANGES),
    )

    detectors = FigureField("Detectors", "count", whole=True, most=MOST_DEVICES)
    removal_opens_line = YesNoField("A head taken out opens the line")
    detector_ua = FigureField(
        "Current of a detector at rest", "device_current_ua", help_text="A call point is a contact and draws none."
    )
    line_voltage_v = FigureField("Voltage of the line", "voltage", help_text="Needed where detectors draw current.")
    length_m = FigureField("Length of the cable, one way", "length")
    size = size_field()
    conductor_class = class_field()
    end_of_line_ohm = FigureField("End-of-line resistor", "resistance", unit="Ω")
    element_percent = FigureField("Its tolerance", "tolerance_percent", help_text="Empty: common practice.")
    alarm_ohm = FigureField("Resistance in alarm", "alarm_resistance", unit="Ω")
    alarm_percent = FigureField("Its tolerance", "tolerance_percent", help_text="Empty: common practice.")
    alarm_wiring = OneOfField("It is switched", WIRING)
    keeps_first_alarm = YesNoField("It keeps the first alarm of a line")
    short_below_ohm = FigureField("Short below", "resistance", unit="Ω")
    alarm_low_ohm = FigureField("Alarm from", "resistance", unit="Ω")
    alarm_high_ohm = FigureField("Alarm to", "resistance", unit="Ω")
    normal_low_ohm = FigureField("Normal from", "resistance", unit="Ω")
    normal_high_ohm = FigureField("Normal to", "resistance", unit="Ω")
    open_above_ohm = FigureField("Open above", "resistance", unit="Ω")


class ReadingField(forms.CharField):
    """A resistance as a meter shows it, in ohm: 680, 9.98k, 1.2M or open."""

    def __init__(self, label, **options):
        options.setdefault("required", False)
        options.setdefault("widget", forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "off"}))
        super().__init__(label=label, **options)

    def clean(self, value):
        text = super().clean(value)
        if not text:
            return None
        tidy = re.sub(r"\s+|ohms?$|Ω$|V$", "", text, flags=re.IGNORECASE).lower()
        if tidy in OPEN:
            return OPEN[tidy]
        parted = re.fullmatch(r"([^a-z]*)([km]?)", tidy, re.ASCII)
        try:
            number = with_point(parted[1]) if parted else ""
        except NumberNotClear as error:
            raise ValidationError(str(error), code="not_clear") from error
        if not re.fullmatch(r"-?\d{1,12}(?:\.\d{1,6})?", number, re.ASCII):
            words = f"'{shortened(text)}' is not a reading: write ohms such as 680, 9.98k or 1.2M, or the word open."
            raise ValidationError(words)
        ohm = float(number) * MULTIPLES[parted[2]]
        try:
            check_quantity("resistance" if ohm else "reading", ohm, field="reading")
        except QuantityError as error:
            accepted = "0 or more and at most 10000000 ohm; beyond that write open"
            raise ValidationError(refused(text, QuantityError("reading", ohm, accepted))) from error
        return ohm


class AddedReadingsField(forms.Field):
    """Readings that were added one by one, as the address holds them: (text, measurement, ohm or volt) of each."""

    def __init__(self):
        super().__init__(label="Further readings", required=False, widget=forms.MultipleHiddenInput)

    def clean(self, value):
        texts = value or []
        if len(texts) > MOST_READINGS:
            words = f"{len(texts)} readings are more than can be reckoned with: at most {MOST_READINGS}. Undo some."
            raise ValidationError(words)
        return [self._reading(text) for text in texts]

    @staticmethod
    def _reading(text):
        code, colon, shown = text.partition(":")
        if not colon or not shown.strip():
            words = f"'{shortened(text)}' is not a measurement with its reading, such as terminals:9.98k. Undo it."
            raise ValidationError(words)
        return text, code, ReadingField("Reading").clean(shown)


class NextReadingForm(RegisterForm):
    """One more reading: what was measured, what the meter showed. Its `m` is what the address holds of it."""

    measured = forms.CharField(label="Measured", max_length=40, widget=forms.Select)
    shown = ReadingField(
        "The meter shows",
        required=True,
        help_text="Ohms such as 680, 9.98k, 1.2M or open; of a voltage, volts.",
        error_messages={"required": "Enter what the meter shows: ohms such as 680, 9.98k or 1.2M, or the word open."},
    )

    def clean(self):
        figures = super().clean()
        if figures.get("measured") == ProbeKind.VOLTAGE and figures.get("shown", 0) > GREATEST_V:
            typed = shortened(self.data["shown"])
            self.add_error("shown", f"{typed} is not possible: it must be 0 or more and at most {GREATEST_V:g} V.")
        elif "measured" in figures and "shown" in figures:
            figures["m"] = f"{figures['measured']}:{self.data['shown'].strip()}"
        return figures


class _Reading(RegisterForm):
    """The reading itself, the same by hand and from the record."""

    reading_ohm = ReadingField("Reading at the terminals (Ω)", help_text="Such as 680, 9.98k, 1.2M or open.")
    swapped_ohm = ReadingField("The same, leads swapped (Ω)", help_text="If taken: tells electronics from resistance.")
    taken = OneOfField("Taken", TAKEN)
    m = AddedReadingsField()


class TypedFaultForm(_Reading, LineForm):
    """A reading of a line that is typed too."""

    groups = (("Reading", ("reading_ohm", "swapped_ohm", "taken", "reporting")), *LineForm.groups)

    reporting = forms.CharField(
        label="Devices that still report",
        required=False,
        max_length=400,
        help_text="all, none, or their names from the panel on: C1 C2 D1. Empty: not tried.",
    )


class RecordedFaultForm(_Reading, CalculatorForm):
    """A reading of a line of the record, whose devices can be ticked."""

    groups = (("Reading", ("reading_ohm", "swapped_ohm", "taken")),)

    tried = OneOfField("Which devices still report?", [("", "not tried"), ("yes", "tried: those ticked below")])
    reporting = forms.MultipleChoiceField(
        label="They still report", required=False, widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, *args, devices, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["reporting"].choices = [(name, name) for name in devices]
