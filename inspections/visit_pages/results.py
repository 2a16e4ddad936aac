"""The test points of a visit as rows: what was passed without a figure or a word stands in one row for its position."""

from dataclasses import dataclass
from itertools import groupby

from django.utils import timezone

from inspections.models import Outcome


@dataclass(frozen=True)
class ResultRow:
    """One test, or several of one position that say the same: passed by one person, nothing measured or said."""

    points: tuple
    is_first: bool  # of its position

    @property
    def point(self):
        return self.points[-1]

    @property
    def position(self):
        return self.point.position

    @property
    def title(self):
        return ", ".join(point.title for point in self.points)

    @property
    def result(self):
        """The latest of them: the others were given before it."""
        return max((point.latest_result for point in self.points if point.latest_result), key=_seen_at, default=None)


def rows_of(points):
    """Rows of test points, which come position by position; needs `latest_result` and `reading_before` read along."""
    rows = []
    for _, of_position in groupby(points, key=lambda point: point.position_id):
        parts = [tuple(part) for _, part in groupby(of_position, key=_what_it_says)]
        rows += [ResultRow(points=part, is_first=part is parts[0]) for part in parts]
    return rows


def day_and_person(row):
    """When and by whom a row was recorded, which most rows of a visit share."""
    if row.result is None:
        return "No outcome yet", ""
    return timezone.localtime(row.result.seen_at).date(), row.result.recorded_by


def _what_it_says(point):
    result = point.latest_result
    says_pass_alone = (
        result is not None
        and result.outcome == Outcome.PASS
        and result.reading is None
        and point.reading_before is None
        and not (result.remark or result.reason or result.clock_words)
        and not (point.limits_text or point.judged or point.is_contradicted)
    )
    return ("pass", result.recorded_by_id) if says_pass_alone else ("alone", point.pk)


def _seen_at(result):
    return result.seen_at
