"""Where two causes meet while commissioning: which rules are tried, in which rounds, what a lock-out keeps shut.

Source: common practice: what one person can bring about at once and without waiting is tried first.
"""

from dataclasses import replace

import pytest

from tests.zones.engineering.cause_and_effect.logics import change_rules, make_ruleset
from zones.engineering.cause_and_effect import Action, Cause, Effect, Phase, Simulation, commissioning_plan
from zones.engineering.cause_and_effect.commissioning import rule_pairs
from zones.engineering.cause_and_effect.commissioning_round import Panel, Round
from zones.engineering.cause_and_effect.events import Event

SMOKE_OR_SWITCH = ("z1", 2, 5)


@pytest.mark.parametrize(
    "costly",
    [
        {"cause": Cause.of("sd11", "sd12", needed=2)},
        {"delay_s": 1},
        {"effect": Effect.STOP},
        {"effect": Effect.HOLD},
    ],
    ids=["two devices", "a delay", "a stop", "a hold"],
)
def test_two_priorities_are_tried_by_the_rules_that_one_device_brings_about_at_once(costly):
    ruleset = make_ruleset(1, detectors=2)
    plain = rule_pairs(ruleset)[SMOKE_OR_SWITCH]
    first = replace(plain[0], key="listed first", **costly)
    assert rule_pairs(replace(ruleset, rules=(first, *ruleset.rules)))[SMOKE_OR_SWITCH] == plain


def priorities_by_round(plan):
    rounds = {}
    for step in plan:
        for pair in step.pairs:
            rounds.setdefault(step.round, set()).add((pair.stronger, pair.weaker))
    return [sorted(met) for met in rounds.values()]


def test_one_stronger_priority_a_round_and_a_weaker_one_that_latches_apart_from_the_others(plan):
    """Of these the alarm latches, priority 2."""
    assert priorities_by_round(plan) == [[(1, 2)], [(4, 5)], [(2, 4), (2, 5)], [(1, 4), (1, 5)]]


def test_where_all_latch_each_two_priorities_have_a_round_of_their_own():
    latching = change_rules(make_ruleset(1), lambda one: one.effect.moves, is_latching=True)
    rounds = priorities_by_round(commissioning_plan(latching))
    assert sorted(rounds) == [[(1, 2)], [(1, 4)], [(1, 5)], [(2, 4)], [(2, 5)], [(4, 5)]]


@pytest.fixture
def round_in_shaft():
    """A round on a panel of three zones that lock each other out."""
    ruleset = make_ruleset(3, lockout_group="shaft")
    return Round(Panel(ruleset, Simulation(ruleset)))


def operate(round_, *events):
    round_.operate([Event(*event) for event in events], Phase.PRIORITY)


def test_of_zones_that_another_locks_out_those_in_alarm_are_seen_kept_shut(round_in_shaft):
    operate(round_in_shaft, ("cp11", Action.ON))
    assert round_in_shaft.locked_out() == ()
    operate(round_in_shaft, ("cp21", Action.ON))
    assert round_in_shaft.locked_out() == ("z2",)


def test_a_zone_that_the_fire_service_opened_is_not_seen_kept_shut(round_in_shaft):
    operate(round_in_shaft, ("cp11", Action.ON), ("cp21", Action.ON), ("fire", Action.OPEN))
    assert round_in_shaft.locked_out() == ()
