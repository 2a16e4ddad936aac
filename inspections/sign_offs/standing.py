"""How a visit stands as it is signed off: what was tested, failed, not reached; what is impaired and left open."""

from collections import Counter
from dataclasses import dataclass

from inspections.models import Outcome, Severity


@dataclass(frozen=True)
class Stood:
    """`points`: (key, position, outcome, None without one) of each test point; `open_defects` the worst first."""

    points: list
    open_defects: list

    @property
    def counts(self):
        """(state key, word, number) of each outcome that occurs."""
        numbers = Counter(outcome for _, _, outcome in self.points)
        return [(outcome, outcome.label, numbers[outcome]) for outcome in Outcome if outcome in numbers]

    @property
    def total(self):
        return len(self.points)

    @property
    def without_outcome(self):
        return sum(outcome is None for _, _, outcome in self.points)

    @property
    def impaired(self):
        return [defect for defect in self.open_defects if defect.severity == Severity.IMPAIRED]

    def as_data(self):
        """Frozen with the sign-off."""
        return {
            "outcomes": {key: number for key, _, number in self.counts},
            "test_points": self.total,
            "without_outcome": self.without_outcome,
            "open_defects": [
                {
                    "defect": defect.pk,
                    "severity": defect.severity,
                    "tag": defect.position.tag if defect.position else "",
                    "description": defect.description,
                    "interim_measure": defect.interim_measure,
                    "told_to": defect.told_to,
                }
                for defect in self.open_defects
            ],
        }


def stood_of(visit):
    """Two queries, whatever the number of points."""
    points = list(visit.test_points.order_by("pk").values_list("pk", "position", "latest_result__outcome"))
    return Stood(points, list(visit.defects_found.open().select_related("position").worst_first()))
