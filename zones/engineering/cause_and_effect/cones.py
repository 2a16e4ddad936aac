"""What one group of vents depends on: its cone of influence, cut out of the panel's rules.

Kept are the rules that act on the group; the rules, inputs, contacts and zones that their causes name, and what
those depend on; all that puts the group's zone, and the zones of its lock-out group, into alarm; what lights the
zone's alarm lamp; every device that a property asks for. What is left out appears in no cause that is kept, so it
cannot change a step of what is kept. A rule kept for its alarm only acts on a group that stands still, without its
delay: a delay holds back vents, not alarms.

*Rules that say the same* are merged: "A opens it" and "B opens it", alike in all else and without delay, are "A or B
opens it": in force when either is, and after a reset latched exactly when either is still operated.
"""

from dataclasses import dataclass, replace

from zones.engineering.cause_and_effect.moments import WEATHER_OR_VENTILATION, is_alarm_rule, is_ventilation_rule
from zones.engineering.cause_and_effect.properties import (
    is_asked_of,
    is_lamp_of,
    opens_for_ventilation,
    zones_acted_in,
)
from zones.engineering.cause_and_effect.rules import (
    AfterReset,
    CauseKind,
    Effect,
    Group,
    Input,
    InputKind,
    Rule,
    RuleSet,
    Target,
    TargetKind,
    keys_of,
)

# The group that stands still in a zone. A panel's key holds no dot, so the two never meet.
STILL = "still."


@dataclass(frozen=True, slots=True)
class Cone:
    """The rule set that one group depends on, in the panel's own keys.

    `waits_for`: zones whose alarm a kept rule or setting asks for. `merged`: for each rule the keys of the panel's
    rules that it stands for.
    """

    ruleset: RuleSet
    group: Group
    waits_for: frozenset[str]
    merged: dict[str, tuple[str, ...]]


class RulesByTarget:
    """A panel's rules by what they act on, so that the cones of many groups are cut quickly."""

    def __init__(self, ruleset: RuleSet):
        self.ruleset = ruleset
        self.groups, self.zones, self.inputs = keys_of(ruleset.groups), keys_of(ruleset.zones), keys_of(ruleset.inputs)
        self.acting: dict[str, list[Rule]] = {key: [] for key in self.groups}
        self.alarms: dict[str, list[Rule]] = {key: [] for key in self.zones}
        self.lamps: dict[str, list[Rule]] = {key: [] for key in self.zones}
        members = {key: [one.key for one in ruleset.groups if one.zone == key] for key in self.zones}
        self.acts_in: dict[str, set[str]] = {key: set() for key in self.inputs}
        for rule in ruleset.rules:
            for key in rule.cause.inputs:
                self.acts_in[key] |= zones_acted_in(ruleset, rule) or {""}
            if rule.effect is Effect.INDICATE:
                for zone in zones_acted_in(ruleset, rule):
                    self.lamps[zone] += [rule] if is_lamp_of(rule, zone) else []
                continue
            targets = members[rule.target.key] if rule.target.kind is TargetKind.ZONE else [rule.target.key]
            for key in targets:
                self.acting[key].append(rule)
            if is_alarm_rule(ruleset, rule):
                for zone in zones_acted_in(ruleset, rule):
                    self.alarms[zone].append(rule)

    def lockout_of(self, zone: str) -> tuple[str, ...]:
        """The zones of its lock-out group, itself among them; none when it is alone."""
        name = self.zones[zone].lockout_group
        found = tuple(one.key for one in self.ruleset.zones if name and one.lockout_group == name)
        return found if len(found) > 1 else ()

    def cone(self, group: Group) -> Cone:
        """The cone of one group."""
        return _Cut(self, group).cone()


