"""Setting a figure of the firm's common practice, and going back to the default."""

from django.core.exceptions import ValidationError
from django.db import transaction

from zones.design_basis.practice import BY_NAME, PracticeRefused, in_words, practice_with, read_value, stored_values
from zones.models import PracticeValue


@transaction.atomic
def set_practice(*, name, value):
    """Set one figure; checked together with the others, since ranges must rise. Raises ValidationError at "value"."""
    rows = {row.name: row for row in PracticeValue.objects.select_for_update()}
    if name not in BY_NAME:
        raise ValidationError(f"'{name[:40]}' is no figure of common practice.")
    try:
        practice_with({**stored_values(), name: value})
        text = in_words(read_value(name, value))
    except PracticeRefused as error:
        raise ValidationError({"value": str(error)}) from error
    record = rows.get(name) or PracticeValue(name=name)
    record.value = text
    record.full_clean()
    record.save()
    return record


@transaction.atomic
def reset_practice(*, name):
    """Back to the default of one figure; with the history kept. Raises ValidationError where the others forbid it."""
    record = PracticeValue.objects.select_for_update().filter(name=name).first()
    if record is None:
        return
    rest = {key: value for key, value in stored_values().items() if key != name}
    try:
        practice_with(rest)
    except PracticeRefused as error:
        raise ValidationError(f"Not back to the default yet: {error} Set the neighbouring figure first.") from error
    record._change_reason = "Back to the default"
    record.delete()
