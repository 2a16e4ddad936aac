"""The zone overview: everything of the data once, folded where it is much, and nothing on anything else."""

from dataclasses import replace
from itertools import combinations
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.zones.engineering.drawings.geometry import overlap
from tests.zones.engineering.drawings.overviews import overview_of
from zones.engineering.drawings.overview_layout import BOX_MM, lay_out
from zones.engineering.drawings.overview_svg import overview_svg
from zones.engineering.drawings.zone_overview import (
    InputState,
    OverviewCircuit,
    OverviewGroup,
    OverviewInput,
    OverviewVent,
    OverviewZone,
    VentState,
    ZoneOverview,
    rows_of_inputs,
)

SVG = "{http://www.w3.org/2000/svg}"
A3_HEIGHT_MM = 241.0


def root_of(overview, **arguments):
    (sheet,) = lay_out(overview)
    arguments = {"href": lambda key: f"/positions/{key}/", **arguments}
    return ElementTree.fromstring(overview_svg(sheet, overview, title="t", description="d", **arguments))  # noqa: S314


def by_class(root, word):
    return [element for element in root.iter() if word in element.get("class", "").split()]


def inputs_of(*tags, kind="smoke_detector", zone=1, line=1):
    return [OverviewInput(tag, tag, kind, zone, line) for tag in tags]


def test_three_or_more_of_a_kind_are_told_in_one_row():
    (row,) = rows_of_inputs(inputs_of("SD-01", "SD-02", "SD-03", "SD-04", "SD-05", "SD-06"))
    assert row.words == "SD-01…SD-06 (6)"


def test_two_of_a_kind_are_named_both():
    (row,) = rows_of_inputs(inputs_of("SD-01", "SD-02"))
    assert row.words == "SD-01, SD-02"


def test_kinds_and_lines_have_rows_of_their_own():
    rows = rows_of_inputs(
        [*inputs_of("SD-01", line=2), *inputs_of("CP-01", kind="manual_call_point"), *inputs_of("SD-02", line=1)]
    )
    assert [row.words for row in rows] == ["CP-01", "SD-02", "SD-01"]


