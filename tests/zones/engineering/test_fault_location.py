"""Locate a fault: plant each one, read the line as it would be read, and see whether it is found."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.zones.engineering.designs import make_device, make_line
from zones.engineering import EndOfLineResistor, LineRole, QuantityError, locate_fault
from zones.engineering.detection_lines import LineState, line_model
from zones.engineering.fault_location import FaultKind, distance_to_short_m, nearest_e24_ohm, tell_apart

KINDS = (LineRole.CALL_POINT, LineRole.DETECTOR, LineRole.DETECTOR, LineRole.DETECTOR)
LINE = make_line(
    devices=tuple(make_device(f"P{k}", kind, length_m=20.0) for k, kind in enumerate(KINDS, 1)),
    elements=(EndOfLineResistor("P4", 10_000.0, 0.01),),
)
ALL = {"P1", "P2", "P3", "P4"}


def kinds(reading_ohm, reporting=None, line=LINE):
    """Kinds that fit the reading fully, best first."""
    return [one.kind for one in locate_fault(line, reading_ohm, reporting=reporting) if one.score < 0.5]


def best(reading_ohm, reporting=None, line=LINE):
    return locate_fault(line, reading_ohm, reporting=reporting)[0]


def test_a_good_reading_is_no_fault_but_may_hide_an_element_at_the_panel():
    """A normal reading does not prove that the resistor is at the true end: handbook 3."""
    explanations = kinds(10_004.0, ALL)
    assert explanations[0] == FaultKind.NONE
    assert FaultKind.ELEMENT_MISPLACED in explanations


@pytest.mark.parametrize("reading_ohm", [4_950.0, 5_000.0, 5_050.0])
def test_half_the_value_means_two_elements(reading_ohm):
    """5.0 kilohm: the panel's element was not removed when the line was connected; handbook 3 [P]."""
    assert best(reading_ohm, ALL).kind == FaultKind.TWO_ELEMENTS
    assert FaultKind.DOUBLE_ELEMENT in kinds(reading_ohm, ALL)


@pytest.mark.parametrize(("reading_ohm", "leak"), [(9_000.0, "90"), (8_000.0, "40")])
def test_a_low_reading_may_be_leakage_of_the_value_in_the_handbook(reading_ohm, leak):
    leakage = next(one for one in locate_fault(LINE, reading_ohm, reporting=ALL) if one.kind == FaultKind.LEAKAGE)
    assert leakage.sentence.startswith(f"About {leak}") or leakage.sentence.startswith(f"About {int(leak) - 1}")
    assert leakage.distance_ohm == 0


def test_a_cause_that_foretold_almost_this_reading_ranks_before_one_that_explains_any():
    assert best(4_880.0, ALL).kind == FaultKind.TWO_ELEMENTS


def test_a_reading_of_another_e24_value_is_an_element_of_that_value():
    explanation = best(4_703.0, ALL)
    assert explanation.kind == FaultKind.WRONG_VALUE
    assert explanation.sentence == "The resistor is 4.70 kΩ, not 10.00 kΩ."


@pytest.mark.parametrize("k", range(4))
def test_an_open_line_is_located_by_the_devices_that_still_report(k):
    reporting = {f"P{j}" for j in range(1, k + 1)}
    explanations = [one for one in locate_fault(LINE, math.inf, reporting=reporting) if one.score < 0.5]
    assert {one.at for one in explanations} == {k}
    expected = {FaultKind.BREAK} if k == 0 else {FaultKind.BREAK, FaultKind.REMOVED}  # P1 is a call point
    assert {one.kind for one in explanations} == expected


def test_an_open_line_whose_devices_all_report_lacks_its_element():
    explanation = best(math.inf, ALL)
    assert explanation.kind == FaultKind.ELEMENT_MISSING
    assert "at P4 is missing or cut off" in explanation.sentence


def test_an_open_line_without_further_knowledge_is_halved():
    explanations = locate_fault(LINE, math.inf)
    advice = tell_apart(LINE, explanations)
    assert advice.startswith("Open the line at P2, halfway through what is suspected")
    assert "about 10.00 kΩ puts the interruption between the panel and P2" in advice


def test_a_break_hidden_by_an_element_at_the_panel_shows_in_the_dead_devices():
    explanation = best(10_000.0, {"P1", "P2"})
    assert explanation.kind == FaultKind.BREAK_WITH_ELEMENT_AT_PANEL
    assert "between P2 and P3" in explanation.sentence


def test_a_good_reading_with_nothing_reporting_is_the_line_left_off_or_turned_round():
    found = kinds(10_000.0, set())
    assert {FaultKind.ELEMENT_AT_PANEL, FaultKind.POLARITY} <= set(found)
    assert FaultKind.NONE not in found


