"""Junction boxes in a run: what the checks of cores tell is told through them (practice)."""

from dataclasses import replace

import pytest

from tests.zones.engineering.wiring.examples import make_wired, swapped, with_box, with_terminal
from zones.engineering.wiring.checks import check_wiring
from zones.engineering.wiring.wired_panel import Passing, Polarity, TerminalKind

RIGHT = make_wired(lines=(3, 0), circuits=(("polarity", 2), ("addressed", 2)))


def sentence(wired, code):
    (found,) = [finding for finding in check_wiring(wired) if finding.code == f"wiring.{code}"]
    return found.sentence


def test_boxes_are_seen_through():
    """Crossed in the box, the poles are told although no core joins the two terminals directly."""
    wired = with_box(RIGHT)
    links = tuple(
        replace(link, second={"JB1 -X2:1": "JB1 -X2:2", "JB1 -X2:2": "JB1 -X2:1"}.get(link.second, link.second))
        for link in wired.links
    )
    told = sentence(replace(wired, links=links), "polarity")
    assert "W1.1.1 BN" in told
    assert "M1.1 -X1:2 (−)" in told


def test_poles_crossed_in_a_box_between_two_devices_that_pass_their_wires_on_are_told():
    crossed = swapped(with_box(RIGHT, leg="WL1.2"), "WB.1", "WB.2")
    assert "WB.1" in sentence(crossed, "polarity") and "SD1.1" in sentence(crossed, "polarity")


@pytest.mark.parametrize("wired", [RIGHT, with_box(RIGHT, leg="WL1.1")], ids=["on one core", "through a box"])
def test_another_voltage_at_the_other_end_is_told_once(wired):
    found = check_wiring(with_terminal(wired, "SD1.1 -X1:1", voltage_v=12.0))
    assert [one.code for one in found] == ["wiring.voltage"]


def test_poles_crossed_in_a_box_are_told_when_the_cable_behind_it_was_recorded_first():
    wired = swapped(with_box(RIGHT, leg="WL1.2"), "WB.1", "WB.2")
    cables = sorted(wired.cables, key=lambda cable: cable.key != "WB")
    assert "WB.1" in sentence(replace(wired, cables=tuple(cables)), "polarity")


def test_what_is_entered_at_the_terminals_of_boxes_is_no_fault():
    """A box passes on what comes to it and has no function, pole, direction or voltage of its own (practice)."""
    wired = with_box(with_box(RIGHT), leg="WB", box="JB2", onward="WC")
    for key in ("JB1 -X1:1", "JB1 -X2:1", "JB2 -X1:1", "JB2 -X2:1"):
        wired = with_terminal(
            wired, key, kind=TerminalKind.OTHER, polarity=Polarity.MINUS, passing=Passing.OUT, voltage_v=230.0
        )
    assert check_wiring(wired) == []
