"""Records → the wiring of a panel as plain data, for the checks and the drawings. Nothing is judged here.

Keys are "t12" for a terminal, "d7" for the position of a device, "c3" for a cable, "k9" for a core: those of the
records with a letter, so that a page can find the row.
"""

from collections import defaultdict

from django.db.models import OuterRef, Q, Subquery

from sites_registry.read_once import is_reading_once, read_once
from sites_registry.words import storey_words
from zones.engineering.wiring import wired_panel as plain
from zones.engineering.wiring.patterns import default_pattern
from zones.models import (
    ActuatorCircuit,
    Cable,
    ControlPanel,
    Core,
    CoreEnd,
    DetectionLine,
    DeviceKind,
    Drive,
    EndOfLinePart,
    EndPlace,
    Fitting,
    InputDevice,
    Position,
    Terminal,
    TerminalLink,
)
from zones.wiring.port_records import Ports, data_link_of, device_key, grouped, input_of, terminal_key


@read_once
def wired_panel(panel) -> plain.WiredPanel:
    """A panel with everything wired to it: fifteen queries for any size of panel, three more where cores lead out."""
    if is_reading_once():
        key = device_key(panel.position_id)
        return next(wired for wired in wired_panels(panel.building) if wired.panel.key == key)
    return _put_together(panel, _rows_of_panel(panel))


@read_once
def wired_panels(building) -> list[plain.WiredPanel]:
    """Every panel of a building with everything wired to it, by tag: fourteen queries for any number of panels."""
    rows = _rows_of_building(building)
    panels = ControlPanel.objects.filter(building=building).select_related("position__product_model")
    return [_put_together(panel, rows) for panel in panels.order_by("position__tag_key")]


class _Rows:
    """Records as read, of one panel or of a building, to be picked from for a panel; each list in its order."""

    def __init__(self, *, circuits, lines, ports, positions, terminals, cables, cores, ends, links, elements):
        self.circuits, self.lines, self.ports = list(circuits), list(lines), ports
        self.positions = {position.pk: position for position in positions}
        self.terminals = {terminal.pk: terminal for terminal in terminals}
        self.cables = sorted(cables, key=lambda cable: (len(cable.tag), cable.tag))
        self.cores = grouped(cores, "cable_id")
        self.ends = grouped(ends, "core_id")
        self.links, self.elements = grouped(links, "first_id"), grouped(elements, "first_id")
        self.of_position, self.of_panel = (grouped(self.terminals.values(), name) for name in _OWNERS)

    def ends_of(self, cable):
        return [end for core in self.cores[cable.pk] for end in self.ends[core.pk]]


_OWNERS = ("position_id", "panel_id")


def _rows_of_panel(panel):
    circuits = list(ActuatorCircuit.objects.filter(panel=panel).order_by("number"))
    lines = list(DetectionLine.objects.filter(panel=panel).select_related("smoke_zone").order_by("number"))
    ports = Ports(Q(panel=panel))
    positions = {position.pk: position for position in _positions_of_panel(panel)}
    # Terminals stored at the panel's own position are the panel's.
    at_positions = {*positions, panel.position_id}
    terminals = list(_TERMINALS.filter(Q(panel=panel) | Q(position__in=at_positions)))
    cables = _cables_of_panel(panel, terminals)
    cores = list(Core.objects.filter(cable__in=cables).order_by("number"))
    ends = list(CoreEnd.objects.filter(core__in=[core.pk for core in cores]))
    terminals += _beyond(positions, terminals, ends)
    joined = [terminal.pk for terminal in terminals]
    return _Rows(
        circuits=circuits,
        lines=lines,
        ports=ports,
        positions=positions.values(),
        terminals=terminals,
        cables=cables,
        cores=cores,
        ends=ends,
        links=TerminalLink.objects.filter(first__in=joined).order_by("pk"),
        elements=EndOfLinePart.objects.filter(first__in=joined).order_by("pk"),
    )


