"""The records that a design check reads, for any number of panels with the same few queries.

Nothing is judged or computed here: see design_check.py, which turns these rows into engineering's plain data.
"""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from operator import attrgetter

from django.db.models import Count, Q
from django.utils import timezone

from zones.design_check.rows import COLUMNS_OF, ROW_OF, CableRow, as_stored, plain, with_models
from zones.models import (
    ActuatorCircuit,
    BatterySet,
    Cable,
    ControlPanel,
    CoreEnd,
    DataLink,
    DetectionLine,
    DeviceKind,
    InputDevice,
    InputPort,
    Position,
    SmokeZone,
    Vent,
    VentGroup,
)

OF_TERMINAL = (
    "terminal__data_link",
    "terminal__input_port",
    "terminal__position",
    "terminal__position__data_link",
    "terminal__electrical_kind",
)
PANEL = "panel"  # an end of a cable that is at a panel


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
    inputs: list = field(default_factory=list)  # those that a resistor monitors
    links: list = field(default_factory=list)  # data links, each with `listed_count`
    # pk of every position wired to this panel
    at: dict = field(default_factory=dict)
    on_link: dict = field(default_factory=lambda: defaultdict(list))
    on_input: dict = field(default_factory=lambda: defaultdict(list))
    # Cables of data links and inputs: (CableRow, the two ends: "panel" or the pk of a position), by the run's pk
    link_legs: dict = field(default_factory=lambda: defaultdict(list))
    input_legs: dict = field(default_factory=lambda: defaultdict(list))
    # circuit or line pk → what is on it
    on_circuit: dict = field(default_factory=lambda: defaultdict(list))
    on_line: dict = field(default_factory=lambda: defaultdict(list))
    circuit_cables: dict = field(default_factory=lambda: defaultdict(list))
    line_cables: dict = field(default_factory=lambda: defaultdict(list))
    # vent pk → the actuators that move it, from whatever panel
    movers: dict = field(default_factory=lambda: defaultdict(list))
    others: list = field(default_factory=list)  # records of the panels that drive its inlets (other_panels.py)
    # What it is and model pk → engineering's of its data sheet, once it is made; of all panels that are read together
    data_sheets: dict = field(default_factory=dict)
    causes: tuple | None = None  # what opens on smoke (smoke_causes.py), where an inlet asks for it
    read_on: date | None = None  # the day for which ages are judged

    @cached_property
    def model(self):
        """Product model of the panel: of the unit fitted, else the one planned."""
        return self.panel.position.model_here

    @cached_property
    def basis(self):
        """The design basis of the building, or None."""
        return getattr(self.panel.building, "design_basis", None)


def read_panels(panels, *, whole_buildings=False, only_counted=False):
    """PanelRecords of these panels (a queryset), by natural order of their tags; fourteen queries for any number.

    `whole_buildings`: they are all panels of their buildings, so that nobody need look what hangs on which.
    `only_counted`: nobody goes on to pages of circuits, lines and zones, so that they come as plain rows.

    Three more where devices of their zones are wired to other panels. The panel's own position gets `model_here`.
    """
    panels = list(panels.select_related("building__design_basis", "position").order_by("building", "position__tag_key"))
    sheets, today = {}, timezone.localdate()
    records = {panel.pk: PanelRecords(panel, data_sheets=sheets, read_on=today) for panel in panels}
    keys = list(records)
    if not keys:
        return []
    positions = _positions(panels, None if whole_buildings else keys)
    of_position = {position.pk: position for position in positions}
    for panel in panels:  # its own position carries its model
        panel.position.model_here = getattr(of_position.get(panel.position_id), "model_here", None)
    known = _hang_up(records, keys, whole_buildings, plain if only_counted else iter)
    at_inputs = _hang_up_ports(records, keys)
    _complete(known, positions)
    _place(records, known, positions, at_inputs)
    return list(records.values())


