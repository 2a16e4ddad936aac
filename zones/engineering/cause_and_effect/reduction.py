"""Cones made as small as they can be without changing a verdict. Why each step keeps all of them:

*Other zones of a lock-out group* reach the group only as "another zone was first". Zones that stand on the same side
in order, react alike, and whose devices act nowhere else are one: it is in alarm when any of them is. Where one of
them ends while another goes on, the one kept is restored, reset and operated again, which moves nothing here. Zones
with resets of their own are only left out where all on their side react alike. The side matters only where one input
can put several zones into alarm at one moment: elsewhere "another zone goes on" is the one kept not being restored.

*Interchangeable devices*: of devices that stand in the same rules it only matters how many are operated, and of those
no more than the largest number that a rule counts, `n`. So the first `n` are kept, and they operate in order. A step
of any other device is a step of these or none. For a rule that counts lines, devices of one line count once; a line
is only left out when every device on it is interchangeable with those on the lines kept.

*Cones of one form*: with everything renamed in order, cones that read the same have the same verdicts, so each form
is explored once.
"""

from collections import Counter
from dataclasses import dataclass, replace
from typing import NamedTuple

from zones.engineering.cause_and_effect.cones import STILL, Cone
from zones.engineering.cause_and_effect.properties import must_raise_alarm
from zones.engineering.cause_and_effect.rules import (
    ALARMS,
    MOMENTARY,
    VENTILATION,
    WEATHER,
    CauseKind,
    Group,
    Input,
    InputKind,
    Rule,
    RuleSet,
    Target,
    TargetKind,
    Zone,
)


@dataclass(frozen=True, slots=True)
class Form:
    """A reduced cone with everything renamed in order: equal forms have equal verdicts.

    `alike`: keys of interchangeable devices, which operate in this order. `most_delay_s`: as `GroupCheck` has it; where
    it is asked, a delay of 1 is one that is in time and one of 2 is not.
    """

    ruleset: RuleSet
    group: str
    alike: tuple[tuple[str, ...], ...]
    most_delay_s: int | None = None

    @property
    def still(self) -> frozenset[str]:
        """The groups that nothing moves."""
        return frozenset(one.key for one in self.ruleset.groups if one.key.startswith(STILL))


def reduce_cone(cone: Cone, most_delay_s: float | None = None) -> tuple[Form, dict[str, str]]:
    """The form of a cone, and for every key in it (of inputs, rules and zones) the panel's key."""
    form, back = _reduced(_with_classes_of_delay(cone, most_delay_s))
    return (form if most_delay_s is None else replace(form, most_delay_s=1)), back


def _with_classes_of_delay(cone: Cone, most_delay_s: float | None) -> Cone:
    """With delays of 1 s where they are in time or nobody asks, else of 2 s: no more than that ever matters."""
    most = float("inf") if most_delay_s is None else max(most_delay_s, 0)
    rules = tuple(replace(one, delay_s=bool(one.delay_s) + (one.delay_s > most)) for one in cone.ruleset.rules)
    return replace(cone, ruleset=replace(cone.ruleset, rules=rules))


def _reduced(cone: Cone) -> tuple[Form, dict[str, str]]:
    ruleset = _without_spare_zones(cone)
    ruleset, alike = _without_spare_devices(cone, ruleset)
    return _renamed(ruleset, cone.group, alike)


# --- other zones of a lock-out group ---


def _without_spare_zones(cone: Cone) -> RuleSet:
    ruleset = cone.ruleset
    if any(one.cause.kind is CauseKind.GROUP_OPEN for one in ruleset.rules):
        return ruleset
    order = [one.key for one in ruleset.zones]
    moving = sorted({order.index(one.zone) for one in ruleset.groups if not one.key.startswith(STILL)})
    shapes = {
        zone: _shape(ruleset, zone) for zone in ruleset.zones if zone.lockout_group and zone.key not in cone.waits_for
    }
    shared = {zone.lockout_group for zone, shape in shapes.items() if shape is None or shape.has_shared_causes}
    sides: dict[object, list[tuple[object, str]]] = {}
    for zone, shape in shapes.items():
        if shape is not None:
            place = order.index(zone.key)
            side = tuple(place > one for one in moving) if zone.lockout_group in shared else ()
            sides.setdefault((zone.lockout_group, side), []).append((shape, zone.key))
    own_resets = {one.zone for one in ruleset.inputs if one.kind is InputKind.RESET and one.zone is not None}
    spare = set()
    for members in sides.values():
        shapes = {shape for shape, _ in members}
        if len(shapes) > 1 and any(key in own_resets for _, key in members):
            continue
        first = {shape: key for shape, key in reversed(members)}
        spare |= {key for shape, key in members if first[shape] != key}
    return _drop_zones(ruleset, spare)


def _alarm_rules(ruleset: RuleSet, zone: str) -> list[Rule]:
    return [one for one in ruleset.rules if one.target.key == STILL + zone]


