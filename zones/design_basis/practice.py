"""The firm's table of common practice: which figures there are, what they mean, and what the firm has set.

The figures and their checks are engineering's (`TradePractice`); here stand only their words.
"""

from dataclasses import dataclass, fields, replace

from sites_registry.typed_numbers import NumberNotClear, with_point
from zones.engineering.quantities import QuantityError
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice
from zones.models import PracticeValue
from zones.models.product_models import RANGE_FIGURES


@dataclass(frozen=True, slots=True)
class PracticeFigure:
    """One line of the table; `source` in words."""

    name: str
    group: str
    label: str
    unit: str = ""
    source: str = "common practice"


def _figures(group, *rows):
    return tuple(PracticeFigure(row[0], group, *row[1:]) for row in rows)


EN_12101_2 = "EN 12101-2:2017, second-hand"
IEC_60364_4_41 = "IEC 60364-4-41:2005, 411.3.2.3, second-hand"
EN_54_4 = "EN 54-4:1997, 5.3.1 b, second-hand"
FIGURES = (
    *_figures(
        "Cables",
        ("conductor_temperature_c", "temperature of loaded cores, laying not known", "°C"),
        ("usual_ambient_c", "usual ambient temperature, as a guide", "°C"),
        ("usual_grouped", "usual number of circuits bunched, as a guide"),
        ("question_drop_fraction", "a drop above this share is questioned"),
        ("starting_current_required", "an unknown starting current gives no verdict"),
    ),
    *_figures(
        "Protection of outputs",
        ("output_protection_required", "an output without recorded device gives no verdict"),
        ("disconnection_s", "a short circuit is switched off within", "s", IEC_60364_4_41),
        ("discharged_resistance_factor", "internal resistance at the end of discharge, as a multiple"),
    ),
    *_figures(
        "Supply",
        ("cells", "cells of the battery set"),
        ("end_of_discharge_v_per_cell", "end of discharge where the battery leads reach the panel, each cell", "V"),
    ),
    *_figures(
        "Battery",
        ("standard_battery_ah", "standard sizes", "Ah"),
        ("peukert_exponent", "discharge exponent, sealed batteries", "", "Peukert's law, second-hand"),
        ("peukert_hours", "rated at a discharge of", "h"),
        ("discharge_c_rate_questioned", "discharge current above this multiple of capacity is questioned"),
        ("charging_efficiency", "charging efficiency"),
        ("recharge_fraction", "share to be charged again", "", EN_54_4),
        ("recharge_h", "within", "h", EN_54_4),
        ("battery_service_years", "renew after", "years", "BS 5839-1:2017 guidance, from memory"),
        ("due_soon_days", "due soon means within", "days"),
    ),
    *_figures(
        "Monitored lines",
        ("short_below_ohm", "short below", "Ω"),
        ("alarm_low_ohm", "alarm from", "Ω"),
        ("alarm_high_ohm", "alarm to", "Ω"),
        ("normal_low_ohm", "normal from", "Ω"),
        ("normal_high_ohm", "normal to", "Ω"),
        ("open_above_ohm", "open above", "Ω"),
        ("element_tolerance", "tolerance of a resistor, as a share"),
        ("meter_tolerance", "tolerance of a meter, as a share"),
        ("cable_least_fraction", "least cable resistance as a share of the greatest"),
    ),
    *_figures(
        "Time",
        ("opening_limit_s", "open within", "s", EN_12101_2),
        ("run_time_allowance", "run time as a multiple of the stroke time"),
        ("run_time_ceiling_s", "run time at most", "s"),
        ("fastest_mm_per_s", "no drive faster than this is suggested", "mm/s"),
        ("in_step_tolerance", "actuators of one vent may differ by this share"),
    ),
    *_figures(
        "Vents",
        ("estimated_discharge_coefficient", "coefficient of an estimate"),
        ("convective_share", "share of a fire's heat that smoke carries"),
        ("force_margin", "force of actuators as a multiple of what the leaf needs"),
    ),
    *_figures(
        "Material",
        ("cable_allowance", "cable beyond the lengths recorded, as a share"),
        ("glands_per_cable", "glands for each cable"),
        ("spare_elements", "end-of-line resistors and modules beyond those counted, as a share"),
    ),
)
BY_NAME = {figure.name: figure for figure in FIGURES}
KINDS = {field.name: type(getattr(TRADE_PRACTICE, field.name)) for field in fields(TradePractice)}


class PracticeRefused(ValueError):
    """A figure that cannot be; ``str(error)`` is a sentence for the user."""


def read_value(name, text):
    """A typed figure as engineering takes it: number, yes or no, or a list of sizes. Raises PracticeRefused."""
    text = text.strip()
    try:
        match KINDS[name].__name__:
            case "bool":
                return {"yes": True, "no": False}[text.lower()]
            case "tuple":
                return tuple(float(with_point(part)) for part in text.replace(";", " ").replace(", ", " ").split())
            case "int":
                return int(with_point(text))
            case _:
                return float(with_point(text))
    except NumberNotClear as error:
        raise PracticeRefused(str(error)) from error
    except (KeyError, ValueError) as error:
        wanted = {"bool": "yes or no", "tuple": "numbers with blanks between", "int": "a whole number"}
        raise PracticeRefused(
            f"'{text[:40]}' is not understood. Write {wanted.get(KINDS[name].__name__, 'a number, such as 0.85')}."
        ) from error


def in_words(value):
    """A figure as it is typed and shown."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return " ".join(f"{size:g}" for size in value)
    return f"{value:g}"


def practice_with(values):
    """The practice with these typed values (name → text) in place of the defaults. Raises PracticeRefused."""
    try:
        return replace(TRADE_PRACTICE, **{name: read_value(name, text) for name, text in values.items()})
    except QuantityError as error:
        label = BY_NAME[error.field].label if error.field in BY_NAME else error.field
        raise PracticeRefused(f"{label.capitalize()}: it must be {error.accepted}.") from error


def stored_values():
    """What the firm has set: name → text. Names that engineering no longer has are passed over."""
    return {name: value for name, value in PracticeValue.objects.values_list("name", "value") if name in BY_NAME}


def practice_of_panel(practice, model):
    """The practice with the ranges of a panel's own data sheet in place of the firm's, as far as they are known.

    Raises QuantityError: together the limits do not rise.
    """
    own = {name: value for name in RANGE_FIGURES if (value := getattr(model, name, None)) is not None}
    return replace(practice, **{name: float(value) for name, value in own.items()}) if own else practice


def current_practice():
    """The common practice that holds now; one query. Rows are checked together before they are stored.

    Raises PracticeRefused only if a later release narrows a range: nothing is then computed with another figure.
    """
    return practice_with(stored_values())
