"""Units: make one, or find the one that a label names."""

import unicodedata

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Value
from django.db.models.functions import Upper

from sites_registry.services.refusals import Refused
from zones.models import Unit


class UnitRefused(Refused):
    """A unit cannot be made or found as asked; `field` is "serial", "batch" or "firmware"."""

    def __init__(self, *reasons, field="serial"):
        super().__init__(*reasons, field=field)


def tidy_serial(text):
    """A serial as it is stored: inner spaces single, none around it.

    Raises UnitRefused when it is empty, longer than the register keeps, or holds characters that no label prints.
    """
    if any(unicodedata.category(character) == "Cc" and character not in "\t\r\n" for character in text):
        raise UnitRefused("The serial holds an invisible control character. Type it as printed on the label.")
    serial = " ".join(text.split())
    if not serial:
        raise UnitRefused("The serial is empty. Type it as printed on the label.")
    longest = Unit._meta.get_field("serial").max_length
    if len(serial) > longest:
        raise UnitRefused(
            f"Serial '{serial[:20]}…' has {len(serial)} characters; the register keeps {longest}. "
            "Scan one label at a time."
        )
    return serial


def unit_of_maker(*, maker, serial):
    """The unit with this serial of this maker, whatever its capitals; None when the register has none."""
    # Upper() on both sides, not iexact: so SQLite too uses the index over Upper(serial).
    named = Unit.objects.alias(serial_in_capitals=Upper("serial")).filter(serial_in_capitals=Upper(Value(serial)))
    return named.filter(maker=maker).with_model().first()


@transaction.atomic
def find_or_create_unit(*, product_model, serial, batch="", firmware="", notes="", reason=""):
    """The unit with this serial of this model's maker, made if the register has none. Returns (unit, is_new).

    A batch or firmware that the register lacks is added; one that differs is refused, never overwritten.
    `reason` is kept in the history. Raises UnitRefused.
    """
    serial = tidy_serial(serial)
    unit = unit_of_maker(maker=product_model.maker_id, serial=serial)
    if unit is None:
        unit = Unit(product_model=product_model, serial=serial, batch=batch, firmware=firmware, notes=notes)
        _clean(unit)
        unit._change_reason = reason or None
        unit.save()
        return unit, True
    if unit.product_model_id != product_model.pk:
        raise UnitRefused(
            f"Serial '{unit.serial}' of {product_model.maker} is in the register as model {unit.product_model.name}, "
            f"not {product_model.name}. Correct the serial or the model."
        )
    _add_what_is_missing(unit, {"batch": batch, "firmware": firmware}, reason)
    return unit, False


def _add_what_is_missing(unit, given, reason):
    for name, value in given.items():
        stored = getattr(unit, name)
        if value and stored and stored.casefold() != value.casefold():
            raise UnitRefused(
                f"Serial '{unit.serial}' is in the register with {name} '{stored}', not '{value}'. "
                "Correct it here, or correct the unit first.",
                field=name,
            )
    added = {name: value for name, value in given.items() if value and not getattr(unit, name)}
    if added:
        for name, value in added.items():
            setattr(unit, name, value)
        _clean(unit)
        unit._change_reason = reason or None
        unit.save(update_fields=[*added])


def _clean(unit):
    try:
        unit.full_clean()
    except ValidationError as error:
        field, messages = next(iter(error.message_dict.items()))
        raise UnitRefused(*messages, field=field) from error
