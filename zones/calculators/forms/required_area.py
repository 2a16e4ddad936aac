"""What may be typed about the area that a zone needs: a method, and of each method the figures that it has."""

from itertools import groupby

from zones.calculators.forms.base import CalculatorForm, FigureField, OneOfField
from zones.editing.forms import shown_for
from zones.engineering.area_methods import INPUT_QUANTITIES, METHODS, Family

CHOICES = [
    ("", "choose"),
    *(
        (str(family).capitalize(), [(one.key, one.name) for one in methods])
        for family, methods in groupby(METHODS.values(), key=lambda method: method.family)
    ),
]
PLUMES = [key for key, method in METHODS.items() if method.family is Family.PLUME]


class RequiredAreaForm(CalculatorForm):
    groups = (
        ("How the area is found", ("method",)),
        ("Floor and fire", tuple(INPUT_QUANTITIES)),
        ("Replacement air", ("inlet_m2",)),
    )

    method = OneOfField("Method", CHOICES)
    floor_area_m2 = FigureField("Floor area", "floor_area")
    floor_percent = FigureField("Percentage of the floor", "percent", help_text="As the fire strategy says.")
    fire_perimeter_m = FigureField("Perimeter of the fire", "fire_perimeter")
    heat_release_kw = FigureField(
        "Heat release", "heat_release", help_text="The whole; smoke carries a share of it by common practice."
    )
    clear_height_m = FigureField(
        "Clear height below the smoke", "clear_height", help_text="From the floor of the fire."
    )
    layer_depth_m = FigureField("Depth of the smoke", "layer_depth", help_text="Below the vents.")
    inlet_m2 = FigureField("Aerodynamic area of all inlets", "free_area", help_text="Empty: counted as unlimited.")

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for name in INPUT_QUANTITIES:
            shown_for(self, (name,), "method", [key for key, method in METHODS.items() if name in method.needs])
        shown_for(self, ("inlet_m2",), "method", PLUMES)

    @property
    def method_notes(self):
        """(key, where it applies and its source) of each method; the page shows that of the one chosen."""
        return [(key, f"{method.applies} Source: {method.source.in_full}.") for key, method in METHODS.items()]
