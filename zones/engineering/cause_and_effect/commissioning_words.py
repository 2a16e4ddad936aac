"""What the person on site is told to do, by kind of input, and what can hurt there (common practice [P])."""

from collections.abc import Iterable

from zones.engineering.cause_and_effect.rules import ALARMS, FAULTS, WEATHER, Action, Input, InputKind
from zones.engineering.findings import listed
from zones.engineering.hazards import Hazard

CLOSE_BY_HAND = "Bring {groups} back to shut by hand: no control of this panel does it now."
NO_RESET = "Bring the panel back to rest as its maker says: no reset of these rules ends what is latched."
READ_ON_BATTERY = ("supply voltage under load, V",)

_OPERATE = {
    InputKind.CALL_POINT: "Operate {one} with its test key or frangible element.",
    InputKind.DETECTOR: "Bring {one} to alarm with test smoke or heat at the head; a button or magnet proves less.",
    InputKind.FIRE_ALARM: "Have the fire alarm system operate {one}, by its competent person.",
    InputKind.RAIN: "Wet {one}.",
    InputKind.WIND: "Let {one} report wind.",
    InputKind.LINE_FAULT: "Open the line of {one}.",
    InputKind.LINK_FAULT: "Door open, guards on, live: take the data core of {one} off the panel's terminal.",
    InputKind.MAINS_FAULT: "Door open, guards on, live: mains off at the board; the battery feeds the panel.",
    InputKind.BATTERY_FAULT: "Door open, guards on, live: take the last battery lead off while the mains are on.",
}
_RESTORE = {
    InputKind.RAIN: "Dry {one}.",
    InputKind.WIND: "Let {one} report calm.",
    InputKind.LINE_FAULT: "Make {one} whole again.",
    InputKind.LINK_FAULT: "Live, guards on: put the data core of {one} on its terminal again and shut the door.",
    InputKind.MAINS_FAULT: "Live, guards on: switch the mains on again at the board and shut the door.",
    InputKind.BATTERY_FAULT: "Live, guards on: connect the last battery lead again and shut the door.",
}
_OTHER = {
    InputKind.RESET: "Press {one}.",
    InputKind.FIRE_SERVICE: "Set {one} to {action}.",
    InputKind.VENTILATION_SWITCH: "Press {action} at {one}.",
    InputKind.VENTILATION_CONTROL: "Let {one} ask for {action}.",
}
READINGS = {InputKind.BATTERY_FAULT: ("charger voltage, V",)}


def all_of(names: Iterable[str]) -> str:
    """Every one of the names, however many: what is to be done or seen leaves none out."""
    names = [*names]
    return listed(names, len(names))


def instruction(inputs: list[Input], action: Action) -> str:
    """What to do so that this happens to these inputs of one kind."""
    kind = inputs[0].kind
    if action is Action.ON:
        template = _OPERATE[kind]
    elif action is Action.OFF:
        template = _RESTORE.get(kind, "Restore {one}.")
    else:
        template = _OTHER[kind]
    if len(inputs) > 1:
        template = template.replace(" with its ", ", each with its ")
    names = all_of(str(one) for one in inputs)
    return template.format(one=names, action="automatic" if action is Action.AUTO else action.value)


def hazards_of(kinds: Iterable[InputKind]) -> frozenset[Hazard]:
    """What can hurt where inputs of these kinds are operated; a vent may move at any of them, rightly or wrongly."""
    kinds, found = frozenset(kinds), {Hazard.MOVING}
    if kinds & FAULTS:
        found.add(Hazard.LIVE)
    if kinds & (WEATHER | {InputKind.DETECTOR}):
        found.add(Hazard.HEIGHT)
    if kinds & (ALARMS | {InputKind.FIRE_SERVICE, InputKind.LINE_FAULT}):
        found.add(Hazard.ALARM)
    return frozenset(found)
