"""Range checks where figures enter, and the question asked of a figure that is possible but strange.

Three answers to a typed figure:

* outside what can be: :class:`QuantityError`, naming field, value and accepted range, and the slip of the
  unit (mm typed for m) where one would explain it;
* possible, but far from what the trade uses: :func:`questioned` returns a sentence, nothing is refused;
* ``None``: not known. It is never checked here and never becomes a number; the checks answer it with a
  finding of severity *missing*.

The accepted ranges and the usual ranges below are common practice [P]: they catch slips, they judge nothing.
"""

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from numbers import Real
from types import MappingProxyType


class QuantityError(ValueError):
    """A figure that cannot be used.

    Attributes: `field` (name with its unit), `value` (as given), `accepted` (range in words),
    `subject` (whose figure it is, may be empty), `hint` (the likely slip, may be empty).
    ``str(error)`` is a sentence for the user.
    """

    def __init__(self, field: str, value: object, accepted: str, *, subject: str = "", hint: str = ""):
        self.field, self.value, self.accepted, self.subject, self.hint = field, value, accepted, subject, hint
        whose = f"{field} of {subject}" if subject else field
        super().__init__(f"{whose} is {shown(value)}; it must be {accepted}.{' ' + hint if hint else ''}")

    def in_words(self, subject: str = "") -> str:
        """The sentence as a person reads it: "stroke of V1 is 0.5 m", not the name of the field in the code."""
        name, whose = in_words(self.field), subject or self.subject
        suffix = _UNIT_SUFFIX.search(self.field)
        unit = _UNIT_WORDS.get(suffix[1], suffix[1]) if suffix and self.value is not None else ""
        words = f"{name} of {whose}" if whose else name
        hint = f" {self.hint}" if self.hint else ""
        return f"{words} is {shown(self.value)}{_spaced(unit)}; it must be {self.accepted}.{hint}"


@dataclass(frozen=True, slots=True)
class Quantity:
    """What can be (`low` to `high`) and what is usual (`usual_low` to `usual_high`), all in `unit`.

    `slips` lists units that are typed by mistake: (unit, factor that turns it into ours).
    """

    unit: str
    low: float
    high: float
    usual_low: float
    usual_high: float
    slips: tuple[tuple[str, float], ...] = ()
    low_included: bool = False

    @property
    def accepted(self) -> str:
        """The accepted range in words, as it stands in a message."""
        start = "at least" if self.low_included else "greater than"
        return f"{start} {shown(self.low)} and at most {shown(self.high)}{_spaced(self.unit)}"

    def is_usual(self, value: float | None) -> bool:
        """Whether a figure is near to trade values; one that is not known is never questioned."""
        return value is None or self.usual_low <= value <= self.usual_high


_MM, _CM, _M_FOR_MM = ("mm", 0.001), ("cm", 0.01), ("m", 1000.0)
_MILLIAMPERE = (("mA", 0.001),)

