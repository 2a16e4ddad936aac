"""The records that a design check reads, for any number of panels with the same few queries.

Nothing is judged or computed here: see design_check.py, which turns these rows into engineering's plain data.
"""

from collections import defaultdict
from dataclasses import dataclass, field

from django.db.models import F, Q

from zones.models import (
    ActuatorCircuit,
    BatterySet,
    Cable,
    ControlPanel,
    DetectionLine,
    DeviceKind,
    Position,
    ProductModel,
    SmokeZone,
    Vent,
    VentGroup,
)


@dataclass
class PanelRecords:
    """A panel with all that hangs on it; lists are in the order of their numbers, positions in that of the line.

    `positions` are wired to this panel, `in_zones` belong to its zones; most are both.
    """

    panel: ControlPanel
    battery: BatterySet | None = None
    circuits: list = field(default_factory=list)
    lines: list = field(default_factory=list)
    zones: list = field(default_factory=list)
    vents: list = field(default_factory=list)
    groups: list = field(default_factory=list)
    positions: list = field(default_factory=list)
    in_zones: list = field(default_factory=list)
    # circuit or line pk → what is on it
    on_circuit: dict = field(default_factory=lambda: defaultdict(list))
    on_line: dict = field(default_factory=lambda: defaultdict(list))
    circuit_cables: dict = field(default_factory=lambda: defaultdict(list))
    line_cables: dict = field(default_factory=lambda: defaultdict(list))
    # vent pk → the actuators that move it, from whatever panel
    movers: dict = field(default_factory=lambda: defaultdict(list))

    @property
    def model(self):
        """Product model of the panel: of the unit fitted, else the one planned."""
        return self.panel.position.model_here

    @property
    def basis(self):
        """The design basis of the building, or None."""
        return getattr(self.panel.building, "design_basis", None)


def read_panels(panels):
    """PanelRecords of these panels (a queryset), by natural order of their tags; nine queries for any number.

    Each position gets `model_here` (ProductModel or None) and `serial_here` (text, may be empty).
    """
    panels = list(panels.select_related("building__design_basis", "position").order_by("building", "position__tag_key"))
    records = {panel.pk: PanelRecords(panel) for panel in panels}
    keys = list(records)
    if not keys:
        return []
    positions = _positions(panels, keys)
    of_position = {position.pk: position for position in positions}
    for panel in panels:  # its own position carries its model
        panel.position = of_position.get(panel.position_id, panel.position)
        panel.position.model_here = getattr(panel.position, "model_here", None)
    _hang_up(records, keys)
    _place(records, positions)
    return list(records.values())


def _positions(panels, keys):
    """Positions in use that have to do with these panels, with the model and serial of what is fitted or planned."""
    # The building comes first: it has an index, the alternatives have not.
    found = Position.objects.in_use().filter(building__in={panel.building_id for panel in panels})
    found = list(
        found.filter(
            Q(panel__in=keys)
            | Q(actuator_circuit__panel__in=keys)
            | Q(detection_line__panel__in=keys)
            | Q(smoke_zone__panel__in=keys)
            | Q(control_panel__in=keys)
        )
        .select_related("actuator_circuit", "detection_line", "smoke_zone")
        .with_fitted_unit()
        .annotate(fitted_model=F("open_fitting__unit__product_model"))
        .order_by("order_on_line", "tag_key")
    )
    wanted = {position.fitted_model or position.product_model_id for position in found}
    models = ProductModel.objects.with_maker().in_bulk(wanted - {None})
    for position in found:
        position.serial_here = position.serial or ""
        position.model_here = models.get(position.fitted_model or position.product_model_id)
    # Those without an order come last, whatever the database thinks of empty values.
    return sorted(found, key=lambda position: position.order_on_line is None)


def _hang_up(records, keys):
    """Put battery sets, circuits, lines, zones, vents, groups and cables at their panels."""
    for battery in BatterySet.objects.fitted().filter(panel__in=keys).select_related("product_model"):
        records[battery.panel_id].battery = battery
    for circuit in ActuatorCircuit.objects.filter(panel__in=keys).order_by("number"):
        records[circuit.panel_id].circuits.append(circuit)
    for line in DetectionLine.objects.filter(panel__in=keys).order_by("number"):
        records[line.panel_id].lines.append(line)
    for zone in SmokeZone.objects.filter(panel__in=keys).order_by("number"):
        records[zone.panel_id].zones.append(zone)
    for vent in Vent.objects.filter(smoke_zone__panel__in=keys).select_related("smoke_zone").order_by("tag"):
        records[vent.smoke_zone.panel_id].vents.append(vent)
    groups = VentGroup.objects.filter(smoke_zone__panel__in=keys).select_related("smoke_zone")
    for group in groups.order_by("smoke_zone__number", "number"):
        records[group.smoke_zone.panel_id].groups.append(group)
    runs = Cable.objects.filter(Q(actuator_circuit__panel__in=keys) | Q(detection_line__panel__in=keys))
    for cable in runs.select_related("actuator_circuit", "detection_line").order_by("pk"):
        if cable.actuator_circuit_id:
            records[cable.actuator_circuit.panel_id].circuit_cables[cable.actuator_circuit_id].append(cable)
        else:
            records[cable.detection_line.panel_id].line_cables[cable.detection_line_id].append(cable)


def _place(records, positions):
    """Put each position at the panels that it has to do with: where it is wired, and where its zone is counted."""
    for position in positions:
        if position.kind == DeviceKind.CONTROL_PANEL:
            continue
        circuit, line, zone = position.actuator_circuit, position.detection_line, position.smoke_zone
        wired = circuit.panel_id if circuit else line.panel_id if line else position.panel_id
        if wired in records:
            records[wired].positions.append(position)
        if circuit and circuit.panel_id in records:
            records[circuit.panel_id].on_circuit[circuit.pk].append(position)
        if line and line.panel_id in records:
            records[line.panel_id].on_line[line.pk].append(position)
        # A zone's vents and call points may hang on another panel than the zone.
        if zone and zone.panel_id in records:
            records[zone.panel_id].in_zones.append(position)
            if position.vent_id:
                records[zone.panel_id].movers[position.vent_id].append(position)
