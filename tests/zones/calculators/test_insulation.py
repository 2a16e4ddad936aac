"""Insulation and continuity by hand. Limits: IEC 60364-6 [S2]; resistances: IEC 60228 [S2]."""

import pytest
from django.urls import reverse

from tests.zones.calculators.ask import page
from zones.calculators.views.index import PAGES

pytestmark = pytest.mark.django_db
URL = "calculator-insulation"


def test_a_reading_against_the_limit_of_its_kind_of_circuit(engineer):
    """0.5 MΩ at 250 V for SELV and PELV; 1 MΩ at 500 V up to 500 V."""
    extra_low = {"kind": "SELV or PELV", "tested_v": "250", "reading_megohm": "0.4"}
    assert "0.4 MΩ at 250 V, below the 0.5 MΩ required. Do not energise" in page(engineer, URL, 200, **extra_low)
    assert "above the 0.5 MΩ required but low" in page(engineer, URL, 200, **extra_low | {"reading_megohm": "0,6"})
    mains = {"kind": "up to and including 500 V", "tested_v": "500", "reading_megohm": "0.6"}
    assert "at 500 V, below the 1 MΩ required" in page(engineer, URL, 200, **mains)


def test_all_calculators_stand_in_a_bar_the_one_that_is_open_marked(engineer):
    siblings = engineer.get(reverse(URL)).context["siblings"]
    assert [one["word"] for one in siblings if one["is_here"]] == ["Insulation"]
    assert len(siblings) == len(PAGES)


def test_without_the_kind_of_circuit_there_is_no_verdict(engineer):
    assert "Kind of circuit of the cable not known" in page(engineer, URL, 200, reading_megohm="50")


def test_without_the_test_voltage_there_is_no_verdict(engineer):
    shown = page(engineer, URL, 200, kind="SELV or PELV", reading_megohm="50")
    assert "Test voltage of the cable not known" in shown


def test_three_cables_together_read_less_and_a_longer_one_too(engineer):
    """1/(1/6 + 1/3 + 1/2) = 1 MΩ; 10 MΩ of 50 m are 5 MΩ in 100 m."""
    readings = {"reading_megohm": "6", "second_megohm": "3", "third_megohm": "2"}
    shown = page(engineer, URL, 200, kind="SELV or PELV", tested_v="250", **readings)
    assert "3 cables together: 1 MΩ at 250 V" in shown
    assert "would read about 5 MΩ" in page(engineer, URL, 200, reading_megohm="10", measured_m="50", length_m="100")


def test_a_core_of_100_m_of_2_5_mm2(engineer):
    """7.41 Ω/km: 0.741 Ω."""
    assert "read at most 0.741 Ω at 20 °C" in page(engineer, URL, 200, core_m="100", size="2.5", conductor_class="2")
