"""What a visit of what is due asks: overdue before the next visit, and of spread checks a share, the oldest first."""

from datetime import date, timedelta

from dateutil.relativedelta import relativedelta
from hypothesis import given, settings
from hypothesis import strategies as st

from inspections.test_points.choosing import Candidate, chosen, due_again_on

DAY = date(2026, 3, 2)


def candidate(position=1, *, interval="yearly", is_spread=False, good_on=None, is_carried=False, code="function"):
    return Candidate(position, "smoke_detector", code, interval, is_spread, good_on, is_carried)


def asked(*candidates, months=3):
    return chosen(candidates, due_before=DAY + relativedelta(months=months), months_to_next=months)


def test_a_check_is_due_again_by_the_calendar():
    assert due_again_on(date(2026, 1, 31), "monthly") == date(2026, 2, 28)
    assert due_again_on(date(2024, 2, 29), "yearly") == date(2025, 2, 28)
    assert due_again_on(date(2026, 3, 2), "weekly") == date(2026, 3, 9)
    assert due_again_on(date(2024, 2, 29), "five_yearly") == date(2029, 2, 28)
    assert due_again_on(None, "yearly") is None


def test_what_would_be_overdue_before_the_next_visit_is_asked_and_no_more():
    # The next visit is on 2 June: what is due on that day is asked then.
    early, on_the_day = candidate(1, good_on=date(2025, 6, 1)), candidate(2, good_on=date(2025, 6, 2))
    assert asked(early, on_the_day) == {early.key}


def test_a_two_yearly_check_is_left_out_a_year_after_its_last_good_result():
    one = candidate(interval="two_yearly", good_on=date(2025, 3, 2))
    assert asked(one, months=12) == set()
    assert asked(candidate(interval="two_yearly", good_on=date(2024, 9, 1)), months=12) == {one.key}


def test_a_check_without_a_good_result_is_asked():
    assert asked(candidate(good_on=None)) == {(1, "function")}
    assert asked(candidate(good_on=DAY, is_carried=True)) == {(1, "function")}


def test_of_a_spread_check_a_quarter_is_asked_never_tested_first_then_the_oldest_in_the_order_of_the_walk():
    days = [DAY, None, DAY - timedelta(days=90), None, DAY - timedelta(days=90), DAY, DAY, DAY]
    group = [candidate(place, is_spread=True, good_on=day) for place, day in enumerate(days)]
    assert asked(*group) == {(1, "function"), (3, "function")}
    later = [candidate(place, is_spread=True, good_on=day or DAY) for place, day in enumerate(days)]
    assert asked(*later) == {(2, "function"), (4, "function")}


def test_a_position_is_asked_all_its_spread_checks_or_none():
    group = [
        candidate(place, is_spread=True, good_on=DAY if code == "condition" or place else None, code=code)
        for place in range(4)
        for code in ("function", "condition")
    ]
    assert asked(*group) == {(0, "function"), (0, "condition")}


def test_a_missed_position_is_asked_again_and_takes_nobodys_place():
    group = [candidate(place, is_spread=True, good_on=DAY, is_carried=place == 3) for place in range(4)]
    assert asked(*group) == {(0, "function"), (3, "function")}


@settings(max_examples=60)
@given(st.data())
def test_after_four_quarterly_visits_every_accessible_point_was_tested_within_twelve_months(data):
    """Whatever was tested before, how far apart the visits are (three months at most), and who was not at home."""
    number = data.draw(st.integers(1, 13))
    ages = data.draw(st.lists(st.none() | st.integers(0, 270), min_size=number, max_size=number))
    good = {place: None if age is None else DAY - timedelta(days=age) for place, age in enumerate(ages)}
    carried, missed_last, visits = set(), {}, [DAY]
    for _ in range(7):
        visits.append(visits[-1] + timedelta(days=data.draw(st.integers(60, 89))))
    for day in visits:
        group = [candidate(p, is_spread=True, good_on=good[p], is_carried=p in carried) for p in good]
        places = {p for p, _ in chosen(group, due_before=day + relativedelta(months=3), months_to_next=3)}
        assert places >= carried
        for place in sorted(places):
            if data.draw(st.booleans() | st.just(True)):
                good[place] = day
                carried.discard(place)
            else:
                carried.add(place)
                missed_last[place] = day
        if day >= visits[3]:
            old = {p for p in good if good[p] is None or good[p] + relativedelta(years=1) < day}
            # Only what was asked and not accessible on this very visit may be older than twelve months.
            assert all(missed_last.get(p) == day for p in old)
