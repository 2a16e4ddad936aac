"""The properties judged without any reduction: every state of the whole panel, by the simulation's public steps.

The predicates are written anew from the wording of the properties, on snapshots and steps, so that an error in the
proof's own predicates shows too.
"""

from collections import deque
from itertools import pairwise

from zones.engineering.cause_and_effect import (
    Action,
    CauseKind,
    Effect,
    Event,
    InputKind,
    Position,
    Simulation,
    TargetKind,
)
from zones.engineering.cause_and_effect.properties import Property

FIRE = {InputKind.CALL_POINT, InputKind.DETECTOR, InputKind.FIRE_ALARM}
SOFT = {InputKind.RAIN, InputKind.WIND, InputKind.VENTILATION_SWITCH, InputKind.VENTILATION_CONTROL}
OPEN, SHUT = ("open", "open for ventilation"), "shut"


class TooLarge(Exception):
    """More states than a test should look at."""


class BruteForce:
    """All properties of every group of a rule set; `shortest[group, property]` is how few events break it."""

    def __init__(self, ruleset, most_states=1500, most_delay_s=None):
        self.most_delay_s = most_delay_s
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
            self._judge_moment(group, self.simulation.machine.moment_of(state), length)
            if self._cannot_be_reset(state, group):
                self._note(group, Property.CAN_BE_RESET, length)
            self._judge_faults(state, group, length)

    def in_force(self, moment):
        return [one for k, one in enumerate(self.ruleset.rules) if moment.in_force >> k & 1]

    def in_alarm(self, moment, group):
        return any(one.key == group.zone and moment.alarms >> k & 1 for k, one in enumerate(self.ruleset.zones))

    def is_near(self, one, group):
        return one.zone is None or one.zone == group.zone

    def is_for_comfort(self, group):
        kinds = {InputKind.VENTILATION_SWITCH, InputKind.VENTILATION_CONTROL}
        return any(
            self.acts_on(one, group) and one.effect is Effect.OPEN and self.is_of(one, kinds)
            for one in self.ruleset.rules
        )

    def _judge_moment(self, group, moment, length):
        """What needs the rules in force: judged of moments at rest and of those while a switch is pressed."""
        seen, number = self.look(moment.state), self.ruleset.groups.index(group)
        at, on = Position(moment.state.positions[number]), [self.inputs[key] for key in seen.operated]
        alarm = self.in_alarm(moment, group)
        by_hand = any(one.kind is InputKind.CALL_POINT and one.zone == group.zone for one in on)
        shut_by_fire_service = any(seen.operated.get(key) is Action.CLOSE for key in self.controls(group))
        free = not shut_by_fire_service and group.zone not in seen.locked_out
        if by_hand and free and self.waits(moment.state, group) and not at.is_open:
            self._note(group, Property.CALL_POINT_AT_ONCE, length)
        smoke = alarm or self.must(group.zone) & set(seen.operated)
        if self.most_delay_s is not None and smoke and free and not at.is_open:
            opening = [one for one in self.ruleset.rules if self.acts_on(one, group) and self.raises_alarm(one)]
            waiting = [one.delay_s for one in opening if one.key in seen.waiting]
            in_vain = any(one in self.in_force(moment) for one in opening)
            if in_vain or min(waiting, default=10**9) > self.most_delay_s:
                self._note(group, Property.OPENS_IN_TIME, length)
        lit = [
            one
            for one in self.in_force(moment)
            if one.effect is Effect.INDICATE and one.target.kind is TargetKind.ZONE and one.target.key == group.zone
        ]
        meant = [
            one
            for one in lit
            if one.cause.inputs
            and all(self.inputs[key].kind in FIRE and self.is_near(self.inputs[key], group) for key in one.cause.inputs)
        ]
        if alarm != bool(lit) and not (lit and lit == meant):
            self._note(group, Property.ALARM_SHOWN, length)
        wet = any(one.kind in (InputKind.RAIN, InputKind.WIND) and self.is_near(one, group) for one in on)
        if wet and self.is_for_comfort(group) and not smoke and at in (Position.PART_WAY, Position.OPEN_VENTILATION):
            pull = self.simulation.machine.strongest(number, moment.in_force, moment.state.owners)
            deciding = [one for k, one in enumerate(self.ruleset.rules) if pull and pull.bit == 1 << k]
            if pull is None or any(self.is_of(one, SOFT) for one in deciding):
                self._note(group, Property.WEATHER_CLOSES, length)

    def _cannot_be_reset(self, state, group):
        """Whether with nothing operated an alarm or a latched rule of the group outlives every reset."""
        seen = self.look(state)
        if seen.operated:
            return False
        for one in self.ruleset.inputs:
            if one.kind is InputKind.RESET:
                done = self.simulation.step(state, Event(one.key, Action.PRESS))
                if not done.settles:
                    return False
                state = done.state
        moment = self.simulation.machine.moment_of(state)
        left = state.held | state.running
        latched = any(
            left >> k & 1
            and one.is_latching
            and self.acts_on(one, group)
            and one.cause.kind is not CauseKind.GROUP_OPEN
            for k, one in enumerate(self.ruleset.rules)
        )
        return self.in_alarm(moment, group) or latched

    def _judge_faults(self, state, group, length):
        rules = self.in_force(self.simulation.machine.moment_of(state))
        named = {key for one in rules if one.effect is Effect.INDICATE for key in one.cause.inputs}
        for key in self.look(state).operated:
            one = self.inputs[key]
            if "fault" in one.kind.value and self.is_near(one, group) and key not in named:
                self._note(group, Property.FAULTS_SHOWN, length)

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
            if pulse:
                self._judge_moment(group, pulse, length)
            if group.zone in done.alarms_off:
                is_reset = kinds == {InputKind.RESET} and not rule
                if not is_reset or not zones & {None, *self.behind(group.zone)}:
                    self._note(group, Property.LATCHES, length)
            for first, second in pairwise(stages):
                was, now = (Position(one.state.positions[number]) for one in (first, second))
                self._judge_mains(group, was, now, done.state, length)
                if was is now or (was.is_open and now.is_open):
                    continue
                self._judge_move(group, was, now, state, done, kinds, length)
                if zones - {None, group.zone} and not self._is_meant(first, second, group):
                    self._note(group, Property.OWN_ZONE_ONLY, length)

    def _judge_mains(self, group, was, now, state, length):
        operated = [self.inputs[key] for key in self.look(state).operated]
        lost = any(one.kind is InputKind.MAINS_FAULT and self.is_near(one, group) for one in operated)
        comfort = now is Position.OPEN_VENTILATION and self.is_for_comfort(group)
        if lost and comfort and was in (Position.SHUT, Position.PART_WAY):
            self._note(group, Property.NO_VENTILATION_WITHOUT_MAINS, length)

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
