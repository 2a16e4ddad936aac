"""Slope and crossing of repeated readings. Judges: Sen (1968) as scipy has it; straight lines by hand."""

from datetime import date, timedelta
from itertools import permutations

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st
from scipy.stats import theilslopes

from zones.engineering.trend_words import trend_in_words
from zones.engineering.trends import Course, DatedValue, robust_slope, trend_of

FIRST = date(2022, 3, 1)
DAYS = st.lists(st.integers(0, 4000), min_size=4, max_size=12)
# Values as a meter shows them: to a thousandth.
VALUES = st.integers(-60_000, 60_000).map(lambda thousandths: thousandths / 1000)


def taken(*values, every_days=365):
    return [DatedValue(FIRST + timedelta(days=every_days * k), value) for k, value in enumerate(values)]


@st.composite
def runs(draw, least=1):
    days = draw(st.lists(st.integers(0, 4000), min_size=least, max_size=10))
    return [DatedValue(FIRST + timedelta(days=day), draw(VALUES)) for day in days]


# The slope ----------------------------------------------------------------------------------------------------------


@given(DAYS, st.data())
@example([0, 365, 730, 1095], None)
def test_the_slope_and_its_interval_are_those_of_scipy(days, data):
    assume(len(set(days)) > 1)
    values = [data.draw(VALUES) for _ in days] if data else [10.0, 10.2, 10.1, 10.6]
    # With ties on both sides the approximation has no root; readings of one day are one before it is asked.
    assume(len(set(days)) == len(days) or len(set(values)) == len(values))
    judge, ours = theilslopes(values, days, alpha=0.95), robust_slope(days, values)
    assert (ours.per_day, ours.low, ours.high) == pytest.approx((judge.slope, judge.low_slope, judge.high_slope))


def test_one_reading_that_is_far_out_does_not_move_the_slope():
    straight = robust_slope(range(9), [2.0 * day for day in range(9)])
    spoilt = robust_slope(range(9), [2.0 * day if day != 4 else 500.0 for day in range(9)])
    assert spoilt.per_day == straight.per_day == 2.0


def test_readings_of_one_day_have_no_slope():
    assert robust_slope([7, 7, 7], [1.0, 2.0, 3.0]) is None


# What is said ------------------------------------------------------------------------------------------------------


def test_a_straight_course_reaches_its_limit_where_a_ruler_does():
    trend = trend_of(taken(50.0, 52.0, 54.0, 56.0), upper=60.0)  # 2 s in 365 days: two more years after the last
    assert trend.course == Course.CROSSES
    reached = FIRST + timedelta(days=5 * 365)
    assert (trend.crossing.expected, trend.crossing.soonest, trend.crossing.latest) == (reached, reached, reached)
    words = trend_in_words(trend, "s")
    assert words == "Rises by 2.0 s a year (2.0 to 2.0). Reaches 60 s about Feb 2027, in Feb 2027."


def test_a_falling_course_reaches_its_lower_limit_and_no_upper_one():
    falling = taken(25.9, 25.5, 25.2, 24.7)
    assert trend_of(falling, lower=24.0).course == Course.CROSSES
    assert trend_of(falling, upper=26.0).course == Course.NO_LIMIT


def test_an_uneven_course_has_an_interval_of_dates_round_the_expected_one():
    crossing = trend_of(taken(50.0, 51.0, 54.0, 55.0, 58.0), upper=60.0).crossing
    assert crossing.soonest < crossing.expected < crossing.latest


@pytest.mark.parametrize(
    ("values", "every_days", "words"),
    [
        ((), 365, "Not known: 0 readings."),
        ((10.0,), 365, "Not known: 1 reading."),
        ((10.0, 11.0, 12.0), 365, "Not known: 3 readings over 24 months."),
        ((10.0, 11.0, 12.0, 13.0), 40, "Not known: 4 readings over 4 months."),
    ],
)
def test_fewer_than_four_readings_or_six_months_say_nothing(values, every_days, words):
    trend = trend_of(taken(*values, every_days=every_days), upper=20.0)
    assert (trend.course, trend.slope, trend.crossing) == (Course.UNKNOWN, None, None)
    assert trend_in_words(trend, "V") == f"{words} It takes four readings over six months."


