"""A signature as a phone sends it: read, refused with what to do, drawn again."""

import json

import pytest

from inspections.sign_offs.strokes import SignatureError, read_signature
from sites_registry.documents.signatures import paths_of, svg_of

STROKE = [[10, 20, 0, 0.5], [60, 40, 16, 0.5], [110, 30, 33, 0.5]]


def sent(strokes=(STROKE,), **changes):
    return json.dumps({"width": 358, "height": 160, "strokes": list(strokes)} | changes)


def test_a_signature_is_kept_point_by_point_with_its_times():
    assert read_signature(sent())["strokes"] == [STROKE]


def test_it_is_drawn_again_as_it_was_written():
    assert paths_of(read_signature(sent())) == ["M10 20L60 40L110 30"]
    assert b'viewBox="0 0 358 160"' in svg_of(read_signature(sent()))


def test_a_dot_beside_the_name_is_drawn_too():
    assert paths_of(read_signature(sent([STROKE, [[50, 5, 40, 1]]])))[1] == "M50 5L50.1 5"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "Sign in the field above"),
        ("no JSON", "did not arrive whole"),
        (sent(width="wide"), "did not arrive whole"),
        (sent(width=True), "did not arrive whole"),
        (sent([[[1e9, 2, 3, 0.5]]]), "did not arrive whole"),
        (sent([[[float("nan"), 2, 3, 0.5]]]), "did not arrive whole"),
        (sent([[[1, 2]]]), "did not arrive whole"),
        ("[" * 100_000, "did not arrive whole"),
        (sent([]), "too small"),
        (sent([[[10, 20, 0, 0.5], [25, 20, 9, 0.5]]]), "too small"),
        (sent([STROKE] * 201), "drawn over too often"),
        (sent([STROKE * 2_001]), "drawn over too often"),
    ],
)
def test_what_is_no_signature_is_told_with_what_to_do(text, says):
    with pytest.raises(SignatureError, match=says):
        read_signature(text)
