"""The side on which a wire leaves a box: towards what it leads to, so that wires of a chain run straight."""

import pytest

from zones.engineering.drawings.chains import ChainRow, cut_rows
from zones.engineering.drawings.placing import Cell, sides_of
from zones.engineering.wiring.wired_panel import Passing, WiredDevice

IN, OUT, NONE = Passing.IN, Passing.OUT, Passing.NONE
LEFT, RIGHT = True, False


def cell(tag="M1", row=0, column=2, chain=0, place=1):
    return Cell(WiredDevice(tag, tag, "actuator"), row, column, chain, place)


PANEL = cell("P1", column=0, place=-1)


@pytest.mark.parametrize(
    ("box", "other", "passing", "side"),
    [
        # The panel stands at the left edge of its row: all its wires leave to the right.
        (PANEL, cell(column=1, place=0), NONE, RIGHT),
        (PANEL, None, IN, RIGHT),
        # A wire that leads to no box: by the way in which it passes the device.
        (cell(), None, IN, LEFT),
        (cell(), None, OUT, RIGHT),
        (cell(), None, NONE, RIGHT),
        # The first device of a chain is fed from the panel of its row, even when it says that the line goes out there.
        (cell(column=1, place=0), PANEL, OUT, LEFT),
        # Along the chain: towards the panel left, away from it right, in whatever row the other stands.
        (cell(place=1), cell("M0", column=1, place=0), OUT, LEFT),
        (cell(place=1), cell("M2", column=3, place=2), IN, RIGHT),
        (cell(column=3, place=2), cell("M0", column=1, place=0), OUT, LEFT),
        (cell(place=5), cell("M6", row=1, column=1, place=6), IN, RIGHT),
        (cell(place=6, row=1, column=1), cell("M5", column=5, place=5), OUT, LEFT),
        # A wire from a device to itself: by its way.
        (cell(place=1), cell(place=1), IN, LEFT),
        (cell(place=1), cell(place=1), OUT, RIGHT),
        # To another chain: to a neighbour on the side where it stands, whatever its way.
        (cell(), cell("S1", chain=1, column=1, place=1), OUT, LEFT),
        (cell(), cell("S1", chain=1, column=3, place=1), IN, RIGHT),
        # Farther off: by its way, and without one towards the other's column.
        (cell(), cell("S1", chain=1, column=5, place=1), IN, LEFT),
        (cell(column=4), cell("S1", chain=1, column=1, place=1), OUT, RIGHT),
        (cell(column=4), cell("S1", chain=1, column=1, place=1), NONE, LEFT),
        (cell(), cell("S1", chain=1, column=5, place=1), NONE, RIGHT),
        (cell(), cell("S1", row=1, chain=1, column=2, place=1), NONE, RIGHT),
        # The panel of another row is no neighbour in the chain.
        (cell(column=4, place=3), cell("P1", row=1, column=0, chain=1, place=-1), OUT, RIGHT),
    ],
)
def test_a_wire_leaves_a_box_on_this_side(box, other, passing, side):
    assert sides_of(box, other, passing) is side


def test_a_row_longer_than_the_sheet_goes_on_in_the_next_from_the_first_column():
    devices = [WiredDevice(f"M{n}", f"M{n}", "actuator") for n in range(1, 8)]
    row = ChainRow(("Output 1",), chain=5, start=3, devices=devices, panel_terminals=["P1 -XA1:1"])
    pieces = cut_rows([row], columns=4)
    assert [(one.start, one.offset, [device.tag for device in one.devices]) for one in pieces] == [
        (3, 0, ["M1", "M2"]),
        (1, 2, ["M3", "M4", "M5", "M6"]),
        (1, 6, ["M7"]),
    ]
    assert [(one.panel_terminals, one.shows_heading, one.chain) for one in pieces] == [
        (["P1 -XA1:1"], True, 5),
        ([], False, 5),
        ([], False, 5),
    ]


def test_a_row_of_no_device_keeps_the_terminals_of_the_panel():
    (piece,) = cut_rows([ChainRow(("Output 1",), panel_terminals=["P1 -XA1:1"])], columns=4)
    assert (piece.devices, piece.panel_terminals, piece.shows_heading) == ([], ["P1 -XA1:1"], True)
