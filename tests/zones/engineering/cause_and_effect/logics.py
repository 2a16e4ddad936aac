"""Small sets of rules to start a test from."""

from dataclasses import replace

from zones.engineering.cause_and_effect import Group, Input, InputKind, RuleSet, Zone, default_rules

COMMON = (
    Input("rain", InputKind.RAIN, "Rain sensor", place=90),
    Input("wind", InputKind.WIND, "Wind sensor", place=91),
    Input("mains", InputKind.MAINS_FAULT, "Mains", place=1),
    Input("battery", InputKind.BATTERY_FAULT, "Battery", place=2),
    Input("reset", InputKind.RESET, "Reset", place=3),
    Input("fire", InputKind.FIRE_SERVICE, "Fire service control", place=4),
)


def zone_inputs(number, *, detectors=1, call_points=1):
    """Devices of one zone: detectors on a line, call points on another, a switch, both line faults."""
    zone, place = f"z{number}", 10 * number
    return (
        *(
            Input(f"sd{number}{k}", InputKind.DETECTOR, f"Detector {number}.{k}", zone, line=f"ld{number}", place=place)
            for k in range(1, detectors + 1)
        ),
        *(
            Input(f"cp{number}{k}", InputKind.CALL_POINT, f"Call point {number}.{k}", zone, line=f"lc{number}")
            for k in range(1, call_points + 1)
        ),
        Input(f"vs{number}", InputKind.VENTILATION_SWITCH, f"Switch {number}", zone, f"g{number}1", place=place + 1),
        Input(f"fd{number}", InputKind.LINE_FAULT, f"Line D{number}", zone, line=f"ld{number}"),
        Input(f"fc{number}", InputKind.LINE_FAULT, f"Line C{number}", zone, line=f"lc{number}"),
    )


def make_ruleset(zones=2, *, groups=1, lockout_group="", common=COMMON, **devices):
    """A building with the default rules: `zones` zones of `groups` groups each."""
    made = tuple(Zone(f"z{k}", f"Zone {k}", lockout_group) for k in range(1, zones + 1))
    vents = tuple(
        Group(f"g{k}{n}", f"z{k}", f"Group {k}.{n}") for k in range(1, zones + 1) for n in range(1, groups + 1)
    )
    inputs = (*(one for k in range(1, zones + 1) for one in zone_inputs(k, **devices)), *common)
    return RuleSet(made, vents, inputs, default_rules(made, vents, inputs))


def with_rules(ruleset, *rules):
    """The same set with further rules."""
    return replace(ruleset, rules=(*ruleset.rules, *rules))


def without_rules(ruleset, *keys):
    """The same set without the rules of these keys; each must be there."""
    assert set(keys) <= {one.key for one in ruleset.rules}
    return replace(ruleset, rules=tuple(one for one in ruleset.rules if one.key not in keys))


def change_rules(ruleset, predicate, **changes):
    """The same set with the rules that meet the predicate changed; at least one must."""
    assert any(predicate(one) for one in ruleset.rules)
    rules = tuple(replace(one, **changes) if predicate(one) else one for one in ruleset.rules)
    return replace(ruleset, rules=rules)
