"""Every reachable state of a small machine, breadth first: the first sequence found that breaks a property is a
shortest one."""

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise

from zones.engineering.cause_and_effect.events import Event
from zones.engineering.cause_and_effect.group_check import GroupCheck, Happening
from zones.engineering.cause_and_effect.machine import Machine
from zones.engineering.cause_and_effect.moments import Moment, State
from zones.engineering.cause_and_effect.properties import Property
from zones.engineering.cause_and_effect.rules import (
    AUTOMATIC_ALARMS,
    MOMENTARY,
    SELECTOR,
    Action,
    CauseKind,
    Input,
    InputKind,
)

# What opens a group is mostly seen at once, so it is looked for even where little is left to spend.
TRIGGER_STATES = 2_000


@dataclass(slots=True)
class Found:
    """What an exploration found: the shortest sequence that breaks each property (absent: none does), rules meant to
    act beyond their zone that did (keys; "" for lock-out), states seen, and whether the limit cut it short.

    `open_triggers`: of the triggers, those that the limit left open.
    """

    broken: dict[Property, tuple[Event, ...]] = field(default_factory=dict)
    crossing: set[str] = field(default_factory=set)
    states: int = 0
    is_complete: bool = True
    open_triggers: set[Property] = field(default_factory=set)


@dataclass(frozen=True, slots=True)
class Move:
    """One thing that may happen, made ready: when it can, and how the machine takes it.

    An `order` lets interchangeable devices operate only one after the other and be restored only in reverse:
    which of them are operated does not matter, how many does.
    """

    event: Event
    happening: Happening
    bit: int = 0
    keep: int = -1
    needs_on: int = 0  # signals that must be on, and off, for the event to be possible
    needs_off: int = 0
    is_momentary: bool = False
    let_go: int = 0
    reset_zones: int = 0

    def is_possible(self, signals: int) -> bool:
        """Whether it can happen with these inputs."""
        return signals & self.needs_on == self.needs_on and not signals & self.needs_off


def moves_of(machine: Machine, alike: Iterable[tuple[str, ...]] = (), only: frozenset[str] | None = None) -> list[Move]:
    """What can happen to the inputs of a machine. `alike`: keys of interchangeable devices; `only`: just operating
    these, no restoring (for "can be opened by")."""
    before, behind = {}, {}
    for keys in alike:
        for first, second in pairwise(keys):
            before[second], behind[first] = first, second
    moves = []
    for one in machine.ruleset.inputs:
        if only is not None and one.key not in only:
            continue
        if one.kind in MOMENTARY:
            moves += _momentary_moves(machine, one)
        elif one.kind is InputKind.FIRE_SERVICE:
            moves += _selector_moves(machine, one)
        else:
            moves += _lasting_moves(machine, one, before.get(one.key), behind.get(one.key))
    if only is not None:
        moves = [one for one in moves if one.event.action is Action.ON]
    return moves


def _momentary_moves(machine: Machine, one: Input) -> Iterable[Move]:
    for action in MOMENTARY[one.kind]:
        rules, zones = machine.reset_scope.get(one.key, (0, 0))
        happening = Happening(machine.ruleset, one.key, action)
        bit = machine.signal_bit[one.key, action]
        yield Move(Event(one.key, action), happening, bit, is_momentary=True, let_go=rules, reset_zones=zones)


def _selector_moves(machine: Machine, one: Input) -> Iterable[Move]:
    mask = machine.selector_mask[one.key]
    for action in SELECTOR:
        bit = machine.signal_bit.get((one.key, action), 0)
        # Automatic is "neither": possible from any other position, which the new state's being another one shows.
        happening = Happening(machine.ruleset, one.key, action)
        yield Move(Event(one.key, action), happening, bit, keep=~mask, needs_off=bit)


def _lasting_moves(machine: Machine, one: Input, before: str | None, behind: str | None) -> Iterable[Move]:
    bit = machine.signal_bit[one.key, Action.ON]
    first = machine.signal_bit[before, Action.ON] if before else 0
    last = machine.signal_bit[behind, Action.ON] if behind else 0
    for action in (Action.ON, Action.OFF):
        happening = Happening(machine.ruleset, one.key, action)
        event = Event(one.key, action)
        if action is Action.ON:
            yield Move(event, happening, bit, needs_on=first, needs_off=bit)
        else:
            yield Move(event, happening, keep=~bit, needs_on=bit, needs_off=last)


