"""What was not accessible on several visits running, and which class that has.

Handbook process.md §4, common practice: 'not accessible' twice running rises one class. A check that could not be made
once is minor, as a defect without effect now; a second time it is degraded, as by then nobody knows whether the device
still works. It stays that until the check was made.
"""

from collections import defaultdict

from inspections.models import Outcome, Severity, TestPoint

TWICE = 2


def class_of_missed(times_running):
    """The severity of a check that was not accessible on so many visits running; None for none."""
    if not times_running:
        return None
    return Severity.DEGRADED if times_running >= TWICE else Severity.MINOR


def missed_in_words(times_running):
    """ "degraded, as not accessible on 2 visits running"; empty where it was not so twice."""
    if times_running < TWICE:
        return ""
    return f"{class_of_missed(times_running).label}, as not accessible on {times_running} visits running"


def missed_before(visit):
    """{(position, code): visits running}, of the visits before this one, where a check was not accessible last.

    One query. What a visit did not ask, or left without an outcome, neither counts nor breaks the run.
    """
    earlier = TestPoint.objects.filter(visit__building=visit.building_id, latest_result__isnull=False)
    if visit.started_at:
        earlier = earlier.filter(visit__started_at__lt=visit.started_at)
    missed = earlier.filter(latest_result__outcome=Outcome.NOT_ACCESSIBLE)
    rows = (
        earlier.filter(position__in=missed.order_by().values("position"))
        .order_by("-visit__started_at", "-visit")
        .values_list("position", "code", "latest_result__outcome")
    )
    runs, ended = defaultdict(int), set()
    for *key, outcome in rows:
        if (key := tuple(key)) in ended:
            continue
        if outcome == Outcome.NOT_ACCESSIBLE:
            runs[key] += 1
        else:
            ended.add(key)
    return dict(runs)


def missed_on(visit, points):
    """{pk of a test point: visits running, this one included} of those not accessible on this visit; one query.

    Args:     points: of this visit, with their latest result.
    """
    not_reached = [one for one in points if one.latest_result and one.latest_result.outcome == Outcome.NOT_ACCESSIBLE]
    if not not_reached:
        return {}
    before = missed_before(visit)
    return {one.pk: before.get((one.position_id, one.code), 0) + 1 for one in not_reached}


def positions_missed_before(visit):
    """{pk of a position: visits running} of those where a check was not accessible twice or more before this visit."""
    found = {}
    for (position, _), times in missed_before(visit).items():
        found[position] = max(times, found.get(position, 0))
    return {position: times for position, times in found.items() if times >= TWICE}
