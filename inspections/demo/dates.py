"""The days of the demo, counted back from the moment at which it is loaded, so that nothing in it lies ahead."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.utils import timezone

STARTS_AT, LATE_START_AT = 8, 15
UNDER_WAY_FOR = timedelta(minutes=100)  # what is done of a visit under way is done by then
FRIDAY = 4


@dataclass(frozen=True)
class DemoDates:
    """`now`: the moment that nothing may be later than."""

    now: datetime

    @classmethod
    def of(cls, day: date | None = None):
        """As if loaded in the evening of a day that is over; of today (or None): as loaded now."""
        now = timezone.now()
        return cls(now) if day is None else cls(min(now, _at(day, 20)))

    @property
    def today(self) -> date:
        return timezone.localtime(self.now).date()

    def moment(self, day: date, hour=STARTS_AT, minutes=0) -> datetime:
        """That hour of a day by the clock on the wall, or now where it lies ahead."""
        return min(_at(day, hour) + timedelta(minutes=minutes), self.now)

    def work_under_way(self) -> tuple[date, int]:
        """Day and hour at which a visit began that is not over: this morning, or late on the last working day."""
        if self.today.weekday() <= FRIDAY and self.now >= _at(self.today, STARTS_AT) + UNDER_WAY_FOR:
            return self.today, STARTS_AT
        day = self.today - timedelta(days=1)
        return day - timedelta(days=max(0, day.weekday() - FRIDAY)), LATE_START_AT


def _at(day, hour):
    return timezone.make_aware(datetime.combine(day, time(hour)))
