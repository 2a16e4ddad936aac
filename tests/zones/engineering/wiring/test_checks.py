"""Every finding about wiring, with a wiring that gives it and one that does not.

What is right is the handbook's (process.md §1 rows 4 to 6, §2 "Terminal", "End element"), tagged there: one core per
terminal, each core on terminals or parked, one resistor at the last device, no tee (practice); green-yellow for the
protective conductor alone (IEC 60445, second-hand); colour codes (IEC 60757, from memory); faults of monitored lines
are to be told (EN 54-2, from memory).
"""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.zones.engineering.wiring.examples import (
    core_of,
    device,
    element_across,
    leg,
    make_wired,
    swapped,
    with_box,
    with_cable,
    with_core,
    with_terminal,
)
from zones.engineering.findings import Severity
from zones.engineering.wiring.checks import check_wiring
from zones.engineering.wiring.wired_panel import (
    Link,
    Passing,
    Polarity,
    TerminalKind,
    WiredCable,
    WiredCore,
    WiredEndOfLine,
    WiredTerminal,
)

RIGHT = make_wired(lines=(3, 0), circuits=(("polarity", 2), ("addressed", 2)))


def told_in(wired):
    """The findings, and what is folded under them."""
    return [one for finding in check_wiring(wired) for one in (finding, *finding.follow_ons)]


def codes(wired):
    return {finding.code.removeprefix("wiring.") for finding in told_in(wired)}


def sentence(wired, code):
    found = [finding for finding in told_in(wired) if finding.code == f"wiring.{code}"]
    assert found, f"no {code} in {codes(wired)}"
    return found[0].sentence


def test_a_correct_wiring_has_no_finding():
    assert check_wiring(RIGHT) == []


# Mains and earth, junction boxes: added to the right wiring --------------------------------------------------------


def with_mains(wired=RIGHT, earth_colour="GNYE", numbers=("L", "N", "PE")):
    colours = {"L": "BN", "N": "BU", "PE": earth_colour}
    cores = tuple(
        WiredCore(f"W0.{n}", n, colours[name], None, f"P1 -X1:{name}") for n, name in enumerate(numbers, start=1)
    )
    mains = WiredCable("W0", "W0", "", len(cores), cores=cores, from_place="board DB1", to_place="P1")
    return replace(wired, cables=(mains, *wired.cables))


@pytest.mark.parametrize("wired", [with_mains(), with_box(RIGHT)], ids=["mains with earth", "a box that links on"])
def test_mains_and_boxes_wired_rightly_have_no_finding(wired):
    assert check_wiring(wired) == []


def with_tee():
    """SD1.3 hangs on a second cable from SD1.1 instead of on SD1.2."""
    from_first = {"near": "SD1.1 -X9:1"}, {"near": "SD1.1 -X9:2"}
    extra = (
        WiredTerminal("SD1.1 -X9:1", "SD1.1", "X9", "1", "", TerminalKind.LINE, Polarity.PLUS, Passing.OUT),
        WiredTerminal("SD1.1 -X9:2", "SD1.1", "X9", "2", "", TerminalKind.LINE, Polarity.MINUS, Passing.OUT),
    )
    devices = tuple(
        replace(one, terminals=(*one.terminals, *extra)) if one.key == "SD1.1" else one for one in RIGHT.devices
    )
    links = (Link("t1", "SD1.1 -X1:3", "SD1.1 -X9:1"), Link("t2", "SD1.1 -X1:4", "SD1.1 -X9:2"))
    wired = replace(RIGHT, devices=devices, links=(*RIGHT.links, *links))
    return with_core(with_core(wired, "WL1.3.1", **from_first[0]), "WL1.3.2", **from_first[1])


def with_star():
    """SD1.2 hangs on a second cable from the panel instead of on SD1.1."""
    return with_core(with_core(RIGHT, "WL1.2.1", near="P1 -XL1:1"), "WL1.2.2", near="P1 -XL1:2")


