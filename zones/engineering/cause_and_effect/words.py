"""Rules, causes and targets as people read them."""

from zones.engineering.cause_and_effect.rules import (
    Action,
    Cause,
    CauseKind,
    Effect,
    InputKind,
    Rule,
    RuleSet,
    Target,
    TargetKind,
    keys_of,
)
from zones.engineering.findings import listed

_STATES = {
    InputKind.MAINS_FAULT: {Action.ON: "fails", Action.OFF: "returns"},
    InputKind.BATTERY_FAULT: {Action.ON: "fails", Action.OFF: "is whole again"},
    InputKind.LINE_FAULT: {Action.ON: "is faulty", Action.OFF: "is whole again"},
    InputKind.LINK_FAULT: {Action.ON: "is broken", Action.OFF: "is whole again"},
    InputKind.RAIN: {Action.ON: "reports rain", Action.OFF: "reports dry weather"},
    InputKind.WIND: {Action.ON: "reports wind", Action.OFF: "reports calm"},
    InputKind.FIRE_SERVICE: {
        Action.AUTO: "is set to automatic",
        Action.OPEN: "is set to open",
        Action.CLOSE: "is set to close",
    },
    InputKind.RESET: {Action.PRESS: "is pressed"},
}
_GENERAL = {
    Action.ON: "operates",
    Action.OFF: "is restored",
    Action.OPEN: "says open",
    Action.CLOSE: "says close",
    Action.STOP: "says stop",
    Action.PRESS: "is pressed",
}


def action_words(kind: InputKind, action: Action) -> str:
    """What happens to an input: "operates", "is set to close"."""
    return _STATES.get(kind, {}).get(action) or _GENERAL[action]


def name_in(records, key: str) -> str:
    """The label of the record of this key, or the key itself where there is none."""
    found = keys_of(records).get(key)
    return str(found) if found else repr(key)


def cause_words(ruleset: RuleSet, cause: Cause) -> str:
    """The cause in words: "any 2 of detectors D1, D2 and D3 operate"."""
    match cause.kind:
        case CauseKind.ZONE_IN_ALARM:
            return f"{name_in(ruleset.zones, cause.zone)} in alarm"
        case CauseKind.GROUP_OPEN:
            return f"{name_in(ruleset.groups, cause.group)} not shut"
    names = [name_in(ruleset.inputs, key) for key in cause.inputs]
    kinds = {one.kind for one in ruleset.inputs_of(cause)}
    said = action_words(kinds.pop(), cause.action) if len(kinds) == 1 else _GENERAL[cause.action]
    if len(names) == 1 and cause.needed == 1:
        return f"{names[0]} {said}"
    what = f"devices on any {cause.needed} lines" if cause.counts_lines else f"any {cause.needed}"
    return f"{what} of {listed(names)}: {said}"


def target_words(ruleset: RuleSet, target: Target) -> str:
    """The target in words: the label of the group or zone, or the output's name."""
    match target.kind:
        case TargetKind.GROUP:
            return name_in(ruleset.groups, target.key)
        case TargetKind.ZONE:
            return name_in(ruleset.zones, target.key)
    return f"output {target.key}"


def rule_words(ruleset: RuleSet, rule: Rule) -> str:
    """A rule in words: "rule 3 (Detector D1 operates → open Zone 1)"."""
    what = f"{rule.effect.words} {target_words(ruleset, rule.target)}"
    if rule.effect is Effect.INDICATE and rule.target.kind is TargetKind.ZONE:
        what = f"light the alarm lamp of {target_words(ruleset, rule.target)}"
    return f"rule {ruleset.number_of(rule)} ({cause_words(ruleset, rule.cause)} → {what})"
