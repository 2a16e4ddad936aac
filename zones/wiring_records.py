"""Records → the wiring of a panel as plain data, for the checks and the drawings. Nothing is judged here.

Keys are "t12" for a terminal, "d7" for the position of a device, "c3" for a cable, "k9" for a core: those of the
records with a letter, so that a page can find the row.
"""

from collections import defaultdict

from django.db.models import Q

from zones.engineering.wiring import wired_panel as plain
from zones.models import (
    ActuatorCircuit,
    Cable,
    Core,
    CoreEnd,
    DetectionLine,
    DeviceKind,
    Drive,
    EndElement,
    EndPlace,
    Position,
    Terminal,
    TerminalLink,
)


def terminal_key(pk):
    return f"t{pk}"


def device_key(position_pk):
    return f"d{position_pk}"


def wired_panel(panel) -> plain.WiredPanel:
    """A panel with everything wired to it: ten queries for any size of panel, two more where cores lead elsewhere."""
    circuits = list(ActuatorCircuit.objects.filter(panel=panel).order_by("number"))
    lines = list(DetectionLine.objects.filter(panel=panel).order_by("number"))
    positions = _positions(panel)
    terminals = list(Terminal.objects.filter(Q(panel=panel) | Q(position__in=positions)).order_by("order_key", "pk"))
    cables = _cables(panel, terminals)
    cores = list(Core.objects.filter(cable__in=cables).order_by("number"))
    ends = list(CoreEnd.objects.filter(core__in=[core.pk for core in cores]))
    terminals += _beyond(panel, positions, terminals, ends)
    numbers = _Numbers(circuits, lines)
    joined = [terminal.pk for terminal in terminals]
    links = TerminalLink.objects.filter(first__in=joined).order_by("pk")
    elements = EndElement.objects.filter(first__in=joined).order_by("pk")
    of_owner = defaultdict(list)
    for terminal in terminals:
        owner = terminal.position_id or (terminal.panel_id == panel.pk and panel.position_id)
        of_owner[owner or f"p{terminal.panel_id}"].append(_terminal(terminal, owner, numbers))
    return plain.WiredPanel(
        panel=_device(panel.position, of_owner.pop(panel.position_id, []), numbers),
        devices=tuple(
            [_device(position, of_owner.pop(position.pk, []), numbers) for position in positions.values()]
            + [_other_panel(key, found, terminals) for key, found in of_owner.items()]
        ),
        cables=_with_cores(cables, cores, ends, numbers),
        links=tuple(
            plain.Link(f"l{link.pk}", terminal_key(link.first_id), terminal_key(link.second_id), link.is_internal)
            for link in links
        ),
        end_elements=tuple(
            plain.EndElement(
                f"e{one.pk}", terminal_key(one.first_id), terminal_key(one.second_id), _number(one.value_ohm), one.kind
            )
            for one in elements
        ),
        circuits=tuple(_circuit(circuit, positions.values()) for circuit in circuits),
        lines=tuple(_line(line, positions.values()) for line in lines),
    )


class _Numbers:
    """The numbers of this panel's outputs and lines by their keys; those of other panels are none."""

    def __init__(self, circuits, lines):
        self.circuits = {circuit.pk: circuit.number for circuit in circuits}
        self.lines = {line.pk: line.number for line in lines}

    def of(self, record):
        return {
            "circuit": self.circuits.get(record.actuator_circuit_id),
            "line": self.lines.get(record.detection_line_id),
        }


def _positions(panel):
    """Devices in use on the panel or on one of its outputs and lines, and the boxes its cables run through, by key."""
    boxes = Cable.objects.filter(Q(actuator_circuit__panel=panel) | Q(detection_line__panel=panel))
    found = Position.objects.in_use().filter(building=panel.building_id)
    found = found.filter(
        Q(panel=panel)
        | Q(actuator_circuit__panel=panel)
        | Q(detection_line__panel=panel)
        | Q(pk__in=boxes.exclude(far_box=None).values("far_box"))
    )
    found = found.exclude(kind=DeviceKind.CONTROL_PANEL).select_related(
        "smoke_zone", "vent_group__smoke_zone", "product_model"
    )
    return {position.pk: position for position in found.order_by("order_on_line", "tag_key")}


def _cables(panel, terminals):
    """Cables of the outputs and lines, and those with a core on one of these terminals."""
    on_terminals = CoreEnd.objects.filter(terminal__in=[terminal.pk for terminal in terminals])
    keys = set(on_terminals.values_list("core__cable", flat=True))
    cables = Cable.objects.filter(
        Q(pk__in=keys) | Q(actuator_circuit__panel=panel) | Q(detection_line__panel=panel),
        building=panel.building_id,
    )
    return sorted(cables, key=lambda cable: (len(cable.tag), cable.tag))


def _beyond(panel, positions, terminals, ends):
    """Terminals at the far ends of the cores that belong to no device read so far; adds their devices."""
    known = {terminal.pk for terminal in terminals}
    far = {end.terminal_id for end in ends} - known
    found = list(Terminal.objects.filter(pk__in=far).select_related("panel__position", "position"))
    strange = {terminal.position_id for terminal in found} - {None} - set(positions)
    rest = Terminal.objects.filter(position__in=strange).exclude(pk__in=far).select_related("position")
    found += list(rest) if strange else []
    for terminal in found:
        if terminal.position_id and terminal.position_id not in positions:
            positions[terminal.position_id] = terminal.position
    return found


def _other_panel(key, found, terminals):
    """Another panel to which a core leads; only the terminals that it leads to are read."""
    panel = next(t.panel for t in terminals if t.panel_id and f"p{t.panel_id}" == key)
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
        **numbers.of(terminal),
    )


def _device(position, terminals, numbers):
    zone, group = position.smoke_zone, position.vent_group
    return plain.WiredDevice(
        key=device_key(position.pk),
        tag=position.tag,
        kind=position.kind,
        place=" · ".join(filter(None, [position.storey, position.room, position.place])),
        zone=zone.number if zone else None,
        group=f"{group.smoke_zone.number}.{group.number}" if group else "",
        order=position.order_on_line,
        terminals=tuple(terminals),
        **numbers.of(position),
    )


def _with_cores(cables, cores, ends, numbers):
    of_core = {(end.core_id, end.end): terminal_key(end.terminal_id) for end in ends}
    of_cable = defaultdict(list)
    for core in cores:
        near, far = (of_core.get((core.pk, end)) for end in ("near", "far"))
        of_cable[core.cable_id].append(
            plain.WiredCore(f"k{core.pk}", core.number, core.colour, near, far, core.is_spare)
        )
    return tuple(_cable(cable, of_cable[cable.pk], numbers) for cable in cables)


def _cable(cable, cores, numbers):
    return plain.WiredCable(
        key=f"c{cable.pk}",
        tag=cable.tag,
        cable_type=cable.cable_type,
        cores_count=cable.cores_count,
        area_mm2=_number(cable.area_mm2),
        length_m=_number(cable.length_m),
        cores=tuple(cores),
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
    return plain.WiredCircuit(circuit.number, drive, monitored, circuit.name)


def _line(line, positions):
    used = any(position.detection_line_id == line.pk for position in positions)
    return plain.WiredLine(
        line.number, used, _number(line.end_of_line_ohm), line.name, line.end_place != EndPlace.NONE_NEEDED
    )


def _number(value):
    return None if value is None else float(value)
