"""A test point as the phone's page shows it."""

from dataclasses import dataclass, field
from uuid import uuid4

from inspections.models import TestPoint
from inspections.test_points.counting import AnswersLeft, answers_left


@dataclass
class Card:
    """One test point as the page shows it; `typed` and the error come back when an answer was refused.

    `before` and `after` are its neighbours at the same position, None at either end.
    """

    point: TestPoint
    closable: list
    typed: dict = field(default_factory=dict)
    error: str = ""
    client_uuid: str = field(default_factory=lambda: str(uuid4()))
    left: AnswersLeft = field(default_factory=lambda: AnswersLeft(()))
    is_changing: bool = False
    photos: list = field(default_factory=list)
    before: TestPoint | None = None
    after: TestPoint | None = None

    @property
    def known(self):
        """Identifiers of the results that the card shows: whoever answers has had them before them."""
        return [str(result.client_uuid) for result in self.left.results]

    @property
    def failed_defects(self):
        """Open defects of the fails shown, which a pass at this point has to close."""
        defects = (getattr(fail, "defect", None) for fail in self.left.fails)
        return [defect for defect in defects if defect and defect.is_open]

    @property
    def asked_figures(self):
        """What the record lacks for judging this reading, with what was typed; nothing where no reading is taken."""
        result = self.point.latest_result
        kept = {name: f"{number:g}" for name, number in ((result and result.figures) or {}).items()}
        typed = self.typed.get("figures", kept)
        return [(one, typed.get(one.name, "")) for one in self.point.rule.still_asked()] if self.point.quantity else []

    @property
    def asks_of_reading(self):
        """Whether they belong to the reading, not to a product model."""
        return bool(self.point.rule.of_reading())

    @property
    def is_done(self):
        return self.point.latest_result_id is not None

    @property
    def difference(self):
        """How far the recorded reading is from that of the last visit, in %, or None."""
        result = self.point.latest_result
        return result and difference_percent(result.reading, self.point.reading_before)


def difference_percent(reading, before):
    if reading is None or not before or reading * before < 0:
        return None
    return round((reading - before) / abs(before) * 100)


def card_of(point, visit, closable):
    """`closable`: open defects of its position that were found before this visit, to be offered as put right."""
    offered = []
    for defect in closable:
        found_by = defect.found_by_result
        is_same_check = found_by is None or found_by.test_point.code == point.code
        if is_same_check or visit.kind == "remedial":
            offered.append(defect)
    return Card(point, offered, left=answers_left(point, point.results.all()))
