"""Power up and isolate: the general order of a control panel with its battery inside, as data.

Two things must not be mixed up: the *door* of the cabinet, opened by the authorised person, and the *guard* over the
mains terminals and any other live part. The guard is on before the mains is switched on, the mains is on before the
last battery lead; to isolate, the reverse, and both are proven dead before a guard comes off.

Source: handbook process.md §3, 'Power order' (common practice [P]). The maker's order for the panel wins over it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from zones.engineering.hazards import Hazard

SOURCE = "common practice"


class Condition(StrEnum):
    """What is true of a panel at a moment."""

    DOOR_OPEN = "door open"
    GUARDS_ON = "guards on"
    MAINS_ON = "mains on"
    BATTERY_ON = "last battery lead on"
    PROVEN_DEAD = "proven dead"


@dataclass(frozen=True, slots=True)
class PowerStep:
    """One step: what to do, what can hurt, what must be true before it and what it makes true.

    `part`: steps of one part are answered together; `must`: what is then to be seen.
    """

    code: str
    do: str
    hazards: tuple[Hazard, ...] = ()
    requires: Mapping[Condition, bool] = field(default_factory=dict)
    makes: Mapping[Condition, bool] = field(default_factory=dict)
    readings: tuple[str, ...] = ()
    part: str = ""
    must: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PowerOrder:
    """Steps in their order, and how the panel stands before the first."""

    title: str
    starts_with: Mapping[Condition, bool]
    steps: tuple[PowerStep, ...]


_DOOR, _GUARDS, _DEAD = Condition.DOOR_OPEN, Condition.GUARDS_ON, Condition.PROVEN_DEAD
_MAINS, _BATTERY = Condition.MAINS_ON, Condition.BATTERY_ON
_DEAD_AT_REST = {_DOOR: False, _GUARDS: True, _MAINS: False, _BATTERY: False, _DEAD: False}
_IN_SERVICE = {_DOOR: False, _GUARDS: True, _MAINS: True, _BATTERY: True, _DEAD: False}
_LIVE, _MOVING, _HEIGHT, _ALARM = Hazard
_PROVE = (
    "Live until proven: prove the mains terminals and the battery leads dead, through the test openings of the guard "
    "or as the maker says, with a tester tried on a known source before and after."
)

POWER_UP = PowerOrder(
    "Power up",
    _DEAD_AT_REST,
    (
        PowerStep(
            "warn",
            "Tell the receiving centre and the people in the building; see that the way of every actuator is clear.",
            part="Before power: prove dead",
        ),
        PowerStep(
            "door",
            "The authorised person opens the door.",
            makes={_DOOR: True},
            part="Before power: prove dead",
        ),
        PowerStep(
            "dead",
            f"Mains locked off, last battery lead off. {_PROVE}",
            (_LIVE,),
            requires={_DOOR: True, _MAINS: False, _BATTERY: False},
            makes={_DEAD: True},
            readings=("mains terminals, V", "battery leads, V"),
            part="Before power: prove dead",
            must=("0 V at the mains terminals and at the battery leads.",),
        ),
        PowerStep(
            "guards-off",
            "Take the guards off.",
            requires={_DOOR: True, _DEAD: True},
            makes={_GUARDS: False},
            part="Terminals, all dead",
        ),
        PowerStep(
            "terminals",
            "All dead: tug every terminal, compare every line with its values, see the earth on the body. The blocks "
            "are linked and the black lead (−) is on; the red lead (+), the last, stays off, its end insulated: "
            "the battery "
            "itself stays charged.",
            requires={_DOOR: True, _GUARDS: False, _DEAD: True},
            part="Terminals, all dead",
        ),
        PowerStep(
            "guards-on",
            "Put the guards on.",
            requires={_DOOR: True, _DEAD: True},
            makes={_GUARDS: True},
            part="Mains on",
        ),
        PowerStep(
            "mains-on",
            "Live work from here, guards on: unlock the mains and switch them on. The last battery lead stays off. "
            "What was left wrong can open vents and raise an alarm at once: everyone clear of the leaves.",
            (_LIVE, _MOVING, _ALARM),
            requires={_GUARDS: True, _BATTERY: False},
            makes={_MAINS: True, _DEAD: False},
            part="Mains on",
        ),
        PowerStep(
            "supply",
            "Live, guards on: measure supply and charger.",
            (_LIVE,),
            requires={_DOOR: True, _GUARDS: True, _MAINS: True},
            readings=("supply voltage, V", "charger voltage, V"),
            part="Mains on",
        ),
        PowerStep(
            "battery-on",
            "Live, guards on: connect the last battery lead (red, +), one lead only, with an insulated tool, "
            "polarity checked.",
            (_LIVE,),
            requires={_DOOR: True, _GUARDS: True, _MAINS: True, _BATTERY: False},
            makes={_BATTERY: True},
            part="Battery on",
        ),
        PowerStep(
            "battery-fault",
            "Live, guards on: see the battery fault clear, and measure the battery.",
            (_LIVE,),
            requires={_DOOR: True, _GUARDS: True, _MAINS: True, _BATTERY: True},
            readings=("battery voltage, V",),
            part="Battery on",
        ),
        PowerStep(
            "settings",
            "Live, guards on: check the settings of the panel against those designed.",
            (_LIVE,),
            requires={_DOOR: True, _GUARDS: True, _MAINS: True},
            part="Settings and inputs",
        ),
        PowerStep(
            "inputs",
            "Live, guards on: see every input at rest and no fault standing. A wrong one opens vents and raises an "
            "alarm: everyone clear of the leaves.",
            (_LIVE, _MOVING, _ALARM),
            requires={_DOOR: True, _GUARDS: True, _MAINS: True, _BATTERY: True},
            part="Settings and inputs",
        ),
        PowerStep(
            "door-shut",
            "Live, guards on: shut the door.",
            (_LIVE,),
            requires={_DOOR: True, _GUARDS: True},
            makes={_DOOR: False},
            part="Settings and inputs",
        ),
    ),
)

ISOLATE = PowerOrder(
    "Isolate",
    _IN_SERVICE,
    (
        PowerStep(
            "close",
            "Tell the receiving centre and the people in the building, then close every output; everyone clear of the "
            "leaves.",
            (_MOVING, _ALARM),
            requires={_MAINS: True},
        ),
        PowerStep(
            "door",
            "The authorised person opens the door. Live from here: the guards stay on.",
            (_LIVE,),
            requires={_GUARDS: True},
            makes={_DOOR: True},
        ),
        PowerStep(
            "battery-off",
            "Live, guards on: take the last battery lead off, one lead only, with an insulated tool; insulate its end. "
            "The battery itself stays charged.",
            (_LIVE,),
            requires={_DOOR: True, _GUARDS: True, _BATTERY: True},
            makes={_BATTERY: False},
        ),
        PowerStep(
            "mains-off",
            "Switch the mains off at the board and lock them off. The panel counts as live until it is proven dead.",
            (_LIVE,),
            requires={_GUARDS: True, _MAINS: True, _BATTERY: False},
            makes={_MAINS: False},
        ),
        PowerStep(
            "dead",
            f"{_PROVE} The guards stay on.",
            (_LIVE,),
            requires={_DOOR: True, _GUARDS: True, _MAINS: False, _BATTERY: False},
            makes={_DEAD: True},
            readings=("mains terminals, V", "battery leads, V"),
        ),
        PowerStep(
            "guards-off",
            "Both proven dead: only now take the guards off and work.",
            requires={_DOOR: True, _DEAD: True},
            makes={_GUARDS: False},
        ),
    ),
)

LEAVE_IN_SERVICE = PowerOrder(
    "Leave in service",
    _IN_SERVICE,
    (
        PowerStep(
            "powered",
            "See at the panel that the mains are on and the battery is connected; guards on, door shut and locked.",
            requires={_DOOR: False, _GUARDS: True, _MAINS: True, _BATTERY: True},
            part="In service: mains and battery",
            must=("Mains and battery are both in order; nothing is isolated.",),
        ),
        PowerStep(
            "normal",
            "Clear every fault, reset every alarm, close every vent; everyone clear of the leaves.",
            (_MOVING,),
            requires={_MAINS: True, _BATTERY: True},
            part="In service: panel normal, vents closed",
            must=("The panel shows normal and nothing else.", "Every vent is closed tight."),
        ),
        PowerStep(
            "settings-left",
            "Compare the settings and their revision with those recorded.",
            requires={_MAINS: True},
            part="In service: settings as recorded",
            must=("As recorded; what was set for the tests is set back.",),
        ),
        PowerStep(
            "linked",
            "Take back what was put out of service; let linked plant work again; tell the receiving centre and the "
            "people in the building that the system is in service.",
            requires={_MAINS: True, _BATTERY: True},
            part="In service: linked plant, receiving centre",
            must=(
                "Nothing is out of service or inhibited.",
                "The receiving centre has confirmed that alarms reach it.",
            ),
        ),
    ),
)

# The order in a breath, for a caution that stands beside other work.
BEFORE_A_GUARD_COMES_OFF = (
    "Behind the door of a panel is live work: guards stay on. Before a guard comes off: last battery lead off, mains "
    "off and locked, both proven dead at the terminals. A panel isolated from the mains only is live."
)
BATTERY_WORK = (
    "Work on a battery is live work, whatever is switched off: guards on, insulated tools, no metal jewellery, "
    "polarity checked, one lead at a time. The last lead comes off before the mains are switched off, and goes on "
    "after they are on."
)
