"""The wiring diagram: readable at any size, and every core of the data in it once.

Nothing is compared with a picture: the rules (no label on a label, wire or sign; no two wires on one line; every line
upright or level) are checked by geometry that knows nothing of how the drawing was made.
"""

from dataclasses import replace

import pytest

from tests.zones.engineering.drawings.cores import badly_drawn_cores
from tests.zones.engineering.drawings.geometry import faults, straight_through
from tests.zones.engineering.drawings.wirings import sound_panel, terminal
from tests.zones.engineering.wiring.small_job import small_job
from zones.engineering.drawings.sheet_frame import field_at
from zones.engineering.drawings.wiring_diagram import draw_canvas, draw_sheets, is_wired
from zones.engineering.wiring.wired_panel import (
    Link,
    Passing,
    WiredCable,
    WiredCircuit,
    WiredCore,
    WiredDevice,
    WiredEndOfLine,
    WiredPanel,
)

SIZES = (4, 40, 200)
CAP_HEIGHT = 0.66  # of the size: Source Code Pro, the lowest of the faces named
SMALLEST_CAPITAL_MM = 2.5  # ISO 3098-0, the smallest lettering for an A3 sheet (from memory)
A3 = {"width_mm": 396.0, "height_mm": 241.0}


@pytest.fixture(scope="module", params=SIZES)
def wired(request):
    return sound_panel(request.param)


def test_the_canvas_is_readable(wired):
    assert faults(draw_canvas(wired)) == {}


def test_every_sheet_is_readable(wired):
    for sheet in draw_sheets(wired, **A3):
        assert faults(sheet) == {}


def test_every_core_is_on_the_canvas_once_and_ends_at_its_terminals(wired):
    assert badly_drawn_cores(wired, [draw_canvas(wired)]) == []


def test_every_core_is_on_the_sheets_once_or_as_two_pieces(wired):
    assert badly_drawn_cores(wired, draw_sheets(wired, **A3)) == []


def test_every_device_has_one_box(wired):
    boxes = [box.key for box in draw_canvas(wired).boxes if box.key != "P1"]
    assert sorted(boxes) == sorted(device.key for device in wired.devices)


def test_no_line_has_a_needless_corner(wired):
    assert not [wire.key for wire in draw_canvas(wired).wires if straight_through(wire.points)]


def test_sheets_keep_to_the_paper_and_to_capitals_of_2_5_mm(wired):
    # ISO 3098-0: 2.5 mm is the smallest lettering for A3 (from memory).
    for sheet in draw_sheets(wired, **A3):
        assert sheet.width <= A3["width_mm"] and sheet.height <= A3["height_mm"]
        assert min(label.size for label in sheet.labels) * CAP_HEIGHT >= SMALLEST_CAPITAL_MM


def test_the_wires_of_a_chain_run_straight_from_device_to_device():
    wires = [wire for wire in draw_canvas(sound_panel(40)).wires if wire.kind == "core"]
    assert {len(wire.points) for wire in wires} == {2}


def test_devices_of_a_circuit_stand_in_their_order_from_the_panel():
    boxes = {box.key: box.rect for box in draw_canvas(sound_panel(40)).boxes}
    chain = [boxes[f"M{number}"] for number in range(1, 7)]
    assert [rect.x for rect in chain] == sorted(rect.x for rect in chain)
    assert len({rect.y for rect in chain}) == 1


def test_a_core_that_goes_on_elsewhere_names_sheet_and_field_of_its_other_piece_at_both_ends():
    sheets = draw_sheets(sound_panel(40), width_mm=260, height_mm=120)
    ends = {end: (sheet.number, at) for sheet in sheets for end, at in sheet.goes_on.items()}
    references = [(sheet, label) for sheet in sheets for label in sheet.labels if label.goes_to]
    assert len({sheet.number for sheet, _ in references}) > 1
    for sheet, label in references:
        number, (x, y) = ends[label.goes_to]
        # The drawing stands 12 mm from the left and 35 mm from the upper edge; fields as in test_sheet_frame.
        assert label.text == f"→ {number}/{field_at(12 + x, 35 + y)}" and number != sheet.number
    run, at = references[0][1].goes_to
    assert (run, 1 - at) in references[0][0].goes_on  # the other piece leaves the sheet that names it


def test_a_core_carries_its_cable_number_and_colour_letters():
    assert "W1.1 BN" in {label.text for label in draw_canvas(sound_panel(4)).labels}


