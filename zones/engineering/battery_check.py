"""Findings about the standby battery: ampere-hours, greatest current, charger, age."""

from datetime import date
from functools import partial

from zones.engineering.batteries import (
    TEMPERATURE_FACTORS,
    ColderThanTable,
    RequiredCapacity,
    next_standard_size_ah,
    peukert_nameplate_h,
    required_capacity,
    standby_hours_left,
)
from zones.engineering.battery_age_check import age_findings
from zones.engineering.battery_life import charger_current_a, float_voltage_v
from zones.engineering.battery_set import BatteryDuty, BatterySet
from zones.engineering.battery_starting import starting_findings
from zones.engineering.findings import (
    Figure,
    Finding,
    Severity,
    at_least,
    at_most,
    fail,
    listed,
    missing,
    question,
    verdict,
    verdict_when_read,
)
from zones.engineering.quantities import QuantityError, questioned, rounded_down, rounded_up
from zones.engineering.sources import DATA_SHEET, DESIGN_ENTRY, EN_54_4, IEEE_485, PEUKERT, PRACTICE, RECORD
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice

MOTOR_TIME = "motor time of one operation"
ENOUGH_VOLTAGE = "enough voltage at"
_CAPACITY_FORMULA = "capacity = ageing × cold × (quiescent × standby + D × operating × time of operations)"


def check_battery(
    panel: str,
    battery: BatterySet,
    duty: BatteryDuty,
    *,
    assessed_on: date | None = None,
    practice: TradePractice = TRADE_PRACTICE,
) -> list[Finding]:
    """Capacity, discharge current, charger and age; each missing figure leaves its own check without verdict."""
    findings = _questions(panel, battery)
    if gaps := missing_figures(panel, battery, duty):
        findings += gaps
    else:
        try:
            needed = needed_capacity(battery, duty)
        except ColderThanTable:
            findings.append(_too_cold(panel, battery))
        except QuantityError as error:
            findings.append(fail("battery.capacity", panel, f"{panel}: {error.in_words()}", PRACTICE))
        else:
            findings.append(_capacity_finding(panel, battery, duty, needed, practice))
            findings.append(_duration_finding(panel, battery, duty, needed, practice))
    findings += _current_findings(panel, battery, duty, practice)
    findings += starting_findings(panel, battery, duty)
    findings += _charger_findings(panel, battery, duty, practice)
    return findings + age_findings(panel, battery, assessed_on, practice)


def _questions(panel: str, battery: BatterySet) -> list[Finding]:
    asked = (
        ("capacity", "capacity_ah"),
        ("standby", "standby_h"),
        ("operations", "operations"),
        ("temperature", "coldest_c"),
        ("temperature", "usual_c"),
        ("years", "design_life_years"),
        ("discharge_current", "greatest_current_a"),
        ("current", "fuse_a"),
        ("current", "charging_limit_a"),
        ("exponent", "peukert_exponent"),
    )
    sentences = (questioned(q, getattr(battery, field), field=field, subject="battery") for q, field in asked)
    return [question("figure.unusual", panel, f"{panel}: {words}", PRACTICE) for words in sentences if words]


def needed_capacity(battery: BatterySet, duty: BatteryDuty) -> RequiredCapacity:
    """What the basis of a battery asks for. Call it when :func:`missing_figures` finds none.

    Raises:   QuantityError: figures that no battery can have; colder than the temperature table.
    """
    return required_capacity(
        battery.basis,
        quiescent_a=duty.quiescent_a,
        operating_a=duty.operating_a,
        standby_h=battery.standby_h,
        # Bases that do not ask for operations ignore the number; the others were refused above without one.
        operations=battery.operations or 1,
        seconds_each=duty.seconds_each,
        temperature_c=battery.coldest_c,
    )


def missing_figures(panel: str, battery: BatterySet, duty: BatteryDuty) -> list[Finding]:
    """One finding for each figure without which the capacity cannot be computed."""
    wanted = [
        ("capacity of the battery", battery.capacity_ah, DATA_SHEET),
        ("basis and edition of the standby period", battery.basis, DESIGN_ENTRY),
        ("quiescent current of the panel", duty.quiescent_a, DATA_SHEET),
        ("current of the panel in alarm", duty.panel_alarm_a, DATA_SHEET),
        ("current of all motors together", duty.motors_a, DATA_SHEET),
        ("coldest temperature of the battery", battery.coldest_c, RECORD),
    ]
    if battery.basis is not None and battery.basis.per_operation:
        wanted.append(("number of operations after standby", battery.operations, DESIGN_ENTRY))
        wanted.append((MOTOR_TIME, duty.seconds_each, DATA_SHEET))
    return [
        _too_little_voltage(panel, duty)
        if what == MOTOR_TIME and duty.stuck
        else missing("battery.capacity", panel, what, [], source, not_checked=f"battery of {panel}")
        for what, value, source in wanted
        if value is None
    ]


