"""Locate a fault, reading by reading: faults are planted, read by an independent solver, and must be found."""

import math
import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.zones.engineering.designs import make_device, make_line
from tests.zones.engineering.planted_line_faults import KINDS, measured, plant, sought, still_reporting
from zones.engineering import EndOfLineResistor, LineRole, QuantityError, locate_fault
from zones.engineering.fault_location.causes import FaultKind
from zones.engineering.fault_location.measurements import (
    TERMINALS,
    Probe,
    ProbeKind,
    Reading,
    how,
    probe_of,
    probes_of,
    title,
)

CALL_POINT, DETECTOR = LineRole.CALL_POINT, LineRole.DETECTOR
LINE = make_line(
    devices=tuple(make_device(f"P{k}", CALL_POINT if k == 1 else DETECTOR, length_m=20.0) for k in range(1, 5)),
    elements=(EndOfLineResistor("P4", 10_000.0, 0.01),),
)
ALL = {"P1", "P2", "P3", "P4"}
EARTH = Reading(Probe(ProbeKind.EARTH_FIRST), math.inf)


def search(*readings, reporting=None, line=LINE):
    """A bare figure is a reading at the terminals."""
    taken = [one if isinstance(one, Reading) else Reading(TERMINALS, one) for one in readings]
    return locate_fault(line, taken, reporting=reporting)


def best(*readings, reporting=None, line=LINE):
    return search(*readings, reporting=reporting, line=line).explanations[0]


def leading(*readings, reporting=None):
    """Kinds with a share worth naming."""
    return [one.kind for one in search(*readings, reporting=reporting).explanations if one.share > 0.02]


# One reading, as the handbook has it ----------------------------------------------------------------------------------


def test_a_good_reading_is_no_fault_but_may_hide_an_element_at_the_panel():
    """A normal reading does not prove that the resistor is at the true end: handbook 3."""
    kinds = leading(10_004.0, reporting=ALL)
    assert kinds[0] == FaultKind.NONE
    assert FaultKind.ELEMENT_MISPLACED in kinds


def test_a_tolerance_that_no_data_sheet_gives_is_that_of_common_practice():
    """5 % [P]: 10.4 kilohm is the resistor itself, and one of 1 % it cannot be."""
    no_sheet = replace(LINE, elements=(EndOfLineResistor("P4", 10_000.0),))
    assert best(10_400.0, reporting=ALL, line=no_sheet).kind == FaultKind.NONE
    assert best(10_400.0, reporting=ALL).kind != FaultKind.NONE


@pytest.mark.parametrize("reading_ohm", [4_950.0, 5_000.0, 5_050.0])
def test_half_the_value_means_two_elements(reading_ohm):
    """5.0 kilohm: the panel's element was not removed when the line was connected; handbook 3 [P]."""
    assert best(reading_ohm, reporting=ALL).kind == FaultKind.TWO_ELEMENTS
    assert FaultKind.DOUBLE_ELEMENT in leading(reading_ohm, reporting=ALL)


@pytest.mark.parametrize(("reading_ohm", "leak_ohm"), [(9_000.0, 90_000), (8_000.0, 40_000)])
def test_a_low_reading_may_be_leakage_of_the_value_in_the_handbook(reading_ohm, leak_ohm):
    found = search(reading_ohm, reporting=ALL).explanations
    leak = next(one for one in found if one.kind == FaultKind.LEAKAGE)
    told = float(leak.sentence.removeprefix("About ").partition(" kΩ")[0]) * 1_000
    assert told == pytest.approx(leak_ohm, rel=0.02)


def test_a_cause_that_foretold_almost_this_reading_ranks_before_one_that_explains_any():
    assert best(4_930.0, reporting=ALL).kind == FaultKind.TWO_ELEMENTS


def test_a_reading_of_another_e24_value_is_an_element_of_that_value():
    """E24 values: IEC 60063 [M]."""
    explanation = best(4_703.0, reporting=ALL)
    assert explanation.kind == FaultKind.WRONG_VALUE
    assert explanation.sentence == "The resistor is 4.70 kΩ, not 10.00 kΩ."


