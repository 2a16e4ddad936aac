"""Findings about the standby battery."""

from dataclasses import replace
from datetime import date

import pytest

from tests.zones.engineering.designs import ASSESSED_ON, codes, make_circuit, make_panel, only
from zones.engineering import STANDBY_BASES, BatterySet, QuantityError, Severity, TradePractice, check_panel
from zones.engineering.battery_check import BatteryDuty, check_battery
from zones.engineering.sources import AGEING_RULE, PRACTICE

EIGHT_AMPERES = BatteryDuty(quiescent_a=0.15, panel_alarm_a=0.0, motors_a=8.0, seconds_each=60.0, charger_a=1.0)


def battery(**changes):
    return replace(make_panel().battery, **({"operations": 1, "coldest_c": 25.0} | changes))


def check(battery_set=None, duty=EIGHT_AMPERES, **more):
    return check_battery("panel P1", battery_set or battery(), duty, **({"assessed_on": ASSESSED_ON} | more))


def test_17_ah_hold_what_the_handbook_requires_and_12_do_not():
    # 14.38 Ah, next block 17 Ah: handbook 2.2
    assert only(check(), "battery.capacity").severity == Severity.MEETS
    finding = only(check(battery(capacity_ah=12.0)), "battery.capacity")
    assert finding.severity == Severity.FAIL
    assert "has 12 Ah, 2.38 Ah less than the 14.38 Ah required" in finding.sentence
    assert finding.sentence.endswith("Fit 17 Ah that gives 8 A.")
    assert finding.source.edition == "2005"
    held_h = next(figure.value for figure in finding.inputs if figure.name == "standby that this battery holds")
    assert held_h == 59.3  # 12 Ah: handbook 2.6


def test_hours_of_standby_of_somebodys_own_are_named_beside_the_basis():
    findings = check(battery(capacity_ah=7.0, standby_h=4.0))
    for code in ("battery.capacity", "battery.duration"):
        sentence = only(findings, code).sentence
        assert "72 h (no earlier repair assured); 4 h of standby entered in place of its 72 h)" in sentence
    assert "in place of" not in only(check(battery(standby_h=72.0)), "battery.capacity").sentence


def test_more_operations_than_last_an_hour_are_judged():
    finding = only(check(battery(operations=80, capacity_ah=38.0)), "battery.capacity")
    assert "4800" in {f"{figure.value:g}" for figure in finding.inputs if figure.name == "time of operations"}


def test_cold_takes_the_17_ah_battery_below_its_requirement():
    finding = only(check(battery(coldest_c=10.0)), "battery.capacity")
    assert finding.severity == Severity.FAIL
    assert finding.sentence.endswith("Fit 24 Ah that gives 8 A, with a charger of 1.1 A.")  # 17.1 Ah: handbook 2.4


def test_enough_ampere_hours_are_not_enough_current():
    """Handbook 2.2 and 2.5: 1.63 Ah required after 4 h; 8 A from 2.2 Ah is absurd."""
    small = battery(capacity_ah=2.2, basis=STANDBY_BASES["en-12101-10-2005-4h"], greatest_current_a=6.6)
    findings = check(small)
    assert only(findings, "battery.capacity").severity == Severity.MEETS
    greatest = next(one for one in findings if one.code == "battery.current")
    assert greatest.severity == Severity.FAIL
    assert "1.40 A above its greatest discharge current of 6.6 A" in greatest.sentence
    assert "3.6 times its capacity" in only(findings, "battery.rate").sentence


def test_too_small_a_fuse_asks_for_a_larger_fuse_and_no_larger_battery():
    found = [one for one in check(battery(fuse_a=6.0)) if one.code == "battery.current"]
    sentence = next(one.sentence for one in found if one.severity == Severity.FAIL)
    assert "2.00 A above its fuse of 6 A" in sentence
    assert "larger fuse" in sentence and "larger battery" not in sentence


def test_the_battery_must_last_at_the_operating_current():
    tired = battery(capacity_ah=14.4, greatest_current_a=100.0)
    assert only(check(tired), "battery.duration").severity == Severity.MEETS
    longer = replace(EIGHT_AMPERES, motors_a=30.0)
    assert only(check(tired, longer), "battery.duration").severity == Severity.FAIL


