"""One event after another. The vectors marked §9 are those of handbook calculations.md §9 ("Test vectors")."""

from dataclasses import replace

import pytest

from tests.zones.engineering.cause_and_effect.logics import change_rules, make_ruleset, with_rules
from zones.engineering.cause_and_effect import (
    Action,
    AfterReset,
    Cause,
    Effect,
    Event,
    EventError,
    Input,
    InputKind,
    Position,
    Rule,
    RuleSetError,
    Simulation,
    Target,
    decode_events,
    encode_events,
    initial_state,
    step,
)

OWN = Target.whole_zone("z1")
FIRST = Target.group("g11")


def after(ruleset, text):
    """Where group 1.1 stands after the sequence."""
    return position(ruleset, text, "g11")


def position(ruleset, text, group):
    simulation = Simulation(ruleset)
    events = decode_events(ruleset, text)
    state = simulation.replay(events)[-1].state
    return next(one.position for one in simulation.snapshot(state).groups if one.group == group)


def last(ruleset, text):
    return Simulation(ruleset).replay(decode_events(ruleset, text))[-1]


# --- §9, the test vectors of the handbook ---


@pytest.mark.parametrize("text", ["sd11.on~rain.on", "rain.on~sd11.on", "cp11.on~wind.on", "wind.on~cp11.on"])
def test_smoke_and_rain_in_either_order_open(text):  # §9: smoke + rain -> open
    assert after(make_ruleset(), text) is Position.OPEN


def test_rain_closes_what_is_open_for_ventilation():  # §9: ventilation open + rain -> close
    assert after(make_ruleset(), "vs1.open") is Position.OPEN_VENTILATION
    assert after(make_ruleset(), "vs1.open~rain.on") is Position.SHUT


@pytest.mark.parametrize("text", ["fire.close~sd11.on", "sd11.on~fire.close", "vs1.open~sd11.on~fire.close"])
def test_fire_service_close_beats_smoke(text):  # §9: fire-service CLOSE + smoke -> closed
    assert after(make_ruleset(), text) is Position.SHUT


def test_only_automatic_lets_smoke_act_again():  # §9 table, priority 1: only AUTO lets others act
    assert after(make_ruleset(), "sd11.on~fire.close~fire.auto") is Position.OPEN


def test_lost_mains_block_opening_for_ventilation_and_keep_the_position():  # §9: blocked, position kept
    assert after(make_ruleset(), "mains.on~vs1.open") is Position.SHUT
    assert after(make_ruleset(), "vs1.open~mains.on") is Position.OPEN_VENTILATION
    assert after(make_ruleset(), "mains.on~sd11.on") is Position.OPEN


def test_lost_mains_close_for_ventilation_by_setting():  # §9: … or closed by setting
    ruleset = with_rules(make_ruleset(), Rule("m", Cause.of("mains"), OWN, Effect.CLOSE_VENTILATION))
    assert after(ruleset, "vs1.open~mains.on") is Position.SHUT
    assert after(ruleset, "sd11.on~mains.on") is Position.OPEN


def test_lock_out_keeps_the_second_zone_shut():  # §9: smoke zone 1, then zone 2 with lock-out -> zone 2 shut
    ruleset = make_ruleset(lockout_group="shaft")
    assert position(ruleset, "sd11.on~sd21.on", "g11") is Position.OPEN
    assert position(ruleset, "sd11.on~sd21.on", "g21") is Position.SHUT
    assert position(make_ruleset(), "sd11.on~sd21.on", "g21") is Position.OPEN  # without lock-out


def test_lock_out_shuts_what_the_second_zone_had_open_and_fire_service_opens_it():
    ruleset = make_ruleset(lockout_group="shaft")
    assert position(ruleset, "vs2.open~sd11.on", "g21") is Position.SHUT
    assert position(ruleset, "vs2.open~sd11.on~fire.open", "g21") is Position.OPEN


def test_the_second_zone_opens_when_the_first_is_reset_and_it_is_still_in_smoke():
    ruleset = make_ruleset(lockout_group="shaft")
    assert position(ruleset, "sd11.on~sd21.on~sd11.off~reset.press", "g21") is Position.OPEN


