"""The order in which a panel's logic is tried out on site, derived from its rules.

Every step says what to do, what must happen and what must not, as the simulation has it. Steps that need no reset
between them make one *round*: it starts with everything at rest and ends with everything restored. A round has one
place where the engineer stands; what it operates elsewhere a second person does. Rounds follow the walk through the
building.
Power comes up first, in the order of `power_order` (the maker's order goes before it); the last round is at the panel
again and leaves it in service. A reading is asked for where the handbook of the trade asks for one, and once.

The plan supports a competent person; it does not replace the standard, the maker's instruction or a permit to work.
"""

from collections import Counter
from dataclasses import dataclass
from enum import StrEnum

from zones.engineering.cause_and_effect.events import Event
from zones.engineering.cause_and_effect.moments import is_alarm_rule
from zones.engineering.cause_and_effect.properties import zones_acted_in
from zones.engineering.cause_and_effect.rules import (
    FAULTS,
    Action,
    Effect,
    Input,
    InputKind,
    Rule,
    RuleSet,
    Zone,
    cause_actions_of,
    disagree,
    keys_of,
)
from zones.engineering.cause_and_effect.words import rule_words
from zones.engineering.hazards import Hazard


class Phase(StrEnum):
    """What a step is about."""

    POWER_UP = "power_up"
    SUPPLY = "supply"
    INPUT = "input"
    PRIORITY = "priority"
    LINE = "line"
    LOGIC = "logic"
    RESTORE = "restore"
    LEAVE = "leave"

    @property
    def words(self) -> str:
        """The phase as people say it."""
        return _PHASE_WORDS[self]


_PHASE_WORDS = {
    Phase.POWER_UP: "power up",
    Phase.SUPPLY: "mains and battery",
    Phase.INPUT: "point by point",
    Phase.PRIORITY: "which goes first",
    Phase.LINE: "monitored lines",
    Phase.LOGIC: "further rules",
    Phase.RESTORE: "restore",
    Phase.LEAVE: "leave in service",
}


class LineFault(StrEnum):
    """The two ways in which a line's fault report is tried."""

    DEVICE_REMOVED = "device_removed"
    ELEMENT_REMOVED = "element_removed"


@dataclass(frozen=True, slots=True, order=True)
class PriorityPair:
    """Two priorities that can disagree in a zone (its key), and which of the two comes second."""

    zone: str
    stronger: int
    weaker: int
    weaker_last: bool


@dataclass(frozen=True, slots=True)
class CommissioningStep:
    """One thing to do, and what is then to be seen.

    `events`: from rest up to this step, for `Simulation.replay`; empty where nothing of the logic is tried. `place`:
    where on the walk the engineer stands, ``None`` at the panel; `at`: key of the device there. `part`, `code`: of the
    step of powering up or of leaving that it is. `inputs`: (key, action) tried; `rules`: keys of rules that act;
    `lines`: (line, how) whose report is tried; `locked_out`: zones in alarm that a lock-out is seen to keep shut.
    `readings`: what to measure, with unit; `hazards`: what can hurt, in their order.
    """

    number: int
    round: int
    phase: Phase
    place: int | None
    do: str
    must: tuple[str, ...] = ()
    must_not: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()
    events: tuple[Event, ...] = ()
    inputs: tuple[tuple[str, Action], ...] = ()
    rules: tuple[str, ...] = ()
    pairs: tuple[PriorityPair, ...] = ()
    lines: tuple[tuple[str, LineFault], ...] = ()
    locked_out: tuple[str, ...] = ()
    is_reset: bool = False
    hazards: tuple[Hazard, ...] = ()
    at: str = ""
    part: str = ""
    code: str = ""


@dataclass(frozen=True, slots=True)
class Covered:
    """How many of how many, and what is left, in words."""

    done: int
    of: int
    missing: tuple[str, ...] = ()

    @property
    def is_complete(self) -> bool:
        """Whether nothing is left."""
        return self.done == self.of


@dataclass(frozen=True, slots=True)
class Coverage:
    """What a plan, or the part of it that was done, covers."""

    inputs: Covered
    rules: Covered
    pairs: Covered
    lines: Covered
    lockouts: Covered
    resets: int

    @property
    def is_complete(self) -> bool:
        """Whether everything is covered."""
        return all(one.is_complete for one in (self.inputs, self.rules, self.pairs, self.lines, self.lockouts))


@dataclass(frozen=True, slots=True)
class Told:
    """How many panels set up wrongly in one thing a plan shows to be wrong, of how many; `unseen`: the others, in
    words: no step shows these, and for some of them no test could."""

    told: int
    of: int
    unseen: tuple[str, ...] = ()


