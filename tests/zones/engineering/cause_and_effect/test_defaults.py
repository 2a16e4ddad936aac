"""The rules that a panel starts with. What rain, mains and fire service do: handbook calculations.md §9."""

from tests.zones.engineering.cause_and_effect.logics import COMMON, make_ruleset
from zones.engineering.cause_and_effect import Cause, Group, Input, InputKind, RuleSet, Zone, default_rules, rule_words
from zones.engineering.cause_and_effect.words import cause_words

ZONES = (Zone("z1", "Zone 1"), Zone("z2", "Zone 2"))
GROUPS = (Group("g1", "z1", "Group 1"), Group("g2", "z2", "Group 2"), Group("g3", "z2", "Group 3"))


def words(*inputs):
    ruleset = RuleSet(ZONES, GROUPS, inputs, default_rules(ZONES, GROUPS, inputs))
    return [
        (rule_words(ruleset, one).split(" ", 2)[2], ruleset.priority_of(one), one.is_latching) for one in ruleset.rules
    ]


def test_a_call_point_opens_its_zone_and_lights_its_lamp_until_reset():
    assert words(Input("c", InputKind.CALL_POINT, "Call point 1", "z1")) == [
        ("(Call point 1 operates → open Zone 1)", 2, True),
        ("(Call point 1 operates → light the alarm lamp of Zone 1)", 2, True),
    ]


def test_a_fire_alarm_interface_of_no_zone_opens_every_zone():
    found = words(Input("f", InputKind.FIRE_ALARM, "Interface"))
    assert [one for one, _, _ in found if "open" in one] == [
        "(Interface operates → open Zone 1)",
        "(Interface operates → open Zone 2)",
    ]


def test_a_detector_of_no_zone_gets_no_rule():
    assert words(Input("d", InputKind.DETECTOR, "Stray detector")) == []


def test_rain_closes_what_was_opened_for_ventilation_and_only_that():
    assert words(Input("r", InputKind.RAIN, "Rain sensor", "z2")) == [
        ("(Rain sensor reports rain → close if opened for ventilation Zone 2)", 4, False)
    ]


def test_a_switch_drives_its_own_group_only():
    assert words(Input("v", InputKind.VENTILATION_SWITCH, "Switch", "z2", "g3")) == [
        ("(Switch says open → open Group 3)", 5, False),
        ("(Switch says stop → stop Group 3)", 5, False),
        ("(Switch says close → close Group 3)", 5, False),
    ]


def test_a_switch_that_names_only_its_zone_drives_the_groups_of_that_zone():
    found = words(Input("v", InputKind.VENTILATION_SWITCH, "Switch", "z2"))
    assert [one for one, _, _ in found if "says open" in one] == [
        "(Switch says open → open Group 2)",
        "(Switch says open → open Group 3)",
    ]


def test_lost_mains_are_indicated_and_block_opening_for_ventilation():
    assert words(Input("m", InputKind.MAINS_FAULT, "Mains")) == [
        ("(Mains fails → indicate output fault)", 3, False),
        ("(Mains fails → block opening for ventilation Zone 1)", 3, False),
        ("(Mains fails → block opening for ventilation Zone 2)", 3, False),
    ]


def test_a_line_fault_is_indicated_and_moves_nothing():
    assert words(Input("l", InputKind.LINE_FAULT, "Line 1", "z1", line="L1")) == [
        ("(Line 1 is faulty → indicate output fault)", 3, False)
    ]


def test_fire_service_control_comes_first():
    assert words(Input("s", InputKind.FIRE_SERVICE, "Control", "z1")) == [
        ("(Control is set to open → open Zone 1)", 1, False),
        ("(Control is set to close → close Zone 1)", 1, False),
    ]


def test_keys_are_the_same_each_time_and_each_its_own():
    first, again = make_ruleset(3), make_ruleset(3)
    keys = [one.key for one in first.rules]
    assert keys == [one.key for one in again.rules]
    assert len(set(keys)) == len(keys) > len(COMMON)


def test_inputs_of_one_kind_are_told_in_its_words_and_of_several_in_general_ones():
    """Practice: rain is reported, a detector operates; of both together one word must hold."""
    inputs = (Input("r", InputKind.RAIN, "RS1"), Input("s", InputKind.RAIN, "RS2"), Input("w", InputKind.WIND, "WS1"))
    ruleset = RuleSet(ZONES, GROUPS, inputs, ())
    assert cause_words(ruleset, Cause.of("r", "s", needed=2)) == "any 2 of RS1 and RS2: reports rain"
    assert cause_words(ruleset, Cause.of("r", "w", needed=2)) == "any 2 of RS1 and WS1: operates"
