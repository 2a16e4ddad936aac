"""Voltage drop by hand. Values: handbook of calculations, 1.1 to 1.4; resistances of IEC 60228 [S2], ASTM B258 [S2]."""

import pytest
from django.urls import reverse

from tests.zones.calculators.ask import page

pytestmark = pytest.mark.django_db
URL = "calculator-voltage-drop"

# The handbook's line: 24 V, 40 m, class 2, 20 °C; one load of 4 A.
ONE = {
    "length_m": "40",
    "size": "1.5",
    "conductor_class": "2",
    "temperature_c": "20",
    "actuators": "1",
    "rated_current_a": "4",
    "mains_v": "24",
    "discharged_v": "21.6",
    "minimum_voltage_v": "19.2",
}


def asked(client, status=200, /, **changes):
    return page(client, URL, status, **{name: value for name, value in {**ONE, **changes}.items() if value})


def test_an_empty_form_shows_a_hint_and_no_errors(engineer):
    text = page(engineer, URL)
    assert "Enter length, size and class of the cable" in text
    assert "not possible" not in text and "Nothing was calculated" not in text


@pytest.mark.parametrize(("size", "mains", "discharged"), [("1.5", "20.12", "17.72"), ("2.5", "21.62", "19.22")])
def test_constant_current_loses_what_the_handbook_says(engineer, size, mains, discharged):
    """Handbook 1.2: 4 A drop 3.872 and 2.371 V on 24 V; 17.728 and 19.229 V are left of a battery's 21.6 V."""
    text = asked(engineer, size=size)
    assert f"{mains} V of 24 V reach the far end on mains" in text
    assert f"{discharged} V of 21.6 V reach the far end at end of discharge" in text


def test_constant_power_loses_more_than_constant_current(engineer):
    """Handbook 1.2: 96 W over 1.5 mm² leave 19.146 V, over 2.5 mm² 21.332 V."""
    power = {"load": "constant power", "rated_voltage_v": "24"}
    assert "19.14 V of 24 V" in asked(engineer, **power)
    assert "21.33 V of 24 V" in asked(engineer, size="2.5", **power)


def test_four_actuators_along_the_cable_share_the_drop(engineer):
    """Handbook 1.3: 4 × 1 A, 10 m apart, 1.5 mm²: 2.420 V; all four at the end would lose 3.872 V."""
    assert "21.58 V of 24 V" in asked(engineer, actuators="4", rated_current_a="1", place="even")
    assert "20.12 V of 24 V" in asked(engineer, actuators="4", rated_current_a="1", place="end")


@pytest.mark.parametrize(("size", "longest"), [("1.5", "24.7"), ("2.5", "40.4"), ("4", "65"), ("6", "97.4")])
def test_the_longest_cable_is_the_handbooks_rounded_down(engineer, size, longest):
    """Handbook 1.3: 4 A and 2.4 V: 24.79, 40.49, 65.08, 97.40 m."""
    text = asked(engineer, size=size, discharged_v="24", minimum_voltage_v="21.6")
    assert f"{longest} m longest permissible" in text


def test_the_smallest_size_is_the_handbooks(engineer):
    """Handbook 1.3: 5 A, 30 m, 2.4 V: 2.5 mm²; its class 5 just passes."""
    changes = {"length_m": "30", "rated_current_a": "5", "discharged_v": "24", "minimum_voltage_v": "21.6"}
    assert "2.5 mm² smallest size that does" in asked(engineer, **changes)
    assert "2.5 mm² smallest size that does" in asked(engineer, conductor_class="5", **changes)


def test_an_awg_size_takes_the_resistance_of_its_table(engineer):
    """ASTM B258 [S2]: solid AWG 14 has 8.285 ohm/km; 2 × 40 m × 4 A lose 2.651 V."""
    text = asked(engineer, size="awg-14", conductor_class="1")
    assert "8.28" in text and "21.34 V of 24 V" in text


def test_an_awg_size_of_no_class_counts_as_stranded(engineer):
    """NFPA 70, chapter 9, table 8 [S2]: stranded AWG 14 has 10.3 ohm/km at 75 °C, 8.47 at 20 °C: 2.711 V."""
    text = asked(engineer, size="awg-14", conductor_class="")
    assert "8.47" in text and "21.28 V of 24 V" in text


def test_a_warm_conductor_loses_more(engineer):
    """Handbook 1.1: 1.5 mm² of class 2 at 70 °C has 14.478 ohm/km: 4.633 V."""
    assert "19.36 V of 24 V" in asked(engineer, temperature_c="70")


def test_cores_in_parallel_share_the_drop(engineer):
    """Half of the 3.872 V of one core."""
    assert "22.06 V of 24 V" in asked(engineer, cores_per_pole="2")


def test_a_known_laying_gives_the_temperature_that_the_load_brings(engineer):
    """IEC 60364-5-52, table B.52.2 [S2]: 19.5 A for 70 °C. 30 + 40 × (4/19.5)² = 31.7 °C: 3.872 × 1.0459 = 4.050 V."""
    laid = {"insulation": "thermoplastic", "method": "C", "grouped_circuits": "1", "ambient_c": "30"}
    text = asked(engineer, **laid)
    assert "19.95 V of 24 V" in text
    assert "Conductor temperature 31.7 °C" in text
    # Known in part it may only add to the temperature entered.
    assert "19.36 V of 24 V" in asked(engineer, **(laid | {"method": ""}), temperature_c="70")


