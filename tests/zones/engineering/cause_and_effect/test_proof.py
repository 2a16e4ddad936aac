"""What the proof says of sound rules, and of rules with one fault each.

The priorities that the faults break: handbook calculations.md §9; what each sequence must show is read off its table.
"""

from dataclasses import replace

import pytest

from tests.zones.engineering.cause_and_effect.logics import (
    COMMON,
    change_rules,
    make_ruleset,
    with_rules,
    without_rules,
    zone_inputs,
)
from zones.engineering.cause_and_effect import (
    Action,
    Cause,
    Effect,
    Event,
    Input,
    InputKind,
    Rule,
    RuleSetError,
    Simulation,
    Target,
    Zone,
    encode_events,
)
from zones.engineering.cause_and_effect.proof import ProofVerdict, prove
from zones.engineering.cause_and_effect.properties import Property

OWN, FIRST = Target.whole_zone("z1"), Target.group("g11")


def verdicts(ruleset, zone="z1"):
    proof = next(one for one in prove(ruleset).zones if one.zone == zone)
    return {one.property: one.verdict for one in proof.results}


def failing(ruleset, zone="z1"):
    return {one for one, verdict in verdicts(ruleset, zone).items() if verdict is ProofVerdict.FAILS}


def result(ruleset, wanted, zone="z1"):
    return next(one for one in prove(ruleset).zones if one.zone == zone).result(wanted)


def test_a_property_is_the_text_of_its_key():
    assert [str(one) for one in Property] == [one.value for one in Property]
    assert {one: 1 for one in Property}["opens_on_smoke"] == 1


@pytest.mark.parametrize("lockout_group", ["", "shaft"])
def test_the_default_rules_are_proven_in_every_zone(lockout_group):
    proof = prove(make_ruleset(4, groups=2, detectors=3, lockout_group=lockout_group))
    for zone in proof.zones:
        for one in zone.results:
            lockout = one.property is Property.LOCKS_OUT and not lockout_group
            without_asking = ProofVerdict.NOT_APPLICABLE if lockout else ProofVerdict.PROVEN
            not_told = one.property is Property.OPENS_IN_TIME
            assert one.verdict is (ProofVerdict.NOT_ASKED if not_told else without_asking), one
    assert proof.states > 0