def _rows_of_building(building):
    return _Rows(
        circuits=ActuatorCircuit.objects.filter(panel__building=building).order_by("number"),
        lines=DetectionLine.objects.filter(panel__building=building).select_related("smoke_zone").order_by("number"),
        ports=Ports(Q(panel__building=building)),
        positions=_with_what_is_shown(Position.objects.filter(building=building)),
        terminals=_TERMINALS.filter(building=building).select_related("panel__position"),
        cables=Cable.objects.filter(building=building),
        cores=Core.objects.filter(cable__building=building).order_by("number"),
        ends=CoreEnd.objects.filter(core__cable__building=building),
        links=TerminalLink.objects.filter(first__building=building).order_by("pk"),
        elements=EndOfLinePart.objects.filter(first__building=building).order_by("pk"),
    )


def _put_together(panel, rows):
    """The plain data of one panel from rows that hold at least what belongs to it."""
    circuits = [circuit for circuit in rows.circuits if circuit.panel_id == panel.pk]
    lines = [line for line in rows.lines if line.panel_id == panel.pk]
    data_links = [link for link in rows.ports.links if link.panel_id == panel.pk]
    inputs = [one for one in rows.ports.inputs if one.panel_id == panel.pk]
    numbers = _Numbers(circuits, lines, data_links, inputs, rows.ports.devices)
    positions = _own_positions(panel, rows, numbers)
    at_positions = {*positions, panel.position_id}
    own = [*rows.of_panel[panel.pk], *(one for key in at_positions for one in rows.of_position[key])]
    own = {terminal.pk: terminal for terminal in sorted(own, key=lambda one: (one.order_key, one.pk))}
    cables = [
        cable for cable in rows.cables if numbers.has(cable) or any(e.terminal_id in own for e in rows.ends_of(cable))
    ]
    terminals = _with_far_ends(own, cables, positions, rows)
    of_owner = defaultdict(list)
    for terminal in terminals.values():
        owner = terminal.position_id or (terminal.panel_id == panel.pk and panel.position_id)
        of_owner[owner or f"p{terminal.panel_id}"].append(_terminal(terminal, owner, numbers))
    devices = [_device(position, of_owner.pop(position.pk, []), numbers) for position in positions.values()]
    return plain.WiredPanel(
        panel=_device(panel.position, of_owner.pop(panel.position_id, []), numbers),
        devices=tuple(devices + [_other_panel(key, found, terminals) for key, found in of_owner.items()]),
        cables=tuple(_cable(cable, rows, numbers) for cable in cables),
        links=tuple(_link(link) for link in _of_terminals(rows.links, terminals)),
        end_of_line_parts=tuple(_element(one) for one in _of_terminals(rows.elements, terminals)),
        circuits=tuple(_circuit(circuit, positions.values()) for circuit in circuits),
        lines=tuple(_line(line, positions.values()) for line in lines),
        data_links=tuple(data_link_of(link, rows.ports.entries[link.pk]) for link in data_links),
        inputs=tuple(input_of(one) for one in inputs),
        is_complete=panel.is_declared_complete,
    )


def _own_positions(panel, rows, numbers):
    """Devices in use on the panel or on one of its outputs and lines, and the boxes its cables run through, by key."""
    boxes = {cable.far_box_id for cable in rows.cables if numbers.has(cable)}
    return {
        key: one
        for key, one in rows.positions.items()
        if one.kind != DeviceKind.CONTROL_PANEL
        and one.retired_on is None
        and (one.panel_id == panel.pk or numbers.has(one) or key in boxes)
    }


def _with_far_ends(own, cables, positions, rows):
    """These terminals, those at the far ends of the cores, and the rest of the devices there (added to positions)."""
    far = {end.terminal_id for cable in cables for end in rows.ends_of(cable)} - set(own)
    found = own | {key: rows.terminals[key] for key in sorted(far)}
    strange = {rows.terminals[key].position_id for key in far} - {None} - set(positions)
    for key in sorted(strange):
        positions[key] = rows.positions[key]
        found |= {terminal.pk: terminal for terminal in rows.of_position[key]}
    return found


