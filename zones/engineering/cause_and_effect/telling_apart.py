"""What two rule sets of one panel do differently, each difference with a shortest sequence of events that shows it.

Both are run side by side (their product): whatever happens, happens to both, and a group, an alarm or a lamp that then
stands otherwise tells them apart. Each of these is looked at in its own cut of the rules: what it depends on and
nothing else. Where both cuts say the same, nothing is run. Of inputs that stand together in the same rules, each of
which needs one of them, one stands for all: the rules see whether any is operated.

A delay of one rule elapses in both sets at once where it is the same delay in both; else in each by itself, the
shorter first.
"""

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass, replace

from zones.engineering.cause_and_effect.cones import RulesByTarget
from zones.engineering.cause_and_effect.events import Event, event_words
from zones.engineering.cause_and_effect.machine import Machine
from zones.engineering.cause_and_effect.moments import Moment, Position, State
from zones.engineering.cause_and_effect.plain_data import behaviour_digest
from zones.engineering.cause_and_effect.rules import (
    Action,
    AfterReset,
    CauseKind,
    Effect,
    Input,
    InputKind,
    Rule,
    RuleSet,
    Target,
    TargetKind,
    actions_of,
    keys_of,
)
from zones.engineering.cause_and_effect.simulation import RuleSetError
from zones.engineering.cause_and_effect.validation import structural_faults
from zones.engineering.cause_and_effect.words import target_words

MOST_PAIRS = 6_000  # of states side by side, over all that is compared: some seconds' work
UNSETTLED = "does not come to rest"


@dataclass(frozen=True, slots=True, order=True)
class Observed:
    """What is watched: `what` is "group", "alarm" of a zone or "lamp"; `key` as in the rules."""

    what: str
    key: str
    kind: str = ""  # of a lamp, the kind of its target


@dataclass(frozen=True, slots=True)
class Told:
    """One thing that stands otherwise, in words: "Group 1" is "open" by the first set, "shut" by the second."""

    name: str
    first: str
    second: str


@dataclass(frozen=True, slots=True)
class Difference:
    """What one shortest sequence shows; `steps` are its events in words."""

    events: tuple[Event, ...]
    steps: tuple[str, ...]
    told: tuple[Told, ...]


@dataclass(frozen=True, slots=True)
class Undecided:
    """Not told apart by any sequence of up to `events` events; longer ones were not all looked at."""

    name: str
    events: int


@dataclass(frozen=True, slots=True)
class Compared:
    """Two rule sets side by side; `only_first` and `only_second` name what just one of them has."""

    differences: tuple[Difference, ...]
    undecided: tuple[Undecided, ...]
    same: int
    only_first: tuple[str, ...]
    only_second: tuple[str, ...]
    pairs: int


