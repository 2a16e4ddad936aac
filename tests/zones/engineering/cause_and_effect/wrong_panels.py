"""Panels set up wrongly in one thing, drawn apart from the code that makes the plan, and a watch to tell them by.

Whoever watches sees where each vent stands (not what it was opened for) and which lamps and outputs are lit, with a
clock in hand; he starts from a panel at rest in every round. Common practice; no published list of such mistakes.
"""

import random
from collections import deque
from dataclasses import dataclass, replace

from zones.engineering.cause_and_effect import Action, AfterReset, Effect, InputKind, RuleSet, TargetKind
from zones.engineering.cause_and_effect.events import Event
from zones.engineering.cause_and_effect.machine import Machine
from zones.engineering.cause_and_effect.rules import ALARMS, FAULTS, MOMENTARY, WEATHER, CauseKind, actions_of

MOST_PAIRS = 20_000
MOVING = tuple(one for one in Effect if one is not Effect.INDICATE)
LASTING = tuple(one for one in InputKind if one in ALARMS | WEATHER | FAULTS)


@dataclass(frozen=True)
class WrongPanel:
    """One mistake: its kind, what it is about, the rules as set up; `inverted`: an input wired with the wrong sense."""

    mistake: str
    about: str
    ruleset: RuleSet
    inverted: str = ""


def wrong_panels(ruleset):
    """Every single edit of the rules, the inputs and the zones that still makes a panel."""
    for number, rule in enumerate(ruleset.rules):
        for mistake, *others in _edits(ruleset, rule):
            rules = (*ruleset.rules[:number], *others, *ruleset.rules[number + 1 :])
            yield WrongPanel(mistake, rule.key, replace(ruleset, rules=rules))
    yield from _wrong_inputs(ruleset)
    for k, zone in enumerate(ruleset.zones):
        if zone.lockout_group:
            zones = (*ruleset.zones[:k], replace(zone, lockout_group=""), *ruleset.zones[k + 1 :])
            yield WrongPanel("lock-out lost", zone.key, replace(ruleset, zones=zones))
    other = next(one for one in AfterReset if one is not ruleset.after_reset)
    yield WrongPanel("after reset", "", replace(ruleset, after_reset=other))


def some_wrong_panels(ruleset, seed, count):
    """As many, drawn so that each kind of mistake has its share."""
    draw, by_mistake = random.Random(seed), {}
    for one in wrong_panels(ruleset):
        by_mistake.setdefault(one.mistake, []).append(one)
    found = []
    while len(found) < count and by_mistake:
        mistake = draw.choice(sorted(by_mistake))
        found.append(by_mistake[mistake].pop(draw.randrange(len(by_mistake[mistake]))))
        if not by_mistake[mistake]:
            del by_mistake[mistake]
    return found


def _edits(ruleset, rule):
    yield ("rule missing" if rule.effect is not Effect.INDICATE else "report missing",)
    yield from _other_strengths(ruleset, rule) if rule.effect is not Effect.INDICATE else ()
    for target in _other_targets(ruleset, rule):
        yield "wrong target", replace(rule, target=target)
        yield "one more target", rule, replace(rule, key="extra", target=target)
    yield "latch lost" if rule.is_latching else "latch added", replace(rule, is_latching=not rule.is_latching)
    yield from _other_delays(rule)
    if rule.cause.kind is CauseKind.INPUTS:
        for mistake, cause in _other_causes(ruleset, rule.cause):
            yield mistake, replace(rule, cause=cause)


def _other_strengths(ruleset, rule):
    for effect in MOVING:
        if effect is not rule.effect:
            yield "wrong effect", replace(rule, effect=effect)
    for priority in range(1, 7):
        if priority != ruleset.priority_of(rule):
            yield "wrong priority", replace(rule, priority=priority)