# Wrong and unusual wirings


def two_devices(**fields):
    """P1 with two terminals, D1 with two, joined by one core."""
    panel = WiredDevice(
        "P1", "P1", "control_panel", terminals=(terminal("P1", 1, circuit=1), terminal("P1", 2, circuit=1))
    )
    device = WiredDevice("D1", "D1", "actuator", circuit=1, terminals=(terminal("D1", 1), terminal("D1", 2)))
    cable = WiredCable("W1", "W1", cores=(WiredCore("W1.1", 1, "BN", "P1/X1:1", "D1/X1:1"),))
    wired = WiredPanel(panel, (device,), (cable,), circuits=(WiredCircuit(1, "polarity"),))
    return replace(wired, **fields)


def cable_of(*cores):
    return (WiredCable("W1", "W1", cores=tuple(WiredCore(f"W1.{n}", n, c, a, b, s) for n, c, a, b, s in cores)),)


def drawn_well(wired):
    sheet = draw_canvas(wired)
    assert faults(sheet) == {}
    assert badly_drawn_cores(wired, [sheet]) == []
    return sheet


def test_a_spare_core_is_drawn_parked_at_both_ends():
    cores = cable_of((1, "BN", "P1/X1:1", "D1/X1:1", False), (2, "WH", None, None, True))
    sheet = drawn_well(two_devices(cables=cores))
    assert [mark.kind for mark in sheet.marks] == ["parked", "parked"]
    assert "W1.2 WH spare" in {label.text for label in sheet.labels}


def test_a_core_that_ends_nowhere_is_drawn_open_there():
    cores = cable_of((1, "BN", "P1/X1:1", "D1/X1:1", False), (2, "BU", "P1/X1:2", None, False))
    assert [mark.kind for mark in drawn_well(two_devices(cables=cores)).marks] == ["open"]


def test_a_core_that_comes_from_a_board_outside_the_record_goes_on_there_and_names_it():
    canvas = draw_canvas(small_job())
    marks = {mark.kind for mark in canvas.marks if mark.title in ("goes on", "no end recorded")}
    assert marks == {"to"}
    assert "from board DB1" in {label.text for label in canvas.labels if label.role == "cable"}


def test_a_cable_with_no_end_recorded_is_drawn_apart():
    cores = cable_of((1, "BN", None, None, False))
    sheet = drawn_well(two_devices(cables=cores))
    assert {mark.kind for mark in sheet.marks} == {"open"}
    assert "loose cable W1" in {box.key for box in sheet.boxes}


def test_a_terminal_used_twice_gets_two_connections_of_one_terminal():
    cores = cable_of((1, "BN", "P1/X1:1", "D1/X1:1", False), (2, "BU", "P1/X1:1", "D1/X1:2", False))
    sheet = drawn_well(two_devices(cables=cores))
    assert [len(pin.others) for pin in sheet.pins if pin.terminal == "P1/X1:1"] == [1]


def test_crossed_cores_are_drawn_crossed_and_apart():
    cores = cable_of((1, "BN", "P1/X1:1", "D1/X1:2", False), (2, "BU", "P1/X1:2", "D1/X1:1", False))
    drawn_well(two_devices(cables=cores))


def test_an_end_of_line_part_is_drawn_between_its_terminals_with_its_value():
    element = WiredEndOfLine("R1", "D1/X1:1", "D1/X1:2", 4700.0)
    sheet = drawn_well(two_devices(end_of_line_parts=(element,)))
    wire = next(wire for wire in sheet.wires if wire.kind == "element")
    ends = {pin.at[1] for pin in sheet.pins if pin.owner == "D1"}
    assert {wire.points[0][1], wire.points[-1][1]} == ends
    assert "4.7 kΩ" in {label.text for label in sheet.labels}


def test_a_fitted_link_is_drawn_inside_its_device():
    sheet = drawn_well(two_devices(links=(Link("L1", "D1/X1:1", "D1/X1:2"),)))
    box = next(box.rect for box in sheet.boxes if box.key == "D1")
    link = next(wire for wire in sheet.wires if wire.kind == "link")
    assert all(box.x < x < box.right for x, _ in link.points)


