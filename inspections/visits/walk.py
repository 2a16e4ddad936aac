"""The walk of a visit: its positions storey by storey, in walking order, each with how far its test points are.

A commissioning begins at the panel and comes back to it: that is a stop of its own, with its own page. What was not
accessible twice running comes before the storeys.
"""

from dataclasses import dataclass

from django.db.models import Case, Count, Min, Q, Value, When
from django.db.models.functions import Coalesce
from django.urls import reverse

from inspections.models import Outcome
from inspections.models.test_points import Leg
from inspections.test_points.missed import missed_in_words, positions_missed_before
from sites_registry.read_once import read_once
from sites_registry.words import counted
from zones.models import Position

PART_WORDS = {Leg.START: "first, at the panel", Leg.END: "last, at the panel"}
MISSED = "first, as not accessible twice running"


@dataclass(frozen=True)
class Stop:
    """One position on the walk; `position` carries `serial`, `model_name` and `maker_name` of its unit."""

    visit_pk: int
    position: Position
    leg: Leg
    total: int
    done: int
    failed: int
    not_accessible: int
    contradicted: int = 0
    missed_before: int = 0

    @property
    def missed_words(self):
        """Why it stands first: "degraded, as not accessible on 2 visits running"; empty for the others."""
        return missed_in_words(self.missed_before)

    @property
    def is_last(self):
        """Whether it is the coming back to the panel."""
        return self.leg == Leg.END

    @property
    def url(self):
        return reverse(
            "visit-field-last" if self.is_last else "visit-field-position", args=[self.visit_pk, self.position.pk]
        )

    @property
    def anchor(self):
        """Its row on the page of the walk."""
        return f"stop-{self.position.pk}" + ("-last" if self.is_last else "")

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
    def failed(self):
        return sum(stop.failed for stop in self.stops)

    @property
    def not_accessible(self):
        return sum(stop.not_accessible for stop in self.stops)

    @property
    def contradicted(self):
        return any(stop.contradicted for stop in self.stops)

    @property
    def state(self):
        """A key of the state table, of what its line must not hide; empty where only the count has something to say."""
        if self.contradicted:
            return "contradicted"
        if self.failed:
            return "fail"
        if self.done < self.total:
            return ""
        return "not_accessible" if self.not_accessible else "pass"

    @property
    def word(self):
        words = {
            "contradicted": "answers contradict",
            "fail": counted(self.failed, "fails"),
            "not_accessible": f"{self.not_accessible} not accessible",
            "pass": "done",
        }
        return words[self.state]


class Walk:
    """All stops of a visit: first at the panel, the storeys in the order in which the walk first reaches them, last."""

    def __init__(self, stops):
        parts = {Leg.START: {}, MISSED: {}, Leg.WALK: {}, Leg.END: {}}
        for stop in stops:
            is_missed = stop.leg == Leg.WALK and stop.missed_words
            name = MISSED if is_missed else PART_WORDS.get(stop.leg, stop.position.storey or "No storey given")
            parts[MISSED if is_missed else stop.leg].setdefault(name, []).append(stop)
        self.storeys = [Storey(name, tuple(group)) for part in parts.values() for name, group in part.items()]
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

    def number_of(self, position_pk, *, is_last=False):
        """Place of a stop on the walk, from 0; None when the visit does not ask it."""
        wanted = position_pk, is_last
        return next((i for i, stop in enumerate(self.stops) if (stop.position.pk, stop.is_last) == wanted), None)

    def around(self, number):
        """(before, after, next open) of the stop with this number; the next open one may lie before it."""
        before = self.stops[number - 1] if number else None
        after = self.stops[number + 1] if number + 1 < len(self.stops) else None
        onwards = self.stops[number + 1 :] + self.stops[:number]
        return before, after, next((stop for stop in onwards if not stop.is_done), None)

    def first_open(self):
        return next((stop for stop in self.stops if not stop.is_done), None)

    def storey_of(self, stop):
        """The storey, or part of the walk, that this stop is in; None without a stop."""
        return next((storey for storey in self.storeys if stop in storey.stops), None)

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


@read_once
def walk_of(visit):
    """Read the walk of a visit in three queries."""
    result = "latest_result__outcome"
    rows = (
        visit.test_points.order_by()
        .annotate(
            place=Coalesce("done_at", "position"),
            part=Case(When(leg=Leg.END, then=Value(Leg.END)), default=Value(Leg.START)),
        )
        .values("place", "part")
        .annotate(
            leg=Min("leg"),
            total=Count("pk"),
            done=Count("latest_result"),
            failed=Count("pk", filter=Q(**{result: Outcome.FAIL})),
            contradicted=Count("pk", filter=Q(is_contradicted=True)),
            not_accessible=Count("pk", filter=Q(**{result: Outcome.NOT_ACCESSIBLE})),
        )
    )
    by_place = {}
    for row in rows:
        place = row.pop("place")
        del row["part"]
        by_place.setdefault(place, []).append(row | {"leg": Leg(row["leg"])})
    positions = Position.objects.filter(pk__in=by_place).with_serial().in_walking_order()
    missed = positions_missed_before(visit)
    return Walk(
        Stop(visit.pk, position, **row, missed_before=missed.get(position.pk, 0))
        for position in positions
        for row in by_place[position.pk]
    )


@read_once
def open_points_of(visit, walk):
    """The walk as the phone goes on with it: of each stop its address, tag, room and test points still to answer."""
    rows = (
        visit.test_points.filter(latest_result=None)
        .order_by("order", "pk")
        .values_list("pk", "done_at", "position", "leg")
    )
    by_stop = {}
    for pk, done_at, position, leg in rows:
        by_stop.setdefault((done_at or position, leg == Leg.END), []).append(pk)
    return [
        {
            "url": stop.url,
            "anchor": stop.anchor,
            "tag": stop.position.tag,
            "room": stop.position.room,
            "open": by_stop.get((stop.position.pk, stop.is_last), []),
        }
        for stop in walk.stops
    ]