def with_ring():
    """The line comes back to the panel from its last device, beside the element."""
    cores = (
        WiredCore("WR.1", 1, "BN", "SD1.3 -X1:3", "P1 -XL1:9"),
        WiredCore("WR.2", 2, "BU", "SD1.3 -X1:4", "P1 -XL1:10"),
    )
    back = WiredCable("WR", "WR", "", 2, line=1, cores=cores)
    extra = (
        WiredTerminal("P1 -XL1:9", "P1", "XL1", "9", "", TerminalKind.LINE, Polarity.PLUS, Passing.IN, line=1),
        WiredTerminal("P1 -XL1:10", "P1", "XL1", "10", "", TerminalKind.LINE, Polarity.MINUS, Passing.IN, line=1),
    )
    return replace(
        RIGHT, panel=replace(RIGHT.panel, terminals=(*RIGHT.panel.terminals, *extra)), cables=(*RIGHT.cables, back)
    )


def with_element(key, **changes):
    return replace(
        RIGHT,
        end_of_line_parts=tuple(replace(one, **changes) if one.key == key else one for one in RIGHT.end_of_line_parts),
    )


def without_elements(*keys):
    return replace(RIGHT, end_of_line_parts=tuple(one for one in RIGHT.end_of_line_parts if one.key not in keys))


def without_link(first):
    return replace(RIGHT, links=tuple(link for link in RIGHT.links if link.first != first))


def with_switch(wire):
    switch, inside = device("VS1", "ventilation_switch")
    numbers = {"input": [1], "output": (1, 2), "line": (1, 2)}
    inputs = [t for t in device("P1", "control_panel", "", numbers)[0].terminals if t.block == "XS1"]
    wired = replace(
        RIGHT,
        devices=(*RIGHT.devices, switch),
        links=(*RIGHT.links, *inside),
        panel=replace(RIGHT.panel, terminals=(*RIGHT.panel.terminals, *inputs)),
    )
    cores = tuple(WiredCore(f"WS.{n}", n, "", f"P1 -XS1:{n}", f"VS1 -X1:{n}") for n in (1, 2, 3))
    return replace(wired, cables=(*wired.cables, WiredCable("WS", "WS", "", 3, cores=cores))) if wire else wired


