"""A day and hour as the clock on the wall shows them, also in the nights in which the clocks change."""

from datetime import UTC

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.formats import date_format


class WallClockField(forms.DateTimeField):
    """Takes the hour that comes twice as its latest passing that does not lie ahead; refuses one that never came.

    Django refuses both, so for an hour a year nobody could enter that something happened just now.
    """

    def to_python(self, value):
        try:
            return super().to_python(value)
        except ValidationError as error:
            if error.code != "ambiguous_timezone":
                raise
            typed = error.params["datetime"]
        # In UTC: moments of one zone are compared by the clock on the wall, which says the same of both.
        first, second = (timezone.make_aware(typed.replace(fold=fold)).astimezone(UTC) for fold in (0, 1))
        if first > second:  # what comes after the gap is later by what comes before it
            raise ValidationError(
                f"{date_format(typed, 'j M Y, H:i')} did not come: the clocks went forward over it. "
                f"Enter {date_format(timezone.localtime(first), 'H:i')} if you meant the hour after.",
                code="never_came",
            )
        return second if second <= timezone.now() else first
