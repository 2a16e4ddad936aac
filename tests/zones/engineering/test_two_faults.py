"""Two faults at different places of a line: read by an independent network, named by both their places or sought on."""

import math
import random

import pytest

from tests.zones.engineering.designs import make_device, make_line
from tests.zones.engineering.planted_line_faults import Planted, measured, still_reporting
from zones.engineering import EndOfLineResistor, LineRole, locate_fault
from zones.engineering.fault_location.causes import FaultKind
from zones.engineering.fault_location.damage import Damage, together
from zones.engineering.fault_location.measurements import TERMINALS, Probe, ProbeKind, Reading, title

MOST_MEASUREMENTS = 7
LINE = make_line(
    devices=tuple(
        make_device(f"P{k}", LineRole.CALL_POINT if k == 1 else LineRole.DETECTOR, length_m=20.0) for k in range(1, 7)
    ),
    elements=(EndOfLineResistor("P6", 10_000.0, 0.01),),
)


def planted(**damage):
    sections_ohm = [0.95 * LINE.section_ohm(k) for k in range(6)]
    return Planted(LINE, FaultKind.TWO_FAULTS, None, sections_ohm, [690.0] * 6, 10_020.0, **damage)


def dialogue(fault):
    """The reading at the terminals, then whatever is proposed, until nothing is."""
    dice, readings, reporting = random.Random(4), [], still_reporting(fault)
    probe = TERMINALS
    while probe is not None and len(readings) <= MOST_MEASUREMENTS:
        readings.append(Reading(probe, measured(fault, probe, dice)))
        found = locate_fault(LINE, readings, reporting=reporting)
        probe = found.proposal.probe if found.proposal else None
    return found


@pytest.mark.parametrize(
    ("damage", "places", "words"),
    [
        # Both are seen from the terminals.
        (
            {"joint": (1, 4_000.0), "across": (4, 12_000.0)},
            (1, 4),
            ("too much lies between P1 and P2", "lies across the line between P4 and P5"),
        ),
        (
            {"across": (1, 5_000.0), "joint": (4, math.inf)},
            (1, 4),
            ("lies across the line between P1 and P2", "P5 is taken out"),  # which cuts the line as a break before it
        ),
        # What lies beyond a break shows only once the line is opened.
        (
            {"joint": (0, math.inf), "across": (1, 7_000.0)},
            (0, 1),
            ("broken between the panel and P1", "lies across the line between P1 and P2"),
        ),
    ],
)
def test_two_faults_are_named_by_both_their_places_where_the_readings_determine_them(damage, places, words):
    found = dialogue(planted(**damage))
    first = found.explanations[0]
    assert (first.kind, first.places) == (FaultKind.TWO_FAULTS, places)
    assert first.sentence.startswith("Two faults lie at different places, most likely these. ")
    for part in words:
        assert part in first.sentence
    assert found.proposal is None


def test_where_the_places_are_not_settled_the_measurement_is_named_that_would_settle_them():
    odd = [Reading(Probe(ProbeKind.FORWARD, k), value) for k, value in ((0, 2_200.0), (1, 700.0), (2, 31_000.0))]
    found = locate_fault(LINE, [Reading(TERMINALS, 4_000.0), *odd], reporting={"P1"})
    first = found.explanations[0]
    assert first.kind == FaultKind.TWO_FAULTS
    assert "Which places is not settled" in first.sentence
    assert found.proposal.probe not in {reading.probe for reading in odd}
    assert first.confirm == f"{title(LINE, found.proposal.probe)}: that reading tells the places apart."


def test_no_single_fault_that_explains_all_readings_is_outdone_by_a_pair():
    """An alarm at P3 is one thing; a leak and a joint that add up to it are two."""
    fault = planted(alarmed={2})
    readings = [Reading(TERMINALS, measured(fault, TERMINALS, random.Random(1)))]
    assert locate_fault(LINE, readings, reporting=still_reporting(fault)).explanations[0].kind == FaultKind.ALARM


def test_two_damages_of_one_sort_are_not_put_together():
    assert together(Damage(joint=(1, 5.0)), Damage(joint=(3, 5.0))) is None
    both = together(Damage(joint=(1, 5.0)), Damage(across=(3, 0.5, 900.0)))
    assert both == Damage(joint=(1, 5.0), across=(3, 0.5, 900.0))
