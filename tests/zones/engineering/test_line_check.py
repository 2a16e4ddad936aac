"""Findings about monitored lines."""

import itertools
from dataclasses import replace

import pytest

from tests.zones.engineering.designs import codes, make_device, make_line, only
from zones.engineering import Conductor, EndOfLineResistor, LineRole, Severity, TradePractice
from zones.engineering.detection_lines import Bound, LineState, Span, line_model
from zones.engineering.line_alarms import crowds
from zones.engineering.line_check import check_line, meter_reads_ohm, states_seen
from zones.engineering.line_ranges import RangeName, ranges_of


def devices_of(*changes):
    return tuple(make_device(f"B{k}", LineRole.CALL_POINT, **change) for k, change in enumerate(changes, 1))


def test_a_line_of_usual_values_meets_every_range():
    findings = check_line(make_line())
    assert {one.severity for one in findings} == {Severity.MEETS, Severity.NOTE}
    expected = {"normal", "meter", "alarm", "alarm_together", "apart", "break", "short", "removal"}
    assert {one.code for one in findings} == {f"line.{word}" for word in expected}


def test_ten_detectors_draw_a_line_towards_the_edge_of_its_range():
    """10 × 60 uA at 20 V look like 7.69 kilohm: handbook 3; with a tolerance of 5 % that leaves 7.5 kilohm."""
    devices = tuple(make_device(f"D{k}", quiescent_current_a=60e-6) for k in range(10))
    close = make_line(devices=devices, elements=(EndOfLineResistor("D9", 10_000.0, 0.01),))
    wide = make_line(devices=devices, elements=(EndOfLineResistor("D9", 10_000.0, 0.05),))
    assert only(check_line(close), "line.normal").severity == Severity.MEETS
    assert only(check_line(wide), "line.normal").severity == Severity.FAIL


@pytest.mark.parametrize(
    ("keeps", "severity"), [(True, Severity.MEETS), (None, Severity.MISSING), (False, Severity.FAIL)]
)
def test_two_alarms_of_470_ohm_leave_the_range_so_the_first_must_be_kept(keeps, severity):
    """229.6 ohm is below the resistance range of 250 ohm: handbook 3."""
    small = make_line(devices=devices_of({"alarm_ohm": 470.0}, {"alarm_ohm": 470.0}), keeps_first_alarm=keeps)
    finding = only(check_line(small), "line.alarm_together")
    assert finding.severity == severity
    assert "of 2 devices in alarm at once 2 may read as fault, undefined" in finding.sentence


def test_two_alarms_of_680_ohm_stay_in_the_range():
    assert "line.alarm_together" not in [one.code for one in check_line(make_line(devices=devices_of({}, {})))]


def test_of_ten_at_680_ohm_three_read_as_a_fault_and_eight_as_a_short():
    """680/3 = 226.7 and 680/8 = 85 ohm before tolerances (handbook 3: m devices give Ra/m); 250 and 100 ohm limit."""
    exact = {"alarm_tolerance": 0.0, "quiescent_current_a": 0.0, "length_m": 0.5}
    line = make_line(devices=devices_of(*[exact] * 10))
    sentence = only(check_line(line), "line.alarm_together").sentence
    assert (
        "3 may read as fault, undefined and 7 may read as short circuit" in sentence
    )  # 7 × in parallel with 10 kΩ: 96


def test_what_is_seen_with_more_in_alarm_never_rises_and_is_that_of_the_worst_devices():
    devices = devices_of({"alarm_ohm": 680.0}, {"alarm_ohm": 470.0}, {"alarm_ohm": 1000.0})
    line = make_line(devices=devices)
    model = line_model(line)
    seen = crowds(line, model)
    by_hand = {
        number: min(
            model.seen_ohm(LineState(in_alarm=frozenset(some)), Bound.LOW)
            for some in itertools.combinations(range(3), number)
        )
        for number in (1, 2, 3)
    }
    assert {number: span.low_ohm for number, span in seen} == pytest.approx(by_hand)


def test_a_wider_range_of_the_firm_answers_it():
    small = make_line(devices=devices_of({"alarm_ohm": 470.0}, {"alarm_ohm": 470.0}), keeps_first_alarm=None)
    assert codes(check_line(small, TradePractice(alarm_low_ohm=200.0)), Severity.MISSING) == []


