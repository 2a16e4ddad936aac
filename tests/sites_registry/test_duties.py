"""Which buildings come under the English high-rise duties: Fire Safety (England) Regulations 2022, regs. 3 and 7."""

from decimal import Decimal

import pytest

from sites_registry.duties import english_high_rise
from sites_registry.models import Building

TOWER = {"country": "GB-ENG", "use": "flats", "storeys": 18, "height_m": Decimal("50.4")}


def duty_of(**facts):
    return english_high_rise(Building(**{**TOWER, **facts}))


def test_a_block_of_flats_of_18_storeys_in_england_comes_under_them():
    duty = duty_of()
    assert (duty.applies, duty.may_apply, duty.is_excluded) == (True, False, False)


@pytest.mark.parametrize(
    "facts",
    [
        {"country": "GB-SCT"},
        {"country": "GB-WLS"},
        {"country": "GB-NIR"},
        {"country": "other"},
        {"use": "school"},
        {"storeys": 6, "height_m": Decimal("17.9")},
    ],
)
def test_one_condition_that_is_not_met_excludes_the_building(facts):
    assert duty_of(**facts).is_excluded


@pytest.mark.parametrize(
    "facts",
    [
        {"storeys": 7, "height_m": None},
        {"storeys": None, "height_m": Decimal(18)},
        {"storeys": 6, "height_m": Decimal(18)},
        {"storeys": 7, "height_m": Decimal("17.5")},
    ],
)
def test_either_measure_is_enough(facts):
    assert duty_of(**facts).applies


@pytest.mark.parametrize(
    ("facts", "unknown"),
    [
        ({"country": ""}, ("is in England",)),
        ({"use": "other"}, ("has two or more homes",)),
        ({"storeys": 6, "height_m": None}, ("is at least 18 m or 7 storeys high",)),
        ({"storeys": None, "height_m": Decimal("17.9")}, ("is at least 18 m or 7 storeys high",)),
        ({"country": "", "use": "other"}, ("is in England", "has two or more homes")),
    ],
)
def test_what_the_record_does_not_say_is_named(facts, unknown):
    duty = duty_of(**facts)
    assert duty.may_apply and not duty.applies and duty.unknown == unknown


def test_an_unknown_country_does_not_matter_where_the_building_is_low():
    assert duty_of(country="", storeys=2, height_m=Decimal(6)).is_excluded
