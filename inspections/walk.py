"""The walk of a visit: its positions storey by storey, in walking order, each with how far its test points are."""

from dataclasses import dataclass

from django.db.models import Count, Q

from inspections.models import Outcome
from zones.models import Position


@dataclass(frozen=True)
class Stop:
    """One position on the walk; `position` carries `serial`, `model_name` and `maker_name` of its unit."""

    position: Position
    total: int
    done: int
    failed: int
    not_accessible: int
    contradicted: int = 0

    @property
    def is_done(self):
        return self.done == self.total

    @property
    def state(self):
        """A key of the state table: the worst that was found, else how far it is."""
        if self.failed:
            return "fail"
        if not self.is_done:
            return "under_way" if self.done else "planned"
        return "not_accessible" if self.not_accessible else "pass"

    @property
    def word(self):
        if self.contradicted:
            return "answers contradict"
        if self.failed:
            return f"{self.failed} fail{'s' if self.failed != 1 else ''}"
        if not self.is_done:
            return f"{self.done} of {self.total}"
        return "not accessible" if self.not_accessible else "done"


@dataclass(frozen=True)
class Storey:
    name: str
    stops: tuple[Stop, ...]

    @property
    def done(self):
        return sum(stop.done for stop in self.stops)

    @property
    def total(self):
        return sum(stop.total for stop in self.stops)

    @property
    def is_done(self):
        return self.done == self.total


class Walk:
    """All stops of a visit. Storeys come in the order in which the walk first reaches them."""

    def __init__(self, stops):
        by_storey = {}
        for stop in stops:
            by_storey.setdefault(stop.position.storey, []).append(stop)
        self.storeys = [Storey(name or "No storey given", tuple(group)) for name, group in by_storey.items()]
        self.stops = [stop for storey in self.storeys for stop in storey.stops]

    @property
    def done(self):
        return sum(stop.done for stop in self.stops)

    @property
    def total(self):
        return sum(stop.total for stop in self.stops)

    @property
    def remaining(self):
        return self.total - self.done

    def number_of(self, position_pk):
        """Place of a position on the walk, from 0; None when the visit does not ask it."""
        return next((i for i, stop in enumerate(self.stops) if stop.position.pk == position_pk), None)

    def around(self, number):
        """(before, after, next open) of the stop with this number; the next open one may lie before it."""
        before = self.stops[number - 1] if number else None
        after = self.stops[number + 1] if number + 1 < len(self.stops) else None
        onwards = self.stops[number + 1 :] + self.stops[:number]
        return before, after, next((stop for stop in onwards if not stop.is_done), None)

    def first_open(self):
        return next((stop for stop in self.stops if not stop.is_done), None)

    def only(self, show, text=""):
        """Only the stops asked for: `show` is remaining, fail or not_accessible; `text` is of a tag or serial."""
        text = text.casefold()
        return Walk(
            stop
            for stop in self.stops
            if (show != "remaining" or not stop.is_done)
            and (show != "fail" or stop.failed)
            and (show != "not_accessible" or stop.not_accessible)
            and (text in stop.position.tag.casefold() or text in (stop.position.serial or "").casefold())
        )


def walk_of(visit):
    """Read the walk of a visit in one query."""
    latest = "test_points__latest_result"
    positions = (
        Position.objects.filter(test_points__visit=visit)
        .annotate(
            points=Count("test_points"),
            done=Count(latest),
            failed=Count(latest, filter=Q(**{f"{latest}__outcome": Outcome.FAIL})),
            contradicted=Count("test_points", filter=Q(test_points__is_contradicted=True)),
            not_accessible=Count(latest, filter=Q(**{f"{latest}__outcome": Outcome.NOT_ACCESSIBLE})),
        )
        .with_serial()
        .in_walking_order()
    )
    return Walk(Stop(p, p.points, p.done, p.failed, p.not_accessible, p.contradicted) for p in positions)
