"""One round of commissioning: operations on a panel at rest, what they do, and the way back to rest."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from itertools import groupby

from zones.engineering.cause_and_effect.commissioning import CommissioningStep, LineFault, Phase
from zones.engineering.cause_and_effect.commissioning_words import (
    CLOSE_BY_HAND,
    NO_RESET,
    READINGS,
    all_of,
    hazards_of,
    instruction,
)
from zones.engineering.cause_and_effect.events import Event
from zones.engineering.cause_and_effect.machine import Machine
from zones.engineering.cause_and_effect.moments import Position, is_alarm_rule, is_ventilation_rule
from zones.engineering.cause_and_effect.properties import zones_acted_in
from zones.engineering.cause_and_effect.rules import (
    FAULTS,
    MOMENTARY,
    Action,
    CauseKind,
    Effect,
    Input,
    InputKind,
    Rule,
    RuleSet,
    keys_of,
)
from zones.engineering.cause_and_effect.simulation import EventStep, Simulation
from zones.engineering.findings import listed
from zones.engineering.hazards import Hazard

_DEEPEST_CHAIN = 6
MOST_NAMED = 6  # zones that must stay, each by its name; beyond that by those that may move


@dataclass(slots=True)
class Panel:
    """What all rounds share: the simulation, and which resets were tried already."""

    ruleset: RuleSet
    simulation: Simulation
    resets_tried: set[str] = field(default_factory=set)

    @property
    def machine(self) -> Machine:
        """The rules, compiled."""
        return self.simulation.machine


class Round:
    """Operations from rest to rest, where the engineer stands `at` a device (``None``: at the panel).

    `steps` is what came of it, not yet numbered.
    """

    def __init__(self, panel: Panel, at: Input | None = None):
        self._panel, self._rest, self.at = panel, panel.simulation.initial_state(), at
        self._state, self._events = self._rest, []
        self.steps: list[CommissioningStep] = []

    # --- doing things ---

    def operate(
        self,
        events: list[Event],
        phase: Phase,
        *,
        do: str = "",
        lines: tuple[tuple[str, LineFault], ...] = (),
        readings: tuple[str, ...] = (),
    ) -> CommissioningStep:
        """Let these happen one after the other, wait for the delays, and note it as one step."""
        done = []
        for event in events:
            done.append(self._happen(event))
            while waiting := self._next_delay():
                done.append(self._happen(waiting))
        words = do or self._instructions([one.event for one in done])
        inputs = tuple((one.event.subject, one.event.action) for one in done if one.event.action is not Action.ELAPSED)
        step = CommissioningStep(
            *(0, 0, phase, self._place, words),
            must=self._must(done),
            must_not=self._must_not(done),
            readings=readings or tuple(one for event in events for one in self._readings(event)),
            events=tuple(self._events),
            inputs=inputs,
            rules=tuple(dict.fromkeys(key for one in done for key in one.rules)),
            lines=lines,
            is_reset=any(key in self._panel.machine.reset_scope for key, _ in inputs),
            hazards=self._hazards(inputs, lines),
            at=self._key,
        )
        self.steps.append(step)
        return step

    def claim(self, **covers):
        """Note what the last step has tried beyond its inputs and rules."""
        self.steps[-1] = replace(self.steps[-1], **covers)

    @property
    def _place(self) -> int | None:
        return self.at.place if self.at else None

    @property
    def _key(self) -> str:
        return self.at.key if self.at else ""

    def locked_out(self) -> tuple[str, ...]:
        """Zones in alarm that a lock-out keeps shut now."""
        seen = self._panel.simulation.snapshot(self._state)
        standing = {one.zone for one in self._standing()}
        return tuple(one for one in seen.locked_out if one in seen.alarms and one not in standing)

    def _happen(self, event: Event) -> EventStep:
        done = self._panel.simulation.step(self._state, event)
        self._state = done.state
        self._events.append(event)
        return done

    def _next_delay(self) -> Event | None:
        running = self._state.running
        rules = self._panel.ruleset.rules
        waiting = [one for k, one in enumerate(rules) if running >> k & 1]
        # A delay that starts itself again for ever is a fault that the proof names; here it is left running.
        if not waiting or len(self._events) > 150:
            return None
        return Event(min(waiting, key=lambda one: one.delay_s).key, Action.ELAPSED)

    # --- saying it ---

    def _hazards(self, inputs, lines) -> tuple[Hazard, ...]:
        """What can hurt: by the kinds of inputs operated, and of the devices on a line that is opened."""
        operated = [self._panel.machine.input_of[key] for key, _ in inputs]
        kinds = {one.kind for one in operated}
        opened = {line for line, _ in lines} | {one.line for one in operated if one.kind is InputKind.LINE_FAULT}
        kinds |= {one.kind for one in self._panel.ruleset.inputs if opened and one.line in opened}
        standing = {one.kind for one in self._panel.ruleset.inputs if self._is_on(one)}
        found = hazards_of(kinds | (standing & FAULTS))  # the door is open until the fault is taken back
        return tuple(one for one in Hazard if one in found)

    def _is_on(self, one: Input) -> bool:
        return one.kind in FAULTS and self._panel.simulation.position_of(one, self._state) is Action.ON

    def _instructions(self, events: list[Event]) -> str:
        """What to do, one sentence for neighbours of one kind to which the same happens."""
        return " ".join(self._instruction(list(alike)) for _, alike in groupby(events, self._kind_and_action))

    def _kind_and_action(self, event: Event) -> tuple:
        if event.action is Action.ELAPSED:
            return (event,)
        return event.action, self._panel.machine.input_of[event.subject].kind

    def _instruction(self, events: list[Event]) -> str:
        first = events[0]
        if first.action is Action.ELAPSED:
            return f"Wait {keys_of(self._panel.ruleset.rules)[first.subject].delay_s} s."
        return instruction([self._panel.machine.input_of[one.subject] for one in events], first.action)

    def _readings(self, event: Event) -> tuple[str, ...]:
        if event.action is not Action.ON:
            return ()
        return READINGS.get(self._panel.machine.input_of[event.subject].kind, ())

    def _must(self, done: list[EventStep]) -> tuple[str, ...]:
        return tuple(dict.fromkeys(one for step in done for one in step.sentences if one != "Nothing changes."))

    def _must_not(self, done: list[EventStep]) -> tuple[str, ...]:
        """What stays: whole zones first, then the groups of zones in which something moves."""
        moved = {move.group for step in done for move in step.moves}
        ruleset = self._panel.ruleset
        if not moved:
            return ("No vent moves.",) if ruleset.groups else ()
        moving = {one.zone for one in ruleset.groups if one.key in moved}
        with_vents = {one.zone for one in ruleset.groups}
        still = [str(one) for one in ruleset.zones if one.key in with_vents - moving]
        groups = [str(one) for one in ruleset.groups if one.zone in moving and one.key not in moved]
        others = listed(still)
        if len(still) > MOST_NAMED:
            others = f"any zone but {all_of(str(one) for one in ruleset.zones if one.key in moving)}"
        said = [f"No vent of {others} moves."] if still else []
        said += [f"{all_of(groups)} {'stay as they are' if len(groups) > 1 else 'stays as it is'}."] if groups else []
        lit = {lamp for step in done for lamp in (*step.lamps_on, *step.lamps_off)}
        return tuple(said) if lit or said else ("Nothing else moves.",)

    # --- bringing a rule about ---

    def events_for(self, rule: Rule, depth: int = 0) -> list[Event] | None:
        """What makes the rule's cause come true from here; ``None`` when nothing found does."""
        cause, ruleset = rule.cause, self._panel.ruleset
        if depth > _DEEPEST_CHAIN:
            return None
        if cause.kind is CauseKind.INPUTS:
            return self._events_for_inputs(rule)
        if cause.kind is CauseKind.ZONE_IN_ALARM:
            wanted = [one for one in ruleset.rules if self._raises(one, cause.zone)]
        else:
            group = keys_of(ruleset.groups)[cause.group]
            wanted = [
                one for one in ruleset.rules if one.effect is Effect.OPEN and group in ruleset.groups_of(one.target)
            ]
            wanted.sort(key=ruleset.priority_of)
        for one in sorted(wanted, key=lambda one: one.cause.kind is not CauseKind.INPUTS):
            found = self.events_for(one, depth + 1) if one is not rule else None
            if found is not None:
                return found
        return None

    def _raises(self, rule: Rule, zone: str) -> bool:
        ruleset = self._panel.ruleset
        return is_alarm_rule(ruleset, rule) and zone in zones_acted_in(ruleset, rule)

    def _events_for_inputs(self, rule: Rule) -> list[Event]:
        cause, machine = rule.cause, self._panel.machine
        chosen, lines = [], set()
        # Momentary ones last: they act in the moment in which they are pressed.
        for key in sorted(cause.inputs, key=lambda key: machine.input_of[key].kind in MOMENTARY):
            line = machine.input_of[key].line
            if len(chosen) < cause.needed and not (cause.counts_lines and line in lines):
                chosen.append(machine.input_of[key])
                lines.add(line)
        return [event for one in chosen for event in self._again(one, cause.action)]

    def _again(self, one: Input, action: Action) -> list[Event]:
        """The input put to this action, taken back first where it is there already."""
        ends = {InputKind.FIRE_SERVICE: Action.AUTO}.get(one.kind, Action.OFF)
        is_there = one.kind not in MOMENTARY and self._panel.simulation.position_of(one, self._state) is action
        return [*([Event(one.key, ends)] if is_there else []), Event(one.key, action)]

    def room_for(self, rules: Iterable[Rule]) -> list[Event]:
        """What opens vents for ventilation, for rules that are about closing or stopping them."""
        ruleset = self._panel.ruleset
        groups = {
            group
            for one in rules
            if one.effect.moves and one.effect not in (Effect.OPEN, Effect.HOLD)
            for group in ruleset.groups_of(one.target)
        }
        events = []
        for rule in ruleset.rules:
            opened = groups & set(ruleset.groups_of(rule.target))
            if rule.effect is Effect.OPEN and opened and is_ventilation_rule(ruleset, rule):
                events += self.events_for(rule) or []
                groups -= opened
        return events

    # --- back to rest ---

    def restore(self):
        """Everything let go, reset and shut again."""
        simulation, ruleset = self._panel.simulation, self._panel.ruleset
        events = []
        for one in reversed(ruleset.inputs):
            if one.kind not in MOMENTARY and simulation.position_of(one, self._state) not in (Action.OFF, Action.AUTO):
                auto = one.kind is InputKind.FIRE_SERVICE
                events.append(Event(one.key, Action.AUTO if auto else Action.OFF))
        if events:
            self.operate(events, Phase.RESTORE)
        self._reset()
        self._shut()
        self._state, self._events = self._rest, []

    def _latched(self) -> int:
        return (self._state.held | self._state.running) & self._panel.machine.latching

    def _reset(self):
        scopes = self._panel.machine.reset_scope
        while self._latched():
            useful = [key for key, (rules, _) in scopes.items() if rules & self._latched()]
            if not useful:
                self._by_hand(NO_RESET, Hazard.MOVING)
                return
            tried = self._panel.resets_tried
            key = min(useful, key=lambda key: (key in tried, -(scopes[key][0] & self._latched()).bit_count(), key))
            tried.add(key)
            before = self._latched()
            self.operate([Event(key, Action.PRESS)], Phase.RESTORE)
            if self._latched() == before:
                self._by_hand(NO_RESET, Hazard.MOVING)
                return

    def _shut(self):
        """Vents that stay after a reset: by the control that shuts most of them, then by hand."""
        while self._standing():
            best = max(self._closers(), key=lambda one: (one[0], -len(one[1])), default=(0, []))
            if best[0] <= 0:
                groups = [str(one) for one in self._standing()]
                words = CLOSE_BY_HAND.format(groups=all_of(groups))
                self._by_hand(words, Hazard.MOVING, Hazard.HEIGHT)
                return
            self.operate(best[1], Phase.RESTORE)

    def _standing(self):
        at = self._state.positions
        return [one for k, one in enumerate(self._panel.ruleset.groups) if at[k] != Position.SHUT]

    def _closers(self) -> list[tuple[int, list[Event]]]:
        """(how many groups it shuts, events) for every control that can say close and then let go."""
        found = []
        for one in self._panel.ruleset.inputs:
            if one.kind is InputKind.FIRE_SERVICE:
                events = [Event(one.key, Action.CLOSE), Event(one.key, Action.AUTO)]
            elif Action.CLOSE in MOMENTARY.get(one.kind, ()):
                events = [Event(one.key, Action.CLOSE)]
            else:
                continue
            state = self._state
            for event in events:
                state = self._panel.machine.press(state, event.subject, event.action).state
            found.append((sum(map(bool, self._state.positions)) - sum(map(bool, state.positions)), events))
        return found

    def _by_hand(self, do: str, *hazards: Hazard):
        self.steps.append(CommissioningStep(0, 0, Phase.RESTORE, self._place, do, hazards=hazards, at=self._key))
