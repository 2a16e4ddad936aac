"""Records → the wiring as plain data, and what the checks say of it; rules of links, elements and boxes."""

import pytest
from django.core.exceptions import ValidationError

from tests import builders
from zones.engineering.wiring.checks import check_wiring
from zones.engineering.wiring.wired_panel import Passing, Polarity, TerminalKind
from zones.models import Cable, EndOfLinePart, Position, Terminal, TerminalLink
from zones.wiring.records import wired_panel, wired_panels

pytestmark = pytest.mark.django_db


def line_terminals(owner, block, ways=("in", "out"), **fields):
    """ "+" and "−" for each way, numbered on."""
    made, number = [], 0
    for way in ways:
        for pole in "+-":
            number += 1
            made.append(
                builders.make_terminal(
                    **owner,
                    block=block,
                    number=str(number),
                    electrical_kind="line",
                    pole=pole,
                    passing=way,
                    rated_voltage_v=24,
                    **fields,
                )
            )
    return made


@pytest.fixture
def wired(town):
    """Line 1 of P1 with the detector SD1 at its end, wired core by core."""
    line = builders.make_line(town.panel, number=1, end_of_line_ohm=10_000, end_place="last_device")
    Position.objects.filter(pk=town.detector.pk).update(detection_line=line, order_on_line=1)
    Position.objects.filter(pk=town.call_point.pk).update(panel=None, smoke_zone=None)
    plus, minus = line_terminals({"panel": town.panel}, "XL1", ways=("out",), detection_line=line)
    into_plus, into_minus, out_plus, out_minus = line_terminals({"position": town.detector}, "X1")
    cable = builders.make_cable(town.hall, tag="W1", cores_count=2, detection_line=line, feeds=None)
    builders.connect(builders.make_core(cable, number=1, colour="BN"), plus, into_plus)
    builders.connect(builders.make_core(cable, number=2, colour="BU"), minus, into_minus)
    for first, second in ((into_plus, out_plus), (into_minus, out_minus)):
        TerminalLink.objects.create(first=first, second=second, is_internal=True)
    town.element = EndOfLinePart.objects.create(first=out_plus, second=out_minus, value_ohm=10_000)
    town.line, town.cable, town.out = line, cable, (out_plus, out_minus)
    return town


@pytest.mark.parametrize("far", ["the device", "nothing"])
def test_terminals_stored_at_the_panels_own_position_are_the_panels(wired, far):
    stray = builders.make_terminal(position=wired.panel.position, block="X9", number="1")
    at_device = builders.make_terminal(position=wired.detector, block="X8", number="1")
    builders.connect(
        builders.make_core(builders.make_cable(wired.hall)), stray, at_device if far == "the device" else None
    )
    for plain in (wired_panel(wired.panel), *wired_panels(wired.hall)):
        assert [one.designation for one in plain.panel.terminals] == ["-X9:1", "-XL1:1", "-XL1:2"]
        assert [device.tag for device in plain.devices] == ["SD1"]


def test_records_become_plain_data(wired):
    plain = wired_panel(wired.panel)
    assert (plain.panel.tag, [device.tag for device in plain.devices]) == ("P1", ["SD1"])
    first = plain.panel.terminals[0]
    assert (first.designation, first.kind, first.polarity, first.passing, first.voltage_v, first.line) == (
        "-XL1:1",
        TerminalKind.LINE,
        Polarity.PLUS,
        Passing.OUT,
        24.0,
        1,
    )
    core = plain.cables[0].cores[0]
    assert (core.near, core.far) == (first.key, plain.devices[0].terminals[0].key)
    assert (len(plain.links), plain.end_of_line_parts[0].value_ohm) == (2, 10_000.0)
    assert plain.lines[0].is_used


def test_a_correctly_recorded_line_has_no_finding_and_a_wrong_element_has_one(wired):
    assert check_wiring(wired_panel(wired.panel)) == []
    EndOfLinePart.objects.update(value_ohm=4_700)
    assert [finding.code for finding in check_wiring(wired_panel(wired.panel))] == ["wiring.element_value"]


def test_the_number_of_queries_does_not_grow_with_the_wiring(wired, django_assert_num_queries):
    with django_assert_num_queries(12):
        wired_panel(wired.panel)
    for number in range(2, 12):
        line = builders.make_line(wired.panel, number=number)
        out = line_terminals({"panel": wired.panel}, f"XL{number}", ways=("out",), detection_line=line)
        detector = builders.make_position(wired.hall, tag=f"SD{number}", panel=wired.panel, detection_line=line)
        into = line_terminals({"position": detector}, "X1")
        cable = builders.make_cable(wired.hall, detection_line=line, feeds=detector)
        for place in (0, 1):
            builders.connect(builders.make_core(cable, number=place + 1), out[place], into[place])
    with django_assert_num_queries(12):
        wired_panel(wired.panel)


