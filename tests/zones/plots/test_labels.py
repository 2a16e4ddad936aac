"""Texts beside each other: none over another, none off the paper, as near as can be to where they belong."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from zones.plots.labels import beside, shortened, spread, text_width, thinned

PLACES = st.lists(st.floats(-50, 400), min_size=1, max_size=10)


@given(PLACES)
def test_spread_places_are_apart_inside_and_in_order(wanted):
    placed = spread(wanted, 12, 0, 160)
    assert all(-1e-6 <= one <= 160 + 1e-6 for one in placed)
    ordered = sorted(range(len(wanted)), key=lambda k: wanted[k])
    gaps = [placed[b] - placed[a] for a, b in pairwise(ordered)]
    assert all(gap >= 12 - 1e-6 for gap in gaps)


def test_places_that_are_apart_already_stay_where_they_are():
    assert spread([100, 20, 60], 12, 0, 160) == [100, 20, 60]


def test_two_at_one_place_part_to_both_sides():
    assert spread([50, 50], 12, 0, 160) == [44, 56]


def test_more_than_there_is_room_for_is_refused():
    assert spread([1, 2, 3], 50, 0, 100) == [0, 50, 100]
    with pytest.raises(ValueError, match="4 labels do not fit"):
        spread([1, 2, 3, 4], 50, 0, 100)


@given(st.lists(st.floats(0, 300), max_size=40).map(sorted), st.data())
def test_thinned_labels_never_touch_and_the_last_is_kept(centres, data):
    widths = [data.draw(st.floats(5, 80)) for _ in centres]
    kept = thinned(centres, widths, 0, 300)
    edges = [(middle - widths[k] / 2, middle + widths[k] / 2) for k, middle in sorted(kept, key=lambda pair: pair[1])]
    assert all(right <= left + 1e-6 for (_, right), (left, _) in pairwise(edges))
    assert all(left >= -1e-6 and right <= 300 + 1e-6 for left, right in edges)
    assert not centres or len(centres) - 1 in dict(kept)


def test_labels_beside_each_other_move_aside_or_are_refused():
    assert beside([50, 60], [20, 20], 0, 200, gap=4) == [43, 67]
    assert beside([], [], 0, 10) == []
    with pytest.raises(ValueError, match="do not fit"):
        beside([5, 6], [20, 20], 0, 30)


def test_a_text_is_cut_only_where_there_is_no_room():
    assert shortened("short before D1", 200) == "short before D1"
    cut = shortened("short before a very long designation", 100)
    assert cut.endswith("…")
    assert text_width(cut) <= 100
    assert shortened("MMMM", 1) == "…"