def test_a_battery_emptied_by_standby_lasts_no_second():
    finding = only(check(battery(capacity_ah=7.0)), "battery.duration")
    assert finding.severity == Severity.FAIL
    assert "lasts 0 s" in finding.sentence


@pytest.mark.parametrize(
    ("unknown", "what"),
    [
        ({"capacity_ah": None}, "capacity of the battery"),
        ({"basis": None}, "basis and edition of the standby period"),
        ({"operations": None}, "number of operations after standby"),
        ({"coldest_c": None}, "coldest temperature of the battery"),
    ],
)
def test_a_missing_figure_of_the_battery_gives_no_verdict_on_capacity(unknown, what):
    finding = only(check(battery(**unknown)), "battery.capacity")
    assert finding.severity == Severity.MISSING
    assert finding.sentence.startswith(f"{what} not known: battery of panel P1 not checked")


@pytest.mark.parametrize("unknown", ["quiescent_a", "panel_alarm_a", "motors_a", "seconds_each"])
def test_a_missing_figure_of_the_duty_gives_no_verdict_on_capacity(unknown):
    duty = replace(EIGHT_AMPERES, **{unknown: None})
    assert only(check(duty=duty), "battery.capacity").severity == Severity.MISSING


def test_an_unknown_greatest_current_is_missing_while_capacity_is_judged():
    findings = check(battery(greatest_current_a=None))
    assert only(findings, "battery.capacity").severity == Severity.MEETS
    assert codes(findings, Severity.MISSING) == ["battery.current"]


def test_what_the_panel_takes_in_alarm_adds_to_the_motors():
    busy = replace(EIGHT_AMPERES, panel_alarm_a=0.5)
    findings = check(battery(fuse_a=8.2), busy)
    fuse = [one for one in findings if one.code == "battery.current"][1]
    assert fuse.severity == Severity.FAIL
    assert "8.50 A from the battery" in fuse.sentence
    assert only(check(battery(capacity_ah=14.4), busy), "battery.capacity").severity == Severity.FAIL


def test_the_current_is_judged_even_where_the_capacity_cannot_be():
    for gap in ({"coldest_c": -5.0}, {"basis": None}, {"operations": None}):
        findings = check(battery(fuse_a=6.0, **gap))
        assert only(findings, "battery.capacity").severity == Severity.MISSING
        assert codes(findings, Severity.FAIL) == ["battery.current"]


def test_other_bases_do_not_ask_for_the_number_of_operations():
    nfpa = battery(basis=STANDBY_BASES["nfpa-72-2022"], operations=None)
    assert only(check(nfpa), "battery.capacity").severity == Severity.MEETS


def test_a_place_colder_than_the_table_gives_no_verdict():
    finding = only(check(battery(coldest_c=-5.0)), "battery.capacity")
    assert finding.severity == Severity.MISSING
    assert "stands at -5 °C, colder than the table goes (4.4 °C)" in finding.sentence


def test_the_charger_must_bring_back_80_percent_beside_the_quiescent_load():
    # 17 Ah: 0.667 A (handbook 2.6) + 0.15 A
    assert only(check(duty=replace(EIGHT_AMPERES, charger_a=0.82)), "battery.charger").severity == Severity.MEETS
    weak = only(check(duty=replace(EIGHT_AMPERES, charger_a=0.81)), "battery.charger")
    assert weak.severity == Severity.FAIL
    assert "gives 0.81 A; 0.82 A are needed" in weak.sentence
    assert only(check(duty=replace(EIGHT_AMPERES, charger_a=None)), "battery.charger").severity == Severity.MISSING


def age(**changes):
    return only(check(battery(**changes)), "battery.age")


def test_age_is_judged_for_the_day_given():
    assert age(made_on=date(2025, 1, 6)).severity == Severity.MEETS
    assert age(made_on=date(2022, 5, 1)).severity == Severity.QUESTION  # due within half a year
    overdue = age(made_on=date(2022, 1, 3))
    assert overdue.severity == Severity.FAIL
    assert "is due for replacement on 3 Jan 2026, 58 days ago" in overdue.sentence