def _private_inputs(ruleset: RuleSet, zone: str) -> set[str]:
    inside = {key for one in _alarm_rules(ruleset, zone) for key in one.cause.inputs}
    outside = {key for one in ruleset.rules if one.target.key != STILL + zone for key in one.cause.inputs}
    return inside - outside


class _Shape(NamedTuple):
    """How a zone goes into alarm and out of it."""

    rules: tuple
    devices: frozenset
    has_own_reset: bool
    has_shared_causes: bool


def _shape(ruleset: RuleSet, zone: Zone) -> _Shape | None:
    """How a zone goes into alarm and out of it; ``None`` when a rule mixes its own devices with others'."""
    private, rules, patterns = _private_inputs(ruleset, zone.key), [], Counter()
    alarm_rules = _in_one_order(_alarm_rules(ruleset, zone.key), private)
    for number, rule in enumerate(alarm_rules):
        inputs = set(rule.cause.inputs)
        if inputs & private and inputs - private:
            return None
        cause = replace(rule.cause, inputs=tuple(sorted(inputs - private)))
        rules.append((cause, rule.is_latching))
        if rule.cause.counts_lines and rule.cause.needed > 1:
            patterns[number] = tuple(sorted(Counter(one.line for one in ruleset.inputs_of(rule.cause)).values()))
    most = max((one.cause.needed for one in alarm_rules), default=1)
    for one in ruleset.inputs:
        if one.key in private:
            stands_in = frozenset(number for number, rule in enumerate(alarm_rules) if one.key in rule.cause.inputs)
            place = stands_in, one.zone == zone.key, one.zone is None
            patterns[place] = min(patterns[place] + 1, most)
    resets = any(one.kind is InputKind.RESET and one.zone == zone.key for one in ruleset.inputs)
    shared = any(cause.inputs or cause.kind is not CauseKind.INPUTS for cause, _ in rules)
    return _Shape(tuple(rules), frozenset(patterns.items()), resets, shared)


def _in_one_order(rules: list[Rule], private: set[str]) -> list[Rule]:
    """Rules in an order that does not depend on where their devices stand in the panel."""
    return sorted(
        rules,
        key=lambda one: (
            sorted(set(one.cause.inputs) - private),
            one.cause.needed,
            one.is_latching,
            str(one.cause.kind),
        ),
    )


def _drop_zones(ruleset: RuleSet, spare: set[str]) -> RuleSet:
    if not spare:
        return ruleset
    devices = set().union(*(_private_inputs(ruleset, zone) for zone in spare))
    return replace(
        ruleset,
        zones=tuple(one for one in ruleset.zones if one.key not in spare),
        groups=tuple(one for one in ruleset.groups if one.key.removeprefix(STILL) not in spare),
        rules=tuple(one for one in ruleset.rules if one.target.key.removeprefix(STILL) not in spare),
        inputs=tuple(
            one
            for one in ruleset.inputs
            if one.key not in devices and not (one.kind is InputKind.RESET and one.zone in spare)
        ),
    )


# --- interchangeable devices ---


def _without_spare_devices(cone: Cone, ruleset: RuleSet) -> tuple[RuleSet, tuple[tuple[str, ...], ...]]:
    rules_of: dict[str, list[Rule]] = {one.key: [] for one in ruleset.inputs}
    for rule in ruleset.rules:
        for key in rule.cause.inputs:
            rules_of[key].append(rule)
    must = must_raise_alarm(ruleset, cone.group.zone)
    has_contacts = any(one.cause.kind is CauseKind.GROUP_OPEN for one in ruleset.rules)
    classes: dict[object, list[Input]] = {}
    for one in ruleset.inputs:
        named = frozenset(rule.key for rule in rules_of[one.key])
        elsewhere = not has_contacts and not any(
            rule.target.kind is TargetKind.ZONE
            or rule.target.key.removeprefix(STILL) in cone.waits_for
            or not rule.target.key.startswith(STILL)
            for rule in rules_of[one.key]
        )
        kind = "elsewhere" if elsewhere and one.kind in ALARMS and one.zone != cone.group.zone else _kind(one)
        if one.kind is InputKind.FIRE_SERVICE:
            kind = one.key  # two selectors may contradict each other: each is kept
        classes.setdefault((kind, one.zone, one.key in must, named), []).append(one)
    kept, alike = set(), []
    for members in classes.values():
        some, in_order = _representatives(members, rules_of[members[0].key], ruleset)
        kept.update(some)
        if in_order and len(some) > 1:
            alike.append(tuple(some))
    rules = tuple(
        replace(one, cause=replace(one.cause, inputs=tuple(key for key in one.cause.inputs if key in kept)))
        for one in ruleset.rules
    )
    inputs = tuple(one for one in ruleset.inputs if one.key in kept)
    return replace(ruleset, inputs=inputs, rules=rules), tuple(alike)


