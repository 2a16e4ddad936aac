"""Small buildings with sensible rules, drawn by number, and the faults that can be planted into them."""

import random
from dataclasses import replace

from tests.zones.engineering.cause_and_effect.logics import change_rules, with_rules, without_rules
from zones.engineering.cause_and_effect import (
    Action,
    AfterReset,
    Cause,
    Effect,
    Group,
    Input,
    InputKind,
    Rule,
    RuleSet,
    Target,
    Zone,
    default_rules,
)
from zones.engineering.cause_and_effect.properties import Property

ZONES, GROUPS = ("z0", "z1"), ("g0", "g1")
SHARED = (
    Input("rain", InputKind.RAIN),
    Input("fire", InputKind.FIRE_SERVICE),
    Input("mains", InputKind.MAINS_FAULT),
    Input("fa", InputKind.FIRE_ALARM),
    Input("vs1", InputKind.VENTILATION_SWITCH, "", "z1", "g1"),
    Input("l0", InputKind.LINE_FAULT, "", "z0", line="d0"),
)


def building(number):
    """Two zones, each with a call point and a detector; what else there is depends on the number."""
    draw = random.Random(number)
    lockout = draw.choice(["", "shaft"])
    zones = tuple(Zone(key, f"Zone {key}", lockout) for key in ZONES)
    groups = tuple(Group(f"g{k}", key, f"Group {k}") for k, key in enumerate(ZONES))
    inputs = [Input(f"cp{k}", InputKind.CALL_POINT, "", key, line=f"c{k}") for k, key in enumerate(ZONES)]
    inputs += [Input(f"sd{k}", InputKind.DETECTOR, "", key, line=f"d{k}") for k, key in enumerate(ZONES)]
    inputs += [Input("vs0", InputKind.VENTILATION_SWITCH, "", "z0", "g0"), Input("re", InputKind.RESET)]
    if draw.random() < 0.3:
        inputs.append(Input("re1", InputKind.RESET, "", "z1"))
    inputs += draw.sample(SHARED, 3)
    pair = draw.random() < 0.4
    if pair:
        inputs.append(Input("sdx", InputKind.DETECTOR, "", "z0", line="e0"))
    made = default_rules(zones, groups, inputs)
    ruleset = RuleSet(zones, groups, tuple(inputs), made, draw.choice(tuple(AfterReset)))
    if pair:
        both = Cause.of("sd0", "sdx", needed=2, counts_lines=draw.random() < 0.5)
        ruleset = change_rules(
            without_rules(ruleset, *_keys(ruleset, "sdx")), lambda one: one.cause.inputs == ("sd0",), cause=both
        )
    if draw.random() < 0.3:
        ruleset = change_rules(ruleset, _opens("sd1"), delay_s=30)
    return ruleset


def _keys(ruleset, *inputs):
    return [one.key for one in ruleset.rules if one.cause.inputs == inputs]


def _opens(*inputs):
    return lambda one: one.effect is Effect.OPEN and one.cause.inputs == inputs


def _with_input(ruleset, one):
    return ruleset if one in ruleset.inputs else replace(ruleset, inputs=(*ruleset.inputs, one))


def rain_first(ruleset):
    ruleset = _with_input(ruleset, SHARED[0])
    return with_rules(ruleset, Rule("x", Cause.of("rain"), Target.whole_zone("z0"), Effect.CLOSE, priority=1))


def rain_holds(ruleset):
    ruleset = _with_input(ruleset, SHARED[0])
    return with_rules(ruleset, Rule("x", Cause.of("rain"), Target.group("g1"), Effect.HOLD, priority=1))


def line_fault_closes(ruleset):
    ruleset = _with_input(ruleset, SHARED[5])
    return with_rules(ruleset, Rule("x", Cause.of("l0"), Target.group("g0"), Effect.CLOSE, priority=1))


def late_line_fault_closes(ruleset):
    ruleset = _with_input(ruleset, SHARED[5])
    return with_rules(ruleset, Rule("x", Cause.of("l0"), Target.group("g0"), Effect.CLOSE, delay_s=30, priority=1))


def weak_fire_service(ruleset):
    ruleset = _with_input(ruleset, SHARED[1])
    ruleset = without_rules(ruleset, *_keys(ruleset, "fire")) if _keys(ruleset, "fire") else ruleset
    rules = default_rules(ruleset.zones, ruleset.groups, [SHARED[1]])
    return with_rules(ruleset, *(replace(one, priority=3) for one in rules))


