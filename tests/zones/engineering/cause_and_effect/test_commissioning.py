"""The plan of commissioning. What each kind of point must show: handbook process.md §3 ("Point by point")."""

import re
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given, settings

from tests.zones.engineering.cause_and_effect.logics import (
    change_rules,
    make_ruleset,
    with_rules,
    without_rules,
)
from tests.zones.engineering.cause_and_effect.planted import building
from tests.zones.engineering.cause_and_effect.strategies import rulesets
from zones.engineering.cause_and_effect import (
    Action,
    AfterReset,
    Cause,
    CauseKind,
    Effect,
    EventError,
    InputKind,
    LineFault,
    Phase,
    PriorityPair,
    Rule,
    Simulation,
    Target,
    TargetKind,
    commissioning_plan,
    coverage,
)
from zones.engineering.cause_and_effect.rules import MOMENTARY
from zones.engineering.hazards import Hazard
from zones.engineering.power_order import POWER_UP


def steps_with(plan, subject, action, phase=Phase.INPUT):
    return [one for one in plan if one.phase is phase and one.inputs[-1:] == ((subject, action),)]


def test_the_plan_covers_every_input_rule_line_and_pair_of_priorities(plan):
    found = coverage(plan, make_ruleset(3, groups=2, detectors=2))
    assert found.is_complete
    assert (found.inputs.of, found.lines.of) == (3 * 6 + 6, 3 * 2 * 2)
    assert found.rules.done == found.rules.of == len(make_ruleset(3, groups=2, detectors=2).rules)
    # 1-2, 1-4, 1-5, 2-4, 2-5 and 4-5 disagree in each zone (handbook calculations.md §9), each in both orders.
    assert found.pairs.of == 3 * 6 * 2


def test_power_comes_up_first(plan):  # process.md §3, power order
    up = [one.do for one in plan if one.phase is Phase.POWER_UP]
    assert [one.phase for one in plan[: len(up)]] == [Phase.POWER_UP] * len(up)
    assert up == [step.do for step in POWER_UP.steps]


SAYS = {  # words of a step → what is true after it
    r"door open\b": ("door", True),
    r"shut the door": ("door", False),
    r"lead off": ("battery", False),
    r"connect the last battery lead": ("battery", True),
    r"mains off at": ("mains", False),
    r"mains on again": ("mains", True),
}


def test_the_plan_walked_measures_behind_an_open_door_only_says_that_it_is_live_and_ends_in_service(plan):
    """Source: handbook process.md §3: a reading behind the door needs it open; one source of power is left on."""
    state = in_service = {"door": False, "mains": True, "battery": True}
    for step in plan:
        if step.phase is Phase.POWER_UP:
            continue
        said = sorted(
            (found.start(), *after) for words, after in SAYS.items() if (found := re.search(words, step.do.lower()))
        )
        opened = state["door"] or any((subject, value) == ("door", True) for _, subject, value in said)
        assert opened or not step.readings, step.do
        assert not opened or Hazard.LIVE in step.hazards, step.do
        assert opened or "lead" not in step.do, step.do
        state = state | {subject: value for _, subject, value in said}
        assert state["mains"] or state["battery"], step.do
    assert state == in_service


def test_the_voltage_under_load_is_read_while_vents_run_from_the_battery(plan):
    (under_load,) = [one for one in plan if one.readings == ("supply voltage under load, V",)]
    assert (under_load.events[0].subject, under_load.events[0].action) == ("mains", Action.ON)
    assert "Zone 1 goes into alarm." in under_load.must


@pytest.mark.parametrize(("subject", "order"), [("mains", POWER_UP.steps), ("battery", POWER_UP.steps[:3])])
def test_a_round_behind_the_door_opens_it_says_that_it_is_live_and_shuts_it_again(subject, order):
    """After powering up the door is shut: a battery lead or terminals behind it are out of reach until it is opened."""
    plan = commissioning_plan(make_ruleset(1), order)
    off = next(one for one in plan if one.inputs == ((subject, Action.ON),))
    on = next(one for one in plan if (subject, Action.OFF) in one.inputs and one.round == off.round)
    assert off.do.startswith("Door open, guards on, live:")
    assert "shut the door" in f"{off.do} {on.do}".lower()
    assert Hazard.LIVE in off.hazards and Hazard.LIVE in on.hazards