def _kind(one: Input) -> str:
    """The kind as far as any property asks: rain and wind are one, switches and timers are one."""
    if one.kind in WEATHER:
        return "weather"
    if one.kind in VENTILATION:
        return "ventilation"
    return "automatic" if one.kind in ALARMS and one.kind is not InputKind.CALL_POINT else one.kind.value


def _representatives(members: list[Input], rules: list[Rule], ruleset: RuleSet) -> tuple[list[str], bool]:
    """The devices of a class to keep, and whether they may be made to operate in order."""
    needs = [one.cause.needed for one in rules if not one.cause.counts_lines or one.cause.needed == 1]
    counting = [one for one in rules if one.cause.counts_lines and one.cause.needed > 1]
    most = max(needs, default=1)
    if not counting:
        return [one.key for one in members[:most]], members[0].kind not in MOMENTARY
    by_line: dict[str | None, list[Input]] = {}
    for one in members:
        by_line.setdefault(one.line, []).append(one)
    own = {one.key for one in members}
    others = {one.line for rule in counting for one in ruleset.inputs_of(rule.cause) if one.key not in own}
    pure = [line for line in by_line if line not in others]
    wanted = max(one.cause.needed for one in counting)
    spare = set(pure[wanted:]) if most == 1 else set()
    kept = [one.key for line, found in by_line.items() if line not in spare for one in found[:most]]
    return kept, most == 1 and len(pure) == len(by_line)


# --- renaming ---


def _renamed(ruleset: RuleSet, group: Group, alike) -> tuple[Form, dict[str, str]]:
    zones = {one.key: f"z{k}" for k, one in enumerate(ruleset.zones)}
    for one in ruleset.inputs:
        if one.zone is not None and one.zone not in zones:
            zones[one.zone] = f"o{len(zones)}"
    lockouts = {name: f"l{k}" for k, name in enumerate(dict.fromkeys(one.lockout_group for one in ruleset.zones))}
    moving = [one for one in ruleset.groups if not one.key.startswith(STILL)]
    moving.sort(key=lambda one: one.key != group.key)
    groups = {one.key: f"g{k}" for k, one in enumerate(moving)}
    still = [one for one in ruleset.groups if one.key.startswith(STILL)]
    groups |= {one.key: STILL + zones[one.zone] for one in still}
    ordered = sorted(ruleset.inputs, key=lambda one: (_kind(one), zones.get(one.zone, "")))
    inputs = {one.key: f"i{k}" for k, one in enumerate(ordered)}
    kinds = {one.key: _kind(one) for one in ruleset.inputs}
    lines = {line: f"n{k}" for k, line in enumerate(dict.fromkeys(one.line for one in ordered))}

    def target_of(target: Target) -> Target:
        return Target(target.kind, (zones if target.kind is TargetKind.ZONE else groups)[target.key])

    def cause_of(cause):
        named = tuple(sorted(inputs[key] for key in cause.inputs))
        lined = cause.counts_lines and cause.needed > 1
        return replace(
            cause, inputs=named, zone=zones.get(cause.zone, ""), group=groups.get(cause.group, ""), counts_lines=lined
        )

    def reading(rule: Rule):
        cause = cause_of(rule.cause)
        return (
            *(rule.effect, rule.priority, target_of(rule.target).key, cause.kind, cause.action, cause.needed),
            *(rule.is_latching, rule.delay_s, cause.zone, cause.group, sorted(kinds[k] for k in rule.cause.inputs)),
            cause.inputs,
        )

    counting = {key for one in ruleset.rules if one.cause.counts_lines for key in one.cause.inputs}
    rules = sorted(ruleset.rules, key=reading)
    renamed = replace(
        *(ruleset,),
        zones=tuple(Zone(zones[one.key], "", _lockout(one, lockouts), True) for one in ruleset.zones),
        groups=tuple(Group(groups[one.key], zones[one.zone]) for one in (*moving, *still)),
        inputs=tuple(
            Input(
                *(inputs[one.key], _common_kind(one), "", zones.get(one.zone)),
                line=lines[one.line] if one.key in counting else None,
            )
            for one in ordered
        ),
        rules=tuple(
            replace(
                *(one,),
                **{"key": f"r{k}", "cause": cause_of(one.cause), "target": target_of(one.target)},
            )
            for k, one in enumerate(rules)
        ),
    )
    back = {new: old for old, new in inputs.items()} | {f"r{k}": one.key for k, one in enumerate(rules)}
    return Form(renamed, groups[group.key], tuple(tuple(inputs[key] for key in some) for some in alike)), back


def _lockout(zone: Zone, lockouts: dict[str, str]) -> str:
    return lockouts[zone.lockout_group] if zone.lockout_group else ""


def _common_kind(one: Input) -> InputKind:
    if one.kind in WEATHER:
        return InputKind.RAIN
    return InputKind.VENTILATION_SWITCH if one.kind in VENTILATION else one.kind
