"""When a form that a phone kept was filled in, by the register's clock."""

from datetime import timedelta

import pytest
from django.test import RequestFactory
from django.utils import timezone

from sites_registry.filled_in import filled_in_at

HOUR, SLACK = timedelta(hours=1), timedelta(minutes=2)


def when(ago, *, clock_fast=timedelta(0), not_before=None, **more):
    """What the register makes of a form filled in so long ago on a phone whose clock is fast."""
    now = timezone.now()
    said = {"X-Filled-In-At": (now - ago + clock_fast).isoformat(), "X-Sent-At": (now + clock_fast).isoformat()} | more
    return now - filled_in_at(RequestFactory().post("/", headers=said), not_before)


def is_about(found, wanted):
    return abs(found - wanted) < SLACK


def test_a_form_kept_for_three_hours_was_filled_in_three_hours_ago():
    assert is_about(when(3 * HOUR), 3 * HOUR)


def test_a_phone_whose_clock_is_out_is_put_right_by_when_it_says_it_sends():
    assert is_about(when(3 * HOUR, clock_fast=2 * HOUR), 3 * HOUR)


def test_an_offset_measured_before_is_believed_rather():
    found = when(3 * HOUR, **{"X-Clock-Offset-Ms": str(-60 * 60 * 1000)})
    assert is_about(found, 4 * HOUR)


def test_a_form_of_a_page_with_network_was_filled_in_now():
    assert timezone.now() - filled_in_at(RequestFactory().post("/")) < SLACK


def test_nothing_was_filled_in_before_its_visit():
    start = timezone.now() - HOUR
    assert is_about(when(3 * HOUR, not_before=start), HOUR)


@pytest.mark.parametrize("said", ["", "soon", "9999-12-31T23:59:59Z", "1900-01-01T00:00:00Z", "2500-01-01T00:00:00Z"])
def test_what_cannot_be_a_moment_of_late_counts_as_now(said):
    found = when(HOUR, **{"X-Filled-In-At": said})
    assert abs(found) < SLACK


@pytest.mark.parametrize("offset", ["²", "1e9", "9" * 40, "9999999999999"])
def test_a_strange_offset_is_no_fault(offset):
    assert isinstance(when(HOUR, **{"X-Clock-Offset-Ms": offset}), timedelta)