FAULTS = {
    "a detector without a rule": (
        without_rules(make_ruleset(), "sd11-on-open-zone-z1"),
        Property.OPENS_ON_SMOKE,
        "sd11.on",
    ),
    "smoke opens only one of two groups": (
        change_rules(make_ruleset(groups=2), lambda one: one.key == "cp11-on-open-zone-z1", target=FIRST),
        Property.OPENS_ON_SMOKE,
        "cp11.on",
    ),
    "rain before smoke": (
        with_rules(make_ruleset(), Rule("x", Cause.of("rain"), OWN, Effect.CLOSE, priority=1)),
        Property.SMOKE_BEFORE_VENTILATION,
        None,  # two of equal length
    ),
    "a switch before smoke": (
        change_rules(make_ruleset(), lambda one: one.key == "vs1-close-close-group-g11", priority=1),
        Property.SMOKE_BEFORE_VENTILATION,
        None,
    ),
    "an alarm that does not latch": (
        change_rules(make_ruleset(), lambda one: one.key == "sd11-on-open-zone-z1", is_latching=False),
        Property.LATCHES,
        "sd11.on~sd11.off",
    ),
    "a switch of another zone": (
        change_rules(make_ruleset(), lambda one: one.key == "vs2-open-open-group-g21", target=FIRST),
        Property.OWN_ZONE_ONLY,
        "vs2.open",
    ),
    "no call point": (
        without_rules(make_ruleset(), "cp11-on-open-zone-z1"),
        Property.MANUAL_TRIGGER,
        "cp11.on",
    ),
    "no detector": (
        without_rules(make_ruleset(), "sd11-on-open-zone-z1"),
        Property.AUTOMATIC_TRIGGER,
        "sd11.on",
    ),
    "a line fault that closes": (
        with_rules(make_ruleset(), Rule("x", Cause.of("fd1"), OWN, Effect.CLOSE, priority=1)),
        Property.LINE_FAULT_SAFE,
        None,
    ),
    "a contact that shuts its own group": (
        with_rules(make_ruleset(), Rule("x", Cause.group_open("g11"), FIRST, Effect.CLOSE, priority=1)),
        Property.SETTLES,
        None,
    ),
    "a contact that shuts its own group after a while": (
        with_rules(make_ruleset(), Rule("x", Cause.group_open("g11"), FIRST, Effect.CLOSE, delay_s=60, priority=1)),
        Property.SETTLES,
        None,
    ),
    "a call point that breaks the lock-out": (
        change_rules(make_ruleset(lockout_group="shaft"), lambda one: one.key == "cp11-on-open-zone-z1", priority=1),
        Property.LOCKS_OUT,
        None,
    ),
    "smoke before fire service": (
        change_rules(make_ruleset(), lambda one: one.cause.inputs == ("fire",), priority=3),
        Property.FIRE_SERVICE_FIRST,
        None,
    ),
    "a call point that waits": (
        change_rules(make_ruleset(), lambda one: one.key == "cp11-on-open-zone-z1", delay_s=600),
        Property.CALL_POINT_AT_ONCE,
        "cp11.on",
    ),
    "nothing to reset with": (
        make_ruleset(common=tuple(one for one in COMMON if one.key != "reset")),
        Property.CAN_BE_RESET,
        "sd11.on~sd11.off",
    ),
    "no alarm lamp": (
        without_rules(make_ruleset(), "cp11-on-indicate-zone-z1"),
        Property.ALARM_SHOWN,
        "cp11.on",
    ),
    "an alarm lamp that goes out before the alarm ends": (
        change_rules(make_ruleset(), lambda one: one.key == "cp11-on-indicate-zone-z1", is_latching=False),
        Property.ALARM_SHOWN,
        "cp11.on~cp11.off",
    ),
    "an alarm lamp that rain lights": (
        with_rules(make_ruleset(), Rule("x", Cause.of("rain"), OWN, Effect.INDICATE)),
        Property.ALARM_SHOWN,
        "rain.on",
    ),
    "a rain sensor without a rule": (
        without_rules(make_ruleset(), "rain-on-close_ventilation-zone-z1"),
        Property.WEATHER_CLOSES,
        None,
    ),
    "rain weaker than the switch": (
        change_rules(make_ruleset(), lambda one: one.key == "rain-on-close_ventilation-zone-z1", priority=6),
        Property.WEATHER_CLOSES,
        "rain.on~vs1.open",
    ),
    "lost mains that block nothing": (
        without_rules(make_ruleset(), "mains-on-block_ventilation-zone-z1"),
        Property.NO_VENTILATION_WITHOUT_MAINS,
        "mains.on~vs1.open",
    ),
    "a fault that nothing reports": (
        without_rules(make_ruleset(), "battery-on-indicate-output-fault"),
        Property.FAULTS_SHOWN,
        "battery.on",
    ),
    "a fault that is reported late": (
        change_rules(make_ruleset(), lambda one: one.key == "fd1-on-indicate-output-fault", delay_s=3600),
        Property.FAULTS_SHOWN,
        "fd1.on",
    ),
}


@pytest.mark.parametrize("name", FAULTS)
def test_a_planted_fault_is_found_with_its_shortest_sequence(name):
    ruleset, wanted, text = FAULTS[name]
    found = result(ruleset, wanted)
    assert found.verdict is ProofVerdict.FAILS
    if text is not None:
        assert encode_events(found.sequence) == text
    assert Simulation(ruleset).replay(found.sequence)


def test_the_same_rules_without_the_fault_hold():
    assert failing(make_ruleset()) == set()
    assert failing(make_ruleset(groups=2)) == set()
    assert failing(make_ruleset(lockout_group="shaft")) == set()


def test_a_fault_of_one_zone_is_not_laid_at_the_door_of_another():
    ruleset, _, _ = FAULTS["a detector without a rule"]
    assert failing(ruleset, "z2") == set()


def test_a_failure_says_in_words_what_happens():
    ruleset, wanted, _ = FAULTS["an alarm that does not latch"]
    assert result(ruleset, wanted).sentence == (
        "The alarm of Zone 1 ends without a reset. Shown by: Detector 1.1 operates; Detector 1.1 is restored."
    )


def test_rain_before_smoke_is_shown_by_rain_and_smoke_alone():
    ruleset, wanted, _ = FAULTS["rain before smoke"]
    assert {one.subject for one in result(ruleset, wanted).sequence} <= {"rain", "sd11", "cp11"}
    assert len(result(ruleset, wanted).sequence) == 2


