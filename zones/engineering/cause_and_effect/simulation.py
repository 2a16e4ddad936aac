"""A panel step by step: an event in, the next state and what happened, in words. Deterministic, no clock.

Delays are events of their own ("the delay of 30 s elapses"), possible as long as they run, in any order: what is
shown for one order of delays may need figures that the building does not have, what is proven holds for all.
How one moment is settled stands in `machine`.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise

from zones.engineering.cause_and_effect.events import Event, EventError, event_words
from zones.engineering.cause_and_effect.machine import Machine
from zones.engineering.cause_and_effect.moments import LOCKED_OUT, Moment, Position, Pull, State
from zones.engineering.cause_and_effect.rules import (
    FAULTS,
    MOMENTARY,
    Action,
    Effect,
    InputKind,
    RuleSet,
    Target,
    TargetKind,
    actions_of,
    cause_actions_of,
)
from zones.engineering.cause_and_effect.validation import structural_faults
from zones.engineering.cause_and_effect.words import rule_words, target_words


class RuleSetError(ValueError):
    """The rules cannot be simulated; `sentences` say why."""

    def __init__(self, sentences: tuple[str, ...]):
        super().__init__(" ".join(sentences))
        self.sentences = sentences


@dataclass(frozen=True, slots=True)
class Move:
    """A group changed its position. `rule` is the key of the rule that did it, "" for lock-out and reset.

    A group that a momentary input moves and something else takes back moves twice in one step.
    """

    group: str
    before: Position
    after: Position
    rule: str
    why: str


@dataclass(frozen=True, slots=True)
class EventStep:
    """What one event did. A lamp is the target that lights it; alarms are keys of zones; `rules` are keys of those in
    force at some moment of it; `sentences` say it all."""

    event: Event
    state: State
    moves: tuple[Move, ...]
    lamps_on: tuple[Target, ...]
    lamps_off: tuple[Target, ...]
    alarms_on: tuple[str, ...]
    alarms_off: tuple[str, ...]
    settles: bool
    rules: tuple[str, ...]
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GroupView:
    """Where a group stands and what holds it there ("" when nothing does)."""

    group: str
    position: Position
    why: str


@dataclass(frozen=True, slots=True)
class Snapshot:
    """A state as a page shows it. Keys of zones in alarm and locked out, of faulty and of operated inputs, of rules
    whose delay runs; lamps as in `EventStep`."""

    groups: tuple[GroupView, ...]
    alarms: tuple[str, ...]
    locked_out: tuple[str, ...]
    lamps: tuple[Target, ...]
    faults: tuple[str, ...]
    operated: dict[str, Action] = field(hash=False)
    waiting: tuple[str, ...] = ()


class Simulation:
    """One rule set made ready for many steps. Raises RuleSetError when it points nowhere."""

    def __init__(self, ruleset: RuleSet):
        faults = structural_faults(ruleset)
        if faults:
            raise RuleSetError(faults)
        self.ruleset = ruleset
        self.machine = Machine(ruleset)
        self._lamps = tuple(
            (1 << k, one.target) for k, one in enumerate(ruleset.rules) if one.effect is Effect.INDICATE
        )
        self._zone_words = {one.key: str(one) for one in ruleset.zones}

    def initial_state(self) -> State:
        """Nothing operated, everything shut, fire service control at automatic."""
        return self.machine.initial().state

    def events_possible(self, state: State) -> tuple[Event, ...]:
        """What can happen next, inputs in their order, then delays that run."""
        return (
            *(Event(one.key, action) for one in self.ruleset.inputs for action in self._possible(one, state)),
            *(Event(rule.key, Action.ELAPSED) for k, rule in enumerate(self.ruleset.rules) if state.running >> k & 1),
        )

    def _possible(self, one, state: State) -> tuple[Action, ...]:
        if one.kind in MOMENTARY:
            return MOMENTARY[one.kind]
        at = self.position_of(one, state)
        return tuple(action for action in actions_of(one.kind) if action is not at)

    def position_of(self, one, state: State) -> Action:
        """Where a lasting input stands: on or off; of a selector, automatic, open or close."""
        for action in cause_actions_of(one.kind):
            if state.signals & self.machine.signal_bit[one.key, action]:
                return action
        return Action.AUTO if one.kind is InputKind.FIRE_SERVICE else Action.OFF

    def step(self, state: State, event: Event) -> EventStep:
        """What the event does in this state.

        Raises:   EventError: it cannot happen now ("Detector 1 is operated already").
        """
        before = self.machine.moment_of(state)
        after = self._after(state, event)
        stages = (before, *((after.pulse,) if after.pulse else ()), after)
        moves = tuple(move for first, second in pairwise(stages) for move in self._moves(first, second))
        was, now = self._lamps_lit(before), self._lamps_lit(after)
        lamps_on, lamps_off = (tuple(one for one in now if one not in was), tuple(one for one in was if one not in now))
        alarms_on = self._zones(after.alarms & ~before.alarms)
        alarms_off = self._zones(before.alarms & ~after.alarms)
        said = (
            *(f"{self._zone_words[one]} goes into alarm." for one in alarms_on),
            *(f"{self._zone_words[one]} is no longer in alarm." for one in alarms_off),
            *self._still_in_alarm(event, after),
            *(self._move_words(one) for one in moves),
            *self._shut_words(before, after),
            *(f"{self._lamp_words(one)} comes on." for one in lamps_on),
            *(f"{self._lamp_words(one)} goes out." for one in lamps_off),
            *self._delay_words(before, after),
        )
        if not after.settles:
            said = (*said, "The rules do not settle: this state causes the opposite of itself, over and over.")
        return EventStep(
            *(event, after.state, moves, lamps_on, lamps_off, alarms_on, alarms_off, after.settles),
            rules=self._in_force(stages),
            sentences=said or ("Nothing changes.",),
        )

    def _in_force(self, stages: Iterable[Moment]) -> tuple[str, ...]:
        acted = 0
        for moment in stages:
            acted |= moment.in_force
        return tuple(one.key for k, one in enumerate(self.ruleset.rules) if acted >> k & 1)

    def _after(self, state: State, event: Event) -> Moment:
        if event.action is Action.ELAPSED:
            number = self.machine.rule_number.get(event.subject)
            if number is None or not state.running >> number & 1:
                raise EventError(f"No delay of a rule {event.subject!r} runs now. Choose an event that can happen.")
            return self.machine.elapse(state, number)
        one = self.machine.input_of.get(event.subject)
        if one is None or event.action not in actions_of(one.kind):
            raise EventError(f"This panel has no input {event.subject!r} that can be at {event.action.value!r}.")
        if event.action not in self._possible(one, state):
            raise EventError(f"{one} is at {event.action.value!r} already. Choose an event that can happen.")
        return self.machine.press(state, event.subject, event.action)

    def _lamps_lit(self, moment: Moment) -> tuple[Target, ...]:
        return tuple(dict.fromkeys(target for bit, target in self._lamps if moment.in_force & bit))

    def _zones(self, mask: int) -> tuple[str, ...]:
        return tuple(one.key for k, one in enumerate(self.ruleset.zones) if mask >> k & 1)

    def _moves(self, before: Moment, after: Moment) -> Iterable[Move]:
        for k, group in enumerate(self.ruleset.groups):
            was, now = before.state.positions[k], after.state.positions[k]
            if was != now:
                pull = self.machine.strongest(k, after.in_force, after.state.owners)
                yield Move(
                    group.key, Position(was), Position(now), self._rule_key(pull), self._why(k, pull, after.state)
                )

    def _rule_key(self, pull: Pull | None) -> str:
        number = pull.bit.bit_length() - 1 if pull else -1
        return self.ruleset.rules[number].key if 0 <= number < len(self.ruleset.rules) else ""

    def _why(self, group: int, pull: Pull | None, state: State) -> str:
        if pull is LOCKED_OUT:
            zone = next(one for one in self.ruleset.zones if one.key == self.ruleset.groups[group].zone)
            owner = self.ruleset.zones[state.owners[self.machine.lockout_number[zone.lockout_group]]]
            return f"lock-out, because {owner} was in alarm first"
        key = self._rule_key(pull)
        if key:
            return rule_words(self.ruleset, self.ruleset.rules[self.machine.rule_number[key]])
        return "the setting for after a reset"

    def _move_words(self, move: Move) -> str:
        group = self.ruleset.groups[self.machine.group_number[move.group]]
        if move.before.is_open and move.after.is_open:
            return f"{group} stays open, now {'for ventilation' if move.after == 2 else 'for smoke'}: {move.why}."
        verb = {Position.SHUT: "closes", Position.PART_WAY: "stops part-way"}.get(move.after, "opens")
        return f"{group} {verb}: {move.why}."

    def _shut_words(self, before: Moment, after: Moment) -> Iterable[str]:
        """Zones that go into alarm and stay shut, because that is what a person would wonder at."""
        raised = after.alarms & ~before.alarms
        for k, group in enumerate(self.ruleset.groups):
            if raised & self.machine.group_zone_bits[k] and not after.state.positions[k]:
                pull = self.machine.strongest(k, after.in_force, after.state.owners)
                if pull is not None:
                    yield f"{group} stays shut: {self._why(k, pull, after.state)}."

    def _still_in_alarm(self, event: Event, after: Moment) -> Iterable[str]:
        if event.subject in self.machine.reset_scope:
            scope = self.machine.reset_scope[event.subject][1]
            for key in self._zones(after.alarms & scope):
                yield f"{self._zone_words[key]} stays in alarm: what raised it is still operated."

    def _delay_words(self, before: Moment, after: Moment) -> Iterable[str]:
        for k, rule in enumerate(self.ruleset.rules):
            if after.state.running >> k & 1 and not before.state.running >> k & 1:
                yield f"{rule.delay_s} s delay of {rule_words(self.ruleset, rule)} runs."

    def _lamp_words(self, lamp: Target) -> str:
        words = target_words(self.ruleset, lamp)
        return f"Alarm lamp of {words}" if lamp.kind is TargetKind.ZONE else words[0].upper() + words[1:]

    def snapshot(self, state: State) -> Snapshot:
        """The state as a page shows it."""
        moment, machine, ruleset = self.machine.moment_of(state), self.machine, self.ruleset
        views = []
        for k, group in enumerate(ruleset.groups):
            pull = machine.strongest(k, moment.in_force, state.owners)
            views.append(GroupView(group.key, Position(state.positions[k]), self._why(k, pull, state) if pull else ""))
        locked = {one.zone for k, one in enumerate(ruleset.groups) if machine.is_locked_out(k, state.owners)}
        lasting = [one for one in ruleset.inputs if one.kind not in MOMENTARY]
        at = {one.key: self.position_of(one, state) for one in lasting}
        return Snapshot(
            groups=tuple(views),
            alarms=self._zones(moment.alarms),
            locked_out=tuple(one.key for one in ruleset.zones if one.key in locked),
            lamps=self._lamps_lit(moment),
            faults=tuple(one.key for one in lasting if one.kind in FAULTS and at[one.key] is Action.ON),
            operated={key: where for key, where in at.items() if where not in (Action.OFF, Action.AUTO)},
            waiting=tuple(one.key for k, one in enumerate(ruleset.rules) if state.running >> k & 1),
        )

    def replay(self, events: Iterable[Event]) -> tuple[EventStep, ...]:
        """The steps of a sequence from the initial state. Raises EventError at the first that cannot happen."""
        state, steps = self.initial_state(), []
        for event in events:
            steps.append(self.step(state, event))
            state = steps[-1].state
        return tuple(steps)

    def words(self, event: Event) -> str:
        """The event in words."""
        return event_words(self.ruleset, event)


def initial_state(ruleset: RuleSet) -> State:
    """Where a panel starts. For many steps make one `Simulation`."""
    return Simulation(ruleset).initial_state()


def events_possible(ruleset: RuleSet, state: State) -> tuple[Event, ...]:
    """What can happen next in this state."""
    return Simulation(ruleset).events_possible(state)


def step(ruleset: RuleSet, state: State, event: Event) -> EventStep:
    """What the event does; see `Simulation.step`."""
    return Simulation(ruleset).step(state, event)
