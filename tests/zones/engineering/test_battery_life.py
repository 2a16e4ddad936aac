"""Charger, float voltage, life and date codes: handbook 2.6."""

from datetime import date

import pytest

from zones.engineering.battery_life import (
    charger_current_a,
    float_voltage_v,
    life_years,
    read_date_code,
    replacement_due,
)
from zones.engineering.quantities import QuantityError


@pytest.mark.parametrize(("capacity_ah", "amperes"), [(7, 0.275), (17, 0.667), (38, 1.490)])
def test_charger_brings_80_percent_in_24_hours(capacity_ah, amperes):
    assert charger_current_a(capacity_ah) == pytest.approx(amperes, abs=5e-4)  # EN 54-4 5.3.1 b [S2]


def test_the_quiescent_load_comes_on_top():
    assert charger_current_a(17, quiescent_a=0.2) == pytest.approx(charger_current_a(17) + 0.2)


@pytest.mark.parametrize(("celsius", "volts"), [(10, 28.14), (25, 27.60), (40, 27.06)])
def test_float_voltage_falls_with_temperature(celsius, volts):
    assert float_voltage_v(celsius) == pytest.approx(volts)  # calc on [S2]


def test_no_set_has_no_cell():
    with pytest.raises(QuantityError) as refused:
        float_voltage_v(25, cells=0)
    assert refused.value.field == "cells"


@pytest.mark.parametrize(("celsius", "volts"), [(25, 2.30), (35, 2.27), (15, 2.33)])
def test_float_voltage_of_one_cell(celsius, volts):
    assert float_voltage_v(celsius, cells=1) == pytest.approx(volts)  # [S2]


@pytest.mark.parametrize(("celsius", "years"), [(20, 10.0), (25, 7.07), (30, 5.0), (40, 2.5)])
def test_life_halves_for_each_ten_kelvin(celsius, years):
    assert life_years(10, celsius) == pytest.approx(years, abs=5e-3)  # [S2]


def test_a_cold_battery_is_not_given_more_life():
    assert life_years(10, 5) == 10


@pytest.mark.parametrize(("field", "figures"), [("design_life_years", (0, 20)), ("temperature_c", (10, 200))])
def test_a_life_that_cannot_be_is_refused_by_its_name(field, figures):
    with pytest.raises(QuantityError) as refused:
        life_years(*figures)
    assert refused.value.field == field


@pytest.mark.parametrize(
    ("code", "made_on"),
    [
        ("2024-03-15", date(2024, 3, 15)),
        ("20240315", date(2024, 3, 15)),
        ("2024-W12", date(2024, 3, 18)),
        ("2024W12", date(2024, 3, 18)),
        ("24W12", date(2024, 3, 18)),
        ("2024-03", date(2024, 3, 1)),
        ("2445", date(2024, 11, 4)),  # week 45; no month 45
        ("24/45", date(2024, 11, 4)),
        (" 2445 ", date(2024, 11, 4)),
    ],
)
def test_an_unambiguous_date_code_is_read(code, made_on):
    (reading,) = read_date_code(code)
    assert reading.made_on == made_on


@pytest.mark.parametrize(
    ("code", "days"),
    [
        ("2403", [date(2024, 1, 15), date(2024, 3, 1)]),  # week 3 or March
        ("2412", [date(2024, 3, 18), date(2024, 12, 1)]),
        ("2021", [date(2020, 5, 18), date(2021, 1, 1)]),  # week 21 of 2020, or the year
    ],
)
def test_an_ambiguous_date_code_gives_every_reading_so_that_one_can_ask(code, days):
    readings = read_date_code(code)
    assert [reading.made_on for reading in readings] == days
    assert len({reading.form for reading in readings}) == len(days)


def test_a_reading_in_the_future_is_dropped():
    (reading,) = read_date_code("2412", not_after=date(2024, 6, 1))
    assert reading.form == "YYWW: week 12 of 2024"


@pytest.mark.parametrize(
    "code", ["", "2499", "0000", "1999-01-01", "2024-13-01", "2024-W60", "abc", "²²²²", "\0", "9" * 99]
)
def test_what_is_no_date_code_is_refused_with_an_example(code):
    with pytest.raises(QuantityError, match="a date code such as 2024-03-15"):
        read_date_code(code)


def test_a_battery_made_in_the_future_is_refused():
    with pytest.raises(QuantityError, match="not in the future"):
        read_date_code("2030-01-01", not_after=date(2026, 1, 1))


def test_replacement_is_due_at_the_shorter_of_service_age_and_warm_life():
    made_on = date(2020, 1, 1)
    assert replacement_due(made_on, design_life_years=10) == date(2024, 1, 1)  # about 4 years, BS 5839-1 [M]
    warm = replacement_due(made_on, design_life_years=10, temperature_c=40)
    assert abs((warm - date(2022, 7, 1)).days) <= 1  # 2.5 years
