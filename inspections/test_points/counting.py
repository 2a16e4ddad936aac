"""Which result of a test point counts, and where results contradict each other. A clock alone never settles it.

1. A result takes the place of those that its author had before them when recording it. A fail gives way only to
   another fail, to the pass that closes the defect it opened, or to a result that says why the fail no longer counts.
2. Of the results that are left, a fail counts before everything else.
3. Without a fail, the one seen last counts, by the corrected time; but not a "not accessible" before what somebody
   else says, who came to it.

A pass and a fail that are both left contradict each other: nobody who has seen both has said which is right. So do
"not applicable" and whatever else is left beside it.
"""

from dataclasses import dataclass

from inspections.models import Defect, Outcome, Result, TestPoint
from inspections.models.test_points import PASSING


@dataclass(frozen=True)
class AnswersLeft:
    """The results of a test point whose place no other has taken, in order of sight."""

    results: tuple[Result, ...]

    @property
    def fails(self):
        return tuple(result for result in self.results if result.outcome == Outcome.FAIL)

    @property
    def counting(self):
        """The result that counts, or None."""
        last = next(reversed(self.fails or self.results), None)
        if last is None or last.outcome != Outcome.NOT_ACCESSIBLE:
            return last
        of_others = (result for result in reversed(self.results) if result.recorded_by_id != last.recorded_by_id)
        return next((result for result in of_others if result.outcome != Outcome.NOT_ACCESSIBLE), last)

    @property
    def is_contradictory(self):
        outcomes = {result.outcome for result in self.results}
        if self.fails:
            return not outcomes.isdisjoint(PASSING)
        return Outcome.NOT_APPLICABLE in outcomes and len(outcomes) > 1


def in_order_of_sight(results):
    """Results of one test point as they were seen; the identifier decides between equal times, never the arrival."""
    return sorted(results, key=lambda result: (result.seen_at, result.client_uuid.hex))


def answers_left(point, results=None):
    """What stands at a test point, among its results since its unit was swapped.

    `results` may be given where they are read already, with their `defect`s.
    """
    if results is None:
        results = point.results.select_related("recorded_by", "defect")
    results = in_order_of_sight(
        result for result in results if not point.retest_since or result.seen_at >= point.retest_since
    )
    return AnswersLeft(_left(results))


def _left(results):
    place = {result.pk: number for number, result in enumerate(results)}
    left = tuple(
        result
        for result in results
        if not any(_takes_place_of(other, result, place) for other in results if other is not result)
    )
    return left or tuple(results)  # identifiers that name each other in a circle settle nothing


def _takes_place_of(other, result, place):
    if result.outcome != Outcome.FAIL:
        return _knew(other, result, place)
    defect = getattr(result, "defect", None)
    if defect is not None and defect.closed_by_result_id == other.pk:
        return True
    return _knew(other, result, place) and (other.outcome == Outcome.FAIL or bool(other.correction_reason))


def _knew(other, result, place):
    """Whether the author of `other` had `result` before them; what was stored before this was asked goes by time."""
    if other.known_results is None:
        return place[result.pk] < place[other.pk]
    return str(result.client_uuid) in other.known_results


def bring_up_to_date(point, newest=None):
    """Set which result of a point counts and whether it is contradicted; returns what stands.

    `newest` may be given as the only result of the point, which saves the reading.
    """
    left = AnswersLeft((newest,)) if newest else answers_left(point)
    counting = left.counting
    is_contradicted = _is_to_be_settled(left, point)
    if (point.latest_result_id, point.is_contradicted) != (counting and counting.pk, is_contradicted):
        point.latest_result, point.is_contradicted = counting, is_contradicted
        point.save(update_fields=["latest_result", "is_contradicted"])
    return left


def _is_to_be_settled(left, point):
    return left.is_contradictory and (not left.fails or open_defects_of(point).exists())


def look_at_contradiction(defect):
    """A contradiction at the point that found a defect ends when the defect is closed, and is back when it opens.

    Which result counts there stays as it is: a later visit does not rewrite an earlier one.
    """
    point = TestPoint.objects.filter(results=defect.found_by_result_id).first() if defect.found_by_result_id else None
    if point is None:
        return
    is_contradicted = _is_to_be_settled(answers_left(point), point)
    if point.is_contradicted != is_contradicted:
        point.is_contradicted = is_contradicted
        point.save(update_fields=["is_contradicted"])


def open_defects_of(point):
    """Open defects that the fails of this test point opened."""
    return Defect.objects.open().filter(found_by_result__test_point=point)