def _positions(panels, keys):
    """Positions in use that have to do with these panels, or, without `keys`, all of their buildings."""
    # The building comes first: it has an index, the alternatives have not.
    found = Position.objects.in_use().filter(building__in={panel.building_id for panel in panels})
    if keys is not None:
        found = found.filter(
            Q(panel__in=keys)
            | Q(actuator_circuit__panel__in=keys)
            | Q(detection_line__panel__in=keys)
            | Q(data_link__panel__in=keys)
            | Q(pk__in=InputDevice.objects.filter(input_port__panel__in=keys).values("position"))
            | Q(smoke_zone__panel__in=keys)
            | Q(control_panel__in=keys)
        )
    return with_models(found)


def _hang_up(records, keys, whole_buildings, rows_of):
    """Put battery sets, circuits, lines, zones, vents, groups and cables at their panels.

    `rows_of`: makes rows of a queryset of circuits, lines or zones.

    Returns circuits, lines and zones by key, so that what hangs on them need not be joined to them once more.
    """
    for battery in BatterySet.objects.fitted().filter(panel__in=keys).select_related("product_model"):
        records[battery.panel_id].battery = battery
    known = {"actuator_circuit": {}, "detection_line": {}, "smoke_zone": {}}
    for name, model, place in (
        ("actuator_circuit", ActuatorCircuit, "circuits"),
        ("detection_line", DetectionLine, "lines"),
        ("smoke_zone", SmokeZone, "zones"),
    ):
        for row in rows_of(model.objects.filter(panel__in=keys).order_by("number")):
            known[name][row.pk] = row
            getattr(records[row.panel_id], place).append(row)
    zones = known["smoke_zone"]
    of_zone = {key: zone.panel_id for key, zone in zones.items()}
    for model, place, order in ((Vent, "vents", ("tag",)), (VentGroup, "groups", ("number",))):
        make, at_zone = ROW_OF[model]._make, ROW_OF[model]._fields.index("smoke_zone_id")
        found = model.objects.filter(smoke_zone__panel__in=keys).order_by(*order)
        for values in as_stored(found.values_list("pk", *COLUMNS_OF[model])):
            key = values[at_zone]
            getattr(records[of_zone[key]], place).append(make((*values, zones[key])))
    for record in records.values():
        record.groups.sort(key=lambda group: (group.smoke_zone.number, group.number))
    _hang_up_cables(records, keys, known, whole_buildings)
    return known


def _hang_up_cables(records, keys, known, whole_buildings):
    """Put the cables of circuits and lines at their panels."""
    # As of positions: the building has an index, the alternatives have not.
    runs = Cable.objects.filter(building__in={record.panel.building_id for record in records.values()})
    if not whole_buildings:
        runs = runs.filter(Q(actuator_circuit__panel__in=keys) | Q(detection_line__panel__in=keys))
    of_circuit, of_line = (
        {key: records[row.panel_id] for key, row in known[name].items()}
        for name in ("actuator_circuit", "detection_line")
    )
    # Put in order here: the database would do so with whole rows. No two have one key.
    for cable in map(CableRow._make, sorted(as_stored(runs.order_by().values_list(*CableRow._fields)))):
        if at := of_circuit.get(cable.actuator_circuit_id):
            at.circuit_cables[cable.actuator_circuit_id].append(cable)
        elif not cable.actuator_circuit_id and (at := of_line.get(cable.detection_line_id)):
            at.line_cables[cable.detection_line_id].append(cable)


def _hang_up_ports(records, keys):
    """Put data links and monitored inputs at their panels, with their cables; four queries.

    Returns {position: its monitored inputs}.
    """
    links = DataLink.objects.filter(panel__in=keys).annotate(listed_count=Count("entries")).order_by("number")
    inputs = InputPort.objects.filter(panel__in=keys, is_monitored=True).order_by("number")
    links, inputs = {one.pk: one for one in links}, {one.pk: one for one in inputs}
    for runs, place in ((links, "links"), (inputs, "inputs")):
        for run in runs.values():
            getattr(records[run.panel_id], place).append(run)
    at_inputs = defaultdict(list)
    for wired in InputDevice.objects.filter(input_port__in=list(inputs)).order_by("order", "pk"):
        at_inputs[wired.position_id].append(inputs[wired.input_port_id])
    _add_legs(records, links, inputs, at_inputs)
    return at_inputs


