"""Scales and their round figures; properties over generated ranges."""

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from zones.plots.scales import Linear, Log, decades, nice_step, rounded_out, tick_words, ticks

RANGES = st.tuples(st.floats(-1e6, 1e6), st.floats(1e-3, 1e6)).map(lambda pair: (pair[0], pair[0] + pair[1]))


@given(RANGES, st.integers(1, 12))
def test_ticks_are_round_even_and_inside(bounds, most):
    low, high = bounds
    assume(high - low > 1e-9 * max(1, abs(low)))
    step, found = nice_step(high - low, most), ticks(low, high, most)
    digit = step / 10 ** math.floor(math.log10(step) + 1e-9)
    assert min(abs(digit - one) for one in (1, 2, 5, 10)) < 1e-6
    assert len(found) <= most + 1
    assert all(low - step * 1e-6 <= value <= high + step * 1e-6 for value in found)
    assert all(b - a == pytest.approx(step, rel=1e-6) for a, b in pairwise(found))


@given(RANGES)
def test_at_least_two_ticks_where_there_is_room_for_five(bounds):
    low, high = rounded_out(*bounds)
    assert len(ticks(low, high, 5)) >= 2


@given(RANGES)
def test_a_rounded_range_holds_what_it_was_made_of(bounds):
    low, high = rounded_out(*bounds)
    slack = 1e-6 * (high - low)
    assert low - slack <= bounds[0] < bounds[1] <= high + slack
    assert high - low <= 2 * (bounds[1] - bounds[0]) + slack


def test_a_range_of_nothing_is_widened_and_can_be_drawn():
    low, high = rounded_out(24.0, 24.0)
    assert low < 24 < high


@given(st.floats(0.01, 1e5), st.floats(0.01, 1e5))
def test_scales_keep_the_order_of_figures(one, other):
    for scale in (Linear(0, 1e5, 40, 300), Log(0.01, 1e5, 40, 300)):
        assert (scale(one) <= scale(other)) == (one <= other) or scale(one) == pytest.approx(scale(other))
        assert 40 <= scale(one) <= 300


def test_what_lies_beyond_a_logarithmic_axis_stands_at_its_edge():
    scale = Log(10, 1000, 0, 100)
    assert [scale(value) for value in (0, 10, 100, 1000, math.inf)] == pytest.approx([0, 0, 50, 100, 100])


def test_powers_of_ten():
    assert decades(30, 100_000) == (100, 1000, 10_000, 100_000)
    assert decades(10, 1000) == (10, 100, 1000)


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ((16.0, 18.0), ("16", "18")),
        ((0.0, 0.5, 1.0), ("0.0", "0.5", "1.0")),
        ((20.25, 20.5), ("20.25", "20.50")),
        ((10_000.0,), ("10k",)),
        ((0.1 + 0.2, 0.4), ("0.3", "0.4")),
        ((-0.0, 5.0), ("0", "5")),
    ],
)
def test_figures_of_an_axis_have_the_decimals_of_the_finest(values, words):
    assert tick_words(values) == words


@given(RANGES, st.integers(2, 8))
def test_no_two_ticks_have_the_same_words(bounds, most):
    low, high = bounds
    assume(high - low > 1e-5 * max(1, abs(low)))
    words = tick_words(ticks(low, high, most))
    assert len(set(words)) == len(words)