def _other_delays(rule):
    if not rule.delay_s:
        yield "delay added", replace(rule, delay_s=20)
        return
    yield "delay lost", replace(rule, delay_s=0)
    for other in (rule.delay_s // 2, rule.delay_s * 2):
        yield "delay other", replace(rule, delay_s=other)


def _other_targets(ruleset, rule):
    match rule.target.kind:
        case TargetKind.ZONE:
            keys = [one.key for one in ruleset.zones]
        case TargetKind.GROUP:
            keys = [one.key for one in ruleset.groups]
        case TargetKind.OUTPUT:
            keys = []
    for key in keys:
        if key != rule.target.key:
            yield replace(rule.target, key=key)


def _other_causes(ruleset, cause):
    kinds = {one.key: one.kind for one in ruleset.inputs}
    countable = len({one.line for one in ruleset.inputs_of(cause)}) if cause.counts_lines else len(cause.inputs)
    for needed in (cause.needed - 1, cause.needed + 1):
        if 1 <= needed <= countable:
            yield "coincidence", replace(cause, needed=needed)
    for action in actions_of(kinds[cause.inputs[0]]):
        if action not in (cause.action, Action.OFF, Action.AUTO):
            yield "wrong action", replace(cause, action=action)
    for k, key in enumerate(cause.inputs):
        left = (*cause.inputs[:k], *cause.inputs[k + 1 :])
        if len(left) >= cause.needed:
            yield "input dropped", replace(cause, inputs=left, counts_lines=cause.counts_lines and cause.needed == 1)
        for other in ruleset.inputs:
            if other.kind is kinds[key] and other.key not in cause.inputs:
                yield "wrong input", replace(cause, inputs=(*left, other.key))
                yield "one more input", replace(cause, inputs=(*cause.inputs, other.key))


def _wrong_inputs(ruleset):
    for k, one in enumerate(ruleset.inputs):
        others = []
        if one.kind in LASTING:
            yield WrongPanel("wrong pole", one.key, ruleset, inverted=one.key)
            others = [("wrong kind", replace(one, kind=kind)) for kind in LASTING if kind is not one.kind]
        if one.kind is InputKind.RESET:
            yield WrongPanel("reset dead", one.key, _with_input(ruleset, k, replace(one, kind=InputKind.DETECTOR)))
            zones = {None, *(zone.key for zone in ruleset.zones)} - {one.zone}
            others = [("wrong reset", replace(one, zone=zone)) for zone in sorted(zones, key=str)]
        for mistake, other in others:
            yield WrongPanel(mistake, one.key, _with_input(ruleset, k, other))


def _with_input(ruleset, number, other):
    return replace(ruleset, inputs=(*ruleset.inputs[:number], other, *ruleset.inputs[number + 1 :]))


# --- watching ---


class Watched:
    """A panel of these rules with a clock: what happens to it, and what is then seen."""

    def __init__(self, right, wrong=None):
        self.right, wrong = right, wrong or WrongPanel("", "", right)
        self.rules, self.inverted = wrong.ruleset.rules, wrong.inverted
        self.machine = Machine(wrong.ruleset)
        self.lamps = [
            (1 << k, (one.target.kind, one.target.key))
            for k, one in enumerate(self.rules)
            if one.effect is Effect.INDICATE
        ]

    def rest(self):
        """(state, remaining seconds by rule) at rest."""
        state = self.machine.initial().state
        if self.inverted:
            state = self.machine.press(state, self.inverted, Action.ON).state
        return self.clocked(state, {})

    def clocked(self, state, clocks):
        running = {k: clocks.get(k, one.delay_s) for k, one in enumerate(self.rules) if state.running >> k & 1}
        return state, tuple(sorted(running.items()))

    def seen(self, state):
        return self._seen(self.machine.moment_of(state))

    def _seen(self, moment):
        vents = tuple(min(one, 2) for one in moment.state.positions)
        return vents, frozenset(lamp for bit, lamp in self.lamps if moment.in_force & bit)

    def happen(self, at, event):
        """(what is then, what was seen of it one after the other)."""
        state, clocks = at
        action = event.action
        if event.subject == self.inverted:
            action = Action.OFF if action is Action.ON else Action.ON
        if self.machine.input_of[event.subject].kind is not self.kind_of(event):
            return at, (self.seen(state),)  # a reset that is none
        return self._after(self.machine.press(state, event.subject, action), dict(clocks))

    def kind_of(self, event):
        kind = self.machine.input_of[event.subject].kind
        return InputKind.RESET if event.action is Action.PRESS else kind

    def wait(self, at, seconds):
        """So long; each time when a delay elapsed is seen."""
        said, (state, clocks) = [], at
        while True:
            due = min((left for _, left in clocks), default=seconds + 1)
            if due > seconds or len(said) > 50:
                return (state, tuple((k, left - seconds) for k, left in clocks)), tuple(said)
            seconds -= due
            first = next(k for k, left in clocks if left == due)
            running = {k: left - due for k, left in clocks}
            (state, clocks), seen = self._after(self.machine.elapse(state, first), running)
            said.append((seconds, seen))

    def _after(self, moment, clocks):
        stages = (moment.pulse, moment) if moment.pulse else (moment,)
        return self.clocked(moment.state, clocks), tuple(self._seen(one) for one in stages)

    def due(self, at):
        """Seconds until the next delay elapses; ``None`` when none runs."""
        return min((left for _, left in at[1]), default=None)


def acts_of(panel, events):
    """The events of a step as a person does them: operations, and waits in seconds for what has a delay."""
    at, acts = panel.rest(), []
    for event in events:
        if event.action is Action.ELAPSED:
            seconds = dict(at[1]).get(panel.machine.rule_number[event.subject], 0)
            at, _ = panel.wait(at, seconds)
            acts += [seconds] if seconds else []
        else:
            at, _ = panel.happen(at, event)
            acts.append(event)
    return acts


def trace(panel, acts):
    """All that is seen, from rest on; it ends where an act is impossible."""
    at = panel.rest()
    yield panel.seen(at[0])
    for act in acts:
        at, said = panel.wait(at, act) if isinstance(act, int) else panel.happen(at, act)
        yield said


def rounds_of(plan):
    """The events of each round, whole: those of its last step with any."""
    longest = {}
    for one in plan:
        if len(one.events) >= len(longest.get(one.round, ())):
            longest[one.round] = one.events
    return sorted({events for events in longest.values() if events}, key=len)


class PlanWatched:
    """A plan's rounds on the panel as designed, to hold a wrong panel against."""

    def __init__(self, ruleset, plan):
        self.right = Watched(ruleset)
        self.rounds = [acts_of(self.right, events) for events in rounds_of(plan)]
        self.designed = [list(trace(self.right, acts)) for acts in self.rounds]

    def tells(self, wrong):
        """Whether some step shows the wrong panel to be wrong."""
        panel = Watched(self.right.right, wrong)
        return any(
            seen != expected
            for acts, designed in zip(self.rounds, self.designed, strict=True)
            for seen, expected in zip(trace(panel, acts), designed, strict=True)
        )


def can_be_told(ruleset, wrong, most=MOST_PAIRS):
    """Whether any sequence of operations and waits tells the two apart; ``None`` where so many pairs left it open."""
    right, other = Watched(ruleset), Watched(ruleset, wrong)
    start = right.rest(), other.rest()
    if right.seen(start[0][0]) != other.seen(start[1][0]):
        return True
    known, queue = {start}, deque([start])
    while queue:
        at = queue.popleft()
        for act in _possible(ruleset, right, other, *at):
            found = [
                panel.wait(one, act) if isinstance(act, int) else panel.happen(one, act)
                for panel, one in ((right, at[0]), (other, at[1]))
            ]
            if found[0][1] != found[1][1]:
                return True
            pair = found[0][0], found[1][0]
            if pair not in known:
                if len(known) >= most:
                    return None
                known.add(pair)
                queue.append(pair)
    return False


def _possible(ruleset, right, other, at, also_at):
    for one in ruleset.inputs:
        stands = {
            action
            for action in actions_of(one.kind)
            if at[0].signals & right.machine.signal_bit.get((one.key, action), 0)
        }
        for action in actions_of(one.kind):
            is_there = action in stands or (not stands and action in (Action.OFF, Action.AUTO))
            if one.kind in MOMENTARY or not is_there:
                yield Event(one.key, action)
    dues = {right.due(at), other.due(also_at)} - {None}
    yield from sorted(dues)
