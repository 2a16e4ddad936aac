"""Contacts of a switch on inputs: of a lone one the ends are alike, of several each has its place (practice)."""

from dataclasses import replace

import pytest

from tests.zones.engineering.wiring.examples import device
from tests.zones.engineering.wiring.planted_faults import RIGHT, with_cables
from tests.zones.engineering.wiring.small_job import cable
from zones.engineering.wiring.checks import check_wiring

RIGHT_WAY, OTHER_WAY = ((1, 1), (2, 2)), ((1, 2), (2, 1))


def with_lone_contact(function, ends):
    """The switch on the inputs of the panel with one contact, on the first of them; `ends`: number there, here."""
    pattern = f"X1:1 input in, {function}\nX1:2 input in, common\n"
    lone, _ = device("VS2", "ventilation_switch", pattern=pattern, inputs=(1,), zone=1)
    wired = with_cables(cable("W8", *((f"P1 -XS1:{n}", f"VS2 -X1:{m}") for n, m in ends)), leave_out=["W8"])
    inputs = tuple(one for one in RIGHT.inputs if one.number != 2)
    devices = tuple(lone if one.tag == "VS2" else one for one in RIGHT.devices)
    return replace(wired, devices=devices, inputs=inputs)


def exchanged(wired):
    return [one.sentence for one in check_wiring(wired) if one.code == "wiring.input_function"]


@pytest.mark.parametrize("ends", [RIGHT_WAY, OTHER_WAY])
def test_a_lone_contact_may_be_put_on_either_way_round(ends):
    assert exchanged(with_lone_contact("open", ends)) == []


def test_a_lone_contact_of_another_function_than_its_input_is_told():
    (told,) = exchanged(with_lone_contact("close", RIGHT_WAY))
    assert told.startswith("P1 -XS1:1 is input 1, 'open', but joins VS2 -X1:1, 'close'.")