QUANTITIES: Mapping[str, Quantity] = MappingProxyType(
    {
        "length": Quantity("m", 0, 2_000, 0.5, 300, (_MM, _CM)),
        "hot_length": Quantity("m", 0, 2_000, 0, 60, (_MM, _CM), low_included=True),
        "area": Quantity("mm²", 0, 300, 0.5, 16),
        "temperature": Quantity("°C", -60, 150, -20, 60, low_included=True),
        "ambient": Quantity("°C", -40, 80, -20, 60, low_included=True),
        "grouped": Quantity("", 1, 100, 1, 20, low_included=True),
        "integrity_minutes": Quantity("min", 0, 240, 15, 180),
        "internal_resistance": Quantity("mΩ", 0, 10_000, 1, 200, (("Ω", 1_000.0),)),
        "trip_time": Quantity("s", 0, 60, 0.001, 10, (("ms", 0.001),)),
        "fire_temperature": Quantity("°C", 20, 1_300, 300, 1_200, low_included=True),
        "fire_minutes": Quantity("min", 0, 240, 15, 120, (("s", 1 / 60),)),
        "current": Quantity("A", 0, 200, 0.1, 32, _MILLIAMPERE),
        "peak_current": Quantity("A", 0, 1_000, 0.1, 200, _MILLIAMPERE),
        # What a battery gives for seconds, as its maker states it: ten times its ampere-hours and more.
        "discharge_current": Quantity("A", 0, 5_000, 5, 2_000, _MILLIAMPERE),
        "quiescent_current": Quantity("A", 0, 20, 0.01, 2, _MILLIAMPERE, low_included=True),
        "device_current": Quantity("A", 0, 1, 0, 0.005, (("µA", 1e-6), ("mA", 0.001)), low_included=True),
        "voltage": Quantity("V", 0, 1_000, 12, 32, (("mV", 0.001),)),
        "voltage_drop": Quantity("V", 0, 10, 0, 2, (("mV", 0.001),), low_included=True),
        "power": Quantity("W", 0, 5_000, 5, 500),
        "resistance": Quantity("ohm", 0, 10_000_000, 100, 100_000, (("kilohm", 1_000.0),)),
        "alarm_resistance": Quantity("ohm", 0, 1_000_000, 100, 5_000, (("kilohm", 1_000.0),), True),
        "reading": Quantity("ohm", 0, math.inf, 0, math.inf, low_included=True),
        "tolerance": Quantity("", 0, 0.5, 0, 0.2, (("%", 0.01),), low_included=True),
        "stroke": Quantity("mm", 0, 3_000, 50, 1_500, (_M_FOR_MM, ("cm", 10.0))),
        "speed": Quantity("mm/s", 0, 500, 2, 60, (("m/s", 1_000.0),)),
        "time": Quantity("s", 0, 3_600, 1, 600, (("ms", 0.001), ("min", 60.0))),
        "starting_time": Quantity("s", 0, 60, 0.02, 5, (("ms", 0.001),)),
        "delay": Quantity("s", 0, 600, 0, 30, (("ms", 0.001),), low_included=True),
        "opening_side": Quantity("m", 0, 20, 0.2, 4, (_MM, _CM)),
        "opening_travel": Quantity("m", 0, 5, 0.05, 2, (_MM, _CM)),
        "reveal": Quantity("m", 0, 3, 0, 0.6, (_MM, _CM), low_included=True),
        "bracket": Quantity("m", 0, 20, 0, 4, (_MM, _CM), low_included=True),
        "margin": Quantity("", 1, 10, 1, 3, low_included=True),
        "test_voltage": Quantity("V", 0, 10_000, 250, 1_000),
        "insulation": Quantity("MΩ", 0, 1_000_000, 0.5, 20_000, low_included=True),
        "bracket_mm": Quantity("mm", 0, 20_000, 0, 4_000, (_M_FOR_MM, ("cm", 10.0)), low_included=True),
        "mass": Quantity("kg", 0, 2_000, 2, 250, (("t", 1_000.0), ("g", 0.001))),
        "force": Quantity("N", 0, 50_000, 50, 10_000, (("kN", 1_000.0),)),
        "pressure": Quantity("N/m²", 0, 20_000, 0, 5_000, (("kN/m²", 1_000.0),), low_included=True),
        "installation": Quantity("°", 0, 90, 0, 90, low_included=True),
        "free_area": Quantity("m²", 0, 1_000, 0.1, 60, (("cm²", 1e-4), ("mm²", 1e-6))),
        "floor_area": Quantity("m²", 0, 1_000_000, 5, 20_000),
        "percent": Quantity("%", 0, 100, 0.5, 10),
        "share": Quantity("", 0, 1, 0, 1, (("%", 0.01),)),
        "area_ratio": Quantity("", 0, 20, 0.5, 3, (("%", 0.01),)),
        "fire_perimeter": Quantity("m", 0, 500, 3, 40, (_MM, _CM)),
        "heat_release": Quantity("kW", 0, 1_000_000, 100, 25_000, (("MW", 1_000.0), ("W", 0.001))),
        "clear_height": Quantity("m", 0, 200, 1.5, 40, (_MM, _CM)),
        "layer_depth": Quantity("m", 0, 100, 0.5, 15, (_MM, _CM)),
        "discharge_coefficient": Quantity("", 0, 1, 0.15, 0.75, (("%", 0.01),)),
        "capacity": Quantity("Ah", 0, 2_000, 1, 200, (("mAh", 0.001),)),
        "standby": Quantity("h", 0, 240, 4, 96, (("min", 1 / 60),)),
        "operations": Quantity("", 1, 1_000, 1, 10, low_included=True),
        "exponent": Quantity("", 1, 1.6, 1.05, 1.3, low_included=True),
        "years": Quantity("years", 0, 40, 3, 15, (("months", 1 / 12),)),
        "count": Quantity("", 0, 10_000, 0, 250, low_included=True),
        # As typed on site rather than as computed with: the same ranges in other units.
        "opening_side_mm": Quantity("mm", 0, 20_000, 200, 4_000, (_M_FOR_MM, ("cm", 10.0))),
        "opening_travel_mm": Quantity("mm", 0, 5_000, 50, 2_000, (_M_FOR_MM, ("cm", 10.0))),
        "reveal_mm": Quantity("mm", 0, 3_000, 0, 600, (_M_FOR_MM, ("cm", 10.0)), low_included=True),
        "tolerance_percent": Quantity("%", 0, 50, 0, 20, low_included=True),
        "device_current_ua": Quantity("µA", 0, 1_000_000, 0, 5_000, (("A", 1e6), ("mA", 1_000.0)), low_included=True),
        "number": Quantity("", 1, 1_000, 1, 250, low_included=True),
        "opening_angle": Quantity("°", 0, 180, 15, 140),
        "blade_angle": Quantity("°", 0, 90, 30, 90),
    }
)


