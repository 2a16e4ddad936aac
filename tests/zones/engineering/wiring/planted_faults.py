"""What is done wrong in the small job: each fault with the one finding that it gives, and what is only not settled.

The faults are those of common practice of fitting and taking over such jobs (no source); what a monitored line must
tell is from EN 54-2.
"""

from dataclasses import replace

from tests.zones.engineering.wiring.examples import device, swapped, with_core
from tests.zones.engineering.wiring.small_job import box, cable, small_job
from zones.engineering.wiring.wired_panel import Link, ListedDevice, WiredCable, WiredCore, WiredEndOfLine, WiredLink

RIGHT = small_job()
LISTED = RIGHT.data_links[0].listed


def elements(*changes, leave_out=(), add=()):
    """The job with end-of-line parts changed: (key, {field: value})."""
    changed = dict(changes)
    kept = [replace(one, **changed.get(one.key, {})) for one in RIGHT.end_of_line_parts if one.key not in leave_out]
    return replace(RIGHT, end_of_line_parts=(*kept, *add))


def moved(key, first, second):
    return elements((key, {"first": first, "second": second}))


def listed(*entries):
    return replace(RIGHT, data_links=(WiredLink(1, "", entries),))


def with_device(tag, **changes):
    devices = tuple(replace(one, **changes) if one.tag == tag else one for one in RIGHT.devices)
    return replace(RIGHT, devices=devices)


def with_order(name, number, **changes):
    orders = tuple(replace(o, **changes) if o.number == number else o for o in getattr(RIGHT, name))
    return replace(RIGHT, **{name: orders})


def with_cables(*more, leave_out=()):
    return replace(RIGHT, cables=(*(one for one in RIGHT.cables if one.key not in leave_out), *more))


def with_link(first, second):
    return replace(RIGHT, links=(*RIGHT.links, Link("more", first, second)))


def with_jumper(first, second):
    core = WiredCore("W99.1", 1, "BN", first, second)
    return with_cables(WiredCable("W99", "W99", "", 1, cores=(core,)))


def without_link(key):
    return replace(RIGHT, links=tuple(link for link in RIGHT.links if link.key != key))


def carried_on(far):
    """The third core of the leg behind the box linked to the monitoring core; `far` is where its other end is."""
    actuator, inside = device("M2", "actuator", "polarity", circuit=2, order=1, zone=2)
    cables = [one for one in RIGHT.cables if one.key != "W3"]
    leg = next(one for one in RIGHT.cables if one.key == "W3")
    third = WiredCore("W3.3", 3, "BK", "JB1 -X2:3", far)
    wider = box("JB1", "X1:1", "X1:2", "X1:3", "X2:1", "X2:2", "X2:3")
    return replace(
        RIGHT,
        devices=tuple({"JB1": wider, "M2": actuator}.get(one.tag, one) for one in RIGHT.devices),
        cables=(*cables, replace(leg, cores=(*leg.cores[:2], third))),
        links=(*RIGHT.links, *inside, Link("b3", "JB1 -X1:3", "JB1 -X2:3")),
    )


