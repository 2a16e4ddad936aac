"""A figure read off a data plate on site: into a model that lacks it, beside the figure of a model that has it."""

from django.db import transaction
from django.utils import timezone

from sites_registry.services.refusals import Refused
from zones.editing.figures import refusal_of
from zones.models import PlateFigure, ProductModel


class PlateFigureRefused(Refused):
    """The figure cannot be one of this model."""


@transaction.atomic
def take_plate_figure(*, position, product_model_pk, name, value, read_by, read_at):
    """Record a figure as read; returns the PlateFigure. Raises PlateFigureRefused.

    A model that lacks it takes it, and its history names who read it. One that has it keeps its own: the figure
    read stands beside it for the office.
    """
    model = None
    if product_model_pk is not None:
        model = ProductModel.objects.select_for_update(of=("self",)).with_maker().get(pk=product_model_pk)
    value = _tidy(name, value, model)
    stored = getattr(model, name, None)
    if model is not None and stored is None:
        setattr(model, name, value)
        model._history_user = read_by
        model._change_reason = f"Read off the data plate at {position.tag}"[:100]
        model.save()
    figure = PlateFigure(
        product_model=model,
        position=position,
        name=name,
        value=value,
        value_on_record=stored,
        read_by=read_by,
        read_at=read_at,
    )
    figure.full_clean()
    figure.save()
    return figure


@transaction.atomic
def keep_record(*, figure, reason, kept_by):
    """The record is right and the plate is not: every equal figure read of this model is settled by it.

    Asked twice, once; returns how many were settled. Raises PlateFigureRefused.
    """
    reason = " ".join(reason.split())
    if not reason:
        raise PlateFigureRefused("Say why the record is kept, such as: plate of another model.", field="reason")
    longest = PlateFigure._meta.get_field("kept_reason").max_length
    if len(reason) > longest:
        raise PlateFigureRefused(f"Write at most {longest} characters; these are {len(reason)}.", field="reason")
    ProductModel.objects.select_for_update(of=("self",)).get(pk=figure.product_model_id)
    alike = PlateFigure.objects.contradicting().filter(
        product_model=figure.product_model_id, name=figure.name, value=figure.value
    )
    standing = list(alike.values_list("pk", flat=True))  # its condition joins the model: no update through it
    return PlateFigure.objects.filter(pk__in=standing).update(
        kept_by=kept_by, kept_at=timezone.now(), kept_reason=reason
    )


def _tidy(name, value, model):
    """The value as the model stores it, or PlateFigureRefused with what is wrong."""
    field = ProductModel._meta.get_field(name)
    label = str(field.verbose_name).partition(" (")[0]
    rounded = round(value, field.decimal_places)
    if rounded <= 0:
        raise PlateFigureRefused(f"{label.capitalize()}: a data plate says more than 0, not {value}.", field=name)
    if refusal := refusal_of(name, rounded):
        raise PlateFigureRefused(f"{label.capitalize()}: {refusal}", field=name)
    least, rated = (
        rounded if one == name else getattr(model, one, None) for one in ("minimum_voltage_v", "rated_voltage_v")
    )
    if "voltage" in name and least and rated and least > rated:
        raise PlateFigureRefused(
            f"The least voltage it runs at, {least.normalize():f} V, is above its rated voltage, "
            f"{rated.normalize():f} V. Read the plate once more.",
            field=name,
        )
    return rounded
