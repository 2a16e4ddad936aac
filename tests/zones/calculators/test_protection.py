"""The protective device of an output by hand. IEC 60364-4-41, 4-43 [S2], ISO 8820-3, IEC 60898-2 [M]."""

import pytest

from tests.zones.calculators.ask import page

pytestmark = pytest.mark.django_db
URL = "calculator-protection"

ONE = {
    "device_kind": "blade",
    "device_a": "5",
    "length_m": "30",
    "size": "2.5",
    "conductor_class": "2",
    "insulation": "thermoplastic",
    "method": "C",
    "grouped_circuits": "1",
    "ambient_c": "30",
    "actuators": "2",
    "rated_current_a": "1",
    "minimum_voltage_v": "18",
    "starting_current_a": "3",
    "starting_s": "0.3",
    "mains_v": "23.7",
    "discharged_v": "20.7",
    "own_drop_v": "0",
    "supply_a": "10",
    "supply_fault_a": "60",
    "battery_mohm": "40",
    "lead_mm2": "16",
    "lead_m": "0.5",
    "battery_fuse_kind": "blade",
    "battery_fuse_a": "63",
    "beside_a": "2.2",
}


def asked(client, status=200, /, **changes):
    return page(client, URL, status, **{name: value for name, value in {**ONE, **changes}.items() if value})


def test_an_empty_form_shows_a_hint(engineer):
    assert "Enter the device, the cable" in page(engineer, URL)


def test_load_start_overload_short_circuits_and_the_device_upstream_are_told(engineer):
    """2 × 30 m of 2.5 mm² at 70 °C: 60 × 7.41e-3 × 1.1965 = 0.5320 Ω; with 0.08 Ω of the empty battery and
    2 × 0.5 m of its leads (16 mm², class 5: 1.21 Ω/km) 0.6134 Ω, 33.74 A."""
    text = asked(engineer)
    assert "This output takes 2 A, its protective device holds 5 A: within" in text
    assert (
        "starts with 6 A through its 5 A blade fuse (ISO 8820-3), which holds that for 0.75 s; the start takes 0.3 s"
        in text
    )
    assert "asks for cables of 5 A, Cable (2.5 mm²) is rated 27 A as it is laid: within" in text
    assert "takes at least 33.74 A (at the end of battery discharge)" in text
    assert "switches off within 5 s from 10 A: within" in text  # ISO 8820-3: 200 %
    assert "bears 82.656 kA²s" in text  # (115 × 2.5)², IEC 60364-4-43, table 43A
    assert "opens before the fuse of the battery of 63 A at every current of a fault" in text
    assert "6.75 A opens for certain from (I2)" in text  # ISO 8820-3: 135 %


def test_what_does_not_hold_is_told_with_a_remedy(engineer):
    """2 × 6 A on 5 A; the same kind in 15 A holds it, asks 15 A of the cable and opens from 30 A."""
    text = asked(engineer, length_m="5", rated_current_a="6", starting_current_a="6")
    assert "takes 12 A, 7 A more than its protective device holds (5 A blade fuse (ISO 8820-3)). Fit 15 A" in text


def test_the_time_in_which_a_short_circuit_must_be_off_is_the_one_entered(engineer):
    assert "switches off within 0.1 s from 30 A" in asked(engineer, within_s="0.1")  # ISO 8820-3: 600 %


@pytest.mark.parametrize(
    ("name", "what"),
    [
        ("device_kind", "kind of the protective device not known"),
        ("device_a", "rating of the protective device not known"),
        ("actuators", "number of actuators not known"),
        ("length_m", "length of Cable not known"),
        ("minimum_voltage_v", "minimum voltage of actuator 1 and actuator 2 not known"),
        ("mains_v", "voltage on mains of the panel not known"),
        ("starting_s", "time of the starting current not known"),
        ("own_drop_v", "own voltage drop of the panel not known"),
        ("supply_fault_a", "current of the supply into a short circuit not known"),
        ("battery_mohm", "internal resistance of the battery not known"),
        ("battery_fuse_kind", "kind of the fuse (fuse of the battery) not known"),
        ("beside_a", "current of all motors and the panel together (fuse of the battery) not known"),
    ],
)
def test_what_is_not_known_is_asked_for(engineer, name, what):
    assert what.lower() in asked(engineer, **{name: ""}).lower()


def test_a_laying_that_is_not_known_gives_no_verdict_where_it_decides(engineer):
    """25 A on 2.5 mm²: 18.5 A by method A2, 30 A by method E."""
    assert "method of installation of Cable not known: overload" in asked(engineer, device_a="25", method="")
    assert "Cable (2.5 mm²) is rated 18.5 A however it is laid: within" in asked(engineer, method="")


def test_an_electronic_limit_is_asked_when_it_trips(engineer):
    text = asked(engineer, device_kind="electronic")
    assert "current at which the output trips and time in which it trips not known" in text
    known = asked(engineer, device_kind="electronic", trips_a="6.5", trips_s="0.05")
    assert "switches off within 5 s from 6.5 A" in known


def test_bad_input_is_told_at_its_field(engineer):
    assert "700 is not possible: it must be greater than 0 and at most 200 A." in asked(engineer, 422, device_a="700")
    assert "'glass' is not one of the choices." in asked(engineer, 422, device_kind="glass")
