"""What visits know of some positions of a building: last tests, readings, open defects, and what is due."""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal

from django.db.models import Q

from inspections.due import due_of, with_last_inspection
from inspections.models import Defect, Outcome, Severity, TestPoint, Visit
from inspections.models.protocols import limits_in_words
from inspections.overview.answers import (
    Answer,
    last_test,
    not_tested_lately,
    plural,
    proven,
    standing_points,
)
from sites_registry.models import Building, Firm

NOTHING_FINISHED = "No visit has been finished here."
# The worst first: which outcome says how a position stands.
WORST = (Outcome.FAIL, Outcome.NOT_ACCESSIBLE, Outcome.REMARK, Outcome.PASS, Outcome.NOT_APPLICABLE)


@dataclass
class TestedPosition:
    """What the last test found at a position: the worst outcome, "" where nothing was found; when; its readings."""

    __test__ = False  # pytest: not a test class

    outcome: str = ""
    at: datetime | None = None
    readings: list = field(default_factory=list)

    @property
    def word(self):
        return dict(Outcome.choices).get(self.outcome, "")


@dataclass(frozen=True, slots=True)
class CheckReadings:
    """The readings of one check over several positions, with the limits where all have the same."""

    title: str
    unit: str
    number: int
    least: Decimal
    greatest: Decimal
    limits: str
    judged: int
    outside: int

    @property
    def state(self):
        return "fail" if self.outside else "meets" if self.judged == self.number else "not_known"

    @property
    def word(self):
        if self.outside:
            return f"{self.outside} outside"
        if self.judged == self.number:
            return "within limits"
        return f"{self.number - self.judged} without a limit" if self.judged else "no limit"


@dataclass
class Tested:
    """The last finished visits of a building as far as they concern some positions of it."""

    worked: Answer
    read: Answer
    faults: Answer
    due: Answer
    by_position: dict
    readings: list
    defects: list
    last_visit: Visit | None


def tested_of(building, positions):
    """`Tested` of these positions (a queryset of the building); seven queries for any number."""
    visits = list(building.visits.finished())
    test = last_test(visits, Q(position__in=positions))
    points = _points(test.visits, positions)
    defects = list(Defect.objects.open().filter(position__in=positions).worst_first().with_place())
    return Tested(
        worked=_worked(test, positions),
        read=readings_answer(test),
        faults=defects_answer(defects),
        due=due_answer(building),
        by_position=_by_position(points),
        readings=_by_check(points),
        defects=defects,
        last_visit=test.visits[0] if test.visits else None,
    )


def _worked(test, positions):
    old = not_tested_lately(positions)
    if test.visits and not old and not test.outcomes:
        return Answer("not_due", "nothing to test", "No check of the last visit concerns it.")
    return proven(test, old)


def readings_answer(test):
    """Whether what was read is within the limits that it had."""
    if not test.judged:
        line = "The last test read nothing that has a limit." if test.visits else NOTHING_FINISHED
        return Answer("not_known", "no reading", line)
    if test.outside:
        words = f"{test.outside} of {plural(test.judged, 'reading')} outside limits"
        return Answer("fail", words, "The last test read values outside their limits.")
    return Answer("meets", f"{plural(test.judged, 'reading')} within limits", "Each as its limits stood at the visit.")


def defects_answer(defects):
    """What is open; `defects` with the worst first."""
    if not defects:
        return Answer("in_order", "none open", "")
    severity = Severity(defects[0].severity)
    return Answer(severity.value, f"{len(defects)} open, {severity.label}", f"{defects[0].description}")


def due_answer(building):
    """The next inspection of a building."""
    (building,) = with_last_inspection(Building.objects.filter(pk=building.pk))
    due = due_of(building, soon_days=Firm.current().due_soon_days)
    if due.due_on is None:
        return Answer(due.state, due.word, "The building was neither commissioned nor inspected yet.")
    was = "was due" if due.state == "overdue" else "is due"
    return Answer(due.state, due.word, f"The inspection of the building {was} on {due.due_on:%-d %b %Y}.")


def _points(visits, positions):
    found = standing_points(visits).filter(position__in=positions)
    return list(
        found.exclude(latest_result=None)
        .select_related("latest_result")
        .defer("instruction", "expected", "caution", "limit_source")
        .order_by("order", "code", "position__tag_key")
    )


def _by_position(points: list[TestPoint]):
    found = defaultdict(TestedPosition)
    for point in points:
        result, one = point.latest_result, found[point.position_id]
        one.outcome = min((result.outcome, one.outcome or result.outcome), key=WORST.index)
        one.at = max(result.seen_at, one.at or result.seen_at)
        if result.reading is not None:
            one.readings.append(point)
    return dict(found)


def _by_check(points: list[TestPoint]):
    """One row for each check that was read."""
    found = defaultdict(list)
    for point in points:
        if point.latest_result.reading is not None:
            found[point.code, point.title, point.unit].append(point)
    return [_readings_of(title, unit, of_check) for (_, title, unit), of_check in found.items()]


def _readings_of(title, unit, points):
    readings = [point.latest_result.reading for point in points]
    judged = [point.is_within_limits(point.latest_result.reading, point.latest_result.figures) for point in points]
    ends = {(point.lower_limit, point.upper_limit) for point in points}
    limits = limits_in_words(*ends.pop(), unit) if len(ends) == 1 else "each its own"
    known = [one for one in judged if one is not None]
    return CheckReadings(title, unit, len(points), min(readings), max(readings), limits, len(known), known.count(False))
