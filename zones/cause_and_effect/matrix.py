"""The cause-and-effect matrix of a panel: causes down; zones, groups and outputs across; a letter a kind of effect."""

from dataclasses import dataclass, field

from zones.cause_and_effect.records import ALWAYS_THERE, CONDITIONS, PanelLogic
from zones.engineering.cause_and_effect import InputKind, cause_actions_of
from zones.models import CauseAndEffectRule, Coincidence, SmokeZone

Cause = CauseAndEffectRule.Cause
Effect = CauseAndEffectRule.Effect

LETTERS = {
    Effect.OPEN: "O",
    Effect.CLOSE: "C",
    Effect.CLOSE_VENTILATION: "R",
    Effect.STOP: "T",
    Effect.HOLD: "H",
    Effect.BLOCKED: "B",
    Effect.SIGNAL: "S",
    Effect.UNCHANGED: "–",
}
LEGEND = [(LETTERS[value], word) for value, word in Effect.choices if value != Effect.UNCHANGED]
# Causes are told in the order of their usual priority, then as one walks past.
ORDER_OF_KIND = (
    InputKind.FIRE_SERVICE,
    InputKind.CALL_POINT,
    InputKind.DETECTOR,
    InputKind.FIRE_ALARM,
    InputKind.LINE_FAULT,
    InputKind.MAINS_FAULT,
    InputKind.BATTERY_FAULT,
    InputKind.RAIN,
    InputKind.WIND,
    InputKind.VENTILATION_SWITCH,
    InputKind.VENTILATION_CONTROL,
    InputKind.RESET,
)


@dataclass(frozen=True)
class MatrixCause:
    """A row: `key` names it in an address, `fields` are those of a rule with this cause."""

    key: str
    label: str
    what: str
    fields: dict
    place: str = ""
    url: str = ""
    zone: SmokeZone | None = None


@dataclass(frozen=True)
class MatrixTarget:
    """A column: a whole zone, one group of it, or an output of the panel."""

    key: str
    label: str
    name: str
    short_name: str
    fields: dict


@dataclass
class Cell:
    """What a cause does to a target: rules, usually none or one."""

    cause: MatrixCause
    target: MatrixTarget
    rules: list = field(default_factory=list)

    @property
    def letters(self):
        return [LETTERS[rule.effect] for rule in self.rules]


@dataclass(frozen=True)
class Matrix:
    """The matrix of a panel; `rows` are (cause, cells in the order of `targets`)."""

    read: PanelLogic
    causes: list
    targets: list
    rows: list

    @property
    def parts(self):
        """The rows zone by zone, as (zone or None, rows); what belongs to no zone stands last."""
        found = {}
        for cause, cells in self.rows:
            found.setdefault(cause.zone, []).append((cause, cells))
        whole = found.pop(None, [])
        by_zone = sorted(found.items(), key=lambda part: part[0].number)
        return [*by_zone, (None, whole)] if whole else by_zone

    def cause(self, key):
        """The cause of this key, or None."""
        return next((cause for cause in self.causes if cause.key == key), None)

    def target(self, key):
        """The target of this key, or None."""
        return next((target for target in self.targets if target.key == key), None)

    def cell(self, cause, target):
        """The cell where a cause meets a target."""
        row = next(cells for one, cells in self.rows if one is cause)
        return row[self.targets.index(target)]


def matrix_of(read: PanelLogic):
    """The matrix of a panel's logic: every input, coincidence and condition, every zone and group with a rule."""
    causes = [*_device_causes(read), *_coincidence_causes(read), *_other_causes(read)]
    targets = [*_zone_targets(read), *_output_targets(read)]
    place_of_cause = {_cause_identity(cause.fields): place for place, cause in enumerate(causes)}
    place_of_target = {_target_identity(target.fields): place for place, target in enumerate(targets)}
    rows = [(cause, [Cell(cause, target) for target in targets]) for cause in causes]
    for rule in read.rules.values():
        row = place_of_cause.get(_cause_identity(_cause_fields(rule)))
        column = place_of_target.get(_target_identity(_target_fields(rule)))
        if row is not None and column is not None:
            rows[row][1][column].rules.append(rule)
    return Matrix(read, causes, targets, rows)


CAUSE_FIELDS = ("position", "coincidence", "detection_line", "data_link", "cause_zone", "cause_group")


def _cause_fields(rule):
    named = {name: getattr(rule, name) for name in CAUSE_FIELDS if getattr(rule, f"{name}_id")}
    return {"cause": rule.cause, "action": rule.action, **named}


def _target_fields(rule):
    if rule.vent_group_id:
        return {"vent_group": rule.vent_group}
    if rule.smoke_zone_id:
        return {"smoke_zone": rule.smoke_zone}
    return {"output": rule.output}


def _cause_identity(fields):
    named = next(((name, fields[name].pk) for name in CAUSE_FIELDS if name in fields), None)
    return fields["cause"], fields.get("action", "on"), named


def _target_identity(fields):
    return next((name, getattr(value, "pk", value)) for name, value in fields.items())


