"""Swap a unit on a visit: old serial out, new serial in, and the position waits for its retest."""

from django.db import transaction
from django.utils import timezone

from inspections.visits.edits import VisitRefused
from inspections.visits.results import ask_for_retest
from zones.models import Fitting
from zones.units.edits import find_or_create_unit
from zones.units.fittings import FittingRefused, fit, swap


@transaction.atomic
def swap_unit_on_visit(
    *,
    visit,
    position,
    old_serial,
    product_model,
    new_serial,
    reason,
    swapped_by,
    swapped_at=None,
    batch="",
    firmware="",
):
    """Fit another unit at a position of a visit under way; returns (fitting, number of test points to repeat).

    `old_serial` is read off the unit taken out and must be the one on record, so that identical units are not
    mixed up; it is empty where the register knows no unit. `swapped_at`: by the register's clock (default now); what
    was seen before it no longer counts. Raises FittingRefused, UnitRefused or VisitRefused.
    """
    if not visit.is_open_for_results:
        raise VisitRefused(f"{visit} is {visit.get_state_display()}: no unit is swapped on it.")
    swapped_at = swapped_at or timezone.now()
    day = timezone.localtime(swapped_at).date()
    standing = Fitting.objects.open().filter(position=position).select_related("unit").first()
    _check_old_serial(position, standing, old_serial)
    unit, _ = find_or_create_unit(
        product_model=product_model, serial=new_serial, batch=batch, firmware=firmware, reason=reason
    )
    if standing:
        fitting = swap(position=position, new_unit=unit, swapped_on=day, by=swapped_by, reason=reason)
        words = f"Unit swapped: {standing.unit.serial} out, {unit.serial} in. {reason}"
    else:
        fitting = fit(position=position, unit=unit, fitted_on=day, by=swapped_by, reason=reason)
        words = f"Unit recorded: {unit.serial}. {reason}"
    return fitting, ask_for_retest(visit=visit, position=position, since=swapped_at, reason=words)


def _check_old_serial(position, standing, old_serial):
    typed = " ".join((old_serial or "").split())
    if standing is None:
        return
    if typed.casefold() == standing.unit.serial.casefold():
        return
    if not typed:
        raise FittingRefused("Read the serial off the unit that comes out and enter it here.", field="old_serial")
    elsewhere = (
        Fitting.objects.open()
        .filter(unit__serial__iexact=typed, position__building=position.building_id)
        .select_related("position")
        .first()
    )
    hint = f" Serial '{typed}' is on record at {elsewhere.position.tag}." if elsewhere else ""
    raise FittingRefused(
        f"The register has '{standing.unit.serial}' at {position.tag}, not '{typed}'.{hint} "
        "Make sure that this is the right position; if the record is wrong, correct the position's unit first.",
        field="old_serial",
    )
