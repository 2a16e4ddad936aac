"""Findings about the age of a standby battery: the day by which the set is to be replaced."""

from datetime import date
from functools import partial

from zones.engineering.battery_life import life_years, read_date_code, replacement_due
from zones.engineering.findings import (
    Figure,
    Finding,
    Severity,
    counted,
    missing,
    note,
    question,
    verdict,
    verdict_when_read,
    when_read,
)
from zones.engineering.quantities import QuantityError
from zones.engineering.sources import AGEING_RULE, PRACTICE, RECORD
from zones.engineering.trade_practice import TradePractice


def age_findings(panel: str, battery, assessed_on: date | None, practice: TradePractice) -> list[Finding]:
    """Whether a battery set (of battery_check) is due; what is missing for that, or cannot be read."""
    code, unchecked = "battery.age", f"age of the battery of {panel}"
    made_on = battery.made_on
    if made_on is None and battery.date_code:
        try:
            readings = read_date_code(battery.date_code, not_after=assessed_on)
        except QuantityError as error:
            return [_unread_date(panel, battery, error)]
        if len(readings) > 1:
            ways = " or ".join(f"{one.form} ({one.made_on:%-d %b %Y})" for one in readings)
            words = f"{panel}: date code '{battery.date_code}' can be {ways}. Enter the day of manufacture as a date."
            return [question(code, panel, words, RECORD)]
        made_on = readings[0].made_on
    wanted = (
        ("date of manufacture", made_on),
        ("design life", battery.design_life_years),
        ("usual temperature", battery.usual_c),
    )
    gaps = [
        missing(code, panel, what, ["the battery"], RECORD, not_checked=unchecked) for what, v in wanted if v is None
    ]
    if gaps:
        return gaps
    due = replacement_due(
        made_on,
        design_life_years=battery.design_life_years,
        temperature_c=battery.usual_c,
        service_years=practice.battery_service_years,
    )
    return [_due_finding(panel, battery, made_on, due, assessed_on, practice)]


def _unread_date(panel: str, battery, error: QuantityError) -> Finding:
    """Nobody knows the age: neither met nor not met."""
    words = (
        f"{panel}: date code '{battery.date_code}' cannot be read as a day: age of the battery of {panel} not checked. "
        f"It must be {error.accepted}. Enter the day of manufacture as a date."
    )
    return Finding("battery.age", Severity.MISSING, panel, words, RECORD, (Figure("date of manufacture", None),))


def _due_finding(panel, battery, made_on: date, due: date, assessed_on: date | None, practice) -> Finding:
    told = partial(_due_told, panel, battery, made_on, due, assessed_on, practice)
    if assessed_on is None:
        return when_read("battery.age", Severity.NOTE, panel, told)
    if 0 <= (due - assessed_on).days <= practice.due_soon_days:
        return when_read("battery.age", Severity.QUESTION, panel, told)
    return verdict_when_read("battery.age", panel, due > assessed_on, told)


def _due_told(panel, battery, made_on: date, due: date, assessed_on: date | None, practice) -> Finding:
    code = "battery.age"
    inputs = (
        Figure("made on", f"{made_on:%-d %b %Y}"),
        Figure("design life at 20 °C", battery.design_life_years, "years"),
        Figure("usual temperature", battery.usual_c, "°C"),
        Figure("service life", practice.battery_service_years, "years"),
        Figure("due", f"{due:%-d %b %Y}"),
    )
    formula = "due = made on + the shorter of service life and design life halved for each 10 K above 20 °C"
    worn = life_years(battery.design_life_years, battery.usual_c) < practice.battery_service_years
    source = AGEING_RULE if worn else PRACTICE
    words = f"{panel}: the battery of {made_on:%-d %b %Y} is due for replacement on {due:%-d %b %Y}"
    if assessed_on is None:
        return note(code, panel, f"{words}.", source, inputs, formula)
    days = (due - assessed_on).days
    if 0 <= days <= practice.due_soon_days:
        sentence = f"{words}, in {counted(days, 'day')}. Order the set; replace all blocks together."
        return question(code, panel, sentence, source, inputs, formula)
    return verdict(
        *(code, panel, days > 0),
        f"{words}, in {counted(days, 'day')}",
        f"{words}, {counted(-days, 'day')} ago. Replace all blocks of the set together.",
        *(source, inputs, formula),
    )