def _too_little_voltage(panel: str, duty: BatteryDuty) -> Finding:
    words = (
        f"battery of {panel} not checked: too little voltage at {listed(duty.stuck, limit=1)} to run at the end of "
        f"battery discharge. Put the voltage right first."
    )
    what = f"{ENOUGH_VOLTAGE} {duty.stuck[0]}"
    return Finding("battery.capacity", Severity.MISSING, panel, words, DATA_SHEET, (Figure(what, None),))


def _too_cold(panel: str, battery: BatterySet) -> Finding:
    words = (
        f"{panel}: the battery stands at {battery.coldest_c:g} °C, colder than the table goes "
        f"({TEMPERATURE_FACTORS[0][0]:g} °C): its capacity is not checked. Ask its maker, or place it warmer."
    )
    inputs = (Figure("coldest temperature of the battery", battery.coldest_c, "°C"),)
    return Finding("battery.capacity", Severity.MISSING, panel, words, IEEE_485, inputs)


def _capacity_finding(
    panel: str, battery: BatterySet, duty: BatteryDuty, needed: RequiredCapacity, practice: TradePractice
) -> Finding:
    passed = battery.capacity_ah >= needed.capacity_ah
    told = partial(_capacity_told, panel, battery, duty, needed, practice)
    return verdict_when_read("battery.capacity", panel, passed, told)


def _capacity_told(
    panel: str, battery: BatterySet, duty: BatteryDuty, needed: RequiredCapacity, practice: TradePractice
) -> Finding:
    basis, capacity_ah = battery.basis, battery.capacity_ah
    wanted_ah = rounded_up(needed.capacity_ah, 2)
    block_ah = sufficient_size_ah(battery, duty, practice)
    inputs = (
        Figure("basis", basis.name),
        Figure("quiescent current", duty.quiescent_a, "A"),
        Figure("standby", basis.standby_h if battery.standby_h is None else battery.standby_h, "h"),
        Figure("operating current", round(duty.operating_a, 3), "A"),
        Figure("time of operations", needed.operation_s, "s"),
        Figure("discharge factor D", needed.discharge_factor),
        Figure("ageing factor", needed.ageing_factor),
        *((Figure("ageing factor and D from", basis.borrowed),) if basis.borrowed else ()),
        Figure("cold factor", round(needed.temperature_factor, 3)),
        Figure("required capacity", wanted_ah, "Ah"),
        Figure("standard size that suffices", block_ah, "Ah"),
        Figure("standby that this battery holds", _held_h(battery, duty, needed), "h"),
    )
    remedy = remedy_in_words(battery, duty, practice)
    return verdict(
        *("battery.capacity", panel, capacity_ah >= needed.capacity_ah),
        f"{panel}: the battery has {capacity_ah:g} Ah, {wanted_ah:g} Ah are required",
        f"{panel}: the battery has {capacity_ah:g} Ah, {rounded_up(needed.capacity_ah - capacity_ah, 2):g} Ah less "
        f"than the {wanted_ah:g} Ah required ({_whose(battery)}). {remedy}",
        *(basis.source, inputs, _CAPACITY_FORMULA),
        limit=_whose(battery),
        compared=at_least(capacity_ah, wanted_ah, "Ah", capacity_ah - needed.capacity_ah),
    )


def sufficient_size_ah(battery: BatterySet, duty: BatteryDuty, practice: TradePractice) -> float | None:
    """The smallest standard set that both the capacity and the duration ask for, Ah; ``None``: none does."""
    needed = needed_capacity(battery, duty)
    start_ah = next_standard_size_ah(needed.capacity_ah, practice.standard_battery_ah)
    sizes = [] if start_ah is None else [size for size in practice.standard_battery_ah if size >= start_ah]
    return next((size for size in sizes if _lasts_s(battery, size, duty, needed, practice) >= needed.operation_s), None)


def remedy_in_words(battery: BatterySet, duty: BatteryDuty, practice: TradePractice) -> str:
    """What would do, with all that this check asks of it: size, current, charger."""
    size_ah = sufficient_size_ah(battery, duty, practice)
    if size_ah is None:
        return "No standard block is enough: lower the load or share it."
    gives_a = rounded_up(max(duty.operating_a, (duty.starting_a or 0.0) + duty.panel_alarm_a), 1)
    words = f"Fit {size_ah:g} Ah that gives {gives_a:g} A"
    if duty.quiescent_a is None:
        return f"{words}."
    charger_a = charger_current_a(size_ah, quiescent_a=duty.quiescent_a, practice=practice)
    if duty.charger_a is not None and duty.charger_a < charger_a:
        words += f", with a charger of {rounded_up(charger_a, 2):g} A"
    return f"{words}."


