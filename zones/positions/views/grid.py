"""Positions typed in a table, spreadsheet-like: all rows are made, or none."""

from django.contrib import messages
from django.urls import reverse

from sites_registry.access import STAFF_ROLES
from sites_registry.views.base import FormPage
from zones.engineering.findings import counted
from zones.positions.forms.grid import PositionGridForm
from zones.positions.grid import MOST_ROWS, CellsRefused, MakesMore, add_positions
from zones.positions.views.positions import BuildingMixin, PositionsOf


class PositionGridView(BuildingMixin, FormPage):
    roles = STAFF_ROLES
    form_class = PositionGridForm
    template_name = "zones/positions/position_grid.html"
    heading = "Positions in a table"
    verb = "Make the positions"
    makes = ()

    def form_arguments(self):
        return {"building": self.building}

    def get_trail(self, record):
        return [self.building, PositionsOf(self.building)]

    def get_back_url(self, record):
        return reverse("position-list", args=[self.building.slug])

    def get_context(self, form):
        return {**super().get_context(form), "building": self.building, "makes": self.makes, "most_rows": MOST_ROWS}

    def perform(self, form):
        agreed = self.request.POST.get("agreed", "").splitlines()
        try:
            self.made = add_positions(building=self.building, rows=form.typed, by=self.request.user, agreed=agreed)
        except CellsRefused as refusal:
            form.refuse(refusal)
            return None
        except MakesMore as asked:
            self.makes = asked.makes
            return None
        return self.building

    def success_url(self, record):
        return reverse("position-list", args=[record.slug])

    def announce(self, record):
        messages.success(self.request, f"{counted(len(self.made), 'position')} made.")
