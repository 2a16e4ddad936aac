"""A planned visit as it would be if it were started now, for a phone that starts it without a network.

Nothing is stored. Its test points carry the numbers by which the register takes their answers once it is started.
"""

from collections import Counter, defaultdict
from copy import copy
from functools import cached_property

from django.db.models import Prefetch, prefetch_related_objects
from django.utils import timezone

from inspections.models import Result, TestPoint, Visit, VisitKind
from inspections.test_points.limits import LimitsHere
from inspections.test_points.making import points_of
from inspections.test_points.missed import positions_missed_before
from inspections.test_points.numbers_ahead import number_ahead
from inspections.visits.alike import grouped
from inspections.visits.edits import VisitRefused, set_out
from inspections.visits.walk import Stop, Walk
from zones.models import Position


def ahead_of(visit):
    """The visit as it would be under way; None where it is not planned, or has to be started with a network.

    A commissioning takes over the plans of its panels when it is started.
    """
    if visit.state != Visit.State.PLANNED or visit.kind == VisitKind.COMMISSIONING:
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
        positions = set_out(self.visit, timezone.now())
        self._points = points_of(self.visit, positions, only_due=self.visit.extent == Visit.Extent.DUE)
        for point in self._points:
            point.pk = number_ahead(point.position_id, point.check_of_id)

    @cached_property
    def walk(self):
        totals = Counter(point.position_id for point in self._points)
        legs = {point.position_id: point.leg for point in self._points}
        missed = positions_missed_before(self.visit)
        return Walk(
            Stop(
                visit_pk=self.visit.pk,
                position=position,
                leg=legs[position.pk],
                total=totals[position.pk],
                done=0,
                failed=0,
                not_accessible=0,
                missed_before=missed.get(position.pk, 0),
            )
            for position in Position.objects.filter(pk__in=totals).with_serial().in_walking_order()
        )

    @property
    def open_points(self):
        """As `open_points_of` a visit under way."""
        numbers = defaultdict(list)
        for point in sorted(self._points, key=lambda one: one.order):
            numbers[point.position_id].append(point.pk)
        return [
            {
                "url": stop.url,
                "anchor": stop.anchor,
                "tag": stop.position.tag,
                "room": stop.position.room,
                "open": numbers[stop.position.pk],
            }
            for stop in self.walk.stops
        ]

    @property
    def alike(self):
        """As `alike_of` a visit under way."""
        plain = [point for point in self._points if not point.quantity]
        said = defaultdict(set)
        for point in plain:
            said[point.check_of_id].add(point.expected)
        tests = {point.check_of_id: point for point in reversed(plain) if len(said[point.check_of_id]) == 1}
        points = [(point.pk, point.position_id, point.check_of_id) for point in plain]
        return grouped(self.visit, self.walk, tests, points)

    def points_at(self, keys):
        """(place, is last) → its test points with their limits and what was read before, as `read_stops` needs them."""
        asked = [point for point in self._points if point.position_id in keys]
        prefetch_related_objects(asked, Prefetch("results", Result.objects.none()))
        limits, before = LimitsHere(self.visit), _readings_before(self.visit, keys)
        found = defaultdict(list)
        for point in sorted(asked, key=lambda one: one.order):
            limits.put_into(point)
            point.reading_before, point.reading_before_on = before.get((point.position_id, point.code), (None, None))
            TestPoint._meta.get_field("planned_step").set_cached_value(point, None)
            found[point.position_id, False].append(point)
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
