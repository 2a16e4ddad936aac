"""Panels set up wrongly in one thing: what a plan of commissioning is made to find.

Each is the designed rules with one rule left out, changed or added, one input wired the other way round, one zone out
of its lock-out, one reset dead or too wide, or the other setting for after a reset. Priorities that leave the order of
the rules that disagree as it is are not listed: nobody could tell them from the design.
Which mistakes are made: common practice, no published list.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from zones.engineering.cause_and_effect.machine import AFTER_RESET_PRIORITY
from zones.engineering.cause_and_effect.rules import (
    MOMENTARY,
    Action,
    AfterReset,
    CauseKind,
    Effect,
    InputKind,
    Rule,
    RuleSet,
    Target,
    TargetKind,
    cause_actions_of,
    disagree,
    keys_of,
)
from zones.engineering.cause_and_effect.words import name_in, rule_words, target_words

ADDED_DELAY_S = 20
# At equal priority the first of these goes first (`machine`).
RANK = {
    effect: rank
    for rank, effect in enumerate((Effect.OPEN, Effect.HOLD, Effect.STOP, Effect.CLOSE, Effect.CLOSE_VENTILATION))
}
_PRIORITIES = range(1, 7)
_OTHER_EFFECTS = (Effect.OPEN, Effect.CLOSE, Effect.CLOSE_VENTILATION, Effect.HOLD)


class Mistake(StrEnum):
    """What is wrong."""

    MISSING = "is missing"
    EFFECT = "has another effect"
    LATCH = "latches wrongly"
    DELAY = "has another delay"
    PRIORITY = "has another priority"
    TARGET = "acts elsewhere as well"
    COINCIDENCE = "needs another number of devices"
    INPUT = "is caused by another device as well"
    DEVICE = "lacks a device"
    ACTION = "is caused by another position"
    POLE = "is wired the other way round"
    RESET = "resets nothing"
    RESET_SCOPE = "resets every zone"
    LOCKOUT = "is left out of its lock-out"
    AFTER_RESET = "after reset"


@dataclass(frozen=True, slots=True)
class WrongPanel:
    """One mistake. `rule`: key of the rule it is about; `now`: the rules that stand in its place; `subject`: key of
    the input or zone that it is about, where it is not a rule; `said`: what is then so, in words."""

    mistake: Mistake
    rule: str = ""
    now: tuple[Rule, ...] = ()
    subject: str = ""
    said: str = ""


def wrong_panels(ruleset: RuleSet) -> tuple[WrongPanel, ...]:
    """Every mistake that the plan is made to find, in the order of the rules."""
    acting = _Acting(ruleset)
    found = [one for rule in ruleset.rules for one in _wrong_rules(ruleset, acting, rule)]
    named = {key for rule in ruleset.rules for key in rule.cause.inputs}
    for one in ruleset.inputs:
        if one.kind is InputKind.RESET and any(rule.is_latching for rule in ruleset.rules):
            found.append(WrongPanel(Mistake.RESET, subject=one.key))
            if one.zone is not None:
                found.append(WrongPanel(Mistake.RESET_SCOPE, subject=one.key))
        elif one.kind not in MOMENTARY and one.kind is not InputKind.FIRE_SERVICE and one.key in named:
            found.append(WrongPanel(Mistake.POLE, subject=one.key))
    shared = [one.lockout_group for one in ruleset.zones if one.lockout_group]
    with_vents = {one.zone for one in ruleset.groups}
    for one in ruleset.zones:
        if one.key in with_vents and shared.count(one.lockout_group) > 1:
            found.append(WrongPanel(Mistake.LOCKOUT, subject=one.key))
    if ruleset.groups and any(one.kind is InputKind.RESET for one in ruleset.inputs):
        found.append(WrongPanel(Mistake.AFTER_RESET))
    return tuple(found)


def wrong_panel_words(ruleset: RuleSet, one: WrongPanel) -> str:
    """The mistake in a sentence without its full stop."""
    if one.rule:
        rule = rule_words(ruleset, keys_of(ruleset.rules)[one.rule])
        return f"{rule} {one.mistake}{f': {one.said}' if one.said else ''}"
    if one.mistake is Mistake.LOCKOUT:
        return f"{name_in(ruleset.zones, one.subject)} {one.mistake}"
    if one.mistake is Mistake.AFTER_RESET:
        return "after a reset vents that stand open for smoke do the opposite"
    return f"{name_in(ruleset.inputs, one.subject)} {one.mistake}"


class _Acting:
    """Which rules act on each group, to find whether another priority or effect makes a difference there."""

    def __init__(self, ruleset: RuleSet):
        self.ruleset = ruleset
        self.members = {zone.key: [one.key for one in ruleset.groups if one.zone == zone.key] for zone in ruleset.zones}
        self.by_group: dict[str, list[Rule]] = {one.key: [] for one in ruleset.groups}
        for rule in ruleset.rules:
            if rule.effect.moves:
                for key in self.groups(rule.target):
                    self.by_group[key].append(rule)

    def groups(self, target: Target) -> list[str]:
        """Keys of the groups that a rule with this target moves."""
        match target.kind:
            case TargetKind.ZONE:
                return self.members[target.key]
            case TargetKind.GROUP:
                return [target.key]
        return []

    def _never_at_once(self, rule: Rule, other: Rule) -> bool:
        """Two that spring back, or two positions of one selector: one has let go before the other acts."""
        if rule.is_latching or other.is_latching or rule.delay_s or other.delay_s:
            return False
        kinds = {one.kind for each in (rule, other) for one in self.ruleset.inputs_of(each.cause)}
        same = rule.cause.inputs == other.cause.inputs and len(rule.cause.inputs) == 1
        return bool(kinds) and (kinds <= MOMENTARY.keys() or (same and rule.cause.action is not other.cause.action))

    def opponents(self, rule: Rule) -> set[tuple[int, int]]:
        """What goes before or after the rule somewhere and wants something else: (priority, rank) of each.

        Of equal priorities the rank of the effect decides. A lock-out stands behind priority 1, the setting for after
        a reset behind priority 5.
        """
        ruleset = self.ruleset
        found = {
            (ruleset.priority_of(other), RANK[other.effect])
            for key in self.groups(rule.target)
            for other in self.by_group[key]
            if disagree(rule, other) and not self._never_at_once(rule, other)
        }
        if any(one.lockout_group for one in ruleset.zones):
            found.add((1, len(Effect)))
        if ruleset.after_reset is AfterReset.CLOSE:
            found.add((AFTER_RESET_PRIORITY, len(Effect)))
        return found


def _wrong_rules(ruleset: RuleSet, acting: _Acting, rule: Rule) -> Iterator[WrongPanel]:
    def wrong(mistake: Mistake, *now: Rule, said: str = "") -> WrongPanel:
        return WrongPanel(mistake, rule.key, now, said=said)

    yield wrong(Mistake.MISSING)
    yield wrong(Mistake.LATCH, replace(rule, is_latching=not rule.is_latching))
    for delay_s in (0, 2 * rule.delay_s) if rule.delay_s else (ADDED_DELAY_S,):
        yield wrong(Mistake.DELAY, replace(rule, delay_s=delay_s), said=f"{delay_s} s")
    other = _another_target(ruleset, rule)
    if other and not any(one == replace(rule, key=one.key, target=other) for one in ruleset.rules):
        also = replace(rule, key=f"{rule.key}.also", target=other)
        yield wrong(Mistake.TARGET, rule, also, said=target_words(ruleset, other))
    for effect in _other_effects(rule):
        yield wrong(Mistake.EFFECT, replace(rule, effect=effect), said=effect.words)
    if rule.effect.moves:
        for priority in _other_priorities(ruleset.priority_of(rule), RANK[rule.effect], acting.opponents(rule)):
            yield wrong(Mistake.PRIORITY, replace(rule, priority=priority), said=str(priority))
    if rule.cause.kind is CauseKind.INPUTS:
        for mistake, cause, said in _other_causes(ruleset, rule):
            yield wrong(mistake, replace(rule, cause=cause), said=said)


def _other_effects(rule: Rule) -> Iterator[Effect]:
    for effect in _OTHER_EFFECTS if rule.effect is not Effect.INDICATE else ():
        if effect is not rule.effect and (effect is not Effect.CLOSE_VENTILATION or rule.effect is Effect.CLOSE):
            yield effect


def _other_priorities(own: int, rank: int, opponents: set[tuple[int, int]]) -> Iterator[int]:
    """One for each place among what wants something else, but the rule's own."""
    places = {_place_among((own, rank), opponents)}
    for priority in _PRIORITIES:
        place = _place_among((priority, rank), opponents)
        if place not in places:
            places.add(place)
            yield priority


