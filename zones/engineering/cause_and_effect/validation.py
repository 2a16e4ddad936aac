"""What is wrong with a set of rules before it is simulated: every sentence names the thing and the remedy."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import combinations

from zones.engineering.cause_and_effect.rules import (
    CauseKind,
    Effect,
    InputKind,
    Rule,
    RuleSet,
    TargetKind,
    cause_actions_of,
    disagree,
    keys_of,
)
from zones.engineering.cause_and_effect.words import cause_words, rule_words, target_words

_KEY = re.compile(r"[A-Za-z0-9_-]{1,120}")
_PRIORITIES = range(1, 7)


def validate(ruleset: RuleSet) -> tuple[str, ...]:
    """Sentences on what contradicts or points nowhere; empty when the set can be simulated and proven.

    Duplicate or unusable keys, a group without its zone, an input, zone, group or target that a rule names and
    nobody knows, more inputs needed than there are, a cause with opposite effects on one group at one priority,
    a rule that is there twice.
    """
    return (*structural_faults(ruleset), *_contradictions(ruleset, _sound_rules(ruleset)))


def structural_faults(ruleset: RuleSet) -> tuple[str, ...]:
    """The sentences without which the set cannot even be simulated: everything but contradictions and repetitions."""
    found = [*_key_faults(ruleset), *_record_faults(ruleset)]
    for number, rule in enumerate(ruleset.rules, 1):
        found += [f"Rule {number}: {one}" for one in _rule_faults(ruleset, rule)]
    return tuple(found)


def _rule_faults(ruleset: RuleSet, rule: Rule) -> list[str]:
    return [*_cause_faults(ruleset, rule), *_target_faults(ruleset, rule), *_figure_faults(rule)]


def _sound_rules(ruleset: RuleSet) -> list[Rule]:
    return [rule for rule in ruleset.rules if not _rule_faults(ruleset, rule)]


def _key_faults(ruleset: RuleSet) -> Iterator[str]:
    kinds = (
        ("zone", ruleset.zones),
        ("group", ruleset.groups),
        ("input", ruleset.inputs),
        ("rule", ruleset.rules),
    )
    for what, records in kinds:
        for key, count in Counter(one.key for one in records).items():
            if count > 1:
                yield f"The key {key!r} is given to {count} {what}s. Give each {what} its own."
            if not _KEY.fullmatch(key):
                yield f"The {what} key {key!r} is not usable. Use letters, digits, hyphen and underscore, at most 120."


def _record_faults(ruleset: RuleSet) -> Iterator[str]:
    zones, groups = keys_of(ruleset.zones), keys_of(ruleset.groups)
    for group in ruleset.groups:
        if group.zone not in zones:
            yield f"{group} belongs to zone {group.zone!r}, which is not there. Put it into a zone of this panel."
    monitored = Counter(one.line for one in ruleset.inputs if one.kind is InputKind.LINE_FAULT)
    for one in ruleset.inputs:
        if one.zone is not None and one.zone not in zones:
            yield f"{one} belongs to zone {one.zone!r}, which is not there. Choose a zone of this panel, or none."
        if one.group is not None and one.group not in groups:
            yield f"{one} drives group {one.group!r}, which is not there. Choose a group of this panel, or none."
        if one.kind is InputKind.LINE_FAULT and not one.line:
            yield f"{one} names no line. Say which line it monitors."
    for line, count in monitored.items():
        if line and count > 1:
            yield f"Line {line} has {count} fault inputs. Keep one."


def _cause_faults(ruleset: RuleSet, rule: Rule) -> Iterator[str]:
    cause = rule.cause
    match cause.kind:
        case CauseKind.ZONE_IN_ALARM:
            if cause.zone not in keys_of(ruleset.zones):
                yield f"its cause is an alarm in zone {cause.zone!r}, which is not there. Choose a zone of this panel."
            return
        case CauseKind.GROUP_OPEN:
            if cause.group not in keys_of(ruleset.groups):
                yield f"its cause is group {cause.group!r}, which is not there. Choose a group of this panel."
            return
    known = keys_of(ruleset.inputs)
    unknown = [key for key in cause.inputs if key not in known]
    for key in unknown:
        yield f"its cause names the input {key!r}, which is not there. Choose an input of this panel."
    for key, count in Counter(cause.inputs).items():
        if count > 1:
            yield f"its cause names the input {key!r} {count} times. Name it once."
    if not cause.inputs:
        yield "its cause names no input. Name at least one."
    if not unknown and cause.inputs:
        yield from _need_faults(ruleset, rule)


def _need_faults(ruleset: RuleSet, rule: Rule) -> Iterator[str]:
    cause = rule.cause
    inputs = ruleset.inputs_of(cause)
    for one in inputs:
        if cause.action not in cause_actions_of(one.kind):
            usable = " or ".join(cause_actions_of(one.kind))
            yield f"{one} cannot be at {cause.action.value!r}. Use {usable}."
    if cause.counts_lines:
        for one in inputs:
            if not one.line:
                yield f"it counts lines, but {one} sits on none. Give it its line, or count devices."
    countable = len({one.line for one in inputs}) if cause.counts_lines else len(inputs)
    what = "line" if cause.counts_lines else "input"
    if not 1 <= cause.needed <= countable:
        yield f"it needs {cause.needed} of {countable} {what}{'s' * (countable != 1)}. Use 1 to {countable}."


def _target_faults(ruleset: RuleSet, rule: Rule) -> Iterator[str]:
    kind, key = rule.target.kind, rule.target.key
    if kind is TargetKind.OUTPUT:
        if rule.effect is not Effect.INDICATE:
            yield f"an output cannot {rule.effect.words}. Choose a group or zone, or indicate."
        if not key.strip():
            yield "its output has no name. Name it."
        return
    known = keys_of(ruleset.groups if kind is TargetKind.GROUP else ruleset.zones)
    if key not in known:
        yield f"it acts on {kind.value} {key!r}, which is not there. Choose one of this panel."
    elif rule.effect is Effect.INDICATE and kind is TargetKind.GROUP:
        yield "a group has no lamp. Indicate at the zone or at an output."


def _figure_faults(rule: Rule) -> Iterator[str]:
    if rule.priority is not None and rule.priority not in _PRIORITIES:
        yield f"its priority is {rule.priority}. Use 1 (highest) to 6 (lowest), or none for the usual one."
    if not rule.delay_s >= 0:
        yield f"its delay is {rule.delay_s} s. Use 0 or more."


def _contradictions(ruleset: RuleSet, rules: Iterable[Rule]) -> Iterator[str]:
    """Pairs with one cause that meet on a group; compared within each cause, so many rules cost little."""
    by_cause = {}
    for rule in rules:
        by_cause.setdefault(_same_cause(rule), []).append(rule)
    for alike in by_cause.values():
        for first, second in combinations(alike, 2):
            yield from _pair_faults(ruleset, first, second)


def _same_cause(rule: Rule):
    cause = rule.cause
    return cause.kind, frozenset(cause.inputs), cause.needed, cause.action, cause.counts_lines, cause.zone, cause.group


def _pair_faults(ruleset: RuleSet, first: Rule, second: Rule) -> Iterator[str]:
    numbers = f"Rules {ruleset.number_of(first)} and {ruleset.number_of(second)}"
    if first.target == second.target and first.effect == second.effect:
        yield f"{numbers} say the same: {rule_words(ruleset, first)}. Keep one."
        return
    if not disagree(first, second):
        return
    if ruleset.priority_of(first) != ruleset.priority_of(second):
        return
    shared = [one for one in ruleset.groups_of(first.target) if one in ruleset.groups_of(second.target)]
    if shared:
        yield (
            f"{numbers} contradict each other at priority {ruleset.priority_of(first)}: on the cause "
            f"{cause_words(ruleset, first.cause)} one says {first.effect.words}, the other {second.effect.words} for "
            f"{target_words(ruleset, second.target)}. Change one of them or its priority."
        )