@pytest.mark.parametrize("k", range(4))
def test_an_open_line_is_located_by_the_devices_that_still_report(k):
    found = search(math.inf, reporting={f"P{j}" for j in range(1, k + 1)}).explanations
    fitting = {(one.kind, one.at) for one in found if one.fits and one.share > 0.05}
    kinds = {FaultKind.BREAK} if k == 0 else {FaultKind.BREAK, FaultKind.REMOVED}  # P1 is a call point
    assert fitting == {(kind, k) for kind in kinds}


def test_an_open_line_whose_devices_all_report_lacks_its_element():
    explanation = best(math.inf, reporting=ALL)
    assert explanation.kind == FaultKind.ELEMENT_MISSING
    assert "resistor at P4 is cut off" in explanation.sentence


def test_a_break_hidden_by_an_element_at_the_panel_shows_in_the_dead_devices():
    explanation = best(10_000.0, reporting={"P1", "P2"})
    assert explanation.kind == FaultKind.BREAK_WITH_ELEMENT_AT_PANEL
    assert "between P2 and P3" in explanation.sentence


def test_reversed_polarity_kills_detectors_while_call_points_still_report():
    """A call point is a bare contact; a detector's electronics need the right way round (common practice [P])."""
    devices = tuple(make_device(f"P{k}", CALL_POINT if k in (1, 3) else DETECTOR) for k in range(1, 5))
    mixed = make_line(devices=devices, elements=(EndOfLineResistor("P4", 10_000.0, 0.01),))
    assert best(10_000.0, reporting={"P1", "P3"}, line=mixed).kind == FaultKind.POLARITY
    assert best(10_000.0, reporting=ALL, line=mixed).kind == FaultKind.NONE


@pytest.mark.parametrize("section", range(4))
def test_a_short_is_located_by_the_cable_up_to_it(section):
    metres = 20 * section + 10
    explanation = best(2 * metres * 24.5e-3, reporting=set())  # 0.75 mm²: 24.5 ohm/km, IEC 60228
    assert (explanation.kind, explanation.at) == (FaultKind.SHORT, section)
    told = int(explanation.sentence.partition("about ")[2].partition(" m ")[0])
    assert told == pytest.approx(metres, abs=metres * 0.12 + 2)  # copper may be better than the table's greatest


# Several readings -----------------------------------------------------------------------------------------------------


def test_a_resistor_left_at_the_panel_is_settled_by_measuring_into_the_cores_alone():
    cores = Probe(ProbeKind.CORES)
    found = search(5_000.0, reporting=ALL)
    assert found.proposal.probe == cores
    assert best(5_000.0, Reading(cores, 10_000.0), reporting=ALL).kind == FaultKind.TWO_ELEMENTS
    assert best(5_000.0, Reading(cores, 5_000.0), reporting=ALL).kind != FaultKind.TWO_ELEMENTS


def test_a_leak_is_on_the_side_of_the_opened_joint_that_reads_low():
    forward = Probe(ProbeKind.FORWARD, 1)
    beyond = best(6_000.0, Reading(forward, 6_000.0), reporting=ALL)
    before = best(6_000.0, Reading(forward, 10_000.0), reporting=ALL)
    assert (beyond.kind, before.kind) == (FaultKind.LEAKAGE, FaultKind.LEAKAGE)
    assert before.at <= 1 < beyond.at


def test_a_core_to_earth_is_found_though_the_line_reads_right():
    low = Reading(EARTH.probe, 250.0)
    found = search(10_000.0, low, reporting=ALL)
    assert found.explanations[0].kind == FaultKind.EARTH
    assert found.explanations[0].sentence.startswith("The first core touches earth")
    assert best(10_000.0, EARTH, reporting=ALL).kind == FaultKind.NONE