def test_a_reset_with_the_detector_still_operated_is_an_alarm_again():  # §9, EN 54-2 [M]
    done = last(make_ruleset(), "sd11.on~reset.press")
    assert Simulation(make_ruleset()).snapshot(done.state).alarms == ("z1",)
    assert done.sentences == ("Zone 1 stays in alarm: what raised it is still operated.",)


def test_after_a_reset_vents_stay_or_close_by_setting():  # §9: a separate close command, or automatically
    text = "sd11.on~sd11.off~reset.press"
    stay = make_ruleset()
    assert after(stay, text) is Position.OPEN
    assert after(stay, f"{text}~vs1.close") is Position.SHUT
    assert after(replace(stay, after_reset=AfterReset.CLOSE), text) is Position.SHUT


def test_rain_does_not_close_what_smoke_left_open_after_the_reset():  # §9 table, 4: ventilation-opened vents only
    assert after(make_ruleset(), "sd11.on~sd11.off~reset.press~rain.on") is Position.OPEN


def test_a_call_point_is_not_held_back_by_a_coincidence_of_detectors():  # §9: call points are never delayed by it
    ruleset = make_ruleset(1, detectors=2)
    ruleset = change_rules(
        ruleset,
        lambda one: one.cause.inputs in (("sd11",), ("sd12",)),
        cause=Cause.of("sd11", "sd12", needed=2),
    )
    assert after(ruleset, "sd11.on") is Position.SHUT
    assert after(ruleset, "sd11.on~sd12.on") is Position.OPEN
    assert after(ruleset, "sd11.on~cp11.on") is Position.OPEN


# --- what the model adds ---


def test_an_alarm_stays_when_its_detector_is_restored():
    assert Simulation(make_ruleset()).snapshot(last(make_ruleset(), "sd11.on~sd11.off").state).alarms == ("z1",)


def test_a_coincidence_of_lines_counts_lines():
    two = Cause.of("sd11", "sd12", "cp11", needed=2, counts_lines=True)
    ruleset = make_ruleset(1, detectors=2)
    ruleset = replace(ruleset, rules=(Rule("r", two, OWN, Effect.OPEN),))
    assert after(ruleset, "sd11.on~sd12.on") is Position.SHUT
    assert after(ruleset, "sd11.on~cp11.on") is Position.OPEN


def test_a_delay_holds_back_the_vents_and_not_the_alarm():
    ruleset = change_rules(make_ruleset(), lambda one: one.effect is Effect.OPEN and one.is_latching, delay_s=30)
    simulation = Simulation(ruleset)
    (first,) = simulation.replay([Event("sd11", Action.ON)])
    assert first.alarms_on == ("z1",)
    assert first.moves == ()
    key = "sd11-on-open-zone-z1"
    assert simulation.snapshot(first.state).waiting == (key,)
    assert first.sentences[-1] == "30 s delay of rule 1 (Detector 1.1 operates → open Zone 1) runs."
    second = simulation.step(first.state, Event(key, Action.ELAPSED))
    assert [one.after for one in second.moves] == [Position.OPEN]


def test_a_delay_ends_with_its_cause_unless_the_rule_latches():
    rule = Rule("r", Cause.of("rain"), FIRST, Effect.CLOSE, delay_s=60)
    ruleset = with_rules(make_ruleset(), rule)
    assert Simulation(ruleset).snapshot(last(ruleset, "rain.on").state).waiting == ("r",)
    assert Simulation(ruleset).snapshot(last(ruleset, "rain.on~rain.off").state).waiting == ()


def test_a_delayed_switch_acts_once():
    ruleset = change_rules(make_ruleset(), lambda one: one.key == "vs1-open-open-group-g11", delay_s=5)
    assert after(ruleset, "vs1.open") is Position.SHUT
    assert after(ruleset, "vs1.open~vs1-open-open-group-g11.elapsed") is Position.OPEN_VENTILATION
    assert after(ruleset, "vs1.open~vs1-open-open-group-g11.elapsed~vs1.close") is Position.SHUT