def _place_among(key: tuple[int, int], opponents: set[tuple[int, int]]) -> int:
    return sum(one < key for one in opponents)


def _another_target(ruleset: RuleSet, rule: Rule) -> Target | None:
    """The next zone or group in the set's order."""
    records = {TargetKind.ZONE: ruleset.zones, TargetKind.GROUP: ruleset.groups}.get(rule.target.kind, ())
    keys = [one.key for one in records]
    if len(keys) < 2:
        return None
    return replace(rule.target, key=keys[(keys.index(rule.target.key) + 1) % len(keys)])


def _other_causes(ruleset: RuleSet, rule: Rule):
    cause, inputs = rule.cause, keys_of(ruleset.inputs)
    countable = len({inputs[key].line for key in cause.inputs}) if cause.counts_lines else len(cause.inputs)
    for needed in (cause.needed - 1, cause.needed + 1):
        if 1 <= needed <= countable:
            yield Mistake.COINCIDENCE, replace(cause, needed=needed), str(needed)
    first = inputs[cause.inputs[0]]
    for action in cause_actions_of(first.kind):
        if action is not cause.action and all(action in cause_actions_of(inputs[key].kind) for key in cause.inputs):
            yield Mistake.ACTION, replace(cause, action=action), str(action)
    if len(cause.inputs) > 1 and not cause.counts_lines:
        for k, key in enumerate(cause.inputs):
            left = (*cause.inputs[:k], *cause.inputs[k + 1 :])
            if len(left) >= cause.needed:
                yield Mistake.DEVICE, replace(cause, inputs=left), str(inputs[key])
    others = [one for one in ruleset.inputs if one.kind is first.kind]
    other = others[(others.index(first) + 1) % len(others)]
    if other.key not in cause.inputs and Action.PRESS is not cause.action:
        yield Mistake.INPUT, replace(cause, inputs=(*cause.inputs, other.key)), str(other)