def test_the_battery_fault_is_tried_while_powering_up_where_its_lead_is_off_with_the_mains_on(plan):
    """Handbook process.md §3: battery failure is "disconnect, mains on", read the charger."""
    off = next(one for one in plan if ("battery", Action.ON) in one.inputs)
    on = next(one for one in plan if ("battery", Action.OFF) in one.inputs)
    assert (off.code, on.code) == ("supply", "battery-fault")
    assert "charger voltage, V" in off.readings
    assert (off.must, on.must) == (("Output fault comes on.",), ("Output fault goes out.",))


def test_the_plan_ends_at_the_panel_with_the_system_in_service(plan):
    last = [one for one in plan if one.phase is Phase.LEAVE]
    assert plan[-len(last) :] == tuple(last)
    assert [one.code for one in last] == ["powered", "normal", "settings-left", "linked"]
    assert {one.place for one in last} == {None}


@pytest.mark.parametrize(
    ("kind", "hazards"),
    [
        (InputKind.DETECTOR, {Hazard.MOVING, Hazard.HEIGHT, Hazard.ALARM}),
        (InputKind.CALL_POINT, {Hazard.MOVING, Hazard.ALARM}),
        (InputKind.VENTILATION_SWITCH, {Hazard.MOVING}),
        (InputKind.FIRE_SERVICE, {Hazard.MOVING, Hazard.ALARM}),
    ],
)
def test_a_step_names_what_can_hurt_where_its_device_is(plan, kind, hazards):
    of_kind = {one.key for one in make_ruleset(3, groups=2, detectors=2).inputs if one.kind is kind}
    alone = [one for one in plan if len(one.events) == 1 and one.events[0].subject in of_kind]
    assert alone
    assert {one.hazards for one in alone} == {tuple(one for one in Hazard if one in hazards)}


def test_wetting_the_rain_sensor_is_at_height(plan):
    assert all(Hazard.HEIGHT in one.hazards for one in plan if ("rain", Action.ON) in one.inputs)


def test_opening_a_line_is_live_and_at_height_only_where_detectors_hang_on_it(plan):
    by_line = {one.lines[0][0]: set(one.hazards) for one in plan if one.phase is Phase.LINE and one.lines}
    assert by_line["ld1"] == set(Hazard)
    assert by_line["lc1"] == set(Hazard) - {Hazard.HEIGHT}


def test_no_step_that_operates_something_is_without_a_hazard(plan):
    assert [one.do for one in plan if one.events and Hazard.MOVING not in one.hazards] == []


def test_a_call_point_opens_its_zone_and_every_other_zone_stays(plan):
    (step,) = steps_with(plan, "cp11", Action.ON)
    assert "Zone 1 goes into alarm." in step.must
    assert [one for one in step.must if one.startswith("Group 1.1 opens")]
    assert [one for one in step.must if one.startswith("Group 1.2 opens")]
    assert step.must_not == ("No vent of Zone 2 and Zone 3 moves.",)
    assert step.do == "Operate Call point 1.1 with its test key or frangible element."


def test_a_switch_moves_its_own_group_only(plan):
    (step,) = steps_with(plan, "vs1", Action.OPEN)
    assert step.must_not == ("No vent of Zone 2 and Zone 3 moves.", "Group 1.2 stays as it is.")


def test_rain_in_smoke_and_smoke_in_rain_are_both_tried(plan):  # process.md §3, "rain in smoke"
    for last in (False, True):
        pair = PriorityPair("z1", 2, 4, last)
        (step,) = [one for one in plan if pair in one.pairs]
        shown = Simulation(make_ruleset(3, groups=2, detectors=2)).replay(step.events)[-1]
        assert "rain" in {event.subject for event in step.events}
        assert shown.state.positions[:2] == (3, 3)  # both groups of the zone open for smoke


def test_fire_service_close_and_then_smoke_stays_shut(plan):
    (step,) = [one for one in plan if PriorityPair("z1", 1, 2, True) in one.pairs]
    assert str(step.events[0]) == "fire.close"
    assert step.must_not == ("No vent moves.",)
    assert "Zone 1 goes into alarm." in step.must


def test_a_line_is_tried_with_a_device_off_and_with_its_end_of_line_part_out(plan):
    tried = [one for one in plan if one.phase is Phase.LINE and one.lines[0][0] == "ld1"]
    assert [one.lines[0][1] for one in tried] == [LineFault.DEVICE_REMOVED, LineFault.ELEMENT_REMOVED]
    for one in tried:
        assert one.must == ("Output fault comes on.",)
        assert one.must_not == ("No vent moves.",)


