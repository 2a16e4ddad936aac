"""One answer at a test point, as a phone sends it: typed, checked, said in a sentence what is wrong.

These forms have no page: they are the types of what comes as JSON.
"""

import re
from dataclasses import dataclass
from decimal import Decimal

from django import forms

from inspections.models import Outcome, Severity
from sites_registry.forms.sent import PlainTextField
from sites_registry.typed_numbers import NumberNotClear, with_point

_READING = re.compile(r"-?[0-9]{1,9}([.,][0-9]{1,3})?")
BIGGEST_ID = 2**63 - 1  # beyond it SQLite raises instead of finding nothing

MOST_OFFSET_MS = 100 * 366 * 24 * 60 * 60 * 1000  # a hundred years: a phone whose clock was never set


class ReadingField(forms.CharField):
    """A reading in plain digits, with a point or a comma; gives a Decimal or None."""

    def to_python(self, value):
        text = super().to_python(value if value is None else str(value))
        if not text:
            return None
        try:
            text = with_point(text)
        except NumberNotClear as error:
            raise forms.ValidationError(f"Reading {error}") from error
        if not _READING.fullmatch(text):
            raise forms.ValidationError(
                f"Reading '{text[:30]}' is not a number that can be kept. "
                "Write plain digits with at most three decimals, such as 27.3."
            )
        return Decimal(text)

    def run_validators(self, value):
        """The pattern has checked it."""


class MomentField(forms.DateTimeField):
    """A moment as a device writes it (ISO 8601), in a year whose moments every database and time zone can hold."""

    def to_python(self, value):
        if value in self.empty_values:
            return None
        try:
            moment = super().to_python(value) if isinstance(value, str) else None
        except (forms.ValidationError, OverflowError):
            moment = None
        if moment is None or not 1970 <= moment.year <= 2200:
            raise forms.ValidationError(
                f"'{str(value)[:40]}' is no time at which this can have been seen. Set the clock of the device, "
                "then enter the answer again."
            )
        return moment


class _Answer(forms.Form):
    """One answer at a test point. Whether it fits the point is judged by `services.results`."""

    client_uuid = forms.UUIDField(error_messages={"invalid": "The answer carries no valid identifier. Enter it again."})
    test_point = forms.IntegerField(min_value=-BIGGEST_ID, max_value=BIGGEST_ID)
    outcome = forms.ChoiceField(
        choices=Outcome,
        error_messages={"required": "Choose an outcome.", "invalid_choice": "'%(value).30s' is not an outcome."},
    )
    reading = ReadingField(required=False)
    remark = PlainTextField(required=False, max_length=400)
    reason = PlainTextField(required=False, max_length=400)
    correction_reason = PlainTextField(required=False, max_length=200)
    seen_at = MomentField(required=False)
    clock_offset_ms = forms.IntegerField(required=False, min_value=-MOST_OFFSET_MS, max_value=MOST_OFFSET_MS)
    closes_fails = forms.BooleanField(required=False)


class _DefectOfAnswer(forms.Form):
    """What a fail says of the defect it opens."""

    severity = forms.ChoiceField(
        choices=Severity,
        error_messages={
            "required": "A fail opens a defect: choose how severe it is.",
            "invalid_choice": "'%(value).30s' is not a severity.",
        },
    )
    description = PlainTextField(
        max_length=600, error_messages={"required": "A fail opens a defect: describe what is wrong."}
    )
    interim_measure = PlainTextField(required=False, max_length=400)
    told_to = PlainTextField(required=False, max_length=200)


@dataclass(frozen=True, slots=True)
class SentAnswer:
    """What was sent, typed: `fields` that could be read, and the first fault with its field, "" where there is none."""

    fields: dict
    fault: str = ""
    faulty_field: str = ""


def typed_answer(answer):
    """One answer of a batch, a mapping as JSON gives it."""
    return _typed(_Answer(answer))


def typed_defect(defect):
    """What a fail says of the defect it opens."""
    return _typed(_DefectOfAnswer(defect))


def typed_reading(text):
    """A Decimal; None for what is no number that can be kept."""
    try:
        return ReadingField().clean(text)
    except forms.ValidationError:
        return None


def _typed(form):
    if form.is_valid():
        return SentAnswer(form.cleaned_data)
    return SentAnswer(form.cleaned_data, _first_sentence(form), next(iter(form.errors)))


def _first_sentence(form):
    """The first thing wrong with a form, naming its field where the message does not."""
    name, errors = next(iter(form.errors.items()))
    message = errors[0]
    if message.startswith(("Ensure", "Enter", "This field", "Send", "Take out")):
        return f"{form[name].label}: {message}"
    return message
