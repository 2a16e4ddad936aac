"""Records → the zone overview of a panel as plain data: what its inputs are, and which vents its circuits move.

Keys are "d7" for a position and "v5" for a vent, as in `zones/wiring/records.py`.
"""

from collections import defaultdict

from django.db.models import Q

from zones.engineering.drawings import zone_overview as plain
from zones.models import Position, Vent, VentGroup
from zones.models.kinds import DRIVES, facts_of


def zone_overview_of(panel) -> plain.ZoneOverview:
    """The overview of a panel; seven queries for any size of panel."""
    positions = list(_positions(panel))
    zones = {zone.pk: zone for zone in panel.smoke_zones.order_by("number")}
    zones |= {each.smoke_zone_id: each.smoke_zone for each in positions if each.smoke_zone_id}
    actuators = [each for each in positions if each.kind in DRIVES]
    zones |= {each.vent_group.smoke_zone_id: each.vent_group.smoke_zone for each in actuators if each.vent_group_id}
    circuits = list(panel.actuator_circuits.order_by("number"))
    return plain.ZoneOverview(
        panel_key=f"d{panel.position_id}",
        panel_tag=panel.tag,
        inputs=tuple(_input(each) for each in positions if facts_of(each.kind).input_kind),
        circuits=tuple(plain.OverviewCircuit(one.number, one.name, one.get_drive_display()) for one in circuits),
        groups=_groups(panel, actuators),
        zones=tuple(plain.OverviewZone(zone.number, zone.name) for zone in zones.values()),
        vents=_vents(panel, actuators, {one.pk: one.number for one in circuits}),
    )


def _positions(panel):
    found = Position.objects.in_use().filter(building=panel.building_id).hanging_on(panel)
    related = ("smoke_zone", "detection_line__starts_at", "data_link", "vent__smoke_zone", "vent_group__smoke_zone")
    return found.select_related(*related).with_inputs().order_by("tag_key")


def _input(position):
    line, zone = position.detection_line, position.smoke_zone
    return plain.OverviewInput(
        f"d{position.pk}",
        position.tag,
        position.kind,
        zone.number if zone else None,
        line.number if line else None,
        wire=wire_words(position),
    )


def wire_words(position):
    """What stands over the wire of an input on no line of the panel's own: "data link 1", "inputs 1, 2"; else ""."""
    if position.detection_line_id:
        start = position.detection_line.starts_at
        return f"line {position.detection_line.number}, {start.tag}" if start else ""
    if position.data_link_id:
        return f"data link {position.data_link.number}"
    numbers = [str(wired.input_port.number) for wired in getattr(position, "at_inputs", ())]
    return f"input{'s' * (len(numbers) > 1)} {', '.join(numbers)}" if numbers else ""


def _groups(panel, actuators):
    """Groups of the panel's zones, and those that its actuators name."""
    keys = {each.vent_group_id for each in actuators}
    groups = VentGroup.objects.filter(Q(smoke_zone__panel=panel) | Q(pk__in=keys - {None}))
    return tuple(
        plain.OverviewGroup(_group_key(group), group.smoke_zone.number, group.name)
        for group in groups.select_related("smoke_zone").order_by("smoke_zone__number", "number")
    )


def _group_key(group):
    return f"{group.smoke_zone.number}.{group.number}"


def _vents(panel, actuators, circuits):
    """Vents with their actuators, those without an actuator too, then actuators without a vent."""
    of_vent = defaultdict(list)
    for each in actuators:
        of_vent[each.vent_id].append(each)
    loose = of_vent.pop(None, [])
    vents = Vent.objects.filter(Q(smoke_zone__panel=panel) | Q(pk__in=list(of_vent))).select_related("smoke_zone")
    found = [_vent(vent, of_vent[vent.pk], circuits) for vent in vents.order_by("smoke_zone__number", "tag")]
    return tuple(found + [_actuator(each, circuits) for each in loose])


def _vent(vent, actuators, circuits):
    groups = [_group_key(each.vent_group) for each in actuators if each.vent_group_id]
    return plain.OverviewVent(
        key=f"v{vent.pk}",
        tag=f"{vent.tag} inlet" if vent.is_inlet else vent.tag,
        zone=vent.smoke_zone.number,
        group=groups[0] if groups else None,
        circuits=_circuits(actuators, circuits),
        actuators=tuple(each.tag for each in actuators),
    )


def _actuator(position, circuits):
    return plain.OverviewVent(
        key=f"d{position.pk}",
        tag=position.tag,
        zone=position.smoke_zone.number if position.smoke_zone else None,
        group=_group_key(position.vent_group) if position.vent_group_id else None,
        circuits=_circuits([position], circuits),
        actuators=(position.tag,),
    )


def _circuits(actuators, circuits):
    keys = [each.actuator_circuit_id for each in actuators]
    return tuple(dict.fromkeys(circuits[key] for key in keys if key in circuits))
