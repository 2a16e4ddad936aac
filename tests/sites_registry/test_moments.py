"""What is typed as day and hour, in the nights in which the clocks of the register's zone change.

Summer time of the United Kingdom by Directive 2000/84/EC as taken over: it ends at 01:00 UTC on the last Sunday of
October and begins at 01:00 UTC on the last Sunday of March.
"""

from datetime import UTC, datetime

import pytest
from django.core.exceptions import ValidationError

from sites_registry.forms.moments import WallClockField


def utc(*parts):
    return datetime(*parts, tzinfo=UTC)


def read(text):
    return WallClockField().clean(text)


@pytest.mark.parametrize(
    ("now", "meant"),
    [
        (utc(2027, 10, 31, 0, 40), utc(2027, 10, 31, 0, 30)),  # in the first of the two hours
        (utc(2027, 10, 31, 1, 40), utc(2027, 10, 31, 1, 30)),  # in the second
        (utc(2027, 12, 1, 12, 0), utc(2027, 10, 31, 1, 30)),
        (utc(2027, 10, 1, 12, 0), utc(2027, 10, 31, 0, 30)),  # planned
    ],
)
def test_the_hour_that_comes_twice_is_the_latest_that_does_not_lie_ahead(time_machine, now, meant):
    time_machine.move_to(now)
    assert read("2027-10-31 01:30") == meant


def test_an_hour_that_never_came_is_told_with_the_one_after():
    with pytest.raises(ValidationError) as told:
        read("2027-03-28 01:30")
    assert told.value.messages == [
        "28 Mar 2027, 01:30 did not come: the clocks went forward over it. Enter 02:30 if you meant the hour after."
    ]


def test_other_hours_are_as_the_clock_on_the_wall_shows_them():
    assert read("2027-07-01 01:30") == utc(2027, 7, 1, 0, 30)
    assert read("2027-12-01 01:30") == utc(2027, 12, 1, 1, 30)


def test_what_is_no_moment_is_refused_as_ever():
    with pytest.raises(ValidationError, match="Enter a valid date/time"):
        read("soon")