def _of_terminals(grouped, terminals):
    return sorted((one for key in terminals for one in grouped[key]), key=lambda one: one.pk)


def _link(link):
    return plain.Link(f"l{link.pk}", terminal_key(link.first_id), terminal_key(link.second_id), link.is_internal)


def _element(one):
    ends = terminal_key(one.first_id), terminal_key(one.second_id)
    return plain.WiredEndOfLine(f"e{one.pk}", *ends, _number(one.value_ohm), one.kind)


class _Numbers:
    """The numbers of this panel's outputs, lines, data links and inputs by their keys; none of other panels."""

    def __init__(self, circuits, lines, data_links, inputs, input_devices):
        self.circuits, self.lines, self.links, self.inputs = (
            {record.pk: record.number for record in records} for records in (circuits, lines, data_links, inputs)
        )
        self.of_device = defaultdict(list)
        for one in input_devices:
            if one.input_port_id in self.inputs:
                self.of_device[one.position_id].append(self.inputs[one.input_port_id])

    def has(self, record):
        """Whether a position or cable is of one of these."""
        return (
            record.actuator_circuit_id in self.circuits
            or record.detection_line_id in self.lines
            or getattr(record, "data_link_id", None) in self.links
            or (isinstance(record, Position) and record.pk in self.of_device)
        )

    def of(self, record):
        return {
            "circuit": self.circuits.get(record.actuator_circuit_id),
            "line": self.lines.get(record.detection_line_id),
        }

    def of_terminal(self, terminal):
        numbers = {"link": self.links.get(terminal.data_link_id), "input": self.inputs.get(terminal.input_port_id)}
        return {**self.of(terminal), **numbers}

    def of_position(self, position):
        numbers = {"link": self.links.get(position.data_link_id), "inputs": tuple(self.of_device.get(position.pk, ()))}
        return {**self.of(position), **numbers}


_TERMINALS = Terminal.objects.order_by("order_key", "pk")


def _with_what_is_shown(positions):
    """In the order of their run, with zone, group, model, and pattern and drive of the unit fitted now."""
    fitted = Fitting.objects.open().filter(position=OuterRef("pk"))
    return (
        positions.select_related("smoke_zone", "vent_group__smoke_zone", "product_model")
        .annotate(
            fitted_model=Subquery(fitted.values("unit__product_model")[:1]),
            fitted_pattern=Subquery(fitted.values("unit__product_model__wiring_pattern")[:1]),
        )
        .order_by("order_on_line", "tag_key")
    )


def _positions_of_panel(panel):
    boxes = Cable.objects.filter(Q(actuator_circuit__panel=panel) | Q(detection_line__panel=panel))
    found = Position.objects.in_use().filter(building=panel.building_id)
    return _with_what_is_shown(
        found.filter(
            Q(panel=panel)
            | Q(actuator_circuit__panel=panel)
            | Q(detection_line__panel=panel)
            | Q(pk__in=InputDevice.objects.filter(input_port__panel=panel).values("position"))
            | Q(pk__in=boxes.exclude(far_box=None).values("far_box"))
        )
    )


def _cables_of_panel(panel, terminals):
    """Cables of the outputs and lines, and those with a core on one of these terminals."""
    on_terminals = CoreEnd.objects.filter(terminal__in=[terminal.pk for terminal in terminals])
    keys = set(on_terminals.values_list("core__cable", flat=True))
    return Cable.objects.filter(
        Q(pk__in=keys) | Q(actuator_circuit__panel=panel) | Q(detection_line__panel=panel),
        building=panel.building_id,
    )


def _beyond(positions, terminals, ends):
    """Terminals at the far ends of the cores that belong to no device read so far; adds their devices."""
    far = {end.terminal_id for end in ends} - {terminal.pk for terminal in terminals}
    found = list(Terminal.objects.filter(pk__in=far).select_related("panel__position"))
    strange = {terminal.position_id for terminal in found} - {None} - set(positions)
    if strange:
        found += list(Terminal.objects.filter(position__in=strange).exclude(pk__in=far))
        positions |= {one.pk: one for one in _with_what_is_shown(Position.objects.filter(pk__in=strange))}
    return found


