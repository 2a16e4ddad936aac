"""Does the record hang together?"""

from dataclasses import replace

import pytest

from tests.zones.engineering.designs import codes, make_circuit, make_line, make_panel, only
from zones.engineering import (
    AreaKind,
    CableRun,
    CircuitKind,
    Conductor,
    EndOfLineResistor,
    FittedUnit,
    ReleaseDevice,
    Severity,
    SmokeZone,
    VentGroup,
)
from zones.engineering.consistency import (
    check_addressed,
    check_circuit_end,
    check_consistency,
    check_groups,
    check_identical_units,
    check_line_ends,
    check_numbering,
    check_voltages,
    check_zones,
)
from zones.engineering.sources import RECORD

AT_LAST, AT_FIRST, AT_PANEL = (
    EndOfLineResistor("D2", 10_000.0),
    EndOfLineResistor("B1", 10_000.0),
    EndOfLineResistor("panel", 10_000.0),
)


@pytest.mark.parametrize(
    ("elements", "severity", "words"),
    [
        ((AT_LAST,), Severity.MEETS, "one end-of-line resistor, at D2"),
        ((), Severity.FAIL, "no end-of-line resistor. Fit one at D2"),
        ((AT_LAST, AT_PANEL), Severity.FAIL, "2 end-of-line resistors, at D2 and panel"),
        ((AT_LAST, AT_LAST), Severity.FAIL, "2 end-of-line resistors, at D2 and D2"),
        ((AT_FIRST,), Severity.FAIL, "at B1; what lies beyond is not monitored. Move it to D2"),
        ((AT_PANEL,), Severity.FAIL, "at panel; what lies beyond is not monitored"),
    ],
)
def test_a_line_has_exactly_one_element_at_its_last_device(elements, severity, words):
    finding = check_line_ends(make_line(elements=elements))
    assert finding.severity == severity
    assert words in finding.sentence


def test_an_unused_line_has_its_element_at_the_panel():
    assert check_line_ends(make_line(devices=(), elements=(AT_PANEL,))).severity == Severity.MEETS
    bare = check_line_ends(make_line(devices=(), elements=()))
    assert bare.severity == Severity.FAIL
    assert "Fit one at the panel's terminals" in bare.sentence


@pytest.mark.parametrize(
    ("places", "severity"),
    [
        (("A1.2",), Severity.MEETS),
        (("A1.1",), Severity.FAIL),
        ((), Severity.FAIL),
        (("A1.1", "A1.2"), Severity.FAIL),
        (None, Severity.MISSING),
    ],
)
def test_a_polarity_circuit_has_one_end_of_line_at_its_end(places, severity):
    assert check_circuit_end(make_circuit(end_of_line_at=places)).severity == severity


def test_a_branch_without_end_of_line_part_is_questioned():
    circuit = make_circuit()
    star = (circuit.runs[0], CableRun("C2", 5, Conductor(2.5, 2)))
    finding = check_circuit_end(replace(circuit, runs=star))
    assert finding.severity == Severity.QUESTION
    assert "the other branches are not monitored" in finding.sentence


def test_an_addressed_circuit_needs_no_end_of_line_part_and_a_polarity_circuit_no_address():
    addressed = make_circuit(kind=CircuitKind.ADDRESSED, end_of_line_at=None)
    assert check_circuit_end(addressed) is None
    assert check_addressed(make_circuit()) is None


@pytest.mark.parametrize(
    ("expected", "found", "severity"),
    [
        (2, 2, Severity.MEETS),
        (2, 1, Severity.FAIL),
        (3, 3, Severity.FAIL),
        (1, 2, Severity.FAIL),
        (None, 2, Severity.MISSING),
        (2, None, Severity.MISSING),
    ],
)
def test_expected_found_and_recorded_actuators_are_equal(expected, found, severity):
    circuit = make_circuit(kind=CircuitKind.ADDRESSED, expected_actuators=expected, found_actuators=found)
    finding = check_addressed(circuit)
    assert (finding.severity, finding.source) == (severity, RECORD)


def zones_of(panel):
    return check_zones(panel.zones, panel.vents, panel.releases)


def test_a_complete_zone_meets():
    assert only(zones_of(make_panel()), "consistency.zone").severity == Severity.MEETS


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"vents": ()}, "has no vent"),
        ({"releases": (ReleaseDevice("D1", "detector", "Z1"),)}, "has no manual call point"),
        ({"releases": (ReleaseDevice("B1", "manual call point", "Z1"),)}, "has no automatic detection, which is asked"),
        ({"releases": ()}, "has no manual call point and no automatic detection"),
        ({"releases": (ReleaseDevice("B1", "manual call point", "Z2"),)}, "has no manual call point"),
    ],
)
def test_what_a_zone_lacks_is_named(changes, words):
    finding = only(zones_of(make_panel(**changes)), "consistency.zone")
    assert finding.severity == Severity.FAIL
    assert words in finding.sentence