def test_devices_draw_anything_from_nothing_to_their_data_sheet():
    """10 × 60 uA at 20 V look like 7.69 kilohm, without any current like 10 kilohm: handbook 3."""
    line = make_line(devices=tuple(make_device(f"D{k}", quiescent_current_a=60e-6, length_m=0.5) for k in range(10)))
    span = line_model(replace(line, elements=(EndOfLineResistor("D9", 10_000.0, 0.0),))).span()
    assert (span.low_ohm, span.high_ohm) == (pytest.approx(7692, abs=2), pytest.approx(10_000, abs=2))


def test_an_alarm_resistor_outside_the_range_fails():
    finding = only(check_line(make_line(devices=devices_of({"alarm_ohm": 150.0}))), "line.alarm")
    assert finding.severity == Severity.FAIL
    assert "B1 in alarm leaves the alarm range of 250 Ω to 2.50 kΩ" in finding.sentence


def test_an_alarm_that_overlaps_normal_fails():
    devices = devices_of({"alarm_ohm": 200_000.0})
    loose = make_line(devices=devices, elements=(EndOfLineResistor("B1", 10_000.0, 0.05),))
    finding = only(check_line(loose), "line.apart")
    assert finding.severity == Severity.FAIL
    assert "alarm and normal overlap" in finding.sentence


def test_the_threshold_between_alarm_and_normal_is_told():
    devices = devices_of({"length_m": 1000.0, "conductor": Conductor(0.75, 1)})
    line = make_line(devices=devices, elements=(EndOfLineResistor("B1", 10_000.0, 0.05),))
    # 604.9 … 718.5 and 9500 … 10 550 ohm for 0 to 50 ohm of cable: 2.61 kilohm, handbook 3
    assert "A threshold of 2.61 kΩ parts normal from alarm." in only(check_line(line), "line.apart").sentence


def test_a_contact_without_resistor_looks_like_a_short_and_fails():
    findings = check_line(make_line(devices=devices_of({"alarm_ohm": 0.0})))
    assert only(findings, "line.alarm").severity == Severity.FAIL
    assert "short and alarm overlap" in only(findings, "line.apart").sentence


def test_a_break_hidden_by_thirsty_devices_fails():
    devices = tuple(make_device(f"D{k}", quiescent_current_a=150e-6) for k in range(10))
    finding = only(check_line(make_line(devices=devices)), "line.break")
    assert finding.severity == Severity.FAIL
    assert "not open (above 20.00 kΩ)" in finding.sentence


def test_a_short_at_the_end_of_a_long_thin_line_fails():
    devices = devices_of({"length_m": 1500.0, "conductor": Conductor(0.5, 5)})
    finding = only(check_line(make_line(devices=devices)), "line.short")
    assert finding.severity == Severity.FAIL
    assert "117 Ω" in finding.sentence  # 2 × 1500 m × 39.0 ohm/km, IEC 60228 class 5


def test_a_base_that_bridges_hides_the_missing_head():
    devices = (make_device("D1", removal_opens_line=False), make_device("D2"))
    finding = only(check_line(make_line(devices=devices)), "line.removal")
    assert finding.severity == Severity.FAIL
    assert "taking out D1 is not seen as a fault" in finding.sentence


def test_a_head_whose_span_reaches_into_the_normal_range_is_not_seen_reliably():
    """Its resistor in series, 20 % either way: 13.5 kilohm is outside normal, 12.8 kilohm is inside (Ohm's law)."""
    devices = (make_device("D1", removal_opens_line=False), make_device("D2"))
    wide = make_line(devices=devices, elements=(EndOfLineResistor("D2", 13_500.0, 0.05),))
    close = make_line(devices=devices, elements=(EndOfLineResistor("D2", 13_500.0, 0.001),))
    assert only(check_line(wide), "line.removal").severity == Severity.FAIL
    assert only(check_line(close), "line.removal").severity == Severity.MEETS


def test_a_span_counts_every_range_that_it_crosses():
    assert ranges_of(Span(3_000.0, 10_000.0, 30_000.0)) == {RangeName.UNDEFINED, RangeName.NORMAL, RangeName.OPEN}
    assert ranges_of(Span(50.0, 1_000.0, 3_000.0)) == {RangeName.SHORT, RangeName.UNDEFINED, RangeName.ALARM}
    assert ranges_of(Span(300.0, 400.0, 500.0)) == {RangeName.ALARM}


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"line_voltage_v": 60.0}, "line voltage is 60 V; usual is 12 to 32 V"),
        ({"elements": (EndOfLineResistor("D2", 10_000.0, 0.3),)}, "tolerance of element is 0.3; usual is 0 to 0.2"),
        ({"devices": (make_device("D1", length_m=400.0), make_device("D2"))}, "length of D1 is 400 m; usual is"),
        ({"devices": (make_device("D1", quiescent_current_a=0.01), make_device("D2"))}, "current of D1 is 0.01 A;"),
        ({"devices": (make_device("D1", alarm_ohm=6_000.0), make_device("D2"))}, "of D1 is 6000 ohm; usual is"),
    ],
)
def test_a_strange_figure_of_the_line_is_questioned_and_used(changes, words):
    findings = check_line(make_line(**changes))
    assert any(words in one.sentence for one in findings if one.code == "figure.unusual")
    assert any(one.code == "line.normal" for one in findings)


