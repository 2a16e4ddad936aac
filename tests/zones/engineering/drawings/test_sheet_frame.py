"""The frame of an A3 sheet: fields of 50 mm from the axes, letters down, numbers across (ISO 5457, from memory)."""

from xml.etree import ElementTree

import pytest

from zones.engineering.drawings.sheet_frame import DRAWING, FRAME, field_at, frame_svg

SVG = "{http://www.w3.org/2000/svg}"


@pytest.mark.parametrize(
    ("x_mm", "y_mm", "field"),
    [
        (12, 35, "A1"),
        (209.9, 148.4, "C4"),
        (210, 148.5, "D5"),  # both axes of the sheet
        (60, 98.5, "C2"),  # a line between fields belongs to the next
        (408, 257, "F8"),
        (0, 0, "A1"),
        (420, 297, "F8"),
    ],
)
def test_a_place_lies_in_the_field_that_the_standard_counts(x_mm, y_mm, field):
    assert field_at(x_mm, y_mm) == field


def test_the_names_along_the_frame_are_those_of_the_fields_behind_them():
    texts = list(ElementTree.fromstring(frame_svg()).iter(f"{SVG}text"))  # noqa: S314  our own
    named = [(text.text, float(text.get("x")), float(text.get("y"))) for text in texts]
    assert sorted(name for name, _, _ in named) == sorted("ABCDEF" * 2 + "12345678" * 2)
    for name, x, y in named:
        assert name in field_at(x, y - 1.75)


def test_the_frame_takes_nothing_of_the_drawing():
    assert FRAME.holds(DRAWING)
