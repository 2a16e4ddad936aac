"""The kind of load of an actuator that nobody entered: constant current, constant power or a resistance."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.zones.engineering.designs import make_circuit, make_panel, only
from zones.engineering import LoadModel, Severity, check_circuit, check_panel, worst_severity
from zones.engineering.cables import KNOWN_KINDS
from zones.engineering.operation import operation_of
from zones.engineering.solved_circuits import DISCHARGED, MAINS

FOUR_AMPERES = {"rated_current_a": 4.0, "starting_current_a": 4.0, "lower_voltage_v": None, "minimum_voltage_v": 15.0}
VOLTS = {"mains_v": 24.0, "discharged_v": 21.0}


def four_amperes(kind, section_m=60.0, **changes):
    """4 A at 24 V behind 60 m of 2.5 mm²."""
    return make_circuit(count=1, section_m=section_m, actuator={**FOUR_AMPERES, "load_model": kind, **changes})


def voltage(circuit):
    return only(check_circuit(circuit, **VOLTS), "cable.voltage")


def reached_v(circuit, source):
    solved = operation_of("P1", make_panel().supply, [circuit], **VOLTS).circuits[0]
    return solved.in_condition(source)[0].actuator_v["A1.1"]


def test_a_kind_that_is_not_known_gets_the_voltage_of_the_worst():
    """At 21 V of 24 V rated constant power takes most: 96 W."""
    unknown, powered = (reached_v(four_amperes(kind), DISCHARGED) for kind in (LoadModel.NOT_KNOWN, KNOWN_KINDS[1]))
    assert unknown == pytest.approx(powered)


def test_above_the_rated_voltage_the_worst_is_a_resistance():
    """24 V at an actuator of 20 V: 4 A × 24 / 20 at the panel."""
    changes = {"section_m": 10.0, "rated_voltage_v": 20.0}
    circuits = [four_amperes(kind, **changes) for kind in (LoadModel.NOT_KNOWN, LoadModel.RESISTIVE)]
    unknown, resistive = (reached_v(circuit, MAINS) for circuit in circuits)
    assert unknown == pytest.approx(resistive)


def test_what_every_kind_meets_is_met_without_a_question():
    assert voltage(four_amperes(LoadModel.NOT_KNOWN, section_m=30.0)).severity == Severity.MEETS


def test_what_no_kind_meets_is_not_met():
    found = voltage(four_amperes(LoadModel.NOT_KNOWN, minimum_voltage_v=20.0))
    assert found.severity == Severity.FAIL
    assert "kind of load of A1.1 is not known: no kind passes" in found.sentence


def test_what_only_some_kinds_meet_has_no_verdict_and_asks_for_the_kind():
    """20.5 V at the panel, 60 m: constant power falls below what a constant current leaves."""
    powered, current = (
        reached_v(four_amperes(kind), DISCHARGED) for kind in (LoadModel.CONSTANT_POWER, LoadModel.CONSTANT_CURRENT)
    )
    found = voltage(four_amperes(LoadModel.NOT_KNOWN, minimum_voltage_v=(powered + current) / 2))
    assert found.severity == Severity.MISSING
    assert found.inputs[0] == ("kind of load", None, "")
    assert "kind of load of A1.1 not known" in found.sentence
    assert "As constant current and resistive that would not be said. Enter the kind" in found.sentence


def test_the_current_of_an_output_is_not_known_where_only_the_kind_decides():
    """4 A as a constant current, 96 W / 18.9 V as a constant power."""
    circuit = replace(four_amperes(LoadModel.NOT_KNOWN), output_limit_a=4.7)
    found = only(check_panel(make_panel(circuits=(circuit,))), "supply.output")
    assert found.severity == Severity.MISSING
    assert "kind of load" in found.sentence


def test_without_a_rated_voltage_an_unknown_kind_has_no_current_at_another_voltage():
    circuit = four_amperes(LoadModel.NOT_KNOWN, rated_voltage_v=None)
    assert "rated voltage of A1.1 not known" in voltage(circuit).sentence


kinds = st.sampled_from(KNOWN_KINDS)
panels = st.builds(
    lambda drive, count, section_m, limit_a: make_panel(
        circuits=(make_circuit(count=count, section_m=section_m, actuator=drive, output_limit_a=limit_a),)
    ),
    st.fixed_dictionaries(
        {
            "rated_current_a": st.floats(0.2, 4.0),
            "starting_current_a": st.floats(0.2, 8.0),
            "rated_voltage_v": st.sampled_from([20.0, 22.0, 24.0]),
            "lower_voltage_v": st.just(10.0),
            "lower_speed_mm_per_s": st.floats(2.0, 9.0),
            "lower_current_a": st.none() | st.floats(0.2, 6.0),
            "minimum_voltage_v": st.floats(12.0, 19.5),
        }
    ),
    st.integers(1, 5),
    st.floats(1.0, 80.0),
    st.floats(1.0, 20.0),
)


def with_kinds(panel, kinds):
    (circuit,) = panel.circuits
    drives = tuple(replace(one, load_model=kind) for one, kind in zip(circuit.actuators, kinds, strict=False))
    return replace(panel, circuits=(replace(circuit, actuators=drives),))


def severities(findings):
    return {
        code: worst_severity(one for one in findings if one.code == code) for code in {one.code for one in findings}
    }


@settings(max_examples=25)
@given(panels, st.lists(kinds, min_size=5, max_size=5))
def test_no_mixture_of_kinds_is_worse_than_what_is_said_without_them(panel, mixture):
    unknown = severities(check_panel(with_kinds(panel, [LoadModel.NOT_KNOWN] * 5)))
    for code, known in severities(check_panel(with_kinds(panel, mixture))).items():
        said = unknown.get(code)
        if code == "time.in_step" and len(set(mixture)) > 1:
            continue  # two models on one vent are told by their data sheets
        if known in (Severity.FAIL, Severity.MISSING):
            assert said not in (Severity.MEETS, Severity.QUESTION, Severity.NOTE), (code, said, known)


@settings(max_examples=25)
@given(panels, kinds)
def test_what_is_not_met_without_the_kind_is_not_met_with_any(panel, kind):
    unknown = severities(check_panel(with_kinds(panel, [LoadModel.NOT_KNOWN] * 5)))
    known = severities(check_panel(with_kinds(panel, [kind] * 5)))
    for code, said in unknown.items():
        if said == Severity.FAIL:
            assert known.get(code) == Severity.FAIL, code