def shown(value: object) -> str:
    """A figure as a person would write it: 25000, 0.5, 'x'; never 2.5e+04."""
    if value is None:
        return "not known"
    if isinstance(value, bool) or not isinstance(value, int | float):
        text = repr(value)
        return text if len(text) <= 40 else text[:37] + "..."
    if not math.isfinite(value):
        return "not a number" if math.isnan(value) else ("infinite" if value > 0 else "minus infinite")
    if value and not 1e-6 <= abs(value) < 1e12:
        return f"{value:.3g}"
    return f"{value:.6f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value)


def check_quantity(quantity: str, value: object, *, field: str, subject: str = "") -> None:
    """Refuse a figure that cannot be.

    Args:     quantity: key of QUANTITIES; value: as typed; field: name with its unit; subject: whose figure.
    Raises:   QuantityError: not a finite number, or outside the accepted range.
    """
    known = QUANTITIES[quantity]
    # The comparison is written so that NaN fails it.
    if type(value) is float or type(value) is int:
        if known.low < value <= known.high or (known.low_included and value == known.low):
            return
    elif isinstance(value, Real) and not isinstance(value, bool):
        check_quantity(quantity, float(value), field=field, subject=subject)
        return
    else:
        raise QuantityError(field, value, f"a number, {known.accepted}", subject=subject)
    raise QuantityError(field, value, known.accepted, subject=subject, hint=_slip(known, value))


def check_optional(quantity: str, value: object, *, field: str, subject: str = "") -> None:
    """As :func:`check_quantity`; ``None`` (not known) passes and stays unknown."""
    if value is not None:
        check_quantity(quantity, value, field=field, subject=subject)


def check_each(quantities: Sequence[tuple[str, str]], figures: object, *, subject: str = "") -> None:
    """As :func:`check_optional` for the attributes of a record, named by (quantity, field)."""
    for quantity, field in quantities:
        value = getattr(figures, field)
        # Most are ordinary figures, and so many are checked that a call for each would be what costs.
        if value is None or (type(value) is float and QUANTITIES[quantity].low < value <= QUANTITIES[quantity].high):
            continue
        check_quantity(quantity, value, field=field, subject=subject)