def test_links_that_branch_off_one_another_have_a_dot_there():
    ends = tuple(terminal("D1", number, passing=Passing.IN if number == 1 else Passing.OUT) for number in (1, 2, 3))
    device = WiredDevice("D1", "D1", "junction_box", circuit=1, terminals=ends)
    links = (Link("L1", "D1/X1:1", "D1/X1:2"), Link("L2", "D1/X1:1", "D1/X1:3"))
    assert [mark.kind for mark in drawn_well(two_devices(devices=(device,), links=links)).marks] == ["dot"]
    one_link = two_devices(devices=(device,), links=links[:1])
    assert not drawn_well(one_link).marks


def test_a_device_higher_than_the_paper_stands_alone_on_a_sheet_of_its_own_size():
    big = WiredDevice("JB9", "JB9", "junction_box", terminals=tuple(terminal("JB9", number) for number in range(120)))
    wired = two_devices()
    sheets = draw_sheets(replace(wired, devices=(*wired.devices, big)), **A3)
    assert [sheet.height > A3["height_mm"] for sheet in sheets] == [False, True]
    assert all(faults(sheet) == {} for sheet in sheets)


def test_a_ring_back_to_the_panel_is_drawn_under_its_row():
    wired = sound_panel(4)
    last = next(device for device in wired.devices if device.key == "SD2").terminals[2:]
    back = (terminal("P1", 9, "X5", line=1), terminal("P1", 10, "X5", line=1))
    cores = tuple(
        WiredCore(f"back {at}", at, "BN", far.key, near.key)
        for at, (far, near) in enumerate(zip(last, back, strict=True))
    )
    panel = replace(wired.panel, terminals=wired.panel.terminals + back)
    ring = replace(wired, panel=panel, cables=(*wired.cables, WiredCable("WR", "WR", line=1, cores=cores)))
    sheet = drawn_well(ring)
    assert {len(wire.points) for wire in sheet.wires if wire.key.startswith("back")} == {6}


def test_a_junction_box_with_two_branches_begins_a_row_for_the_second():
    box = WiredDevice(
        "JB1", "JB1", "junction_box", circuit=1, order=1, terminals=tuple(terminal("JB1", n) for n in (1, 2, 3))
    )
    devices = [
        WiredDevice(tag, tag, "actuator", circuit=1, order=order, terminals=(terminal(tag, 1),))
        for order, tag in ((2, "M1"), (3, "M2"))
    ]
    cores = cable_of(
        (1, "BN", "P1/X1:1", "JB1/X1:1", False),
        (2, "BN", "JB1/X1:2", "M1/X1:1", False),
        (3, "BN", "JB1/X1:3", "M2/X1:1", False),
    )
    sheet = drawn_well(two_devices(devices=(box, *devices), cables=cores))
    boxes = {each.key: each for each in sheet.boxes}
    assert boxes["M1"].rect.x == boxes["M2"].rect.x
    assert boxes["M1"].rect.y < boxes["M2"].rect.y
    assert boxes["JB1"].is_dashed and not boxes["M1"].is_dashed


def test_a_device_that_no_wire_reaches_yet_is_shown_all_the_same():
    sheet = drawn_well(two_devices(cables=()))
    assert "D1" in {box.key for box in sheet.boxes}


def test_a_panel_counts_as_wired_with_its_first_core():
    assert is_wired(two_devices())
    assert not is_wired(two_devices(cables=()))


def test_a_terminal_of_the_panel_shows_function_designation_and_pole_once():
    texts = {label.text for label in draw_canvas(sound_panel(4)).labels if label.owner == "P1"}
    assert {"-X3:1 +", "-X3:2 −", "data -X3:3", "mains L -X0:L", "battery -X0:B+"} <= texts


@pytest.mark.parametrize("function", ["battery, black lead", "output 2 monitoring", "body of the cabinet"])
def test_what_a_terminal_of_the_panel_is_for_stands_whole(function):
    wired = sound_panel(1)
    panel = replace(wired.panel, terminals=(*wired.panel.terminals, terminal("P1", "9", "X9", function=function)))
    labels = draw_canvas(replace(wired, panel=panel)).labels
    assert any(label.text.startswith(f"{function} -X9:9") for label in labels)


def test_at_a_device_each_terminal_of_an_input_says_what_it_is_for():
    """Two inputs share a common: "in 203" at all three would leave open which is which."""
    wired = sound_panel(1)
    device = wired.devices[0]
    own = terminal(device.key, "1", "X4", function="common", input=203)
    devices = (replace(device, terminals=(*device.terminals, own)), *wired.devices[1:])
    labels = {label.text for label in draw_canvas(replace(wired, devices=devices)).labels}
    assert "in 203 common -X4:1" in labels