def test_a_voltage_on_the_disconnected_line_makes_resistance_readings_worthless():
    voltage = Probe(ProbeKind.VOLTAGE)
    assert best(14_000.0, Reading(voltage, 3.2), reporting=ALL).kind == FaultKind.FOREIGN_VOLTAGE
    assert best(14_000.0, Reading(voltage, 0.0), reporting=ALL).kind != FaultKind.FOREIGN_VOLTAGE


def test_a_line_that_may_be_live_is_proven_dead_before_anybody_opens_it():
    found = search(11_600.0)
    assert found.explanations[0].kind == FaultKind.FOREIGN_VOLTAGE
    assert found.proposal.probe == Probe(ProbeKind.VOLTAGE)


@pytest.mark.parametrize("voltage_v", [0.6, 40.0, 230.0])
@pytest.mark.parametrize("reading_ohm", [5_000.0, 10_000.0, 11_600.0, math.inf])
def test_on_a_live_line_no_resistance_is_measured(reading_ohm, voltage_v):
    assert search(reading_ohm, Reading(Probe(ProbeKind.VOLTAGE), voltage_v)).proposal is None


def test_leads_swapped_that_read_otherwise_point_to_a_voltage_from_elsewhere():
    swapped = Reading(Probe(ProbeKind.SWAPPED), 6_000.0)
    assert best(14_000.0, swapped, reporting=ALL).kind == FaultKind.FOREIGN_VOLTAGE


def test_two_faults_at_one_place_are_told_as_one_damaged_cable():
    to_earth = Reading(EARTH.probe, 40.0)
    beyond = Reading(Probe(ProbeKind.FORWARD, 2), 10_000.0)
    explanation = best(math.inf, to_earth, beyond, reporting={"P1", "P2"})
    assert (explanation.kind, explanation.at) == (FaultKind.DAMAGED_CABLE, 2)


def test_readings_that_no_single_fault_explains_point_to_two_faults():
    odd = [Reading(Probe(ProbeKind.FORWARD, k), value) for k, value in ((0, 2_200.0), (1, 700.0), (2, 31_000.0))]
    assert best(4_000.0, *odd, reporting=ALL).kind == FaultKind.TWO_FAULTS


def test_the_order_of_readings_does_not_matter():
    taken = [Reading(TERMINALS, 6_000.0), Reading(Probe(ProbeKind.FORWARD, 1), 10_000.0), EARTH]
    one, other = search(*taken, reporting=ALL), search(*reversed(taken), reporting=ALL)
    assert [(e.kind, e.at, round(e.share, 9)) for e in one.explanations[:5]] == [
        (e.kind, e.at, round(e.share, 9)) for e in other.explanations[:5]
    ]


def test_the_next_measurement_halves_an_open_line_without_further_knowledge():
    proposal = search(math.inf).proposal
    assert proposal.probe.at in (1, 2)
    assert proposal.bits > 0.8
    assert len({outcome.span for outcome in proposal.outcomes}) > 1


def test_a_measurement_that_was_taken_is_not_proposed_again():
    readings = [Reading(TERMINALS, 6_000.0)]
    for _ in range(5):
        proposal = search(*readings).proposal
        if proposal is None:
            break
        assert proposal.probe not in {one.probe for one in readings}
        readings.append(Reading(proposal.probe, 10_000.0))


def test_no_reading_excludes_a_cause_and_shares_add_up():
    found = search(0.0, EARTH, Reading(Probe(ProbeKind.VOLTAGE), 40.0), reporting={"P4"}).explanations
    assert sum(one.share for one in found) == pytest.approx(1)
    assert {one.kind for one in found} == set(FaultKind)
    assert min(one.share for one in found) > 0


def test_what_does_not_fit_an_explanation_is_named():
    found = search(math.inf, EARTH, reporting={"P1"}).explanations
    missing = next(one for one in found if one.kind == FaultKind.ELEMENT_MISSING)
    assert missing.contradicting == ("P2", "P3", "P4")
    assert next(one for one in found if one.kind == FaultKind.NONE).against == (Reading(TERMINALS, math.inf),)
    assert not missing.fits


