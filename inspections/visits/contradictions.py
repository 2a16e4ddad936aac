"""Answers that contradict each other, for the engineer and the office to see: each point with all that stands there."""

from django.db.models import Count, Prefetch

from inspections.models import Result, Visit
from inspections.test_points.counting import answers_left


def contradictions_of(visit):
    """(test point, its standing results) for each contradiction of a visit; two queries, or one where there is none."""
    points = (
        visit.test_points.contradicted()
        .select_related("position")
        .in_walking_order()
        .prefetch_related(Prefetch("results", Result.objects.select_related("recorded_by", "defect")))
    )
    return [(point, answers_left(point, point.results.all()).results) for point in points]


def visits_with_contradictions(user):
    """Visits that this person sees with answers that contradict each other; `contradictions` says how many."""
    return (
        Visit.objects.visible_to(user)
        .filter(test_points__is_contradicted=True)
        .with_building()
        .annotate(contradictions=Count("test_points"))
        .order_by("-started_at")
    )
