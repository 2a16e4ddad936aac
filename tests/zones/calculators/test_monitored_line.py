"""Monitored line by hand. Values: handbook of calculations, 3 (Ohm's law; resistors and ranges are practice [P])."""

import pytest

from tests.zones.calculators.ask import page

pytestmark = pytest.mark.django_db
URL = "calculator-monitored-line"

# Handbook 3: 10 kilohm, 680 ohm in alarm at the end of 500 m of 0.75 mm²: 10 024.5 and 661.2 ohm.
FAR = {
    "call_points": "1",
    "detectors": "0",
    "length_m": "500",
    "size": "0.75",
    "conductor_class": "1",
    "end_of_line_ohm": "10000",
    "element_percent": "0",
    "alarm_ohm": "680",
    "alarm_percent": "0",
}
DETECTORS = {
    "call_points": "0",
    "detectors": "10",
    "detector_ua": "60",
    "line_voltage_v": "20",
    "removal_opens_line": "yes",
    "length_m": "1",
}


def asked(client, status=200, /, **changes):
    return page(client, URL, status, **{name: value for name, value in {**FAR, **changes}.items() if value})


def test_an_empty_form_shows_a_hint(engineer):
    assert "Enter the devices of the line" in page(engineer, URL)


def test_normal_and_alarm_read_what_the_handbook_says(engineer):
    text = asked(engineer)
    assert "10.02 kΩ" in text
    # The panel sees 10 to 10.0245 kilohm and 636.7 to 661.2 ohm: the cable at its least and at its greatest.
    assert "Any one device in alarm" in text and "636.7 to 661.2 Ω" in text
    assert "Within the entered limits" in text


@pytest.mark.parametrize(("alarm", "one", "two"), [("470", "448.9", "229.6"), ("680", "636.7", "328.8")])
def test_two_devices_in_alarm_read_half(engineer, alarm, one, two):
    """Handbook 3: 470 ohm twice leaves a resistance range that begins at 250 ohm: widen it."""
    text = asked(engineer, call_points="2", length_m="0.001", alarm_ohm=alarm)
    assert f"{one} Ω" in text and f"{two} Ω" in text
    said = "2 devices in alarm at once 2 may read as fault"
    assert (said in text) is (alarm == "470")
    assert said not in asked(engineer, call_points="2", length_m="0.001", alarm_ohm=alarm, alarm_low_ohm="200")


def test_tolerances_widen_what_the_panel_sees(engineer):
    """Handbook 3: 680 ohm ± 5 %, 0 to 50 ohm of cable: 604.9 to 718.5; 50 ohm are 1020.4 m of 0.75 mm²."""
    text = asked(engineer, length_m="1020.4", element_percent="5", alarm_percent="5")
    assert "604.9 to 718.5 Ω" in text and "9.50 to 10.55 kΩ" in text
    assert "A threshold of 2.61 kΩ parts normal from alarm" in text


def test_detectors_that_draw_current_look_like_a_smaller_element(engineer):
    """Handbook 3: 10 detectors of 60 µA at 20 V look like 7.69 kilohm to the panel; a meter reads 10."""
    text = asked(engineer, **DETECTORS)
    assert "Normal 10.00 kΩ 7.69 to 10.00 kΩ normal" in text


def test_every_state_is_in_the_table_with_its_range(engineer):
    text = asked(engineer, **DETECTORS)
    for state in ("Normal", "Any one device in alarm", "Any one head taken out", "Broken at any joint"):
        assert state in text
    assert "D4 removed" in text and "Break after D10" in text and "Short before D1" in text
    assert "resistance ranges used" in text.lower() and "20.00 kΩ" in text


def test_a_head_that_does_not_open_the_line_is_told(engineer):
    text = asked(engineer, **{**DETECTORS, "removal_opens_line": "no", "detector_ua": "0"})
    assert "is not seen as a fault" in text


@pytest.mark.parametrize(
    ("name", "what"),
    [
        ("call_points", "number of call points"),
        ("end_of_line_ohm", "resistance of the end-of-line resistor"),
        ("alarm_ohm", "alarm resistance of c1"),
        ("length_m", "cable length of c1"),
        ("size", "cable section"),
    ],
)
def test_a_missing_figure_gives_no_verdict(engineer, name, what):
    text = asked(engineer, **{name: ""})
    assert what in text.lower() and "Any one device in alarm" not in text and "within the entered" not in text


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("call_points", "33", "33 is too many to reckon with here: it must be at most 32."),
        ("call_points", "-1", "-1 is not possible: it must be at least 0"),
        ("element_percent", "80", "80 is not possible: it must be at least 0 and at most 50 %."),
        ("alarm_low_ohm", "9000", "must be rising: short, alarm, normal, open"),
    ],
)
def test_bad_input_is_told(engineer, name, typed, sentence):
    assert sentence in asked(engineer, 422, **{name: typed})


def test_a_line_without_devices_keeps_its_element_at_the_terminals(engineer):
    text = asked(engineer, call_points="0", length_m="", size="", conductor_class="", alarm_ohm="")
    assert "10.00 kΩ" in text and "Any one device in alarm" not in text
