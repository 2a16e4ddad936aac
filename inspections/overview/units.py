"""The answers of a unit: in service and where, did it work when last tested, what is due, how old is it.

A test counts for the unit only while it was fitted where the test was made: what another unit showed at the same
position says nothing of this one.
"""

from dataclasses import dataclass

from django.db.models import Q
from django.utils import timezone

from inspections.due import months_ago
from inspections.models import Defect, LogEntry, Outcome, TestPoint, Visit
from inspections.overview.answers import Answer, finished_in_words, last_test, plural, standing_points, worst_of
from inspections.overview.tested import defects_answer, due_answer
from zones.models import Fitting

DAYS_OF_A_YEAR = 365.25
SOON_YEARS = 1


@dataclass
class UnitAnswers:
    """The four answers, what the last test found point by point, and the open defects where the unit is."""

    service: Answer
    worked: Answer
    due: Answer
    age: Answer
    points: list
    defects: list
    last_visit: Visit | None


def answers_of_unit(unit, fittings, *, in_store):
    """`UnitAnswers`; a fixed number of queries.

    Args:     fittings: those of the unit that the person may see, the newest first; in_store: what is said of a unit
              that is fitted nowhere, as (state, words).
    """
    present = next((fitting for fitting in fittings if fitting.removed_on is None), None)
    newest = fittings[0] if fittings else None
    test, points = _tested(newest) if newest else (None, [])
    defects = list(_defects_at(present)) if present else []
    return UnitAnswers(
        service=_in_service(present) if present else Answer(*in_store, _was_last(newest)),
        worked=_worked(test, newest),
        due=_due(present, defects),
        age=_age(unit, fittings),
        points=points,
        defects=defects,
        last_visit=test.visits[0] if test and test.visits else None,
    )


def _in_service(present):
    position = present.position
    by = f", fitted by {present.fitted_by}" if present.fitted_by else ""
    line = f"Since {present.fitted_on:%-d %b %Y}{by}."
    zone = Q(position=None, smoke_zone=position.smoke_zone_id) if position.smoke_zone_id else Q(pk=None)
    found = LogEntry.objects.filter(building=position.building_id).open_disablements()
    if found.filter(Q(position=position) | zone).exists():
        return Answer("out_of_service", "fitted, out of service now", f"{line} See the log book.")
    return Answer("fitted", "in service", line)


def _was_last(newest):
    if newest is None:
        return "It was never fitted."
    position = newest.position
    return f"Last at {position} in {position.building}, until {newest.removed_on:%-d %b %Y}."


# Whether it worked ---------------------------------------------------------------------------------------------------


def _tested(fitting):
    """The last test of the unit at that fitting, and its points that have a result."""
    found = Q(position=fitting.position_id) & _while_fitted(fitting)
    seen = TestPoint.objects.filter(found, visit__state=Visit.State.FINISHED)
    test = last_test(Visit.objects.filter(pk__in=seen.values("visit")), found | _waiting(fitting))
    points = standing_points(test.visits).filter(found).select_related("latest_result", "visit")
    return test, list(points.order_by("-visit__finished_at", "order", "pk"))


def _waiting(fitting):
    return Q(position=fitting.position_id, latest_result=None)


def _while_fitted(fitting):
    """Points whose result was seen while the unit was fitted; on a day of a swap only what was asked anew after it."""
    first, last = fitting.fitted_on, fitting.removed_on
    others = Fitting.objects.filter(position=fitting.position_id).exclude(pk=fitting.pk)
    seen = "latest_result__seen_at__date"
    if others.filter(removed_on=first).exists():
        since = Q(**{f"{seen}__gt": first}) | Q(**{seen: first, "retest_since__isnull": False})
    else:
        since = Q(**{f"{seen}__gte": first})
    if last is None:
        return since
    return since & Q(**{f"{seen}__lt" if others.filter(fitted_on=last).exists() else f"{seen}__lte": last})


def _worked(test, newest):
    if newest is None:
        return Answer("untested", "not tested", "It was never fitted.")
    where = f"At {newest.position}"
    if not test.visits:
        return Answer("untested", "not tested", f"{where}: no finished visit tested it since it was fitted.")
    total = sum(test.outcomes.values())
    said = [f"{test.outcomes[value]} {label}" for value, label in Outcome.choices if test.outcomes.get(value)]
    line, figures = f"{where}: {finished_in_words(test.visits)}.", f"{', '.join(said)}."
    latest = max(test.last_at.values(), default=None)
    if failed := test.outcomes.get(Outcome.FAIL):
        return Answer("fail", f"{failed} of {plural(total, 'point')} failed", line, figures)
    if latest is None or (newest.removed_on is None and latest < months_ago(12)):
        return Answer("not_accessible", "not tested for 12 months", line, figures)
    passed = test.outcomes.get(Outcome.PASS, 0) + test.outcomes.get(Outcome.REMARK, 0)
    asked = total - test.outcomes.get(Outcome.NOT_APPLICABLE, 0)
    return Answer("pass" if passed == asked else "not_accessible", f"{passed} of {asked} passed", line, figures)


# What is due, and how old it is --------------------------------------------------------------------------------------


def _defects_at(present):
    return Defect.objects.open().filter(position=present.position_id).worst_first().with_place()


def _due(present, defects):
    """The worse of open defects and the next inspection, with the other beside it."""
    if present is None:
        return Answer("not_due", "nothing due", "No visit asks for a unit that is fitted nowhere.")
    faults, due = defects_answer(defects), due_answer(present.position.building)
    worst = worst_of(faults, due) if defects else due
    beside = f"Next inspection: {due.word}." if worst is faults else f"Defects: {faults.word}."
    return Answer(worst.state, worst.word, worst.line, beside)


def _age(unit, fittings):
    """Since it was first fitted; when it was made is not on record, so it is no younger than that."""
    batch = f"Batch or date code {unit.batch}." if unit.batch else "Batch or date code not recorded."
    if not fittings:
        return Answer("not_known", "never fitted", batch)
    first = min(fitting.fitted_on for fitting in fittings)
    years = max((timezone.localdate() - first).days, 0) / DAYS_OF_A_YEAR
    words, line = f"{years:.1f} years since first fitted", f"First fitted on {first:%-d %b %Y}. {batch}"
    life = unit.product_model.service_life_years
    if life is None:
        return Answer("note", words, line, "Its data sheet names no service life.")
    state = "overdue" if years > life else "due_soon" if years > float(life) - SOON_YEARS else "in_date"
    return Answer(state, words, line, f"Service life by its data sheet: {life.normalize():f} years.")