class Exploration:
    """All that can happen to one group in one (reduced) machine. `most_states`: stop there.

    Nothing here reads a clock: what is decided must not depend on how busy a machine is.
    """

    def __init__(self, machine: Machine, group: str, *, alike=(), most_states: int, most_delay_s: float | None = None):
        self._machine, self._check = machine, GroupCheck(machine, group, most_delay_s)
        self._alike, self._most_states = alike, most_states
        self._elapse = [
            Happening(machine.ruleset, rule.key, Action.ELAPSED) if machine.delayed >> k & 1 else None
            for k, rule in enumerate(machine.ruleset.rules)
        ]
        self._settled: dict[State, Moment] = {}
        self._parents: dict[State, tuple[State, Event] | None] = {}
        self._delay_steps: dict[State, list[tuple[State, Event]]] = {}

    def run(self) -> Found:
        """Explore, and say what was found."""
        found = Found()
        self._explore(found)
        found.states = len(self._parents)
        if self._delay_steps and self._has_contacts():
            self._look_for_cycles(found)
        self._look_for_triggers(found)
        return found

    def _has_contacts(self) -> bool:
        return any(rule.cause.kind is CauseKind.GROUP_OPEN for rule in self._machine.ruleset.rules)

    def _explore(self, found: Found):
        machine, check, parents = self._machine, self._check, self._parents
        moves, many, own = moves_of(machine, self._alike), self._most_states, frozenset({None, check.zone})
        start = machine.initial()
        if not start.settles:
            found.broken[Property.SETTLES] = ()
            return
        self._note(found, [*check.broken_in(start), *check.broken_at_rest(start)], None, None)
        parents[start.state], self._settled[start.state] = None, start
        queue = deque([start])
        while queue:
            if len(parents) >= many:
                found.is_complete = False
                return
            before = queue.popleft()
            for event, happening, after in self._steps(before, moves):
                state = after.state
                if state == before.state and (after.pulse is None or check.is_undisturbed(before, after.pulse)):
                    continue
                broken = check.broken_by(before, happening, after)
                # What does not settle has no state to go on from: its moment is noted, and left.
                if state not in parents and after.settles:
                    parents[state] = before.state, event
                    steady = self._settled[state] = after._replace(pulse=None) if after.pulse else after
                    queue.append(steady)
                    broken += check.broken_in(steady) + check.broken_at_rest(steady)
                if broken:
                    self._note(found, broken, before.state, event)
                if happening.zones - own:
                    for first, second in pairwise(one for one in (before, after.pulse, after) if one):
                        self._note_crossing(found, first, second)

    def _steps(self, before: Moment, moves: list[Move]):
        """(event, happening, moment after) for all that can happen; nothing-changes steps of selectors left out."""
        machine, state = self._machine, before.state
        signals = state.signals
        for move in moves:
            if not move.is_possible(signals):
                continue
            if move.is_momentary:
                after = machine.settle(
                    state, move.bit, let_go=move.let_go, reset_zones=move.reset_zones, known=self._settled
                )
            else:
                now = signals & move.keep | move.bit
                if now == signals:
                    continue
                after = machine.settle(State(now, *state[1:]))
            yield move.event, move.happening, after
        if state.running:
            yield from self._elapses(state)

    def _elapses(self, state: State):
        for k, rule in enumerate(self._machine.ruleset.rules):
            if state.running >> k & 1:
                after, event = self._machine.elapse(state, k), Event(rule.key, Action.ELAPSED)
                if after.settles:
                    self._delay_steps.setdefault(state, []).append((after.state, event))
                yield event, self._elapse[k], after

    def _note(self, found: Found, broken: list[Property], before: State | None, event: Event | None):
        for one in broken:
            if one not in found.broken:
                found.broken[one] = (*self._path(before), event) if event else ()

    def _path(self, state: State) -> tuple[Event, ...]:
        events = []
        while (step := self._parents[state]) is not None:
            state, event = step
            events.append(event)
        return tuple(reversed(events))

    def _note_crossing(self, found: Found, before: Moment, after: Moment):
        group = self._check.group
        if before.state.positions[group] == after.state.positions[group]:
            return
        rules = self._check.meant_by(before, after)
        if rules == 0:
            found.crossing.add("")
        elif rules:
            found.crossing |= {one.key for k, one in enumerate(self._machine.ruleset.rules) if rules >> k & 1}

    # --- cycles of delays alone ---

    def _look_for_cycles(self, found: Found):
        """Delays that can go on elapsing for ever with nobody touching anything: the vents never come to rest."""
        edges = {a: [b for b, _ in steps] for a, steps in self._delay_steps.items()}
        paths = [self._path(state) for state in _never_resting(edges)]
        if Property.SETTLES in found.broken:
            paths.append(found.broken[Property.SETTLES])
        if paths:
            found.broken[Property.SETTLES] = min(paths, key=len)

    # --- what can open the group ---

    def _look_for_triggers(self, found: Found):
        for kinds, wanted in (
            (frozenset({InputKind.CALL_POINT}), Property.MANUAL_TRIGGER),
            (AUTOMATIC_ALARMS, Property.AUTOMATIC_TRIGGER),
        ):
            only = frozenset(one.key for one in self._machine.ruleset.inputs if one.kind in kinds)
            moves = moves_of(self._machine, self._alike, only)
            opens = self._can_open(moves)
            if opens is None:
                found.open_triggers.add(wanted)
            elif not opens:
                found.broken[wanted] = tuple(one.event for one in moves)

    def _can_open(self, moves: list[Move]) -> bool | None:
        """Whether these moves alone can open the group; None: the limit was reached before that was seen."""
        start = self._machine.initial()
        seen, waiting = {start.state}, [start]
        while waiting:
            before = waiting.pop()
            if self._check.is_open(before):
                return True
            if len(seen) > max(self._most_states, TRIGGER_STATES):
                return None
            for _, _, after in self._steps(before, moves):
                if after.settles and after.state not in seen:
                    seen.add(after.state)
                    waiting.append(self._machine.moment_of(after.state))
        return False


def _never_resting(edges: dict[State, list[State]]) -> list[State]:
    """The states from which the edges can be followed for ever: dead ends are taken off until none is left."""
    left = {a: len(ends) for a, ends in edges.items()}
    behind = {}
    for a, ends in edges.items():
        for b in ends:
            behind.setdefault(b, []).append(a)
    dead = [b for b in behind if b not in left]
    while dead:
        for a in behind.get(dead.pop(), ()):
            left[a] -= 1
            if not left[a]:
                dead.append(a)
    return [a for a, count in left.items() if count]