def without_automatic_alarms(ruleset):
    automatic = {one.key for one in ruleset.inputs if one.kind in (InputKind.DETECTOR, InputKind.FIRE_ALARM)}
    return without_rules(ruleset, *(one.key for one in ruleset.rules if automatic & set(one.cause.inputs)))


def without_resets(ruleset):
    return replace(ruleset, inputs=tuple(one for one in ruleset.inputs if one.kind is not InputKind.RESET))


def _without_rules_of(ruleset, key):
    return without_rules(ruleset, *_keys(ruleset, key))


def rain_after_switch(ruleset):
    ruleset = _without_rules_of(_with_input(ruleset, SHARED[0]), "rain")
    rules = default_rules(ruleset.zones, ruleset.groups, [SHARED[0]])
    return with_rules(ruleset, *(replace(one, priority=6) for one in rules))


FAULTS = (
    (lambda one: change_rules(one, _opens("cp1"), is_latching=False), Property.LATCHES),
    (lambda one: without_rules(one, "cp0-on-open-zone-z0"), Property.OPENS_ON_SMOKE),
    (lambda one: change_rules(one, _opens("cp1"), target=Target.group("g0")), Property.OWN_ZONE_ONLY),
    (rain_first, Property.SMOKE_BEFORE_VENTILATION),
    (rain_holds, Property.OPENS_ON_SMOKE),
    (
        lambda one: change_rules(one, lambda rule: rule.key == "vs0-close-close-group-g0", priority=1),
        Property.SMOKE_BEFORE_VENTILATION,
    ),
    (
        lambda one: change_rules(one, lambda rule: rule.key == "vs0-stop-stop-group-g0", priority=1),
        Property.SMOKE_BEFORE_VENTILATION,
    ),
    (line_fault_closes, Property.LINE_FAULT_SAFE),
    (late_line_fault_closes, Property.LINE_FAULT_SAFE),
    (weak_fire_service, Property.FIRE_SERVICE_FIRST),
    (
        lambda one: with_rules(one, Rule("x", Cause.group_open("g0"), Target.group("g0"), Effect.CLOSE, priority=1)),
        Property.SETTLES,
    ),
    (
        lambda one: with_rules(
            one, Rule("x", Cause.group_open("g1"), Target.group("g1"), Effect.CLOSE, delay_s=60, priority=1)
        ),
        Property.SETTLES,
    ),
    (
        lambda one: with_rules(
            one, Rule("x", Cause.of("cp0", "cp1", needed=2), Target.group("g0"), Effect.CLOSE, priority=1)
        ),
        Property.OPENS_ON_SMOKE,
    ),
    (
        lambda one: with_rules(one, Rule("x", Cause.of("vs0", action=Action.STOP), Target.group("g1"), Effect.OPEN)),
        Property.OWN_ZONE_ONLY,
    ),
    (
        lambda one: change_rules(
            replace(one, zones=tuple(replace(zone, lockout_group="shaft") for zone in one.zones)),
            _opens("cp1"),
            priority=1,
        ),
        Property.LOCKS_OUT,
    ),
    (
        lambda one: with_rules(
            change_rules(one, _opens("cp1"), is_latching=False),
            Rule("x", Cause.zone_in_alarm("z1"), Target.whole_zone("z0"), Effect.OPEN, delay_s=10),
        ),
        Property.LATCHES,
    ),
    (
        lambda one: with_rules(one, Rule("x", Cause.zone_in_alarm("z1"), Target.group("g0"), Effect.CLOSE, priority=1)),
        Property.OPENS_ON_SMOKE,
    ),
    (lambda one: without_rules(one, "cp0-on-open-zone-z0"), Property.MANUAL_TRIGGER),
    (without_automatic_alarms, Property.AUTOMATIC_TRIGGER),
    (lambda one: change_rules(one, _opens("cp1"), delay_s=600), Property.CALL_POINT_AT_ONCE),
    (lambda one: change_rules(one, _opens("sd1"), delay_s=3600), Property.OPENS_IN_TIME),
    (without_resets, Property.CAN_BE_RESET),
    (lambda one: without_rules(one, "sd1-on-indicate-zone-z1"), Property.ALARM_SHOWN),
    (
        lambda one: with_rules(
            one, Rule("x", Cause.of("vs0", action=Action.OPEN), Target.whole_zone("z1"), Effect.INDICATE)
        ),
        Property.ALARM_SHOWN,
    ),
    (lambda one: _without_rules_of(_with_input(one, SHARED[0]), "rain"), Property.WEATHER_CLOSES),
    (rain_after_switch, Property.WEATHER_CLOSES),
    (lambda one: _without_rules_of(_with_input(one, SHARED[2]), "mains"), Property.NO_VENTILATION_WITHOUT_MAINS),
)
