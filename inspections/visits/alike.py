"""Like positions in one place that ask the same test: a phone answers them in one go, each with a result of its own.

Left out is what has more to say than that it passed: a reading, a retest, a position with an open defect, a step of a
commissioning plan.
"""

from collections import defaultdict

from django.db.models import Count, Min

from inspections.models import Defect, TestPoint
from inspections.models.test_points import Leg


def alike_of(visit, walk):
    """The tests without an outcome that positions of a room have in common; four queries.

    Returns:  {tests: [{kind, title, expected, caution}], groups: [{test, room, points: [[test point, stop], …]}]};
              `test` is a place in `tests`, `stop` one on the walk.
    """
    plain = visit.test_points.filter(
        latest_result=None, retest_since=None, quantity="", check_of__isnull=False, done_at=None, leg=Leg.WALK
    ).filter(planned_step=None)
    uniform = plain.order_by().values("check_of").annotate(first=Min("pk"), said=Count("expected", distinct=True))
    firsts = [row["first"] for row in uniform if row["said"] == 1]
    tests = TestPoint.objects.filter(pk__in=firsts).select_related("position").in_walking_order()
    points = plain.order_by("order", "pk").values_list("pk", "position", "check_of")
    return grouped(visit, walk, {point.check_of_id: point for point in tests}, points)


def grouped(visit, walk, tests, points):
    """As `alike_of`; `tests`: check → one of its test points, `points`: (key, position, check) of each."""
    faulty = set(Defect.objects.open().filter(building=visit.building_id).values_list("position", flat=True))
    stops = {stop.position.pk: number for number, stop in enumerate(walk.stops) if not stop.is_last}
    storeys = {stop.position.pk: number for number, storey in enumerate(walk.storeys) for stop in storey.stops}
    found = defaultdict(list)
    for key, position, check in points:
        if check in tests and position in stops and position not in faulty:
            stop = stops[position]
            found[check, storeys[position], walk.stops[stop].position.room].append((stop, key))
    checks = list(tests)
    groups = [
        {"test": checks.index(check), "room": room, "points": [[key, stop] for stop, key in sorted(own)]}
        for (check, _, room), own in found.items()
        if len(own) > 1
    ]
    return {"tests": [_said(tests[check]) for check in checks], "groups": groups}


def _said(point):
    return {
        "kind": point.position.get_kind_display(),
        "title": point.title,
        "expected": point.expected,
        "caution": point.caution_words,
    }
