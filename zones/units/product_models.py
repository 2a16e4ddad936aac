"""Makers and product models: saving one with its maker, and keeping the units' maker in step."""

from django.db import transaction
from django.db.models import Value
from django.db.models.functions import Lower, Upper
from simple_history.utils import bulk_update_with_history

from sites_registry.services.refusals import Refused
from zones.models import Maker, ProductModel, Unit
from zones.units.patterns import change_pattern


class ProductModelRefused(Refused):
    """The model cannot be saved like this."""


def maker_named(name):
    """The maker of this name, whatever its capitals, or None."""
    return Maker.objects.alias(name_in_small=Lower("name")).filter(name_in_small=Lower(Value(name))).first()


@transaction.atomic
def find_or_create_maker(*, name):
    """The maker of this name, made if the register has none."""
    maker = maker_named(name)
    if maker is None:
        maker = Maker(name=" ".join(name.split()))
        maker.full_clean()
        maker.save()
    return maker


@transaction.atomic
def take_units_along(*, product_model, changed_by=None):
    """Give the units of a model the maker that the model has now. Raises ProductModelRefused on a clash of serials."""
    units = list(product_model.units.exclude(maker=product_model.maker_id).select_for_update(of=("self",)))
    if not units:
        return
    serials = product_model.units.annotate(capitals=Upper("serial")).values("capitals")
    others = Unit.objects.filter(maker=product_model.maker_id).exclude(product_model=product_model)
    clash = others.alias(capitals=Upper("serial")).filter(capitals__in=serials).with_model().first()
    if clash:
        raise ProductModelRefused(
            f"{product_model.maker} has serial '{clash.serial}' already, as model {clash.product_model.name}; "
            "this model has a unit of the same serial. Correct that serial first, or choose another maker.",
            field="maker_name",
        )
    for unit in units:
        unit.maker_id = product_model.maker_id
        unit.count_change()
    bulk_update_with_history(
        units,
        Unit,
        ["maker", "row_version"],
        default_user=changed_by,
        default_change_reason="maker of the model changed",
    )


@transaction.atomic
def propose_model(*, product_model, pattern, by):
    """Mark a model that was just saved as proposed by this person, with its wiring pattern.

    Raises ValidationError at "wiring_pattern" where the text is no pattern.
    """
    record = ProductModel.objects.select_for_update(of=("self",)).get(pk=product_model.pk)
    record.proposed_by, record.confirmed_by = by, None
    record._change_reason = "Proposed on site"
    record.save()
    return change_pattern(product_model=record, text=pattern) if pattern.strip() else record


@transaction.atomic
def confirm_model(*, product_model, by):
    """Confirm a proposed model with its figures and pattern as they stand; one confirmed before keeps its name."""
    record = ProductModel.objects.select_for_update(of=("self",)).get(pk=product_model.pk)
    if record.is_proposal:
        record.confirmed_by = by
        record._change_reason = f"Confirmed by {by.full_name}"[:100]
        record.save()
    return record