def unusual(quantities: Sequence[tuple[str, str]], figures: object) -> tuple[tuple[str, str], ...]:
    """Those of the attributes of a record, named by (quantity, field), that are far from trade values."""
    found = []
    for quantity, field in quantities:
        value = getattr(figures, field)
        if value is None or QUANTITIES[quantity].usual_low <= value <= QUANTITIES[quantity].usual_high:
            continue
        found.append((quantity, field))
    return tuple(found)


def questions_about(quantities: Sequence[tuple[str, str]], figures: object, *, subject: str = "") -> list[str]:
    """The sentences of :func:`questioned` for the attributes of a record, named by (quantity, field)."""
    return [
        questioned(quantity, getattr(figures, field), field=field, subject=subject)
        for quantity, field in unusual(quantities, figures)
    ]


def questioned(quantity: str, value: float | None, *, field: str, subject: str = "") -> str | None:
    """A sentence for a figure that is possible but far from trade values, else ``None``.

    Args:     as :func:`check_quantity`; an unknown figure (``None``) is not questioned.
    Source:   usual ranges are common practice [P].
    """
    known = QUANTITIES[quantity]
    if value is None or known.usual_low <= value <= known.usual_high:
        return None
    name = in_words(field)
    whose = f"{name} of {subject}" if subject else name
    usual = f"usual is {shown(known.usual_low)} to {shown(known.usual_high)}{_spaced(known.unit)}"
    parts = (f"{whose} is {shown(value)}{_spaced(known.unit)}; {usual}.", _slip(known, value))
    return " ".join(filter(None, (*parts, "Check it; it is used as entered.")))


def in_words(field: str) -> str:
    """A field's name without its unit: "rated current" for rated_current_a."""
    return _UNIT_SUFFIX.sub("", field).replace("_", " ")


def require_positive(field: str, value: object, *, subject: str = "") -> None:
    """Refuse anything but a finite number greater than 0. Raises QuantityError."""
    if not _is_number(value) or not 0 < value < math.inf:
        raise QuantityError(field, value, "greater than 0", subject=subject)


def require_not_negative(field: str, value: object, *, subject: str = "") -> None:
    """Refuse anything but a finite number of 0 or more. Raises QuantityError."""
    if not _is_number(value) or not 0 <= value < math.inf:
        raise QuantityError(field, value, "0 or more", subject=subject)


def require_one_of(field: str, value: object, accepted: tuple, *, subject: str = "") -> None:
    """Refuse a value that is not in `accepted`. Raises QuantityError."""
    if value not in accepted:
        words = ", ".join(str(one) for one in accepted)
        raise QuantityError(field, value, f"one of: {words}", subject=subject)


def rounded_up(value: float, decimals: int) -> float:
    """Up to `decimals` places; for requirements (section, battery, charger), so that rounding never helps."""
    scale = 10**decimals
    # The tiny allowance keeps 8.32 from becoming 8.33 through binary fractions.
    return math.ceil(value * scale - 1e-7) / scale


def rounded_down(value: float, decimals: int) -> float:
    """Down to `decimals` places; for what is available (length, free area), so that rounding never helps."""
    scale = 10**decimals
    return math.floor(value * scale + 1e-7) / scale


_UNIT_WORDS = {
    "mm_per_s": "mm/s",
    "mm2": "mm²",
    "m2": "m²",
    "ah": "Ah",
    "a": "A",
    "v": "V",
    "w": "W",
    "c": "°C",
    "deg": "°",
    "kw": "kW",
    "n": "N",
}
_UNIT_SUFFIX = re.compile(r"_(mm_per_s|mm2|m2|mm|m|ohm|ah|deg|a|v|kw|w|h|s|c|n|years)$")


def _is_number(value: object) -> bool:
    return isinstance(value, Real) and not isinstance(value, bool)


def _spaced(unit: str) -> str:
    return f" {unit}" if unit else ""


def _slip(known: Quantity, value: float) -> str:
    """The unit that would make the figure usual, in words; empty when none does."""
    for unit, factor in known.slips:
        ours = value * factor
        if known.usual_low < ours <= known.usual_high:
            return f"Typed in {unit}? {shown(value)} {unit} is {shown(round(ours, 6))}{_spaced(known.unit)}."
    return ""