def test_movement_in_another_zone_that_is_meant_is_listed_by_its_rule():
    rule = Rule("x", Cause.of("sd21"), OWN, Effect.OPEN, is_latching=True, is_cross_zone=True)
    ruleset = with_rules(make_ruleset(), rule)
    found = result(ruleset, Property.OWN_ZONE_ONLY)
    assert found.verdict is ProofVerdict.PROVEN
    assert found.by_rules == ("x",)
    assert f"Moved for another zone by rule {len(ruleset.rules)}, as meant." in found.sentence
    lamp = Rule("y", Cause.zone_in_alarm("z1"), OWN, Effect.INDICATE)
    assert failing(with_rules(make_ruleset(), replace(rule, is_cross_zone=False), lamp)) == {Property.OWN_ZONE_ONLY}


def test_movement_by_another_zones_alarm_and_by_lock_out_is_listed():
    follow = Rule("x", Cause.zone_in_alarm("z2"), OWN, Effect.OPEN)
    assert result(with_rules(make_ruleset(), follow), Property.OWN_ZONE_ONLY).by_rules == ("x",)
    locked = result(make_ruleset(lockout_group="shaft"), Property.OWN_ZONE_ONLY)
    assert locked.by_lockout
    assert locked.by_rules == ()


def test_detectors_counted_together_need_not_open_alone_but_call_points_must():
    cause = Cause.of("sd11", "sd12", needed=2)
    base = make_ruleset(detectors=2)
    counted = change_rules(base, lambda one: one.cause.inputs in (("sd11",), ("sd12",)), cause=cause)
    assert failing(counted) == set()
    both = Cause.of("sd11", "cp11", needed=2)
    held_back = change_rules(base, lambda one: one.cause.inputs == ("cp11",), cause=both)
    assert Property.OPENS_ON_SMOKE in failing(held_back)


def test_a_reset_of_zone_1_alone_ends_the_alarms_of_zone_1_alone():
    inputs = (*(one for one in COMMON if one.key != "reset"), Input("re1", InputKind.RESET, "Reset 1", "z1"))
    ruleset = make_ruleset(common=inputs)
    assert (failing(ruleset, "z1"), failing(ruleset, "z2")) == (set(), {Property.CAN_BE_RESET})


def test_an_alarm_that_follows_another_zones_is_reset_where_that_zones_is():
    """The reset of zone 1 lets go nothing of zone 2, whose alarm goes on and keeps zone 1 in alarm."""
    follow = Rule("x", Cause.zone_in_alarm("z2"), OWN, Effect.OPEN)
    inputs = (*(one for one in COMMON if one.key != "reset"), Input("re1", InputKind.RESET, "Reset 1", "z1"))
    found = result(with_rules(make_ruleset(common=inputs), follow), Property.CAN_BE_RESET)
    assert found.verdict is ProofVerdict.FAILS
    assert {one.subject[:3] for one in found.sequence} <= {"sd2", "cp2"}


def test_the_alarm_lamp_may_be_lit_before_the_alarm_by_a_device_that_raises_it():
    """Of two detectors counted together the first lights the lamp: common practice, a person goes and looks."""
    both = Cause.of("sd11", "sd12", needed=2)
    opens = [f"sd1{k}-on-open-zone-z1" for k in (1, 2)]
    counted = with_rules(
        without_rules(make_ruleset(detectors=2), *opens), Rule("x", both, OWN, Effect.OPEN, is_latching=True)
    )
    assert failing(counted) == set()


def test_what_a_zone_does_not_have_is_not_applicable():
    ruleset = make_ruleset(1, common=())
    found = verdicts(ruleset)
    assert found[Property.FIRE_SERVICE_FIRST] is ProofVerdict.NOT_APPLICABLE
    assert found[Property.LOCKS_OUT] is ProofVerdict.NOT_APPLICABLE
    empty = replace(ruleset, zones=(*ruleset.zones, Zone("z9", "Zone 9")))
    assert set(verdicts(empty, "z9").values()) == {ProofVerdict.NOT_APPLICABLE}
    by_hand = replace(ruleset, zones=(replace(ruleset.zones[0], needs_automatic=False),))
    assert verdicts(by_hand)[Property.AUTOMATIC_TRIGGER] is ProofVerdict.NOT_APPLICABLE


def test_a_zone_with_vents_and_nothing_else_has_no_trigger_and_no_false_praise():
    ruleset = replace(make_ruleset(1), inputs=(), rules=())
    found = verdicts(ruleset)
    assert found[Property.OPENS_ON_SMOKE] is ProofVerdict.NOT_APPLICABLE
    assert found[Property.MANUAL_TRIGGER] is ProofVerdict.FAILS
    assert found[Property.AUTOMATIC_TRIGGER] is ProofVerdict.FAILS


