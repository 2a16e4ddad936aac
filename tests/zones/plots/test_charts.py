"""The charts as a whole: where the marks stand, and no text over another for installations of any size."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.zones.engineering.designs import make_circuit, make_device, make_line
from tests.zones.plots.boxes import overlapping_texts, texts_of, texts_outside
from zones.engineering import CableRun, CircuitKind, Conductor, EndOfLineResistor, LineRole, TreeError
from zones.engineering.batteries import STANDBY_BASES, charge_over_standby, required_capacity
from zones.engineering.cables import LoadModel
from zones.engineering.line_check import StateKind, states_seen
from zones.engineering.trade_practice import TradePractice
from zones.plots import (
    Axis,
    Level,
    LineChart,
    NamedPlace,
    RangeChart,
    ResistanceRange,
    Series,
    SpanRow,
    line_chart,
    range_chart,
)
from zones.plots.charge import charge_plot
from zones.plots.line_ranges import line_plot
from zones.plots.voltage import voltage_plots

AT_20_C = TradePractice(conductor_temperature_c=20.0)
SUPPLY = {"mains_v": 23.7, "discharged_v": 20.7}


def words(plot, kind):
    return [mark.text for mark in texts_of(plot) if mark.kind == kind]


def paths(plot, kind):
    return [mark for mark in plot.marks if mark.shape == "path" and mark.kind == kind]


# Voltage ----------------------------------------------------------------------------------------------------------


def test_voltage_at_one_actuator_is_source_less_loop_resistance_times_current():
    # 40 m of 2.5 mm², class 2: 7.41 ohm/km (IEC 60228:2004 table 2); 1 A: 23.7 - 2 × 0.04 × 7.41 = 23.107 V [calc].
    (plot,) = voltage_plots(make_circuit(count=1, section_m=40.0), **SUPPLY, key="c", practice=AT_20_C)
    assert plot.rows == (("A1.1", "40.0", "18", "23.10", "22.98", "20.10", "19.98"),)
    assert plot.columns == ("At", "m", "Least V", "Mains V", "Mains start V", "Battery V", "Battery start V")


def test_the_course_falls_from_the_panel_to_the_actuator_on_the_scale_of_the_axis():
    (plot,) = voltage_plots(make_circuit(count=1, section_m=40.0), **SUPPLY, key="c", practice=AT_20_C)
    (mains,) = paths(plot, "course look-1")
    ticks = {float(mark.text): mark.y - 3.8 for mark in texts_of(plot) if mark.kind == "tick" and mark.anchor == "end"}
    volt = (ticks[20] - ticks[22]) / 2
    (x0, y0), (x1, y1) = mains.points
    assert y0 == pytest.approx(ticks[22] - 1.7 * volt)
    assert y1 == pytest.approx(ticks[22] - 1.1072 * volt, abs=0.01)
    assert x1 > x0


def test_each_branch_is_a_line_from_its_junction():
    runs = (
        CableRun("C1", 20, Conductor(2.5, 2)),
        CableRun("C2", 10, Conductor(2.5, 2), fed_from="C1"),
        CableRun("C3", 30, Conductor(2.5, 2), fed_from="C1"),
    )
    circuit = make_circuit(count=3)
    circuit = type(circuit)(name="circuit 1", runs=runs, actuators=circuit.actuators)
    (plot,) = voltage_plots(circuit, **SUPPLY, key="c")
    first, second = paths(plot, "course look-1")
    assert first.points[1] == second.points[0]  # both at the far end of C1
    assert words(plot, "place-label") == ["A1.1", "A1.2", "A1.3"]


def test_names_and_least_voltage_stand_at_the_right():
    (plot,) = voltage_plots(make_circuit(), **SUPPLY, key="c")
    assert words(plot, "series-label") == ["mains", "mains, start", "battery", "battery, start"]
    assert words(plot, "level-label") == ["least 18 V"]


def test_an_unknown_starting_current_leaves_its_courses_out():
    (plot,) = voltage_plots(make_circuit(actuator={"starting_current_a": None}), **SUPPLY, key="c")
    assert words(plot, "series-label") == ["mains", "battery"]


def test_what_the_cable_cannot_deliver_is_said_instead_of_drawn():
    hungry = make_circuit(section_m=300.0, actuator={"load_model": LoadModel.CONSTANT_POWER, "rated_current_a": 6.0})
    (plot,) = voltage_plots(hungry, **SUPPLY, key="c")
    assert words(plot, "series-label") == []
    assert len(plot.notes) == 4
    assert "cannot deliver this power" in plot.notes[0]
    assert plot.description == "circuit 1: no course can be drawn, the cable cannot deliver the power."


def test_in_the_fire_is_a_drawing_of_its_own():
    circuit = make_circuit(fire_minutes=30)
    run = circuit.runs[0]
    hot = type(run)(run.name, run.length_m, run.conductor, hot_length_m=5)
    others = tuple(replace(one, hot_length_m=0.0) for one in circuit.runs[1:])
    circuit = type(circuit)(
        name="circuit 1",
        runs=(hot, *others),
        actuators=circuit.actuators,
        fire_minutes=30,
    )
    cold, fire = voltage_plots(circuit, **SUPPLY, key="c")
    assert (cold.key, fire.key) == ("c", "c-fire")
    assert float(fire.rows[0][3]) < float(cold.rows[0][3])


def test_runs_in_a_ring_cannot_be_drawn():
    circuit = make_circuit(count=1)
    ring = type(circuit)(
        name="circuit 1",
        actuators=circuit.actuators,
        kind=CircuitKind.POLARITY,
        runs=(CableRun("C1", 5, Conductor(2.5, 2), "C2"), CableRun("C2", 5, Conductor(2.5, 2), "C1")),
    )
    with pytest.raises(TreeError):
        voltage_plots(ring, **SUPPLY, key="c")


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 60), st.floats(0.5, 90), st.sampled_from(["", "North stair M", "K"]), st.floats(5, 21))
def test_no_label_of_a_circuit_of_any_size_lies_over_another(count, section_m, prefix, least):
    circuit = make_circuit(
        f"{prefix or 'circuit 1'}",
        count=count,
        section_m=section_m,
        actuator={"rated_current_a": 0.05, "starting_current_a": 0.06, "minimum_voltage_v": least},
    )
    for plot in voltage_plots(circuit, **SUPPLY, key="c"):
        assert overlapping_texts(plot) == []
        assert texts_outside(plot) == []


# Charge -----------------------------------------------------------------------------------------------------------


def needed(**changes):
    figures = {"quiescent_a": 0.1, "operating_a": 2.2, "operations": 2, "seconds_each": 50, "temperature_c": 15}
    return required_capacity(STANDBY_BASES["en-12101-10-2005-72h"], **(figures | changes))


def test_charge_tells_the_same_figures_as_the_engine():
    need = needed()
    plot = charge_plot(17.0, need, 72, key="b", name="P1")
    points = charge_over_standby(17.0, need, 72)
    cells = [row[1] for row in plot.rows]
    assert cells[0] == "17"
    assert [float(one) for one in (cells[1], cells[2], cells[4])] == pytest.approx(
        [points[0][1], points[-2][1], points[-1][1]], abs=0.01
    )
    assert "left, after the operations" in plot.description


def test_a_battery_that_runs_empty_says_so():
    plot = charge_plot(4.5, needed(), 72, key="b", name="P1")
    assert plot.rows[2][1] == plot.rows[4][1] == "0: empty"
    assert "less than the" in plot.description
    (standby, _) = paths(plot, "course look-1")
    assert min(y for _, y in standby.points) < max(y for _, y in standby.points)


def test_hours_and_minutes_have_an_axis_each_with_a_break_between():
    plot = charge_plot(17.0, needed(), 72, key="b", name="P1")
    assert words(plot, "axis-label") == ["standby (h)", "operation (min)"]
    standby, operation = paths(plot, "course look-1")
    assert standby.points[-1] == operation.points[0]
    assert operation.points[-1][0] > operation.points[1][0]


@settings(max_examples=30, deadline=None)
@given(st.floats(0.5, 500), st.floats(0, 5), st.floats(0.1, 60), st.integers(1, 20), st.floats(4, 240))
def test_no_label_of_a_battery_lies_over_another(capacity_ah, quiescent_a, operating_a, operations, standby_h):
    need = needed(quiescent_a=quiescent_a, operating_a=operating_a, operations=operations, standby_h=standby_h)
    plot = charge_plot(capacity_ah, need, standby_h, key="b", name="P1")
    assert overlapping_texts(plot) == []
    assert texts_outside(plot) == []


# Lines ------------------------------------------------------------------------------------------------------------


def test_each_state_has_a_row_and_what_the_panel_makes_of_it():
    plot = line_plot(make_line(), key="l")
    assert len(plot.rows) == 15
    told = {row[0]: row[3] for row in plot.rows}
    assert told["normal"] == "normal"
    assert told["D1 in alarm"] == "alarm"
    assert told["break before D2"] == told["D2 removed"] == "open"
    assert told["short after D2"] == "short"
    assert "each is recognised as what it is" in plot.description
    assert words(plot, "band-label") == ["short", "alarm", "normal", "open"]


def test_a_state_out_of_its_range_is_hollow_with_a_sign():
    plot = line_plot(make_line(elements=(EndOfLineResistor("D2", 4_700.0, 0.01),)), key="l")
    assert [row[3] for row in plot.rows if row[0] == "normal"] == ["■ fault"]
    assert "■ normal" in words(plot, "row-label off")
    assert any(mark.shape == "bar" and mark.kind == "span off" for mark in plot.marks)
    assert plot.notes


@settings(max_examples=20, deadline=None)
@given(st.integers(1, 40), st.sampled_from(["D", "Detector of the north stair "]))
def test_many_devices_share_rows_and_no_label_lies_over_another(count, prefix):
    devices = tuple(make_device(f"{prefix}{k}") for k in range(count))
    plot = line_plot(make_line(devices=(make_device("B1", LineRole.CALL_POINT), *devices)), key="l")
    assert len(plot.rows) <= 22
    assert overlapping_texts(plot) == []
    assert texts_outside(plot) == []


def test_shared_rows_reach_from_the_least_to_the_greatest_of_their_kind():
    devices = tuple(make_device(f"D{k}") for k in range(20))
    states = [state for state in states_seen(make_line(devices=devices)) if state.kind == StateKind.ALARM]
    plot = line_plot(make_line(devices=devices), key="l")
    (shared,) = [row for row in plot.rows if row[0] == "20 in alarm, each"]
    assert float(shared[1]) == pytest.approx(min(state.span.low_ohm for state in states), abs=0.5)
    assert float(shared[2]) == pytest.approx(max(state.span.high_ohm for state in states), abs=0.5)


def test_what_hides_a_break_stands_in_a_row_of_its_own():
    # 20 devices of 50 µA at 20 V are 1/(20 × 50e-6/20) = 20 kilohm beside a break at the far end [calc]: not open.
    plot = line_plot(make_line(devices=tuple(make_device(f"D{k}") for k in range(20))), key="l")
    told = {row[0]: row[3] for row in plot.rows}
    assert told["20 breaks"] == "open"
    assert told["break after D19"].startswith("■")


@pytest.mark.parametrize(
    ("low", "high", "names"),
    [(0.0, 5.0, ["tick"]), (50_000.0, math.inf, ["wedge"]), (math.inf, math.inf, ["wedge"]), (500.0, 500.1, ["bar"])],
)
def test_a_span_at_the_edge_is_a_wedge_and_a_narrow_one_still_shows(low, high, names):
    chart = RangeChart(
        key="w",
        title="t",
        description="d",
        label="seen",
        unit="Ω",
        low=30,
        high=100_000,
        ranges=(ResistanceRange("short", 0, 100),),
        rows=(SpanRow("state", low, low, high),),
    )
    plot = range_chart(chart)
    drawn = [mark for mark in plot.marks if mark.kind.startswith("span")]
    assert drawn
    bars = [mark for mark in drawn if mark.shape == "bar"]
    assert all(bar.wide >= 2.5 - 1e-9 for bar in bars)
    assert ("wedge" in names) <= any("wedge" in mark.kind for mark in drawn)


# For other pages --------------------------------------------------------------------------------------------------


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.text("abcM ", min_size=1, max_size=30), st.floats(0, 30)), min_size=1, max_size=30),
    st.lists(st.floats(0, 100), max_size=30),
)
def test_a_chart_with_many_courses_and_places_stays_readable(courses, places):
    chart = LineChart(
        key="x",
        title="t",
        description="d",
        x=Axis("length", "m", 0, 100),
        y=Axis("volts", "V", 0, 30),
        series=tuple(Series(name, (((0, 30), (100, end)),), k % 4 + 1) for k, (name, end) in enumerate(courses)),
        levels=(Level("limit", 15),),
        places=tuple(NamedPlace(f"A{k}", x) for k, x in enumerate(sorted(places))),
    )
    plot = line_chart(chart)
    assert overlapping_texts(plot) == []
    assert texts_outside(plot) == []
