"""Geometry of plans: against plain geometry, whatever the points."""

from itertools import pairwise
from math import cos, dist, isclose, radians, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from zones.engineering.plan_geometry import GeometryError, convex_hull, hatch, rounded_hull, spread_along

some = st.floats(0, 100, allow_nan=False).map(lambda value: round(value, 3))
points = st.lists(st.tuples(some, some), min_size=1, max_size=12)


def test_positions_stand_at_equal_steps_round_a_bend():
    assert spread_along([(0, 0), (2, 0), (2, 2)], 5) == [(0, 0), (1, 0), (2, 0), (2, 1), (2, 2)]


@settings(max_examples=40)
@given(start=st.tuples(some, some), end=st.tuples(some, some), count=st.integers(2, 30))
def test_along_a_straight_line_all_steps_are_alike(start, end, count):
    if dist(start, end) < 1:
        return
    spread = spread_along([start, end], count)
    steps = [dist(one, other) for one, other in pairwise(spread)]
    assert len(spread) == count and all(isclose(step, dist(start, end) / (count - 1), rel_tol=1e-6) for step in steps)


@pytest.mark.parametrize(("line", "count"), [([(1, 1)], 3), ([(1, 1), (1, 1)], 3), ([(0, 0), (1, 1)], 1)])
def test_what_is_no_run_is_refused(line, count):
    with pytest.raises(GeometryError, match="A run needs"):
        spread_along(line, count)


def test_the_hull_of_a_square_with_a_point_inside_are_its_corners():
    assert set(convex_hull([(0, 0), (4, 0), (4, 4), (0, 4), (2, 1)])) == {(0, 0), (4, 0), (4, 4), (0, 4)}


@settings(max_examples=40)
@given(points)
def test_a_zones_outline_keeps_its_distance_from_every_position(found):
    outline = rounded_hull(found, 3)
    for x, y in found:
        for (ax, ay), (bx, by) in zip(outline, [*outline[1:], outline[0]], strict=True):
            length = dist((ax, ay), (bx, by))
            if length > 1e-6:
                assert ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / length >= 3 - 1e-3


@settings(max_examples=40)
@given(points, st.sampled_from([0, 45, 90, 135]))
def test_hatching_stays_within_its_outline_at_its_angle(found, angle):
    outline = rounded_hull(found, 5)
    lines = hatch(outline, angle_deg=angle, spacing=2)
    assert len(lines) >= 4  # an outline 10 wide at least
    for (ax, ay), (bx, by) in lines:
        across = (bx - ax) * sin(radians(angle)) - (by - ay) * cos(radians(angle))
        assert abs(across) < 1e-6
    inside = [(x, y) for line in lines for x, y in line]
    assert max(x for x, _ in inside) <= max(x for x, _ in outline) + 1e-6
    assert min(y for _, y in inside) >= min(y for _, y in outline) - 1e-6
