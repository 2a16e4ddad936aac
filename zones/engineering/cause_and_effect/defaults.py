"""The rules that a panel sensibly starts with, read off its wiring. A person checks and changes them."""

from collections.abc import Iterable, Iterator

from zones.engineering.cause_and_effect.rules import (
    ALARMS,
    FAULTS,
    VENTILATION,
    WEATHER,
    Action,
    Cause,
    Effect,
    Group,
    Input,
    InputKind,
    Rule,
    Target,
    Zone,
    cause_actions_of,
)

FAULT_OUTPUT = "fault"
_EFFECT_OF_ACTION = {Action.OPEN: Effect.OPEN, Action.CLOSE: Effect.CLOSE, Action.STOP: Effect.STOP}


def default_rules(zones: Iterable[Zone], groups: Iterable[Group], inputs: Iterable[Input]) -> tuple[Rule, ...]:
    """The usual rules for these devices; the same devices give the same rules with the same keys.

    A call point, detector or fire alarm interface opens its zone, latches and lights the zone's lamp; a fire alarm
    interface of no zone does so in every zone. Rain and wind close what was opened for ventilation. A ventilation
    switch or ventilation control drives its own group, or the groups of its zone where it names no group. Lost mains
    block opening for ventilation. Faults are indicated and move nothing, but for the break of a data link where the
    panel then opens the zones of its call points. Fire service control opens and closes its
    zone (every zone, where it names none), before everything else.

    A call point or detector of no zone gets no rule: nobody knows what it is to open.
    Source: common practice [P]; what rain, lost mains and fire service control do follows the usual priorities.
    """
    zones, groups = tuple(zones), tuple(groups)
    return tuple(rule for one in inputs for rule in _rules_of(one, zones, groups))


def _rules_of(one: Input, zones: tuple[Zone, ...], groups: tuple[Group, ...]) -> Iterator[Rule]:
    own = [zone for zone in zones if one.zone is None or zone.key == one.zone]
    if one.kind in ALARMS:
        if one.zone is not None or one.kind is InputKind.FIRE_ALARM:
            yield from _alarm_rules(one, own)
    elif one.kind in WEATHER:
        for zone in own:
            yield _rule(one, Action.ON, Target.whole_zone(zone.key), Effect.CLOSE_VENTILATION)
    elif one.kind in VENTILATION:
        yield from _ventilation_rules(one, groups)
    elif one.kind in FAULTS:
        yield from _fault_rules(one, own)
    elif one.kind is InputKind.FIRE_SERVICE:
        for zone in own:
            for action in (Action.OPEN, Action.CLOSE):
                yield _rule(one, action, Target.whole_zone(zone.key), _EFFECT_OF_ACTION[action])


def _alarm_rules(one: Input, own: list[Zone]) -> Iterator[Rule]:
    for zone in own:
        for effect in (Effect.OPEN, Effect.INDICATE):
            yield _rule(one, Action.ON, Target.whole_zone(zone.key), effect, is_latching=True)


def _ventilation_rules(one: Input, groups: tuple[Group, ...]) -> Iterator[Rule]:
    if one.group is not None:
        driven = [one.group]
    else:
        driven = [group.key for group in groups if one.zone is not None and group.zone == one.zone]
    for key in driven:
        for action in cause_actions_of(one.kind):
            yield _rule(one, action, Target.group(key), _EFFECT_OF_ACTION[action])


def _fault_rules(one: Input, own: list[Zone]) -> Iterator[Rule]:
    yield _rule(one, Action.ON, Target.output(FAULT_OUTPUT), Effect.INDICATE)
    for zone in own:
        if zone.key in one.opens:
            yield _rule(one, Action.ON, Target.whole_zone(zone.key), Effect.OPEN)
    if one.kind is InputKind.MAINS_FAULT:
        for zone in own:
            yield _rule(one, Action.ON, Target.whole_zone(zone.key), Effect.BLOCK_VENTILATION)


def _rule(one: Input, action: Action, target: Target, effect: Effect, *, is_latching: bool = False) -> Rule:
    key = "-".join((one.key, action, effect, target.kind, target.key))
    return Rule(key, Cause.of(one.key, action=action), target, effect, is_latching)
