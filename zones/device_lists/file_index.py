"""What a whole file says, across its rows: needed to judge each of them."""

from dataclasses import dataclass, field

from zones.device_lists.cells import CellFault, read_kind
from zones.device_lists.snapshot import key
from zones.device_lists.zone_cells import read_zone
from zones.models import DeviceKind


@dataclass
class FileIndex:
    """First rows by what they name."""

    tags: dict = field(default_factory=dict)  # key(tag) → row number
    panels: dict = field(default_factory=dict)  # key(tag) → tag of a row that is a control panel
    zone_names: dict = field(default_factory=dict)  # zone number → (name, row number)
    zone_panels: dict = field(default_factory=dict)  # zone number → key of the first panel named with it
    serials: dict = field(default_factory=dict)  # key(serial) → [(row number, key(maker) or "")]
    model_kinds: dict = field(default_factory=dict)  # (key(maker), key(model)) → (kind, row number)
    releases: dict = field(default_factory=dict)  # unit id → row that swaps it out
    zones_by_name: dict = field(default_factory=dict)  # key(name) → number given to a zone that the list only names
    walking_start: int = 0


def index_file(rows, snapshot):
    """Read across all rows once; faults are told later, row by row."""
    index = FileIndex()
    last = max((position.walking_order for position in snapshot.positions.values()), default=0)
    index.walking_start = (last // 10 + 1) * 10
    _number_named_zones(index, rows, snapshot)
    for row in rows:
        cells = row.cells
        tag = key(cells.get("tag", ""))
        index.tags.setdefault(tag, row.number)
        position = snapshot.positions.get(tag)
        kind = kind_of(row, position)
        if kind == DeviceKind.CONTROL_PANEL and tag:
            index.panels.setdefault(tag, cells["tag"])
        _index_zone(index, row)
        if "maker" in cells and "model" in cells and kind:
            index.model_kinds.setdefault((key(cells["maker"]), key(cells["model"])), (kind, row.number))
        if "serial" in cells:
            index.serials.setdefault(key(cells["serial"]), []).append((row.number, key(cells.get("maker", ""))))
            fitting = position and snapshot.fittings.get(position.pk)
            if fitting and key(fitting.unit.serial) != key(cells["serial"]):
                index.releases.setdefault(fitting.unit_id, row)
    return index


def _number_named_zones(index, rows, snapshot):
    """A list without zone numbers: new names are numbered on from the last, in the order of the file."""
    if any("zone_number" in row.cells for row in rows):
        return
    known = {key(zone.name) for zone in snapshot.zones.values()}
    number = max(snapshot.zones, default=0)
    for row in rows:
        name = row.cells.get("zone_name", "")
        if name and key(name) not in known and key(name) not in index.zones_by_name:
            number += 1
            index.zones_by_name[key(name)] = number
            index.zone_names[number] = (name, row.number)
            index.zone_panels.setdefault(number, key(row.cells.get("panel", "")))


def kind_of(row, position):
    """The kind that a row means, or "" when it says none or one that is not known."""
    if "kind" not in row.cells:
        return position.kind if position else ""
    try:
        return read_kind(row.cells["kind"])
    except CellFault:
        return ""


def _index_zone(index, row):
    try:
        number, name = read_zone(row.cells)
    except CellFault:
        return
    if number is not None:
        if name:
            index.zone_names.setdefault(number, (name, row.number))
        if "panel" in row.cells:
            index.zone_panels.setdefault(number, key(row.cells["panel"]))
