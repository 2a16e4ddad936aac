"""From records to the logic of a panel and back; the only bridge to `engineering.cause_and_effect`.

A zone is known to the logic as "z<key>", a vent group as "g<key>", what moves in a zone outside its groups as
"r<key of the zone>", a device as "d<key>", a line as "l<key>", a data link as "k<key>"; conditions as "rain", "wind",
"mains", "battery", "reset".
"""

from dataclasses import dataclass, field

from sites_registry.read_once import read_once
from zones.engineering import cause_and_effect as logic
from zones.models import CauseAndEffectRule, ControlPanel, Position, VentGroup
from zones.models.kinds import DRIVES, kinds_where, with_article
from zones.panels.contents import with_listed
from zones.panels.line_places import ELSEWHERE, has_element, last_of_lines

INPUT_KIND_OF = {kind: kind.facts.input_kind for kind in kinds_where(lambda facts: facts.input_kind)}
Effect = CauseAndEffectRule.Effect
EFFECT_OF = {
    Effect.OPEN: logic.Effect.OPEN,
    Effect.CLOSE: logic.Effect.CLOSE,
    Effect.CLOSE_VENTILATION: logic.Effect.CLOSE_VENTILATION,
    Effect.STOP: logic.Effect.STOP,
    Effect.HOLD: logic.Effect.HOLD,
    Effect.BLOCKED: logic.Effect.BLOCK_VENTILATION,
    Effect.SIGNAL: logic.Effect.INDICATE,
}
STORED_EFFECT = {mine: stored for stored, mine in EFFECT_OF.items()}
Cause = CauseAndEffectRule.Cause
CONDITIONS = {
    Cause.RAIN: ("rain", logic.InputKind.RAIN, "Rain"),
    Cause.WIND: ("wind", logic.InputKind.WIND, "Wind"),
    Cause.MAINS_LOST: ("mains", logic.InputKind.MAINS_FAULT, "Mains"),
    Cause.BATTERY_LOST: ("battery", logic.InputKind.BATTERY_FAULT, "Battery"),
    Cause.RESET: ("reset", logic.InputKind.RESET, "Reset"),
}
ALWAYS_THERE = (Cause.MAINS_LOST, Cause.BATTERY_LOST, Cause.RESET)
SIGNAL_OUTPUT = "signal"


@dataclass(frozen=True)
class PanelLogic:
    """The logic of a panel beside the records it was read from."""

    panel: ControlPanel
    ruleset: logic.RuleSet
    zones: dict = field(default_factory=dict)  # key in the logic → SmokeZone
    groups: dict = field(default_factory=dict)  # → VentGroup; what moves outside groups is left out
    devices: dict = field(default_factory=dict)  # → Position
    lines: dict = field(default_factory=dict)  # → DetectionLine
    links: dict = field(default_factory=dict)  # → DataLink
    rules: dict = field(default_factory=dict)  # → CauseAndEffectRule
    vents: dict = field(default_factory=dict)  # key of a group → tags of its actuators
    left_out: tuple = ()  # sentences on rules that name what is not of this panel (any more)


def positions_of(panel):
    """Positions in use that hang on this panel."""
    positions = Position.objects.in_use().filter(building=panel.building_id).hanging_on(panel)
    related = ("smoke_zone", "vent_group", "detection_line__starts_at", "data_link")
    return positions.select_related(*related).with_inputs().order_by("walking_order", "tag_key")


def rules_of(panel):
    """The stored rules of a panel with everything their words need."""
    return rules_in_words().filter(panel=panel)


def rules_in_words():
    """Stored rules with everything their words need, in the order in which they were entered."""
    return (
        CauseAndEffectRule.objects.select_related(
            "position__smoke_zone",
            "position__vent_group",
            "position__detection_line",
            "coincidence",
            "detection_line__panel__position",
            "data_link__panel__position",
            "cause_zone",
            "cause_group__smoke_zone",
            "smoke_zone",
            "vent_group__smoke_zone",
        )
        .prefetch_related("coincidence__positions__smoke_zone", "coincidence__positions__detection_line")
        .order_by("pk")
    )