@pytest.mark.parametrize("section", range(4))
def test_a_short_is_located_by_the_cable_up_to_it(section):
    metres = 20 * section + 10
    explanation = best(2 * metres * 24.5e-3, set())  # 0.75 mm²: 24.5 ohm/km, IEC 60228
    assert explanation.kind == FaultKind.SHORT
    assert explanation.at == section
    assert f"about {metres} m from the panel" in explanation.sentence


def test_distance_to_a_short_counts_both_cores():
    assert distance_to_short_m(LINE, 2 * 50 * 24.5e-3) == pytest.approx(50)
    assert distance_to_short_m(LINE, 0) == 0
    assert distance_to_short_m(LINE, 100) is None


def test_a_device_in_alarm_is_recognised():
    reading_ohm = line_model(LINE, powered=False).seen_ohm(LineState(in_alarm=frozenset({2})))
    assert best(reading_ohm, ALL).kind == FaultKind.ALARM


def test_too_much_in_the_line_is_a_poor_joint_or_another_value():
    found = kinds(10_700.0, ALL)
    assert FaultKind.POOR_JOINT in found


def test_every_explanation_says_what_it_would_read_how_far_off_and_what_to_do_next():
    for one in locate_fault(LINE, 7_000.0, reporting={"P1"}):
        assert one.sentence.endswith((".", "?"))
        assert one.next_measurement
        assert one.predicted.low_ohm <= one.predicted.high_ohm
        outside = max(one.predicted.low_ohm - 7_000, 7_000 - one.predicted.high_ohm, 0)
        assert one.distance_ohm <= outside  # a meter's own error is allowed for


def test_devices_that_contradict_an_explanation_are_named():
    missing = next(
        one for one in locate_fault(LINE, math.inf, reporting={"P1"}) if one.kind == FaultKind.ELEMENT_MISSING
    )
    assert missing.contradicting == ("P2", "P3", "P4")


@settings(max_examples=80)
@given(st.data())
def test_a_planted_fault_is_always_among_those_that_fit(data):
    count = data.draw(st.integers(1, 8))
    devices = tuple(
        make_device(f"P{k}", LineRole.DETECTOR, length_m=data.draw(st.floats(1, 100)), quiescent_current_a=0.0)
        for k in range(count)
    )
    line = make_line(devices=devices, elements=(EndOfLineResistor(f"P{count - 1}", 10_000.0, 0.01),))
    model = line_model(line, powered=False)
    k = data.draw(st.integers(0, count - 1))
    kind, state, alive = data.draw(
        st.sampled_from(
            [
                (FaultKind.BREAK, LineState(break_before=k), k),
                (FaultKind.REMOVED, LineState(removed=frozenset({k})), k),
                (FaultKind.SHORT, LineState(short_before=k), 0),
                (FaultKind.ALARM, LineState(in_alarm=frozenset({k})), count),
                (FaultKind.ELEMENT_MISSING, LineState(break_before=count), count),
            ]
        )
    )
    reporting = {f"P{j}" for j in range(alive)}
    found = locate_fault(line, model.seen_ohm(state), reporting=reporting)
    fitting = [(one.kind, one.at) for one in found if one.score < 0.5]
    assert (kind, count if kind == FaultKind.ELEMENT_MISSING else k) in fitting


@pytest.mark.parametrize("reading_ohm", [-1, math.nan, -math.inf, "10k", None])
def test_what_is_no_reading_is_refused(reading_ohm):
    with pytest.raises(QuantityError, match="reading_ohm of L1 is"):
        locate_fault(LINE, reading_ohm)


def test_a_device_of_another_line_is_refused_by_name():
    with pytest.raises(QuantityError, match="reporting of L1 is 'X9'; it must be devices of the line: P1"):
        locate_fault(LINE, 10_000, reporting={"X9"})


def test_a_line_with_unknown_figures_or_two_elements_is_refused():
    with pytest.raises(QuantityError, match="known to locate a fault"):
        locate_fault(replace(LINE, elements=(EndOfLineResistor("P4"),)), 10_000)
    with pytest.raises(QuantityError, match="enter the line as it is designed"):
        locate_fault(replace(LINE, elements=(*LINE.elements, EndOfLineResistor("panel", 10_000.0))), 5_000)


def test_an_unused_line_can_be_read_too():
    unused = make_line(devices=(), elements=(EndOfLineResistor("panel", 10_000.0, 0.01),))
    assert best(10_000, line=unused).kind == FaultKind.NONE
    assert best(0.0, line=unused).score > 1


@pytest.mark.parametrize(("ohm", "value"), [(4_650, 4_700), (9_800, 10_000), (9_400, 9_100), (1.04, 1.0), (222, 220)])
def test_nearest_value_of_the_e24_series(ohm, value):
    assert nearest_e24_ohm(ohm) == pytest.approx(value)  # IEC 60063 [M]
