"""Standby battery by hand. Values: handbook of calculations, 2.2 to 2.6; each basis names its own document."""

import pytest

from tests.zones.calculators.ask import page

pytestmark = pytest.mark.django_db
URL = "calculator-battery"

# Handbook 2.2: 0.15 A, 72 h, 8 A, 180 s (EN 12101-10 with the method of BS 5839-1).
VENTS = {
    "basis": "en-12101-10-2005-72h",
    "quiescent_a": "0.15",
    "panel_alarm_a": "0",
    "motors_a": "8",
    "operations": "2",
    "seconds_each": "55",
    "coldest_c": "25",
}
NO_MOTORS_TIME = {"operations": "", "seconds_each": ""}


def asked(client, status=200, /, **changes):
    return page(client, URL, status, **{name: value for name, value in {**VENTS, **changes}.items() if value})


def test_an_empty_form_shows_a_hint(engineer):
    assert "Choose the basis" in page(engineer, URL)


def test_standby_of_three_days_needs_what_the_handbook_says(engineer):
    text = asked(engineer)
    assert "14.38 Ah are required (EN 12101-10:2005, 72 h" in text and "the next standard size is 17 Ah" in text
    assert "8 A largest discharge" in text
    assert "discharge factor D 1.75" in text.replace("Discharge", "discharge")


@pytest.mark.parametrize(
    ("basis", "rest", "motors", "needed"),
    [
        ("bs-5839-1-2025", "0.25", "0.75", "8.33"),  # BS 5839-1 annex E, published parts 6 + 0.656: 8.320, rounded up
        ("vde-0833-30h", "1.5", "7.5", "48.75"),  # VDE 0833: 1.5 A × 30 h + 7.5 A × 0.5 h
        ("nfpa-72-2019", "0.42", "3.8", "12.48"),  # NFPA 72: 10.397 × 1.2
        ("nfpa-72-2019", "0.25", "1.5", "7.35"),
        ("nfpa-72-2022", "0.25", "1.5", "7.66"),  # factor 1.25 since the 2022 edition
    ],
)
def test_each_basis_asks_for_its_published_capacity(engineer, basis, rest, motors, needed):
    text = asked(engineer, basis=basis, quiescent_a=rest, motors_a=motors, **NO_MOTORS_TIME)
    assert f"{needed} Ah are required" in text


def test_a_cold_battery_needs_more(engineer):
    """Handbook 2.4, IEEE 485 [M]: × 1.19 at 10 °C, so that 17 Ah no longer hold 14.375 Ah."""
    assert "17.11 Ah are required" in asked(engineer, coldest_c="10")
    too_cold = asked(engineer, coldest_c="-20")
    assert "Cold is not allowed for: -20 °C is colder than the table goes" in too_cold


def test_without_a_temperature_the_capacity_is_a_lower_limit_and_no_verdict(engineer):
    text = asked(engineer, coldest_c="", capacity_ah="24")
    assert "14.38 Ah are required" in text and "Cold is not allowed for" in text
    assert "coldest temperature of the battery not known" in text.lower()
    assert "the battery has 24 Ah" not in text


def test_many_operations_ask_for_more_than_the_180_seconds(engineer):
    assert "time of operations 180 s" in asked(engineer).lower()
    assert "time of operations 550 s" in asked(engineer, operations="10").lower()


def test_a_battery_is_judged_by_capacity_current_and_charger(engineer):
    """Handbook 2.6: the charger of 17 Ah gives 0.667 A, the panel's 0.15 A beside it: 0.817 A."""
    battery = {"greatest_current_a": "170", "fuse_a": "20"}
    good = asked(engineer, capacity_ah="17", charger_a="0.82", **battery)
    assert "the battery has 17 Ah, 14.38 Ah are required: within the entered limit" in good
    assert "fuse 20 A: within the entered limit (data sheet)" in good
    assert "0.82 A charger for 17 Ah" in good and "EN 54-4:1997" in good
    bad = asked(engineer, capacity_ah="12", charger_a="0.3", greatest_current_a="5", fuse_a="20")
    assert (
        "2.38 Ah less than the 14.38 Ah required" in bad
        and "Fit 17 Ah that gives 8 A, with a charger of 0.82 A." in bad
    )
    assert "3.00 A above its greatest discharge current of 5 A" in bad
    assert "not met" in bad and "compliant" not in bad.lower()


@pytest.mark.parametrize(
    ("name", "what"),
    [
        ("basis", "basis and edition of the standby period"),
        ("quiescent_a", "quiescent current of the panel"),
        ("panel_alarm_a", "current of the panel in alarm"),
        ("operations", "number of operations after standby"),
        ("seconds_each", "motor time of one operation"),
        ("motors_a", "current of all motors together"),
    ],
)
def test_a_missing_figure_gives_no_verdict(engineer, name, what):
    text = asked(engineer, capacity_ah="17", **{name: ""})
    assert f"{what} not known" in text.lower()
    assert text.lower().count(f"{what} not known: battery of this panel") == 1
    assert "are required" not in text


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("motors_a", "8000", "8000 is not possible: it must be greater than 0 and at most 200 A. Typed in mA? 8000 mA"),
        ("quiescent_a", "150", "Typed in mA? 150 mA is 0.15 A."),
        ("basis", "bs-1666", "'bs-1666' is not one of the choices."),
        ("operations", "1.5", "it must be a whole number"),
        ("coldest_c", "900", "900 is not possible: it must be at least -60 and at most 150 °C."),
        ("motors_a", "nan", "'nan' is not a number"),
    ],
)
def test_bad_input_is_told_at_its_field(engineer, name, typed, sentence):
    assert sentence in asked(engineer, 422, **{name: typed})


def test_two_currents_that_together_are_too_much_are_told(engineer):
    assert "210 is not possible: it must be greater than 0 and at most 200 A." in asked(
        engineer, 422, motors_a="195", panel_alarm_a="15"
    )
