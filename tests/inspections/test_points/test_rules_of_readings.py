"""Rules of readings by themselves: planted faults are found, right readings pass, each limit says where it is from."""

import pytest

from tests.inspections.test_points.readings_on_site import FAULTS, RIGHT, RULES
from zones.engineering.readings import supplies
from zones.engineering.readings.rule import Level, rule_of


@pytest.mark.parametrize(("name", "reading", "level", "words"), FAULTS)
def test_a_planted_fault_is_found(name, reading, level, words):
    rule = RULES[name]
    assert rule.level(reading) == level
    assert words in f"{rule.limits().source} {rule.looks_like(reading)}"


@pytest.mark.parametrize(("name", "reading"), RIGHT)
def test_a_right_reading_is_none(name, reading):
    assert RULES[name].level(reading) in (Level.WITHIN, Level.NO_LIMIT)


@pytest.mark.parametrize("name", ["supply", "charger", "rest", "loaded"])
def test_no_voltage_is_not_taken_for_exchanged_leads(name):
    said = RULES[name].looks_like(0)
    assert "No voltage" in said
    assert "Negative" not in said


@pytest.mark.parametrize("name", RULES)
def test_a_rule_is_the_same_after_it_was_stored(name):
    assert rule_of(RULES[name].as_data()) == RULES[name]


def test_every_limit_names_where_it_is_from():
    assert all(rule.limits().source for name, rule in RULES.items() if name != "age")


def test_insulation_is_judged_only_by_a_reading_at_the_voltage_of_its_limit():
    """IEC 60364-6: 0.5 MΩ at 250 V DC for extra-low voltage; at less, or not known how much, only a low one tells."""
    rule = supplies.insulation()
    assert rule.asked_in_words() == "the test voltage (V DC, 250 or more) of the instrument"
    for figures in ({}, {"test_voltage_v": 100.0}):
        assert rule.with_figures(figures).level(5.0) == Level.ASKED
        assert rule.with_figures(figures).level(0.4) == Level.OUTSIDE
    assert rule.with_figures({"test_voltage_v": 500.0}).level(5.0) == Level.WITHIN
