"""What the register holds of a building, read once, so that thousands of rows are checked without a query each."""

import string
from dataclasses import dataclass, field

from django.db import connection
from django.db.models import Max
from django.db.models.functions import Upper

from zones.models import (
    ActuatorCircuit,
    ControlPanel,
    DataLink,
    DetectionLine,
    Fitting,
    Maker,
    Position,
    ProductModel,
    SmokeZone,
    Unit,
    Vent,
    VentGroup,
)

QUERY_CHUNK = 500
_ASCII_CAPITALS = str.maketrans(string.ascii_lowercase, string.ascii_uppercase)


def key(text: str) -> str:
    """Texts of one key are the same to the database's UPPER() and LOWER(), in which the unique rules are written."""
    if connection.vendor == "sqlite":  # it knows ASCII letters only
        return text.translate(_ASCII_CAPITALS)
    return "".join(letter.upper() if len(letter.upper()) == 1 else letter for letter in text)


@dataclass
class Snapshot:
    """Records by the names that a device list calls them."""

    building: object
    positions: dict = field(default_factory=dict)  # key(tag) → Position
    panels: dict = field(default_factory=dict)  # key(tag) → ControlPanel
    circuits: dict = field(default_factory=dict)  # (panel key, number) → ActuatorCircuit
    lines: dict = field(default_factory=dict)  # (panel key, number) → DetectionLine
    links: dict = field(default_factory=dict)  # (panel key, number) → DataLink
    zones: dict = field(default_factory=dict)  # number → SmokeZone
    groups: dict = field(default_factory=dict)  # (zone number, number) → VentGroup
    vents: dict = field(default_factory=dict)  # (zone number, key(tag)) → Vent
    fittings: dict = field(default_factory=dict)  # position id → open Fitting
    last_removed: dict = field(default_factory=dict)  # position id → date of the last removal
    models: dict = field(default_factory=dict)  # (key(maker), key(model)) → ProductModel
    makers: dict = field(default_factory=dict)  # key(maker) → Maker
    units: dict = field(default_factory=dict)  # key(serial) → [Unit], of all makers
    standing: dict = field(default_factory=dict)  # unit id → open Fitting, anywhere
    unit_last_removed: dict = field(default_factory=dict)  # unit id → date of the last removal

    def model_by_name(self, name, kind):
        """The only model of this name and kind, when its maker is not said; None when there is none or several."""
        found = [
            model for (_, model_key), model in self.models.items() if model_key == key(name) and model.kind == kind
        ]
        return found[0] if len(found) == 1 else None


def take_snapshot(building, serials):
    """Read the building and the units with these serials; a dozen queries and a few per 500 serials."""
    snapshot = Snapshot(building=building)
    for model in ProductModel.objects.select_related("maker"):
        snapshot.models[key(model.maker.name), key(model.name)] = model
    snapshot.makers = {key(maker.name): maker for maker in Maker.objects.all()}
    panels = ControlPanel.objects.filter(building=building).select_related("position")
    snapshot.panels = {key(panel.tag): panel for panel in panels}
    runs = ((ActuatorCircuit, snapshot.circuits), (DetectionLine, snapshot.lines), (DataLink, snapshot.links))
    for model, target in runs:
        for record in model.objects.filter(panel__building=building).select_related("panel__position"):
            target[key(record.panel.tag), record.number] = record
    snapshot.zones = {zone.number: zone for zone in SmokeZone.objects.filter(building=building)}
    for group in VentGroup.objects.filter(smoke_zone__building=building).select_related("smoke_zone"):
        snapshot.groups[group.smoke_zone.number, group.number] = group
    for vent in Vent.objects.filter(smoke_zone__building=building).select_related("smoke_zone").order_by("-pk"):
        snapshot.vents[vent.smoke_zone.number, key(vent.tag)] = vent
    _read_positions(snapshot, building)
    _read_fittings(snapshot, building)
    _read_units(snapshot, serials)
    return snapshot


def _read_positions(snapshot, building):
    """Positions joined to the records read before: a third of the time of eight joins per row."""
    related = {
        "panel": snapshot.panels,
        "smoke_zone": snapshot.zones,
        "vent_group": snapshot.groups,
        "vent": snapshot.vents,
        "actuator_circuit": snapshot.circuits,
        "detection_line": snapshot.lines,
        "data_link": snapshot.links,
        "product_model": snapshot.models,
    }
    by_id = {name: {record.pk: record for record in records.values()} for name, records in related.items()}
    for position in Position.objects.filter(building=building):
        for name, records in by_id.items():
            # One that is not among them (a vent whose tag differs from another's in case only) is read on its own.
            if (record := records.get(getattr(position, f"{name}_id"))) is not None:
                setattr(position, name, record)
        snapshot.positions[key(position.tag)] = position


def _read_fittings(snapshot, building):
    models = {model.pk: model for model in snapshot.models.values()}
    for fitting in Fitting.objects.open().filter(position__building=building).select_related("unit"):
        _join_model(fitting.unit, models)
        snapshot.fittings[fitting.position_id] = fitting
    removed = Fitting.objects.filter(position__building=building).exclude(removed_on=None)
    snapshot.last_removed = dict(removed.values_list("position").annotate(last=Max("removed_on")).order_by())


def _join_model(unit, models):
    unit.product_model = models[unit.product_model_id]
    unit.maker = unit.product_model.maker


def _read_units(snapshot, serials):
    models = {model.pk: model for model in snapshot.models.values()}
    wanted = sorted({form for serial in serials for form in (key(serial), serial.upper(), serial)})
    for start in range(0, len(wanted), QUERY_CHUNK):
        chunk = wanted[start : start + QUERY_CHUNK]
        for unit in Unit.objects.annotate(serial_key=Upper("serial")).filter(serial_key__in=chunk):
            _join_model(unit, models)
            same = snapshot.units.setdefault(key(unit.serial), [])
            if unit.pk not in [other.pk for other in same]:
                same.append(unit)
    ids = [unit.pk for units in snapshot.units.values() for unit in units]
    for start in range(0, len(ids), QUERY_CHUNK):
        chunk = ids[start : start + QUERY_CHUNK]
        standing = Fitting.objects.open().filter(unit__in=chunk).select_related("position__building")
        snapshot.standing.update({fitting.unit_id: fitting for fitting in standing})
        removed = Fitting.objects.filter(unit__in=chunk).exclude(removed_on=None)
        snapshot.unit_last_removed.update(removed.values_list("unit").annotate(last=Max("removed_on")).order_by())
