"""What is refused before anything is simulated; each with the sentence that says what to do."""

from dataclasses import replace

import pytest

from tests.zones.engineering.cause_and_effect.logics import make_ruleset, with_rules
from zones.engineering.cause_and_effect import (
    Action,
    Cause,
    Effect,
    Group,
    Input,
    InputKind,
    Rule,
    Target,
    Zone,
    validate,
)

OWN = Target.whole_zone("z1")


def added(rule):
    return validate(with_rules(make_ruleset(), rule))


def test_the_default_rules_are_valid():
    assert validate(make_ruleset(3, groups=2, detectors=3)) == ()


def test_an_empty_set_is_valid():
    assert validate(replace(make_ruleset(0, common=()), rules=())) == ()


def test_two_devices_of_one_line_are_no_two_lines():
    rule = Rule("r", Cause.of("sd11", "sd12", needed=2, counts_lines=True), OWN, Effect.OPEN)
    (fault,) = validate(replace(make_ruleset(1, detectors=2), rules=(rule,)))
    assert "needs 2 of 1 line. Use 1 to 1" in str(fault)


@pytest.mark.parametrize(
    ("rule", "says"),
    [
        (Rule("r", Cause.of("nobody"), OWN, Effect.OPEN), "names the input 'nobody', which is not there"),
        (Rule("r", Cause.of(), OWN, Effect.OPEN), "names no input"),
        (Rule("r", Cause.of("cp11", "cp11"), OWN, Effect.HOLD), "names the input 'cp11' 2 times"),
        (Rule("r", Cause.of("cp11", "sd11", needed=3), OWN, Effect.OPEN), "needs 3 of 2 inputs. Use 1 to 2"),
        (Rule("r", Cause.of("cp11", needed=0), OWN, Effect.OPEN), "needs 0 of 1 input. Use 1 to 1"),
        (Rule("r", Cause.of("sd11", "rain", counts_lines=True), OWN, Effect.OPEN), "Rain sensor sits on none"),
        (Rule("r", Cause.of("vs1"), OWN, Effect.OPEN), "Switch 1 cannot be at 'on'. Use open or stop or close"),
        (Rule("r", Cause.of("fire", action=Action.AUTO), OWN, Effect.OPEN), "cannot be at 'auto'"),
        (Rule("r", Cause.of("cp11", action=Action.OFF), OWN, Effect.OPEN), "cannot be at 'off'. Use on"),
        (Rule("r", Cause.zone_in_alarm("z9"), OWN, Effect.OPEN), "zone 'z9', which is not there"),
        (Rule("r", Cause.group_open("g9"), OWN, Effect.OPEN), "group 'g9', which is not there"),
        (Rule("r", Cause.of("cp11"), Target.group("g9"), Effect.OPEN), "group 'g9', which is not there"),
        (Rule("r", Cause.of("cp11"), Target.whole_zone("z9"), Effect.OPEN), "zone 'z9', which is not there"),
        (Rule("r", Cause.of("cp11"), Target.output("siren"), Effect.OPEN), "an output cannot open"),
        (Rule("r", Cause.of("cp11"), Target.output(" "), Effect.INDICATE), "output has no name"),
        (Rule("r", Cause.of("cp11"), Target.group("g11"), Effect.INDICATE), "a group has no lamp"),
        (Rule("r", Cause.of("cp11"), OWN, Effect.HOLD, priority=7), "priority is 7. Use 1 (highest) to 6 (lowest)"),
        (Rule("r", Cause.of("cp11"), OWN, Effect.HOLD, priority=0), "priority is 0"),
        (Rule("r", Cause.of("cp11"), OWN, Effect.HOLD, delay_s=-1), "delay is -1 s"),
    ],
)
def test_a_rule_that_points_nowhere_is_refused_with_its_number(rule, says):
    sentences = [one for one in added(rule) if says in one]
    assert len(sentences) == 1
    assert sentences[0].startswith(f"Rule {len(make_ruleset().rules) + 1}: ")


def test_opposite_effects_of_one_cause_at_one_priority_are_refused():
    (sentence,) = added(Rule("r", Cause.of("cp11"), Target.group("g11"), Effect.CLOSE))
    assert "contradict each other at priority 2" in sentence
    assert "one says open, the other close for Group 1.1" in sentence


@pytest.mark.parametrize(
    "rule",
    [
        Rule("r", Cause.of("cp11"), Target.group("g11"), Effect.CLOSE, priority=3),  # another priority decides
        Rule("r", Cause.of("cp11"), Target.group("g21"), Effect.CLOSE),  # another group
        Rule("r", Cause.of("sd11", "cp11", needed=2), OWN, Effect.CLOSE),  # another cause
        Rule("r", Cause.of("cp11"), OWN, Effect.BLOCK_VENTILATION),  # does not move
        Rule("r", Cause.of("rain"), OWN, Effect.CLOSE),  # both close
    ],
)
def test_rules_that_do_not_meet_are_no_contradiction(rule):
    assert added(rule) == ()


def test_the_same_rule_twice_is_refused():
    (sentence,) = added(Rule("r", Cause.of("cp11"), OWN, Effect.OPEN))
    assert "say the same" in sentence


def test_a_group_without_a_zone_is_refused():
    ruleset = make_ruleset()
    (sentence,) = validate(replace(ruleset, groups=(*ruleset.groups, Group("g9", "z9", "Lost group"))))
    assert sentence == "Lost group belongs to zone 'z9', which is not there. Put it into a zone of this panel."


@pytest.mark.parametrize(
    ("one", "says"),
    [
        (Input("x", InputKind.DETECTOR, zone="z9"), "belongs to zone 'z9'"),
        (Input("x", InputKind.VENTILATION_SWITCH, group="g9"), "drives group 'g9'"),
        (Input("x", InputKind.LINE_FAULT), "names no line"),
        (Input("x", InputKind.LINE_FAULT, line="ld1"), "Line ld1 has 2 fault inputs"),
        (Input("rain", InputKind.RAIN), "'rain' is given to 2 inputs"),
        (Input("not a key", InputKind.RAIN), "'not a key' is not usable"),
    ],
)
def test_an_input_that_hangs_in_the_air_is_refused(one, says):
    ruleset = make_ruleset()
    (sentence,) = validate(replace(ruleset, inputs=(*ruleset.inputs, one)))
    assert says in sentence


def test_a_key_given_twice_is_refused():
    ruleset = make_ruleset()
    (sentence,) = validate(replace(ruleset, zones=(*ruleset.zones, Zone("z1", "Again"))))
    assert sentence == "The key 'z1' is given to 2 zones. Give each zone its own."
