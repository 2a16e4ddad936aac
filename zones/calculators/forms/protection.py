"""What may be typed about the device that protects an output, its cable, its load and what feeds it."""

from zones.calculators.forms.base import FigureField, OneOfField
from zones.calculators.forms.cables import LAYING
from zones.calculators.forms.circuits import ACTUATORS, FIRE, LOAD, CircuitForm
from zones.engineering.fuses import DEVICE_KINDS, FUSE_KINDS

DEVICES = [("", "not known"), *((key, kind.name) for key, kind in DEVICE_KINDS.items())]
FUSES = [("", "none, or not known"), *((key, kind.name) for key, kind in FUSE_KINDS.items())]


class ProtectionForm(CircuitForm):
    groups = (
        ("Protective device of the output", ("device_kind", "device_a", "trips_a", "trips_s", "within_s")),
        ("Cable", ("length_m", "size", "conductor_class", "cores_per_pole", *LAYING)),
        ("Actuators", (*ACTUATORS, "starting_s", "stagger_s", *LOAD)),
        ("At the output of the panel", ("mains_v", "discharged_v", "highest_v", "own_drop_v")),
        ("Fire", FIRE),
        ("What feeds a short circuit", ("supply_a", "supply_fault_a", "battery_mohm", "lead_mm2", "lead_m")),
        (
            "Devices upstream",
            ("supply_fuse_kind", "supply_fuse_a", "battery_fuse_kind", "battery_fuse_a", "beside_a"),
        ),
    )

    from_practice = (("within_s", "disconnection_s", 1),)

    device_kind = OneOfField("Kind of the device", DEVICES)
    device_a = FigureField("Rating of the device", "current", help_text="What it holds for good.")
    trips_a = FigureField("It trips at", "peak_current", help_text="Of an electronic limit.")
    trips_s = FigureField("It trips within", "trip_time", help_text="Of an electronic limit.")
    within_s = FigureField(
        "A short circuit is off within", "time", help_text="Empty: as the firm's common practice says."
    )
    starting_s = FigureField("For how long each starts", "starting_time")
    stagger_s = FigureField("Between the starts of two", "delay", help_text="Empty: all start at once.")
    highest_v = FigureField("Greatest voltage", "voltage", help_text="Charging; only for loads as a resistance.")
    own_drop_v = FigureField("The panel's own drop", "voltage_drop", help_text="Taken off the voltages before it.")
    supply_a = FigureField("Rated current of the supply", "current")
    supply_fault_a = FigureField("What it gives into a short circuit", "peak_current")
    battery_mohm = FigureField(
        "Internal resistance of the battery", "internal_resistance", help_text="Of the whole set when new."
    )
    lead_mm2 = FigureField("Area of the battery leads", "area")
    lead_m = FigureField("Length of the battery leads, one way", "length", help_text="Empty: as long as they may be.")
    supply_fuse_kind = OneOfField("Fuse between supply and outputs", FUSES)
    supply_fuse_a = FigureField("Rating of the supply's fuse", "current")
    battery_fuse_kind = OneOfField("Fuse of the battery", FUSES)
    battery_fuse_a = FigureField("Rating of the battery's fuse", "current")
    beside_a = FigureField(
        "What flows through them besides", "peak_current", help_text="All motors of the panel, and the panel in alarm."
    )
