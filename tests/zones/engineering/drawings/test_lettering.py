"""Lettering: widths, cuts and what may stand in XML."""

import pytest
from django.contrib.staticfiles import finders
from PIL import ImageFont

from zones.engineering.drawings.lettering import plain, shorten, shorten_words, width_mm, words_width_mm, wrapped
from zones.models import DeviceKind


@pytest.mark.parametrize("text", ["-X3:5 +", "W12.3 GNYE", "10 kΩ", "stair – top vent"])
def test_the_reckoned_width_holds_for_another_face_of_fixed_pitch(text):
    # Reference: the advance of DejaVu Sans Mono as a general font library reads it (0.602 of the size).
    try:
        font = ImageFont.truetype("DejaVuSansMono.ttf", 1000)
    except OSError:
        pytest.skip("DejaVu Sans Mono is not on this machine")
    assert width_mm(text, 1000) == pytest.approx(font.getlength(text), rel=0.005)


@pytest.mark.parametrize("weight", [400, 600])
def test_the_estimate_for_words_is_no_narrower_than_the_face_of_the_papers(weight):
    # Reference: the advances of the typeface itself, as a general font library reads them.
    face = finders.find(f"vendor/public-sans-5.3.0/public-sans-latin-{weight}-normal.woff2")
    font = ImageFont.truetype(face, 1000)
    said = [str(words) for _, words in DeviceKind.choices] + ["Main stair, addressed", "zone 12 group 12.3", "WINDOW 7"]
    too_narrow = [text for text in said if words_width_mm(text, 1000) < font.getlength(text)]
    assert not too_narrow


def test_words_are_cut_where_their_room_ends():
    assert shorten_words("Main stair, addressed", 44.5) == "Main stair, addressed"
    assert shorten_words("Main stair, addressed", 25) == "Main stair…"


def test_a_long_text_is_cut_with_an_ellipsis():
    assert shorten("above the door of the plant room", 12) == "above the d…"


def test_a_short_text_is_left_alone():
    assert shorten("above the door", 14) == "above the door"


def test_words_are_wrapped_and_the_rest_is_cut():
    assert wrapped("above the door of the plant room", 14, 2) == ["above the door", "of the plant…"]


def test_characters_that_xml_forbids_are_dropped():
    assert plain("a\x07b\nc\ud800") == "ab c"
