"""Drawings that a person has looked at and approved, to the last line: nothing of a picture changes unseen.

After a change on purpose: look at the new picture, then have it written (`APPROVE=1 pytest` with this file).
"""

import os
from dataclasses import replace
from pathlib import Path

import pytest

from tests.zones.engineering.drawings.overviews import overview_of
from tests.zones.engineering.drawings.wirings import sound_panel
from zones.engineering.drawings.overview_layout import lay_out
from zones.engineering.drawings.overview_svg import overview_svg
from zones.engineering.drawings.shapes import Box, Mark, Pin, Rect, Sheet, TextLine, Wire
from zones.engineering.drawings.svg import wiring_svg
from zones.engineering.drawings.wiring_diagram import draw_canvas

APPROVED = Path(__file__).parent / "approved"


def every_shape():
    """A sheet that holds each kind of box, pin, wire, sign and line of text once."""
    sheet = Sheet(width=150.0, height=70.0)
    glyphs = [("circle", "M"), ("rectangle", "R"), ("dashed", ""), ("battery", ""), ("", "")]
    for at, (glyph, letter) in enumerate(glyphs):
        rect = Rect(5.0 + 28.5 * at, 5.0, 24.0, 18.0)
        sheet.boxes.append(Box(f"d{at}", f"Device {at}", rect, glyph, letter, at == 2, at != 3))
        sheet.labels.append(TextLine(rect.x + 12, 19.0, f"D{at}", is_bold=at == 0, owner=f"d{at}"))
    sheet.pins = [
        Pin("t1", "d0", (29.0, 15.0), ((29.0, 18.0), (29.0, 21.0))),
        Pin("t2", "d1", (33.5, 15.0)),
    ]
    sheet.wires = [
        Wire("W1.1", "core", ((30.1, 15.0), (32.4, 15.0)), "n1", "W1.1 BN"),
        Wire("W1.2", "core", ((29.0, 21.0), (31.0, 21.0), (31.0, 40.0), (60.0, 40.0)), "n2", part="far"),
        Wire("l1", "link", ((10.0, 40.0), (20.0, 40.0)), "n3"),
        Wire("i1", "internal", ((10.0, 44.0), (20.0, 44.0), (20.0, 50.0)), "n4"),
        Wire("e1", "element", ((10.0, 54.0), (20.0, 54.0)), "n5", "10 kΩ"),
    ]
    kinds = ("parked", "open", "to", "dot", "earth", "resistor")
    sheet.marks = [Mark(kind, (40.0 + 12 * at, 55.25), half=2.5, title=kind) for at, kind in enumerate(kinds)]
    sheet.marks.append(Mark("to", (112.0, 55.25), is_left=True, owner="d1"))
    sheet.labels.append(TextLine(75.0, 65.0, "W1 <2 × 1.5 mm²> & more", "middle", 3.5, role="cable"))
    return sheet


def shapes():
    return wiring_svg(every_shape(), title="Shapes", description="Each once.", href=lambda key: f"/{key}/")


def shapes_made_smaller_with_a_stamp():
    texts = {"title": "Shapes", "description": "Each once.", "stamp": "Incomplete: 3 cores"}
    whole = wiring_svg(every_shape(), href=lambda key: None, **texts)
    return whole + wiring_svg(every_shape(), href=lambda key: None, size=(75.0, 60.0), **texts)


def wiring_of_a_small_panel():
    texts = {"title": "Wiring of P1", "description": "Two circuits."}
    return wiring_svg(draw_canvas(sound_panel(6)), href=lambda key: f"/positions/{key}/", **texts)


def overview_of_two_zones():
    overview = overview_of(2, inputs_per_zone=5, vents_per_zone=2)
    zones = (overview.zones[0], replace(overview.zones[1], said="shut"))
    overview = replace(overview, zones=zones)
    (sheet,) = lay_out(overview)
    texts = {"title": "Zones of P1", "description": "Two zones.", "stamp": "Incomplete"}
    return overview_svg(sheet, overview, href=lambda key: f"/positions/{key}/", **texts)


@pytest.mark.parametrize(
    "picture", [shapes, shapes_made_smaller_with_a_stamp, wiring_of_a_small_panel, overview_of_two_zones]
)
def test_a_drawing_is_as_it_was_approved(picture):
    path = APPROVED / f"{picture.__name__}.svg"
    if "APPROVE" in os.environ:
        path.write_text(picture())
    assert picture() == path.read_text()