def _other_panel(key, found, terminals):
    """Another panel to which a core leads; only the terminals that it leads to are read."""
    panel = next(t.panel for t in terminals.values() if t.panel_id and f"p{t.panel_id}" == key)
    return plain.WiredDevice(key=key, tag=panel.tag, kind=DeviceKind.CONTROL_PANEL.value, terminals=tuple(found))


def _terminal(terminal, owner, numbers):
    return plain.WiredTerminal(
        key=terminal_key(terminal.pk),
        owner=device_key(owner) if owner else f"p{terminal.panel_id}",
        block=terminal.block,
        number=terminal.number,
        function=terminal.function,
        kind=plain.TerminalKind(terminal.electrical_kind),
        polarity=plain.Polarity(terminal.pole),
        passing=plain.Passing(terminal.passing),
        voltage_v=_number(terminal.rated_voltage_v),
        cores_allowed=terminal.cores_allowed,
        **numbers.of_terminal(terminal),
    )


def pattern_of(position):
    """The pattern of the unit fitted, else of the model planned, else the usual one of the kind."""
    model = position.product_model
    own = getattr(position, "fitted_pattern", None) or (
        "" if getattr(position, "fitted_model", None) else model and model.wiring_pattern
    )
    return (own or "").strip() or default_pattern(position.kind, model.drive if model else "")


def _device(position, terminals, numbers):
    zone, group = position.smoke_zone, position.vent_group
    return plain.WiredDevice(
        key=device_key(position.pk),
        tag=position.tag,
        kind=position.kind,
        place=" · ".join(filter(None, [storey_words(position.storey), position.room, position.place])),
        zone=zone.number if zone else None,
        group=f"{group.smoke_zone.number}.{group.number}" if group else "",
        order=position.order_on_line,
        terminals=tuple(terminals),
        pattern=pattern_of(position),
        **numbers.of_position(position),
    )


def _core(core, ends):
    near, far = (
        next((terminal_key(end.terminal_id) for end in ends if end.end == side), None) for side in ("near", "far")
    )
    return plain.WiredCore(f"k{core.pk}", core.number, core.colour, near, far, core.is_spare)


def _cable(cable, rows, numbers):
    return plain.WiredCable(
        key=f"c{cable.pk}",
        tag=cable.tag,
        cable_type=cable.cable_type,
        cores_count=cable.cores_count,
        area_mm2=_number(cable.area_mm2),
        length_m=_number(cable.length_m),
        cores=tuple(_core(core, rows.ends[core.pk]) for core in rows.cores[cable.pk]),
        from_place=cable.from_place,
        to_place=cable.to_place,
        **numbers.of(cable),
    )


def drive_of(circuit, actuators):
    """The drive entered for the circuit, else that of its actuators where all have one, else ""."""
    drives = {position.product_model.drive for position in actuators if position.product_model}
    return circuit.drive or (drives.pop() if len(drives) == 1 else "")


def _circuit(circuit, positions):
    drive = drive_of(circuit, [one for one in positions if one.actuator_circuit_id == circuit.pk])
    monitored = drive == Drive.POLARITY and circuit.end_place != EndPlace.NONE_NEEDED
    return plain.WiredCircuit(
        circuit.number,
        drive,
        monitored,
        circuit.name,
        circuit.monitored_by,
        ends_in_box=circuit.end_place == EndPlace.IN_BOX,
        is_complete=circuit.is_declared_complete,
    )


def _line(line, positions):
    used = any(position.detection_line_id == line.pk for position in positions)
    return plain.WiredLine(
        line.number,
        used,
        _number(line.end_of_line_ohm),
        line.name,
        line.end_place != EndPlace.NONE_NEEDED,
        zone=line.smoke_zone.number if line.smoke_zone else None,
        ends_in_box=line.end_place == EndPlace.IN_BOX,
        is_complete=line.is_declared_complete,
    )


def _number(value):
    return None if value is None else float(value)
