"""Serials of a building, recorded at typing or scanner speed: one label, one position, saved at once."""

from django.db import transaction

from zones.units.edits import find_or_create_unit
from zones.units.fittings import fit


@transaction.atomic
def record_serial(*, position, label, product_model, fitted_on, by):
    """Fit the unit of a label at a position, making the unit if the register has none. Returns the fitting.

    Recorded twice, it returns the fitting that stands. Raises UnitRefused, FittingRefused.
    """
    unit, _ = find_or_create_unit(
        product_model=product_model, serial=label.serial, batch=label.batch_or_date_code, reason="serial recorded"
    )
    return fit(position=position, unit=unit, fitted_on=fitted_on, by=by, reason="serial recorded")
