"""The properties judged without any reduction: every state of the whole panel, by the simulation's public steps.

The predicates are written anew from the wording of the properties, on snapshots and steps, so that an error in the
proof's own predicates shows too.
"""

from collections import deque
from itertools import pairwise

from zones.engineering.cause_and_effect import Action, CauseKind, Effect, InputKind, Position, Simulation, TargetKind
from zones.engineering.cause_and_effect.properties import Property

FIRE = {InputKind.CALL_POINT, InputKind.DETECTOR, InputKind.FIRE_ALARM}
SOFT = {InputKind.RAIN, InputKind.WIND, InputKind.VENTILATION_SWITCH, InputKind.VENTILATION_CONTROL}
OPEN, SHUT = ("open", "open for ventilation"), "shut"


class TooLarge(Exception):
    """More states than a test should look at."""


class BruteForce:
    """All properties of every group of a rule set; `shortest[group, property]` is how few events break it."""

    def __init__(self, ruleset, most_states=1500):
        self.ruleset, self.simulation, self.most_states = ruleset, Simulation(ruleset), most_states
        self.inputs = {one.key: one for one in ruleset.inputs}
        self.rules = {one.key: one for one in ruleset.rules}
        self.shortest = {}
        self.snapshots = {}
        self.oscillates = False
        self._explore()
        for group in ruleset.groups:
            for wanted, kinds in (
                (Property.MANUAL_TRIGGER, {InputKind.CALL_POINT}),
                (Property.AUTOMATIC_TRIGGER, {InputKind.DETECTOR, InputKind.FIRE_ALARM}),
            ):
                if not self._can_be_opened(group, kinds):
                    self.shortest[group.key, wanted] = 0

    # --- facts about the rules ---

    def zones_of(self, rule):
        if rule.target.kind is TargetKind.ZONE:
            return {rule.target.key}
        return {one.zone for one in self.ruleset.groups if one.key == rule.target.key and rule.target.kind == "group"}

    def raises_alarm(self, rule):
        if rule.effect is not Effect.OPEN:
            return False
        fire = any(self.inputs[key].kind in FIRE for key in rule.cause.inputs)
        return fire or rule.cause.kind is CauseKind.ZONE_IN_ALARM

    def acts_on(self, rule, group):
        hits = group.key == rule.target.key if rule.target.kind is TargetKind.GROUP else group.zone == rule.target.key
        return (
            hits and rule.target.kind is not TargetKind.OUTPUT and rule.effect not in ("block_ventilation", "indicate")
        )

    def must(self, zone):
        counted = {
            key
            for rule in self.ruleset.rules
            if rule.cause.needed > 1 and self.raises_alarm(rule) and zone in self.zones_of(rule)
            for key in rule.cause.inputs
        }
        return {
            one.key
            for one in self.ruleset.inputs
            if one.zone == zone and one.kind in FIRE and (one.kind is not InputKind.DETECTOR or one.key not in counted)
        }

    def controls(self, group):
        found = {
            one.key for one in self.ruleset.inputs if one.kind is InputKind.FIRE_SERVICE and one.zone == group.zone
        }
        for rule in self.ruleset.rules:
            if self.acts_on(rule, group):
                found |= {key for key in rule.cause.inputs if self.inputs[key].kind is InputKind.FIRE_SERVICE}
        return found

    def behind(self, zone):
        found = {zone}
        while True:
            more = found | {
                one.cause.zone
                for one in self.ruleset.rules
                if one.cause.kind is CauseKind.ZONE_IN_ALARM and self.raises_alarm(one) and self.zones_of(one) & found
            }
            if more == found:
                return found
            found = more

    # --- facts about a moment ---

    def look(self, state):
        if state not in self.snapshots:
            self.snapshots[state] = self.simulation.snapshot(state)
        return self.snapshots[state]

    def view(self, state, group):
        return next(one for one in self.look(state).groups if one.group == group.key)

    def position(self, state, group):
        return self.view(state, group).position.words

    def waits(self, state, group):
        return any(self.acts_on(self.rules[key], group) for key in self.look(state).waiting)

    def owed_open(self, state, group):
        seen = self.look(state)
        smoke = group.zone in seen.alarms or self.must(group.zone) & set(seen.operated)
        shut_by_fire_service = any(seen.operated.get(key) is Action.CLOSE for key in self.controls(group))
        free = not self.waits(state, group) and not shut_by_fire_service and group.zone not in seen.locked_out
        return bool(smoke) and free

    # --- the search ---

    def _explore(self):
        start = self.simulation.initial_state()
        depth, queue = {start: 0}, deque([start])
        edges = {}
        self._judge_state(start, 0)
        while queue:
            state = queue.popleft()
            for event in self.simulation.events_possible(state):
                done = self.simulation.step(state, event)
                if not done.settles:
                    for group in self.ruleset.groups:
                        self._note(group, Property.SETTLES, depth[state] + 1)
                    self.oscillates = True
                    continue
                if event.action is Action.ELAPSED:
                    edges.setdefault(state, []).append(done.state)
                if done.state not in depth:
                    if len(depth) >= self.most_states:
                        raise TooLarge
                    depth[done.state] = depth[state] + 1
                    queue.append(done.state)
                    self._judge_state(done.state, depth[done.state])
                self._judge_step(state, event, done, depth[state] + 1)
        self.states = len(depth)
        self._judge_cycles(edges, depth)

    def _note(self, group, wanted, length):
        key = group.key, wanted
        self.shortest[key] = min(length, self.shortest.get(key, length))

    def _judge_state(self, state, length):
        for group in self.ruleset.groups:
            at = self.position(state, group)
            if self.owed_open(state, group) and at not in OPEN:
                self._note(group, Property.OPENS_ON_SMOKE, length)
                if self._is_held_by_soft(self.simulation.machine.moment_of(state), group):
                    self._note(group, Property.SMOKE_BEFORE_VENTILATION, length)
            self._judge_position(group, at, state, length)

    def _judge_position(self, group, at, state, length):
        seen = self.look(state)
        said = {seen.operated.get(key) for key in self.controls(group)} - {None}
        if group.zone in seen.locked_out and at != SHUT and Action.OPEN not in said:
            self._note(group, Property.LOCKS_OUT, length)
        if len(said) == 1 and not self.waits(state, group):
            wrong = at not in OPEN if said == {Action.OPEN} else at != SHUT
            if wrong:
                self._note(group, Property.FIRE_SERVICE_FIRST, length)

    def _is_held_by_soft(self, moment, group):
        """Whether rain, wind or ventilation control decides, against a rule in force that would open."""
        machine, number = self.simulation.machine, self.ruleset.groups.index(group)
        pull = machine.strongest(number, moment.in_force, moment.state.owners)
        deciding = [one for k, one in enumerate(self.ruleset.rules) if pull and pull.bit == 1 << k]
        would_open = any(
            moment.in_force >> k & 1
            and self.acts_on(one, group)
            and one.effect is Effect.OPEN
            and not self.is_of(one, {InputKind.VENTILATION_SWITCH, InputKind.VENTILATION_CONTROL})
            for k, one in enumerate(self.ruleset.rules)
        )
        return would_open and any(self.is_of(one, SOFT) for one in deciding)

    def is_of(self, rule, kinds):
        found = {self.inputs[key].kind for key in rule.cause.inputs}
        return bool(found) and found <= kinds

    def _judge_step(self, state, event, done, length):
        rule = self.rules.get(event.subject) if event.action is Action.ELAPSED else None
        devices = [self.inputs[key] for key in rule.cause.inputs] if rule else [self.inputs[event.subject]]
        devices = [] if rule and rule.cause.kind is not CauseKind.INPUTS else devices
        kinds, zones = {one.kind for one in devices}, {one.zone for one in devices}
        stages = self._stages(state, event)
        pulse = stages[1] if len(stages) == 3 else None
        for number, group in enumerate(self.ruleset.groups):
            if pulse and pulse.state.positions[number] < 2 and self.owed_open(done.state, group):
                self._note(group, Property.OPENS_ON_SMOKE, length)
                if self._is_held_by_soft(pulse, group):
                    self._note(group, Property.SMOKE_BEFORE_VENTILATION, length)
            if group.zone in done.alarms_off:
                is_reset = kinds == {InputKind.RESET} and not rule
                if not is_reset or not zones & {None, *self.behind(group.zone)}:
                    self._note(group, Property.LATCHES, length)
            for first, second in pairwise(stages):
                was, now = (Position(one.state.positions[number]) for one in (first, second))
                if was is now or (was.is_open and now.is_open):
                    continue
                self._judge_move(group, was, now, state, done, kinds, length)
                if zones - {None, group.zone} and not self._is_meant(first, second, group):
                    self._note(group, Property.OWN_ZONE_ONLY, length)

    def _stages(self, state, event):
        """Before, while a momentary input is operated, and after."""
        after = self.simulation._after(state, event)
        return [one for one in (self.simulation.machine.moment_of(state), after.pulse, after) if one]

    def _judge_move(self, group, was, now, state, done, kinds, length):
        """A movement may last only while a switch is pressed: it is judged by where it leads."""
        if self.owed_open(done.state, group) and not now.is_open:
            if was.is_open and kinds and kinds <= SOFT:
                self._note(group, Property.SMOKE_BEFORE_VENTILATION, length)
            faulty = {
                key
                for at in (state, done.state)
                for key in self.look(at).operated
                if self.inputs[key].kind is InputKind.LINE_FAULT
            }
            if was.is_open and kinds == {InputKind.LINE_FAULT} and len(faulty) <= 1:
                self._note(group, Property.LINE_FAULT_SAFE, length)
        self._judge_position(group, now.words, done.state, length)

    def _is_meant(self, first, second, group):
        """A rule meant to reach beyond its zone began or ended to act on the group, or a lock-out did."""
        shut_out = [group.zone in self.look(one.state).locked_out for one in (first, second)]
        if shut_out[0] != shut_out[1]:
            return True
        changed = (first.caused ^ second.caused) | (first.in_force ^ second.in_force)
        return any(
            changed >> number & 1
            and self.acts_on(rule, group)
            and (rule.is_cross_zone or rule.cause.kind is not CauseKind.INPUTS)
            for number, rule in enumerate(self.ruleset.rules)
        )

    def _judge_cycles(self, edges, depth):
        """States from which delays alone lead on for ever."""
        while dead := [a for a, ends in edges.items() if not any(b in edges for b in ends)]:
            for a in dead:
                del edges[a]
        for state in edges:
            for group in self.ruleset.groups:
                self._note(group, Property.SETTLES, depth[state])

    def _can_be_opened(self, group, kinds):
        start = self.simulation.initial_state()
        seen, waiting = {start}, [start]
        while waiting:
            state = waiting.pop()
            if self.position(state, group) in OPEN:
                return True
            for event in self.simulation.events_possible(state):
                pushes = event.action is Action.ON and self.inputs[event.subject].kind in kinds
                if pushes or event.action is Action.ELAPSED:
                    done = self.simulation.step(state, event)
                    if done.settles and done.state not in seen:
                        seen.add(done.state)
                        waiting.append(done.state)
        return False
