"""Declare the wiring of a part complete, and take that back: until then, what is missing counts as not known."""

from django.core.exceptions import ValidationError
from django.db import transaction

from zones.wiring.declared_parts import records_of


@transaction.atomic
def declare_complete(*, panel, by, on, part=None):
    """Declare a part of a panel's wiring recorded completely; without `part` ("line-12") every part that is not yet.

    What was declared before keeps its name and date. Returns the records declared now.
    Raises ValidationError: the panel has no such part.
    """
    declared = []
    for record in _locked(panel, part):
        if record.wiring_complete_on is None:
            record.wiring_complete_on, record.wiring_complete_by = on, by
            _save(record, f"Wiring declared complete by {by.full_name}")
            declared.append(record)
    return declared


@transaction.atomic
def take_back(*, panel, part=None):
    """Take the declaration of a part, or of every part, back; the history keeps it. Returns the records changed."""
    changed = []
    for record in _locked(panel, part):
        if record.wiring_complete_on is not None:
            record.wiring_complete_on = record.wiring_complete_by = None
            _save(record, "Declaration of complete wiring taken back")
            changed.append(record)
    return changed


def _locked(panel, part):
    records = [record for word, record in records_of(panel) if part in (None, f"{word}-{record.pk}")]
    if not records:
        raise ValidationError(f"'{part}' is no part of the wiring of {panel}. Load the page anew.")
    return [type(one).objects.select_for_update(of=("self",)).get(pk=one.pk) for one in records]


def _save(record, reason):
    record._change_reason = reason[:100]
    record.full_clean()
    record.save()
