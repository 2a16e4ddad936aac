"""What the register knows about the figures of a data sheet: their group, why a check needs them, what is usual.

The usual ranges are common practice of 24 V natural smoke control, from memory, not from a standard. A value outside
is questioned, never refused: data sheets win.
"""

from dataclasses import dataclass
from decimal import Decimal

from sites_registry.words import plain_number
from zones.engineering.area_methods import INPUT_QUANTITIES
from zones.engineering.kind_facts import Figures
from zones.engineering.quantities import QuantityError, check_quantity
from zones.models.kinds import kinds_where
from zones.models.product_models import RANGE_FIGURES


@dataclass(frozen=True, slots=True)
class FigureGroup:
    """Figures that belong together on a page; `kinds` are the kinds of device that have them, None for all."""

    heading: str
    names: tuple[str, ...]
    of: Figures | None = None

    @property
    def kinds(self):
        return self.of and kinds_where(lambda facts: self.of in facts.figures)


FIGURE_GROUPS = (
    FigureGroup("Voltage", ("rated_voltage_v", "minimum_voltage_v", "highest_voltage_v")),
    FigureGroup("Current", ("rated_current_a", "starting_current_a", "standby_current_a", "alarm_current_a")),
    FigureGroup(
        "Movement",
        (
            "stroke_mm",
            "speed_mm_s",
            "lower_voltage_v",
            "lower_speed_mm_s",
            "lower_current_a",
            "starting_s",
            "push_force_n",
            "pull_force_n",
            "lower_push_force_n",
            "lower_pull_force_n",
            "holding_force_n",
            "drive",
            "load_kind",
        ),
        Figures.MOVEMENT,
    ),
    FigureGroup(
        "Limits of the panel",
        (
            "supply_limit_a",
            "output_limit_a",
            "own_voltage_drop_v",
            "charger_current_a",
            "charger_inhibited",
            "battery_fuse_a",
            "battery_fuse_kind",
            "output_peak_a",
            "supply_peak_a",
            "output_highest_v",
            "line_voltage_v",
        ),
        Figures.PANEL,
    ),
    FigureGroup(
        "Protection of its outputs",
        (
            "output_device_kind",
            "output_device_a",
            "output_trip_a",
            "output_trip_s",
            "supply_fault_a",
            "supply_fuse_a",
            "supply_fuse_kind",
            "battery_lead_mm2",
            "battery_lead_m",
        ),
        Figures.PANEL,
    ),
    FigureGroup(
        "Monitored line",
        ("end_of_line_ohm", "alarm_resistance_ohm", "alarm_wiring", "removal_opens_line"),
        Figures.LINE,
    ),
    FigureGroup(
        "Resistance ranges of its lines (empty: common practice)",
        (*RANGE_FIGURES, "keeps_first_alarm"),
        Figures.PANEL,
    ),
    FigureGroup(
        "Battery",
        ("capacity_ah", "discharge_limit_a", "charging_limit_a", "internal_resistance_mohm", "peukert_exponent"),
        Figures.BATTERY,
    ),
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
    "alarm_resistance_ohm": "Without it a reading of the line cannot be told apart from a fault.",
    "service_life_years": "Without it nothing says when the next one is due.",
    "alarm_current_a": "Without it neither supply nor battery can be reckoned.",
    "own_voltage_drop_v": "Without it nothing says what voltage leaves the panel.",
    "charger_current_a": "Without it nothing says how soon the battery is full again.",
    "charger_inhibited": "Without it nothing says what the supply has left for motors.",
    "discharge_limit_a": "Without it nothing says whether the battery can start the motors.",
    "lower_speed_mm_s": "Without it the time to open on the battery is not known.",
    "highest_voltage_v": "Without it nothing says whether the panel's charging voltage is too much for it.",
    "push_force_n": "Without it nothing says whether it opens the leaf against its weight, wind and snow.",
    "pull_force_n": "Without it nothing says whether it closes the leaf again.",
    "holding_force_n": "Without it nothing says whether it holds the leaf shut against the wind.",
    "output_highest_v": "Without it nothing says whether its actuators bear the charging voltage.",
    "charging_limit_a": "Without it nothing says whether the charger is too strong.",
    "output_device_kind": "Without it nothing says whether a short circuit on a cable is switched off.",
    "output_device_a": "Without it nothing says whether the cable is protected against overload.",
    "output_trip_a": "Without it nothing says whether a short circuit at the far end is switched off.",
    "output_trip_s": "Without it nothing says how soon a short circuit is switched off.",
    "supply_fault_a": "Without it nothing says whether the supply gives enough to open a fuse.",
    "battery_lead_mm2": "Without it nothing says whether the battery fuse protects the leads.",
    "battery_lead_m": "Without it the leads count as long as they may be, where a short circuit must be switched off.",
    "internal_resistance_mohm": "Without it nothing says whether the battery gives enough to open a fuse.",
    "keeps_first_alarm": "Without it nothing says whether more alarms on a line are mistaken for a fault.",
    "removal_opens_line": "Without it nothing says whether a head taken out is seen as a fault.",
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
    "own_voltage_drop_v": (Decimal(0), Decimal(2)),
    "charger_current_a": (Decimal("0.1"), Decimal(20)),
    "battery_fuse_a": (Decimal(1), Decimal(160)),
    "line_voltage_v": (Decimal(5), Decimal(40)),
    "discharge_limit_a": (Decimal(5), Decimal(800)),
    "peukert_exponent": (Decimal("1.05"), Decimal("1.3")),
    "lower_voltage_v": (Decimal(5), Decimal(50)),
    "lower_speed_mm_s": (Decimal(1), Decimal(60)),
    "lower_current_a": (Decimal("0.05"), Decimal(20)),
    "highest_voltage_v": (Decimal(6), Decimal(60)),
    "starting_s": (Decimal("0.02"), Decimal(5)),
    "output_peak_a": (Decimal("0.5"), Decimal(160)),
    "supply_peak_a": (Decimal(1), Decimal(300)),
    "output_highest_v": (Decimal(6), Decimal(60)),
    "charging_limit_a": (Decimal("0.1"), Decimal(60)),
    **dict.fromkeys(
        ("push_force_n", "pull_force_n", "lower_push_force_n", "lower_pull_force_n"), (Decimal(50), Decimal(5000))
    ),
    "holding_force_n": (Decimal(100), Decimal(10_000)),
    "output_device_a": (Decimal("0.5"), Decimal(80)),
    "output_trip_a": (Decimal("0.5"), Decimal(160)),
    "output_trip_s": (Decimal("0.001"), Decimal(10)),
    "supply_fault_a": (Decimal(1), Decimal(300)),
    "supply_fuse_a": (Decimal(1), Decimal(160)),
    "battery_lead_mm2": (Decimal("0.75"), Decimal(50)),
    "battery_lead_m": (Decimal("0.1"), Decimal(5)),
    "internal_resistance_mohm": (Decimal(1), Decimal(200)),
}

