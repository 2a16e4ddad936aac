"""A row as the file has it, as the register has it, and what the import would do with it."""

from dataclasses import dataclass, field
from enum import StrEnum

from zones.device_lists.cells import CellFault, read_text, tidy
from zones.device_lists.columns import COLUMN


class Effect(StrEnum):
    NEW = "new"
    CHANGED = "changed"
    SWAP = "swap"
    UNCHANGED = "unchanged"
    FAULTY = "faulty"


@dataclass(frozen=True)
class Fault:
    """What is wrong with one cell; `text` names the value and the remedy."""

    row: int
    column: str
    text: str

    def __str__(self):
        return f"Row {self.row}, {COLUMN[self.column].heading}: {self.text}"


@dataclass
class FileRow:
    """One row of the file: its texts by column key, blank ones left out."""

    index: int  # from 0, among the rows below the header
    number: int  # as people see it
    cells: dict
    faults: list = field(default_factory=list)

    def fault(self, column, text):
        self.faults.append(Fault(self.number, column, text))


@dataclass
class UnitPlan:
    """What happens to the unit at the row's position; `unit` is None for one that is new to the register."""

    serial: str
    model_key: tuple
    unit: object = None
    batch: str = ""
    opens: bool = False  # a fitting begins
    closes: object = None  # the Fitting that ends
    fitted_on: object = None
    corrects: object = None  # the Fitting whose date is corrected


@dataclass
class RowPlan:
    """What the import does with one row: nothing when it has faults."""

    row: FileRow
    position: object = None  # None: new
    fitting: object = None  # what stands there now
    before: dict = field(default_factory=dict)  # cells as an export would hold them
    cells: dict = field(default_factory=dict)  # cells of the row that say something else
    kind: str = ""
    panel: str = ""  # key of the panel, as it will be
    zone: int | None = None  # number of the zone, as it will be
    fields: dict = field(default_factory=dict)  # attribute → value, or the name of the record it points to
    unit: UnitPlan | None = None
    zone_name: tuple | None = None  # (zone number, name) where the zone is new or gets another name
    model: tuple | None = None  # (maker, model, kind) where the model is new
    changes: list = field(default_factory=list)  # (heading, before, after)
    makes: list = field(default_factory=list)  # words for records that come with the row, such as "zone 4 Stair B"

    def change(self, column, before, after):
        self.changes.append((COLUMN[column].heading, str(before), str(after)))

    @property
    def effect(self):
        if self.row.faults:
            return Effect.FAULTY
        if self.position is None:
            return Effect.NEW
        if self.unit and self.unit.closes:
            return Effect.SWAP
        return Effect.CHANGED if self.changes else Effect.UNCHANGED

    def as_result(self):
        """What the preview stores and shows of the row."""
        return {
            "row": self.row.number,
            "tag": self.row.cells.get("tag", "")[:60],
            "effect": self.effect.value,
            "changes": self.changes,
            "makes": self.makes,
            "faults": [[COLUMN[fault.column].heading, fault.text] for fault in self.row.faults],
        }


def read_rows(data, keys):
    """Rows of a table, by the column keys of its mapping; what cannot be read as text is a fault of the row."""
    rows = []
    for index, (number, cells) in enumerate(data):
        row = FileRow(index=index, number=number, cells={})
        for column, text in zip(keys, cells, strict=False):
            if not column or not text:
                continue
            try:
                if text := read_text(text, COLUMN[column].limit):
                    row.cells[column] = text
            except CellFault as fault:
                row.fault(column, str(fault))
        rows.append(row)
    return rows


def stored_cells(position, fitting):
    """The row that an export holds for a position; a file that says the same changes nothing.

    A circuit, line or data link of another panel than the position's is written with its panel: "P2:3".
    """
    zone, group, vent = position.smoke_zone, position.vent_group, position.vent
    unit = fitting.unit if fitting else None
    model = unit.product_model if unit else position.product_model
    cells = {
        "tag": position.tag,
        "kind": position.get_kind_display(),
        "panel": position.panel.tag if position.panel else "",
        "zone_number": str(zone.number) if zone else "",
        "zone_name": zone.name if zone else "",
        "vent_group": str(group.number) if group else "",
        "vent": vent.tag if vent else "",
        "circuit": _of_panel(position, position.actuator_circuit),
        "line": _of_panel(position, position.detection_line),
        "data_link": _of_panel(position, position.data_link),
        "order_on_line": "" if position.order_on_line is None else str(position.order_on_line),
        "storey": position.storey,
        "room": position.room,
        "place": position.place,
        "access_need": position.access_need,
        "walking_order": str(position.walking_order),
        "maker": model.maker.name if model else "",
        "model": model.name if model else "",
        "serial": unit.serial if unit else "",
        "batch": unit.batch if unit else "",
        "fitted_on": fitting.fitted_on.isoformat() if fitting else "",
    }
    return {column: tidy(text) for column, text in cells.items()}


def _of_panel(position, output):
    if output is None:
        return ""
    return str(output.number) if output.panel_id == position.panel_id else f"{output.panel.tag}:{output.number}"