class _Cut:
    """The work of cutting one cone."""

    def __init__(self, wiring: RulesByTarget, group: Group):
        self._wiring, self._group = wiring, group
        self._groups: set[str] = set()
        self._alarms: set[str] = set()
        self._waits_for: set[str] = {group.zone}
        self._rules: dict[str, Rule] = {}
        self._need_group(group.key)
        self._need_alarm(group.zone)
        for rule in wiring.lamps[group.zone]:
            self._need_rule(rule)

    def _need_group(self, key: str):
        if key in self._groups:
            return
        self._groups.add(key)
        zone = self._wiring.groups[key].zone
        for other in self._wiring.lockout_of(zone):
            self._need_alarm(other)
        if self._wiring.ruleset.after_reset is AfterReset.CLOSE:
            self._need_alarm(zone)
        for rule in self._wiring.acting[key]:
            self._need_rule(rule)

    def _need_alarm(self, zone: str):
        if zone not in self._alarms:
            self._alarms.add(zone)
            for rule in self._wiring.alarms[zone]:
                self._need_rule(rule)

    def _need_rule(self, rule: Rule):
        if rule.key in self._rules:
            return
        self._rules[rule.key] = rule
        if rule.cause.kind is CauseKind.ZONE_IN_ALARM:
            self._waits_for.add(rule.cause.zone)
            self._need_alarm(rule.cause.zone)
        elif rule.cause.kind is CauseKind.GROUP_OPEN:
            self._need_group(rule.cause.group)

    # --- what comes of it ---

    def cone(self) -> Cone:
        ruleset = self._wiring.ruleset
        rules, merged = self._merged()
        moving = {self._wiring.groups[key].zone for key in self._groups}
        lockouts = {self._wiring.zones[zone].lockout_group for zone in moving if self._wiring.lockout_of(zone)}
        zones = tuple(
            one if one.lockout_group in lockouts else replace(one, lockout_group="")
            for one in ruleset.zones
            if one.key in self._alarms | moving
        )
        still = sorted({one.target.key for one in rules if one.target.key.startswith(STILL)})
        groups = tuple(one for one in ruleset.groups if one.key in self._groups)
        groups += tuple(Group(key, key.removeprefix(STILL)) for key in still)
        inputs = self._inputs(rules)
        reduced = replace(ruleset, zones=zones, groups=groups, inputs=inputs, rules=tuple(rules))
        return Cone(reduced, self._group, frozenset(self._waits_for | moving), merged)

    def _merged(self) -> tuple[list[Rule], dict[str, tuple[str, ...]]]:
        together: dict[object, list[Rule]] = {}
        for rule in self._wiring.ruleset.rules:
            if rule.key in self._rules:
                kept = self._as_kept(rule)
                together.setdefault(self._same_saying(kept), []).append(kept)
        rules, merged = [], {}
        for alike in together.values():
            first = alike[0]
            if len(alike) > 1:
                inputs = tuple(dict.fromkeys(key for one in alike for key in one.cause.inputs))
                first = replace(first, cause=replace(first.cause, inputs=inputs))
            rules.append(first)
            merged[first.key] = tuple(one.key for one in alike)
        return rules, merged

    def _as_kept(self, rule: Rule) -> Rule:
        """With its priority spelt out; where it moves no kept group, acting on one that stands still."""
        targets = self._wiring.ruleset.groups_of(rule.target)
        if any(one.key in self._groups for one in targets):
            return replace(rule, priority=self._wiring.ruleset.priority_of(rule))
        (zone,) = zones_acted_in(self._wiring.ruleset, rule)
        return replace(rule, target=Target.group(STILL + zone), delay_s=0, priority=2, is_cross_zone=False)

    def _same_saying(self, rule: Rule):
        """What rules must share to be merged; a key of its own for one that cannot be."""
        cause = rule.cause
        if cause.kind is not CauseKind.INPUTS or cause.needed > 1 or rule.delay_s:
            return rule.key
        shared = (rule.target, rule.effect, rule.is_latching, rule.priority, rule.is_cross_zone, cause.action)
        if rule.target.key.startswith(STILL):
            # Devices of one zone apart from those of several: only a zone whose own devices stand in rules of their
            # own can be told to be like another (`reduction`).
            return shared, frozenset(len(self._wiring.acts_in[key]) > 1 for key in cause.inputs)
        ruleset = self._wiring.ruleset
        classes = (
            is_alarm_rule(ruleset, rule),
            is_ventilation_rule(ruleset, rule),
            is_ventilation_rule(ruleset, rule, WEATHER_OR_VENTILATION),
            frozenset(self._wiring.inputs[key].kind is InputKind.LINE_FAULT for key in cause.inputs),
            frozenset(self._wiring.inputs[key].zone for key in cause.inputs),
        )
        return shared, classes

    def _inputs(self, rules: list[Rule]) -> tuple[Input, ...]:
        named = {key for one in rules for key in one.cause.inputs}
        zone, acted = self._group.zone, {self._wiring.groups[key].zone for key in self._groups}
        for rule in rules:
            acted |= {rule.target.key.removeprefix(STILL)} if rule.target.key.startswith(STILL) else set()
        ventilated = any(
            opens_for_ventilation(self._wiring.ruleset, one) for one in self._wiring.acting[self._group.key]
        )
        return tuple(
            one
            for one in self._wiring.ruleset.inputs
            if one.key in named
            or is_asked_of(zone, one, is_ventilated=ventilated)
            or (one.kind is InputKind.RESET and (one.zone is None or one.zone in acted))
        )
