"""How old a battery set is, and when it is due: from the day of manufacture, else from the day it was fitted.

A block may have stood on a shelf for years: the day of fitting gives a least age and a latest due date, never the age.
"""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from zones.engineering.battery_life import read_date_code, replacement_due
from zones.engineering.quantities import QuantityError

_DAYS_PER_YEAR = 365.25
_REFERENCE_C = 20.0


class AgeBasis(StrEnum):
    """What the age is counted from."""

    MADE_ON = "day of manufacture"
    DATE_CODE = "date code"
    FITTED_ON = "day of fitting"


@dataclass(frozen=True, slots=True)
class BatteryAge:
    """`since` and what it is; `why_not_known` says why the day of manufacture is not known, and is empty if it is."""

    since: date
    basis: AgeBasis
    due_on: date
    why_not_known: str = ""

    @property
    def is_known(self) -> bool:
        return self.basis != AgeBasis.FITTED_ON

    def years(self, on: date) -> float:
        """Age on a day, years, cut to a tenth: a set of 3.97 years is not four years old."""
        return int((on - self.since).days / _DAYS_PER_YEAR * 10) / 10


def battery_age(
    *,
    fitted_on: date,
    made_on: date | None,
    date_code: str,
    service_years: float,
    design_life_years: float | None,
    usual_c: float | None,
    not_after: date,
) -> BatteryAge:
    """Age and due date of a battery set.

    Args:     design_life_years: maker's, at 20 °C; usual_c: where it stands, °C; an unknown one shortens nothing;
              not_after: readings of the date code later than this day are dropped.
    Source:   due as in `replacement_due`.
    """
    since, basis, why = _manufacture(made_on, date_code, not_after)
    if since and since > fitted_on:
        why = f"the {basis} gives {since:%-d %b %Y}, after the day of fitting"
    if why:
        since, basis = fitted_on, AgeBasis.FITTED_ON
    return BatteryAge(since, basis, _due_on(since, service_years, design_life_years, usual_c), why)


def _manufacture(made_on, date_code, not_after):
    """The day of manufacture, what gives it, and why it is not known."""
    if made_on:
        return made_on, AgeBasis.MADE_ON, ""
    if not date_code.strip():
        return None, AgeBasis.FITTED_ON, "no date code recorded"
    try:
        readings = read_date_code(date_code, not_after=not_after)
    except QuantityError:
        return None, AgeBasis.FITTED_ON, f"date code '{date_code}' cannot be read as a day"
    if len(readings) > 1:
        ways = " or ".join(f"{reading.made_on:%-d %b %Y}" for reading in readings)
        return None, AgeBasis.FITTED_ON, f"date code '{date_code}' can be {ways}"
    return readings[0].made_on, AgeBasis.DATE_CODE, ""


def _due_on(since, service_years, design_life_years, usual_c):
    """Life halves in the warmth only from a known design life at a known temperature."""
    life = service_years if design_life_years is None else design_life_years
    warmth_c = _REFERENCE_C if design_life_years is None or usual_c is None else usual_c
    return replacement_due(since, design_life_years=life, temperature_c=warmth_c, service_years=service_years)
