"""What the forms of `zones` share: quantities are more than 0 where known, dates lie in the past or today."""

from datetime import date

from django import forms
from django.core.exceptions import ValidationError
from django.db import models
from django.utils import timezone

from sites_registry.forms.base import RegisterModelForm, show_where_empty
from sites_registry.words import plain_number
from zones.editing.figures import refusal_of

EARLIEST = date(1950, 1, 1)  # before it there was no 24 V smoke ventilation to record; catches 0202 for 2022


RANGE = "range"
IF_NOT_KNOWN = "Leave it empty if not known"


def more_than_zero(value):
    if not value > 0:
        raise ValidationError(f"{plain_number(value)} is not possible. {IF_NOT_KNOWN}, else enter more than 0.")


def from_zero(value):
    if not value >= 0:
        raise ValidationError(f"{plain_number(value)} is not possible. {IF_NOT_KNOWN}, else 0 or more.")


def computable(name, otherwise=None):
    """A validator of a field's figure: within what the design check can compute with, else what `otherwise` asks."""

    def check(value):
        if sentence := refusal_of(name, value):
            raise ValidationError(f"{sentence} {IF_NOT_KNOWN}.", code=RANGE)
        if otherwise:
            otherwise(value)

    return check


def show_figures_of_model(form, model, names):
    """Grey in the empty boxes of a form what the product model says; `names`: field → figure of the model."""
    if model is not None:
        figures = {name: getattr(model, of_model) for name, of_model in names.items()}
        show_where_empty(form, figures, of_model=model.pk)


def past_or_today(value):
    if value > timezone.localdate():
        raise ValidationError(f"{value:%-d %b %Y} is in the future. Enter the day on which it was done.")
    if value < EARLIEST:
        raise ValidationError(f"{value:%-d %b %Y} cannot be right. Check the year.")


class ZonesModelForm(RegisterModelForm):
    """Optional quantities are more than 0 (`quantity()` in the models); `more_than_zero_fields` names whole numbers.

    `from_zero_fields` may be 0, `any_sign_fields` less than that. What cannot be computed with is refused at once.
    """

    more_than_zero_fields = ()
    from_zero_fields = ()
    any_sign_fields = ()

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for name, field in self.fields.items():
            field.validators.append(computable(name, self._least_of(name)))
            if isinstance(field, forms.DateField):
                field.validators.append(past_or_today)

    def add_error(self, field, error):
        """Say a range once: digits and least values that Django counts beside it say no more."""
        ranges = [each for each in getattr(error, "error_list", ()) if each.code == RANGE]
        super().add_error(field, ValidationError(ranges) if field and ranges else error)

    def _least_of(self, name):
        if name in self.from_zero_fields:
            return from_zero
        is_quantity = name in self.more_than_zero_fields or self._is_quantity(name)
        return more_than_zero if is_quantity and name not in self.any_sign_fields else None

    def _is_quantity(self, name):
        stored_as = {field.name: field for field in self._meta.model._meta.fields}.get(name)
        return isinstance(stored_as, models.DecimalField) and stored_as.null


class GroupedForm(ZonesModelForm):
    """A form whose fields stand in groups: `field_groups` gives (heading, note, names); the rest comes first."""

    first_heading = ""
    field_groups = ()

    def groups(self):
        """(heading, note, bound fields) of each group."""
        named = {name for _, _, names in self.field_groups for name in names}
        rest = [self[name] for name in self.fields if name not in named and not self[name].is_hidden]
        yield self.first_heading, "", rest
        for heading, note, names in self.field_groups:
            yield heading, note, [self[name] for name in names]


def shown_for(form, names, by, values):
    """Show these fields only while the select `by` has one of `values` (register.js); what they hold stays stored."""
    form.fields[by].widget.attrs["data-shows-fields"] = ""
    for name in names:
        form.fields[name].widget.attrs.update({"data-shown-by": by, "data-shown-for": " ".join(map(str, values))})


def tell(form, error):
    """Put what a service refused (a ValidationError) at the fields of the form; what has no field goes to the head."""
    for field, messages in getattr(error, "message_dict", {None: error.messages}).items():
        for message in messages:
            form.add_error(field if field in form.fields else None, message)
