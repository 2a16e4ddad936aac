"""The power orders, walked as a state machine. Source: handbook process.md §3, 'Power order' (common practice [P])."""

from dataclasses import replace

import pytest

from zones.engineering.hazards import Hazard
from zones.engineering.power_order import ISOLATE, POWER_UP, Condition, PowerOrder, PowerStep

DOOR, GUARDS, MAINS, BATTERY, DEAD = Condition


def walked(order):
    """(what the walk finds wrong, how the panel stands at its end). The rules are written here, not read from steps."""
    state, wrong = dict(order.starts_with), []
    for step in order.steps:
        for condition, wanted in step.requires.items():
            if state[condition] is not wanted:
                wrong.append(f"{step.code}: asks for '{condition}' to be {wanted}, an earlier step made it impossible")
        after = {**state, **step.makes}
        if after[MAINS] or after[BATTERY]:
            after[DEAD] = False
        wrong += [f"{step.code}: {one}" for one in _rules_broken(step, state, after)]
        state = after
    return wrong, state


def _rules_broken(step, before, after):
    inside = {GUARDS, BATTERY, DEAD} & set(step.makes) or step.readings
    powered = before[MAINS] or before[BATTERY] or after[MAINS] or after[BATTERY]
    reaches_in = before[DOOR] or after[DOOR]
    if inside and not before[DOOR]:
        yield "works behind a door that is shut"
    if step.makes.get(GUARDS) is False and not before[DEAD]:
        yield "takes the guards off what is not proven dead"
    if not after[GUARDS] and (after[MAINS] or after[BATTERY]):
        yield "leaves live parts without their guard"
    if after[BATTERY] and not after[MAINS]:
        yield "leaves the battery on without the mains"
    if step.makes.get(DEAD) and powered:
        yield "proves dead what is on"
    # "Expect restart after power returns": calculations.md, 'Cautions'.
    if after[MAINS] and not before[MAINS] and not {Hazard.MOVING, Hazard.ALARM} <= set(step.hazards):
        yield "powers outputs and inputs without saying that vents may move and an alarm be raised"
    if step.makes.get(DOOR) is False and not before[GUARDS]:
        yield "shuts the door before the guards are on"
    unproven = inside and not before[DEAD] and not powered
    if (powered and reaches_in) or unproven:
        yield from _live_and_not_said(step)


def _live_and_not_said(step):
    if Hazard.LIVE not in step.hazards:
        yield "is live and is not marked so"
    if "live" not in step.do.lower():
        yield "is live and does not say so"


def order_of(order, *codes):
    """The order with its steps in this sequence of codes."""
    by_code = {step.code: step for step in order.steps}
    return replace(order, steps=tuple(by_code[code] for code in codes))


def codes_of(order):
    return [step.code for step in order.steps]


@pytest.mark.parametrize("order", [POWER_UP, ISOLATE], ids=lambda order: order.title)
def test_no_step_asks_for_what_an_earlier_one_made_impossible_and_none_is_live_unsaid(order):
    assert walked(order)[0] == []


def test_powering_up_ends_with_mains_and_battery_on_guards_on_and_the_door_shut():
    _, end = walked(POWER_UP)
    assert end == {DOOR: False, GUARDS: True, MAINS: True, BATTERY: True, DEAD: False}


def test_isolating_ends_with_both_off_and_proven_dead_before_the_guards_come_off():
    _, end = walked(ISOLATE)
    assert end == {DOOR: True, GUARDS: False, MAINS: False, BATTERY: False, DEAD: True}
    assert codes_of(ISOLATE)[-2:] == ["dead", "guards-off"]


def test_after_isolating_the_panel_can_be_powered_up_again():
    _, end = walked(ISOLATE)
    steps = POWER_UP.steps[codes_of(POWER_UP).index("terminals") :]
    assert walked(PowerOrder("again", end, steps))[0] == []


def test_guard_then_mains_then_last_battery_lead():
    codes = codes_of(POWER_UP)
    assert codes.index("guards-on") < codes.index("mains-on") < codes.index("battery-on")


def test_mains_is_read_before_the_battery():  # "A battery reading before a mains reading is a finding."
    readings = [one for step in POWER_UP.steps for one in step.readings]
    assert readings.index("supply voltage, V") < readings.index("battery voltage, V")


@pytest.mark.parametrize(
    ("order", "codes", "said"),
    [
        # The order that the register once printed: door and guard mixed up, the lead behind a cover that is on.
        (ISOLATE, "close battery-off mains-off dead door guards-off", "behind a door that is shut"),
        (ISOLATE, "close door mains-off battery-off dead guards-off", "battery on without the mains"),
        (ISOLATE, "close door battery-off mains-off guards-off dead", "not proven dead"),
        (ISOLATE, "close door battery-off dead mains-off guards-off", "proves dead what is on"),
        (ISOLATE, "close door guards-off battery-off mains-off dead", "without their guard"),
        (POWER_UP, "door dead guards-off terminals mains-on guards-on battery-on", "without their guard"),
        (POWER_UP, "door dead guards-off terminals guards-on battery-on mains-on", "battery on without the mains"),
        (POWER_UP, "dead door guards-off terminals guards-on mains-on battery-on", "behind a door that is shut"),
        (POWER_UP, "door guards-off dead terminals guards-on mains-on battery-on", "not proven dead"),
        (POWER_UP, "door dead guards-off terminals guards-on door-shut mains-on battery-on", "made it impossible"),
        (POWER_UP, "door dead guards-off terminals door-shut", "before the guards are on"),
    ],
)
def test_a_wrong_order_is_caught(order, codes, said):
    wrong, _ = walked(order_of(order, *codes.split()))
    assert any(said in one for one in wrong), wrong


@pytest.mark.parametrize("code", ["mains-on", "supply", "battery-on", "battery-fault", "settings", "inputs"])
def test_a_live_step_that_is_not_marked_or_does_not_say_so_is_caught(code):
    unmarked = [replace(step, hazards=()) if step.code == code else step for step in POWER_UP.steps]
    assert f"{code}: is live and is not marked so" in walked(replace(POWER_UP, steps=tuple(unmarked)))[0]
    unsaid = [replace(step, do="Do it.") if step.code == code else step for step in POWER_UP.steps]
    assert f"{code}: is live and does not say so" in walked(replace(POWER_UP, steps=tuple(unsaid)))[0]


def test_switching_the_mains_on_without_saying_that_vents_may_move_is_caught():
    unsaid = [replace(step, hazards=(Hazard.LIVE,)) if step.code == "mains-on" else step for step in POWER_UP.steps]
    assert any("vents may move" in one for one in walked(replace(POWER_UP, steps=tuple(unsaid)))[0])


@pytest.mark.parametrize("order", [POWER_UP, ISOLATE], ids=lambda order: order.title)
def test_receiving_centre_and_people_are_told_before_anything_is_switched(order):
    first = order.steps[0].do.lower()
    assert "tell the receiving centre" in first
    assert "people in the building" in first


def test_a_step_that_measures_behind_a_shut_door_is_caught():
    order = PowerOrder(
        "x", ISOLATE.starts_with, (PowerStep("read", "Live.", (Hazard.LIVE,), readings=("charger, V",)),)
    )
    assert walked(order)[0] == ["read: works behind a door that is shut"]


def test_no_step_mixes_up_door_and_guard_in_one_word():
    said = " ".join(step.do for order in (POWER_UP, ISOLATE) for step in order.steps).lower()
    assert "cover" not in said