def _device_causes(read):
    kinds = {kind: place for place, kind in enumerate(ORDER_OF_KIND)}
    inputs = [one for one in read.ruleset.inputs if one.key in read.devices]
    for one in sorted(inputs, key=lambda one: (kinds[one.kind], one.place)):
        position = read.devices[one.key]
        actions = cause_actions_of(one.kind)
        for action in actions:
            said = f": {action.value}" if len(actions) > 1 else ""
            yield MatrixCause(
                f"{one.key}-{action.value}",
                f"{position.tag}{said}",
                position.get_kind_display(),
                {"cause": Cause.DEVICE, "position": position, "action": action.value},
                place=f"zone {position.smoke_zone.number}" if position.smoke_zone else "",
                url=position.get_absolute_url(),
                zone=position.smoke_zone,
            )


def _coincidence_causes(read):
    for coincidence in Coincidence.objects.filter(panel=read.panel).prefetch_related("positions").order_by("name"):
        tags = sorted(coincidence.positions.all(), key=lambda position: position.tag_key)
        counted = "lines" if coincidence.counts_lines else "devices"
        yield MatrixCause(
            f"c{coincidence.pk}",
            coincidence.name,
            f"{coincidence.needed} {counted} of {', '.join(position.tag for position in tags)}",
            {"cause": Cause.COINCIDENCE, "coincidence": coincidence},
        )


def _other_causes(read):
    """Lines, conditions, and the alarm or opening of what some rule names; the rest would be empty rows."""
    for key, line in read.lines.items():
        name = f" ({line.name})" if line.name else ""
        yield MatrixCause(
            key,
            f"Line {line.number}{name}",
            _what_of_line(line),
            {"cause": Cause.LINE_FAULT, "detection_line": line},
            place=f"zone {line.smoke_zone.number}" if line.smoke_zone else "",
            zone=line.smoke_zone,
        )
    if any(rule.cause == Cause.LINE_FAULT and not rule.detection_line_id for rule in read.rules.values()):
        yield MatrixCause("lines", "Any line", "fault on a line", {"cause": Cause.LINE_FAULT})
    yield from _link_causes(read)
    named = {rule.cause for rule in read.rules.values()}
    for cause, (key, _, label) in CONDITIONS.items():
        if cause in ALWAYS_THERE or cause in named:
            yield MatrixCause(key, label, Cause(cause).label, {"cause": cause})
    for rule in _one_each(read, Cause.ZONE_IN_ALARM, "cause_zone_id"):
        yield MatrixCause(
            f"a{rule.cause_zone_id}",
            f"Zone {rule.cause_zone.number}",
            "zone in alarm",
            {"cause": Cause.ZONE_IN_ALARM, "cause_zone": rule.cause_zone},
            zone=rule.cause_zone,
        )
    for rule in _one_each(read, Cause.GROUP_OPEN, "cause_group_id"):
        yield MatrixCause(
            f"o{rule.cause_group_id}",
            f"Group {rule.cause_group}",
            "group not shut",
            {"cause": Cause.GROUP_OPEN, "cause_group": rule.cause_group},
        )


def _what_of_line(line):
    return f"fault on the line from {line.starts_at.tag}" if line.starts_at_id else "fault on the line"


def _link_causes(read):
    for key, link in read.links.items():
        name = f" ({link.name})" if link.name else ""
        what = link.get_when_broken_display() or "what its break does is not recorded"
        yield MatrixCause(
            key,
            f"Data link {link.number}{name}",
            f"broken: {what}",
            {"cause": Cause.LINK_FAULT, "data_link": link},
        )
    if any(rule.cause == Cause.LINK_FAULT and not rule.data_link_id for rule in read.rules.values()):
        yield MatrixCause("links", "Any data link", "broken", {"cause": Cause.LINK_FAULT})


def _one_each(read, cause, name):
    found = {getattr(rule, name): rule for rule in read.rules.values() if rule.cause == cause}
    return found.values()


def _zone_targets(read):
    """Each zone, and its groups where it has several or a rule names one; zones of other panels that a rule names."""
    groups = {}
    for group in read.groups.values():
        groups.setdefault(group.smoke_zone_id, []).append(group)
    named = {rule.vent_group_id for rule in read.rules.values() if rule.vent_group_id}
    zones = {zone.pk: zone for zone in read.zones.values()}
    for rule in read.rules.values():
        zone = rule.smoke_zone or (rule.vent_group and rule.vent_group.smoke_zone)
        if zone and zone.pk not in zones:
            zones[zone.pk] = zone
            if rule.vent_group:
                groups.setdefault(zone.pk, []).append(rule.vent_group)
    for zone in zones.values():
        yield MatrixTarget(f"z{zone.pk}", f"Z{zone.number}", str(zone), zone.name, {"smoke_zone": zone})
        own = groups.get(zone.pk, [])
        for group in own:
            if len(own) > 1 or group.pk in named:
                label = f"Z{zone.number}.{group.number}"
                yield MatrixTarget(f"g{group.pk}", label, f"Group {group}", group.name, {"vent_group": group})


def _output_targets(read):
    names = sorted({rule.output for rule in read.rules.values() if not (rule.smoke_zone_id or rule.vent_group_id)})
    for name in names:
        label = name or "signal"
        yield MatrixTarget(f"output-{name}", label, f"Output {label}", "output", {"output": name})
