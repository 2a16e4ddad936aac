"""Tell identical units apart: by the serial read at the place, or by operating the one that is driven."""

from django.db import transaction
from django.utils import timezone

from sites_registry.services.refusals import Refused
from zones.models import Fitting, PlaceConfirmation, Position
from zones.units.edits import unit_of_maker
from zones.units.fittings import exchange, where_it_is


class PlaceConfirmationRefused(Refused):
    """The place is not confirmed; `other` is the fitting of the identical unit whose serial was read here."""

    def __init__(self, *reasons, field=None, other=None):
        super().__init__(*reasons, field=field)
        self.other = other


@transaction.atomic
def confirm_by_serial(*, position, serial, by, note="", at=None):
    """Record that the serial on record was read at the position; returns the confirmation.

    `serial` as of `tidy_serial`. Raises PlaceConfirmationRefused: another serial was read.
    """
    fitting = _standing_at(position)
    if serial.casefold() != fitting.unit.serial.casefold():
        raise _another_serial(fitting, serial, by)
    return _confirm(fitting, PlaceConfirmation.Method.SERIAL, by, note, at)


@transaction.atomic
def confirm_by_operating(*, position, note, by, at=None):
    """Record that the unit at the position was seen to move or report when its terminal was driven."""
    return _confirm(_standing_at(position), PlaceConfirmation.Method.OPERATED, by, note, at)


@transaction.atomic
def exchange_and_confirm(*, position, other, serial, by):
    """The serial on record at `other` was read at `position`: exchange the two records and prove this place.

    Asked twice, the records stay exchanged. The other position needs its own confirmation.
    Raises PlaceConfirmationRefused, FittingRefused.
    """
    fitting = _standing_at(position)
    if serial.casefold() == fitting.unit.serial.casefold():
        return fitting.place_confirmations.first() or _confirm(fitting, PlaceConfirmation.Method.SERIAL, by, "")
    mistaken_for = _another_serial(fitting, serial, by).other
    if mistaken_for is None or mistaken_for.position_id != other.pk:
        raise PlaceConfirmationRefused(
            f"Serial '{serial}' is not on record at {other.tag} any more. Read the serial once more.", field="serial"
        )
    fitting, _ = exchange(
        position=position,
        other=other,
        exchanged_on=timezone.localdate(),
        by=by,
        reason=f"Records exchanged: serial {serial} was read at {position.tag}"[:200],
    )
    return _confirm(fitting, PlaceConfirmation.Method.SERIAL, by, f"Exchanged with the record of {other.tag}")


def _standing_at(position):
    Position.objects.select_for_update(of=("self",)).get(pk=position.pk)
    fittings = Fitting.objects.open().select_related("unit__product_model__maker", "position__building")
    fitting = fittings.filter(position=position).first()
    if fitting is None:
        raise PlaceConfirmationRefused(f"{position.tag} has no unit on record. Record the unit that hangs there first.")
    return fitting


def _another_serial(fitting, serial, by):
    """The refusal that says whose serial was read at the place of `fitting`."""
    here, tag = fitting.unit, fitting.position.tag
    unit = unit_of_maker(maker=here.maker_id, serial=serial)
    read = f"'{serial}' was read; the record of {tag} says '{here.serial}'."
    if unit is None:
        return PlaceConfirmationRefused(
            f"{read} The register knows no unit '{serial}' of {here.product_model.maker}. Read the label again; if "
            "another unit was fitted, record the swap.",
            field="serial",
        )
    standing = Fitting.objects.open().select_related("unit__product_model", "position__building").filter(unit=unit)
    standing = standing.first()
    if standing is None:
        return PlaceConfirmationRefused(
            f"{read} '{unit.serial}' is in the register and fitted nowhere. If it was fitted here, record the swap.",
            field="serial",
        )
    is_identical = unit.product_model_id == here.product_model_id
    if is_identical and standing.position.building_id == fitting.position.building_id:
        return PlaceConfirmationRefused(
            f"{read} '{unit.serial}' is on record at {standing.position.tag}: the two records seem to be exchanged.",
            field="serial",
            other=standing,
        )
    return PlaceConfirmationRefused(
        f"{read} '{unit.serial}' is on record {where_it_is(fitting=standing, viewer=by)}. Find out which unit hangs "
        "where, then record the swap.",
        field="serial",
    )


def _confirm(fitting, method, by, note, at=None):
    confirmation = PlaceConfirmation(fitting=fitting, method=method, by=by, note=note, at=at or timezone.now())
    confirmation.full_clean()
    confirmation.save()
    return confirmation
