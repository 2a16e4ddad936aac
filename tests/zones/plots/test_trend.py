"""The plot of readings over the years: years as an axis, the limit that matters, no name over another."""

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.zones.plots.boxes import overlapping_texts, texts_of, texts_outside
from zones.engineering.trend_words import trend_in_words
from zones.engineering.trends import DatedValue, trend_of
from zones.plots.trend import PlottedReading, deviation_in_words, trend_plot

FIRST = date(2022, 3, 1)


def plot_of(readings, lower=None, upper=None, unit="s"):
    counted = [DatedValue(one.day, one.value) for one in readings if not one.is_former]
    trend = trend_of(counted, lower, upper)
    words = trend_in_words(trend, unit)
    return trend_plot(
        readings, trend, lower=lower, upper=upper, unit=unit, key="t", title="Opening time at M1", words=words
    )


def yearly(*values, **fields):
    return [PlottedReading(FIRST + timedelta(days=365 * k), value, **fields) for k, value in enumerate(values)]


def words_on(plot):
    return [mark.text for mark in texts_of(plot)]


def test_the_axis_bears_whole_years_and_the_readings_stand_between_them():
    plot = plot_of(yearly(50.0, 51.0), upper=60.0)
    assert [word for word in words_on(plot) if word.startswith("20")] == ["2022", "2023", "2024"]
    upright = [mark.points for mark in plot.marks if mark.kind == "axis" and mark.points[0][0] == mark.points[1][0]]
    new_years = [points[0][0] for points in upright]
    first, second = [mark for mark in plot.marks if mark.shape == "dot"]
    year = new_years[1] - new_years[0]
    # 1 March is the 60th day of the year: 59/365 of the way.
    assert first.x - new_years[0] == pytest.approx(year * 59 / 365, abs=0.5)
    assert second.x - first.x == pytest.approx(year, abs=0.5)


def test_the_trend_is_drawn_to_the_limit_with_its_interval_beside_it():
    plot = plot_of(yearly(50.0, 52.5, 53.5, 56.0), upper=60.0)
    assert {"read", "trend", "fast, slow", "limit 60"} <= set(words_on(plot))
    (limit,) = [mark for mark in plot.marks if mark.kind == "level"]
    (trend,) = [mark for mark in plot.marks if mark.kind == "course look-3"]
    assert trend.points[-1][1] == pytest.approx(limit.points[0][1], abs=0.1)


def test_scatter_is_drawn_without_a_trend():
    assert "trend" not in words_on(plot_of(yearly(50.0, 50.4, 49.9, 50.1), upper=60.0))


def test_of_two_limits_the_one_ahead_is_drawn():
    assert "limit 24" in words_on(plot_of(yearly(25.9, 25.5, 25.2, 24.7), lower=24.0, upper=26.0))


def test_the_table_has_each_reading_with_its_deviation_from_what_was_computed():
    plot = plot_of(
        [*yearly(0.10, computed=None, former="former unit"), *yearly(0.11, 0.12, computed=0.1)], upper=0.2, unit="A"
    )
    assert plot.columns == ("Day", "Read (A)", "Computed (A)", "Deviation (%)")
    assert plot.rows[0] == ("1 Mar 2022, former unit", "0.10", "", "")
    assert plot.rows[1:] == (("1 Mar 2022", "0.11", "0.1", "+10"), ("1 Mar 2023", "0.12", "0.1", "+20"))


def test_nothing_computed_leaves_its_columns_out():
    assert plot_of(yearly(50.0)).columns == ("Day", "Read (s)")


@pytest.mark.parametrize(
    ("value", "computed", "words"),
    [(9.5, 10, "−5.0"), (10, 10, "0"), (10.42, 10, "+4.2"), (3, 0, ""), (-9, -10, "+10")],
)
def test_deviation_in_words(value, computed, words):
    assert deviation_in_words(value, computed) == words


@settings(max_examples=60)
@given(
    st.lists(st.tuples(st.integers(0, 5000), st.integers(-40_000, 40_000)), min_size=1, max_size=14),
    st.integers(-50, 50),
    st.sampled_from([None, 12.34]),
    st.integers(0, 4),
)
def test_no_label_lies_over_another_whatever_was_read(points, limit, computed, former):
    days = sorted(points)
    readings = [
        PlottedReading(FIRST + timedelta(days=day), value / 1000, computed, former="former unit" if k < former else "")
        for k, (day, value) in enumerate(days)
    ]
    plot = plot_of(readings, upper=float(limit))
    assert not overlapping_texts(plot)
    assert not texts_outside(plot)
