"""What the person on site is told to do, by kind of input, and the order of power (common practice [P])."""

from zones.engineering.cause_and_effect.rules import Action, Input, InputKind

# The maker's instruction for the panel goes before this order.
POWER_UP = (
    ("Warn the people in the building and check that the way of every vent is clear.", ()),
    ("With covers on, tug every terminal and compare every line with its values.", ("line resistance, Ω",)),
    ("Put the covers on before the mains: nothing live may be within reach.", ()),
    ("Switch the mains on. The last battery lead stays off until the mains are on.", ("supply voltage, V",)),
    ("Measure the charger.", ("charger voltage, V",)),
    ("Connect the last battery lead. The battery fault must clear.", ("battery voltage, V",)),
    ("Check the settings of the panel against the rules of this plan.", ()),
)
ISOLATE = (
    ("Close all vents, and tell the receiving centre and the people in the building.", ()),
    ("Take the battery lead off before the mains: a panel isolated from the mains alone is live.", ()),
    ("Switch the mains off and lock them off.", ()),
    ("Prove that both mains and battery terminals are dead.", ("mains terminals, V", "battery terminals, V")),
    ("Only then take the cover off.", ()),
)
CLOSE_BY_HAND = "Bring {groups} back to shut by hand: no control of this panel does it now."
NO_RESET = "Bring the panel back to rest as its maker says: no reset of these rules ends what is latched."

_OPERATE = {
    InputKind.CALL_POINT: "Operate {one} with its test key or element.",
    InputKind.DETECTOR: "Bring {one} to alarm with test smoke or heat at the head; a button or magnet proves less.",
    InputKind.FIRE_ALARM: "Have the fire alarm system operate {one}, by its competent person.",
    InputKind.RAIN: "Wet {one}.",
    InputKind.WIND: "Let {one} report wind.",
    InputKind.LINE_FAULT: "Open the line of {one}.",
    InputKind.MAINS_FAULT: "Switch the mains off.",
    InputKind.BATTERY_FAULT: "Take a battery lead off with the mains on.",
}
_RESTORE = {
    InputKind.RAIN: "Dry {one}.",
    InputKind.WIND: "Let {one} report calm.",
    InputKind.MAINS_FAULT: "Switch the mains on.",
    InputKind.BATTERY_FAULT: "Connect the battery lead again.",
}
_OTHER = {
    InputKind.RESET: "Press {one}.",
    InputKind.FIRE_SERVICE: "Set {one} to {action}.",
    InputKind.VENTILATION_SWITCH: "Press {action} at {one}.",
    InputKind.COMFORT_CONTROL: "Let {one} ask for {action}.",
}
READINGS = {
    InputKind.MAINS_FAULT: ("supply voltage under load, V",),
    InputKind.BATTERY_FAULT: ("charger voltage, V",),
    InputKind.LINE_FAULT: ("line resistance, normal and open, Ω",),
}


def instruction(one: Input, action: Action) -> str:
    """What to do so that this happens to the input."""
    if action is Action.ON:
        template = _OPERATE[one.kind]
    elif action is Action.OFF:
        template = _RESTORE.get(one.kind, "Restore {one}.")
    else:
        template = _OTHER[one.kind]
    return template.format(one=one, action="automatic" if action is Action.AUTO else action.value)
