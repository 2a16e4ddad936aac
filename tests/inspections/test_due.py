"""When is the next inspection due? Yearly by default (BS 5839-1 cl. 45.4, as quoted in the handbook, §10)."""

from datetime import date

import pytest

from inspections.due import due_state, next_due_on


def test_a_building_is_due_one_interval_after_its_last_inspection():
    assert next_due_on(date(2025, 3, 15), 12) == date(2026, 3, 15)


def test_an_interval_ending_in_a_shorter_month_ends_on_its_last_day():
    assert next_due_on(date(2024, 8, 31), 6) == date(2025, 2, 28)


def test_a_building_never_inspected_has_no_due_date_and_says_so():
    due = due_state(next_due_on(None, 12), date(2026, 1, 1), 30)
    assert (due.state, due.word) == ("never", "no commissioning or inspection on record")


@pytest.mark.parametrize(
    ("today", "state", "word"),
    [
        (date(2026, 1, 1), "in_date", "in date"),
        (date(2026, 2, 13), "due_soon", "due in 30 days"),
        (date(2026, 3, 14), "due_soon", "due in 1 day"),
        (date(2026, 3, 15), "due_soon", "due today"),
        (date(2026, 3, 16), "overdue", "overdue by 1 day"),
    ],
)
def test_a_due_date_is_judged_against_today(today, state, word):
    due = due_state(date(2026, 3, 15), today, 30)
    assert (due.state, due.word) == (state, word)
