"""Age and due date of a battery set.

About four years from manufacture: BS 5839-1 guidance, from memory; the figure is a setting of common practice. Life
halved for each 10 K above 20 °C: second-hand (calculations, batteries).
"""

from datetime import date

import pytest

from zones.engineering.battery_age import AgeBasis, battery_age

TODAY = date(2026, 6, 15)


def age(**fields):
    given = {
        "fitted_on": date(2024, 4, 8),
        "made_on": None,
        "date_code": "",
        "service_years": 4.0,
        "design_life_years": None,
        "usual_c": None,
        "not_after": TODAY,
    }
    return battery_age(**(given | fields))


def test_a_date_code_that_reads_one_way_gives_the_age():
    told = age(date_code="24W06")
    assert (told.since, told.basis, told.is_known) == (date(2024, 2, 5), AgeBasis.DATE_CODE, True)
    assert told.due_on == date(2028, 2, 5)


def test_the_day_of_manufacture_goes_before_the_date_code():
    told = age(made_on=date(2023, 11, 2), date_code="24W06")
    assert (told.since, told.basis) == (date(2023, 11, 2), AgeBasis.MADE_ON)


@pytest.mark.parametrize(
    ("date_code", "why"),
    [
        ("", "no date code recorded"),
        ("K7-B", "date code 'K7-B' cannot be read as a day"),
        ("2403", "date code '2403' can be 15 Jan 2024 or 1 Mar 2024"),
        ("24W30", "the date code gives 22 Jul 2024, after the day of fitting"),
    ],
)
def test_without_a_day_of_manufacture_the_age_is_not_known_and_counts_from_fitting(date_code, why):
    told = age(date_code=date_code)
    assert (told.since, told.basis, told.is_known) == (date(2024, 4, 8), AgeBasis.FITTED_ON, False)
    assert told.why_not_known == why


def test_a_warm_place_brings_the_due_date_forward():
    cool = age(date_code="24W06", design_life_years=5.0, usual_c=20.0)
    warm = age(date_code="24W06", design_life_years=5.0, usual_c=30.0)
    assert cool.due_on == date(2028, 2, 5)  # five years at 20 °C, renewed after four
    assert warm.due_on == date(2026, 8, 6)  # two and a half years


@pytest.mark.parametrize("known", [{"usual_c": 40.0}, {"design_life_years": 10.0}])
def test_warmth_without_a_design_life_and_life_without_a_temperature_leave_the_service_life(known):
    assert age(date_code="24W06", **known).due_on == date(2028, 2, 5)


def test_the_firms_own_figure_counts():
    assert age(date_code="24W06", service_years=3.0).due_on == date(2027, 2, 4)


def test_a_set_of_a_day_less_than_four_years_is_not_called_four():
    told = age(made_on=date(2022, 6, 16))
    assert told.years(TODAY) == 3.9
    assert told.years(date(2026, 6, 17)) == 4.0