def test_with_the_mains_off_ventilation_is_blocked_and_smoke_opens(plan):  # process.md §3, mains failure
    first = next(k for k, one in enumerate(plan) if one.inputs == (("mains", Action.ON),))
    off, ventilation, smoke = plan[first : first + 3]
    assert off.must == ("Output fault comes on.",)
    assert ventilation.must_not == ("No vent moves.",)
    assert "Zone 1 goes into alarm." in smoke.must


def test_the_second_zone_of_a_lock_out_is_seen_kept_shut():
    ruleset = make_ruleset(3, lockout_group="shaft")
    plan = commissioning_plan(ruleset)
    assert {key for one in plan for key in one.locked_out} == {"z1", "z2", "z3"}
    assert coverage(plan, ruleset).lockouts.done == 3
    assert coverage((), ruleset).lockouts.missing[0] == "Zone 1 is not seen locked out."


def test_steps_are_numbered_and_each_round_ends_with_everything_restored(plan):
    rounds = {}
    for one in plan:
        rounds.setdefault(one.round, []).append(one)
    assert [one.number for one in plan] == list(range(1, len(plan) + 1))
    for some in rounds.values():
        resets = [one for one in some if one.is_reset]
        assert len(resets) <= 1


def test_every_sequence_can_be_replayed_and_shows_what_the_step_says(plan):
    ruleset = make_ruleset(3, groups=2, detectors=2)
    simulation = Simulation(ruleset)
    for one in plan:
        if one.events:
            assert one.inputs[-1] in {(event.subject, event.action) for event in one.events}
            said = [sentence for step in simulation.replay(one.events) for sentence in step.sentences]
            assert set(one.must) <= set(said)


def test_the_same_rules_give_the_same_plan(plan):
    assert commissioning_plan(make_ruleset(3, groups=2, detectors=2)) == plan


def test_vents_that_stay_after_a_reset_are_shut_and_vents_that_close_are_not():
    closes = replace(make_ruleset(1), after_reset=AfterReset.CLOSE)
    for ruleset, presses in ((make_ruleset(1), True), (closes, False)):
        plan = commissioning_plan(ruleset)
        reset = next(k for k, one in enumerate(plan) if one.is_reset)
        assert (plan[reset + 1].do == "Press close at Switch 1.") is presses


def test_vents_that_nothing_closes_are_shut_by_hand():
    inputs = tuple(one for one in make_ruleset(1).inputs if one.kind in (InputKind.CALL_POINT, InputKind.RESET))
    ruleset = replace(make_ruleset(1), inputs=inputs, rules=make_ruleset(1).rules[2:4])
    restored = [one.do for one in commissioning_plan(ruleset) if one.phase is Phase.RESTORE]
    assert "Bring Group 1.1 back to shut by hand" in restored[-1]


def seen_at(events, ruleset):
    """What a person sees: vents that move, lamps that come on or go out."""
    try:
        done = Simulation(ruleset).replay(events)
    except EventError:
        return None
    moves = [[(move.group, move.before, move.after) for move in one.moves] for one in done]
    return moves, [(one.lamps_on, one.lamps_off) for one in done]


def wrong_rulesets(ruleset):
    """(name, rules) of panels set up wrongly: a rule left out, at another zone or group, two devices exchanged."""
    for rule in ruleset.rules:
        yield f"without {rule.key}", without_rules(ruleset, rule.key)
        others = ruleset.zones if rule.target.kind is TargetKind.ZONE else ruleset.groups
        for other in others if rule.target.kind is not TargetKind.OUTPUT else ():
            if other.key != rule.target.key:
                target = replace(rule.target, key=other.key)
                yield (
                    f"{rule.key} at {other.key}",
                    change_rules(ruleset, lambda one, key=rule.key: one.key == key, target=target),
                )
    for one, other in combinations(ruleset.inputs, 2):
        if one.kind is other.kind and one.kind is not InputKind.LINE_FAULT:  # two lines light the same lamp
            exchange = {one.key: other.key, other.key: one.key}
            rules = [
                replace(rule, cause=replace(rule.cause, inputs=tuple(exchange.get(k, k) for k in rule.cause.inputs)))
                for rule in ruleset.rules
            ]
            yield f"{one.key} exchanged with {other.key}", replace(ruleset, rules=tuple(rules))


@pytest.mark.parametrize("lockout_group", ["", "shaft"])
def test_every_rule_left_out_misdirected_or_exchanged_shows_in_some_step(lockout_group):
    ruleset = make_ruleset(2, lockout_group=lockout_group)
    sequences = {one.events for one in commissioning_plan(ruleset) if one.events}
    designed = {events: seen_at(events, ruleset) for events in sequences}
    unseen = [
        name
        for name, wrong in wrong_rulesets(ruleset)
        if all(seen_at(events, wrong) == shown for events, shown in designed.items())
    ]
    assert unseen == []