# Field → (quantity of engineering, what turns the field into its unit): beyond that range nothing can be computed.
COMPUTED_AS = {
    **dict.fromkeys(
        (
            "supply_limit_a",
            "output_limit_a",
            "current_limit_a",
            "rated_current_a",
            "starting_current_a",
            "charger_current_a",
            "battery_fuse_a",
            "lower_current_a",
            "charging_limit_a",
            *("output_device_a", "device_a", "supply_fuse_a"),
        ),
        ("current", 1),
    ),
    **dict.fromkeys(("quiescent_current_a", "standby_current_a", "alarm_current_a"), ("quiescent_current", 1)),
    **dict.fromkeys(
        (
            *("rated_voltage_v", "minimum_voltage_v", "line_voltage_v"),
            *("lower_voltage_v", "highest_voltage_v", "output_highest_v"),
        ),
        ("voltage", 1),
    ),
    **dict.fromkeys(("width_mm", "height_mm", "fixing_distance_mm"), ("opening_side", 0.001)),
    **dict.fromkeys(("bracket_from_hinge_mm", "bracket_depth_mm"), ("bracket", 0.001)),
    **dict.fromkeys(("wind_opening_pa", "wind_suction_pa", "snow_pa"), ("pressure", 1)),
    **dict.fromkeys(
        ("push_force_n", "pull_force_n", "lower_push_force_n", "lower_pull_force_n", "holding_force_n"), ("force", 1)
    ),
    "leaf_mass_kg": ("mass", 1),
    "installed_deg": ("installation", 1),
    **dict.fromkeys(("reveal_mm", "blade_thickness_mm"), ("reveal", 0.001)),
    **dict.fromkeys(("geometric_area_m2", "aerodynamic_area_m2", "required_area_m2"), ("free_area", 1)),
    **{name: (quantity, 1) for name, quantity in INPUT_QUANTITIES.items()},
    "inlet_ratio": ("area_ratio", 1),
    **dict.fromkeys(("service_life_years", "design_life_years"), ("years", 1)),
    **dict.fromkeys(RANGE_FIGURES, ("resistance", 1)),
    **dict.fromkeys(("run_time_s", "opening_limit_s"), ("time", 1)),
    **dict.fromkeys(("delay_s", "gap_s", "stagger_s"), ("delay", 1)),
    **dict.fromkeys(("battery_coldest_c", "battery_usual_c"), ("temperature", 1)),
    **dict.fromkeys(("output_peak_a", "supply_peak_a", "output_trip_a", "supply_fault_a"), ("peak_current", 1)),
    **dict.fromkeys(("integrity_min", "fixing_min"), ("integrity_minutes", 1)),
    "output_trip_s": ("trip_time", 1),
    "battery_lead_mm2": ("area", 1),
    "battery_lead_m": ("length", 1),
    "internal_resistance_mohm": ("internal_resistance", 1),
    "ambient_c": ("ambient", 1),
    "grouped_circuits": ("grouped", 1),
    "discharge_limit_a": ("discharge_current", 1),
    "own_voltage_drop_v": ("voltage_drop", 1),
    "stroke_mm": ("stroke", 1),
    "speed_mm_s": ("speed", 1),
    "lower_speed_mm_s": ("speed", 1),
    "starting_s": ("starting_time", 1),
    "capacity_ah": ("capacity", 1),
    "peukert_exponent": ("exponent", 1),
    "end_of_line_ohm": ("resistance", 1),
    "alarm_resistance_ohm": ("alarm_resistance", 1),
    "blade_pitch_mm": ("opening_travel", 0.001),
    "discharge_coefficient": ("discharge_coefficient", 1),
    "length_m": ("length", 1),
    "hot_length_m": ("hot_length", 1),
    "standby_hours": ("standby", 1),
    "operations": ("operations", 1),
    "fire_minutes": ("fire_minutes", 1),
    "end_of_line_tolerance_percent": ("tolerance", 0.01),
}


# A quantity that is typed in another unit than it is computed in has the same range in that unit, under this name.
AS_TYPED = {1: "", 0.001: "_mm", 0.01: "_percent"}


def refusal_of(name, value):
    """Why nothing can be computed with this value of a field, as a sentence; empty when it can or is not known.

    The sentence names the range that a calculator names too, in the unit of the field.
    """
    if value is None or name not in COMPUTED_AS:
        return ""
    quantity, factor = COMPUTED_AS[name]
    try:
        check_quantity(quantity + AS_TYPED[factor], float(value), field=name)
    except QuantityError as error:
        return f"{plain_number(value)} is not possible: it must be {error.accepted}. {error.hint}".rstrip()
    return ""


def label_and_unit(field):
    """The two halves of a figure's name: "stroke (mm)" → ("stroke", "mm"); no unit gives an empty text."""
    label, _, unit = str(field.verbose_name).partition(" (")
    return label, unit.rstrip(")")
