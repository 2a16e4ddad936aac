"""What may be typed about one cable and its actuators."""

from zones.calculators.forms.base import FigureField
from zones.calculators.forms.cables import LAYING
from zones.calculators.forms.circuits import ACTUATORS, FIRE, LOAD, CircuitForm


class VoltageDropForm(CircuitForm):
    groups = (
        ("Cable", ("length_m", "size", "conductor_class", "cores_per_pole")),
        ("How warm its cores become", (*LAYING, "temperature_c")),
        ("Actuators", (*ACTUATORS, *LOAD)),
        ("At the output of the panel", ("mains_v", "discharged_v")),
        ("Fire", FIRE),
    )

    from_practice = (("temperature_c", "conductor_temperature_c", 1),)

    temperature_c = FigureField(
        "Temperature of the conductor",
        "temperature",
        help_text="Where not all of this is known. Empty: as the firm's common practice says.",
    )