def test_what_was_not_done_is_named():
    ruleset = make_ruleset(2)
    plan = tuple(one for one in commissioning_plan(ruleset) if one.phase is not Phase.LINE)
    found = coverage(plan, ruleset)
    assert not found.is_complete
    assert found.lines.done == 0
    assert found.lines.missing[0] == "Line ld1: the report of a removed device is not tried."
    assert "Line D1 is not tried." in found.inputs.missing
    pairs = coverage((), ruleset).pairs
    assert (pairs.done, pairs.missing[:2]) == (
        0,
        (
            "Zone 1: priority 2, then priority 1, is not tried.",
            "Zone 1: priority 1, then priority 2, is not tried.",
        ),
    )


def test_a_line_without_an_end_of_line_resistor_has_no_step_that_takes_one_out():
    ruleset = make_ruleset(1)
    inputs = tuple(replace(one, has_element=one.key != "fd1") for one in ruleset.inputs)
    plan = commissioning_plan(replace(ruleset, inputs=inputs))
    assert ("ld1", LineFault.ELEMENT_REMOVED) not in {line for one in plan for line in one.lines}
    assert coverage(plan, replace(ruleset, inputs=inputs)).is_complete


def test_a_line_that_reports_nowhere_is_named_as_not_tried():
    ruleset = make_ruleset(1)
    ruleset = replace(ruleset, inputs=tuple(one for one in ruleset.inputs if one.key != "fd1"))
    ruleset = replace(ruleset, rules=tuple(one for one in ruleset.rules if "fd1" not in one.cause.inputs))
    found = coverage(commissioning_plan(ruleset), ruleset)
    assert found.lines.missing == (
        "Line ld1: the report of a removed device is not tried.",
        "Line ld1: the report of a removed end-of-line resistor is not tried.",
    )


def test_a_rule_that_no_single_point_brings_about_gets_a_step_of_its_own():
    both = Rule("both", Cause.of("sd11", "sd12", needed=2), Target.output("evacuate"), Effect.INDICATE)
    ruleset = with_rules(make_ruleset(1, detectors=2), both)
    plan = commissioning_plan(ruleset)
    assert coverage(plan, ruleset).rules.is_complete
    (step,) = [one for one in plan if one.phase is Phase.LOGIC]
    assert "This tries rule" in step.do
    assert "Output evacuate comes on." in step.must


@pytest.mark.parametrize("number", range(40))
def test_the_plan_of_a_sensible_building_leaves_nothing_out(number):
    ruleset = building(number)
    found = coverage(commissioning_plan(ruleset), ruleset)
    assert found.inputs.is_complete
    assert found.rules.is_complete, found.rules.missing
    assert found.pairs.is_complete, found.pairs.missing
    assert found.lockouts.is_complete
    assert found.lines.done == 2 * sum(one.kind is InputKind.LINE_FAULT for one in ruleset.inputs)


def can_be_brought_about(ruleset, rule):
    """By inputs alone; no delay is waited for with a switch that nobody holds: what then stays untried is named."""
    kinds = {one.kind for one in ruleset.inputs_of(rule.cause)}
    waits_for_a_touch = rule.delay_s and rule.cause.needed > 1 and kinds & MOMENTARY.keys()
    return rule.cause.kind is CauseKind.INPUTS and not waits_for_a_touch


@settings(max_examples=80)
@given(ruleset=rulesets(most_rules=6))
def test_the_plan_of_any_rules_tries_every_input_and_every_rule_of_inputs(ruleset):
    ruleset = replace(ruleset, rules=tuple(one for one in ruleset.rules if can_be_brought_about(ruleset, one)))
    plan = commissioning_plan(ruleset)
    found = coverage(plan, ruleset)
    assert found.inputs.is_complete
    assert found.rules.is_complete, found.rules.missing
    simulation = Simulation(ruleset)
    for one in plan:
        if one.events:
            simulation.replay(one.events)


@settings(max_examples=80)
@given(ruleset=rulesets(most_rules=6))
def test_what_the_plan_of_any_rules_leaves_out_is_named(ruleset):
    plan = commissioning_plan(ruleset)
    found = coverage(plan, ruleset)
    for part in (found.inputs, found.rules, found.pairs, found.lines, found.lockouts):
        assert part.done + len(part.missing) == part.of
    assert found.inputs.is_complete
