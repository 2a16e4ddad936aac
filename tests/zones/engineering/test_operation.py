"""One operating point: every finding goes by the currents, voltages and times of the solved panel."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.zones.engineering.designs import codes, make_actuator, make_circuit, make_panel, only
from zones.engineering import (
    ActuatorCircuit,
    CableRun,
    Conductor,
    LoadModel,
    Severity,
    check_panel,
    worst_severity,
)
from zones.engineering.in_step import check_in_step
from zones.engineering.opening_times import check_times
from zones.engineering.operation import operation_of
from zones.engineering.panel_check import operation_of_panel
from zones.engineering.solved_circuits import DISCHARGED, MAINS, SOURCES

RANK = {severity: rank for rank, severity in enumerate(Severity)}


def one_drive(volts_left, **drive):
    """A circuit whose cable leaves so many volts of 20.7 V at its one drive of constant current."""
    drop_v = 20.7 - volts_left
    length_m = drop_v / (2 * 7.41e-3 * (1 + 0.00393 * 50))  # 1 A, 2.5 mm² class 1 at 70 °C: IEC 60228, handbook 1.1
    runs = (CableRun("C1", length_m, Conductor(2.5, 1)),)
    figures = {"starting_current_a": 1.0, "vent": None} | drive
    return ActuatorCircuit("circuit 1", runs, (make_actuator("A1", "C1", **figures),), run_time_s=200.0)


def times_of(*circuits, **supply):
    panel = make_panel(supply=replace(make_panel().supply, **supply))
    return check_times(operation_of(panel.name, panel.supply, circuits, mains_v=23.7, discharged_v=20.7))


# Handbook 4: 590 mm at 10 mm/s at 24 V, 19.6 V at the drive, speed in proportion: 8.17 mm/s, 72.2 s, not 59.0 s.
IN_PROPORTION = {"stroke_mm": 590.0, "lower_voltage_v": 12.0, "lower_speed_mm_per_s": 5.0, "minimum_voltage_v": 12.0}


def test_speed_follows_the_voltage_that_reaches_the_actuator():
    finding = only(times_of(one_drive(19.6, **IN_PROPORTION)), "time.opening")
    assert finding.severity == Severity.FAIL
    assert "opens in 72.25 s at the end of battery discharge, 12.25 s beyond the limit of 60 s" in finding.sentence
    assert {one.name: one.value for one in finding.inputs}["speed"] == pytest.approx(8.17, abs=0.01)


def test_without_a_second_line_of_the_data_sheet_the_opening_time_is_not_known():
    silent = IN_PROPORTION | {"lower_voltage_v": None, "lower_speed_mm_per_s": None}
    finding = only(times_of(one_drive(19.6, **silent)), "time.opening")
    assert finding.severity == Severity.MISSING
    assert "speed of A1 at 19.6 V (at the end of battery discharge) not known" in finding.sentence
    assert "At its rated 24 V it takes 59 s; in proportion to the voltage it would take 72.3 s" in finding.sentence


def test_below_the_lower_voltage_of_the_data_sheet_nothing_is_extrapolated():
    found = times_of(one_drive(17.0, **(IN_PROPORTION | {"lower_voltage_v": 18.0, "lower_speed_mm_per_s": 9.9})))
    assert codes(found, Severity.MISSING) == ["time.opening"]
    assert codes(found, Severity.MEETS) == []


def test_where_the_voltage_is_too_low_to_move_that_is_said_in_place_of_the_opening_time():
    finding = only(times_of(one_drive(11.5, **(IN_PROPORTION | {"stroke_mm": 200.0}))), "time.opening")
    assert (finding.severity, finding.inputs[0].name) == (Severity.MISSING, "voltage that reaches it")
    assert finding.sentence == (
        "opening time on circuit 1 not checked: A1 gets 11.5 V at the end of battery discharge, below the 12 V it "
        "needs to run. Put the voltage right first."
    )


def test_what_is_too_slow_at_the_rated_voltage_is_too_slow_whatever_is_not_known():
    silent = {"stroke_mm": 610.0, "lower_voltage_v": None, "lower_speed_mm_per_s": None}
    finding = only(times_of(one_drive(19.6, **silent)), "time.opening")
    assert finding.severity == Severity.FAIL
    assert "opens in 61 s at its rated voltage" in finding.sentence


def test_above_the_rated_voltage_the_rated_speed_counts():
    assert make_actuator().speed_at(27.6) == 10.0
    assert make_actuator().speed_at(21.0) == pytest.approx(9.75)
    assert make_actuator().speed_at(17.9) is None


# Two outputs in sequence, 29 s each, output delay 25 s: 83 s, not 58 s (handbook 4).
def test_delays_and_steps_add_up_to_the_opening_time_of_each_output():
    held = {"stroke_mm": 290.0, "holds_speed": True}
    first = make_circuit("circuit 1", actuator=held, sequence_step=1)
    second = make_circuit("circuit 2", actuator=held, sequence_step=2, delay_s=25.0)
    found = [one for one in times_of(first, second, sequential=True) if one.code == "time.opening"]
    assert [one.severity for one in found] == [Severity.MEETS, Severity.FAIL]
    assert "opens in 83 s" in found[1].sentence


def test_without_an_order_an_output_may_be_the_last():
    held = {"stroke_mm": 290.0, "holds_speed": True}
    circuits = [make_circuit(f"circuit {k}", actuator=held) for k in (1, 2, 3)]
    found = [one for one in times_of(*circuits, sequential=True) if one.code == "time.opening"]
    assert {one.severity for one in found} == {Severity.MISSING}
    assert "First it would be open after 29 s, last after 87 s" in found[0].sentence


def test_a_length_in_the_fire_that_one_run_lacks_leaves_the_fire_unchecked():
    circuit = make_circuit(fire_minutes=30)
    runs = (replace(circuit.runs[0], hot_length_m=2.0), *circuit.runs[1:])
    found = check_panel(make_panel(circuits=(replace(circuit, runs=runs),)))
    fire = only(found, "cable.voltage_fire")
    assert fire.severity == Severity.MISSING
    assert "length exposed to fire of C2 not known" in fire.sentence


def in_step(*circuits, **supply):
    panel = make_panel(supply=replace(make_panel().supply, **supply))
    return check_in_step([operation_of(panel.name, panel.supply, circuits, mains_v=23.7, discharged_v=20.7)])


def test_actuators_of_one_vent_on_two_outputs_are_compared():
    slow = {"speed_mm_per_s": 12.0, "lower_speed_mm_per_s": 11.0}
    finding = only(in_step(make_circuit(count=1), make_circuit("circuit 2", count=1, actuator=slow)), "time.in_step")
    assert finding.severity == Severity.FAIL
    assert "A1.1 and A2.1 move vent V1 together, but their speed differs by 20%" in finding.sentence


@pytest.mark.parametrize("delayed", [{"delay_s": 5.0}, {"section_m": 140.0}])
def test_alike_actuators_that_start_or_arrive_apart_rack_the_leaf(delayed):
    finding = only(
        in_step(
            make_circuit(count=1, actuator=IN_PROPORTION),
            make_circuit("circuit 2", count=1, actuator=IN_PROPORTION, **delayed),
        ),
        "time.in_step",
    )
    assert finding.severity == Severity.FAIL
    assert "s apart: they rack the leaf" in finding.sentence


@pytest.mark.parametrize(("stagger_s", "severity"), [(2.0, Severity.NOTE), (4.0, Severity.FAIL)])
def test_actuators_of_one_vent_that_a_stagger_starts_apart_rack_the_leaf(stagger_s, severity):
    """A stroke of 50 s bears 2.5 s (common practice, a twentieth)."""
    finding = only(in_step(make_circuit(count=2, actuator=IN_PROPORTION), stagger_s=stagger_s), "time.in_step")
    assert finding.severity == severity
    if severity == Severity.FAIL:
        assert f"they start {stagger_s:.1f} s apart" in finding.sentence
        assert [figure.name for figure in finding.inputs[:2]] == ["start of travel", "end of travel"]


def test_a_stagger_over_another_vent_between_them_counts_twice():
    between = make_circuit(count=3, actuator=IN_PROPORTION)
    first, other, last = between.actuators
    circuit = replace(between, actuators=(first, replace(other, vent="V2"), last))
    assert "they start 4.0 s apart" in only(in_step(circuit, stagger_s=2.0), "time.in_step").sentence


def test_an_unlike_start_is_told_even_where_the_speed_at_the_voltage_is_not_known():
    silent = {"lower_voltage_v": None, "lower_speed_mm_per_s": None}
    circuits = (
        make_circuit(count=1, actuator=silent),
        make_circuit("circuit 2", count=1, actuator=silent, delay_s=5.0),
    )
    assert "they start 5.0 s apart" in only(in_step(*circuits), "time.in_step").sentence


def test_one_vent_of_two_panels_is_compared_over_both():
    panels = [
        operation_of(name, make_panel().supply, [circuit], mains_v=23.7, discharged_v=20.7)
        for name, circuit in (("P1", make_circuit(count=1)), ("P2", make_circuit("circuit 2", count=1, delay_s=8.0)))
    ]
    assert only(check_in_step(panels, over_panels=True), "time.in_step").severity == Severity.FAIL
    assert check_in_step(panels[:1], over_panels=True) == []


# Properties: whatever the design, no finding is greener than the physics -------------------------------------------

drives = st.fixed_dictionaries(
    {
        "rated_current_a": st.floats(0.2, 4.0),
        "starting_current_a": st.floats(0.2, 8.0),
        "speed_mm_per_s": st.floats(5.0, 20.0),
        "lower_speed_mm_per_s": st.floats(2.0, 5.0),
        "lower_voltage_v": st.just(10.0),
        "minimum_voltage_v": st.floats(12.0, 20.0),
        "load_model": st.sampled_from(LoadModel),
    }
)
panels = st.builds(
    lambda drive, count, section_m, limit_a: make_panel(
        circuits=(
            make_circuit(count=count, section_m=section_m, actuator=drive, output_limit_a=limit_a, output_peak_a=20.0),
        )
    ),
    drives,
    st.integers(1, 6),
    st.floats(1.0, 80.0),
    st.floats(1.0, 20.0),
)


def severity_of(findings, code):
    return worst_severity(one for one in findings if one.code == code)


@given(panels)
def test_no_finding_contradicts_the_solved_currents_voltages_and_times(panel):
    findings, operation = check_panel(panel), operation_of_panel(panel)
    (solved,) = operation.circuits
    output = severity_of(findings, "supply.output")
    currents = [solved.output_a(source) for source in SOURCES]
    if output == Severity.MEETS:
        assert None not in currents
        assert max(currents) <= solved.circuit.output_limit_a + 1e-6
    if severity_of(findings, "supply.panel") == Severity.MEETS:
        assert operation.motors_a(MAINS) + panel.supply.alarm_current_a <= panel.supply.rated_current_a + 1e-6
    if severity_of(findings, "battery.current") == Severity.MEETS:
        assert operation.motors_a(DISCHARGED) + panel.supply.alarm_current_a <= panel.battery.fuse_a + 1e-6
    if severity_of(findings, "cable.voltage") == Severity.MEETS:
        for answer in solved.answers:
            if not answer.condition.starting:
                assert all(answer.actuator_v[one.name] >= one.minimum_voltage_v for one in solved.circuit.actuators)
    if severity_of(findings, "time.opening") == Severity.MEETS:
        assert max(one.stroke_s for one in solved.travels) <= 60.0 + 1e-6


@given(panels, st.sampled_from(["rated_current_a", "stroke_mm", "speed_mm_per_s", "lower_speed_mm_per_s"]))
def test_no_missing_figure_leads_to_meets(panel, field):
    (circuit,) = panel.circuits
    unknown = replace(circuit.actuators[0], **{field: None})
    after = check_panel(replace(panel, circuits=(replace(circuit, actuators=(unknown, *circuit.actuators[1:])),)))
    before = check_panel(panel)
    for code in ("supply.output", "supply.panel", "battery.current", "battery.capacity", "time.opening"):
        was, now = severity_of(before, code), severity_of(after, code)
        assert now != Severity.MEETS or was == Severity.MEETS, code


@given(panels, st.sampled_from(["length", "load", "colder"]), st.floats(1.01, 3.0))
def test_more_load_longer_cable_or_a_colder_battery_never_turns_a_finding_greener(panel, what, factor):
    (circuit,) = panel.circuits
    if what == "length":
        runs = tuple(replace(run, length_m=run.length_m * factor) for run in circuit.runs)
        worse = replace(panel, circuits=(replace(circuit, runs=runs),))
    elif what == "load":
        more = tuple(
            replace(
                one,
                rated_current_a=one.rated_current_a * factor,
                starting_current_a=one.starting_current_a * factor,
            )
            for one in circuit.actuators
        )
        worse = replace(panel, circuits=(replace(circuit, actuators=more),))
    else:
        worse = replace(panel, battery=replace(panel.battery, coldest_c=panel.battery.coldest_c - 3.3 * factor))
    before, after = check_panel(panel), check_panel(worse)
    resistive = circuit.actuators[0].load_model == LoadModel.RESISTIVE
    for code in ("cable.voltage", "battery.capacity", "battery.duration", "supply.output", "supply.panel"):
        # A longer cable takes load off a supply where the load is a resistor.
        if resistive and what == "length" and not code.startswith("cable"):
            continue
        was, now = severity_of(before, code), severity_of(after, code)
        if was in (Severity.FAIL, Severity.MISSING):
            assert now != Severity.MEETS, (code, was, now)


@given(st.floats(0.5, 12.0), st.floats(0.05, 0.6), st.floats(5.0, 25.0), st.sampled_from(["4h", "30h", "72h"]))
def test_a_size_that_is_offered_passes_every_check_of_the_battery(motors_a, quiescent_a, coldest_c, hours):
    from zones.engineering import STANDBY_BASES
    from zones.engineering.battery_check import check_battery, sufficient_size_ah
    from zones.engineering.battery_set import BatteryDuty, BatterySet
    from zones.engineering.trade_practice import TRADE_PRACTICE

    basis = STANDBY_BASES[f"en-12101-10-2005-{hours}"]
    battery = BatterySet(capacity_ah=1.0, basis=basis, operations=3, coldest_c=coldest_c)
    duty = BatteryDuty(quiescent_a, 0.3, motors_a, 60.0, charger_a=5.0)
    size_ah = sufficient_size_ah(battery, duty, TRADE_PRACTICE)
    if size_ah is None:
        return
    findings = check_battery("P1", replace(battery, capacity_ah=size_ah), duty)
    assert [severity_of(findings, code) for code in ("battery.capacity", "battery.duration")] == [Severity.MEETS] * 2


@pytest.mark.parametrize(("highest_v", "takes_a"), [(None, 4 * 23.7 / 24), (28.0, 4 * 28 / 24)])
def test_an_output_of_resistances_is_judged_without_cable_at_the_most_that_it_gives(highest_v, takes_a):
    """Ohm's law: cold cores, or a charger at 28 V, and it takes more than at the end of a long warm cable."""
    drive = {"rated_current_a": 2.0, "starting_current_a": None, "load_model": LoadModel.RESISTIVE}
    for section_m in (1.0, 30.0):
        circuit = make_circuit(count=2, section_m=section_m, actuator=drive)
        supply = replace(make_panel().supply, highest_voltage_v=highest_v)
        solved = operation_of("P1", supply, [circuit], mains_v=23.7, discharged_v=20.7).circuits[0]
        assert solved.output_a(MAINS) == pytest.approx(takes_a)


def test_a_start_never_takes_less_than_what_follows_it():
    """4 A at 24 V are 96 W: at the end of discharge more than the 4 A of the start."""
    drive = {"rated_current_a": 4.0, "starting_current_a": 4.0, "load_model": LoadModel.CONSTANT_POWER}
    circuit = make_circuit(count=1, section_m=5.0, actuator=drive)
    solved = operation_of("P1", make_panel().supply, [circuit], mains_v=23.7, discharged_v=20.7).circuits[0]
    assert solved.output_a(DISCHARGED, starting=True) == solved.output_a(DISCHARGED) > 4.6
