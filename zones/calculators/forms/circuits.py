"""What may be typed about one cable with its actuators, for every calculator that solves them."""

from zones.calculators.forms.base import FigureField, OneOfField
from zones.calculators.forms.cables import LaidCableForm
from zones.engineering import LoadModel

PLACES = [("end", "all at the end"), ("even", "evenly along the cable, the last at its end")]
LOADS = [
    (LoadModel.CONSTANT_CURRENT.value, "constant current (usual)"),
    (LoadModel.CONSTANT_POWER.value, "constant power (switching electronics)"),
    (LoadModel.RESISTIVE.value, "as a resistance"),
    (LoadModel.NOT_KNOWN.value, "not known (the worst of these)"),
]
ACTUATORS = ("actuators", "place", "rated_current_a", "minimum_voltage_v", "starting_current_a")
LOAD = ("load", "rated_voltage_v", "lower_voltage_v", "lower_current_a")
FIRE = ("hot_length_m", "fire_minutes")


class CircuitForm(LaidCableForm):
    """One output: a cable, the actuators along it or at its end, and what reaches its beginning."""

    length_m = FigureField("Length, one way", "length")
    actuators = FigureField("Number of actuators", "number", whole=True, most=50)
    place = OneOfField("Where they are", PLACES)
    rated_current_a = FigureField("Rated current of each", "current")
    minimum_voltage_v = FigureField("Least voltage of each", "voltage", help_text="From its data sheet.")
    starting_current_a = FigureField("Starting current of each", "current", help_text="If the data sheet gives it.")
    load = OneOfField("How its current answers to a lower voltage", LOADS)
    rated_voltage_v = FigureField("Rated voltage", "voltage", help_text="Not needed with constant current.")
    lower_voltage_v = FigureField("A lower voltage", "voltage", help_text="If the data sheet has a second line.")
    lower_current_a = FigureField("Its current there", "current")
    mains_v = FigureField("Voltage on mains", "voltage")
    discharged_v = FigureField(
        "Voltage at the end of battery discharge", "voltage", help_text="12 cells at 1.75 V: 21 V (common practice)."
    )
    hot_length_m = FigureField("Length exposed to fire", "hot_length", help_text="The fire engineer decides it.")
    fire_minutes = FigureField("Time exposed to fire", "fire_minutes")