def coverage(steps: tuple[CommissioningStep, ...], ruleset: RuleSet) -> Coverage:
    """What these steps cover of the rules. Give only the steps that were done to learn what is still to do."""
    tried = {one for step in steps for one in step.inputs}
    acted = {one for step in steps for one in step.rules}
    pairs = {one for step in steps for one in step.pairs}
    lines = {one for step in steps for one in step.lines}
    left_inputs = [one for one in ruleset.inputs if not _wanted(one) <= tried]
    left_rules = [one for one in ruleset.rules if one.key not in acted]
    left_pairs = [one for one in priority_pairs(ruleset) if one not in pairs]
    wanted_lines = line_faults(ruleset)
    left_lines = [one for one in wanted_lines if one not in lines]
    zones = keys_of(ruleset.zones)
    locked = {key for step in steps for key in step.locked_out}
    left_locked = [zones[key] for key in zones_to_lock_out(ruleset) if key not in locked]
    return Coverage(
        _covered(len(ruleset.inputs), [f"{one} is not tried" for one in left_inputs]),
        _covered(len(ruleset.rules), [f"{rule_words(ruleset, one)} does not act in any step" for one in left_rules]),
        _covered(len(priority_pairs(ruleset)), [_pair_words(zones, one) for one in left_pairs]),
        _covered(len(wanted_lines), [_line_words(*one) for one in left_lines]),
        _covered(len(zones_to_lock_out(ruleset)), [f"{one} is not seen locked out" for one in left_locked]),
        sum(one.is_reset for one in steps),
    )


def _covered(of: int, missing: list[str]) -> Covered:
    return Covered(of - len(missing), of, tuple(f"{one}." for one in missing))


def _wanted(one: Input) -> set[tuple[str, Action]]:
    return {(one.key, action) for action in cause_actions_of(one.kind)}


def _pair_words(zones: dict[str, Zone], pair: PriorityPair) -> str:
    order = (pair.stronger, pair.weaker) if pair.weaker_last else (pair.weaker, pair.stronger)
    return f"{zones[pair.zone]}: priority {order[0]}, then priority {order[1]}, is not tried"


def _line_words(line: str, how: LineFault) -> str:
    what = "a removed device" if how is LineFault.DEVICE_REMOVED else "a removed end-of-line resistor"
    return f"Line {line}: the report of {what} is not tried"


def line_faults(ruleset: RuleSet) -> tuple[tuple[str, LineFault], ...]:
    """What is to be tried of lines: each line named by an input, both ways where there are both."""
    monitored = dict.fromkeys(one.line for one in ruleset.inputs if one.line)
    with_devices = {one.line for one in ruleset.inputs if one.line and one.kind not in FAULTS}
    without_element = {one.line for one in ruleset.inputs if not one.has_element}
    wanted = {LineFault.DEVICE_REMOVED: with_devices, LineFault.ELEMENT_REMOVED: set(monitored) - without_element}
    return tuple((line, how) for line in monitored for how in LineFault if line in wanted[how])


def zones_to_lock_out(ruleset: RuleSet) -> tuple[str, ...]:
    """Zones that another zone can lock out: both have vents and a rule that puts them into alarm."""
    alarmed = {zone for rule in ruleset.rules if is_alarm_rule(ruleset, rule) for zone in zones_acted_in(ruleset, rule)}
    usable = [one for one in ruleset.zones if one.lockout_group and one.key in alarmed]
    with_vents = {one.zone for one in ruleset.groups}
    count = Counter(one.lockout_group for one in usable)
    return tuple(one.key for one in usable if one.key in with_vents and count[one.lockout_group] > 1)


def _exclude_each_other(ruleset: RuleSet, first: Rule, second: Rule) -> bool:
    """Whether both need one selector, each at another position."""
    shared = {one.key for one in ruleset.inputs_of(first.cause) if one.kind is InputKind.FIRE_SERVICE}
    return bool(shared & set(second.cause.inputs)) and first.cause.action is not second.cause.action


def rule_pairs(ruleset: RuleSet) -> dict[tuple[str, int, int], tuple[Rule, Rule]]:
    """For each zone and two priorities that can disagree there, the first stronger and weaker rule that do.

    Preferred are rules with a single device as cause, because a person can bring those about one at a time.
    """
    found: dict[tuple[str, int, int], tuple[tuple[int, ...], tuple[Rule, Rule]]] = {}
    for group in ruleset.groups:
        acting = [
            (number, one)
            for number, one in enumerate(ruleset.rules)
            if one.effect.moves and group.key in {each.key for each in ruleset.groups_of(one.target)}
        ]
        for number, strong in acting:
            for other, weak in acting:
                first, second = ruleset.priority_of(strong), ruleset.priority_of(weak)
                if first >= second or not disagree(strong, weak) or _exclude_each_other(ruleset, strong, weak):
                    continue
                cost = sum(
                    (len(one.cause.inputs) != 1) + (one.delay_s > 0) + (one.effect in (Effect.STOP, Effect.HOLD))
                    for one in (strong, weak)
                )
                rank = (cost, number, other)
                key = group.zone, first, second
                if key not in found or rank < found[key][0]:
                    found[key] = rank, (strong, weak)
    return {key: pair for key, (_, pair) in sorted(found.items())}


def priority_pairs(ruleset: RuleSet) -> tuple[PriorityPair, ...]:
    """Every pair of priorities that can disagree in a zone, in both orders."""
    return tuple(PriorityPair(*key, last) for key in rule_pairs(ruleset) for last in (False, True))