@pytest.mark.parametrize("zones", [1, 12, 24])
def test_a_page_of_many_zones_with_150_inputs_shows_each_vent_and_input_once(zones):
    overview = overview_of(zones, inputs_per_zone=150 // zones)
    root = root_of(overview)
    inputs = [key for element in by_class(root, "d-input") for key in element.get("data-inputs").split()]
    assert sorted(inputs) == sorted(each.key for each in overview.inputs)
    assert sorted(element.get("data-vent") for element in by_class(root, "d-vent")) == sorted(
        v.key for v in overview.vents
    )
    assert len(by_class(root, "d-circuit")) == len(by_class(root, "d-group")) == zones


@pytest.mark.parametrize("zones", [12, 24])
def test_sheets_are_no_higher_than_the_paper(zones):
    sheets = lay_out(overview_of(zones), height_mm=A3_HEIGHT_MM)
    assert len(sheets) > 1
    assert all(sheet.height <= A3_HEIGHT_MM and sheet.width <= 396 for sheet in sheets)


def test_a_zone_with_more_vents_than_a_sheet_takes_goes_on_on_the_next():
    overview = overview_of(1, vents_per_zone=45)
    sheets = lay_out(overview, height_mm=A3_HEIGHT_MM)
    vents = [vent.key for sheet in sheets for band in sheet.bands for block in band.blocks for vent, _ in block.vents]
    assert vents == [vent.key for vent in overview.vents]
    assert all(sheet.height <= A3_HEIGHT_MM for sheet in sheets)


def test_a_circuit_that_feeds_two_zones_gets_a_dotted_trunk():
    overview = overview_of(2)
    vents = tuple(replace(vent, circuits=(1,)) for vent in overview.vents)
    (sheet,) = lay_out(replace(overview, vents=vents))
    assert [(feed.circuit, feed.group, feed.has_dot) for feed in sheet.feeds] == [(1, "1.1", True), (1, "2.1", True)]


def test_a_circuit_that_feeds_another_sheet_has_a_box_there_and_says_so():
    overview = overview_of(12)
    vents = tuple(replace(vent, circuits=(1,)) for vent in overview.vents)
    sheets = lay_out(replace(overview, vents=vents), height_mm=A3_HEIGHT_MM)
    # The third sheet holds the rain sensor alone, which belongs to no zone.
    assert [sheet.elsewhere.get(1) for sheet in sheets] == [("2/B5",), ("1/B5",), None]


def test_a_wire_tells_its_circuit_and_the_group_that_it_leads_to_where_there_is_one():
    overview = overview_of(2, vents_per_zone=1)
    vents = (replace(overview.vents[0], group=None), overview.vents[1])
    overview = replace(overview, groups=overview.groups[1:], vents=vents)
    feeds = by_class(root_of(overview), "d-feed")
    assert sorted((one.get("data-circuit"), one.get("data-group", "none")) for one in feeds) == [
        ("1", "none"),
        ("2", "2.1"),
    ]


def test_states_are_told_by_glyph_and_word_and_only_one_shows():
    overview = overview_of(1, vents_per_zone=1)
    overview = replace(overview, vents=(replace(overview.vents[0], state=VentState.BLOCKED),))
    (vent,) = by_class(root_of(overview), "d-vent")
    assert "is-blocked" in vent.get("class")
    states = {state.get("class"): state for state in by_class(vent, "d-state")}
    assert set(states) == {f"d-state d-state-{state}" for state in VentState}
    shown = [state for state in states.values() if state.get("display") is None]
    assert [state.get("class") for state in shown] == ["d-state d-state-blocked"]
    assert all(len(list(state)) >= 2 for state in states.values())  # a glyph and a word


def test_a_pressed_input_marks_the_row_in_which_it_is_told():
    overview = overview_of(1)
    inputs = tuple(
        replace(each, state=InputState.PRESSED) if each.key == "SD1-04" else each for each in overview.inputs
    )
    rows = by_class(root_of(replace(overview, inputs=inputs)), "d-input")
    assert {row.get("data-inputs").split()[0]: "is-pressed" in row.get("class").split() for row in rows} == {
        "CP1-01": False,
        "SD1-03": True,
        "RS1": False,
    }


def test_a_drawing_without_states_has_no_cells_for_them():
    assert not by_class(root_of(overview_of(1), with_states=False), "d-state")


def test_identifiers_are_unique_and_nothing_needs_a_style():
    root = root_of(overview_of(3))
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(ids) == len(set(ids)) and {"input-CP1-01", "vent-V1-1", "circuit-1", "group-1-1"} <= set(ids)
    assert not [element for element in root.iter() if "style" in element.attrib or element.tag == f"{SVG}style"]


def test_an_empty_panel_is_empty():
    assert ZoneOverview("P1", "P1").is_empty
    assert not overview_of(1).is_empty


NUMBER = st.integers(1, 4)


@st.composite
def overviews(draw):
    """Any relations: vents of unknown groups, of no zone, of several circuits; circuits that feed nothing."""
    groups = tuple(OverviewGroup(f"{zone}.{number}", zone) for zone, number in draw(st.sets(st.tuples(NUMBER, NUMBER))))
    key = st.none() | st.sampled_from(["9.9", *(group.key for group in groups)])
    vents = tuple(
        OverviewVent(f"V{n}", f"V{n}", draw(st.none() | NUMBER), draw(key), tuple(draw(st.sets(NUMBER))))
        for n in range(draw(st.integers(0, 9)))
    )
    inputs = tuple(
        OverviewInput(
            f"I{n}",
            f"I{n}",
            draw(st.sampled_from(["smoke_detector", "odd"])),
            draw(st.none() | NUMBER),
            draw(st.none() | NUMBER),
        )
        for n in range(draw(st.integers(0, 9)))
    )
    return ZoneOverview(
        "P1",
        "P1",
        inputs,
        tuple(map(OverviewCircuit, draw(st.sets(NUMBER)))),
        groups,
        tuple(map(OverviewZone, draw(st.sets(NUMBER)))),
        vents,
    )


def rects_of(sheet):
    for band in sheet.bands:
        yield from (rect for _, rect in (*band.rows, *band.circuits))
        for block in band.blocks:
            yield from (rect for _, rect in block.vents)
            if block.rect:
                yield block.rect
    yield sheet.panel


def shared(feeds):
    """Pairs of wires of different circuits that lie on one another."""
    for one, other in combinations(feeds, 2):
        for a, b in zip(one.points, one.points[1:], strict=False):
            for c, d in zip(other.points, other.points[1:], strict=False):
                for x, y in ((0, 1), (1, 0)):
                    if a[y] == b[y] == c[y] == d[y] and one.circuit != other.circuit:
                        low, high = max(min(a[x], b[x]), min(c[x], d[x])), min(max(a[x], b[x]), max(c[x], d[x]))
                        if low < high:
                            yield one, other


@settings(max_examples=80, deadline=None)
@given(overviews(), st.sampled_from([None, 120.0]))
def test_any_overview_has_no_box_on_a_box_and_no_two_circuits_on_one_line(overview, height_mm):
    sheets = lay_out(overview, height_mm=height_mm)
    for sheet in sheets:
        assert not [pair for pair in combinations(rects_of(sheet), 2) if overlap(*pair)]
        assert not list(shared(sheet.feeds))
    vents = [vent.key for sheet in sheets for band in sheet.bands for block in band.blocks for vent, _ in block.vents]
    assert sorted(vents) == sorted(vent.key for vent in overview.vents)


@settings(max_examples=80, deadline=None)
@given(overviews())
def test_every_circuit_on_record_reaches_the_group_of_every_vent_it_moves(overview):
    (sheet,) = lay_out(overview)
    known = {circuit.number for circuit in overview.circuits}
    reached = {}
    for band in sheet.bands:
        for block in band.blocks:
            for vent, rect in block.vents:
                reached[vent.key] = {
                    feed.circuit
                    for feed in sheet.feeds
                    if feed.points[-1][0] == block.rect.x and block.rect.y <= feed.points[-1][1] <= block.rect.bottom
                }
                assert rect.height == BOX_MM
    assert [vent.key for vent in overview.vents if not set(vent.circuits) & known <= reached[vent.key]] == []
