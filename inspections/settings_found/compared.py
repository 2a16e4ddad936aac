"""What a visit found of the settings of its building's panels, for the visit's page and its report."""

from dataclasses import dataclass

from django.utils import timezone

from inspections.models import SettingFound
from inspections.settings_found.found import why_not_taken_over
from sites_registry.row_groups import in_groups

Answer = SettingFound.Answer


@dataclass(frozen=True)
class PanelCompared:
    """One panel on one visit: how many settings were answered how, and the entries that need reading."""

    panel: object
    entries: tuple

    @property
    def counts(self):
        """[(answer, words, number), …] of the answers that were given."""
        numbers = [(answer, answer.label, sum(e.answer == answer for e in self.entries)) for answer in Answer]
        return [row for row in numbers if row[2]]

    @property
    def notable(self):
        """Everything but what was as left."""
        return [entry for entry in self.entries if entry.answer != Answer.AS_LEFT]

    @property
    def grouped(self):
        """The notable ones, each with the (day, person) that stands above it and whether it says so itself."""
        return in_groups(self.notable, lambda entry: (timezone.localtime(entry.recorded_at).date(), entry.recorded_by))


def compared_on(visit):
    """A PanelCompared per panel of the visit's building, by tag; two queries for any number."""
    entries = visit.settings_found.latest().select_related("defect", "recorded_by", "taken_over__by").order_by("pk")
    by_panel = {}
    for entry in entries:
        entry.visit = visit
        entry.why_not_taken_over = why_not_taken_over(entry)
        by_panel.setdefault(entry.panel_id, []).append(entry)
    panels = visit.building.panels.select_related("position").order_by("position__tag_key")
    return [PanelCompared(panel, tuple(by_panel.get(panel.pk, ()))) for panel in panels]
