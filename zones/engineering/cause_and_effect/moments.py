"""A moment of a panel: where the vents stand, what is derived from it, and what kinds of rules there are."""

from enum import IntEnum
from typing import NamedTuple

from zones.engineering.cause_and_effect.rules import ALARMS, VENTILATION, WEATHER, CauseKind, Effect, Rule, RuleSet

NO_ONE = -1


class Position(IntEnum):
    """Where a group stands, and what it was opened for."""

    SHUT = 0
    PART_WAY = 1
    OPEN_VENTILATION = 2  # for ventilation
    OPEN = 3  # for smoke: alarm, fire service or fault reaction

    @property
    def is_open(self) -> bool:
        """Fully open, for whatever reason."""
        return self >= Position.OPEN_VENTILATION

    @property
    def words(self) -> str:
        """The position as people say it."""
        return ("shut", "part-way", "open for ventilation", "open")[self]


class State(NamedTuple):
    """A settled moment. Numbers are masks of bits in the machine's numbering; equal states are equal moments.

    signals: operated inputs; running: rules whose delay runs; held: rules latched or with elapsed delay;
    positions: one `Position` per group; owners: per lock-out group the number of the zone, or -1.
    """

    signals: int
    running: int
    held: int
    positions: tuple[int, ...]
    owners: tuple[int, ...]


class Moment(NamedTuple):
    """A state with what is derived from it: rules caused, rules in force, zones in alarm (masks), and whether it
    settled. `pulse`: the moment before it, while a momentary input was still operated."""

    state: State
    caused: int
    in_force: int
    alarms: int
    settles: bool = True
    pulse: "Moment | None" = None

    def changed_since(self, before: "Moment") -> int:
        """The rules that began or ended to be caused or in force (mask)."""
        return (before.caused ^ self.caused) | (before.in_force ^ self.in_force)


class Pull(NamedTuple):
    """One thing that may move a group: the bit that says it is in force, its effect, whether it is for ventilation."""

    bit: int
    effect: Effect
    is_ventilation: bool


def is_alarm_rule(ruleset: RuleSet, rule: Rule) -> bool:
    """Whether the rule puts the zone of its target into alarm."""
    if rule.effect is not Effect.OPEN:
        return False
    if rule.cause.kind is CauseKind.ZONE_IN_ALARM:
        return True
    return any(one.kind in ALARMS for one in ruleset.inputs_of(rule.cause))


def is_ventilation_rule(ruleset: RuleSet, rule: Rule, kinds=VENTILATION) -> bool:
    """Whether all inputs of the rule are of these kinds (ventilation, or ventilation and weather)."""
    inputs = ruleset.inputs_of(rule.cause)
    return bool(inputs) and all(one.kind in kinds for one in inputs)


LOCKED_OUT = Pull(0, Effect.CLOSE, False)
WEATHER_OR_VENTILATION = WEATHER | VENTILATION
