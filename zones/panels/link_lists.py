"""The panel's list of a data link as pages show it: entry, unit fitted at its position, and what speaks against it."""

from django.db.models import OuterRef, Subquery

from zones.models import Fitting


def entries_of(link):
    """Entries in the order of the list, each with `fitted_serial`, and `doubt`: what is not as listed, in words."""
    fitted = Fitting.objects.open().filter(position=OuterRef("position"))
    entries = link.entries.select_related("zone_assigned", "position__smoke_zone", "confirmed_by")
    entries = list(entries.annotate(fitted_serial=Subquery(fitted.values("unit__serial")[:1])).order_by("place"))
    for entry in entries:
        entry.doubt = _doubt_of(entry)
    return entries


def _doubt_of(entry):
    if entry.position is None:
        return ""
    if entry.serial and entry.fitted_serial and entry.serial.casefold() != entry.fitted_serial.casefold():
        return f"on record there: {entry.fitted_serial}"
    zone = entry.position.smoke_zone
    if zone and entry.zone_assigned and zone.pk != entry.zone_assigned_id:
        return f"the position is of zone {zone.number}"
    return ""
