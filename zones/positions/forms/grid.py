"""The table in which many positions are typed: cells as they came, and what is wrong with each."""

from dataclasses import dataclass, field

from django import forms

from sites_registry.forms.base import RegisterForm
from zones.device_lists.columns import COLUMN
from zones.models import ActuatorCircuit, DataLink, DetectionLine, DeviceKind, ProductModel
from zones.positions.grid import COLUMNS, MOST_ROWS

ROWS_AT_FIRST = 12
SPARE_ROWS = 3
RUNS = {"circuit": ActuatorCircuit, "line": DetectionLine, "data link": DataLink}
HEADINGS = {
    "zone_number": "Zone",
    "vent_group": "Group",
    "circuit_or_line": "Circuit, line, link",
    "order_on_line": "Order",
}
OFFERED_FROM = {
    "kind": "grid-kinds",
    "panel": "grid-panels",
    "zone_number": "grid-zones",
    "circuit_or_line": "grid-runs",
    "model": "grid-models",
    "storey": "grid-storeys",
}


@dataclass
class Cell:
    column: str
    heading: str
    row: int
    value: str = ""
    fault: str = ""
    offered_from: str = ""
    limit: int = 0

    @property
    def name(self):
        return f"{self.column}-{self.row}"


@dataclass
class GridRow:
    number: int
    cells: list = field(default_factory=list)

    @property
    def faults(self):
        return [cell for cell in self.cells if cell.fault]


class PositionGridForm(RegisterForm):
    """Cells are called column-row, rows from 1; rows with nothing in them are passed over."""

    def __init__(self, *args, building, **kwargs):
        super().__init__(*args, **kwargs)
        self.building = building
        self.panels = list(building.panels.select_related("position").order_by("position__tag_key"))
        # Where there is one panel, or none yet, nobody types which.
        self.columns = [name for name in COLUMNS if name != "panel" or len(self.panels) > 1]
        self.faults = {}

    def clean(self):
        self.typed = self._typed()
        if not self.typed:
            raise forms.ValidationError("Nothing is typed yet. Begin with a tag and a kind in the first row.")
        beyond = max(number for number, _ in self.typed)
        if beyond > MOST_ROWS:
            raise forms.ValidationError(
                f"{beyond} rows are too many for one table: at most {MOST_ROWS}. Import a longer list as a file."
            )
        return super().clean()

    def _typed(self):
        """[(row number, cells by column)] of the rows in which anything stands."""
        rows = {}
        for name, text in self.data.items():
            column, _, number = name.rpartition("-")
            if column in self.columns and number.isascii() and number.isdecimal() and len(number) < 5 and text.strip():
                rows.setdefault(int(number), {})[column] = text
        return sorted(rows.items())

    def refuse(self, refusal):
        self.faults = refusal.faults
        self.add_error(None, refusal.reasons)

    def headings(self):
        return [(name, HEADINGS.get(name, COLUMN[name].heading)) for name in self.columns]

    def rows(self):
        """Rows of cells for the page: what was typed, and some empty ones."""
        typed = dict(self._typed()) if self.is_bound else {}
        typed = {number: cells for number, cells in typed.items() if number <= MOST_ROWS}
        shown = min(max(ROWS_AT_FIRST, max(typed, default=0) + SPARE_ROWS), MOST_ROWS)
        return [self._row(number, typed.get(number, {})) for number in range(1, shown + 1)]

    def _row(self, number, cells):
        return GridRow(
            number,
            [
                Cell(
                    name,
                    heading,
                    number,
                    cells.get(name, ""),
                    self.faults.get((number, name), ""),
                    OFFERED_FROM.get(name, ""),
                    COLUMN[name].limit,
                )
                for name, heading in self.headings()
            ],
        )

    def told(self):
        """Cells with a fault, in the order of the table."""
        return [cell for row in self.rows() for cell in row.faults]

    # What the browser offers in the cells --------------------------------------------------------------------------

    def kinds(self):
        """(word, letters of its tags) of each kind that may stand in the table."""
        return [(kind.label, kind.facts.tag_prefix) for kind in DeviceKind]

    def zones(self):
        return [f"{zone.number} {zone.name}" for zone in self.building.smoke_zones.order_by("number")]

    def runs(self):
        """Circuits, lines and data links as they may be named, panel by panel."""
        many = len(self.panels) > 1
        numbers = {
            word: list(model.objects.filter(panel__in=self.panels).order_by("number").values_list("panel", "number"))
            for word, model in RUNS.items()
        }
        return [
            f"{panel.tag}:{word} {number}" if many else f"{word} {number}"
            for panel in self.panels
            for word, found in numbers.items()
            for of_panel, number in found
            if of_panel == panel.pk
        ]

    def models(self):
        return ProductModel.objects.filter(is_current=True).select_related("maker").order_by("kind", "maker__name")

    def storeys(self):
        return self.building.positions.exclude(storey="").order_by("storey").values_list("storey", flat=True).distinct()
