"""Statics of a hinged leaf against textbook problems, and against energy: work done = rise of the weight."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from zones.engineering.leaf_force import (
    STANDARD_GRAVITY_M_PER_S2,
    HingeAt,
    Swing,
    holding_n,
    worst_closing,
    worst_opening,
)
from zones.engineering.quantities import QuantityError

# A flat roof flap of 1 m × 1 m and 300 N, pushed square to it at its moving edge when it starts.
TRAPDOOR = Swing(
    **{"hinge_length_m": 1.0, "depth_m": 1.0, "mass_kg": 300 / STANDARD_GRAVITY_M_PER_S2, "installed_deg": 0.0},
    **{"fixing_m": 1.0, "bracket_m": 1.0, "bracket_depth_m": 0.0},
)


def push(swing, angle_deg):
    angle = math.radians(angle_deg)
    return swing.against_opening_nm(angle) / swing.arm_m(angle)


def test_a_uniform_trapdoor_of_300_n_takes_half_its_weight_at_the_edge_and_all_at_the_centre():
    """Young and Freedman, University Physics, trapdoor of 300 N: 150 N at the edge, 300 N midway [S2]."""
    assert worst_opening(TRAPDOOR, 0.01).force_n == pytest.approx(150, rel=1e-4)
    assert worst_opening(replace(TRAPDOOR, fixing_m=0.5, bracket_m=0.5), 0.01).force_n == pytest.approx(300, rel=1e-3)


def test_a_trapdoor_of_4_kg_at_60_degrees_takes_half_its_weight_times_the_cosine():
    """A-level mechanics: 4.0 kg held at 60° square to it at its end: F = m g cos 60° / 2 = 9.8 N [S2]."""
    door = replace(TRAPDOOR, mass_kg=4.0)
    assert door.against_opening_nm(math.radians(60)) / 1.0 == pytest.approx(9.8, abs=0.05)


def test_a_trapdoor_of_14_kg_at_30_degrees_on_a_rod_square_to_it():
    """A-level mechanics: 0.80 m, 14 kg, rod 0.10 m from the edge: 14 g × 0.4 cos 30° / 0.7 [S2]."""
    door = Swing(0.8, 0.8, 14.0, 0.0, fixing_m=0.7, bracket_m=0.7, bracket_depth_m=0.0)
    assert door.against_opening_nm(math.radians(30)) / 0.7 == pytest.approx(67.9, abs=0.1)


def test_a_rope_to_a_wall_has_the_arm_of_its_triangle():
    """A chord over an opening of alpha has the arm a cos(alpha/2): geometry of the isosceles triangle."""
    for angle in (1, 30, 60, 90, 140):
        assert TRAPDOOR.arm_m(math.radians(angle)) == pytest.approx(math.cos(math.radians(angle / 2)))


@pytest.mark.parametrize(
    ("hinge", "installed", "inwards", "angle", "lean"),
    [  # rise of the middle of a leaf of half a depth of 1, by drawing it
        (HingeAt.UPPER, 0, False, 0, 1),  # flat roof: the whole weight
        (HingeAt.UPPER, 90, False, 0, 0),  # top hung in a facade hangs straight down
        (HingeAt.UPPER, 90, False, 90, 1),  # and is level at 90°
        (HingeAt.UPPER, 90, True, 90, 1),
        (HingeAt.LOWER, 90, False, 90, -1),  # bottom hung falls open
        (HingeAt.LOWER, 90, True, 90, -1),
        (HingeAt.SIDE, 90, False, 45, 0),  # a window on upright hinges turns level
        (HingeAt.UPPER, 30, False, 30, 1),  # roof of 30°, hinge at the ridge: heaviest when level
        (HingeAt.LOWER, 30, False, 60, 0),  # hinge at the eaves: upright after 60°
        (HingeAt.UPPER, 0, True, 0, -1),  # a hatch in a ceiling that drops
    ],
)
def test_the_weight_leans_as_drawn(hinge, installed, inwards, angle, lean):
    swing = replace(TRAPDOOR, hinge_at=hinge, installed_deg=float(installed), opens_inwards=inwards)
    closes = swing.against_opening_nm(math.radians(angle)) - swing.falls_open_nm(math.radians(angle))
    assert closes == pytest.approx(lean * 300 * 0.5, abs=1e-9)


SWINGS = st.builds(
    Swing,
    hinge_length_m=st.floats(0.3, 3),
    depth_m=st.floats(0.4, 2.5),
    mass_kg=st.floats(1, 200),
    installed_deg=st.floats(0, 90),
    fixing_m=st.floats(0.2, 2.5),
    bracket_m=st.floats(0.05, 2.5),
    bracket_depth_m=st.floats(0.05, 0.8),
    hinge_at=st.sampled_from(HingeAt),
    opens_inwards=st.booleans(),
    wind_opening_pa=st.floats(0, 1500),
    snow_pa=st.floats(0, 2000),
)


def height_m(swing, angle_rad):
    """The middle of the leaf over the hinge, from a drawing of its own: along the closed leaf, and out of its plane."""
    slope, half = math.radians(swing.installed_deg), swing.depth_m / 2
    out = -1 if swing.opens_inwards else 1
    along = {HingeAt.UPPER: -math.sin(slope), HingeAt.LOWER: math.sin(slope), HingeAt.SIDE: 0.0}[swing.hinge_at]
    return half * (along * math.cos(angle_rad) + out * math.cos(slope) * math.sin(angle_rad))


@settings(max_examples=40, deadline=None)
@given(SWINGS, st.floats(0.02, 0.98))
def test_the_push_against_weight_is_the_rise_of_the_weight_over_the_run_of_the_actuator(swing, share):
    """Virtual work, by small steps and without any arm: F dL = m g dh."""
    weight_only = replace(swing, wind_opening_pa=0.0, snow_pa=0.0)
    angle = share * (math.pi - math.atan2(swing.bracket_depth_m, swing.bracket_m))
    step = 1e-5
    rise = height_m(weight_only, angle + step) - height_m(weight_only, angle - step)
    run = weight_only.actuator_m(angle + step) - weight_only.actuator_m(angle - step)
    moment = weight_only.against_opening_nm(angle) - weight_only.falls_open_nm(angle)
    assert moment / weight_only.arm_m(angle) == pytest.approx(weight_only.weight_n * rise / run, rel=1e-3, abs=0.05)


@settings(max_examples=30, deadline=None)
@given(SWINGS, st.floats(0.1, 0.95))
def test_the_worst_point_is_that_of_brute_force(swing, share):
    """20,001 points of the stroke by numpy, each from the coordinates of fixing and frame."""
    nearest = swing.actuator_m(0.0)
    stroke_m = min(share * (swing.fixing_m + math.hypot(swing.bracket_m, swing.bracket_depth_m) - nearest), 4.9)
    angles = np.linspace(0, swing.opens_rad(stroke_m), 20_001)
    x, y = swing.fixing_m * np.cos(angles), swing.fixing_m * np.sin(angles)
    along, square = x - swing.bracket_m, y + swing.bracket_depth_m
    arms = np.abs(x * square - y * along) / np.hypot(along, square)
    for worst, moment in (
        (worst_opening(swing, stroke_m), swing.against_opening_nm),
        (worst_closing(swing, stroke_m), swing.falls_open_nm),
    ):
        brute = float(np.max(np.array([moment(float(angle)) for angle in angles]) / arms))
        assert worst.force_n == pytest.approx(brute, rel=1e-4, abs=1e-6)
        assert 0 <= worst.run_mm <= 1000 * stroke_m + 1e-6


@settings(max_examples=30, deadline=None)
@given(SWINGS, st.sampled_from(["mass_kg", "wind_opening_pa", "snow_pa"]), st.floats(1.01, 3))
def test_more_weight_wind_or_snow_never_takes_less_force(swing, field, times):
    stroke_m = min(0.5 * (swing.fixing_m + math.hypot(swing.bracket_m, swing.bracket_depth_m)), 4.9)
    stroke_m -= min(swing.actuator_m(0.0), stroke_m - 0.01)
    more = replace(swing, **{field: getattr(swing, field) * times + 1})
    for worst in (worst_opening, worst_closing):
        assert worst(more, stroke_m).force_n >= worst(swing, stroke_m).force_n * (1 - 1e-9)
    assert holding_n(more, 500.0) >= holding_n(swing, 500.0)


def test_snow_lies_on_the_plan_and_wind_on_the_leaf():
    """EN 1991-1-3, 5.2: snow acts vertically on the plan [M]: at 60° half of it; wind square to the leaf, all of it."""
    flat = replace(TRAPDOOR, mass_kg=1e-9, snow_pa=800.0)
    assert push(flat, 0) == pytest.approx(400)
    side = replace(flat, installed_deg=60.0, hinge_at=HingeAt.SIDE)
    assert push(side, 0) == pytest.approx(800 * 0.5 * 0.5 * 0.5)  # plan, then the slope of the leaf
    windy = replace(flat, snow_pa=0.0, wind_opening_pa=200.0, installed_deg=90.0)
    assert push(windy, 0) == pytest.approx(100)


def test_a_line_of_action_through_the_hinge_turns_nothing():
    flat_bracket = replace(TRAPDOOR, bracket_m=0.4)
    assert worst_opening(flat_bracket, 0.2).force_n == math.inf
    assert math.isfinite(worst_opening(replace(flat_bracket, bracket_depth_m=0.1), 0.2).force_n)


def test_a_stroke_that_no_fixing_allows_is_refused():
    with pytest.raises(QuantityError, match=r"at most 2 m with this fixing"):
        TRAPDOOR.opens_rad(2.1)


def test_suction_is_held_by_half_of_it_at_the_edge_and_weight_does_not_help():
    assert holding_n(TRAPDOOR, 1500.0) == pytest.approx(750)
    leaning_out = replace(TRAPDOOR, installed_deg=60.0, opens_inwards=True)
    assert holding_n(leaning_out, 0.0) == pytest.approx(300 * 0.5 * 0.5)
