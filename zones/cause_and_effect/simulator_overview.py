"""The zone overview of a panel as the simulator shows it: every input a row to press, every vent where it stands."""

from dataclasses import replace

from zones.cause_and_effect.records import PanelLogic
from zones.cause_and_effect.zone_overview import wire_words, zone_overview_of
from zones.engineering.cause_and_effect import Position
from zones.engineering.drawings.zone_overview import (
    InputState,
    OverviewInput,
    OverviewZone,
    VentState,
    ZoneOverview,
)

VENT_STATE = {
    Position.SHUT: VentState.SHUT,
    Position.PART_WAY: VentState.PART_WAY,
    Position.OPEN_VENTILATION: VentState.VENTILATING,
    Position.OPEN: VentState.OPEN,
}


def simulator_overview(read: PanelLogic, snapshot, possible, short_words) -> ZoneOverview:
    """The overview after the events so far; `possible` has the events of each input that can happen now, and
    `short_words` says one of an input in a word.

    The key of an input is the text of its event; of one that cannot change now "still-" and its own.
    """
    drawn = zone_overview_of(read.panel)
    stands = {view.group: view.position for view in snapshot.groups}
    return replace(
        drawn,
        inputs=tuple(row for one in read.ruleset.inputs for row in _rows(one, read, snapshot, possible, short_words)),
        zones=tuple(_zone(zone, read, snapshot) for zone in drawn.zones),
        vents=tuple(replace(vent, state=_state(vent, read, snapshot, stands)) for vent in drawn.vents),
        folds=False,
        rest_words="Whole panel",
    )


def _rows(one, read, snapshot, possible, short_words):
    """A row for each event that an input can give now; one that stays as it is has a row that leads nowhere."""
    at = snapshot.operated.get(one.key)
    state = InputState.FAULT if one.key in snapshot.faults else InputState.PRESSED if at else InputState.AT_REST
    zone, line = read.zones.get(one.zone), read.lines.get(f"l{one.line}")
    device = read.devices.get(one.key)
    kind = one.kind.words
    rows = [(str(event), f"{kind}: {short_words(one, event)}") for event in possible.get(one.key, [])]
    for key, said in rows or [(f"still-{one.key}", kind)]:
        yield OverviewInput(
            key,
            one.label,
            device.kind if device else "",
            zone.number if zone else None,
            line.number if line else None,
            state,
            said=said,
            wire=wire_words(device) if device else "",
        )


def _zone(zone, read, snapshot):
    key = next((key for key, own in read.zones.items() if own.number == zone.number), "")
    lamps = {one.key for one in snapshot.lamps if one.kind == "zone"}
    said = [
        words
        for words, keys in (
            ("in alarm", snapshot.alarms),
            ("locked out", snapshot.locked_out),
            ("alarm lamp lit", lamps),
        )
        if key in keys
    ]
    return OverviewZone(zone.number, zone.name, ", ".join(said))


def _state(vent, read, snapshot, stands):
    """Where a vent stands: as its group, or as what moves in its zone outside the groups."""
    groups = {f"{group.smoke_zone.number}.{group.number}": key for key, group in read.groups.items()}
    zones = {zone.number: zone.pk for zone in read.zones.values()}
    group = groups.get(vent.group) or f"r{zones.get(vent.zone)}"
    position = stands.get(group)
    if position is None:
        return VentState.NOT_KNOWN
    is_barred = f"z{zones.get(vent.zone)}" in snapshot.locked_out and position is Position.SHUT
    return VentState.BLOCKED if is_barred else VENT_STATE[position]