def test_the_source_of_an_age_is_what_decides_the_day():
    """Four years of common practice, or a life that heat has halved twice: 10 years at 40 °C are 2.5 (handbook 2.6)."""
    assert age(made_on=date(2022, 1, 3)).source == PRACTICE
    assert age(made_on=date(2022, 1, 3), usual_c=40.0).source == AGEING_RULE


def test_without_a_day_the_due_date_is_only_told():
    finding = only(check(assessed_on=None), "battery.age")
    assert finding.severity == Severity.NOTE
    assert "6 Jan 2029" in finding.sentence  # four years after 6 January 2025
    assert finding.source == PRACTICE


def test_an_unknown_age_names_the_date_that_is_missing():
    finding = age(made_on=None, date_code="")
    assert finding.severity == Severity.MISSING
    assert [(one.name, one.value) for one in finding.inputs] == [("date of manufacture", None)]


def test_a_warm_room_brings_the_date_forward():
    assert age(made_on=date(2023, 9, 1)).severity == Severity.MEETS
    assert age(made_on=date(2023, 9, 1), usual_c=40.0).severity == Severity.QUESTION


def test_an_ambiguous_date_code_is_asked_about():
    finding = age(made_on=None, date_code="2403")
    assert finding.severity == Severity.QUESTION
    assert "week 3 of 2024 (15 Jan 2024) or YYMM: month 3 of 2024 (1 Mar 2024)" in finding.sentence


def test_a_reading_after_the_day_of_assessment_is_no_longer_asked_about():
    finding = age(made_on=None, date_code="2607")  # week 7, or July, which has not come on 2 March 2026
    assert finding.severity == Severity.MEETS
    assert "the battery of 9 Feb 2026" in finding.sentence


@pytest.mark.parametrize("code", ["??", "9912", "2024-13-45"])
def test_a_date_code_that_nobody_can_read_leaves_the_age_not_known(code):
    finding = age(made_on=None, date_code=code)
    assert finding.severity == Severity.MISSING  # nobody knows the age: neither met nor not met
    assert f"date code '{code}' cannot be read as a day" in finding.sentence
    assert "age of the battery of panel P1 not checked" in finding.sentence
    assert "Enter the day of manufacture as a date" in finding.sentence


@pytest.mark.parametrize("unknown", ["design_life_years", "usual_c", "made_on"])
def test_a_missing_figure_of_age_gives_no_verdict(unknown):
    assert age(**{unknown: None}).severity == Severity.MISSING


def test_a_firm_that_replaces_earlier_gets_an_earlier_date():
    findings = check(battery(made_on=date(2023, 2, 1)), practice=TradePractice(battery_service_years=3.0))
    assert only(findings, "battery.age").severity == Severity.FAIL


@pytest.mark.parametrize("changes", [{"capacity_ah": 0}, {"fuse_a": -1}, {"made_on": date(9999, 12, 31)}])
def test_impossible_figures_of_a_battery_are_refused(changes):
    with pytest.raises(QuantityError, match="of battery is"):
        BatterySet(**changes)


def test_ampere_hours_typed_in_milliampere_hours_are_named():
    with pytest.raises(QuantityError, match="7000 mAh is 7 Ah"):
        BatterySet(capacity_ah=7_000)


@pytest.mark.parametrize(("key", "borrows"), [("en-12101-10-2005-72h", True), ("bs-5839-1-2025", False)])
def test_what_the_basis_borrows_stands_among_the_figures_of_the_capacity(key, borrows):
    figures = {one.name: one.value for one in only(check(battery(basis=STANDBY_BASES[key])), "battery.capacity").inputs}
    assert ("BS 5839-1" in str(figures.get("ageing factor and D from"))) == borrows


def test_where_motors_do_not_run_at_the_end_of_discharge_the_voltage_comes_before_the_battery():
    circuit = make_circuit(count=2, section_m=350.0, actuator={"minimum_voltage_v": 17.0})
    finding = only(check_panel(make_panel(circuits=(circuit,))), "battery.capacity")
    assert finding.severity == Severity.MISSING
    assert finding.sentence == (
        "battery of panel P1 not checked: too little voltage at A1.2 and 1 more to run at the end of battery "
        "discharge. Put the voltage right first."
    )
    assert finding.inputs[0].name == "enough voltage at A1.2"  # the panel's answer names it, not the motor time
