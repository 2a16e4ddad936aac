"""What if? Variants without touching the original."""

from dataclasses import replace

import pytest

from tests.zones.engineering.designs import make_circuit, make_panel
from zones.engineering import CableRun, Conductor, QuantityError, Severity, check_panel
from zones.engineering.what_if import (
    difference,
    paired,
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
    old = make_panel()
    panel = with_battery(replace(old, battery=replace(old.battery, internal_ohm=0.02)), 7.0)
    assert (panel.battery.greatest_current_a, panel.battery.charging_limit_a) == (None, None)
    assert panel.battery.internal_ohm is None  # a smaller one gives less into a short circuit
    assert "battery.capacity" in [one.code for one in check_panel(panel) if one.severity == Severity.FAIL]


def test_equal_designs_have_no_difference():
    findings = check_panel(make_panel())
    assert difference(findings, findings) == difference([], [])


def test_a_circuit_that_is_not_there_cannot_be_exchanged():
    with pytest.raises(KeyError):
        with_circuit(make_panel(), make_circuit("circuit 9"))


def test_fewer_actuators_take_their_cable_and_the_end_of_line_part_with_them():
    fewer = with_actuators(make_circuit(count=3), 1)
    assert [run.name for run in fewer.runs] == ["C1"]
    assert fewer.end_of_line_at == ("A1.1",)
    panel = make_panel(circuits=(make_circuit(count=3),))
    wrong = [one.sentence for one in check_panel(with_circuit(panel, fewer)) if one.severity == Severity.FAIL]
    assert wrong == []


def test_cable_that_feeds_others_stays_when_an_actuator_goes():
    circuit = make_circuit(count=3)
    first_last = replace(circuit, actuators=(*circuit.actuators[1:], circuit.actuators[0]))  # A1.1 at C1 goes
    assert [run.name for run in with_actuators(first_last, 2).runs] == ["C1", "C2", "C3"]


def test_more_actuators_keep_one_end_of_line_at_the_last():
    more = with_actuators(make_circuit(), 4)
    assert more.end_of_line_at == ("A1.2 + 2",)
    unknown = with_actuators(replace(make_circuit(), end_of_line_at=None), 4)
    assert unknown.end_of_line_at is None


def test_numbers_set_in_the_panel_follow_only_where_they_were_right():
    addressed = replace(make_circuit(), kind="addressed", expected_actuators=2, found_actuators=1)
    changed = with_actuators(addressed, 5)
    assert (changed.expected_actuators, changed.found_actuators) == (5, 1)


def test_half_an_actuator_is_refused():
    with pytest.raises(QuantityError, match="whole number"):
        with_actuators(make_circuit(), 2.5)


def test_the_part_in_the_fire_of_one_shortened_run_never_exceeds_it():
    circuit = make_circuit(count=1)
    hot = replace(circuit, runs=(replace(circuit.runs[0], hot_length_m=8.0),))
    assert with_run_length(hot, "C1", 5).runs[0].hot_length_m == 5
    with pytest.raises(QuantityError, match="length_m of C1 is 0"):
        with_run_length(hot, "C1", 0)


def test_what_is_said_of_the_same_thing_stands_side_by_side():
    panel = make_panel(circuits=(make_circuit(section_m=35.0),))
    thinner = with_circuit(panel, with_area(panel.circuits[0], 1.0))
    pairs = paired(difference(check_panel(panel), check_panel(thinner)))
    voltage = next(pair for pair in pairs if pair.before and pair.before.code == "cable.voltage")
    assert (voltage.before.severity, voltage.after.severity) == (Severity.MEETS, Severity.FAIL)
    assert all(pair.before is None or pair.after is None or pair.before.code == pair.after.code for pair in pairs)


def test_what_is_only_new_or_only_gone_stands_alone():
    panel = make_panel()
    less = with_battery(panel, 17.0)  # the same size, but nobody knows its greatest current
    forward = paired(difference(check_panel(panel), check_panel(less)))
    gone = [pair.before.code for pair in forward if pair.after is None]
    both = [(pair.before.code, pair.after.severity) for pair in forward if pair.after]
    assert gone == ["battery.starting"]  # said with the current
    assert both == [("battery.current", Severity.MISSING), ("battery.charging_limit", Severity.MISSING)]
    first = next(pair.before for pair in forward if pair.after)
    assert paired(difference([], [first])) == [(None, first)]
    assert paired(difference([first], [])) == [(first, None)]
