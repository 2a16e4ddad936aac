"""How much of a wiring is recorded: counted by hand from the usual patterns (`patterns.py`), which are common practice.

An actuator of the usual pattern has three incoming terminals and three outgoing ones, a detector two and two; the
panel three for an output, two for a line, three for the mains (L, N, PE).
"""

from dataclasses import replace

import pytest

from tests.zones.engineering.wiring.examples import device, make_wired, with_core
from zones.engineering.wiring.checks import check_wiring
from zones.engineering.wiring.patterns import default_pattern
from zones.engineering.wiring.progress import progress_of, together
from zones.engineering.wiring.wired_panel import WiredCable, WiredCore, WiredDevice, WiredPanel

MAINS = 3


def counted(wired):
    progress = progress_of(wired)
    return progress.wired_count, progress.needed_count


def with_mains(wired):
    """The same wiring with the feed from a board, which is no part of the record."""
    colours = {"L": "BN", "N": "BU", "PE": "GNYE"}
    cores = tuple(
        WiredCore(f"W0.{number}", number, colours[name], None, f"P1 -X1:{name}")
        for number, name in enumerate(colours, start=1)
    )
    mains = WiredCable("W0", "W0", "mains", 3, 2.5, 4.0, cores=cores, from_place="board DB1", to_place="P1")
    return replace(wired, cables=(*wired.cables, mains))


@pytest.mark.parametrize(
    ("lines", "circuits", "needed"),
    [
        # Panel 2; first detector in and out 4, last in 2 and the resistor on its way out 2.
        ((2,), (), MAINS + 2 + 4 + 4),
        # Panel 3; in 3, the end-of-line module on monitoring core and minus 2.
        ((), (("polarity", 1),), MAINS + 3 + 3 + 2),
        # Panel 3; first in and out 6, last in 3: an addressed circuit has no end-of-line module.
        ((), (("addressed", 2),), MAINS + 3 + 6 + 3),
        # An unused line has its resistor across the two terminals of the panel.
        ((0,), (), MAINS + 2),
    ],
)
def test_a_right_wiring_is_complete(lines, circuits, needed):
    wired = with_mains(make_wired(lines=lines, circuits=circuits))
    assert check_wiring(wired) == []
    assert counted(wired) == (needed, needed)


def test_without_the_mains_three_terminals_are_missing():
    wired, needed = counted(make_wired())
    assert needed - wired == MAINS


def test_a_core_taken_off_at_both_ends_leaves_two_terminals_open():
    right = with_mains(make_wired())
    wired, needed = counted(with_core(right, "WL1.1.1", near=None, far=None, is_spare=True))
    assert (wired, needed) == (counted(right)[1] - 2, counted(right)[1])


def test_devices_without_any_terminal_need_those_of_their_pattern():
    pattern = default_pattern("smoke_detector")
    detectors = tuple(
        WiredDevice(f"SD{number}", f"SD{number}", "smoke_detector", order=number, line=1, pattern=pattern)
        for number in (1, 2)
    )
    panel = WiredDevice("P1", "P1", "control_panel", pattern=default_pattern("control_panel"))
    right = make_wired(lines=(2,), circuits=())
    bare = WiredPanel(panel=panel, devices=detectors, lines=right.lines)
    assert counted(bare) == (0, MAINS + 2 + 2 * 2)


def test_a_device_without_terminals_and_pattern_still_needs_two_conductors():
    right = with_mains(make_wired(lines=(1,), circuits=()))
    wired, needed = counted(replace(right, devices=(*right.devices, WiredDevice("IN1", "IN1", "indicator"))))
    assert needed - wired == 2


def test_an_unused_input_of_the_panel_is_not_needed():
    right = with_mains(make_wired(lines=(1,), circuits=()))
    spare, _ = device("P1", "control_panel", numbers={"input": [1]})
    inputs = tuple(one for one in spare.terminals if one.block == "XS1")
    assert inputs
    assert counted(replace(right, panel=replace(right.panel, terminals=right.panel.terminals + inputs))) == counted(
        right
    )


def test_a_switch_that_is_not_wired_needs_its_incoming_terminals():
    right = with_mains(make_wired(lines=(1,), circuits=()))
    switch, _ = device("VS1", "ventilation_switch")
    wired, needed = counted(replace(right, devices=(*right.devices, switch)))
    assert needed - wired == 3  # common, open, close


def test_what_two_panels_share_counts_once():
    once = progress_of(make_wired())
    both = together([once, once])
    assert (both.wired_count, both.needed_count) == (once.wired_count, once.needed_count)