def _add_legs(records, links, inputs, at_inputs):
    """The cables of data links and monitored inputs, by the terminals on which their cores end."""
    if not links and not inputs:
        return
    of_port = Q(terminal__data_link__in=list(links)) | Q(terminal__input_port__in=list(inputs))
    of_port |= Q(terminal__position__data_link__in=list(links), terminal__electrical_kind="link")
    of_port |= Q(terminal__position__in=list(at_inputs))
    cables_there = CoreEnd.objects.filter(of_port).values("core__cable")
    rows = CoreEnd.objects.filter(core__cable__in=cables_there).order_by("core__cable")
    ends, cables, found, touched = defaultdict(set), {}, defaultdict(set), defaultdict(set)
    names = [f"core__cable__{name}" if name != "pk" else "core__cable" for name in CableRow._fields]
    for *cable, link, input_port, position, link_of_position, kind in rows.values_list(*names, *OF_TERMINAL):
        row = CableRow._make(cable)
        cables[row.pk] = row
        ends[row.pk].add(position or PANEL)
        if kind == "link" and (key := link or link_of_position) in links:
            touched[row.pk].add(key)
        if input_port in inputs:
            found[row.pk].add(input_port)
    for pk, row in cables.items():
        if row.actuator_circuit_id or row.detection_line_id or len(ends[pk]) != 2:
            continue
        for key in found[pk]:
            records[inputs[key].panel_id].input_legs[key].append((row, tuple(ends[pk])))
        for key in touched[pk]:
            records[links[key].panel_id].link_legs[key].append((row, tuple(ends[pk])))


def _complete(known, positions):
    """Add the circuits, lines and zones of other panels that these positions name, and set the relations."""
    for name, model, place in (
        ("actuator_circuit", ActuatorCircuit, attrgetter("actuator_circuit_id")),
        ("detection_line", DetectionLine, attrgetter("detection_line_id")),
        ("smoke_zone", SmokeZone, attrgetter("smoke_zone_id")),
    ):
        rows = known[name]
        if wanted := set(map(place, positions)) - {None} - set(rows):
            rows.update(model.objects.in_bulk(wanted))
    circuits, lines, zones = known["actuator_circuit"], known["detection_line"], known["smoke_zone"]
    for position in positions:
        position.actuator_circuit = circuits.get(position.actuator_circuit_id)
        position.detection_line = lines.get(position.detection_line_id)
        position.smoke_zone = zones.get(position.smoke_zone_id)


def _place(records, known, positions, at_inputs):
    """Put each position at the panels that it has to do with: where it is wired, and where its zone is counted."""
    # Whose each circuit, line and zone is: asked once of each, not of every position on it.
    of_circuit, of_line, of_zone = ({key: row.panel_id for key, row in rows.items()} for rows in known.values())
    panel_itself = DeviceKind.CONTROL_PANEL.value
    for position in positions:
        if position.kind == panel_itself:
            continue
        circuit, line = of_circuit.get(position.actuator_circuit_id), of_line.get(position.detection_line_id)
        inputs = at_inputs.get(position.pk, ())
        if wired := records.get(_wired_to(position, circuit or line, inputs)):
            wired.positions.append(position)
            wired.at[position.pk] = position
            if position.data_link_id:
                wired.on_link[position.data_link_id].append(position)
        for one in inputs:
            records[one.panel_id].on_input[one.pk].append(position)
        if circuit in records:
            records[circuit].on_circuit[position.actuator_circuit_id].append(position)
        if line in records:
            records[line].on_line[position.detection_line_id].append(position)
        # A zone's vents and call points may hang on another panel than the zone.
        if counted := records.get(of_zone.get(position.smoke_zone_id)):
            counted.in_zones.append(position)
            if position.vent_id:
                counted.movers[position.vent_id].append(position)


def _wired_to(position, of_run, inputs):
    """The panel at which a position counts: that of its circuit or line, else its own, else that of its first input."""
    panel = of_run or position.panel_id
    return inputs[0].panel_id if panel is None and inputs else panel
