"""Monitored lines in every state: the handbook's section 3, and ngspice for random lines."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.zones.engineering.designs import make_device, make_line
from tests.zones.engineering.ngspice import needs_ngspice, resistance_seen
from zones.engineering import Conductor, EndOfLineResistor, LineRole, QuantityError
from zones.engineering.detection_lines import NORMAL, AlarmWiring, Bound, LineModel, LineState, Span, line_model
from zones.engineering.line_alarms import overlapping, threshold_ohm
from zones.engineering.line_ranges import RangeName, range_of


def model(*, sections=(0.0,), alarm=(680.0,), element=10_000.0, tolerance=0.0, loads=None):
    """A plain line for comparison with figures that have no cable."""
    count = len(sections)
    spread = (1 - tolerance, 1.0, 1 + tolerance)
    alarms = tuple(tuple(ohm * f for f in spread) for ohm in (alarm * count if len(alarm) == 1 else alarm))
    return LineModel(
        *(tuple(sections), alarms, (False,) * count, (True,) * count, tuple(loads or (0.0,) * count)),
        elements=((count - 1, tuple(element * f for f in spread)),),
        cable_least_fraction=0.0,
    )


@pytest.mark.parametrize(("alarm_ohm", "seen"), [(470, 448.9), (680, 636.7), (1000, 909.1)])  # handbook 3
def test_one_alarm_lies_in_parallel_with_the_element(alarm_ohm, seen):
    line = model(alarm=(float(alarm_ohm),))
    assert line.seen_ohm(LineState(in_alarm=frozenset({0}))) == pytest.approx(seen, abs=0.06)


@pytest.mark.parametrize(("alarm_ohm", "seen"), [(470, 229.6), (680, 328.8), (1000, 476.2)])  # handbook 3
def test_two_alarms_halve_the_resistor(alarm_ohm, seen):
    line = model(sections=(0.0, 0.0), alarm=(float(alarm_ohm),))
    assert line.seen_ohm(LineState(in_alarm=frozenset({0, 1}))) == pytest.approx(seen, abs=0.06)


@pytest.mark.parametrize(
    ("tolerance", "alarm", "normal"),  # handbook 3: 680 ohm, cable 0 to 50 ohm
    [(0.05, (604.9, 718.5), (9500, 10_550)), (0.01, (630.3, 693.1), (9900, 10_150))],
)
def test_spans_over_all_tolerances(tolerance, alarm, normal):
    line = model(sections=(50.0,), tolerance=tolerance)
    alarm_span, normal_span = line.span(LineState(in_alarm=frozenset({0}))), line.span(NORMAL)
    assert (alarm_span.low_ohm, alarm_span.high_ohm) == pytest.approx(alarm, abs=0.06)
    assert (normal_span.low_ohm, normal_span.high_ohm) == pytest.approx(normal)


def test_threshold_lies_at_the_geometric_mean():
    assert threshold_ohm(Span(604.9, 636.7, 718.5), Span(9500, 10_000, 10_550)) == pytest.approx(2610, abs=5)
    with pytest.raises(QuantityError, match="apart from each other"):
        threshold_ohm(Span(1, 2, 3), Span(2, 3, 4))


def test_five_hundred_metres_of_cable():
    """500 m of 0.75 mm²: 24.5 ohm, normal 10 024.5, alarm at the far end 661.2 ohm: handbook 3."""
    device = make_device("B1", LineRole.CALL_POINT, length_m=500.0, conductor=Conductor(0.75, 1))
    line = make_line(devices=(device,), elements=(EndOfLineResistor("B1", 10_000.0, 0.0),))
    assert line.cable_ohm() == pytest.approx(24.5)
    ready = line_model(line)
    assert ready.seen_ohm() == pytest.approx(10_024.5)
    assert ready.seen_ohm(LineState(in_alarm=frozenset({0}))) == pytest.approx(661.2, abs=0.06)


def test_ten_detectors_at_rest_look_like_a_lower_element():
    devices = tuple(make_device(f"D{k}", length_m=0.01, quiescent_current_a=60e-6) for k in range(10))
    line = make_line(devices=devices, elements=(EndOfLineResistor("D9", 10_000.0, 0.0),))
    assert line_model(line).seen_ohm() == pytest.approx(7_690, abs=10)  # handbook 3
    assert line_model(line, powered=False).seen_ohm() == pytest.approx(10_000, abs=1)  # a meter does not feed them


def test_two_elements_read_half():
    line = make_line(elements=(EndOfLineResistor("D2", 10_000.0), EndOfLineResistor("panel", 10_000.0)))
    assert line_model(line, powered=False).seen_ohm() == pytest.approx(5_000, abs=1)  # handbook 3


def test_an_unused_line_shows_its_element_at_the_panel():
    line = make_line(devices=(), elements=(EndOfLineResistor("panel", 10_000.0, 0.01),))
    assert line_model(line).span() == (9_900, 10_000, 10_100)
    assert line_model(make_line(devices=(), elements=())).seen_ohm() == math.inf


def test_a_break_or_a_removed_head_is_open_and_a_short_is_the_cable_to_it():
    line = line_model(make_line(), powered=False)
    section_ohm = 2 * 10 * 24.5e-3  # 0.75 mm², class 1
    for k in range(4):
        assert line.seen_ohm(LineState(break_before=k)) == math.inf
    for k in range(3):
        assert line.seen_ohm(LineState(short_before=k)) == pytest.approx((k + 1) * section_ohm)
    assert line.seen_ohm(LineState(removed=frozenset({1}))) == math.inf


def test_a_base_that_bridges_does_not_show_the_missing_head():
    devices = (make_device("D1", removal_opens_line=False), make_device("D2"))
    line = line_model(make_line(devices=devices), powered=False)
    assert line.seen_ohm(LineState(removed=frozenset({0}))) == line.seen_ohm()


def test_a_removed_device_cannot_be_in_alarm():
    devices = (make_device("D1", removal_opens_line=False), make_device("D2"))
    line = line_model(make_line(devices=devices), powered=False)
    both = LineState(removed=frozenset({0}), in_alarm=frozenset({0}))
    assert line.seen_ohm(both) == line.seen_ohm()


def test_a_series_resistor_adds_to_the_line():
    devices = (make_device("B1", LineRole.CONTACT, alarm_wiring=AlarmWiring.SERIES, alarm_ohm=4_700.0),)
    line = line_model(make_line(devices=devices), powered=False)
    alarmed = line.seen_ohm(LineState(in_alarm=frozenset({0})))
    assert alarmed - line.seen_ohm() == pytest.approx(4_700)


def test_a_contact_without_resistor_looks_like_a_short():
    devices = (make_device("B1", LineRole.CALL_POINT, alarm_ohm=0.0),)
    line = line_model(make_line(devices=devices))
    state = LineState(in_alarm=frozenset({0}))
    assert line.seen_ohm(state) == line.seen_ohm(LineState(short_before=0))


@pytest.mark.parametrize(
    ("ohm", "resistance_range"),  # default ranges: handbook 3 [P]
    [
        (0, RangeName.SHORT),
        (99.9, RangeName.SHORT),
        (150, RangeName.UNDEFINED),
        (250, RangeName.ALARM),
        (2_500, RangeName.ALARM),
        (5_000, RangeName.UNDEFINED),
        (7_500, RangeName.NORMAL),
        (13_000, RangeName.NORMAL),
        (15_000, RangeName.UNDEFINED),
        (20_001, RangeName.OPEN),
        (math.inf, RangeName.OPEN),
    ],
)
def test_between_the_ranges_lies_a_fault_and_never_normal(ohm, resistance_range):
    assert range_of(ohm) == resistance_range


def test_spans_that_touch_are_reported_as_a_pair():
    spans = [("normal", Span(90, 100, 110)), ("alarm", Span(50, 60, 90)), ("short", Span(0, 0, 49))]
    assert overlapping(spans) == [("alarm", "normal")]


def test_two_devices_of_one_name_are_refused():
    with pytest.raises(QuantityError, match="different names"):
        make_line(devices=(make_device("D1"), make_device("D1")))


def test_an_element_at_a_device_that_is_not_on_the_line_is_refused():
    with pytest.raises(QuantityError, match="it must be one of: B1, D1, D2, panel"):
        line_model(make_line(elements=(EndOfLineResistor("D9", 10_000.0),)))


@st.composite
def lines_in_a_state(draw):
    """A line of 1 to 12 devices with elements at the end and perhaps at the panel, in some state."""
    count = draw(st.integers(1, 12))
    ohms = st.floats(50.0, 5_000.0)
    subsets = st.frozensets(st.integers(0, count - 1), max_size=3)
    line = LineModel(
        tuple(draw(st.lists(st.floats(0.01, 30.0), min_size=count, max_size=count))),
        tuple((ohm, ohm, ohm) for ohm in draw(st.lists(ohms, min_size=count, max_size=count))),
        tuple(draw(st.lists(st.booleans(), min_size=count, max_size=count))),
        tuple(draw(st.lists(st.booleans(), min_size=count, max_size=count))),
        tuple(draw(st.lists(st.sampled_from([0.0, 2.5e-6, 1e-5]), min_size=count, max_size=count))),
        ((count - 1, (10_000.0,) * 3), *(((-1, (10_000.0,) * 3),) if draw(st.booleans()) else ())),
        1.0,
    )
    joints = st.none() | st.integers(0, count)
    state = LineState(draw(subsets), draw(subsets), draw(joints), draw(joints))
    return line, state


def device_netlist(line, state, k):
    gone = k in state.removed
    if gone and line.opens[k]:
        return
    alarmed = k in state.in_alarm and not gone
    in_series = alarmed and line.in_series[k]
    # A source of 0 V is a wire.
    yield f"RT{k} a{k} b{k} {line.alarms[k][1]!r}" if in_series else f"VT{k} a{k} b{k} 0"
    if alarmed and not line.in_series[k]:
        yield f"RA{k} a{k} 0 {line.alarms[k][1]!r}"
    if line.loads_s[k] and not gone:
        yield f"RQ{k} a{k} 0 {1 / line.loads_s[k]!r}"


def line_netlist(line, state):
    """The same line drawn core by core: a<k> arrives at device k, b<k> leaves it; written apart from the model."""
    count, netlist = len(line.sections_ohm), []
    for k in range(count):
        before = "t" if k == 0 else f"b{k - 1}"
        if state.break_before != k:
            netlist.append(f"RC{k} {before} a{k} {line.sections_ohm[k]!r}")
        if state.short_before == k:
            netlist.append(f"RS{k} a{k} 0 1e-7")
        netlist += device_netlist(line, state, k)
    for place, ohm in line.elements:
        if place == -1:
            netlist.append(f"REP t 0 {ohm[1]!r}")
        elif state.break_before != count:
            netlist.append(f"REE b{count - 1} 0 {ohm[1]!r}")
    if state.short_before == count and state.break_before != count:
        netlist.append(f"RSE b{count - 1} 0 1e-7")
    # Pieces that hang loose would leave the simulator without an operating point.
    return [*netlist, *(f"RG{side}{k} {side}{k} 0 1e13" for k in range(count) for side in "ab"), "RGT t 0 1e13"]


@needs_ngspice
@settings(max_examples=60)
@given(lines_in_a_state())
def test_any_line_in_any_state_agrees_with_ngspice(line_and_state):
    line, state = line_and_state
    ours = line.seen_ohm(state)
    theirs = resistance_seen(line_netlist(line, state))
    assert ours == pytest.approx(theirs, rel=1e-6, abs=1e-6)


@given(lines_in_a_state())
def test_the_last_joint_is_the_worst_for_a_break_and_for_a_short(line_and_state):
    """So that the check needs to look at one joint only."""
    line, _ = line_and_state
    line = replace(line, elements=line.elements[:1])
    joints = range(len(line.sections_ohm) + 1)
    breaks = [line.seen_ohm(LineState(break_before=k)) for k in joints]
    shorts = [line.seen_ohm(LineState(short_before=k)) for k in joints]
    assert min(breaks) == breaks[-1]
    assert max(shorts) == pytest.approx(shorts[-1], rel=1e-12)


@given(lines_in_a_state())
def test_the_span_holds_its_nominal_value(line_and_state):
    line, state = line_and_state
    span = line.span(state)
    assert span.low_ohm <= span.nominal_ohm <= span.high_ohm
    assert line.seen_ohm(state, Bound.NOMINAL) == span.nominal_ohm