WRONG = {
    "terminal_twice": (
        with_core(RIGHT, "WL1.1.3", is_spare=False, near="P1 -XL1:1", far="SD1.1 -X1:1"),
        ["P1 -XL1:1", "WL1.1.1 BN", "WL1.1.3 BK"],
    ),
    "core_loose": (with_core(RIGHT, "WL1.2.1", near=None, far=None), ["WL1.2.1 BN", "spare"]),
    "core_open": (with_core(RIGHT, "WL1.2.1", far=None), ["WL1.2.1 BN", "SD1.1 -X1:3", "far end"]),
    "spare_used": (with_core(RIGHT, "WL1.2.1", is_spare=True), ["WL1.2.1 BN", "SD1.1 -X1:3"]),
    "cores_more": (with_cable(RIGHT, "W1.1", cores_count=3), ["W1.1", "3 cores", "core 4"]),
    "cores_fewer": (with_cable(RIGHT, "W1.1", cores_count=5), ["W1.1", "5 cores", "core 5"]),
    "cores_unknown": (with_cable(RIGHT, "W1.1", cores_count=None), ["W1.1"]),
    "colour_twice": (with_core(RIGHT, "W1.1.2", colour="BN"), ["W1.1", "1 and 2", "BN"]),
    "cable_split": (swapped(RIGHT, "WL1.1.1", "WL1.2.1"), ["WL1.1", "SD1.1", "SD1.2"]),
    "kind": (swapped(RIGHT, "W1.1.2", "W1.1.3"), ["W1.1.2 BU", "-XA1:2 (actuator output)", "-X1:3 (monitoring core)"]),
    "polarity": (swapped(RIGHT, "WL1.2.1", "WL1.2.2"), ["WL1.2.1 BN", "SD1.1 -X1:3 (+)", "SD1.2 -X1:2 (−)"]),
    "voltage": (with_terminal(RIGHT, "SD1.1 -X1:1", voltage_v=12.0), ["P1 -XL1:1 (24 V)", "SD1.1 -X1:1 (12 V)"]),
    "direction": (with_core(RIGHT, "WL1.1.1", far="SD1.1 -X1:3"), ["WL1.1.1 BN", "SD1.1 -X1:3"]),
    "kind_unknown": (with_terminal(RIGHT, "SD1.1 -X1:1", kind=TerminalKind.UNKNOWN), ["SD1.1 -X1:1"]),
    "pole_unknown": (with_terminal(RIGHT, "SD1.1 -X1:1", polarity=Polarity.NONE), ["SD1.1 -X1:1"]),
    "earth_missing": (with_mains(numbers=("L", "N")), ["P1 -X1:PE", "P1 -X1:L"]),
    "earth_unrecorded": (
        with_terminal(with_mains(numbers=("L", "N")), "P1 -X1:PE", kind=TerminalKind.OTHER),
        ["P1 -X1:L"],
    ),
    "earth_colour": (with_mains(earth_colour="BK"), ["W0.3 BK", "P1 -X1:PE", "GNYE"]),
    "earth_colour_unknown": (with_mains(earth_colour=""), ["W0.3", "P1 -X1:PE"]),
    "green_yellow": (with_core(RIGHT, "W1.1.2", colour="GNYE"), ["W1.1.2 GNYE", "P1 -XA1:2"]),
    "wrong_run": (swapped(RIGHT, "W1.1.1", "W2.1.1", "near"), ["W1.1.1 BN", "output 2", "P1 -XA2:1"]),
    "no_terminals": (
        replace(
            RIGHT, panel=replace(RIGHT.panel, terminals=tuple(t for t in RIGHT.panel.terminals if t.block != "XA2"))
        ),
        ["P1", "output 2"],
    ),
    "not_reached": (without_link("SD1.1 -X1:1"), ["SD1.2 and SD1.3", "P1 -XL1:1 (+)", "as far as SD1.1"]),
    "tee": (with_tee(), ["SD1.1", "WL1.3", "Line 1"]),
    "ring": (with_ring(), ["WR", "WL1.1", "Line 1"]),
    "order": (
        replace(
            RIGHT,
            devices=tuple(
                replace(one, order={"SD1.1": 2, "SD1.2": 1}.get(one.key, one.order)) for one in RIGHT.devices
            ),
        ),
        ["SD1.1, SD1.2 and SD1.3"],
    ),
    "box_breaks": (with_box(RIGHT, break_at=3), ["JB1 breaks output 1", "monitoring core", "JB1 -X1:3"]),
    "short": (replace(RIGHT, links=(*RIGHT.links, Link("x", "M1.1 -X1:1", "M1.1 -X1:2"))), ["P1 -XA1:1", "P1 -XA1:2"]),
    "link": (
        replace(RIGHT, links=(*RIGHT.links, Link("x", "M1.1 -X1:1", "M1.1 -X1:2"))),
        ["M1.1 -X1:1", "M1.1 -X1:2"],
    ),
    "element_missing": (without_elements("Rline1"), ["Line 1", "SD1.3"]),
    "element_two": (
        replace(
            RIGHT, end_of_line_parts=(*RIGHT.end_of_line_parts, WiredEndOfLine("y", "P1 -XL1:1", "P1 -XL1:2", 10_000.0))
        ),
        ["P1 -XL1:1", "SD1.3 -X1:3"],
    ),
    "element_place": (
        with_element("Rline1", first="SD1.2 -X1:3", second="SD1.2 -X1:4"),
        ["at SD1.2", "SD1.3 is the last device"],
    ),
    "element_across": (with_element("Rline1", first="SD1.3 -X1:3", second="SD1.3 -X1:1"), ["SD1.3 -X1:3"]),
    "element_value": (with_element("Rline1", value_ohm=4_700.0), ["4700 Ω", "10000 Ω", "SD1.3 -X1:3"]),
    "element_value_unknown": (with_element("Rline1", value_ohm=None), ["SD1.3 -X1:3"]),
    "element_stray": (
        replace(RIGHT, end_of_line_parts=(*RIGHT.end_of_line_parts, WiredEndOfLine("y", "M2.2 -X1:4", "M2.2 -X1:5"))),
        ["M2.2 -X1:4"],
    ),
    "drive_unknown": (
        replace(RIGHT, circuits=tuple(replace(one, drive="", is_monitored=False) for one in RIGHT.circuits)),
        ["output 1"],
    ),
    "device_unwired": (with_switch(wire=False), ["VS1"]),
}