def compare(first: RuleSet, second: RuleSet, *, most_pairs: int = MOST_PAIRS) -> Compared:
    """What the second set does otherwise than the first. The same on any machine.

    Args:     most_pairs: look at no more pairs of states, over all that is compared.
    Raises:   RuleSetError: the rules of one point nowhere.
    """
    for one in (first, second):
        if faults := structural_faults(one):
            raise RuleSetError(faults)
    sides = tuple((RulesByTarget(one), _observed(one)) for one in (first, second))
    (by_first, has_first), (by_second, has_second) = sides
    shared = [one for one in has_first if one in has_second]
    cuts = {one: (_Cut(by_first, one), _Cut(by_second, one)) for one in shared}
    different = [one for one in shared if not _say_the_same(*cuts[one])]
    found, undecided, left = {}, [], most_pairs
    # Small cuts first: one that is too large leaves the others decided.
    for k, one in enumerate(sorted(different, key=lambda each: sum(cut.size for cut in cuts[each]))):
        search = _Search(*cuts[one], share := left // (len(different) - k))
        shown = search.shortest()
        left -= min(search.pairs, share)
        if shown:
            found.setdefault(shown[0], []).append(Told(_name(second, one), *shown[1]))
        elif not search.is_complete:
            undecided.append(Undecided(_name(second, one), search.depth))
    differences = [
        Difference(events, tuple(_words(first, second, one) for one in events), tuple(told))
        for events, told in sorted(found.items(), key=lambda each: len(each[0]))
    ]
    return Compared(
        tuple(differences),
        tuple(undecided),
        same=len(shared) - len(undecided) - sum(len(one.told) for one in differences),
        only_first=tuple(_name(first, one) for one in has_first if one not in has_second),
        only_second=tuple(_name(second, one) for one in has_second if one not in has_first),
        pairs=most_pairs - left,
    )


def _observed(ruleset: RuleSet) -> dict[Observed, None]:
    """All that can be watched: groups, alarms, lamps and outputs."""
    lamps = (one.target for one in ruleset.rules if one.effect is Effect.INDICATE)
    return dict.fromkeys(
        (
            *(Observed("group", one.key) for one in ruleset.groups),
            *(Observed("alarm", one.key) for one in ruleset.zones),
            *(Observed("lamp", one.key, one.kind) for one in lamps),
        )
    )


def _name(ruleset: RuleSet, one: Observed) -> str:
    if one.what == "group":
        return str(keys_of(ruleset.groups)[one.key])
    if one.what == "alarm":
        return f"Alarm of {keys_of(ruleset.zones)[one.key]}"
    words = target_words(ruleset, Target(TargetKind(one.kind), one.key))
    return f"Alarm lamp of {words}" if one.kind == TargetKind.ZONE else f"{words[0].upper()}{words[1:]}"


def _words(first: RuleSet, second: RuleSet, event: Event) -> str:
    """The event in the words of the later set, unless only the earlier one has what it happens to."""
    has = keys_of((*second.inputs, *second.rules))
    return event_words(second if event.subject in has else first, event)


def _say_the_same(first: "_Cut", second: "_Cut") -> bool:
    return behaviour_digest(_unkeyed(first.ruleset)) == behaviour_digest(_unkeyed(second.ruleset))


def _unkeyed(ruleset: RuleSet) -> RuleSet:
    """With rules known by what they say: one that was taken out and entered again is the same rule."""
    return replace(ruleset, rules=tuple(replace(one, key=repr(replace(one, key=""))) for one in ruleset.rules))


class _Cut:
    """The rules that one observed thing depends on, and what they name."""

    def __init__(self, wiring: RulesByTarget, observed: Observed):
        self._wiring, self.observed = wiring, observed
        self._groups: set[str] = set()
        self._alarms: set[str] = set()
        self._rules: dict[str, Rule] = {}
        if observed.what == "group":
            self._need_group(observed.key)
        elif observed.what == "alarm":
            self._need_alarm(observed.key)
        else:
            for rule in wiring.ruleset.rules:
                if rule.effect is Effect.INDICATE and (rule.target.kind, rule.target.key) == (
                    observed.kind,
                    observed.key,
                ):
                    self._need_rule(rule)
        self.ruleset, self.still = self._cut_out()
        self.size = len(self.ruleset.inputs) + len(self.ruleset.rules)

    def _need_group(self, key: str):
        if key in self._groups:
            return
        self._groups.add(key)
        zone = self._wiring.groups[key].zone
        for other in (zone, *self._wiring.lockout_of(zone)):
            self._need_alarm(other)
        for rule in self._wiring.acting[key]:
            self._need_rule(rule)

    def _need_alarm(self, zone: str):
        if zone not in self._alarms:
            self._alarms.add(zone)
            for rule in self._wiring.alarms[zone]:
                self._need_rule(rule)

    def _need_rule(self, rule: Rule):
        if rule.key not in self._rules:
            self._rules[rule.key] = rule
            if rule.cause.kind is CauseKind.ZONE_IN_ALARM:
                self._need_alarm(rule.cause.zone)
            elif rule.cause.kind is CauseKind.GROUP_OPEN:
                self._need_group(rule.cause.group)

    def _cut_out(self) -> tuple[RuleSet, frozenset[str]]:
        """The rule set, and the keys of the groups in it that stand still: only rules' targets, watched by nobody."""
        whole = self._wiring.ruleset
        rules = tuple(self._as_kept(one) for one in whole.rules if one.key in self._rules)
        targets = {one.target.key for one in rules if one.target.kind is TargetKind.GROUP}
        moving = tuple(one for one in whole.groups if one.key in self._groups)
        still = tuple(one for one in whole.groups if one.key in targets - self._groups)
        zones = self._alarms | {one.zone for one in (*moving, *still)}
        zones |= {one.target.key for one in rules if one.target.kind is TargetKind.ZONE}
        inputs = tuple(self._inputs(whole, rules, zones, moving))
        zones |= {one.zone for one in inputs if one.kind is InputKind.RESET and one.zone}
        locking = {self._wiring.zones[one.zone].lockout_group for one in moving if self._wiring.lockout_of(one.zone)}
        ruleset = RuleSet(
            tuple(
                one if one.lockout_group in locking else replace(one, lockout_group="")
                for one in whole.zones
                if one.key in zones
            ),
            (*moving, *still),
            inputs,
            rules,
            # Where no group moves, no group closes after a reset.
            whole.after_reset if moving else AfterReset.STAY,
        )
        return ruleset, frozenset(one.key for one in still)

    def _as_kept(self, rule: Rule) -> Rule:
        """With its priority spelt out; one kept for its alarm only without its delay, which holds back vents."""
        whole = self._wiring.ruleset
        rule = replace(rule, is_cross_zone=False)  # what the proof asks, and no step rests on
        if rule.effect is Effect.INDICATE or any(one.key in self._groups for one in whole.groups_of(rule.target)):
            return replace(rule, priority=whole.priority_of(rule))
        return replace(rule, delay_s=0, priority=2)

    def _inputs(self, whole, rules, zones, moving) -> Iterable[Input]:
        named = {key for one in rules for key in one.cause.inputs}
        resets = any(one.is_latching for one in rules) or (moving and whole.after_reset is AfterReset.CLOSE)
        for one in whole.inputs:
            is_reset = resets and one.kind is InputKind.RESET and (one.zone is None or one.zone in zones)
            if is_reset or one.key in named:
                yield one


class _Search:
    """Breadth first over both machines side by side, so that what is found first is shortest."""

    def __init__(self, first: _Cut, second: _Cut, most_pairs: int):
        self._cuts, self._most_pairs = (first, second), most_pairs
        self._machines = tuple(Machine(cut.ruleset, cut.still) for cut in self._cuts)
        self._watching = tuple(map(_watching, self._cuts, self._machines))
        self._events = _events(first.ruleset, second.ruleset)
        self._partner = _same_delays(first.ruleset, second.ruleset)
        self._parents: dict[tuple[State, State], tuple | None] = {}
        self.pairs, self.depth, self.is_complete = 0, 0, True

    def shortest(self) -> tuple[tuple[Event, ...], tuple[str, str]] | None:
        """The events and what is then seen in each; None: nothing tells them apart, as far as was looked."""
        start = tuple(one.initial() for one in self._machines)
        if seen := self._told_apart(start):
            return (), seen
        before = start[0].state, start[1].state
        self._parents[before] = None
        queue = deque([(before, 0)])
        while queue:
            before, depth = queue.popleft()
            self.depth = depth
            if len(self._parents) > self._most_pairs:
                self.pairs, self.is_complete = len(self._parents), False
                return None
            for event, after in self._steps(before):
                if seen := self._told_apart(after):
                    self.pairs = len(self._parents)
                    return (*self._path(before), event), seen
                pair = after[0].state, after[1].state
                if pair not in self._parents and after[0].settles and after[1].settles:
                    self._parents[pair] = before, event
                    queue.append((pair, depth + 1))
        self.pairs = len(self._parents)
        return None

    def _told_apart(self, moments: tuple[Moment, Moment]) -> tuple[str, str] | None:
        first, second = (watch(moment) for watch, moment in zip(self._watching, moments, strict=True))
        if first != second:
            return first, second
        pulses = tuple(moment.pulse or moment for moment in moments)
        first, second = (watch(moment) for watch, moment in zip(self._watching, pulses, strict=True))
        return (f"{first} for a moment", f"{second} for a moment") if first != second else None

    def _path(self, pair) -> tuple[Event, ...]:
        events = []
        while (step := self._parents[pair]) is not None:
            pair, event = step
            events.append(event)
        return tuple(reversed(events))

    def _steps(self, before):
        for event in self._events:
            yield event, tuple(map(_pressed, self._machines, before, (event, event)))
        yield from self._elapses(before)

    def _elapses(self, before):
        """Delays that run, the shortest first; one and the same delay elapses in both at once."""
        running = [
            (machine.ruleset.rules[k].delay_s, side, k)
            for side, machine in enumerate(self._machines)
            for k in range(len(machine.ruleset.rules))
            if before[side].running >> k & 1
        ]
        for _, side, k in sorted(running):
            other = self._partner[side].get(k)
            is_shared = other is not None and before[1 - side].running >> other & 1
            if is_shared and side == 1:
                continue  # told from the other side
            numbers = {side: k, **({1 - side: other} if is_shared else {})}
            after = tuple(
                machine.elapse(before[one], numbers[one]) if one in numbers else machine.moment_of(before[one])
                for one, machine in enumerate(self._machines)
            )
            yield Event(self._machines[side].ruleset.rules[k].key, Action.ELAPSED), after


def _watching(cut: _Cut, machine: Machine):
    """What says how the observed thing stands at a moment."""
    observed = cut.observed
    if observed.what == "group":
        number = machine.group_number[observed.key]
        return lambda moment: Position(moment.state.positions[number]).words if moment.settles else UNSETTLED
    if observed.what == "alarm":
        bit = 1 << machine.zone_number[observed.key]
        return lambda moment: "in alarm" if moment.alarms & bit else "not in alarm"
    lit = sum(
        1 << k
        for k, one in enumerate(machine.ruleset.rules)
        if one.effect is Effect.INDICATE and (one.target.kind, one.target.key) == (observed.kind, observed.key)
    )
    return lambda moment: "on" if moment.in_force & lit else "off"


def _pressed(machine: Machine, state: State, event: Event) -> Moment:
    """What the event does; an input that this set does not have does nothing."""
    one = machine.input_of.get(event.subject)
    if one is None or event.action not in actions_of(one.kind):
        return machine.moment_of(state)
    return machine.press(state, event.subject, event.action)


def _events(first: RuleSet, second: RuleSet) -> tuple[Event, ...]:
    """All that can be done to inputs of either, one input for those that stand together everywhere."""
    inputs = keys_of((*first.inputs, *second.inputs))
    alike = {_stands_in(one, first, second): one for one in reversed(inputs.values())}
    kept = {one.key for one in alike.values()}
    return tuple(
        Event(one.key, action) for one in inputs.values() if one.key in kept for action in actions_of(one.kind)
    )


def _stands_in(one: Input, *sets: RuleSet):
    """Where an input stands; its own key where it is counted with others or has lasting positions of its own."""
    if one.kind is InputKind.FIRE_SERVICE:
        return one.key
    places = []
    for number, ruleset in enumerate(sets):
        kinds = {each.kind for each in ruleset.inputs if each.key == one.key}
        places.append((number, frozenset(kinds)))
        for rule in ruleset.rules:
            if one.key in rule.cause.inputs:
                if rule.cause.needed > 1:
                    return one.key
                places.append((number, rule.key))
    return one.kind, one.zone if one.kind is InputKind.RESET else None, tuple(places)


def _same_delays(first: RuleSet, second: RuleSet) -> tuple[dict[int, int], dict[int, int]]:
    """For each set: rule with a delay → the rule of the other set whose delay is the same, where there is one.

    The same rule, or one that was entered anew for the same cause and target.
    """
    there = {}
    free = [(k, one) for k, one in enumerate(second.rules) if one.delay_s]
    for is_same in (lambda a, b: a.key == b.key, lambda a, b: (a.cause, a.target) == (b.cause, b.target)):
        for k, rule in enumerate(first.rules):
            if not rule.delay_s or k in there:
                continue
            found = next((n for n, one in free if one.delay_s == rule.delay_s and is_same(rule, one)), None)
            if found is not None:
                there[k] = found
                free = [(n, one) for n, one in free if n != found]
    return there, {other: k for k, other in there.items()}
