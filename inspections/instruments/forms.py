"""Instruments of the firm, and those of one visit."""

from django import forms
from django.utils import timezone

from inspections.instruments.calibration import calibration_on
from sites_registry.forms.base import RegisterForm, RegisterModelForm
from sites_registry.models import Instrument
from sites_registry.models.instruments import RANGES


class InstrumentForm(RegisterModelForm):
    sentences = {
        "instrument_own_number_unique": ("own_number", "An instrument has the number {value} already. Open that one."),
        "instrument_due_after_its_calibration": (
            "calibration_due_on",
            "{value:%-d %b %Y} is not after the day of the calibration. Exchange the days, or correct one.",
        ),
    }

    class Meta:
        model = Instrument
        fields = [
            "name",
            "own_number",
            "serial",
            *RANGES.values(),
            "calibrated_on",
            "calibration_due_on",
            "notes",
            "retired_on",
        ]
        help_texts = {"voltage_to_v": "Empty: it does not measure that. The same for the others."}

    GROUPS = (
        ("The instrument", ("name", "own_number", "serial")),
        ("What it measures", tuple(RANGES.values())),
        ("Calibration", ("calibrated_on", "calibration_due_on")),
        ("More", ("notes", "retired_on")),
    )

    def clean(self):
        cleaned = super().clean()
        for name in RANGES.values():
            value = cleaned.get(name)
            if value is not None and value <= 0:
                self.add_error(name, f"A range ends above 0, not at {value}. Empty it where it takes none.")
        return cleaned

    @property
    def groups(self):
        """[(heading, note, fields), …] for the page of a form."""
        return [(heading, "", [self[name] for name in names]) for heading, names in self.GROUPS]


class InstrumentChoice(forms.ModelMultipleChoiceField):
    def __init__(self, *, day, **options):
        super().__init__(**options)
        self.day = day

    def label_from_instance(self, instrument):
        measures = ", ".join(unit for unit, _ in instrument.ranges) or "nothing on record"
        return f"{instrument}: measures {measures}; {calibration_on(instrument, self.day)[1]}"


class ChooseInstrumentsForm(RegisterForm):
    """What a visit is made with; one no longer used stays on offer where it was chosen."""

    def __init__(self, *args, chosen=(), day=None, **kwargs):
        super().__init__(*args, **kwargs)
        offered = Instrument.objects.in_use() | Instrument.objects.filter(pk__in=chosen)
        self.fields["instruments"] = InstrumentChoice(
            queryset=offered.order_by("own_number"),
            day=day or timezone.localdate(),
            required=False,
            initial=list(chosen),
            widget=forms.CheckboxSelectMultiple,
            help_text="An expired one is said on the visit and on its report.",
        )