@read_once
def panel_logic(panel):
    """The logic of a panel as recorded; a fixed number of queries."""
    zones = list(panel.smoke_zones.order_by("number"))
    groups = list(
        VentGroup.objects.filter(smoke_zone__panel=panel)
        .select_related("smoke_zone")
        .order_by("smoke_zone__number", "number")
    )
    stored = list(rules_of(panel))
    positions = _with_named(list(positions_of(panel)), stored)
    lines = list(panel.detection_lines.select_related("panel__position", "smoke_zone", "starts_at").order_by("number"))
    links = list(with_listed(panel.data_links.select_related("panel__position")))
    in_groups, vents = _groups(zones, groups, positions)
    inputs = [
        *_device_inputs(positions, zones, groups, _zones_assigned(links)),
        *_line_inputs(lines, zones),
        *_link_inputs(links),
        *_condition_inputs(stored),
    ]
    known = {one.key: one for one in inputs}
    of_panel = {
        "zones": {zone.pk for zone in zones},
        "groups": {group.pk for group in groups},
        "inputs": known,
        "lines": {line.pk for line in lines},
        "links": {link.pk for link in links},
    }
    left_out = {record.pk: sentence for record in stored if (sentence := _why_left_out(record, panel, of_panel))}
    rules = [_rule(record, known) for record in stored if record.pk not in left_out and _moves_or_signals(record)]
    ruleset = logic.RuleSet(
        tuple(_zone(zone) for zone in zones),
        tuple(in_groups),
        tuple(inputs),
        tuple(rules),
        after_reset=logic.AfterReset(panel.after_reset),
    )
    return PanelLogic(
        panel,
        ruleset,
        zones={f"z{zone.pk}": zone for zone in zones},
        groups={f"g{group.pk}": group for group in groups},
        devices={f"d{position.pk}": position for position in positions if position.kind in INPUT_KIND_OF},
        lines={f"l{line.pk}": line for line in lines},
        links={f"k{link.pk}": link for link in links},
        rules={f"rule{record.pk}": record for record in stored},
        vents=vents,
        left_out=tuple(left_out.values()),
    )


def _with_named(positions, stored):
    """Devices of other panels that a rule names count as inputs of this one, as long as they are in use."""
    there = {position.pk for position in positions}
    named = [record.position for record in stored if record.position_id]
    for record in stored:
        if record.coincidence_id:
            named += record.coincidence.positions.all()
    for position in named:
        if position.pk not in there and position.retired_on is None and position.kind in INPUT_KIND_OF:
            there.add(position.pk)
            positions.append(position)
    return positions


def _moves_or_signals(record):
    """ "Unchanged" asks for a test and moves nothing, so the logic does not have it."""
    return record.effect != Effect.UNCHANGED


def _why_left_out(record, panel, of_panel):
    """A sentence when a rule names what is no longer used or hangs on another panel; "" when it does not."""
    if record.position_id and f"d{record.position_id}" not in of_panel["inputs"]:
        return _not_an_input(record, record.position)
    if record.coincidence_id and len(_operable(record, of_panel["inputs"])) < record.coincidence.needed:
        return (
            f"Rule “{record}”: fewer than {record.coincidence.needed} of its devices are in use. "
            "Choose others for the coincidence, or take the rule out."
        )
    named = [
        (record.detection_line, of_panel["lines"]),
        (record.data_link, of_panel["links"]),
        (record.cause_zone, of_panel["zones"]),
        (record.smoke_zone, of_panel["zones"]),
        (record.cause_group, of_panel["groups"]),
        (record.vent_group, of_panel["groups"]),
    ]
    for other, own in named:
        if other is not None and other.pk not in own:
            return (
                f"Rule “{record}”: {other} does not hang on {panel}, so this panel cannot know or move it. Put the "
                "rule at the panel of that zone, or connect the zone to this one."
            )
    return ""


def _not_an_input(record, position):
    if position.retired_on:
        return (
            f"Rule “{record}”: {position} is no longer used since {position.retired_on:%-d %b %Y}. Take the rule out, "
            "or take "
            "the position back."
        )
    return (
        f"Rule “{record}”: {position} is {with_article(position.get_kind_display())}, which tells a panel nothing. "
        "Name a device that does."
    )


