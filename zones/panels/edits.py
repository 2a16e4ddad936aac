"""Panels: adding one with its position (and its unit), changing it, changing its battery set."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from zones.models import BatterySet, ControlPanel, DeviceKind, Position
from zones.units.edits import UnitRefused, find_or_create_unit
from zones.units.fittings import FittingRefused, fit

POSITION_FIELDS = ("tag", "product_model", "storey", "room", "place", "access_need", "walking_order")


@transaction.atomic
def add_panel(
    *,
    building,
    tag,
    product_model=None,
    storey="",
    room="",
    place="",
    access_need="",
    walking_order=0,
    serial="",
    firmware="",
    fitted_on=None,
    fitted_by=None,
    **figures,
):
    """Add a control panel with its position and, where a serial is given, its unit; or change nothing.

    `figures` are fields of ControlPanel: supply_limit_a, quiescent_current_a (A), mains_feed, earth, …
    Raises ValidationError, by field; the clash of a tag is told at "tag", that of a serial at "serial".
    """
    position = Position(
        building=building,
        kind=DeviceKind.CONTROL_PANEL,
        tag=tag,
        product_model=product_model,
        storey=storey,
        room=room,
        place=place,
        access_need=access_need,
        walking_order=walking_order,
    )
    save_panel_position(position)
    panel = ControlPanel(building=building, position=position, **figures)
    panel.full_clean()
    panel.save()
    if serial:
        fit_panel_unit(panel=panel, serial=serial, firmware=firmware, fitted_on=fitted_on, fitted_by=fitted_by)
    return panel


def save_panel_position(position):
    """Check and save the position of a panel. Raises ValidationError, by field."""
    same_tag = Position.objects.filter(building=position.building, tag__iexact=position.tag).exclude(pk=position.pk)
    if position.tag and (other := same_tag.first()):
        raise ValidationError(
            {
                "tag": f"{position.building} has a position '{other.tag}' already, "
                f"a {other.get_kind_display()}. Choose another tag."
            }
        )
    position.full_clean()
    position.save()


@transaction.atomic
def change_panel(*, position, **values):
    """Change tag, model or place of a panel's position; leaves it alone where nothing differs.

    Raises ValidationError, by field.
    """
    changed = {name: value for name, value in values.items() if getattr(position, name) != value}
    if not changed:
        return position
    for name, value in changed.items():
        setattr(position, name, value)
    save_panel_position(position)
    return position


@transaction.atomic
def fit_panel_unit(*, panel, serial, firmware="", fitted_on=None, fitted_by=None):
    """Fit the unit with this serial at the panel's position, making the unit if the register has none.

    Raises ValidationError at "serial", "firmware", "fitted_on" or "product_model".
    """
    model = panel.position.product_model
    if model is None:
        raise ValidationError({"product_model": f"Choose the model that serial '{serial}' belongs to."})
    try:
        unit, _ = find_or_create_unit(product_model=model, serial=serial, firmware=firmware)
        return fit(position=panel.position, unit=unit, fitted_on=fitted_on or timezone.localdate(), by=fitted_by)
    except (UnitRefused, FittingRefused) as error:
        field = {"unit": "serial", "date": "fitted_on"}.get(error.field, error.field)
        raise ValidationError({field: error.reasons}) from error


@transaction.atomic
def change_battery(*, panel, fitted_on, **fields):
    """Take the present battery set out and put a new one in, both on `fitted_on`; all blocks of a set together.

    `fields` are those of BatterySet: product_model, blocks, capacity_ah (Ah of one block), date_code, batch.
    Raises ValidationError, by field.
    """
    ControlPanel.objects.select_for_update().get(pk=panel.pk)
    present = panel.battery_sets.fitted().first()
    if present:
        if fitted_on < present.fitted_on:
            raise ValidationError(
                {
                    "fitted_on": f"The present set has been in since {present.fitted_on:%-d %b %Y}; a new one cannot "
                    "go "
                    "in before that. Correct the date."
                }
            )
        present.removed_on = fitted_on
        present._change_reason = "Battery changed"
        present.save()
    battery_set = BatterySet(panel=panel, fitted_on=fitted_on, **fields)
    battery_set.full_clean()
    battery_set.save()
    return battery_set