# What was done wrong: the wiring, the one finding, and what its sentence must name.
PLANTED = {
    "resistor of the panel's line left at the panel as well": (
        elements(add=[WiredEndOfLine("Rx", "P1 -XL1:1", "P1 -XL1:2", 10_000.0)]),
        "element_two",
        ["SD2"],
    ),
    "no resistor at the last detector": (elements(leave_out=["R1"]), "element_missing", ["Line 1", "SD2"]),
    "no resistor at the detector of the call point": (elements(leave_out=["R201"]), "element_missing", ["SD1"]),
    "resistor of another value": (elements(("R1", {"value_ohm": 4_700.0})), "element_value", ["4700", "10000"]),
    "resistor of another value on an input": (elements(("R3", {"value_ohm": 4_700.0})), "element_value", ["input 3"]),
    "resistor left at the call point although a detector is on its line": (
        moved("R201", "CP1 -X3:1", "CP1 -X3:2"),
        "element_place",
        ["CP1", "SD1"],
    ),
    "resistor of the unused line of a call point not fitted": (
        elements(leave_out=["R202"]),
        "element_missing",
        ["CP2"],
    ),
    "resistor on the incoming terminals of the detector": (
        moved("R1", "SD2 -X1:1", "SD2 -X1:2"),
        "element_across",
        ["outgoing"],
    ),
    "both ends of the resistor on one conductor": (
        moved("R1", "SD2 -X1:3", "SD2 -X1:1"),
        "element_across",
        ["one conductor"],
    ),
    "module left at the panel": (moved("E2", "P1 -XA2:3", "P1 -XA2:2"), "element_place", ["P1", "box"]),
    "module at neither end": (elements(leave_out=["E2"]), "element_missing", ["Output 2", "junction box"]),
    "module in the box and at the panel": (
        elements(add=[WiredEndOfLine("Ex", "P1 -XA2:3", "P1 -XA2:2", None, "module")]),
        "element_two",
        ["box"],
    ),
    "monitoring core carried on to the actuator": (carried_on("M2 -X1:3"), "monitor_carried_on", ["W3.3", "JB1"]),
    "monitoring core carried on, loose at the actuator": (
        carried_on(None),
        "monitor_carried_on",
        ["W3.3", "JB1", "park"],
    ),
    "resistor of the rain input left at the panel": (moved("R3", "P1 -XS3:1", "P1 -XS3:2"), "element_place", ["RS1"]),
    "resistor of the rain input at both ends": (
        elements(add=[WiredEndOfLine("Rx", "P1 -XS3:1", "P1 -XS3:2", 10_000.0)]),
        "element_two",
        ["RS1"],
    ),
    "no resistor at the rain sensor": (elements(leave_out=["R3"]), "element_missing", ["Input 3", "RS1"]),
    "poles of the actuator crossed at the panel": (swapped(RIGHT, "W1.1", "W1.2", "near"), "polarity", ["W1.1"]),
    "poles crossed behind the box": (swapped(RIGHT, "W3.1", "W3.2"), "polarity", ["M2"]),
    "data core of the link crossed with its supply": (swapped(RIGHT, "W5.1", "W5.3"), "polarity", ["CP2", "data"]),
    "link cores crossed at the panel": (swapped(RIGHT, "W4.1", "W4.2", "near"), "polarity", ["W4.1"]),
    "data core of the addressed actuator off": (with_core(RIGHT, "W1.3", far=None), "core_open", ["W1.3"]),
    "open and close exchanged at the panel": (swapped(RIGHT, "W8.2", "W8.3", "near"), "input_function", ["open"]),
    "open and close exchanged at the call point": (swapped(RIGHT, "W7.2", "W7.3"), "input_function", ["VS1"]),
    "switch on the wrong zone": (with_device("VS2", zone=2), "run_zone", ["VS2", "zone 2"]),
    "detector on the line of another zone": (with_device("SD2", zone=2), "run_zone", ["SD2", "line 1"]),
    "call points exchanged": (
        listed(replace(LISTED[0], fitted_serial="TC-02"), replace(LISTED[1], fitted_serial="TC-01")),
        "link_serial",
        ["CP1", "CP2", "exchanged"],
    ),
    "another call point fitted than listed": (
        listed(replace(LISTED[0], fitted_serial="TC-09"), LISTED[1]),
        "link_serial",
        ["CP1", "TC-09", "TC-01"],
    ),
    "call point in the wrong zone at the panel": (
        listed(replace(LISTED[0], zone=2), LISTED[1]),
        "link_zone",
        ["CP1", "zone 2", "zone 1"],
    ),
    "a third call point listed": (listed(*LISTED, ListedDevice(3, "TC-03", 13)), "link_count", ["3", "2"]),
    "a call point that the panel does not find": (listed(LISTED[0]), "link_count", ["lists 1"]),
    "battery blocks in parallel": (
        with_cables(
            cable("WB3", ("G1 -X1:2", "G2 -X1:2")), cable("WB2", ("P1 -X2:2", "G2 -X1:1")), leave_out=["WB2", "WB3"]
        ),
        "battery_parallel",
        ["G1", "G2", "series"],
    ),
    "battery leads crossed at the panel": (
        with_cables(
            cable("WB1", ("P1 -X2:2", "G1 -X1:1")), cable("WB2", ("P1 -X2:1", "G2 -X1:2")), leave_out=["WB1", "WB2"]
        ),
        "polarity",
        ["WB1"],
    ),
    "earth of the mains not connected": (
        with_cables(
            cable(
                "W0",
                (None, "P1 -X1:L"),
                (None, "P1 -X1:N"),
                colours=("BN", "BU"),
                from_place="board DB1",
                to_place="P1",
            ),
            leave_out=["W0"],
        ),
        "earth_missing",
        ["PE"],
    ),
    "body not joined to the earth": (without_link("pe"), "earth_body", ["body"]),
    "link missing in the box": (without_link("b1"), "box_breaks", ["JB1"]),
    "module in the box without the monitoring core": (
        moved("E2", "JB1 -X1:1", "JB1 -X1:2"),
        "element_across",
        ["monitoring core", "output 2"],
    ),
    "module on the monitoring core although the feed cores are to be monitored": (
        with_order("circuits", 2, monitored_by="two"),
        "element_across",
        ["feed cores", "record"],
    ),
    "resistor of the unused line on a terminal of another function": (
        moved("R202", "CP2 -X3:1", "CP2 -X4:1"),
        "element_loose",
        ["line 202", "CP2 -X4:1"],
    ),
    "third core off in the box": (with_core(RIGHT, "W2.3", far=None), "core_open", ["W2.3"]),
    "core off at the last detector, so that its resistor is cut off": (
        with_core(RIGHT, "W9.2", far=None),
        "core_open",
        ["W9.2"],
    ),
    "common core off at a switch whose inputs share it": (with_core(RIGHT, "W8.1", far=None), "core_open", ["W8.1"]),
    "common and open exchanged at the switch": (
        swapped(RIGHT, "W8.1", "W8.2"),
        "input_function",
        ["common", "open", "VS2"],
    ),
    "data core of the addressed actuator crossed with −": (
        swapped(RIGHT, "W1.2", "W1.3"),
        "kind",
        ["W1.2", "W1.3", "data"],
    ),
    "signal of the rain sensor crossed with its supply": (
        swapped(RIGHT, "W10.1", "W10.3", "near"),
        "kind",
        ["W10.1", "W10.3"],
    ),
    "both sides of a call point exchanged": (
        with_cables(
            cable("W4", *((f"P1 -XD1:{n}", f"CP1 -X2:{n}") for n in (1, 2, 3))),
            cable("W5", *((f"CP1 -X1:{n}", f"CP2 -X1:{n}") for n in (1, 2, 3))),
            leave_out=["W4", "W5"],
        ),
        "direction",
        ["CP1 -X2:1", "CP1 -X1:3"],
    ),
    "cables of two outputs exchanged at the panel": (
        with_cables(
            cable("W1", *((f"P1 -XA2:{n}", f"M1 -X1:{n}") for n in (1, 2, 3)), circuit=1),
            cable("W2", *((f"P1 -XA1:{n}", f"JB1 -X1:{n}") for n in (1, 2, 3)), circuit=2),
            leave_out=["W1", "W2"],
        ),
        "wrong_run",
        ["M1 of output 1", "M2 of output 2", "P1 -XA2:1", "M2 and M1 are recorded"],
    ),
    "switch wired to the other call point": (
        with_cables(cable("W7", *((f"CP1 -X4:{n}", f"VS1 -X1:{n}") for n in (1, 2, 3))), leave_out=["W7"]),
        "wrong_run",
        ["VS1 of input 203", "input 201", "CP1 -X4:2", "VS1 is recorded"],
    ),
    "detector wired to the line of the other call point": (
        with_cables(cable("W6", ("CP2 -X3:1", "SD1 -X1:1"), ("CP2 -X3:2", "SD1 -X1:2")), leave_out=["W6"]),
        "wrong_run",
        ["SD1 of line 201", "line 202"],
    ),
    "signals of two inputs exchanged at the panel": (
        swapped(RIGHT, "W8.2", "W10.3", "near"),
        "wrong_run",
        ["VS2", "RS1", "input 3"],
    ),
    "call points exchanged in their zones at the panel": (
        listed(replace(LISTED[0], zone=2), replace(LISTED[1], zone=1)),
        "link_zone",
        ["CP1", "CP2", "exchanged"],
    ),
    "link of the battery blocks not fitted": (with_cables(leave_out=["WB3"]), "supply_idle", ["G1 -X1:2", "G2 -X1:1"]),
    "phase and neutral exchanged": (
        with_cables(
            cable(
                "W0",
                (None, "P1 -X1:N"),
                (None, "P1 -X1:L"),
                (None, "P1 -X1:PE"),
                colours=("BN", "BU", "GNYE"),
                from_place="board DB1",
                to_place="P1",
            ),
            leave_out=["W0"],
        ),
        "neutral_colour",
        ["W0.2 BU", "P1 -X1:N"],
    ),
    "protective and neutral conductor exchanged": (
        with_cables(
            cable(
                "W0",
                (None, "P1 -X1:L"),
                (None, "P1 -X1:PE"),
                (None, "P1 -X1:N"),
                colours=("BN", "BU", "GNYE"),
                from_place="board DB1",
                to_place="P1",
            ),
            leave_out=["W0"],
        ),
        "green_yellow",
        ["W0.3 GNYE", "P1 -X1:N"],
    ),
    "protective conductor on no terminal": (
        with_core(RIGHT, "W0.3", near=None, far=None),
        "earth_missing",
        ["P1 -X1:PE"],
    ),
    "link that bridges the head of a detector": (
        with_link("SD2 -X1:1", "SD2 -X1:3"),
        "bridged",
        ["SD2 -X1:1", "SD2 -X1:3", "removal"],
    ),
    "core that bridges the head of a detector": (
        with_jumper("SD2 -X1:1", "SD2 -X1:3"),
        "bridged",
        ["W99.1 BN", "SD2", "removal"],
    ),
    "link between two outputs at the panel": (
        with_link("P1 -XA1:1", "P1 -XA2:1"),
        "link",
        ["P1 -XA1:1 of output 1", "P1 -XA2:1 of output 2"],
    ),
    "link between the signals of two inputs": (
        with_link("P1 -XS1:1", "P1 -XS2:1"),
        "link",
        ["P1 -XS1:1 of input 1", "P1 -XS2:1 of input 2"],
    ),
    "link across the line of a call point": (
        with_link("CP2 -X3:1", "CP2 -X3:2"),
        "link",
        ["CP2 -X3:1", "different poles"],
    ),
    "link between the two feed cores in a box": (
        with_link("JB1 -X1:1", "JB1 -X1:2"),
        "link",
        ["JB1 -X1:1", "P1 -XA2:1 of output 2", "P1 -XA2:2 of output 2"],
    ),
    "link between the phase and the neutral": (with_link("P1 -X1:L", "P1 -X1:N"), "link", ["conductors of the mains"]),
    "core on a terminal that the record does not have": (
        with_core(RIGHT, "W9.1", far="no such terminal"),
        "terminal_unrecorded",
        ["W9.1 BN", "P1 -XL1:1", "record the terminal"],
    ),
    "input of the switch given to another zone": (with_order("inputs", 1, zone=2), "run_zone", ["VS2"]),
}


# What is not settled rather than wrong: the wiring, and the one finding.
UNSETTLED = {
    "the panel's list of the link not read": (listed(), "link_not_read"),
    "an entry of the list that no position is confirmed for": (
        listed(LISTED[0], replace(LISTED[1], device=None, fitted_serial="")),
        "link_unconfirmed",
    ),
    "the module in a box, recorded at the last device": (
        with_order("circuits", 2, ends_in_box=False),
        "element_in_box",
    ),
    "the module in a box, recorded at the last device, which has a monitoring terminal": (
        replace(with_order("circuits", 2, ends_in_box=False), devices=carried_on(None).devices),
        "element_in_box",
    ),
    "the module in a box, recorded as not needed": (
        with_order("circuits", 2, ends_in_box=False, is_monitored=False),
        "element_stray",
    ),
    "a line not yet wired": (
        replace(
            with_order("lines", 1, is_complete=False),
            cables=tuple(c for c in RIGHT.cables if c.key != "W9"),
            end_of_line_parts=tuple(one for one in RIGHT.end_of_line_parts if one.key != "R1"),
        ),
        "run_unwired",
    ),
}