def _operable(record, known):
    return [position for position in record.coincidence.positions.all() if f"d{position.pk}" in known]


def _zone(zone):
    return logic.Zone(f"z{zone.pk}", str(zone), zone.lockout_group, zone.needs_automatic_detection)


def _groups(zones, groups, positions):
    """The groups of each zone, one more for actuators outside them or where a zone has none; and their actuators."""
    of_zone = {}
    for group in groups:
        of_zone.setdefault(group.smoke_zone_id, []).append(
            logic.Group(f"g{group.pk}", f"z{group.smoke_zone_id}", f"Group {group}")
        )
    vents, loose = {}, set()
    known = {group.pk for group in groups}
    for position in positions:
        if position.kind not in DRIVES or position.smoke_zone_id is None:
            continue
        in_group = position.vent_group_id in known
        key = f"g{position.vent_group_id}" if in_group else f"r{position.smoke_zone_id}"
        vents.setdefault(key, []).append(position.tag)
        if not in_group:
            loose.add(position.smoke_zone_id)
    found = []
    for zone in zones:
        own = of_zone.get(zone.pk, [])
        found += own
        if zone.pk in loose or not own:
            words = "Vents outside the groups" if own else "Vents"
            found.append(logic.Group(f"r{zone.pk}", f"z{zone.pk}", f"{words} of zone {zone.number}"))
    return found, vents


def _zones_assigned(links):
    """Position → the zone that the panel gave the call point there, where its place is confirmed."""
    return {entry.position_id: entry.zone_assigned_id for link in links for entry in link.listed if entry.position_id}


def _zone_of(position, assigned):
    """The zone that a device acts in: on a line that starts at a device, that of the line; else the position's own,
    else that of its line, of its inputs, or the one assigned at the panel."""
    line = position.detection_line
    if line and line.starts_at_id and line.smoke_zone_id:
        return line.smoke_zone_id
    inputs = [wired.input_port.smoke_zone_id for wired in getattr(position, "at_inputs", ())]
    found = [position.smoke_zone_id, line and line.smoke_zone_id, *inputs, assigned.get(position.pk)]
    return next((zone for zone in found if zone), None)


def _group_of(position):
    """The group that a switch drives: the position's own, else that of its inputs."""
    inputs = [wired.input_port.vent_group_id for wired in getattr(position, "at_inputs", ())]
    return next((group for group in (position.vent_group_id, *inputs) if group), None)


def _device_inputs(positions, zones, groups, assigned):
    zone_keys, group_keys = {zone.pk for zone in zones}, {group.pk for group in groups}
    last = {position.pk for position in last_of_lines(positions).values()}
    for position in positions:
        kind = INPUT_KIND_OF.get(position.kind)
        if kind is None:
            continue
        zone, group = _zone_of(position, assigned), _group_of(position)
        yield logic.Input(
            f"d{position.pk}",
            kind,
            position.tag,
            zone=f"z{zone}" if zone in zone_keys else None,
            group=f"g{group}" if group in group_keys else None,
            line=f"{position.detection_line_id}" if position.detection_line_id else None,
            place=position.walking_order,
            ends_line=position.pk in last,
        )


def _line_inputs(lines, zones):
    zone_keys = {zone.pk for zone in zones}
    for line in lines:
        zone = f"z{line.smoke_zone_id}" if line.smoke_zone_id in zone_keys else None
        label = f"Line {line.number}" + (f" at {line.starts_at.tag}" if line.starts_at_id else "")
        yield logic.Input(
            f"l{line.pk}",
            logic.InputKind.LINE_FAULT,
            label,
            zone=zone,
            line=f"{line.pk}",
            has_element=has_element(line),
            element_place=ELSEWHERE.get(line.end_place, ""),
        )


def _link_inputs(links):
    for link in links:
        behind = {entry.zone_assigned_id for entry in link.listed} - {None}
        opens = link.when_broken == link.WhenBroken.OPENS
        yield logic.Input(
            f"k{link.pk}",
            logic.InputKind.LINK_FAULT,
            f"Data link {link.number}",
            opens=tuple(f"z{zone}" for zone in sorted(behind)) if opens else (),
        )


