"""Taking out a record that was made by mistake; its history stays."""

from django.db import transaction
from django.db.models import ProtectedError

from sites_registry.services.refusals import Refused
from zones.models import ActuatorCircuit, DataLink, DetectionLine, InputPort

# What a test or a certificate may once have rested on counts as used even when nothing uses it now.
USED_ONCE_COUNTS = (ActuatorCircuit, DetectionLine, DataLink, InputPort)
SHOWN = 5


class StillInUse(Refused):
    """The record is used; `reasons` say by what."""


@transaction.atomic
def remove_mistake(*, record):
    """Remove a record that nothing uses, keeping its history; raises StillInUse and changes nothing otherwise."""
    record = type(record)._default_manager.select_for_update().get(pk=record.pk)
    if reasons := reasons_to_keep(record):
        raise StillInUse(*reasons)
    try:
        with transaction.atomic():
            record._change_reason = "Made by mistake"
            record.delete()
    except ProtectedError as error:  # taken into use since the check
        raise StillInUse(f"{record} is in use and stays.") from error


def reasons_to_keep(record):
    """Sentences that say what uses this record, now or, for circuits and lines, ever."""
    reasons = []
    for relation in record._meta.related_objects:
        users = relation.related_model._base_manager.filter(**{relation.field.name: record})
        if count := users.count():
            names = ", ".join(str(user) for user in users[:SHOWN]) + (" …" if count > SHOWN else "")
            noun = relation.related_model._meta
            word = f"{noun.verbose_name} uses" if count == 1 else f"{noun.verbose_name_plural} use"
            reasons.append(f"{record} stays: {count} {word} it ({names}). Take that off it first.")
        elif isinstance(record, USED_ONCE_COUNTS) and hasattr(relation.related_model, "history"):
            once = relation.related_model.history.filter(**{relation.field.attname: record.pk})
            if earlier := once.first():
                reasons.append(
                    f"{record} stays: {earlier.instance} was on it once, and records may rest on that. "
                    "Rename it, or leave it unused."
                )
    return reasons
