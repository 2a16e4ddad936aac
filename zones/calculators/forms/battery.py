"""What may be typed about a standby battery and what hangs on it."""

from zones.calculators.forms.base import CalculatorForm, FigureField, OneOfField
from zones.engineering import STANDBY_BASES

BASES = [("", "not known"), *((basis.key, basis.name) for basis in STANDBY_BASES.values())]


class BatteryForm(CalculatorForm):
    groups = (
        ("What is asked", ("basis", "standby_h", "operations", "seconds_each")),
        ("What the panel takes", ("quiescent_a", "panel_alarm_a", "motors_a")),
        ("The battery", ("coldest_c", "capacity_ah", "greatest_current_a", "fuse_a", "charger_a", "charging_limit_a")),
    )

    basis = OneOfField("Sized by", BASES, help_text="With its edition, as the fire strategy names it.")
    standby_h = FigureField("Other standby", "standby", help_text="Only where the fire strategy asks for other hours.")
    operations = FigureField("Operations after standby", "operations", whole=True, help_text="Nothing is assumed.")
    seconds_each = FigureField("Motor time of one operation", "time", help_text="At the end of discharge.")
    quiescent_a = FigureField("Current at rest", "quiescent_current", help_text="With everything on the panel.")
    panel_alarm_a = FigureField("Current of the panel in alarm", "quiescent_current", help_text="Without motors.")
    motors_a = FigureField("Current of all motors together", "current", help_text="At the end of discharge.")
    coldest_c = FigureField("Coldest at the battery", "temperature")
    capacity_ah = FigureField("Capacity of the battery", "capacity", help_text="Empty: what is needed, no verdict.")
    greatest_current_a = FigureField("Its greatest discharge current", "discharge_current")
    fuse_a = FigureField("Its fuse", "current")
    charger_a = FigureField("Current of the charger", "current")
    charging_limit_a = FigureField("Greatest charging current of the battery", "current")
