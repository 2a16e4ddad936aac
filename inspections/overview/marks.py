"""The answers of many buildings at once, as marks in a list; what is due is their headline.

The design check of a building takes longer than all else that its row shows: a list shows at once, with what the
readings alone tell, and asks for `limits_of` afterwards.
"""

from collections import defaultdict
from dataclasses import dataclass

from django.db.models import Count, Exists, F, OuterRef, Q

from inspections.due import months_ago, positions_not_tested_since
from inspections.models import Outcome, Visit
from inspections.overview.answers import LIMITED, LastTest, plural, standing_points, standing_visits, within_limits
from zones.design_check.checked import checked_portfolio
from zones.models import Position
from zones.models.units import Fitting

NOTHING_FOUND = (0, 0, 0)


@dataclass(frozen=True, slots=True)
class Marks:
    """Each a (state, words); `limits` is None where readings alone tell nothing bad: the design is not known yet."""

    fitted: tuple
    limits: tuple | None
    tested: tuple


def marks_of(buildings):
    """Marks by the key of the building; four queries for any number of buildings."""
    keys = [building.pk for building in buildings]
    fitted, found, old = _units(keys), _found(keys), _not_tested_lately(keys)
    return {
        key: Marks(_fitted(*fitted.get(key, (0, 0))), _outside(found.get(key)), _tested(found.get(key), old.get(key)))
        for key in keys
    }


def limits_of(buildings):
    """Whether design and readings are within limits, as the page of each building says it: (state, words) by slug.

    Args:     buildings: a queryset, a page of a list at most; the design check takes its time.
    """
    found, marks = _found(list(buildings.values_list("pk", flat=True))), {}
    for checked in checked_portfolio(buildings):
        _, judged, outside = found.get(checked.building.pk, NOTHING_FOUND)
        answer = within_limits(checked, LastTest([], judged=judged, outside=outside))
        marks[checked.building.slug] = answer.state, answer.short
    return marks


def _units(keys):
    """Positions with a place for a unit and those of them that have one, by building."""
    has_unit = Exists(Fitting.objects.open().filter(position=OuterRef("pk")))
    positions = Position.objects.filter(building__in=keys).in_use().with_place_for_a_unit().order_by()
    rows = positions.annotate(has_unit=has_unit).values_list("building")
    return {key: numbers for key, *numbers in rows.annotate(Count("pk"), fitted=Count("pk", filter=Q(has_unit=True)))}


def _found(keys):
    """What stands of the last visits, by building: points failed, readings judged, those outside their limits."""
    visits = defaultdict(list)
    for visit in (
        Visit.objects.finished().filter(building__in=keys).only("building", "kind", "extent", "state", "finished_at")
    ):
        visits[visit.building_id].append(visit)
    found = dict.fromkeys(visits, NOTHING_FOUND)
    standing = [visit for of_one in visits.values() for visit in standing_visits(of_one)]
    reading = F("latest_result__reading")
    is_judged = LIMITED & Q(latest_result__reading__isnull=False)
    for key, *numbers in (
        standing_points(standing)
        .values_list("visit__building")
        .annotate(
            failed=Count("pk", filter=Q(latest_result__outcome=Outcome.FAIL)),
            judged=Count("pk", filter=is_judged),
            outside=Count("pk", filter=is_judged & (Q(lower_limit__gt=reading) | Q(upper_limit__lt=reading))),
        )
    ):
        found[key] = numbers
    return found


def _not_tested_lately(keys):
    old = positions_not_tested_since(Position.objects.filter(building__in=keys), months_ago(12))
    return dict(old.order_by().values_list("building").annotate(Count("pk")))


def _fitted(wanted, fitted):
    if not wanted:
        return "missing", "no position"
    return "fitted" if fitted == wanted else "missing", f"{fitted} of {wanted}"


def _outside(found):
    _, _, outside = found or NOTHING_FOUND
    return ("fail", f"{outside} outside") if outside else None


def _tested(found, old):
    if found is None:
        return "untested", "not tested"
    if found[0]:
        return "fail", f"{plural(found[0], 'point')} failed"
    if old:
        return "not_accessible", f"{old} not in 12 months"
    return "pass", "passed when last tested"
