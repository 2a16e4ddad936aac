"""The table of a panel's list of a data link, and what is typed to confirm an entry."""

from dataclasses import dataclass, field

from django import forms

from sites_registry.forms.base import RegisterForm
from zones.models import Position
from zones.panels.data_links import MOST_ENTRIES, ListedUnit
from zones.units.edits import UnitRefused, tidy_serial
from zones.units.forms.units import LONGEST_SCAN, label_of

SPARE_ROWS = 4
HIGHEST = 32_767
COLUMNS = {"place": "Place", "serial": "Serial", "number": "Number given", "zone": "Zone assigned"}
LIMITS = {"place": 5, "serial": 80, "number": 5, "zone": 12}


@dataclass
class Cell:
    column: str
    heading: str
    row: int
    value: str = ""
    fault: str = ""

    @property
    def name(self):
        return f"{self.column}-{self.row}"

    @property
    def limit(self):
        return LIMITS[self.column]

    @property
    def is_number(self):
        return self.column != "serial"


@dataclass
class GridRow:
    number: int
    cells: list = field(default_factory=list)

    @property
    def faults(self):
        return [cell for cell in self.cells if cell.fault]


class LinkListForm(RegisterForm):
    """Cells are called column-row, rows from 1. A row without a place takes the one after the row above."""

    seen_version = forms.CharField(required=False, max_length=10_000, widget=forms.HiddenInput)

    def __init__(self, *args, link, **kwargs):
        super().__init__(*args, **kwargs)
        self.link = link
        self.entries = list(link.entries.select_related("zone_assigned").order_by("place"))
        self.zones = {zone.number: zone for zone in link.panel.building.smoke_zones.order_by("number")}
        self.faults, self.listed = {}, []
        self.initial["seen_version"] = self.version

    @property
    def version(self):
        """What the list was when the page was made, so that nobody overwrites what somebody else entered meanwhile."""
        return " ".join(f"{entry.pk}.{entry.row_version}" for entry in self.entries)

    def clean(self):
        cleaned = super().clean()
        if (cleaned.get("seen_version") or "") != self.version:
            raise forms.ValidationError("Somebody changed this list meanwhile. Load the page anew, then type it again.")
        place = 0
        for number, cells in self._typed():
            row = self._listed(number, cells, place + 1)
            if row is not None:
                place = row.place
                self.listed.append(row)
        if self.faults:
            raise forms.ValidationError("Nothing was saved yet. Correct the marked cells.")
        return cleaned

    def _typed(self):
        """[(row number, cells by column)] of the rows in which anything stands."""
        rows = {}
        for name, text in self.data.items():
            column, _, number = name.rpartition("-")
            if column in COLUMNS and number.isascii() and number.isdecimal() and len(number) < 5 and text.strip():
                rows.setdefault(int(number), {})[column] = text.replace("\0", "").strip()
        return sorted(rows.items())[: MOST_ENTRIES + 1]

    def _listed(self, number, cells, next_place):
        place = self._number(number, "place", cells) or next_place
        given = self._number(number, "number", cells)
        zone = self._number(number, "zone", cells)
        if zone is not None and zone not in self.zones:
            known = ", ".join(str(each) for each in self.zones) or "none"
            self.faults[number, "zone"] = f"{zone} is no zone of this building. Its zones: {known}."
        serial = self._serial(number, cells)
        if any(row == number for row, _ in self.faults):
            return None
        return ListedUnit(place, serial, given, self.zones.get(zone))

    def _number(self, row, column, cells):
        text = cells.get(column, "")
        if not text:
            return None
        if text.isascii() and text.isdecimal() and 1 <= int(text[:9]) <= HIGHEST:
            return int(text[:9])
        self.faults[row, column] = f"'{text[:20]}' is not possible. Write a whole number from 1."
        return None

    def _serial(self, row, cells):
        try:
            return tidy_serial(cells["serial"]) if cells.get("serial") else ""
        except UnitRefused as refusal:
            self.faults[row, "serial"] = " ".join(refusal.reasons)
            return ""

    def headings(self):
        return list(COLUMNS.items())

    def rows(self):
        typed = dict(self._typed()) if self.is_bound else dict(enumerate(map(_cells_of, self.entries), start=1))
        last = max(typed, default=0)
        return [self._row(number, typed.get(number, {})) for number in range(1, last + SPARE_ROWS + 1)]

    def _row(self, number, cells):
        return GridRow(
            number,
            [
                Cell(name, heading, number, str(cells.get(name, "")), self.faults.get((number, name), ""))
                for name, heading in COLUMNS.items()
            ],
        )


def _cells_of(entry):
    return {
        "place": entry.place,
        "serial": entry.serial,
        "number": entry.number_given or "",
        "zone": entry.zone_assigned.number if entry.zone_assigned else "",
    }


class ConfirmSerialForm(RegisterForm):
    serial = forms.CharField(
        label="Serial read on the device",
        max_length=LONGEST_SCAN,
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false", "autofocus": True}
        ),
    )

    def clean_serial(self):
        try:
            return tidy_serial(label_of(self.cleaned_data["serial"]).serial)
        except UnitRefused as refusal:
            raise forms.ValidationError(refusal.reasons) from refusal


class ConfirmOperatingForm(RegisterForm):
    """Which position was operated when the panel showed this entry; those of the link that are not confirmed yet."""

    position = forms.ModelChoiceField(label="Position that was operated", queryset=Position.objects.none())

    def __init__(self, *args, link, entry, **kwargs):
        super().__init__(*args, **kwargs)
        taken = link.entries.exclude(pk=entry.pk).exclude(position=None).values("position")
        positions = link.positions.in_use().exclude(pk__in=taken)
        self.fields["position"].queryset = positions.order_by("order_on_line", "tag_key")
