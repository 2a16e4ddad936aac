"""A resistance takes more at the charging voltage than at the nominal one: without that figure nothing is met."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.zones.engineering.designs import make_circuit, make_panel, only, without
from zones.engineering import LoadModel, Severity, check_panel
from zones.engineering.fuses import FUSE_KINDS, ProtectiveDevice


def panel(highest_v=None, *, kind=LoadModel.RESISTIVE, supply=None, **changes):
    """Two actuators of 1 A at 24 V on an output of 24 V, less 0.3 V in the panel."""
    design = make_panel(circuits=(make_circuit(actuator={"load_model": kind}, **changes),))
    return replace(design, supply=replace(design.supply, highest_voltage_v=highest_v, **(supply or {})))


def found(design, code):
    return only(check_panel(design), code)


RESTS = ("supply.output", "supply.panel", "battery.capacity", "battery.duration")


@pytest.mark.parametrize("code", RESTS)
def test_what_only_the_nominal_voltage_meets_has_no_verdict(code):
    one = found(panel(), code)
    assert one.severity == Severity.MISSING
    assert one.sentence.startswith("Greatest voltage of the outputs not known, and a resistance takes more there.")
    assert one.inputs[0] == ("greatest voltage of the outputs", None, "V")


@pytest.mark.parametrize("code", RESTS)
def test_with_the_greatest_voltage_there_is_a_verdict(code):
    assert found(panel(28.0), code).severity == Severity.MEETS


@pytest.mark.parametrize("code", RESTS)
def test_a_constant_current_does_not_ask_for_it(code):
    assert found(panel(kind=LoadModel.CONSTANT_CURRENT), code).severity == Severity.MEETS


def test_what_fails_at_the_nominal_voltage_fails():
    one = found(panel(output_limit_a=1.5), "supply.output")
    assert one.severity == Severity.FAIL


def test_a_cable_carries_what_the_charging_voltage_drives():
    """Two of 24 ohm at 32 V: 2.67 A, by Ohm's law."""
    one = found(panel(32.0), "cable.rating")
    assert one.compared is None or one.compared.figure == pytest.approx(2 * 32 / 24, abs=0.01)
    assert "carries up to 2.67 A" in one.sentence


def test_a_fuse_that_holds_at_the_nominal_voltage_alone_has_no_verdict():
    fuse = ProtectiveDevice(FUSE_KINDS["blade"], 3.0)
    one = found(panel(device=fuse), "protection.load")
    assert one.severity == Severity.MISSING


def test_the_steps_of_a_sequence_are_not_known_either():
    design = panel(supply={"sequential": True})
    said = [one for one in check_panel(design) if one.code == "supply.sequence"]
    assert Severity.MISSING in [one.severity for one in said]
    assert any("greatest voltage of the outputs of panel P1 not known" in one.sentence for one in said)


@settings(max_examples=20)
@given(
    st.sampled_from([LoadModel.RESISTIVE, LoadModel.NOT_KNOWN]),
    st.floats(24.0, 36.0),
    st.floats(0.3, 3.0),
    st.floats(1.0, 10.0),
)
def test_no_greatest_voltage_is_worse_than_what_is_said_without_it(kind, highest_v, rated_a, limit_a):
    """And what is not met without it is met by none."""
    drive = {"load_model": kind, "rated_current_a": rated_a, "starting_current_a": rated_a}
    design = make_panel(circuits=(make_circuit(actuator=drive, output_limit_a=limit_a),))
    design = replace(design, supply=replace(design.supply, highest_voltage_v=highest_v))
    known = {(one.code, one.subject): one.severity for one in check_panel(design)}
    blind = replace(design, supply=without(design.supply, highest_voltage_v=1))
    for one in check_panel(blind):
        told = known.get((one.code, one.subject))
        if one.severity == Severity.MEETS and told is not None:
            assert told == Severity.MEETS, one
        if one.severity == Severity.FAIL:
            assert told == Severity.FAIL, one
