"""A trend in sentences: how fast, which limit, when, how sure; or why nothing can be said."""

import math
from datetime import date

from zones.engineering.findings import counted
from zones.engineering.trends import HORIZON_YEARS, Course, Crossing, Slope, Trend

DAYS_PER_MONTH = 30.44


def trend_in_words(trend: Trend, unit: str) -> str:
    """One or two sentences."""
    moves = slope_in_words(trend.slope, unit) if trend.slope else ""
    match trend.course:
        case Course.UNKNOWN:
            return f"Not known: {readings_in_words(trend)}. It takes four readings over six months."
        case Course.OUTSIDE:
            return f"Outside its limit on {trend.last_on:%-d %b %Y}, at the last reading. {moves}".strip()
        case Course.CROSSES:
            return f"{moves} {crossing_in_words(trend.crossing, unit)}"
        case Course.DISTANT:
            return f"{moves} The limit is more than {HORIZON_YEARS} years ahead."
        case Course.NO_LIMIT:
            return f"{moves} There is no limit on that side."
    return _steady_in_words(trend, unit)


def _steady_in_words(trend: Trend, unit: str) -> str:
    if not trend.slope.low and not trend.slope.high:
        return f"Unchanged: {readings_in_words(trend)}."
    return f"No trend: between {interval_of_slope(trend.slope, unit, ' and ')} a year, which may be scatter."


def readings_in_words(trend: Trend) -> str:
    """Such as "4 readings over 36 months"."""
    words = counted(trend.count, "reading")
    return words if trend.count < 2 else f"{words} over {counted(round(trend.span_days / DAYS_PER_MONTH), 'month')}"


def slope_in_words(slope: Slope, unit: str) -> str:
    """Such as "Rises by 0.7 s a year (0.5 to 0.9)."; figures with their signs where it may be no change."""
    if not slope.is_sure:
        return f"{change_a_year(slope, unit)} a year ({interval_of_slope(slope)})."
    year, low, high = (abs(one) for one in slope.per_year)
    digits = _digits(year)
    verb, by = "Rises" if slope.per_day > 0 else "Falls", _with_unit(f"{year:.{digits}f}", unit)
    return f"{verb} by {by} a year ({min(low, high):.{digits}f} to {max(low, high):.{digits}f})."


def change_a_year(slope: Slope, unit: str = "") -> str:
    """Such as "+0.7 s"."""
    return signed(slope.per_year[0], unit)


def interval_of_slope(slope: Slope, unit: str = "", between: str = " to ") -> str:
    """Such as "+0.5 to +0.9 s": with as many decimals as the slope where that is sure."""
    year, low, high = slope.per_year
    digits = _digits(year if slope.is_sure else max(abs(low), abs(high)))
    return f"{signed(low, '', digits)}{between}{signed(high, unit, digits)}"


def crossing_in_words(crossing: Crossing, unit: str) -> str:
    """Such as "Reaches 60 s about Mar 2029, between Jun 2028 and Oct 2031."."""
    limit = _with_unit(f"{crossing.limit:g}", unit)
    return f"Reaches {limit} about {month(crossing.expected)}, {interval_in_words(crossing)}."


def interval_in_words(crossing: Crossing) -> str:
    """Such as "between Jun 2028 and Oct 2031"."""
    if crossing.latest is None:
        return f"not before {month(crossing.soonest)}"
    soonest, latest = month(crossing.soonest), month(crossing.latest)
    return f"between {soonest} and {latest}" if soonest != latest else f"in {soonest}"


def month(day: date) -> str:
    """Such as "Mar 2029": a trend knows no days."""
    return f"{day:%b %Y}"


def signed(value: float, unit: str, digits: int | None = None) -> str:
    """With its sign and unit, to two figures or so many decimals: "+0.7 s"."""
    text = f"{value:.{_digits(value) if digits is None else digits}f}"
    if not float(text):
        text = "0"
    return _with_unit(text.replace("-", "−") if text.startswith("-") or text == "0" else f"+{text}", unit)


def _digits(value: float) -> int:
    """Decimals that leave two figures of a value."""
    value = abs(float(f"{value:.2g}"))
    return max(0, 1 - math.floor(math.log10(value))) if value else 0


def _with_unit(text: str, unit: str) -> str:
    return f"{text} {unit}".strip()