def _whose(battery: BatterySet) -> str:
    """Whose limit it is: with hours of standby of somebody's own it is no longer that of the basis alone."""
    basis, own_h = battery.basis, battery.standby_h
    if own_h is None or own_h == basis.standby_h:
        return basis.name
    return f"{basis.name}; {own_h:g} h of standby entered in place of its {basis.standby_h:g} h"


def _held_h(battery: BatterySet, duty: BatteryDuty, needed: RequiredCapacity) -> float | None:
    """Standby hours that leave enough for the operations, rounded down; ``None``: not even at once."""
    if not duty.quiescent_a:
        return None
    held_h = standby_hours_left(
        battery.capacity_ah,
        quiescent_a=duty.quiescent_a,
        operating_a=duty.operating_a,
        operation_s=needed.operation_s,
        discharge_factor=needed.discharge_factor,
        ageing_factor=needed.ageing_factor * needed.temperature_factor,
    )
    return None if held_h is None else rounded_down(held_h, 1)


def _current_findings(panel: str, battery: BatterySet, duty: BatteryDuty, practice: TradePractice) -> list[Finding]:
    """Ampere-hours alone do not start motors: greatest current and fuse."""
    if duty.motors_a is None or duty.panel_alarm_a is None:
        return []  # said with the capacity
    current_a, code = duty.operating_a, "battery.current"
    findings = []
    for what, limit_a, remedy in (
        ("greatest discharge current", battery.greatest_current_a, "Fit a larger battery"),
        ("fuse", battery.fuse_a, "Ask the maker of the panel for a larger fuse of the battery with leads to suit"),
    ):
        if limit_a is None:
            unchecked = f"{what} of the battery of {panel}"
            findings.append(missing(code, panel, what, ["the battery"], DATA_SHEET, not_checked=unchecked))
            continue
        told = partial(_current_told, panel, current_a, what, limit_a, remedy)
        findings.append(verdict_when_read(code, panel, current_a <= limit_a, told))
    c_rate = current_a / battery.capacity_ah if battery.capacity_ah else 0.0
    if c_rate > practice.discharge_c_rate_questioned:
        words = (
            f"{panel}: {current_a:.2f} A from {battery.capacity_ah:g} Ah is {c_rate:.1f} times its capacity in an "
            f"hour; the discharge law is rough there. Ask the battery's maker for voltage and time at that current."
        )
        findings.append(
            question("battery.rate", panel, words, PEUKERT, (Figure("current / capacity", round(c_rate, 2), "A/Ah"),))
        )
    return findings


def _current_told(panel, current_a, what, limit_a, remedy):
    inputs = (Figure("operating current", round(current_a, 3), "A"), Figure(what, limit_a, "A"))
    return verdict(
        *("battery.current", panel, current_a <= limit_a),
        f"{panel}: {current_a:.2f} A from the battery, {what} {limit_a:g} A",
        f"{panel}: {current_a:.2f} A from the battery, {current_a - limit_a:.2f} A above its {what} of "
        f"{limit_a:g} A. {remedy}, or open in groups.",
        *(DATA_SHEET, inputs, "motors together + panel"),
        compared=at_most(round(current_a, 2), limit_a, "A", limit_a - current_a),
    )


def _lasts_s(battery, capacity_ah, duty, needed: RequiredCapacity, practice: TradePractice) -> float:
    """How long a battery of a size lasts at the operating current after standby, s."""
    exponent = battery.peukert_exponent or practice.peukert_exponent
    usable_ah = capacity_ah / (needed.ageing_factor * needed.temperature_factor)
    whole_s = 3600 * peukert_nameplate_h(usable_ah, practice.peukert_hours, duty.operating_a, exponent)
    return whole_s * max(0.0, 1 - needed.standby_ah / usable_ah)


def _duration_finding(panel, battery, duty, needed: RequiredCapacity, practice: TradePractice) -> Finding:
    passed = _lasts_s(battery, battery.capacity_ah, duty, needed, practice) >= needed.operation_s
    told = partial(_duration_told, panel, battery, duty, needed, practice)
    return verdict_when_read("battery.duration", panel, passed, told)