def test_a_fire_alarm_interface_is_automatic_detection():
    releases = (ReleaseDevice("B1", "manual call point", "Z1"), ReleaseDevice("F1", "fire alarm interface", "Z1"))
    assert only(zones_of(make_panel(releases=releases)), "consistency.zone").severity == Severity.MEETS


def test_detection_is_only_wanted_where_asked_and_unknown_gives_no_verdict_on_it():
    manual = (ReleaseDevice("B1", "manual call point", "Z1"),)
    asked = (SmokeZone("Z1", 1.0, AreaKind.GEOMETRIC, needs_detection=False),)
    unknown = (SmokeZone("Z1", 1.0, AreaKind.GEOMETRIC),)
    assert codes(zones_of(make_panel(zones=asked, releases=manual)), Severity.FAIL) == []
    (gap,) = (one for one in zones_of(make_panel(zones=unknown, releases=manual)) if one.severity == Severity.MISSING)
    assert (gap.code, "detection of zone Z1 not checked" in gap.sentence) == ("consistency.zone", True)


@pytest.mark.parametrize("zone", [None, "Z9"])
def test_a_vent_in_no_zone_fails(zone):
    panel = make_panel()
    stray = replace(panel.vents[0], name="V2", zone=zone)
    assert (
        only(zones_of(replace(panel, vents=(*panel.vents, stray))), "consistency.vent_zone").severity == Severity.FAIL
    )


def test_groups_belong_to_a_zone_and_share_no_actuator():
    zones, actuators = make_panel().zones, ["A1", "A2"]
    assert check_groups([VentGroup("G1", "Z1", ("A1",)), VentGroup("G2", "Z1", ("A2",))], zones, actuators) == []
    wrong = check_groups([VentGroup("G1", None, ("A1", "A9")), VentGroup("G2", "Z1", ("A1",))], zones, actuators)
    assert [finding.sentence.split(".")[0] for finding in wrong] == [
        "Vent group G1 belongs to no smoke zone",
        "Vent group G1 names A9, which is on no circuit",
        "A1 is in group G1 and in G2",
    ]


@pytest.mark.parametrize(
    ("numbers", "words"),
    [
        ((1, 2, 3), None),
        ((3, 1, 2), None),
        ((1, 3), "number 2 is missing"),
        ((2, 3), "number 1 is missing"),
        ((1, 2, 2), "number 2 is given twice"),
        ((0, 1), "0 is not a number from 1"),
        ((1, 4_000_000_000), "number 2 is missing"),
    ],
)
def test_zones_are_mapped_without_a_hole(numbers, words):
    (finding,) = check_numbering("zone", "panel P1", numbers)
    assert finding.severity == (Severity.FAIL if words else Severity.MEETS)
    assert words is None or words in finding.sentence


def test_what_is_not_mapped_is_not_judged():
    assert check_numbering("zone", "panel P1", None) == []


def identical_units(first, second, zones=("Z1", "Z2")):
    units = [FittedUnit("A1", "chain drive", first, zones[0]), FittedUnit("A2", "chain drive", second, zones[1])]
    return check_identical_units("panel P1", units)


def test_identical_units_on_different_zones_need_serials():
    assert identical_units("1001", "1002") == []
    assert [one.severity for one in identical_units("1001", None)] == [Severity.QUESTION]
    assert [one.severity for one in identical_units("", "1002")] == [Severity.QUESTION]
    assert identical_units(None, None, ("Z1", "Z1")) == []


def test_identical_units_are_named_one_by_one_and_those_without_a_serial_again():
    (finding,) = identical_units("1001", None)
    assert finding.sentence.startswith("A1 and A2 are of one model")
    assert "without a serial A2 can be mistaken" in finding.sentence


def test_one_serial_at_two_places_fails():
    (finding,) = identical_units("1001", "1001", ("Z1", "Z1"))
    assert finding.severity == Severity.FAIL
    assert "Serial 1001 stands at A1 and A2" in finding.sentence


def voltages(*rated, panel_v=24.0):
    return check_voltages("panel P1", panel_v, [FittedUnit(f"A{k}", rated_voltage_v=v) for k, v in enumerate(rated)])


def test_rated_voltages_match_the_panel():
    assert [one.severity for one in voltages(24.0, 28.0)] == [Severity.MEETS]
    (finding,) = voltages(24.0, 48.0)
    assert finding.severity == Severity.FAIL
    assert "panel P1 gives 24 V; rated otherwise: A1 (48 V)" in finding.sentence


def test_unknown_voltages_give_no_verdict():
    assert [one.severity for one in voltages(None)] == [Severity.MISSING]
    assert [one.severity for one in voltages(24.0, panel_v=None)] == [Severity.MISSING]
    assert voltages() == []


def test_a_vent_that_no_actuator_moves_is_noted():
    panel = make_panel()
    idle = replace(panel.vents[0], name="V2")
    finding = only(check_consistency(replace(panel, vents=(*panel.vents, idle))), "consistency.vent_actuator")
    assert finding.severity == Severity.NOTE
    assert "moves V2" in finding.sentence


def test_a_sound_panel_has_nothing_but_good_findings():
    assert {one.severity for one in check_consistency(make_panel())} == {Severity.MEETS}
