"""A building's state in a line of marks, the worst first: what heads its page and its row in every list.

Asked are open defects, what is out of service and the date of the next inspection. The design check and the readings of
the last visit take a page of their own: where nothing here is wrong, the words say only what was asked.
"""

from dataclasses import dataclass
from datetime import date

from django.db.models import Exists, OuterRef, Subquery
from django.utils import timezone

from inspections.due import Due, due_of, with_last_inspection
from inspections.models import Defect, LogEntry, Severity
from sites_registry.models import Firm

# The worst first; the tone of each stands in the table of states.
ORDER = (
    "impaired",
    "past_planned_end",
    "overdue",
    "never",
    "out_of_service",
    "degraded",
    "due_soon",
    "minor",
    "advice",
    "in_date",
)
WORDS = {
    "impaired": "smoke control impaired",
    "past_planned_end": "out of service past its planned end",
    "out_of_service": "out of service in part",
    "degraded": "degraded defect open",
    "minor": "minor defect open",
    "advice": "advice open",
    "in_date": "inspection in date",
}
NOT_URGENT = ("minor", "advice", "in_date")


@dataclass(frozen=True, slots=True)
class Headline:
    """`marks`: (state, words), the worst first, never empty."""

    marks: tuple
    due: Due

    @property
    def worst(self):
        return self.marks[0]

    @property
    def needs_somebody(self):
        return self.worst[0] not in NOT_URGENT

    @property
    def rank(self):
        """For sorting: the worst first, then the earliest due date."""
        return ORDER.index(self.worst[0]), self.due.due_on or date.max


def with_headline(buildings):
    """Annotate buildings with what a headline is made of; one query for any number of them."""
    defects = Defect.objects.open().filter(building=OuterRef("pk")).worst_first()
    out = LogEntry.objects.open_disablements().filter(building=OuterRef("pk"))
    return with_last_inspection(buildings).annotate(
        worst_defect=Subquery(defects.values("severity")[:1]),
        is_out_of_service=Exists(out),
        is_out_past_its_end=Exists(out.filter(planned_end_at__lt=timezone.now())),
    )


def headline_of(building, *, soon_days, today=None) -> Headline:
    """The headline of a building annotated by `with_headline`."""
    due = due_of(building, soon_days=soon_days, today=today)
    states = [due.state]
    if building.worst_defect:
        states.append(Severity(building.worst_defect).value)
    if building.is_out_of_service:
        states.append("past_planned_end" if building.is_out_past_its_end else "out_of_service")
    states.sort(key=ORDER.index)
    return Headline(tuple((state, WORDS.get(state) or due.word) for state in states), due)


def worst_first(buildings):
    """The buildings of a query as a list, each with its `headline`, the worst first, then by name."""
    soon_days, today, found = Firm.current().due_soon_days, timezone.localdate(), []
    for building in with_headline(buildings):
        building.headline = headline_of(building, soon_days=soon_days, today=today)
        found.append(building)
    return sorted(found, key=lambda building: (building.headline.rank, building.name))
