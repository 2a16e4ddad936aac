"""What the register knows about the figures of a data sheet: their group, why a check needs them, what is usual.

The usual ranges are common practice of 24 V natural smoke control, from memory, not from a standard. A value outside
is questioned, never refused: data sheets win.
"""

from dataclasses import dataclass
from decimal import Decimal

from zones.models import DeviceKind

ON_A_LINE = (
    DeviceKind.MANUAL_CALL_POINT, DeviceKind.SMOKE_DETECTOR, DeviceKind.HEAT_DETECTOR,
    DeviceKind.FIRE_ALARM_INTERFACE, DeviceKind.CONTROL_PANEL,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class FigureGroup:
    """Figures that belong together on a page; `kinds` are the kinds of device that have them, None for all."""

    heading: str
    names: tuple[str, ...]
    kinds: tuple[str, ...] | None = None


FIGURE_GROUPS = (
    FigureGroup("Voltage", ("rated_voltage_v", "minimum_voltage_v")),
    FigureGroup("Current", ("rated_current_a", "starting_current_a", "standby_current_a", "alarm_current_a")),
    FigureGroup("Movement", ("stroke_mm", "speed_mm_s", "drive"), (DeviceKind.ACTUATOR,)),
    FigureGroup("Limits of the panel", ("supply_limit_a", "output_limit_a"), (DeviceKind.CONTROL_PANEL,)),
    FigureGroup("Monitored line", ("end_of_line_ohm", "alarm_resistance_ohm"), ON_A_LINE),
    FigureGroup("Battery", ("capacity_ah",), (DeviceKind.BATTERY,)),
    FigureGroup("Service life", ("service_life_years",)),
)

WHY_NEEDED = {
    "rated_voltage_v": "Without it nothing says whether the model suits the supply.",
    "minimum_voltage_v": "Without it the voltage left at the end of the cable cannot be judged.",
    "rated_current_a": "Without it neither the cable nor the load of the panel can be reckoned.",
    "standby_current_a": "Without it the standby time of the battery cannot be reckoned.",
    "stroke_mm": "Without it the opening of the vent and the run time cannot be reckoned.",
    "speed_mm_s": "Without it the time to open cannot be reckoned.",
    "drive": "Without it nothing says which output of a panel can feed it.",
    "supply_limit_a": "Without it nothing says whether the panel can move all vents at once.",
    "capacity_ah": "Without it the standby time of the panel cannot be reckoned.",
    "alarm_resistance_ohm": "Without it a reading of the line cannot be told from a fault.",
    "service_life_years": "Without it nothing says when the next one is due.",
}

USUAL_RANGE = {
    "rated_voltage_v": (Decimal(6), Decimal(60)),
    "minimum_voltage_v": (Decimal(5), Decimal(50)),
    "rated_current_a": (Decimal("0.05"), Decimal(20)),
    "starting_current_a": (Decimal("0.05"), Decimal(40)),
    "standby_current_a": (Decimal("0.000005"), Decimal(2)),
    "alarm_current_a": (Decimal("0.0005"), Decimal(5)),
    "stroke_mm": (Decimal(20), Decimal(2000)),
    "speed_mm_s": (Decimal(1), Decimal(60)),
    "supply_limit_a": (Decimal(1), Decimal(150)),
    "output_limit_a": (Decimal("0.5"), Decimal(80)),
    "capacity_ah": (Decimal(1), Decimal(150)),
    "end_of_line_ohm": (Decimal(100), Decimal(100_000)),
    "alarm_resistance_ohm": (Decimal(50), Decimal(20_000)),
    "service_life_years": (Decimal(1), Decimal(30)),
}


def label_and_unit(field):
    """The two halves of a figure's name: "stroke (mm)" → ("stroke", "mm"); no unit gives an empty text."""
    label, _, unit = str(field.verbose_name).partition(" (")
    return label, unit.rstrip(")")
