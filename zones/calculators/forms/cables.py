"""The choice of a conductor and of how it is laid, for every calculator with a cable."""

from zones.calculators.forms.base import CalculatorForm, FigureField, OneOfField
from zones.engineering import Conductor
from zones.engineering.cable_ratings import INSULATION_WORDS, METHOD_WORDS, Insulation, Laying, Method
from zones.engineering.conductors import STANDARD_AREAS_MM2

AWG_SIZES = ("22", "20", "18", "16", "14", "12", "10", "8", "6", "4", "2", "1/0", "2/0", "3/0", "4/0")
SIZES = [
    ("", "not known"),
    *((f"{area:g}", f"{area:g} mm²") for area in STANDARD_AREAS_MM2),
    *((f"awg-{size.replace('/', '-')}", f"AWG {size}") for size in AWG_SIZES),
]
CLASSES = [("", "not known"), ("1", "1, solid"), ("2", "2, stranded"), ("5", "5, flexible"), ("5t", "5, tinned")]
CLASSES[3:3] = [("1t", "1, solid, tinned"), ("2t", "2, stranded, tinned")]
INSULATIONS = [("", "not known"), *((kind.value, words) for kind, words in INSULATION_WORDS.items())]
METHODS = [("", "not known"), *((method.value, words) for method, words in METHOD_WORDS.items())]
MOST_CORES_PER_POLE = 8
LAYING = ("insulation", "method", "grouped_circuits", "ambient_c")


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


class LaidCableForm(CalculatorForm):
    """What a calculator asks of a cable that must carry a current: its conductor and how it is laid."""

    size = size_field()
    conductor_class = class_field()
    cores_per_pole = FigureField(
        "Cores in parallel per pole", "number", whole=True, most=MOST_CORES_PER_POLE, help_text="Empty: one."
    )
    insulation = OneOfField("Insulation of the cores", INSULATIONS)
    method = OneOfField("Method of installation", METHODS, help_text="Where it is worst (IEC 60364-5-52).")
    grouped_circuits = FigureField(
        "Circuits bunched", "grouped", whole=True, help_text="Loaded pairs that touch on the way, its own counted."
    )
    ambient_c = FigureField("Ambient temperature", "ambient", help_text="The warmest place on the way.")


def laying_of(figures):
    """How the cable of these figures is laid."""
    return Laying(
        insulation=Insulation(figures["insulation"]) if figures["insulation"] else None,
        method=Method(figures["method"]) if figures["method"] else None,
        grouped=figures["grouped_circuits"],
        ambient_c=figures["ambient_c"],
    )