@pytest.mark.parametrize(("hot", "left"), [("5", "21.16"), ("10", "20.26"), ("20", "18.47")])
def test_metres_in_the_fire_lose_what_the_handbook_says(engineer, hot, left):
    """Handbook 1.4: 2 A, 40 m of 1.5 mm², 30 min (842 °C): 2.83, 3.73, 5.53 V."""
    text = asked(
        engineer, rated_current_a="2", hot_length_m=hot, fire_minutes="30", discharged_v="24", minimum_voltage_v="18"
    )
    assert f"the actuator gets {left} V on mains, in the fire" in text


def test_a_verdict_says_what_is_met_and_whose_value(engineer):
    good = asked(engineer, size="2.5")
    assert "V above its minimum of 19.2 V: within the entered limit (data sheet)." in good
    assert "IEC 60228:2004" in good and "compliant" not in good.lower()
    bad = asked(engineer)
    assert "V below its minimum of 19.2 V. Use 2.5 mm² throughout or keep the route" in bad
    assert "does not replace the standard or the local code" in bad


def test_beyond_the_greatest_power_there_is_no_operating_point(engineer):
    """Handbook 1.2: at most 148.8 W over 40 m of 1.5 mm² from 24 V."""
    power = {"load": "constant power", "rated_voltage_v": "24", "discharged_v": "24"}
    assert "cannot deliver" not in asked(engineer, rated_current_a="6.19", minimum_voltage_v="11", **power)
    over = asked(engineer, rated_current_a="6.21", minimum_voltage_v="11", **power)
    assert "the cable cannot deliver this power on mains; there is no operating point" in over


@pytest.mark.parametrize(
    ("name", "what"),
    [
        ("length_m", "length of Cable not known"),
        ("minimum_voltage_v", "minimum voltage of the actuator not known"),
        ("actuators", "number of actuators not known"),
        ("size", "section or class of Cable not known"),
        ("discharged_v", "voltage at the end of discharge of the panel not known"),
    ],
)
def test_a_missing_figure_is_not_known_and_gives_no_verdict(engineer, name, what):
    text = asked(engineer, **{name: ""})
    assert what.lower() in text.lower()
    assert "within the entered" not in text and "above its minimum" not in text and "below its minimum" not in text


def test_without_a_least_voltage_the_voltage_is_told_all_the_same(engineer):
    assert "20.12 V of 24 V reach the far end" in asked(engineer, minimum_voltage_v="")


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("length_m", "25000", "25000 is not possible: it must be greater than 0 and at most 2000 m."),
        ("length_m", "25000", "Typed in mm? 25000 mm is 25 m."),
        ("length_m", "-5", "-5 is not possible: it must be greater than 0"),
        ("length_m", "0", "0 is not possible: it must be greater than 0"),
        ("length_m", "nan", "'nan' is not a number: it must be greater than 0"),
        ("length_m", "inf", "'inf' is not a number"),
        ("length_m", "1e999", "1e999 is not possible"),
        ("length_m", "1,500", "1,500 can be read as 1.5 or as 1500. Write 1.5 or 1500."),
        ("length_m", "9" * 500, "is not a number"),
        ("rated_current_a", "800", "Typed in mA? 800 mA is 0.8 A."),
        ("actuators", "2.5", "2.5 is not possible: it must be a whole number."),
        ("actuators", "900", "it must be at most 50"),
        ("size", "3", "'3' is not one of the choices."),
        ("hot_length_m", "50", "50 is not possible: it must be at most the length of the run, 40 m."),
        ("length_m", "4\x000", "Null characters are not allowed."),
    ],
)
def test_bad_input_is_told_at_its_field_and_nothing_is_calculated(engineer, name, typed, sentence):
    text = asked(engineer, 422, **{name: typed})
    assert sentence in text
    assert "Nothing was calculated" in text and "reach the far end" not in text


def test_a_least_voltage_above_the_rated_one_is_told(engineer):
    text = asked(engineer, 422, rated_voltage_v="18")
    assert "19.2 is not possible: it must be at most the rated voltage, 18 V." in text


def test_an_unusual_figure_is_questioned_and_used(engineer):
    text = asked(engineer, rated_current_a="0.04")
    assert "Rated current of each is 0.04 A; usual is 0.1 to 32 A. Check it; it is used as entered." in text
    assert "reach the far end" in text
    assert "Check it" not in asked(engineer)


def test_the_link_to_share_holds_the_figures_and_nothing_else(engineer):
    response = engineer.get(reverse(URL), {**ONE, "starting_current_a": "", "other": "x"})
    assert response.context["shared"].startswith("/calculator/voltage-drop/?")
    assert "other" not in response.context["shared"] and "starting" not in response.context["shared"]
    again = engineer.get(response.context["shared"])
    assert [line.sentence for line in again.context["lines"]] == [line.sentence for line in response.context["lines"]]


def test_the_calculator_is_on_the_home_page_of_those_who_may_use_it(as_):
    for person in ("office", "engineer"):
        assert 'href="/calculator/"' in as_(person).get("/").content.decode()
    assert 'href="/calculator/"' not in as_("manager").get("/").content.decode()
    assert "Voltage drop on a cable" in page(as_("office"), "calculator")
