"""Lettering: widths, cuts and what may stand in XML."""

import pytest
from PIL import ImageFont

from zones.engineering.drawings.lettering import plain, shorten, width_mm, wrapped


@pytest.mark.parametrize("text", ["-X3:5 +", "W12.3 GNYE", "10 kΩ", "stair – top vent"])
def test_the_reckoned_width_holds_for_another_face_of_fixed_pitch(text):
    # Reference: the advance of DejaVu Sans Mono as a general font library reads it (0.602 of the size).
    try:
        font = ImageFont.truetype("DejaVuSansMono.ttf", 1000)
    except OSError:
        pytest.skip("DejaVu Sans Mono is not on this machine")
    assert width_mm(text, 1000) == pytest.approx(font.getlength(text), rel=0.005)


def test_a_long_text_is_cut_with_an_ellipsis():
    assert shorten("above the door of the plant room", 12) == "above the d…"


def test_a_short_text_is_left_alone():
    assert shorten("above the door", 14) == "above the door"


def test_words_are_wrapped_and_the_rest_is_cut():
    assert wrapped("above the door of the plant room", 14, 2) == ["above the door", "of the plant…"]


def test_characters_that_xml_forbids_are_dropped():
    assert plain("a\x07b\nc\ud800") == "ab c"
