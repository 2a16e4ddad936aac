"""Small random rule sets: some sensible, most of them not."""

from hypothesis import strategies as st

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
    cause_actions_of,
    default_rules,
)

LASTING = (
    InputKind.CALL_POINT,
    InputKind.DETECTOR,
    InputKind.DETECTOR,
    InputKind.FIRE_ALARM,
    InputKind.RAIN,
    InputKind.WIND,
    InputKind.LINE_FAULT,
    InputKind.MAINS_FAULT,
)
MOVING = (Effect.OPEN, Effect.OPEN, Effect.OPEN, Effect.CLOSE, Effect.CLOSE_VENTILATION, Effect.STOP, Effect.HOLD)


@st.composite
def inputs_of(draw, zones, groups, most_lasting):
    places = st.sampled_from([one.key for one in zones] * 3 + [None])
    lasting = draw(st.lists(st.sampled_from(LASTING), min_size=1, max_size=most_lasting))
    made = [
        Input(
            *(f"i{k}", kind, "", draw(places)),
            line=f"m{k}" if kind is InputKind.LINE_FAULT else draw(st.sampled_from(["a", "b", "c"])),
            place=draw(st.integers(0, 3)),
        )
        for k, kind in enumerate(lasting)
    ]
    if draw(st.booleans()):
        made.append(Input("vs", InputKind.VENTILATION_SWITCH, "", groups[0].zone, groups[0].key))
    if draw(st.booleans()) and len(lasting) < most_lasting:
        made.append(Input("fire", InputKind.FIRE_SERVICE, "", draw(places)))
    for k in range(draw(st.integers(0, 2))):
        made.append(Input(f"re{k}", InputKind.RESET, "", draw(places) if k else None))
    return tuple(made)


@st.composite
def causes(draw, zones, groups, inputs):
    if draw(st.integers(0, 9)) == 0:
        return Cause.zone_in_alarm(draw(st.sampled_from(zones)).key)
    if draw(st.integers(0, 14)) == 0:
        return Cause.group_open(draw(st.sampled_from(groups)).key)
    usable = [one for one in inputs if one.kind is not InputKind.RESET]
    first = draw(st.sampled_from(usable))
    action = draw(st.sampled_from(cause_actions_of(first.kind)))
    alike = [one for one in usable if action in cause_actions_of(one.kind) and one is not first]
    others = draw(st.lists(st.sampled_from(alike), unique=True, max_size=3)) if alike and draw(st.booleans()) else []
    named = (first, *others)
    counts_lines = all(one.line for one in named) and draw(st.booleans())
    countable = len({one.line for one in named}) if counts_lines else len(named)
    needed = draw(st.integers(1, min(countable, 2)))
    return Cause.of(*(one.key for one in named), needed=needed, action=action, counts_lines=counts_lines)


@st.composite
def rules(draw, key, zones, groups, inputs):
    zone, group = draw(st.sampled_from(zones)), draw(st.sampled_from(groups))
    effect = draw(st.sampled_from((*MOVING, Effect.BLOCK_VENTILATION, Effect.INDICATE)))
    return Rule(
        key,
        draw(causes(zones, groups, inputs)),
        Target.whole_zone(zone.key) if effect is Effect.INDICATE or draw(st.booleans()) else Target.group(group.key),
        effect,
        is_latching=draw(st.booleans()),
        delay_s=draw(st.sampled_from([0, 0, 0, 0, 0, 0, 0, 0, 30, 600])),
        priority=draw(st.sampled_from([None, None, None, 1, 2, 3, 4, 5])),
        is_cross_zone=draw(st.booleans()),
    )


@st.composite
def rulesets(draw, most_zones=3, most_lasting=4, most_rules=4):
    """Valid in structure; contradictions may be among them."""
    count = draw(st.integers(1, most_zones))
    lockout = draw(st.sampled_from(["", "shaft"]))
    zones = tuple(Zone(f"z{k}", "", lockout, draw(st.booleans())) for k in range(count))
    groups = [Group(f"g{k}", f"z{k}") for k in range(count)]
    if draw(st.booleans()):
        groups.append(Group("gx", "z0"))
    inputs = draw(inputs_of(zones, groups, most_lasting))
    made = list(default_rules(zones, groups, inputs)) if draw(st.integers(0, 3)) else []
    if made and draw(st.booleans()):
        made.pop(draw(st.integers(0, len(made) - 1)))
    made += [draw(rules(f"r{k}", zones, groups, inputs)) for k in range(draw(st.integers(0, most_rules)))]
    return RuleSet(zones, tuple(groups), inputs, tuple(made), draw(st.sampled_from(AfterReset)))


@st.composite
def shafts(draw):
    """Three or four zones of one lock-out group: what the reduction of other zones is about."""
    count = draw(st.integers(3, 4))
    zones = tuple(Zone(f"z{k}", "", "shaft") for k in range(count))
    groups = tuple(Group(f"g{k}", f"z{k}") for k in range(count))
    made = [Input(f"sd{k}", InputKind.DETECTOR, "", f"z{k}") for k in range(count)]
    if draw(st.booleans()):
        made.append(Input("fa", InputKind.FIRE_ALARM))
    if draw(st.booleans()):
        made.append(Input("vs", InputKind.VENTILATION_SWITCH, "", "z1", "g1"))
    if draw(st.integers(0, 2)):
        made.append(Input("re", InputKind.RESET))
    made += [Input(f"re{k}", InputKind.RESET, "", f"z{k}") for k in range(count) if draw(st.integers(0, 3)) == 0]
    inputs = tuple(made)
    ruleset = RuleSet(zones, groups, inputs, default_rules(zones, groups, inputs), draw(st.sampled_from(AfterReset)))
    lasting = [one.key for one in inputs if Action.ON in cause_actions_of(one.kind)]
    more = [
        Rule(
            f"r{k}",
            Cause.of(draw(st.sampled_from(lasting))),
            Target.group(draw(st.sampled_from(groups)).key),
            draw(st.sampled_from(MOVING)),
            is_latching=draw(st.booleans()),
            priority=draw(st.sampled_from([1, 2, 3])),
        )
        for k in range(draw(st.integers(0, 2)))
    ]
    return RuleSet(zones, groups, inputs, (*ruleset.rules, *more), ruleset.after_reset)
