"""The log book: write an entry, end what lasts, correct by a further entry. Nothing written ever changes."""

from django.db import transaction
from django.utils import timezone
from django.utils.formats import date_format

from inspections.ledger.entering import enter, enter_log_entry
from inspections.models import LedgerEntry, LogEntry
from inspections.models.log_entry_rules import CLOCKS_DIFFER
from sites_registry.services.refusals import Refused


class EntryRefused(Refused):
    """The entry cannot be ended or corrected."""


@transaction.atomic
def write_entry(*, building, entered_by, kind, happened_at, seen_by, what="", **details):
    """Add an entry to a building's log book.

    A check without a text of its own gets its result as text. Raises ValidationError, one sentence per field.
    """
    entry = LogEntry(building=building, entered_by=entered_by, kind=kind, happened_at=happened_at, **details)
    entry.seen_by, entry.what = seen_by, what
    return _store(entry)


def _store(entry):
    entry.what = entry.what or text_of_check(entry)
    entry.full_clean()
    entry.save()
    enter_log_entry(entry)
    return entry


def text_of_check(entry):
    """What a check says that nobody put into words: 'Weekly check: in order.'; empty for other kinds."""
    if entry.kind not in LogEntry.CHECK_KINDS or not entry.check_result:
        return ""
    return f"{entry.get_kind_display().capitalize()}: {entry.get_check_result_display()}."


@transaction.atomic
def end_entry(*, entry, ended_at, ended_by, note):
    """Say when a disablement or fault ended, once. Raises EntryRefused."""
    entry = LogEntry.objects.select_for_update(of=("self",)).get(pk=entry.pk)
    if entry.kind not in LogEntry.LASTING_KINDS:
        raise EntryRefused(f"A {entry.get_kind_display()} does not last; only a fault or a disablement ends.")
    if entry.is_corrected:
        raise EntryRefused("This entry was corrected. End the entry that corrects it.")
    if entry.ended_at:
        raise EntryRefused(f"It ended on {_moment(entry.ended_at)} already, noted by {entry.ended_by}.")
    if ended_at < entry.happened_at:
        raise EntryRefused(f"{_moment(ended_at)} is before it began ({_moment(entry.happened_at)}).", field="ended_at")
    if ended_at > timezone.now() + CLOCKS_DIFFER:
        raise EntryRefused(f"{_moment(ended_at)} is still to come. Note the end once it has come.", field="ended_at")
    entry.ended_at, entry.ended_by, entry.ending_note = ended_at, ended_by, note
    entry.save(update_fields=["ended_at", "ended_by", "ending_note"])
    enter(LedgerEntry.Kind.LOG_END, entry)
    return entry


@transaction.atomic
def correct_entry(*, entry, entered_by, **fields):
    """Add the entry that stands in place of `entry`; the first stays as it was written.

    What ended stays ended when the corrected entry is of a kind that lasts. Raises EntryRefused, ValidationError.
    """
    entry = LogEntry.objects.select_for_update(of=("self",)).get(pk=entry.pk)
    if entry.is_corrected:
        later = entry.corrected_by
        raise EntryRefused(
            f"{later.entered_by} corrected this entry on {_moment(later.entered_at)} already. "
            "Open that entry and correct it."
        )
    correction = LogEntry(building_id=entry.building_id, entered_by=entered_by, corrects=entry, **fields)
    if entry.ended_at and correction.kind in LogEntry.LASTING_KINDS:
        if correction.happened_at > entry.ended_at:
            raise EntryRefused(f"That is after it ended ({_moment(entry.ended_at)}).", field="happened_at")
        correction.ended_at, correction.ended_by = entry.ended_at, entry.ended_by
        correction.ending_note = entry.ending_note
    return _store(correction)


def _moment(value):
    return date_format(timezone.localtime(value), "j M Y, H:i")
