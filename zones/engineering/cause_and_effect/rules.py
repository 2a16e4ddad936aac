"""The logic of one panel as data: zones, vent groups, inputs, and the rules from cause to effect.

Priorities (1 wins) are those of common practice: fire service control, smoke, reaction to a fault, rain and wind,
ventilation switch, timer. No single published standard prints the list; ISO 21927-9 has clauses on it [S, contents
only]. A firm may give a rule another priority; the proof then says what that breaks.

What the records leave open the simulation settles (see `simulation`): at equal priority open beats hold, hold
beats stop, stop beats close. A missing rule is never invented: what no rule moves stays where it is.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

_LOWEST_PRIORITY = 6


class InputKind(StrEnum):
    """What kind of device or condition tells the panel something."""

    CALL_POINT = "call_point"
    DETECTOR = "detector"
    FIRE_ALARM = "fire_alarm_interface"
    VENTILATION_SWITCH = "ventilation_switch"
    VENTILATION_CONTROL = "ventilation_control"
    RAIN = "rain"
    WIND = "wind"
    LINE_FAULT = "line_fault"
    LINK_FAULT = "link_fault"
    MAINS_FAULT = "mains_fault"
    BATTERY_FAULT = "battery_fault"
    RESET = "reset"
    FIRE_SERVICE = "fire_service_control"

    @property
    def words(self) -> str:
        """The kind as people say it."""
        return _KIND_WORDS.get(self, self.value.replace("_", " "))


_KIND_WORDS = {
    InputKind.VENTILATION_CONTROL: "timer, temperature or air quality control",
    InputKind.LINE_FAULT: "line",
    InputKind.LINK_FAULT: "data link",
    InputKind.MAINS_FAULT: "mains",
    InputKind.BATTERY_FAULT: "battery",
}


class Action(StrEnum):
    """What can happen to an input; `ELAPSED` happens to a rule with a delay."""

    ON = "on"
    OFF = "off"
    OPEN = "open"
    CLOSE = "close"
    STOP = "stop"
    AUTO = "auto"
    PRESS = "press"
    ELAPSED = "elapsed"


# What stays as it was put, what springs back, and what has three lasting positions.
MOMENTARY = {
    InputKind.VENTILATION_SWITCH: (Action.OPEN, Action.STOP, Action.CLOSE),
    InputKind.VENTILATION_CONTROL: (Action.OPEN, Action.CLOSE),
    InputKind.RESET: (Action.PRESS,),
}
SELECTOR = (Action.AUTO, Action.OPEN, Action.CLOSE)

AUTOMATIC_ALARMS = frozenset({InputKind.DETECTOR, InputKind.FIRE_ALARM})
ALARMS = AUTOMATIC_ALARMS | {InputKind.CALL_POINT}
WEATHER = frozenset({InputKind.RAIN, InputKind.WIND})
VENTILATION = frozenset({InputKind.VENTILATION_SWITCH, InputKind.VENTILATION_CONTROL})
FAULTS = frozenset({InputKind.LINE_FAULT, InputKind.LINK_FAULT, InputKind.MAINS_FAULT, InputKind.BATTERY_FAULT})

PRIORITY_OF_KIND = {
    InputKind.FIRE_SERVICE: 1,
    **dict.fromkeys(ALARMS, 2),
    **dict.fromkeys(FAULTS, 3),
    **dict.fromkeys(WEATHER, 4),
    InputKind.VENTILATION_SWITCH: 5,
    InputKind.RESET: 5,
    InputKind.VENTILATION_CONTROL: 6,
}


def actions_of(kind: InputKind) -> tuple[Action, ...]:
    """What can happen to an input of this kind, in the order in which a page offers it."""
    if kind is InputKind.FIRE_SERVICE:
        return SELECTOR
    return MOMENTARY.get(kind, (Action.ON, Action.OFF))


def cause_actions_of(kind: InputKind) -> tuple[Action, ...]:
    """Which of these a rule may take as its cause: not "off" and not "auto", which end a cause."""
    return tuple(one for one in actions_of(kind) if one not in (Action.OFF, Action.AUTO))


class Effect(StrEnum):
    """What a rule does to its target."""

    OPEN = "open"
    CLOSE = "close"
    CLOSE_VENTILATION = "close_ventilation"  # only what was opened for ventilation
    STOP = "stop"
    HOLD = "hold"  # keep it where it is, against every rule of lower priority
    BLOCK_VENTILATION = "block_ventilation"  # nothing opens for ventilation; closing and stopping still work
    INDICATE = "indicate"

    @property
    def words(self) -> str:
        """The effect as people say it."""
        return _EFFECT_WORDS.get(self, self.value)

    @property
    def moves(self) -> bool:
        """Whether it is about where a vent stands (and not about a lamp or a block)."""
        return self not in (Effect.BLOCK_VENTILATION, Effect.INDICATE)


_EFFECT_WORDS = {
    Effect.CLOSE_VENTILATION: "close if opened for ventilation",
    Effect.HOLD: "keep where it is",
    Effect.BLOCK_VENTILATION: "block opening for ventilation",
}


class AfterReset(StrEnum):
    """What vents do that stand open for smoke when their alarm is reset."""

    STAY = "stay"
    CLOSE = "close"


@dataclass(frozen=True, slots=True)
class Zone:
    """A smoke zone. `lockout_group`: of the zones that share it the first in alarm keeps the others shut."""

    key: str
    label: str = ""
    lockout_group: str = ""
    needs_automatic: bool = True

    def __str__(self) -> str:
        return self.label or self.key


@dataclass(frozen=True, slots=True)
class Group:
    """Vents that move together."""

    key: str
    zone: str
    label: str = ""

    def __str__(self) -> str:
        return self.label or self.key


@dataclass(frozen=True, slots=True)
class Input:
    """A device or condition that the panel reads.

    `zone` ``None``: it belongs to the whole panel. `group`: the group that a ventilation switch drives.
    `line`: the monitored line it sits on; of a line fault, the line that is monitored. `place`: the order in
    which a person walking the building comes past. `ends_line`: the last device of its line. `has_element`: of a line
    fault, whether the line ends in an end-of-line resistor; `element_place`: where, if not at the last device. `opens`:
    of a data link, the zones that its break opens.
    """

    key: str
    kind: InputKind
    label: str = ""
    zone: str | None = None
    group: str | None = None
    line: str | None = None
    place: int = 0
    ends_line: bool = False
    has_element: bool = True
    opens: tuple[str, ...] = ()
    element_place: str = ""

    def __str__(self) -> str:
        return self.label or f"{self.kind.words} {self.key}"


class CauseKind(StrEnum):
    """What a rule waits for."""

    INPUTS = "inputs"
    ZONE_IN_ALARM = "zone_in_alarm"
    GROUP_OPEN = "group_open"  # position contact: the group is not shut


@dataclass(frozen=True, slots=True)
class Cause:
    """At least `needed` of `inputs` are at `action`; or a zone is in alarm; or a group is not shut.

    `counts_lines`: count the lines on which an input is operated, not the inputs (two-line coincidence).
    Make one with `of`, `zone_in_alarm` or `group_open`.
    """

    kind: CauseKind = CauseKind.INPUTS
    inputs: tuple[str, ...] = ()
    needed: int = 1
    action: Action = Action.ON
    counts_lines: bool = False
    zone: str = ""
    group: str = ""

    @classmethod
    def of(cls, *inputs: str, needed: int = 1, action: Action = Action.ON, counts_lines: bool = False) -> "Cause":
        """At least `needed` of these inputs."""
        return cls(CauseKind.INPUTS, inputs, needed, action, counts_lines)

    @classmethod
    def zone_in_alarm(cls, zone: str) -> "Cause":
        """The zone is in alarm."""
        return cls(CauseKind.ZONE_IN_ALARM, zone=zone)

    @classmethod
    def group_open(cls, group: str) -> "Cause":
        """The position contact of the group says: not shut."""
        return cls(CauseKind.GROUP_OPEN, group=group)


class TargetKind(StrEnum):
    """What a rule acts on."""

    GROUP = "group"
    ZONE = "zone"  # every group of the zone; for an indication, the zone's lamp
    OUTPUT = "output"  # an output of the panel, by its name ("fault"); for an indication only


@dataclass(frozen=True, slots=True)
class Target:
    """The group, the zone or the panel's output on which a rule acts."""

    kind: TargetKind
    key: str

    @classmethod
    def group(cls, key: str) -> "Target":
        """One group of vents."""
        return cls(TargetKind.GROUP, key)

    @classmethod
    def whole_zone(cls, key: str) -> "Target":
        """Every group of a zone, or its lamp."""
        return cls(TargetKind.ZONE, key)

    @classmethod
    def output(cls, name: str) -> "Target":
        """A lamp, sounder or signal of the panel, by name."""
        return cls(TargetKind.OUTPUT, name)


