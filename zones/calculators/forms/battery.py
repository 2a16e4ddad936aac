"""What may be typed about a standby battery and what hangs on it."""

from zones.calculators.forms.base import CalculatorForm, FigureField, OneOfField
from zones.engineering import STANDBY_BASES
from zones.engineering.fuses import FUSE_KINDS

BASES = [("", "not known"), *((basis.key, basis.name) for basis in STANDBY_BASES.values())]
FUSES = [("", "not known"), *((key, kind.name) for key, kind in FUSE_KINDS.items())]


class BatteryForm(CalculatorForm):
    groups = (
        ("What is asked", ("basis", "standby_h", "operations", "seconds_each")),
        ("What the panel takes", ("quiescent_a", "panel_alarm_a", "motors_a", "starting_a", "starting_s")),
        (
            "The battery",
            ("coldest_c", "capacity_ah", "greatest_current_a", "peukert_exponent", "fuse_a", "fuse_kind"),
        ),
        ("Charging", ("charger_a", "charging_limit_a", "usual_c")),
    )

    basis = OneOfField("Sized by", BASES, help_text="With its edition, as the fire strategy names it.")
    standby_h = FigureField("Other standby", "standby", help_text="Only where the fire strategy asks for other hours.")
    operations = FigureField("Operations after standby", "operations", whole=True, help_text="Nothing is assumed.")
    seconds_each = FigureField("Motor time of one operation", "time", help_text="At the end of discharge.")
    quiescent_a = FigureField("Current at rest", "quiescent_current", help_text="With everything on the panel.")
    panel_alarm_a = FigureField("Current of the panel in alarm", "quiescent_current", help_text="Without motors.")
    motors_a = FigureField("Current of all motors together", "current", help_text="At the end of discharge.")
    starting_a = FigureField(
        "Current while they start", "peak_current", help_text="Of all together, without the panel."
    )
    starting_s = FigureField("For how long", "starting_time")
    coldest_c = FigureField("Coldest at the battery", "temperature")
    capacity_ah = FigureField("Capacity of the battery", "capacity", help_text="Empty: what is needed, no verdict.")
    greatest_current_a = FigureField("Its greatest discharge current", "discharge_current")
    peukert_exponent = FigureField("Its Peukert exponent", "exponent", help_text="Empty: common practice.")
    fuse_a = FigureField("Its fuse", "current")
    fuse_kind = OneOfField("Kind of the fuse", FUSES)
    charger_a = FigureField("Current of the charger", "current")
    charging_limit_a = FigureField("Greatest charging current of the battery", "current")
    usual_c = FigureField("Usual temperature at the battery", "temperature", help_text="For the float voltage.")
