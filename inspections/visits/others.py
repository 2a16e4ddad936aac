"""Answers on a visit by people who are not its engineer: a colleague with another phone, or whose visit it was."""

from django.db.models import Count

from inspections.models import Result


def told_of_another_engineer(visit, person):
    """What a person is told who answers on a visit that was theirs before; empty for all others."""
    if visit.engineer_id in (None, person.pk) or not visit.history.filter(engineer_id=person.pk).exists():
        return ""
    return f"This visit is given to {visit.engineer} now. Your answer is recorded under your name."


def answers_of_others(visit):
    """(full name, how many answers) of each person who answered and is not the engineer of the visit; one query."""
    if visit.engineer_id is None:
        return []
    of_others = Result.objects.filter(test_point__visit=visit).exclude(recorded_by=visit.engineer_id)
    return list(
        of_others.values_list("recorded_by__full_name").annotate(Count("pk")).order_by("recorded_by__full_name")
    )