def _duration_told(panel, battery, duty, needed: RequiredCapacity, practice: TradePractice) -> Finding:
    """Whether what is left after standby lasts at the operating current, by Peukert's law.

    Standby uses up a share of the battery; the remaining share of the time that the whole battery would last
    at the operating current is left.
    """
    exponent = battery.peukert_exponent or practice.peukert_exponent
    usable_ah = battery.capacity_ah / (needed.ageing_factor * needed.temperature_factor)
    lasts_s = _lasts_s(battery, battery.capacity_ah, duty, needed, practice)
    inputs = (
        Figure("capacity when old and cold", round(usable_ah, 2), "Ah"),
        Figure("used by standby", round(needed.standby_ah, 2), "Ah"),
        Figure("operating current", round(duty.operating_a, 3), "A"),
        Figure("exponent", exponent),
        Figure("time of operations", needed.operation_s, "s"),
    )
    lasting = f"{panel}: after standby the battery lasts {int(lasts_s)} s at {duty.operating_a:.2f} A"
    return verdict(
        *("battery.duration", panel, lasts_s >= needed.operation_s),
        f"{lasting}, {needed.operation_s:g} s are needed",
        f"{lasting}, {needed.operation_s - int(lasts_s):.0f} s too short. {remedy_in_words(battery, duty, practice)}",
        *(PEUKERT, inputs, "time = H × (C/(I × H))^k × share left after standby"),
        limit=_whose(battery),
        compared=at_least(int(lasts_s), needed.operation_s, "s", lasts_s - needed.operation_s),
    )


def _charger_findings(panel: str, battery: BatterySet, duty: BatteryDuty, practice: TradePractice):
    code, unchecked = "battery.charger", f"charger of {panel}"
    wanted = (
        ("capacity of the battery", battery.capacity_ah),
        ("quiescent current of the panel", duty.quiescent_a),
        ("charger current", duty.charger_a),
    )
    gaps = [what for what, value in wanted if value is None]
    if gaps:
        return [missing(code, panel, " and ".join(gaps), [], DATA_SHEET, not_checked=unchecked)]
    least_a = charger_current_a(battery.capacity_ah, quiescent_a=duty.quiescent_a, practice=practice)
    told = partial(_charger_told, panel, battery, duty, least_a, practice)
    return [verdict_when_read(code, panel, duty.charger_a >= least_a, told), *_too_strong(panel, battery, duty)]


def _charger_told(panel, battery, duty, least_a, practice):
    inputs = (
        Figure("capacity", battery.capacity_ah, "Ah"),
        Figure("quiescent current", duty.quiescent_a, "A"),
        Figure("charger current", duty.charger_a, "A"),
        Figure("charging efficiency", practice.charging_efficiency),
    )
    if battery.usual_c is not None:
        float_v = float_voltage_v(battery.usual_c, round(practice.cells))
        inputs += (Figure("float voltage at the usual temperature", round(float_v, 2), "V"),)
    wanted_a = rounded_up(least_a, 2)
    return verdict(
        *("battery.charger", panel, duty.charger_a >= least_a),
        f"{panel}: the charger gives {duty.charger_a:g} A, {wanted_a:g} A are needed for 80 % in 24 h",
        f"{panel}: the charger gives {duty.charger_a:g} A; {wanted_a:g} A are needed to bring "
        f"{battery.capacity_ah:g} Ah back to 80 % in 24 h beside the quiescent load. Fit a stronger charger.",
        *(EN_54_4, inputs, "charger = 0.8 × capacity/(24 h × efficiency) + quiescent"),
        compared=at_least(duty.charger_a, wanted_a, "A", duty.charger_a - least_a),
    )


def _too_strong(panel: str, battery: BatterySet, duty: BatteryDuty) -> list[Finding]:
    """The charger within what the blocks may be charged with: more boils them out."""
    code, most_a = "battery.charging_limit", battery.charging_limit_a
    if most_a is None:
        what, unchecked = "greatest charging current of the battery", f"whether the charger of {panel} is too strong"
        return [missing(code, panel, what, [], DATA_SHEET, not_checked=unchecked)]
    told = partial(_charging_limit_told, panel, duty.charger_a, most_a)
    return [verdict_when_read(code, panel, duty.charger_a <= most_a, told)]


def _charging_limit_told(panel, charger_a, most_a):
    inputs = (Figure("charger current", charger_a, "A"), Figure("greatest charging current", most_a, "A"))
    return verdict(
        *("battery.charging_limit", panel, charger_a <= most_a),
        f"{panel}: the charger gives {charger_a:g} A, the battery bears {most_a:g} A",
        f"{panel}: the charger gives {charger_a:g} A, {rounded_up(charger_a - most_a, 2):g} A more than the "
        f"battery may be charged with ({most_a:g} A). Limit the charger, or fit a larger battery.",
        *(DATA_SHEET, inputs, "charger current against the battery's greatest charging current"),
        compared=at_most(charger_a, most_a, "A", most_a - charger_a),
    )