@pytest.mark.parametrize("code", WRONG)
def test_each_fault_is_told_with_the_names_of_what_is_wrong(code):
    wired, names = WRONG[code]
    told = sentence(wired, code)
    assert all(name in told for name in names), told
    assert told.endswith(".")


@pytest.mark.parametrize("code", WRONG)
def test_the_right_wiring_does_not_tell_it(code):
    assert code not in codes(RIGHT) | codes(with_mains()) | codes(with_box(RIGHT)) | codes(with_switch(wire=True))


def test_no_code_is_without_a_wrong_case():
    """Every code in the sources of the checks stands in the table above."""
    import re
    from pathlib import Path

    from tests.zones.engineering.wiring.planted_faults import PLANTED, UNSETTLED
    from zones.engineering import wiring

    text = "".join(path.read_text() for path in sorted(Path(wiring.__file__).parent.glob("*.py")))
    told = {*WRONG, *(code for _, code, _ in PLANTED.values()), *(code for _, code in UNSETTLED.values())}
    used = set(re.findall(r'Severity\.\w+, "(\w+)"', text.replace("\n", " ").replace("  ", "")))
    used |= set(re.findall(r'keys?, "(\w+_unknown)", "', text)) | set(re.findall(r'no_\w+, "(\w+)", "', text))
    used |= set(re.findall(r'run\.unfinished, "(\w+)"', text)) | set(
        re.findall(r'\bunfinished\([^)]*\), "(\w+)"', text)
    )
    used |= set(re.findall(r'_told_of\(wiring, "(\w+)"', text))
    assert used - {"code"} <= told, used - told
    assert len(used) >= 40


def test_a_core_between_two_lines_is_told_with_the_line_of_each_end():
    core = WiredCore("WX.1", 1, "BN", "P1 -XL1:1", "P1 -XL2:1")
    between = replace(RIGHT, cables=(*RIGHT.cables, WiredCable("WX", "WX", "", 1, cores=(core,))))
    assert "joins P1 -XL1:1 of line 1 and P1 -XL2:1 of line 2." in sentence(between, "wrong_run")


def test_a_line_that_branches_at_the_panel_is_told_too():
    assert "Line 1 branches at P1 (WL1.1 and WL1.2)" in sentence(with_star(), "tee")


def test_a_missing_figure_is_no_failure_and_no_pass():
    (finding,) = check_wiring(with_element("Rline1", value_ohm=None))
    assert finding.severity == Severity.MISSING


def test_an_element_within_five_percent_is_the_same_part_and_the_next_of_the_series_is_not():
    """E24 steps are about 10 % (IEC 60063, from memory): 9.1 kΩ is another part than 10 kΩ, 9.6 kΩ is a tolerance."""
    assert check_wiring(with_element("Rline1", value_ohm=9_600.0)) == []
    assert "element_value" in codes(with_element("Rline1", value_ohm=9_100.0))