@dataclass(frozen=True, slots=True)
class Rule:
    """One line of the logic: this cause has that effect there.

    `is_latching`: once caused, it stays until reset. `delay_s`: the effect waits, the alarm does not.
    `priority`: 1 wins, ``None`` = as the kind of the cause has it. `is_cross_zone`: meant to move vents in
    another zone than that of its inputs; without it the proof reports such movement as a failure.
    """

    key: str
    cause: Cause
    target: Target
    effect: Effect
    is_latching: bool = False
    delay_s: int = 0
    priority: int | None = None
    is_cross_zone: bool = False


@dataclass(frozen=True, slots=True)
class RuleSet:
    """Everything the logic of one panel is made of. The order of `zones` decides between two that go into alarm
    at the same moment in one lock-out group: the earlier one opens."""

    zones: tuple[Zone, ...]
    groups: tuple[Group, ...]
    inputs: tuple[Input, ...]
    rules: tuple[Rule, ...]
    after_reset: AfterReset = AfterReset.STAY

    def groups_of(self, target: Target) -> tuple[Group, ...]:
        """The groups that a rule with this target moves."""
        match target.kind:
            case TargetKind.GROUP:
                return tuple(one for one in self.groups if one.key == target.key)
            case TargetKind.ZONE:
                return tuple(one for one in self.groups if one.zone == target.key)
        return ()

    def priority_of(self, rule: Rule) -> int:
        """The rule's own priority, or the one that its kind of cause has. A mixed cause takes its weakest."""
        if rule.priority is not None:
            return rule.priority
        match rule.cause.kind:
            case CauseKind.ZONE_IN_ALARM:
                return 2
            case CauseKind.GROUP_OPEN:
                return 5
        return max((PRIORITY_OF_KIND[one.kind] for one in self.inputs_of(rule.cause)), default=_LOWEST_PRIORITY)

    def inputs_of(self, cause: Cause) -> tuple[Input, ...]:
        """The inputs that a cause names, in the set's own order."""
        named = frozenset(cause.inputs)
        return tuple(one for one in self.inputs if one.key in named) if named else ()

    def number_of(self, rule: Rule) -> int:
        """The number under which people know the rule: its place in the list, from 1."""
        return next(number for number, one in enumerate(self.rules, 1) if one.key == rule.key)


def disagree(first: Rule, second: Rule) -> bool:
    """Whether two rules that act on one group want different things."""
    closing = {Effect.CLOSE, Effect.CLOSE_VENTILATION}
    if first.effect is second.effect or {first.effect, second.effect} == closing:
        return False
    return first.effect.moves and second.effect.moves


def keys_of(records: Iterable[Zone | Group | Input | Rule]) -> dict[str, object]:
    """The records by their key."""
    return {one.key: one for one in records}