def test_an_earlier_end_decides_nothing_but_what_was_refuted():
    bounded = result_within(make_ruleset(), 3)
    assert bounded[Property.OPENS_ON_SMOKE].verdict is ProofVerdict.NOT_DECIDED
    assert bounded[Property.OPENS_ON_SMOKE].is_bounded
    assert "Not decided: more than 3 states looked at" in bounded[Property.OPENS_ON_SMOKE].sentence
    ruleset, wanted, _ = FAULTS["a detector without a rule"]
    assert result_within(ruleset, 3)[wanted].verdict is ProofVerdict.FAILS


def result_within(ruleset, most_states):
    return {one.property: one for one in prove(ruleset, most_states=most_states).zones[0].results}


def never_alike(detectors):
    """One zone whose detectors each wait for another time and then open nothing: 2 to their number states and more."""
    ruleset = make_ruleset(1, detectors=detectors)
    opens = [one.key for one in ruleset.rules if one.effect is Effect.OPEN and one.cause.inputs[0].startswith("sd")]
    waiting = (Rule(f"w{k}", Cause.of(f"sd1{k}"), OWN, Effect.HOLD, delay_s=k) for k in range(1, detectors + 1))
    return with_rules(without_rules(ruleset, *opens), *waiting)


def test_the_states_of_all_groups_together_are_limited():
    proof = prove(never_alike(8), most_states=500)
    assert 500 <= proof.states < 600
    assert proof.zones[0].result(Property.LATCHES).verdict is ProofVerdict.NOT_DECIDED


def test_what_opens_a_group_is_limited_too_and_mostly_found_within_the_limit():
    zone = prove(never_alike(12), most_states=500).zones[0]
    assert zone.result(Property.MANUAL_TRIGGER).verdict is ProofVerdict.PROVEN
    assert zone.result(Property.MANUAL_TRIGGER).sentence == "Every group of vents was seen to open so."
    assert zone.result(Property.AUTOMATIC_TRIGGER).verdict is ProofVerdict.NOT_DECIDED
    assert prove(never_alike(3)).zones[0].result(Property.AUTOMATIC_TRIGGER).verdict is ProofVerdict.FAILS


def test_a_zone_that_is_too_large_leaves_the_others_decided():
    waiting = [Rule(f"w{k}", Cause.of(f"sd1{k}"), OWN, Effect.HOLD, delay_s=k) for k in range(1, 9)]
    large_first = with_rules(make_ruleset(2, detectors=8), *waiting)
    first, second = prove(large_first, most_states=2 * prove(make_ruleset(1, detectors=8)).states).zones
    assert first.result(Property.LATCHES).verdict is ProofVerdict.NOT_DECIDED
    assert ProofVerdict.NOT_DECIDED not in {one.verdict for one in second.results}


def test_rules_that_point_nowhere_are_not_proven():
    with pytest.raises(RuleSetError, match="names the input 'nobody'"):
        prove(with_rules(make_ruleset(), Rule("r", Cause.of("nobody"), OWN, Effect.OPEN)))


def test_equal_zones_are_explored_once():
    few, many = prove(make_ruleset(2)), prove(make_ruleset(12))
    assert (few.forms, few.states) == (many.forms, many.states) == (1, few.states)


def test_a_fire_service_control_of_the_zone_without_a_rule_is_found():
    inputs = (*zone_inputs(1), *(one for one in COMMON if one.key != "fire"))
    ruleset = make_ruleset(1)
    control = Input("fire1", InputKind.FIRE_SERVICE, "Control 1", "z1")
    bare = replace(without_rules(ruleset, *(one.key for one in ruleset.rules if "fire" in one.cause.inputs)))
    bare = replace(bare, inputs=(*inputs, control))
    found = result(bare, Property.FIRE_SERVICE_FIRST)
    assert found.verdict is ProofVerdict.FAILS
    assert found.sequence == (Event("fire1", Action.OPEN),)


def test_a_fire_alarm_that_opens_every_zone_does_not_make_a_lock_out_group_dear():
    """Twelve zones that share a lock-out and the building's fire alarm are told apart from the one by their number."""
    alarm = Input("fa", InputKind.FIRE_ALARM, "Fire alarm", place=5)
    few, many = (prove(make_ruleset(count, lockout_group="shaft", common=(*COMMON, alarm))) for count in (4, 12))
    assert not many.failures
    assert many.states < 2 * few.states
