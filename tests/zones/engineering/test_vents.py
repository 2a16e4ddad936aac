"""Vent geometry: areas and angles of the handbook's section 5."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from zones.engineering import QuantityError, Vent, VentKind
from zones.engineering.vents import (
    aerodynamic_area_m2,
    geometric_area_m2,
    hinged_area_m2,
    louvre_area_m2,
    opening_angle_deg,
    sliding_area_m2,
    stroke_for_area_m,
)


@pytest.mark.parametrize(
    ("width", "depth", "stroke", "angle", "area"),  # handbook 5 [geometry]
    [
        (1.0, 1.0, 0.50, 28.96, 0.984),
        (1.0, 1.0, 0.60, 34.92, 1.000),
        (1.2, 0.8, 0.50, 36.42, 0.960),
        (1.0, 1.5, 0.80, 30.93, 1.500),
    ],
)
def test_angle_and_area_of_a_hinged_leaf(width, depth, stroke, angle, area):
    assert opening_angle_deg(stroke, depth) == pytest.approx(angle, abs=6e-3)
    assert hinged_area_m2(width, depth, stroke) == pytest.approx(area, abs=5e-4)


@pytest.mark.parametrize(("reveal", "area"), [(0.10, 0.895), (0.20, 0.656)])  # handbook 5: 1.0 × 1.0, 0.60
def test_a_reveal_takes_area_away(reveal, area):
    assert hinged_area_m2(1.0, 1.0, 0.6, reveal_m=reveal) == pytest.approx(area, abs=5e-4)


def test_a_leaf_that_does_not_leave_its_reveal_opens_nothing():
    assert hinged_area_m2(1.0, 1.0, 0.2, reveal_m=0.3) == 0.0


@pytest.mark.parametrize(
    ("width", "depth", "stroke"),
    [(1.2, 1.0, 0.460), (1.1, 1.1, 0.460), (1.2, 0.8, None)],  # handbook 5: 1.0 m²
)
def test_stroke_for_one_square_metre(width, depth, stroke):
    found = stroke_for_area_m(width, depth, 1.0)
    assert found is None if stroke is None else found == pytest.approx(stroke, abs=5e-4)


def test_stroke_for_an_area_is_where_scipy_finds_it_and_on_the_long_side():
    stroke = stroke_for_area_m(1.2, 1.0, 0.9, reveal_m=0.1)
    expected = brentq(lambda s: hinged_area_m2(1.2, 1.0, s, reveal_m=0.1) - 0.9, 0.2, 0.9, xtol=1e-12)
    assert stroke == pytest.approx(expected, abs=1e-8)
    assert hinged_area_m2(1.2, 1.0, stroke, reveal_m=0.1) >= 0.9


def test_beyond_a_right_angle_the_leaf_no_longer_hinders():
    assert hinged_area_m2(1.0, 1.0, 1.99, reveal_m=0.3) == 1.0


def test_blocked_sides_leave_the_front_gap_only():
    assert hinged_area_m2(1.0, 1.0, 0.5, sides_blocked=True) == pytest.approx(0.500)  # handbook 5: 0.500 + 0.484


def test_a_chain_nearer_to_the_hinge_opens_wider():
    """At half the depth a stroke of 0.25 m makes the angle that 0.50 m makes at the edge."""
    assert hinged_area_m2(1.0, 1.0, 0.25, fixing_m=0.5) == pytest.approx(hinged_area_m2(1.0, 1.0, 0.5))


def test_a_stroke_that_no_such_leaf_can_make_is_refused():
    with pytest.raises(QuantityError, match="at most twice the distance to the hinge, 0.8 m"):
        opening_angle_deg(0.9, 0.4)


@given(st.floats(0.2, 3), st.floats(0.2, 3), st.floats(0.01, 1), st.floats(0, 0.5))
def test_the_area_never_exceeds_the_frame_and_grows_with_the_stroke(width, depth, share, reveal):
    stroke = share * depth * math.sqrt(2)
    area = hinged_area_m2(width, depth, stroke, reveal_m=reveal)
    assert 0 <= area <= width * depth
    assert hinged_area_m2(width, depth, min(stroke * 1.1, depth * 1.99), reveal_m=reveal) >= area - 1e-9


@given(st.floats(0.3, 2), st.floats(0.3, 2), st.floats(0.05, 0.6))
def test_front_and_sides_are_the_areas_of_their_corners(width, depth, share):
    """The same area from the corner points of the opened leaf, by vectors."""
    stroke = share * depth
    angle = math.radians(opening_angle_deg(stroke, depth))
    edge = (depth * math.cos(angle), depth * math.sin(angle))  # of the moving edge; the frame's lies at (depth, 0)
    front = width * math.dist(edge, (depth, 0.0))
    side = abs(edge[0] * 0.0 - edge[1] * depth) / 2
    assert hinged_area_m2(width, depth, stroke) == pytest.approx(min(width * depth, front + 2 * side))


@pytest.mark.parametrize(("coefficient", "area"), [(0.4, 0.60), (0.6, 0.90), (0.65, 0.975)])  # handbook 5: 1.5 m²
def test_aerodynamic_area(coefficient, area):
    assert aerodynamic_area_m2(1.5, coefficient) == pytest.approx(area)


def vent(kind, **changes):
    return Vent(
        "V1",
        kind,
        **({"width_m": 1.2, "height_m": 0.8, "stroke_mm": 500.0, "reveal_m": 0.0, "sides_blocked": False} | changes),
    )


def test_top_and_bottom_hung_turn_about_the_width_and_side_hung_about_the_height():
    top, bottom, side = (
        geometric_area_m2(vent(kind)) for kind in (VentKind.TOP_HUNG, VentKind.BOTTOM_HUNG, VentKind.SIDE_HUNG)
    )
    assert top == bottom == pytest.approx(0.960)  # handbook 5: 1.2 × 0.8, 0.50
    assert side == pytest.approx(hinged_area_m2(0.8, 1.2, 0.5))


def test_a_double_leaf_is_two_leaves_of_half_the_depth():
    assert geometric_area_m2(vent(VentKind.DOUBLE_LEAF, height_m=2.0)) == pytest.approx(
        2 * hinged_area_m2(1.2, 1.0, 0.5)
    )


def test_a_dome_opens_as_a_leaf_on_its_upstand():
    assert geometric_area_m2(vent(VentKind.DOME)) == geometric_area_m2(vent(VentKind.TOP_HUNG))


def test_a_louvre_opens_between_its_blades():
    # 8 blades of 0.1 m pitch at 90 degrees, 5 mm thick: 1.2 × 8 × 0.095 [geometry]
    assert louvre_area_m2(1.2, 0.8, 8, 0.1, 90, 0.005) == pytest.approx(0.912)
    assert louvre_area_m2(1.2, 0.8, 8, 0.1, 30) == pytest.approx(0.48)
    assert louvre_area_m2(1.2, 0.8, 8, 0.1, 2, 0.005) == 0.0
    louvre = vent(VentKind.LOUVRE, stroke_mm=None, blades=8, blade_pitch_m=0.1, blade_angle_deg=90.0)
    assert geometric_area_m2(louvre) == pytest.approx(0.96)  # never more than the frame


def test_a_sliding_vent_opens_by_its_travel_up_to_the_frame():
    assert sliding_area_m2(1.2, 0.8, 0.5) == pytest.approx(0.6)
    assert geometric_area_m2(vent(VentKind.SLIDING, stroke_mm=1000.0)) == pytest.approx(0.96)


@pytest.mark.parametrize(
    ("kind", "missing"),
    [
        (None, ["kind of opening", "clear width", "clear height"]),
        (VentKind.TOP_HUNG, ["clear width", "clear height", "stroke", "depth of reveal"]),
        (VentKind.LOUVRE, ["clear width", "clear height", "number of blades", "blade pitch", "blade angle"]),
    ],
)
def test_a_vent_names_the_figures_it_lacks(kind, missing):
    assert Vent("V1", kind).missing_figures() == missing


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"width_m": 1200}, "Typed in mm. 1200 mm is 1.2 m"),
        ({"height_m": 0}, "height_m of V1 is 0"),
        ({"discharge_coefficient": 60}, "60 % is 0.6"),
        ({"blade_angle_deg": 120}, "at most 90 degrees"),
        ({"blades": 0}, "at least 1"),
        ({"reveal_m": -0.1}, "at least 0"),
    ],
)
def test_impossible_figures_are_refused_with_field_and_range(changes, sentence):
    with pytest.raises(QuantityError, match=sentence):
        vent(VentKind.TOP_HUNG, **changes)


@pytest.mark.parametrize(
    ("field", "figures"),
    [("hinge_length_m", (0, 1.0, 0.3)), ("depth_m", (1.0, 0, 0.3)), ("reveal_m", (1.0, 1.0, 0.3))],
)
def test_a_side_that_cannot_be_is_refused_by_its_name(field, figures):
    with pytest.raises(QuantityError) as refused:
        hinged_area_m2(*figures, reveal_m=-1 if field == "reveal_m" else 0)
    assert refused.value.field == field


@pytest.mark.parametrize(("field", "figures"), [("stroke_m", (-1.0, 1.0)), ("fixing_m", (0.5, -1.0))])
def test_a_length_of_the_opening_triangle_that_cannot_be_is_refused_by_its_name(field, figures):
    with pytest.raises(QuantityError) as refused:
        opening_angle_deg(*figures)
    assert refused.value.field == field
