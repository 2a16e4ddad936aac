"""How a visit stands as it is signed off: what was tested, failed, not reached; what is impaired and left open."""

from dataclasses import dataclass

from django.db.models import Count

from inspections.models import Outcome, Severity


@dataclass(frozen=True)
class Stood:
    """`counts`: (state key, word, number) of each outcome that occurs; `open_defects` the worst first."""

    counts: list
    total: int
    without_outcome: int
    open_defects: list

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
    rows = visit.test_points.order_by().values_list("latest_result__outcome").annotate(number=Count("pk"))
    numbers = dict(rows)
    counts = [(outcome, outcome.label, numbers[outcome]) for outcome in Outcome if outcome in numbers]
    defects = list(visit.defects_found.open().select_related("position").worst_first())
    return Stood(counts, sum(numbers.values()), numbers.get(None, 0), defects)
