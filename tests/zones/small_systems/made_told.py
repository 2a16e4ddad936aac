"""Every record that a small system makes, field by field, as lines of text."""

from django.apps import apps
from django.db.models import DateField, ForeignKey

from zones.models import ProductModel


def known():
    """Which records there are, by model of the app."""
    models = [one for one in apps.get_app_config("zones").get_models() if not one.__name__.startswith("Historical")]
    return {model: set(model.objects.values_list("pk", flat=True)) for model in models}


def lines_of_what_was_made(before):
    for model, keys in before.items():
        made = model.objects.exclude(pk__in=keys).order_by("pk")
        if made:
            yield f"{model.__name__}: {len(made)}"
            yield from (f"    {', '.join(_fields_of(record))}" for record in made)


def _fields_of(record):
    """What depends on the day or on the tests before is left out."""
    for field in record._meta.concrete_fields:
        value = getattr(record, field.name)
        if field.primary_key or isinstance(field, DateField) or not value:
            continue
        if isinstance(value, ProductModel):
            yield f"{field.name}={value.kind}"
        else:
            yield f"{field.name}={str(value) if isinstance(field, ForeignKey) else repr(value)}"
