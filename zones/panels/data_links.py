"""The panel's list of a data link: entered as a whole, and each entry confirmed for a position by serial or operating.

A confirmation belongs to the device with its serial: it goes along when the panel lists it at another place, and is
taken back when the list names another serial there.
"""

from dataclasses import dataclass, field

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F
from django.utils import timezone

from sites_registry.services.refusals import Refused
from zones.models import DataLink, Fitting, LinkEntry

MOST_ENTRIES = 250
_ASIDE = 10_000  # places are moved there first, so that two entries can change places


class LinkRefused(Refused):
    """The list or the confirmation is against a rule, and nothing was changed."""


@dataclass(frozen=True)
class ListedUnit:
    """One row of the panel's list as typed; `zone` is the smoke zone assigned, or None."""

    place: int
    serial: str = ""
    number: int | None = None
    zone: object = None


@dataclass
class ListChange:
    """What entering a list did."""

    added: list = field(default_factory=list)
    changed: list = field(default_factory=list)
    removed: list = field(default_factory=list)  # names of entries that are in the list no longer
    unconfirmed: list = field(default_factory=list)  # tags of the positions that those were confirmed for

    @property
    def said(self):
        parts = [
            f"{len(found)} {word}"
            for found, word in ((self.added, "new"), (self.changed, "changed"), (self.removed, "taken out"))
            if found
        ]
        said = f"List saved: {', '.join(parts) or 'nothing changed'}."
        if self.unconfirmed:
            said += f" To be confirmed anew: {', '.join(self.unconfirmed)}, as another serial is listed there."
        return said


@transaction.atomic
def set_list(*, link, rows):
    """Make the list of a data link exactly these rows (`ListedUnit`). Returns ListChange.

    Raises LinkRefused: a place, number or serial stands there twice, or there are too many.
    """
    link = DataLink.objects.select_for_update(of=("self",)).get(pk=link.pk)
    rows = list(rows)
    _check_rows(rows)
    standing = list(link.entries.select_related("position"))
    matched = _matched(rows, standing)
    change = ListChange()
    kept = {entry.pk for entry in matched.values()}
    for entry in standing:
        if entry.pk not in kept:
            change.removed.append(str(entry))
            change.unconfirmed += [entry.position.tag] if entry.position_id else []
            entry._change_reason = "No longer in the panel's list"
            entry.delete()
    moved = [entry.pk for row, entry in matched.items() if _values(row) != _stored(entry)]
    # Without history, as it is no state that anybody saw.
    LinkEntry.objects.filter(pk__in=moved).update(place=F("place") + _ASIDE, number_given=None)
    for row in rows:
        entry = matched.get(row)
        if entry is None:
            change.added.append(_save(LinkEntry(data_link=link), row))
        elif entry.pk in moved:
            change.changed.append(_save(entry, row))
    return change


def _check_rows(rows):
    if len(rows) > MOST_ENTRIES:
        raise LinkRefused(f"{len(rows)} call points are too many for one data link: at most {MOST_ENTRIES}.")
    for word, values in (
        ("Place", [row.place for row in rows]),
        ("Number", [row.number for row in rows if row.number is not None]),
        ("Serial", [row.serial.casefold() for row in rows if row.serial]),
    ):
        twice = next((value for value in values if values.count(value) > 1), None)
        if twice is not None:
            shown = next((row.serial for row in rows if row.serial.casefold() == twice), twice)
            raise LinkRefused(f"{word} {shown} stands in the list twice. Correct one of the two.")


def _matched(rows, standing):
    """Row → the entry that it is already: by its serial, else by its place where one of the two has no serial."""
    by_serial = {entry.serial.casefold(): entry for entry in standing if entry.serial}
    matched = {row: by_serial[row.serial.casefold()] for row in rows if row.serial.casefold() in by_serial}
    taken = {entry.pk for entry in matched.values()}
    by_place = {entry.place: entry for entry in standing if entry.pk not in taken}
    for row in rows:
        entry = by_place.get(row.place)
        if row not in matched and entry is not None and not (row.serial and entry.serial):
            matched[row] = entry
    return matched


def _values(row):
    return row.place, row.serial, row.number, row.zone and row.zone.pk


def _stored(entry):
    return entry.place, entry.serial, entry.number_given, entry.zone_assigned_id


def _save(entry, row):
    entry.place, entry.serial, entry.number_given, entry.zone_assigned = row.place, row.serial, row.number, row.zone
    entry.full_clean()
    entry.save()
    return entry


@transaction.atomic
def confirm_by_serial(*, link, serial, by):
    """Confirm the entry with this serial for the position where the unit with this serial is fitted. Returns the entry.

    `serial` as read on the device. Raises LinkRefused: not in the list, or no such unit is on record in the building.
    """
    entry = LinkEntry.objects.select_for_update(of=("self",)).filter(data_link=link, serial__iexact=serial).first()
    if entry is None:
        raise LinkRefused(
            f"Serial '{serial}' is not in the panel's list of {link}. Read it again, or enter the list anew.",
            field="serial",
        )
    building = link.panel.building
    fitted = Fitting.objects.open().filter(unit__serial__iexact=serial, position__building=building)
    positions = [fitting.position for fitting in fitted.select_related("position__data_link")]
    # Two makers may use the same serial: the one on this link is meant.
    positions = [one for one in positions if one.data_link_id == link.pk] or positions
    if not positions:
        raise LinkRefused(
            f"No unit with serial '{serial}' is on record in {building}. Record it at its position, or confirm this "
            "entry by operating.",
            field="serial",
        )
    return _confirm(entry, positions[0], LinkEntry.ConfirmedBy.SERIAL, by, "serial")


@transaction.atomic
def confirm_by_operating(*, entry, position, by):
    """Record that the call point at this position was operated, and the panel showed this entry. Returns the entry."""
    entry = LinkEntry.objects.select_for_update(of=("self",)).get(pk=entry.pk)
    return _confirm(entry, position, LinkEntry.ConfirmedBy.OPERATING, by, "position")


def _confirm(entry, position, how, by, field_name):
    other = LinkEntry.objects.filter(position=position).exclude(pk=entry.pk).first()
    if other:
        raise LinkRefused(
            f"{position} is confirmed as place {other.place} of the list already. If that is wrong, take it back there "
            "first.",
            field=field_name,
        )
    entry.position, entry.confirmed_how = position, how
    entry.confirmed_by, entry.confirmed_at = by, timezone.now()
    try:
        entry.full_clean()
    except ValidationError as error:
        raise LinkRefused(*error.messages, field=field_name) from error
    entry.save()
    return entry


@transaction.atomic
def take_confirmation_back(*, entry):
    """The entry is confirmed for no position any more; who had confirmed it stays in the history."""
    entry = LinkEntry.objects.select_for_update(of=("self",)).get(pk=entry.pk)
    if entry.position_id is not None:
        entry.position = entry.confirmed_by = entry.confirmed_at = None
        entry.confirmed_how = ""
        entry._change_reason = "Confirmation taken back"
        entry.full_clean()
        entry.save()
    return entry
