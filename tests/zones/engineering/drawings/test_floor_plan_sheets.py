"""Sheets of floor plans: everything at its place, zones told apart without colour, nothing cut without saying so."""

import re
from xml.etree import ElementTree

import pytest

from zones.engineering.drawings.floor_plan_sheets import PlanMark, PlanSheet, device_plan_svg, zone_plan_svg
from zones.engineering.kind_facts import Shape

SVG = "{http://www.w3.org/2000/svg}"


def mark(x=0.5, y=0.5, tag="SD1", **fields):
    return PlanMark(x, y, tag, "smoke_detector", "SD", Shape.RECTANGLE, **fields)


def sheet(*marks, size=(1000, 500)):
    return PlanSheet(396, 222, *size, "picture:plan", marks)


def read(svg):
    return ElementTree.fromstring(svg)  # noqa: S314  our own


def texts(svg):
    return [element.text for element in read(svg).iter(f"{SVG}text")]


def at(svg, words):
    element = next(one for one in read(svg).iter(f"{SVG}text") if one.text == words)
    return float(element.get("x")), float(element.get("y"))


@pytest.mark.parametrize("size", [(1000, 500), (500, 1000)])
def test_a_device_lies_on_the_picture_where_it_was_placed(size):
    svg = device_plan_svg(sheet(mark(0.25, 0.75), size=size), [])
    picture = read(svg).find(f"{SVG}image")
    x, y = at(svg, "SD")
    assert x / float(picture.get("width")) == pytest.approx(0.25, abs=1e-3)
    assert y / float(picture.get("height")) == pytest.approx(0.75, abs=0.01)  # the letters' base line is a little lower
    assert float(picture.get("width")) / float(picture.get("height")) == pytest.approx(size[0] / size[1], rel=1e-3)


def test_what_is_to_be_confirmed_is_marked_beside_its_symbol():
    plain, marked = (device_plan_svg(sheet(mark(is_to_confirm=is_so)), []) for is_so in (False, True))
    assert len(list(read(marked).iter(f"{SVG}path"))) == len(list(read(plain).iter(f"{SVG}path"))) + 1


def test_no_two_of_twenty_zones_are_hatched_alike():
    zones = [(str(number), str(number), f"Zone {number}") for number in range(20)]
    svg = zone_plan_svg(sheet(), zones)
    hatches = [path for path in read(svg).iter(f"{SVG}path") if path.get("stroke-width") == "0.18"]
    looks = [(*_first_line(path), path.get("stroke-dasharray")) for path in hatches]
    assert len(set(looks)) == len(zones)


def _first_line(path):
    """Its direction, and how many lines there are: what an eye tells hatches apart by."""
    lines = re.findall(r"M([-\d.]+) ([-\d.]+)L([-\d.]+) ([-\d.]+)", path.get("d"))
    x, y, to_x, to_y = map(float, lines[len(lines) // 2])
    return round((to_x - x) / max(1e-9, abs(to_x - x) + abs(to_y - y)), 1), round(to_y - y) > 0, len(lines)


def test_a_zone_is_hatched_round_its_own_positions_with_its_number_in_it():
    marks = [mark(0.1, 0.1, zone="a"), mark(0.3, 0.2, zone="a"), mark(0.9, 0.9, zone="b")]
    svg = zone_plan_svg(sheet(*marks), [("a", "1", "Zone 1"), ("b", "2", "Zone 2")])
    first, second = at(svg, "1"), at(svg, "2")
    width, height = (396 - 90), (396 - 90) / 2
    assert first[0] == pytest.approx(0.2 * width, abs=1) and first[1] == pytest.approx(0.15 * height, abs=3)
    assert second[0] == pytest.approx(0.9 * width, abs=1)


def test_a_legend_that_is_too_long_says_how_many_rows_it_lacks():
    zones = [(str(number), str(number), f"Zone {number}") for number in range(100)]
    words = texts(zone_plan_svg(sheet(), zones))
    shown = [word for word in words if word.startswith("Zone ")]
    assert f"and {100 - len(set(shown))} more" in words


def test_signs_of_xml_in_a_tag_stay_letters():
    assert "<M&1>" in texts(device_plan_svg(sheet(mark(tag="<M&1>")), []))
