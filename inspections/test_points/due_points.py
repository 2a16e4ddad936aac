"""When each check of each position of a building was last answered well, and what a visit of what is due asks."""

from django.db.models import Max, Q
from django.utils import timezone

from inspections.models import Outcome, TestPoint
from inspections.models.test_points import PASSING
from inspections.test_points.choosing import Candidate, chosen, due_again_on
from zones.models import Fitting

# 'Not applicable' is an answer too: the question comes again after its interval.
SETTLED = (*PASSING, Outcome.NOT_APPLICABLE)


def last_answers(building):
    """{(position, code): (last answered well, last answered otherwise)}, moments or None; one query."""
    rows = (
        TestPoint.objects.filter(visit__building=building, latest_result__isnull=False)
        .order_by()
        .values_list("position", "code")
        .annotate(
            good=Max("latest_result__seen_at", filter=Q(latest_result__outcome__in=SETTLED)),
            other=Max("latest_result__seen_at", filter=~Q(latest_result__outcome__in=SETTLED)),
        )
    )
    return {(position, code): (good, other) for position, code, good, other in rows}


def candidates(building, pairs):
    """`Candidate` of each (position, check); two queries for any number.

    What was found before the present unit was fitted says nothing about it.
    """
    answers = last_answers(building)
    fitted = dict(
        Fitting.objects.open().filter(position__building=building).values_list("position", "fitted_on").order_by()
    )
    return [_candidate(position, check, answers, fitted.get(position.pk)) for position, check in pairs]


def _candidate(position, check, answers, fitted_on):
    good, other = answers.get((position.pk, check.code), (None, None))
    good_on = good and timezone.localtime(good).date()
    is_new_unit = bool(good_on and fitted_on and good_on < fitted_on)
    return Candidate(
        position=position.pk,
        kind=position.kind,
        code=check.code,
        interval=check.interval,
        is_spread=check.is_spread,
        good_on=None if is_new_unit else good_on,
        is_carried=is_new_unit or (other is not None and (good is None or good < other)),
    )


def due_pairs(building, pairs, due_before):
    """Those of these (position, check) that a visit of what is due asks; `pairs` in the order of the walk."""
    asked = chosen(
        candidates(building, pairs), due_before=due_before, months_to_next=building.inspection_interval_months
    )
    return [(position, check) for position, check in pairs if (position.pk, check.code) in asked]


def dues_of(position, pairs):
    """[(check, day of the last good result, day it is due again), …] of one position; None where there is none."""
    found = candidates(position.building, pairs)
    return [
        (check, one.good_on, due_again_on(one.good_on, one.interval))
        for (_, check), one in zip(pairs, found, strict=True)
    ]
