"""What a phone says of a photograph: typed, checked, said in a sentence what is wrong. The form has no page."""

import re
from collections.abc import Mapping

from django import forms

from inspections.models import Photo
from inspections.photos.keeping import PhotoRefused
from inspections.visits.sent_answers import BIGGEST_ID, MOST_OFFSET_MS
from sites_registry.forms.sent import PlainTextField

MOST_BYTES = 8 * 1024 * 1024
MOST_MARKS = 40
MARK_KINDS = ("arrow", "circle")
_SHA256 = re.compile(r"\A[0-9a-f]{64}\Z")


class MarksField(forms.Field):
    """[{kind, from: [x, y], to: [x, y]}], where x and y lie between 0 and 1."""

    def to_python(self, value):
        if value in (None, ""):
            return []
        if not isinstance(value, list) or len(value) > MOST_MARKS or not all(map(_is_mark, value)):
            raise forms.ValidationError(
                f"What was drawn on the photograph cannot be read, or is more than {MOST_MARKS} marks. Draw it again."
            )
        return [{name: mark[name] for name in ("kind", "from", "to")} for mark in value]


def _is_mark(mark):
    return (
        isinstance(mark, Mapping) and mark.get("kind") in MARK_KINDS and all(_is_point(mark.get(end)) for end in ENDS)
    )


ENDS = ("from", "to")


def _is_point(point):
    return (
        isinstance(point, list)
        and len(point) == 2
        and all(isinstance(one, int | float) and not isinstance(one, bool) and 0 <= one <= 1 for one in point)
    )


class _Told(forms.Form):
    client_uuid = forms.UUIDField(error_messages={"invalid": "The photograph carries no valid identifier."})
    size_bytes = forms.IntegerField(
        min_value=1,
        max_value=MOST_BYTES,
        error_messages={"max_value": f"The photograph has more than {MOST_BYTES // 1024 // 1024} MB. Take it again."},
    )
    sha256 = forms.RegexField(_SHA256, error_messages={"invalid": "The photograph carries no digest."})
    test_point = forms.IntegerField(required=False, min_value=-BIGGEST_ID, max_value=BIGGEST_ID)
    position = forms.IntegerField(required=False, min_value=1, max_value=BIGGEST_ID)
    defect = forms.IntegerField(required=False, min_value=1, max_value=BIGGEST_ID)
    stage = forms.ChoiceField(required=False, choices=Photo.Stage)
    caption = PlainTextField(required=False, max_length=200)
    marks = MarksField(required=False)
    taken_at = forms.CharField(required=False, max_length=40)
    clock_offset_ms = forms.IntegerField(required=False, min_value=-MOST_OFFSET_MS, max_value=MOST_OFFSET_MS)
    latitude = forms.DecimalField(required=False, min_value=-90, max_value=90, max_digits=8, decimal_places=5)
    longitude = forms.DecimalField(required=False, min_value=-180, max_value=180, max_digits=8, decimal_places=5)

    def clean(self):
        cleaned = super().clean()
        of = [name for name in ("test_point", "position", "defect") if cleaned.get(name)]
        if len(of) > 1:
            raise forms.ValidationError("A photograph is of one test, position or defect, or of the visit as a whole.")
        if cleaned.get("stage") and not of:
            raise forms.ValidationError("Before and after are told of a defect, a test or a position.")
        if (cleaned.get("latitude") is None) != (cleaned.get("longitude") is None):
            raise forms.ValidationError("A place has a latitude and a longitude.")
        return cleaned


def told_of(photo):
    """What was said of one photograph, typed. Raises PhotoRefused with the first fault."""
    if not isinstance(photo, Mapping):
        raise PhotoRefused("What was said of the photograph could not be read.")
    form = _Told(photo)
    if form.is_valid():
        return form.cleaned_data
    name, errors = next(iter(form.errors.items()))
    message = errors[0]
    is_general = name == "__all__" or not message.startswith(("Ensure", "Enter", "This field", "Select", "Send"))
    raise PhotoRefused(message if is_general else f"{form[name].label}: {message}")