def test_stop_leaves_an_open_group_part_way_and_smoke_opens_it_fully():
    assert after(make_ruleset(), "vs1.stop") is Position.SHUT
    assert after(make_ruleset(), "vs1.open~vs1.stop") is Position.PART_WAY
    assert after(make_ruleset(), "vs1.open~vs1.stop~sd11.on") is Position.OPEN


@pytest.mark.parametrize("switch", ["vs1.close", "vs1.stop", "vs1.open~vs1.close"])
def test_a_switch_cannot_take_a_vent_from_smoke(switch):
    assert after(make_ruleset(), f"sd11.on~{switch}") is Position.OPEN


def test_hold_keeps_a_group_where_it_is_against_what_is_weaker():
    ruleset = with_rules(make_ruleset(), Rule("h", Cause.of("wind"), FIRST, Effect.HOLD, priority=3))
    assert after(ruleset, "wind.on~vs1.open") is Position.SHUT
    assert after(ruleset, "vs1.open~wind.on~vs1.close") is Position.OPEN_VENTILATION
    assert after(ruleset, "wind.on~sd11.on") is Position.OPEN


def test_open_wins_at_equal_priority():
    ruleset = with_rules(make_ruleset(), Rule("x", Cause.of("cp11"), FIRST, Effect.CLOSE, priority=2))
    assert after(ruleset, "cp11.on") is Position.OPEN


def test_a_momentary_command_ends_when_it_is_let_go():
    ruleset = with_rules(make_ruleset(), Rule("x", Cause.of("wind"), FIRST, Effect.CLOSE, priority=5))
    assert after(ruleset, "wind.on~vs1.open") is Position.SHUT  # as strong as the switch, and it stays


def test_a_zone_in_alarm_can_open_another_and_its_reset_ends_both():
    ruleset = with_rules(
        make_ruleset(), Rule("follow", Cause.zone_in_alarm("z1"), Target.whole_zone("z2"), Effect.OPEN)
    )
    simulation = Simulation(ruleset)
    steps = simulation.replay(decode_events(ruleset, "sd11.on~sd11.off~reset.press"))
    assert steps[0].alarms_on == ("z1", "z2")
    assert simulation.snapshot(steps[-1].state).alarms == ()


def test_two_alarms_do_not_keep_each_other_up():
    ruleset = with_rules(
        make_ruleset(),
        Rule("a", Cause.zone_in_alarm("z1"), Target.whole_zone("z2"), Effect.OPEN),
        Rule("b", Cause.zone_in_alarm("z2"), Target.whole_zone("z1"), Effect.OPEN),
    )
    assert Simulation(ruleset).snapshot(last(ruleset, "sd11.on~sd11.off~reset.press").state).alarms == ()


def test_the_reset_of_a_zone_leaves_the_other_in_alarm():
    ruleset = make_ruleset(common=(Input("r1", InputKind.RESET, "Reset 1", "z1"),))
    done = last(ruleset, "sd11.on~sd21.on~sd11.off~sd21.off~r1.press")
    assert Simulation(ruleset).snapshot(done.state).alarms == ("z2",)
    assert done.alarms_off == ("z1",)


def test_a_contact_follows_at_once():
    ruleset = with_rules(make_ruleset(), Rule("inlet", Cause.group_open("g11"), Target.group("g21"), Effect.OPEN))
    assert position(ruleset, "vs1.open", "g21") is Position.OPEN


def test_a_contact_that_shuts_what_opened_it_oscillates():
    loop = Rule("loop", Cause.group_open("g11"), FIRST, Effect.CLOSE, priority=1)
    assert last(make_ruleset(), "sd11.on").settles
    done = last(with_rules(make_ruleset(), loop), "sd11.on")
    assert not done.settles
    assert done.sentences[-1].startswith("The rules do not settle")


