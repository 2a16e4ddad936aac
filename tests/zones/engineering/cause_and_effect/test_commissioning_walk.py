"""The walk of a commissioning plan: from the panel by place and back, its rounds in order, nothing done twice."""

from tests.zones.engineering.cause_and_effect.logics import (
    COMMON,
)
from zones.engineering.cause_and_effect import (
    Action,
    Group,
    Input,
    InputKind,
    Phase,
    RuleSet,
    Zone,
    commissioning_plan,
    coverage,
    default_rules,
)


def test_the_walk_begins_and_ends_at_the_panel_and_comes_to_each_place_once(plan):
    rounds = {}
    for one in plan:
        rounds.setdefault(one.round, []).append(one)
    places = [some[0].place for some in rounds.values()]
    walked = [place for place in places if place is not None]
    assert walked == sorted(walked)
    assert places[0] is None and places[-1] is None
    first, last = places.index(walked[0]), len(places) - places[::-1].index(walked[-1])
    assert None not in places[first:last]
    assert all(len({(one.place, one.at) for one in some}) == 1 for some in rounds.values())


def test_rounds_at_one_place_come_in_the_order_of_the_phases(plan):
    """A device on its own first, then its priorities, its line, and what is left."""
    phases = {}
    for one in plan:
        if one.phase not in (Phase.POWER_UP, Phase.LEAVE):
            phases.setdefault(one.at, {}).setdefault(one.round, list(Phase).index(one.phase))
    assert max(len(of_place) for of_place in phases.values()) > 2
    for of_place in phases.values():
        assert list(of_place.values()) == sorted(of_place.values())


def test_the_phases_are_walked_from_powering_up_to_leaving_in_service():
    """Handbook process.md §3: power, supplies, each point, what meets, the lines; in service last."""
    assert list(Phase) == [
        *(Phase.POWER_UP, Phase.SUPPLY, Phase.INPUT, Phase.PRIORITY),
        *(Phase.LINE, Phase.LOGIC, Phase.RESTORE, Phase.LEAVE),
    ]


def test_a_control_is_tried_at_open_before_stop_before_close(plan):
    """Open before stop before close: a vent that is shut shows neither a stop nor a close."""
    order = [Action.ON, Action.OPEN, Action.STOP, Action.CLOSE]
    tried = {}
    for one in plan:
        if one.phase is Phase.INPUT and one.inputs:
            tried.setdefault(one.inputs[-1][0], []).append(order.index(one.inputs[-1][1]))
    assert max(len(actions) for actions in tried.values()) == 3
    assert all(actions == sorted(actions) for actions in tried.values())


def test_the_rain_sensor_is_wetted_at_its_own_place_only_and_for_all_zones_together(plan):
    """Two rounds, in ventilation and in smoke; the fire service control makes it a third."""
    wet = [one for one in plan if ("rain", Action.ON) in one.inputs]
    assert {one.at for one in wet} <= {"rain", "wind"}
    assert len({one.round for one in wet}) == 3


def test_what_is_the_same_for_several_zones_is_done_once():
    """One contact of the fire alarm system releases zones that lock each other out: the same round for each of them."""
    zones = tuple(Zone(f"z{k}", f"Zone {k}", "lobbies") for k in (1, 2, 3))
    groups = tuple(Group(f"g{k}", f"z{k}", f"Group {k}") for k in (1, 2, 3))
    alarm = Input("fa", InputKind.FIRE_ALARM, "Fire alarm", place=6)
    inputs = (alarm, *(one for one in COMMON if one.key in ("rain", "reset")))
    ruleset = RuleSet(zones, groups, inputs, default_rules(zones, groups, inputs))
    rounds = {}
    for one in commissioning_plan(ruleset):
        rounds.setdefault(one.round, []).append((one.at, one.do, one.events))
    done = [tuple(some) for some in rounds.values()]
    assert len(done) == len(set(done))
    assert coverage(commissioning_plan(ruleset), ruleset).pairs.is_complete


def test_of_many_zones_none_is_left_out_and_one_contact_for_all_of_them_is_operated_once():
    """Nine zones that lock each other out, all released by one contact and the first by a call point as well."""
    zones = tuple(Zone(f"z{k}", f"Zone {k}", "lobbies") for k in range(1, 10))
    groups = tuple(Group(f"g{k}", f"z{k}", f"Group {k}") for k in range(1, 10))
    devices = (
        Input("cp", InputKind.CALL_POINT, "CP1", "z1", place=7),
        Input("fa", InputKind.FIRE_ALARM, "FA1", place=6),
    )
    inputs = (*devices, *(one for one in COMMON if one.key in ("rain", "reset")))
    plan = commissioning_plan(RuleSet(zones, groups, inputs, default_rules(zones, groups, inputs)))
    assert not [one for one in plan if " more" in f"{one.do} {one.must} {one.must_not}"]
    alone = next(one for one in plan if one.inputs == (("cp", Action.ON),))
    assert "No vent of any zone but Zone 1 moves." in alone.must_not
    for number in {one.round for one in plan}:
        done = [one.do for one in plan if one.round == number and "FA1" in one.do and "Restore FA1" in one.do]
        assert len(done) <= 1
