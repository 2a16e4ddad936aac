"""Charging, float voltage, life, and the date on the block.

Nothing here reads a clock: the day on which something is assessed is an argument.
"""

import re
from dataclasses import dataclass
from datetime import date, timedelta

from zones.engineering.quantities import QuantityError, check_quantity, require_positive
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice

FLOAT_V_PER_CELL_25C = 2.30  # at 25 °C [S2]
FLOAT_COMPENSATION_V_PER_K = -0.003  # per cell; one source says -0.005 [S2]
_DAYS_PER_YEAR = 365.25


def charger_current_a(
    capacity_ah: float, *, quiescent_a: float = 0.0, practice: TradePractice = TRADE_PRACTICE
) -> float:
    """Least charger current, A: back to 80 % of rated capacity within 24 h, the quiescent load beside it.

    Source:   EN 54-4:1997 5.3.1 b [S2]; charging efficiency 0.85 [P].
    """
    check_quantity("capacity", capacity_ah, field="capacity_ah")
    check_quantity("quiescent_current", quiescent_a, field="quiescent_a")
    charge_ah = practice.recharge_fraction * capacity_ah / practice.charging_efficiency
    return charge_ah / practice.recharge_h + quiescent_a


def float_voltage_v(temperature_c: float, cells: int = 12) -> float:
    """Float voltage of the whole set, V. Source: U = n (2.30 - 0.003 (T - 25)) [S2]."""
    check_quantity("temperature", temperature_c, field="temperature_c", subject="battery")
    require_positive("cells", cells)
    return cells * (FLOAT_V_PER_CELL_25C + FLOAT_COMPENSATION_V_PER_K * (temperature_c - 25))


def life_years(design_life_years: float, temperature_c: float) -> float:
    """Life to expect at a temperature, years; a battery colder than 20 °C gains nothing.

    Source:   life halves for each 10 K above 20 °C [S2].
    """
    check_quantity("years", design_life_years, field="design_life_years")
    check_quantity("temperature", temperature_c, field="temperature_c", subject="battery")
    return design_life_years * 2 ** (-max(0.0, temperature_c - 20) / 10)


@dataclass(frozen=True, slots=True)
class DateReading:
    """One way to read a date code: `form` in words, and the first day that it can mean."""

    form: str
    made_on: date


def read_date_code(text: str, *, not_after: date | None = None) -> tuple[DateReading, ...]:
    """All readings of a battery's date code; more than one means: ask.

    Args:     text: ISO (2024-03, 2024-03-15, 2024-W12), 24W12, YYWW or YYMM (2412, also 24/12 or 24-12), a plain year;
              not_after: readings later than this day are dropped (a battery is not made in the future).
    Returns:  readings, earliest first. The first day of a week, month or year is taken: the older age counts.
    Raises:   QuantityError: no reading is possible.
    Source:   forms in use on sealed blocks [P].
    """
    code = str(text).strip().upper()
    readings = {reading.made_on: reading for reading in _readings(code)}.values()
    kept = sorted(
        (reading for reading in readings if not_after is None or reading.made_on <= not_after),
        key=lambda reading: reading.made_on,
    )
    if not kept:
        accepted = "a date code such as 2024-03-15, 2024-W12, or 2412 for week 12 or December of 2024"
        raise QuantityError("date_code", text, accepted + (", not in the future" if not_after else ""))
    return tuple(kept)


def _readings(code: str):
    if match := re.fullmatch(r"(20\d\d)-?(\d\d)-?(\d\d)", code):
        yield from _day("day", int(match[1]), int(match[2]), int(match[3]))
    elif match := re.fullmatch(r"(\d\d)W(\d\d)", code):
        yield from _week(f"week {match[2]} of 20{match[1]}", 2000 + int(match[1]), int(match[2]))
    elif match := re.fullmatch(r"(20\d\d)-?W(\d\d)(?:-?[1-7])?", code):
        yield from _week(f"week {match[2]} of {match[1]}", int(match[1]), int(match[2]))
    elif match := re.fullmatch(r"(20\d\d)[-/.](\d\d)", code):
        yield from _day(f"month {match[2]} of {match[1]}", int(match[1]), int(match[2]), 1)
    elif match := re.fullmatch(r"(\d\d)[-/. ]?(\d\d)", code):
        year, part = 2000 + int(match[1]), int(match[2])
        yield from _week(f"YYWW: week {part} of {year}", year, part)
        yield from _day(f"YYMM: month {part} of {year}", year, part, 1)
        # "2021" is a plain year as often as it is week 21 of 2020.
        if code.startswith("20") and len(code) == 4:
            yield from _day(f"the year {code}", int(code), 1, 1)


def _day(form: str, year: int, month: int, day: int):
    try:
        yield DateReading(form, date(year, month, day))
    except ValueError:
        return


def _week(form: str, year: int, week: int):
    try:
        yield DateReading(form, date.fromisocalendar(year, week, 1))
    except ValueError:
        return


def replacement_due(
    made_on: date,
    *,
    design_life_years: float,
    temperature_c: float = 20.0,
    service_years: float = TRADE_PRACTICE.battery_service_years,
) -> date:
    """The day by which a battery set is to be replaced: the shorter of service age and life at its temperature.

    Args:     made_on: day of manufacture; design_life_years: maker's, at 20 °C; temperature_c: usual, °C.
    Source:   about 4 years, BS 5839-1 guidance [M] (setting [P]); life halves for each 10 K [S2].
    """
    require_positive("service_years", service_years)
    years = min(service_years, life_years(design_life_years, temperature_c))
    return made_on + timedelta(days=int(years * _DAYS_PER_YEAR))