def test_several_readings_of_one_day_count_as_one():
    same_day = [DatedValue(FIRST, value) for value in (10.0, 10.1, 10.2)]
    assert trend_of([*same_day, *taken(10.0, 12.0)], upper=20.0).course == Course.UNKNOWN


def test_equal_readings_are_unchanged_and_reach_nothing():
    trend = trend_of(taken(10.0, 10.0, 10.0, 10.0), upper=10.1)
    assert trend.course == Course.STEADY
    assert trend_in_words(trend, "kΩ") == "Unchanged: 4 readings over 36 months."


def test_a_last_reading_outside_its_limit_is_said_however_few_there_are():
    assert trend_of(taken(61.0), upper=60.0).course == Course.OUTSIDE
    trend = trend_of(taken(52.0, 55.0, 57.0, 61.0), upper=60.0)
    assert trend.course == Course.OUTSIDE
    assert "Outside its limit on 28 Feb 2025, at the last reading. Rises by" in trend_in_words(trend, "s")


def test_a_course_that_is_past_the_limit_reaches_it_at_the_last_reading():
    # The line is above 10 by the last day, the reading itself just below.
    trend = trend_of(taken(8.0, 9.0, 9.9, 9.95), upper=10.0)
    assert trend.crossing.soonest == trend.last_on


def test_a_limit_beyond_the_horizon_gets_no_date():
    trend = trend_of(taken(10.0, 10.01, 10.02, 10.03), upper=60.0)
    assert (trend.course, trend.crossing) == (Course.DISTANT, None)
    assert trend_in_words(trend, "V").endswith("The limit is more than 20 years ahead.")


def test_noise_gets_a_date_in_no_more_than_one_order_of_twenty():
    """Every order of the same values is as likely as any other where there is no course: counted, not drawn."""
    for values, most in (((10.0, 10.1, 10.2, 10.3), 1 / 20), ((10.0, 10.1, 10.2, 10.3, 10.4), 1 / 40)):
        orders = list(permutations(values))
        dated = [one for one in orders if trend_of(taken(*one), upper=10.5).crossing]
        assert 0 < len(dated) <= most * len(orders)


# For any readings --------------------------------------------------------------------------------------------------


@given(runs(), st.randoms(use_true_random=False), VALUES, VALUES)
def test_the_order_in_which_readings_are_given_says_nothing(readings, random, one, other):
    readings = list({reading.day: reading for reading in readings}.values())  # of one day the last one counts
    shuffled = random.sample(readings, len(readings))
    lower, upper = sorted((one, other))
    assert trend_of(shuffled, lower, upper) == trend_of(readings, lower, upper)


@given(runs(least=4), VALUES)
def test_the_mirrored_readings_reach_the_mirrored_limit_on_the_same_days(readings, limit):
    mirrored = [DatedValue(one.day, -one.value) for one in readings]
    ours, theirs = trend_of(readings, upper=limit), trend_of(mirrored, lower=-limit)
    assert ours.course == theirs.course
    if ours.crossing:
        assert ours.crossing.soonest == theirs.crossing.soonest
        assert (ours.crossing.expected, ours.crossing.latest) == (theirs.crossing.expected, theirs.crossing.latest)


@given(runs(), VALUES, VALUES)
def test_a_date_is_inside_its_interval_not_before_the_last_reading_and_from_a_sure_slope(readings, one, other):
    lower, upper = sorted((one, other))
    trend = trend_of(readings, lower, upper)
    assert (trend.crossing is None) == (trend.course != Course.CROSSES)
    assert trend_in_words(trend, "V")
    if trend.crossing:
        assert trend.slope.is_sure
        assert trend.count >= 4
        assert trend.span_days >= 182
        assert trend.last_on <= trend.crossing.soonest <= trend.crossing.expected
        assert trend.crossing.latest is None or trend.crossing.expected <= trend.crossing.latest


@given(runs(least=4), VALUES, st.floats(0.01, 5))
def test_a_nearer_limit_is_never_reached_later(readings, limit, nearer_by):
    far, near = trend_of(readings, upper=limit), trend_of(readings, upper=limit - nearer_by)
    if far.crossing:
        assert near.course == Course.OUTSIDE or near.crossing.expected <= far.crossing.expected