def test_a_call_point_beyond_a_detector_is_questioned():
    devices = (make_device("D1"), make_device("B1", LineRole.CALL_POINT))
    finding = only(check_line(make_line(devices=devices)), "line.call_point_order")
    assert finding.severity == Severity.QUESTION
    assert "taking out D1 cuts off B1" in finding.sentence


def test_the_meter_reading_is_that_of_the_unpowered_line():
    devices = devices_of({"length_m": 500.0})
    line = make_line(devices=devices)
    assert meter_reads_ohm(line).nominal_ohm == pytest.approx(10_024.5)  # handbook 3
    finding = only(check_line(line), "line.meter")
    assert finding.severity == Severity.NOTE
    assert "nominally 10.02 kΩ" in finding.sentence
    assert "does not prove that the resistor is at the true end" in finding.sentence


def test_a_meter_does_not_feed_the_detectors():
    cable_ohm = 3 * 2 * 10 * 24.5e-3
    assert meter_reads_ohm(make_line()).nominal_ohm == pytest.approx(10_000 + cable_ohm)


@pytest.mark.parametrize(
    ("change", "what"),
    [
        ({"length_m": None}, "cable length of D1"),
        ({"conductor": None}, "cable section or class of D1"),
        ({"alarm_ohm": None}, "alarm resistance of D1"),
        ({"quiescent_current_a": None}, "quiescent current of D1"),
        ({"removal_opens_line": None}, "effect of taking out the head of D1"),
    ],
)
def test_a_missing_figure_gives_no_verdict_on_the_line(change, what):
    findings = check_line(make_line(devices=(make_device("D1", **change),)))
    assert [one.severity for one in findings] == [Severity.MISSING]
    assert findings[0].sentence.startswith(what)


def test_an_unknown_element_or_line_voltage_gives_no_verdict():
    no_value = check_line(make_line(elements=(EndOfLineResistor("D2"),)))
    no_voltage = check_line(make_line(line_voltage_v=None))
    assert [one.severity for one in no_value + no_voltage] == [Severity.MISSING] * 2


def test_without_devices_that_draw_the_line_voltage_is_not_needed():
    line = make_line(devices=devices_of({}), line_voltage_v=None)
    assert codes(check_line(line), Severity.MISSING) == []


def test_an_unused_line_is_checked_at_the_panel():
    unused = make_line(devices=(), elements=(EndOfLineResistor("panel", 10_000.0, 0.01),))
    assert [one.code for one in check_line(unused)] == ["line.normal", "line.meter"]


def test_a_line_with_a_wrong_number_of_elements_is_left_to_the_consistency_check():
    assert check_line(make_line(elements=())) == []


def test_ten_ohm_typed_for_ten_kilohm_is_questioned():
    finding = only(check_line(make_line(elements=(EndOfLineResistor("D2", 10.0),))), "figure.unusual")
    assert "10 kilohm is 10000 ohm" in finding.sentence


def test_every_state_is_there_for_a_table_or_a_plot():
    seen = {state.name: state for state in states_seen(make_line())}
    assert seen["normal"].ranges == {RangeName.NORMAL}
    assert seen["B1 in alarm"].ranges == {RangeName.ALARM}
    assert seen["D1 removed"].ranges == {RangeName.OPEN}
    assert seen["break after D2"].ranges == {RangeName.OPEN}
    assert seen["short before B1"].ranges == {RangeName.SHORT}
    assert len(seen) == 1 + 3 + 1 + 2 + 4 + 4  # normal, alarms, two together, removals, breaks, shorts


def test_a_closer_tolerance_never_widens_a_span():
    wide, close = (
        replace(make_line(), elements=(EndOfLineResistor("D2", 10_000.0, tolerance),)) for tolerance in (0.05, 0.01)
    )
    for before, after in zip(states_seen(wide), states_seen(close), strict=True):
        assert before.span.low_ohm <= after.span.low_ohm
        assert before.span.high_ohm >= after.span.high_ohm
