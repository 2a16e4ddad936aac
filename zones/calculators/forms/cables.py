"""The choice of a conductor, for every calculator with a cable."""

from zones.calculators.forms.base import OneOfField
from zones.engineering import Conductor
from zones.engineering.conductors import STANDARD_AREAS_MM2

AWG_SIZES = ("22", "20", "18", "16", "14", "12", "10", "8", "6", "4", "2", "1/0", "2/0", "3/0", "4/0")
SIZES = [
    ("", "not known"),
    *((f"{area:g}", f"{area:g} mm²") for area in STANDARD_AREAS_MM2),
    *((f"awg-{size.replace('/', '-')}", f"AWG {size}") for size in AWG_SIZES),
]
CLASSES = [("", "not known"), ("1", "1, solid"), ("2", "2, stranded"), ("5", "5, flexible"), ("5t", "5, tinned")]
CLASSES[3:3] = [("1t", "1, solid, tinned"), ("2t", "2, stranded, tinned")]


def size_field():
    return OneOfField("Size of a core", SIZES)


def class_field():
    return OneOfField(
        "Class of the conductor (IEC 60228)", CLASSES, help_text="An AWG size without it counts as stranded."
    )


def conductor_of(size, conductor_class):
    """The conductor of these choices, or None where size or class is not known."""
    number, is_tinned = int(conductor_class[0]) if conductor_class else None, conductor_class.endswith("t")
    if size.startswith("awg-"):
        return Conductor(awg=size.removeprefix("awg-").replace("-", "/"), conductor_class=number, tinned=is_tinned)
    if not size or not conductor_class:
        return None
    return Conductor(float(size), number, tinned=is_tinned)