def test_what_lies_beyond_a_junction_box_or_at_another_panel_is_read_too(wired):
    box = builders.make_position(wired.hall, "junction_box", tag="JB1")
    at_box = builders.make_terminal(position=box, block="X1", number="1")
    other_panel = builders.make_panel(wired.hall, tag="P2")
    at_panel = builders.make_terminal(other_panel, block="X9", number="1")
    for number, far in ((8, at_box), (9, at_panel)):
        near = builders.make_terminal(wired.panel, block="X9", number=str(number))
        builders.connect(builders.make_core(builders.make_cable(wired.hall, tag=f"W{number}"), number=1), near, far)
    found = {device.tag: device for device in wired_panel(wired.panel).devices}
    assert found["JB1"].kind == "junction_box"
    assert [terminal.designation for terminal in found["P2"].terminals] == ["-X9:1"]


def test_an_addressed_output_needs_no_element_and_one_of_polarity_does(town):
    builders.make_circuit(town.panel, number=1, drive="polarity")
    builders.make_circuit(town.panel, number=2, drive="addressed")
    builders.make_circuit(town.panel, number=3, drive="polarity", end_place="none_needed")
    assert [circuit.is_monitored for circuit in wired_panel(town.panel).circuits] == [True, False, False]


def test_a_link_joins_two_terminals_of_one_owner(town):
    a, b = (builders.make_terminal(town.panel, block="X3", number=n) for n in "12")
    other = builders.make_terminal(position=town.detector, block="X1", number="1")
    TerminalLink(first=b, second=a).full_clean()
    with pytest.raises(ValidationError, match="terminal of another device"):
        TerminalLink(first=a, second=other).full_clean()
    with pytest.raises(ValidationError, match="two different terminals"):
        TerminalLink(first=a, second=a).full_clean()


def test_a_pair_is_linked_once_whichever_way_round(town):
    a, b = (builders.make_terminal(town.panel, block="X3", number=n) for n in "12")
    TerminalLink.objects.create(first=b, second=a)
    with pytest.raises(ValidationError, match="linked already"):
        TerminalLink(first=a, second=b).full_clean()


@pytest.mark.parametrize(("value", "fits"), [(None, True), (10_000, True), (0, False), (-5, False)])
def test_an_element_has_a_value_above_zero_or_none(town, value, fits):
    a, b = (builders.make_terminal(town.panel, block="X3", number=n) for n in "12")
    element = EndOfLinePart(first=a, second=b, value_ohm=value)
    if fits:
        element.full_clean()
    else:
        with pytest.raises(ValidationError, match="else more than 0 Ω"):
            element.full_clean()


def test_only_a_panel_terminal_belongs_to_an_output_of_that_panel(town):
    circuit = builders.make_circuit(town.panel, number=1)
    builders.make_terminal(town.panel, actuator_circuit=circuit)
    with pytest.raises(ValidationError, match="starts at the panel"):
        Terminal(
            building=town.hall, position=town.detector, block="X9", number="1", actuator_circuit=circuit
        ).full_clean()
    with pytest.raises(ValidationError, match="of another panel"):
        builders.make_terminal(builders.make_panel(town.hall), actuator_circuit=circuit)


def test_a_junction_box_needs_no_unit_but_a_detector_does(town):
    box = builders.make_position(town.hall, "junction_box", tag="JB1")
    bare = builders.make_position(town.hall, "smoke_detector", tag="SD9")
    without = town.hall.positions.without_unit()
    assert bare in without
    assert box not in without


def test_a_cable_ends_at_a_device_or_in_a_box(town):
    line = builders.make_line(town.panel, number=1)
    Position.objects.filter(pk=town.detector.pk).update(detection_line=line)
    town.detector.refresh_from_db()
    box = builders.make_position(town.hall, "junction_box", tag="JB1")
    builders.make_cable(town.hall, detection_line=line, far_box=box)
    with pytest.raises(ValidationError, match="not at both"):
        Cable(building=town.hall, tag="W90", detection_line=line, far_box=box, feeds=town.detector).full_clean()
    with pytest.raises(ValidationError, match="no junction box"):
        builders.make_cable(town.hall, far_box=town.detector)


def test_links_and_elements_are_seen_by_those_who_see_the_building(wired):
    for model in (TerminalLink, EndOfLinePart):
        assert model.objects.visible_to(wired.people["manager"]).exists()
        assert not model.objects.visible_to(wired.people["stranger"]).exists()
