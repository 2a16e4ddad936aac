"""A planned visit as it would be if it were started now, for a phone that starts it without a network.

Nothing is stored. Its test points carry the numbers by which the register takes their answers once it is started.
"""

from collections import defaultdict
from contextlib import suppress
from copy import copy
from functools import cached_property

from django.db.models import Prefetch, prefetch_related_objects
from django.utils import timezone

from inspections.commissioning.plans import Asked, lay_over, plans_of
from inspections.models import Result, TestPoint, Visit, VisitKind
from inspections.models.test_points import Leg
from inspections.test_points.limits import LimitsHere
from inspections.test_points.making import points_of
from inspections.test_points.missed import positions_missed_before
from inspections.test_points.numbers_ahead import number_ahead, step_numbers_ahead
from inspections.visits.alike import grouped
from inspections.visits.edits import VisitRefused, set_out
from inspections.visits.walk import Stop, Walk
from zones.engineering.cause_and_effect import RuleSetError
from zones.models import Position


def ahead_of(visit):
    """The visit as it would be under way; None where it is not planned, or cannot be started."""
    if visit.state != Visit.State.PLANNED:
        return None
    try:
        return Ahead(visit)
    except VisitRefused:
        return None


class Ahead:
    """`visit` is a copy that nobody saves."""

    def __init__(self, visit):
        self.visit = copy(visit)
        self.visit.is_ahead = True
        self.visit.count_change()  # as the start will: a form taken along is of the visit under way
        positions = set_out(self.visit, timezone.now())
        self._limits = LimitsHere(self.visit)
        self._points = points_of(self.visit, positions, only_due=self.visit.extent == Visit.Extent.DUE)
        self._steps = {}  # id of a point: its step
        if self.visit.kind == VisitKind.COMMISSIONING:
            self._take_plans()
        for point in self._points:
            if id(point) not in self._steps:
                point.pk = number_ahead(point.position_id, point.check_of_id)
        steps = list(self._steps.values())  # panel by panel, in the order of its plan
        points = [step.test_point for step in steps]
        for point, number in zip(points, step_numbers_ahead(points, steps), strict=True):
            point.pk = number

    def _take_plans(self):
        for point in self._points:
            self._limits.put_into(point)
        asked = Asked(self.visit, self._points, self._points)
        with suppress(RuleSetError):  # as when it is started
            for panel, planned in plans_of(self.visit.building):
                _, steps = lay_over(asked, panel, planned)
                self._steps |= {id(step.test_point): step for step in steps}
        self._points = asked.points
        positions = Position.objects.in_bulk({point.position_id for point in asked.made})
        for point in asked.made:
            point.position = positions[point.position_id]

    @cached_property
    def _by_stop(self):
        """(place, is last) → its test points in their order."""
        found = defaultdict(list)
        for point in sorted(self._points, key=lambda one: one.order):
            found[point.done_at_id or point.position_id, point.leg == Leg.END].append(point)
        return found

    @cached_property
    def walk(self):
        missed = positions_missed_before(self.visit)
        places = {place for place, _ in self._by_stop}
        return Walk(
            Stop(
                visit_pk=self.visit.pk,
                position=position,
                leg=Leg(min(point.leg for point in points)),
                total=len(points),
                done=0,
                failed=0,
                not_accessible=0,
                missed_before=missed.get(position.pk, 0),
            )
            for position in Position.objects.filter(pk__in=places).with_serial().in_walking_order()
            for is_last in (False, True)
            if (points := self._by_stop.get((position.pk, is_last)))
        )

    @property
    def points_in_walking_order(self):
        """All of its test points: none has an outcome."""
        return [point for stop in self.walk.stops for point in self._by_stop[stop.position.pk, stop.is_last]]

    @property
    def open_points(self):
        """As `open_points_of` a visit under way."""
        return [
            {
                "url": stop.url,
                "anchor": stop.anchor,
                "tag": stop.position.tag,
                "room": stop.position.room,
                "open": [point.pk for point in self._by_stop[stop.position.pk, stop.is_last]],
            }
            for stop in self.walk.stops
        ]

    @property
    def alike(self):
        """As `alike_of` a visit under way."""
        plain = [point for point in self._points if not point.quantity and id(point) not in self._steps]
        plain = [point for point in plain if point.leg == Leg.WALK and not point.done_at_id]
        said = defaultdict(set)
        for point in plain:
            said[point.check_of_id].add(point.expected)
        tests = {point.check_of_id: point for point in reversed(plain) if len(said[point.check_of_id]) == 1}
        points = [(point.pk, point.position_id, point.check_of_id) for point in plain]
        return grouped(self.visit, self.walk, tests, points)

    def points_at(self, keys):
        """(place, is last) → its test points with their limits and what was read before, as `read_stops` needs them."""
        found = defaultdict(list, {key: points for key, points in self._by_stop.items() if key[0] in keys})
        asked = [point for points in found.values() for point in points]
        prefetch_related_objects(asked, Prefetch("results", Result.objects.none()))
        before = _readings_before(self.visit, {point.position_id for point in asked})
        for point in asked:
            if self.visit.kind != VisitKind.COMMISSIONING:  # its plans needed them before
                self._limits.put_into(point)
            point.reading_before, point.reading_before_on = before.get((point.position_id, point.code), (None, None))
            TestPoint._meta.get_field("planned_step").set_cached_value(point, self._steps.get(id(point)))
        return found


def _readings_before(visit, keys):
    """(position, code) → (reading, day) of the newest visit that read it."""
    rows = (
        Result.objects.filter(
            test_point__position__in=keys,
            reading__isnull=False,
            latest_of__isnull=False,
            test_point__visit__started_at__lt=visit.started_at,
        )
        .order_by("test_point__visit__started_at")
        .values_list("test_point__position", "test_point__code", "reading", "test_point__visit__started_at__date")
    )
    return {(position, code): (reading, day) for position, code, reading, day in rows}