def _condition_inputs(stored):
    """Mains, battery and reset are always there; rain and wind as bare conditions only where a rule names them."""
    named = {record.cause for record in stored}
    for cause, (key, kind, label) in CONDITIONS.items():
        if cause in ALWAYS_THERE or cause in named:
            yield logic.Input(key, kind, label)


def _rule(record, known):
    return logic.Rule(
        f"rule{record.pk}",
        _cause(record, known),
        _target(record),
        EFFECT_OF[record.effect],
        is_latching=record.is_latching,
        delay_s=record.delay_s,
        priority=record.priority,
        is_cross_zone=record.is_cross_zone,
    )


def _cause(record, known):
    match record.cause:
        case Cause.DEVICE:
            return logic.Cause.of(f"d{record.position_id}", action=logic.Action(record.action))
        case Cause.COINCIDENCE:
            devices = sorted(_operable(record, known), key=lambda position: position.tag_key)
            return logic.Cause.of(
                *(f"d{device.pk}" for device in devices),
                needed=record.coincidence.needed,
                counts_lines=record.coincidence.counts_lines,
            )
        case Cause.ZONE_IN_ALARM:
            return logic.Cause.zone_in_alarm(f"z{record.cause_zone_id}")
        case Cause.GROUP_OPEN:
            return logic.Cause.group_open(f"g{record.cause_group_id}")
        case Cause.LINE_FAULT if record.detection_line_id:
            return logic.Cause.of(f"l{record.detection_line_id}")
        case Cause.LINK_FAULT if record.data_link_id:
            return logic.Cause.of(f"k{record.data_link_id}")
        case Cause.LINK_FAULT:
            return logic.Cause.of(*(key for key, one in known.items() if one.kind is logic.InputKind.LINK_FAULT))
        case Cause.LINE_FAULT:
            return logic.Cause.of(*(key for key, one in known.items() if one.kind is logic.InputKind.LINE_FAULT))
    key, kind, _ = CONDITIONS[record.cause]
    action = logic.Action.PRESS if record.cause == Cause.RESET else logic.Action.ON
    # "Rain" means any sensor that reports it, and the bare condition where no sensor is recorded.
    keys = [one.key for one in known.values() if one.kind is kind]
    return logic.Cause.of(*(keys or [key]), action=action)


def _target(record):
    if record.vent_group_id:
        return logic.Target.group(f"g{record.vent_group_id}")
    if record.smoke_zone_id:
        return logic.Target.whole_zone(f"z{record.smoke_zone_id}")
    return logic.Target.output(record.output or SIGNAL_OUTPUT)


def as_record(rule, read: PanelLogic):
    """A rule of the logic as a new, unsaved record of the panel, the way back from `panel_logic`.

    Only causes that a usual rule has: one device, one line, one data link, or a condition.
    """
    record = CauseAndEffectRule(
        panel=read.panel,
        effect=STORED_EFFECT[rule.effect],
        is_latching=rule.is_latching,
        delay_s=rule.delay_s,
        priority=rule.priority,
        is_cross_zone=rule.is_cross_zone,
    )
    (key,) = rule.cause.inputs
    if device := read.devices.get(key):
        record.cause, record.position, record.action = Cause.DEVICE, device, str(rule.cause.action)
    elif line := read.lines.get(key):
        record.cause, record.detection_line = Cause.LINE_FAULT, line
    elif link := read.links.get(key):
        record.cause, record.data_link = Cause.LINK_FAULT, link
    else:
        record.cause = next(cause for cause, (name, _, _) in CONDITIONS.items() if name == key)
    match rule.target.kind:
        case logic.TargetKind.ZONE:
            record.smoke_zone = read.zones[rule.target.key]
        case logic.TargetKind.GROUP:
            record.vent_group = read.groups.get(rule.target.key)
            if record.vent_group is None:  # what moves outside groups is named by its zone
                record.smoke_zone = read.zones[f"z{rule.target.key[1:]}"]
        case _:
            record.output = rule.target.key
    return record
