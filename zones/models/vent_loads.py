"""What loads a vent, and the classes of EN 12101-2: as the fire strategy asks, and as a vent is declared."""

from django.db import models
from django.db.models import Q

# Loads as somebody states them, N/m² (which is Pa); for a building, and where a vent's own differ, for that vent.
LOADS = ("wind_opening_pa", "wind_suction_pa", "snow_pa")
# Of wind, snow, cold, cycles and heat: what is asked of all vents of a building, and what one vent is declared for.
CLASSES = ("wind_class_pa", "snow_class_pa", "cold_class_c", "reliability_class", "heat_class_c")
_MOST_PA, _MOST_CYCLES, _COLDEST_C, _MOST_C = 20_000, 100_000, -60, 1_200


def load(label, **options):
    """A load in Pa; empty means not stated, 0 that there is none."""
    return models.PositiveIntegerField(label, null=True, blank=True, **options)


def class_of(label):
    """The number of a class; empty means not asked, or not declared."""
    return models.PositiveIntegerField(label, null=True, blank=True)


def cold_class(label):
    """The temperature of a class, °C: 0 or below."""
    return models.SmallIntegerField(label, null=True, blank=True)


def load_constraints(model):
    """Loads and classes within what can be; `model` begins the names."""
    found = [
        models.CheckConstraint(
            condition=Q(**{name: None}) | Q(**{f"{name}__lte": _MOST_PA}),
            name=f"{model}_{name}_possible",
            violation_error_message=f"Wind and snow are from 0 to {_MOST_PA} N/m²; leave them empty if not stated.",
        )
        for name in (*LOADS, "wind_class_pa", "snow_class_pa")
    ]
    for name, low, high, words in (
        ("cold_class_c", _COLDEST_C, 0, f"The temperature class is from {_COLDEST_C} to 0 °C; T(-15) is -15."),
        ("reliability_class", 1, _MOST_CYCLES, f"The reliability class is from 1 to {_MOST_CYCLES} operations."),
        ("heat_class_c", 1, _MOST_C, f"The heat class is from 1 to {_MOST_C} °C; B 300 is 300."),
    ):
        found.append(
            models.CheckConstraint(
                condition=Q(**{name: None}) | Q(**{f"{name}__gte": low, f"{name}__lte": high}),
                name=f"{model}_{name}_possible",
                violation_error_message=words,
            )
        )
    return found
