"""What if? Variants without touching the original."""

from dataclasses import replace

import pytest

from tests.zones.engineering.designs import make_circuit, make_panel
from zones.engineering import CableRun, Conductor, QuantityError, Severity, check_panel
from zones.engineering.what_if import (
    difference,
    with_actuators,
    with_area,
    with_battery,
    with_circuit,
    with_lengths,
    with_run_length,
)


def test_a_thinner_cable_shows_what_changes_and_leaves_the_design_alone():
    panel = make_panel(circuits=(make_circuit(section_m=35.0),))
    thinner = with_circuit(panel, with_area(panel.circuits[0], 1.0))
    changed = difference(check_panel(panel), check_panel(thinner))
    assert "cable.voltage" in [one.code for one in changed.new if one.severity == Severity.FAIL]
    assert "cable.voltage" in [one.code for one in changed.gone if one.severity == Severity.MEETS]
    assert panel.circuits[0].runs[0].conductor.area_mm2 == 2.5


def test_the_class_stays_and_an_unknown_class_must_be_given():
    flexible = make_circuit(conductor=Conductor(2.5, 5))
    assert with_area(flexible, 4.0).runs[0].conductor == Conductor(4.0, 5)
    unknown = replace(make_circuit(count=1), runs=(CableRun("C1", 10, None),))
    with pytest.raises(QuantityError, match="conductor_class is not known"):
        with_area(unknown, 4.0)
    assert with_area(unknown, 4.0, conductor_class=2).runs[0].conductor == Conductor(4.0, 2)


def test_lengths_can_be_stretched_all_or_one():
    circuit = make_circuit()
    assert [run.length_m for run in with_lengths(circuit, 1.5).runs] == [15, 15]
    assert [run.length_m for run in with_run_length(circuit, "C2", 33).runs] == [10, 33]
    with pytest.raises(QuantityError, match="run of circuit 1 is 'C9'"):
        with_run_length(circuit, "C9", 33)
    with pytest.raises(QuantityError, match="greater than 0"):
        with_lengths(circuit, 0)


def test_hot_lengths_never_exceed_a_shortened_run():
    circuit = make_circuit(count=1)
    hot = replace(circuit, runs=(replace(circuit.runs[0], hot_length_m=8.0),))
    assert with_lengths(hot, 0.5).runs[0].hot_length_m == 5.0


@pytest.mark.parametrize(
    ("count", "names"), [(1, ["A1.1"]), (2, ["A1.1", "A1.2"]), (4, ["A1.1", "A1.2", "A1.2 + 1", "A1.2 + 2"])]
)
def test_the_number_of_actuators_can_be_changed(count, names):
    assert [one.name for one in with_actuators(make_circuit(), count).actuators] == names


@pytest.mark.parametrize("count", [0, 501, -1, 1.5e9])
def test_an_absurd_number_of_actuators_is_refused(count):
    with pytest.raises(QuantityError):
        with_actuators(make_circuit(), count)


def test_another_battery_forgets_what_the_maker_said_of_the_old_one():
    panel = with_battery(make_panel(), 7.0)
    assert panel.battery.greatest_current_a is None
    assert "battery.capacity" in [one.code for one in check_panel(panel) if one.severity == Severity.FAIL]


def test_equal_designs_have_no_difference():
    findings = check_panel(make_panel())
    assert difference(findings, findings) == difference([], [])


def test_a_circuit_that_is_not_there_cannot_be_exchanged():
    with pytest.raises(KeyError):
        with_circuit(make_panel(), make_circuit("circuit 9"))