def test_an_unused_line_has_its_element_at_the_panel():
    moved = with_element("Rline2", first="SD1.1 -X1:3", second="SD1.1 -X1:4")
    assert {"element_missing", "element_two"} <= codes(moved)


def test_mains_may_come_from_a_place_outside_the_record_but_a_line_may_not():
    assert "core_open" not in codes(with_mains())
    open_line = with_cable(with_core(RIGHT, "WL1.1.1", near=None), "WL1.1", from_place="board DB1")
    assert "core_open" in codes(open_line)


# Any single mistake ---------------------------------------------------------------------------------------------------


@st.composite
def wirings(draw):
    lines = draw(st.lists(st.integers(0, 4), min_size=1, max_size=3))
    circuits = draw(st.lists(st.tuples(st.sampled_from(["polarity", "addressed"]), st.integers(0, 3)), max_size=2))
    return make_wired(tuple(lines), tuple(circuits), spare=draw(st.integers(0, 2)))


def used_cores(wired):
    return [core for cable in wired.cables for core in cable.cores if not core.is_spare]


def told_of(wired):
    """Everything that the findings name, in their sentences and beside them."""
    found = told_in(wired)
    return " ".join([f.sentence for f in found] + [str(x.value) for f in found for x in f.inputs])


@given(wirings())
def test_any_correct_wiring_has_no_finding(wired):
    assert check_wiring(wired) == []


@given(wirings(), st.data())
def test_two_cores_changed_over_are_told(wired, data):
    cores = used_cores(wired)
    if len(cores) < 2:
        return
    first, second = data.draw(st.permutations(cores))[:2]
    told = told_of(swapped(wired, first.key, second.key, data.draw(st.sampled_from(["near", "far"]))))
    assert first.key in told or second.key in told, told


@given(wirings(), st.data())
def test_a_core_taken_out_is_told(wired, data):
    if not (cores := used_cores(wired)):
        return
    core = data.draw(st.sampled_from(cores))
    cable = next(cable for cable in wired.cables if core in cable.cores)
    gone = with_cable(wired, cable.key, cores=tuple(one for one in cable.cores if one != core))
    assert f"{cable.tag} has" in told_of(gone)
    assert f"Record core {core.number}" in told_of(gone)
    assert f"{core.key} {core.colour}" in told_of(with_core(wired, core.key, near=None, far=None))


@given(wirings(), st.data())
def test_an_element_moved_or_taken_out_is_told(wired, data):
    if not wired.end_of_line_parts:
        return
    element = data.draw(st.sampled_from(wired.end_of_line_parts))
    owner = wired.terminals()[element.first].owner
    others = [one for one in wired.owners().values() if one.key != owner and len(one.terminals) > 3]
    rest = tuple(one for one in wired.end_of_line_parts if one != element)
    assert "has no end-of-line " in told_of(replace(wired, end_of_line_parts=rest))
    if others:
        there = data.draw(st.sampled_from(others))
        first, second = data.draw(st.permutations(there.terminals))[:2]
        moved = replace(element, first=first.key, second=second.key)
        told = told_of(replace(wired, end_of_line_parts=(*rest, moved)))
        assert first.key in told
        assert second.key in told


@given(wirings(), st.data())
def test_crossed_poles_are_told(wired, data):
    poled = [cable for cable in wired.cables if len([core for core in cable.cores if not core.is_spare]) >= 2]
    if not poled:
        return
    cable = data.draw(st.sampled_from(poled))
    told = told_of(swapped(wired, cable.cores[0].key, cable.cores[1].key))
    assert "the poles are crossed" in told
    assert f"{cable.cores[0].key} BN" in told


def test_the_examples_are_what_they_say():
    assert core_of(RIGHT, "WL1.1.1").far == "SD1.1 -X1:1"
    assert leg("W", (), ()).cores_count == 1
    assert element_across("R", RIGHT.devices[0].terminals[2:]).first == "SD1.1 -X1:3"