def test_what_happens_is_said_in_order():
    ruleset = make_ruleset(lockout_group="shaft")
    steps = Simulation(ruleset).replay(decode_events(ruleset, "sd11.on~sd21.on~mains.on~vs1.close"))
    assert steps[0].sentences == (
        "Zone 1 goes into alarm.",
        "Group 1.1 opens: rule 1 (Detector 1.1 operates → open Zone 1).",
        "Alarm lamp of Zone 1 comes on.",
    )
    assert steps[1].sentences == (
        "Zone 2 goes into alarm.",
        "Group 2.1 stays shut: lock-out, because Zone 1 was in alarm first.",
        "Alarm lamp of Zone 2 comes on.",
    )
    assert steps[2].sentences == ("Output fault comes on.",)
    assert steps[3].sentences == ("Nothing changes.",)


def test_a_snapshot_says_where_everything_stands_and_why():
    ruleset = make_ruleset(lockout_group="shaft")
    simulation = Simulation(ruleset)
    seen = simulation.snapshot(last(ruleset, "sd11.on~fd1.on~fire.close").state)
    assert seen.groups[0].why == "rule 28 (Fire service control is set to close → close Zone 1)"
    assert seen.alarms == ("z1",)
    assert seen.locked_out == ("z2",)
    assert seen.faults == ("fd1",)
    assert seen.operated == {"sd11": Action.ON, "fd1": Action.ON, "fire": Action.CLOSE}
    assert seen.lamps == (Target.whole_zone("z1"), Target.output("fault"))


def test_what_can_happen_is_what_is_not_yet():
    ruleset = make_ruleset(1)
    simulation = Simulation(ruleset)
    before = simulation.events_possible(simulation.initial_state())
    assert Event("sd11", Action.ON) in before
    assert Event("sd11", Action.OFF) not in before
    assert [one.action for one in before if one.subject == "fire"] == [Action.OPEN, Action.CLOSE]
    then = simulation.events_possible(last(ruleset, "sd11.on~fire.close").state)
    assert Event("sd11", Action.OFF) in then
    assert [one.action for one in then if one.subject == "fire"] == [Action.AUTO, Action.OPEN]
    assert all(simulation.step(last(ruleset, "sd11.on").state, one) for one in then if one.subject != "fire")


def test_the_functions_do_what_the_simulation_does():
    ruleset = make_ruleset()
    done = step(ruleset, initial_state(ruleset), Event("sd11", Action.ON))
    assert done == last(ruleset, "sd11.on")


def test_an_event_that_cannot_happen_now_is_refused():
    with pytest.raises(EventError, match="Detector 1.1 is at 'on' already"):
        last(make_ruleset(), "sd11.on~sd11.on")


def test_rules_that_point_nowhere_are_not_simulated():
    with pytest.raises(RuleSetError, match="names the input 'nobody'"):
        Simulation(with_rules(make_ruleset(), Rule("r", Cause.of("nobody"), OWN, Effect.OPEN)))


# --- the text of a link ---


def test_a_sequence_comes_back_from_its_text():
    ruleset = change_rules(make_ruleset(), lambda one: one.key == "sd11-on-open-zone-z1", delay_s=30)
    text = "sd11.on~sd11-on-open-zone-z1.elapsed~fire.close~reset.press~vs1.stop"
    assert encode_events(decode_events(ruleset, text)) == text
    assert decode_events(ruleset, "") == ()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("rubbish", "Event 1 of the sequence, 'rubbish', cannot be read"),
        ("sd11.on~<script>", "Event 2 of the sequence, '<script>', cannot be read"),
        ("sd11.explode", "'sd11.explode', cannot be read"),
        ("sd11.on~", "Event 2 of the sequence, '', cannot be read"),
        ("nobody.on", "about something this panel does not have"),
        ("rain.press", "about something this panel does not have"),
        ("sd11-on-open-zone-z1.elapsed", "about something this panel does not have"),  # it has no delay
        ("x" * 500, "cannot be read"),
        ("~".join(["sd11.on"] * 201), "has 201 events. At most 200"),
    ],
)
def test_garbage_in_a_link_is_refused_with_a_sentence(text, says):
    with pytest.raises(EventError) as refused:
        decode_events(make_ruleset(), text)
    assert says in str(refused.value)
    assert len(str(refused.value)) < 200
