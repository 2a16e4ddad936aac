"""Plain answers of a batch: first at their points, with nothing else about them. They are written together."""

from django.db import IntegrityError, transaction

from inspections.models import Outcome, Result, TestPoint
from inspections.visits.actuators_found import ACTUATORS_FOUND


class PlainFirst(Exception):
    """An answer may look at what others of its batch have stored: they are written before it is taken."""


def is_plain(answer, cleaned, point):
    """Whether an answer says nothing but outcome and reading, as the first at a point of which nothing else hangs."""
    has_more = cleaned["outcome"] == Outcome.FAIL or answer.get("closes") or answer.get("figures")
    is_first = point.latest_result_id is None and point.retest_since is None and not point.is_contradicted
    is_alone = getattr(point, "planned_step", None) is None and point.code != ACTUATORS_FOUND
    return is_first and is_alone and not has_more


class PlainResults:
    """Results that wait to be written. What another transaction stored first is refused alone, not with its batch."""

    def __init__(self):
        self._waiting = {}  # by test point
        self._refused = set()

    def __bool__(self):
        return bool(self._waiting)

    def __contains__(self, result):
        return result in self._waiting.values()

    def is_at(self, point):
        return point.pk in self._waiting

    def add(self, result):
        self._waiting[result.test_point_id] = result

    def is_refused(self, result):
        return str(result.client_uuid) in self._refused

    def write(self):
        results, self._waiting = list(self._waiting.values()), {}
        try:
            _write(results)
        except IntegrityError:  # by one of them; which, is seen one by one
            for result in results:
                self._write_alone(result)

    def _write_alone(self, result):
        try:
            _write([result])
        except IntegrityError:
            self._refused.add(str(result.client_uuid))
            result.test_point.latest_result = None


def _write(results):
    if not results:
        return
    with transaction.atomic():
        for result in results:
            result.pk = None
        Result.objects.bulk_create(results)
        for result in results:
            result.test_point.latest_result = result
        TestPoint.objects.bulk_update([result.test_point for result in results], ["latest_result"])