def test_no_two_explanations_are_told_in_the_same_words():
    sentences = [one.sentence for one in search(math.inf).explanations]
    assert len(set(sentences)) == len(sentences)


def test_every_explanation_is_a_sentence_and_says_what_settles_it():
    for one in search(7_000.0, reporting={"P1"}).explanations:
        assert one.sentence.endswith(".")
        assert one.confirm.endswith((".", "?"))
        assert one.predicted.low_ohm <= one.predicted.high_ohm


# Planted faults -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", KINDS)
def test_a_planted_fault_is_found_after_three_proposed_measurements(kind):
    """±1 % meter, cable 90 to 100 % of the IEC 60228 maximum; `make bench` plants 600 and counts the first places."""
    dice = random.Random(f"{kind} 2026")
    for _ in range(3):
        went = sought(plant(dice, kind, most=7), dice)
        assert went.place <= 3, (went.readings, went.first)


@settings(max_examples=15, deadline=None)
@given(st.sampled_from(KINDS), st.integers(0, 10**6))
def test_a_true_cause_is_never_excluded_by_one_reading(kind, seed):
    dice = random.Random(seed)
    fault = plant(dice, kind, most=6)
    reading = Reading(TERMINALS, measured(fault, TERMINALS, dice))
    found = locate_fault(fault.line, [reading], reporting=still_reporting(fault)).explanations
    # A slip of the meter is always thought of (1e-6), so that what is true can come forward again.
    assert sum(one.share for one in found if (one.kind, one.at) == (fault.kind, fault.at)) > 1e-7


# Bounds ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("reading_ohm", [-1, math.nan, -math.inf, "10k", None])
def test_what_is_no_reading_is_refused(reading_ohm):
    with pytest.raises(QuantityError, match="reading_ohm is"):
        search(reading_ohm)


def test_a_voltage_beyond_a_hand_held_meter_is_refused():
    with pytest.raises(QuantityError, match="voltage_v is 1001; it must be 0 or more and at most 1000 V"):
        Reading(Probe(ProbeKind.VOLTAGE), 1_001)


def test_a_device_of_another_line_is_refused_by_name():
    with pytest.raises(QuantityError, match="reporting of L1 is 'X9'; it must be devices of the line: P1"):
        search(10_000.0, reporting={"X9"})


@pytest.mark.parametrize("code", ["forward.9", "forward", "terminals.1", "head-out.1", "", "elsewhere"])
def test_a_measurement_that_cannot_be_taken_on_the_line_is_refused(code):
    with pytest.raises(QuantityError, match="it must be one that can be taken on this line"):
        probe_of(LINE, code)  # P1 is a call point: it has no head


def test_a_reading_at_no_device_of_the_line_is_refused():
    with pytest.raises(QuantityError, match="measurement of L1 is 'forward.9'"):
        search(Reading(Probe(ProbeKind.FORWARD, 8), 1.0))


def test_every_measurement_has_its_own_code_its_own_title_and_says_how_it_is_taken():
    probes = probes_of(LINE)
    assert [probe_of(LINE, probe.code) for probe in probes] == list(probes)
    assert len({title(LINE, probe) for probe in probes}) == len(probes)
    assert all(how(LINE, probe).endswith(".") for probe in probes)


def test_a_line_with_unknown_figures_or_two_elements_is_refused():
    with pytest.raises(QuantityError, match="known to locate a fault"):
        search(10_000.0, line=replace(LINE, elements=(EndOfLineResistor("P4"),)))
    with pytest.raises(QuantityError, match="enter the line as it is designed"):
        search(5_000.0, line=replace(LINE, elements=(*LINE.elements, EndOfLineResistor("panel", 10_000.0))))


def test_an_unused_line_can_be_read_too():
    unused = make_line(devices=(), elements=(EndOfLineResistor("panel", 10_000.0, 0.01),))
    assert best(10_000.0, line=unused).kind == FaultKind.NONE
    assert best(4_700.0, line=unused).kind == FaultKind.WRONG_VALUE
    assert search(10_000.0, line=unused).proposal.probe.at is None
