"""Which checks a visit asks when it asks what is due; without Django.

A check is asked that would be overdue before the next visit. Of a check that is spread over the visits, a share of the
positions of the kind is asked besides, those longest not tested first, so that the work of a year is even: a quarter at
each of four visits (contract practice; handbook calculations.md §10).
"""

import math
from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from dateutil.relativedelta import relativedelta

STEPS = {
    "weekly": relativedelta(weeks=1),
    "monthly": relativedelta(months=1),
    "quarterly": relativedelta(months=3),
    "half_yearly": relativedelta(months=6),
    "yearly": relativedelta(years=1),
    "two_yearly": relativedelta(years=2),
    "five_yearly": relativedelta(years=5),
}
MONTHS = {"quarterly": 3, "half_yearly": 6, "yearly": 12, "two_yearly": 24, "five_yearly": 60}


def due_again_on(last_good_on: date | None, interval: str) -> date | None:
    """One interval after the last good result, by the calendar (31 Jan + 1 month = 28 or 29 Feb)."""
    return last_good_on and last_good_on + STEPS[interval]


@dataclass(frozen=True, slots=True)
class Candidate:
    """One check of one position, in the order of the walk.

    `good_on`: day of the last good result, None without one; `is_carried`: the last attempt did not end well (not
    accessible, or failed), so that the check is asked until it does.
    """

    position: int
    kind: str
    code: str
    interval: str
    is_spread: bool
    good_on: date | None
    is_carried: bool = False

    @property
    def key(self):
        return self.position, self.code

    def is_due_before(self, day):
        due_on = due_again_on(self.good_on, self.interval)
        return self.is_carried or (due_on is not None and due_on < day)


def chosen(candidates, *, due_before: date, months_to_next: int):
    """Keys (position, code) of the checks that a visit asks.

    Args:     candidates: in the order of the walk; due_before: day of the next visit; months_to_next: until then.
    """
    asked, spread = set(), defaultdict(list)
    for one in candidates:
        if one.is_spread:
            spread[one.kind, one.interval].append(one)
        elif one.good_on is None or one.is_due_before(due_before):
            asked.add(one.key)
    for (_, interval), group in spread.items():
        share = min(1, months_to_next / MONTHS.get(interval, 1))
        asked |= _chosen_of_spread(group, due_before, share)
    return asked


def _chosen_of_spread(group, due_before, share):
    """A position is asked all checks that are spread, or none: nobody sets up the ladder twice."""
    by_position = defaultdict(list)
    for one in group:
        by_position[one.position].append(one)
    taken = {place for place, checks in by_position.items() if any(one.is_due_before(due_before) for one in checks)}
    # What is carried over comes on top: else one locked flat would take the place of another detector for ever.
    fresh = [place for place, checks in by_position.items() if not any(one.is_carried for one in checks)]
    # Sorting keeps the order of the walk among those tested on the same day.
    rest = sorted((place for place in fresh if place not in taken), key=lambda place: _oldest(by_position[place]))
    # Rounded down, what is left over is asked when it falls due; what was never tested never does.
    has_never = any(_oldest(by_position[place]) == date.min for place in fresh)
    wanted = (math.ceil if has_never else math.floor)(len(by_position) * share)
    taken |= set(rest[: max(0, wanted - sum(place in taken for place in fresh))])
    return {one.key for place in taken for one in by_position[place]}


def _oldest(checks):
    """The earliest last good result of some checks; never tested comes before every date."""
    days = [one.good_on for one in checks]
    return date.min if None in days else min(days)
