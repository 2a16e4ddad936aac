"""The plan itself: which rounds there are, and in which order they are walked. See `commissioning`."""

from collections.abc import Iterator
from dataclasses import replace

from zones.engineering.cause_and_effect.commissioning import (
    CommissioningStep,
    LineFault,
    Phase,
    PriorityPair,
    line_faults,
    rule_pairs,
    zones_to_lock_out,
)
from zones.engineering.cause_and_effect.commissioning_round import Panel, Round
from zones.engineering.cause_and_effect.commissioning_words import READ_ON_BATTERY, TO_MEASURE_A_LINE
from zones.engineering.cause_and_effect.events import Event
from zones.engineering.cause_and_effect.moments import is_alarm_rule
from zones.engineering.cause_and_effect.properties import zones_acted_in
from zones.engineering.cause_and_effect.rules import (
    ALARMS,
    FAULTS,
    MOMENTARY,
    VENTILATION,
    Action,
    Effect,
    Input,
    InputKind,
    Rule,
    RuleSet,
    cause_actions_of,
)
from zones.engineering.cause_and_effect.simulation import Simulation
from zones.engineering.cause_and_effect.words import rule_words
from zones.engineering.power_order import POWER_UP, PowerOrder

PairKey = tuple[str, int, int]  # zone, stronger priority, weaker priority
_AT_THE_PANEL = {InputKind.MAINS_FAULT, InputKind.BATTERY_FAULT}


def commissioning_plan(ruleset: RuleSet) -> tuple[CommissioningStep, ...]:
    """All steps in their order, numbered: power up, mains and battery, the walk, what is left. It ends in service.

    Every input is operated, every rule brought about, every two priorities that disagree in a zone tried in both
    orders, every line's fault report tried. What cannot be brought about is not in the plan: `coverage` names it.
    The same rules give the same plan.

    Raises:   RuleSetError: the rules point nowhere.
    """
    return _Plan(ruleset).steps()


class _Plan:
    def __init__(self, ruleset: RuleSet):
        self._ruleset = ruleset
        self._panel = Panel(ruleset, Simulation(ruleset))
        self._pairs = rule_pairs(ruleset)
        self._rounds: list[tuple[tuple, Round]] = []
        self._done: set[tuple[PairKey, bool]] = set()  # orders of pairs tried in an input's own round

    def steps(self) -> tuple[CommissioningStep, ...]:
        """Rounds made, sorted by the walk, and numbered through."""
        for one in self._ruleset.inputs:
            if one.kind is not InputKind.RESET and one.kind is not InputKind.LINE_FAULT:
                self._input_round(one)
        self._line_rounds()
        self._pair_rounds()
        self._lockout_rounds()
        self._what_is_left()
        self._rounds.sort(key=lambda one: one[0])
        walked = [round_.steps for _, round_ in self._rounds if round_.steps]
        together = [_spoken(Phase.POWER_UP, POWER_UP), *walked]
        numbered = [(number, step) for number, steps in enumerate(together, 1) for step in steps]
        return tuple(replace(step, number=k, round=number) for k, (number, step) in enumerate(numbered, 1))

    def _add(self, round_: Round, phase: Phase, place: int | None):
        """At the panel first, then along the walk; at one place in the order of the phases."""
        where = (0, 0) if place is None else (1, place)
        self._rounds.append(((*where, list(Phase).index(phase), len(self._rounds)), round_))

    # --- inputs ---

    def _input_round(self, one: Input):
        """The input at each of its actions; while it is there, the weaker rules that must not get through."""
        supply = one.kind in _AT_THE_PANEL
        place, phase = (None, Phase.SUPPLY) if supply else (one.place, Phase.INPUT)
        round_ = Round(self._panel)
        for action in self._in_order(one):
            round_.operate([Event(one.key, action)], phase, place)
            for key, (strong, weak) in self._pairs.items():
                alone = strong.cause.inputs == (one.key,) and strong.cause.action is action and one.zone == key[0]
                if alone and not weak.is_latching:
                    self._weaker_last(round_, key, strong, weak, place)
            if one.kind is InputKind.MAINS_FAULT:
                self._on_battery(round_)
        round_.restore(place)
        self._add(round_, phase, place)

    def _in_order(self, one: Input) -> tuple[Action, ...]:
        """Open before stop before close, so that each is seen."""
        return tuple(sorted(cause_actions_of(one.kind), key=(Action.ON, Action.OPEN, Action.STOP, Action.CLOSE).index))

    def _on_battery(self, round_: Round):
        """Opening for ventilation, and one alarm, with the mains off."""
        for kinds, readings in ((VENTILATION, ()), (ALARMS, READ_ON_BATTERY)):
            rule = self._first_rule(kinds, Effect.OPEN)
            events = round_.events_for(rule) if rule else None
            if events:
                round_.operate(events, Phase.SUPPLY, None, readings=readings)

    def _first_rule(self, kinds, effect: Effect) -> Rule | None:
        for rule in self._ruleset.rules:
            inputs = self._ruleset.inputs_of(rule.cause)
            if rule.effect is effect and inputs and all(one.kind in kinds for one in inputs):
                return rule
        return None

    # --- lines ---

    def _line_rounds(self):
        by_line = {one.line: one for one in self._ruleset.inputs if one.kind is InputKind.LINE_FAULT}
        for line, how in line_faults(self._ruleset):
            if line not in by_line:
                continue
            on_it = [one for one in self._ruleset.inputs if one.line == line and one.kind not in FAULTS]
            last = max(on_it, key=lambda one: one.place, default=by_line[line])
            if how is LineFault.DEVICE_REMOVED:
                do = f"Take {last} off its base or terminals. {TO_MEASURE_A_LINE}"
            else:
                do = f"Take the end-of-line resistor of {by_line[line]} out, at the last device. {TO_MEASURE_A_LINE}"
            round_ = Round(self._panel)
            event = Event(by_line[line].key, Action.ON)
            round_.operate([event], Phase.LINE, last.place, do=do, lines=((line, how),))
            round_.restore(last.place)
            self._add(round_, Phase.LINE, last.place)

    # --- priorities ---

    def _weaker_last(self, round_: Round, key: PairKey, strong: Rule, weak: Rule, place: int | None):
        """The weaker rule brought about while the stronger one is in force: it must not get through."""
        if (events := round_.events_for(weak)) is not None:
            step = round_.operate(events, Phase.PRIORITY, place)
            if weak.key in step.rules and (strong.key in step.rules or self._springs_back(strong)):
                round_.claim(pairs=(PriorityPair(*key, True),))
                self._done.add((key, True))

    def _springs_back(self, rule: Rule) -> bool:
        return not rule.is_latching and all(one.kind in MOMENTARY for one in self._devices(rule))

    def _pair_rounds(self):
        """Per zone and stronger rule: what is weaker, from the weakest, and then the stronger.

        A weaker rule that latches is tried after the stronger one instead, while it is still new.
        """
        together: dict[tuple[str, str], list[tuple[PairKey, Rule, Rule]]] = {}
        for key, (strong, weak) in self._pairs.items():
            alone = weak.key if weak.is_latching else ""
            together.setdefault((key[0], strong.key, alone), []).append((key, strong, weak))
        for alike in together.values():
            alike.sort(key=lambda one: -one[0][2])
            place = self._place_of(alike)
            round_ = Round(self._panel)
            if alike[0][2].is_latching:
                self._strong_around(round_, *alike[0], place)
            else:
                self._strong_last(round_, alike, place)
            round_.restore(place)
            self._add(round_, Phase.PRIORITY, place)

    def _place_of(self, alike: list[tuple[PairKey, Rule, Rule]]) -> int:
        """Where the last of the zone's own devices is that it takes; else the last of all."""
        zone = alike[0][0][0]
        devices = [one for _, strong, weak in alike for one in self._devices(strong, weak)]
        own = [one.place for one in devices if one.zone == zone]
        return max(own or [one.place for one in devices], default=0)

    def _strong_around(self, round_: Round, key: PairKey, strong: Rule, weak: Rule, place: int):
        self._bring(round_, strong, place)
        self._weaker_last(round_, key, strong, weak, place)
        self._stronger_last(round_, [(key, strong, weak)], set(), place)

    def _strong_last(self, round_: Round, alike: list[tuple[PairKey, Rule, Rule]], place: int):
        brought = set()
        for _, _, weak in alike:
            self._make_room(round_, weak, place)
            if weak.key in self._bring(round_, weak, place):
                brought.add(weak.key)
        self._stronger_last(round_, alike, brought, place)
        for key, strong, weak in alike:
            if (key, True) not in self._done:
                self._weaker_last(round_, key, strong, weak, place)

    def _bring(self, round_: Round, rule: Rule, place: int) -> tuple[str, ...]:
        events = round_.events_for(rule)
        return round_.operate(events, Phase.PRIORITY, place).rules if events is not None else ()

    def _stronger_last(self, round_: Round, alike, brought: set[str], place: int):
        strong = alike[0][1]
        acted = self._bring(round_, strong, place)
        if strong.key in acted:
            shown = [key for key, _, weak in alike if weak.key in brought or weak.key in acted]
            round_.claim(pairs=tuple(PriorityPair(*key, False) for key in shown))

    def _lockout_rounds(self):
        """One zone first and the others after it; then another first, so that each is seen kept shut."""
        wanted = zones_to_lock_out(self._ruleset)
        groups = {one.lockout_group for one in self._ruleset.zones if one.key in wanted}
        for name in sorted(groups):
            rules = [
                rule for zone in self._ruleset.zones if zone.lockout_group == name for rule in self._alarm(zone.key)
            ]
            for order in (rules, rules[1::-1]):
                self._lockout_round(order)

    def _alarm(self, zone: str) -> list[Rule]:
        """The first rule that puts the zone into alarm, of one device if there is such."""
        found = [
            one for one in self._ruleset.rules if is_alarm_rule(self._ruleset, one) and zone in self._zones_of(one)
        ]
        return sorted(found, key=lambda one: (len(self._zones_behind(one)) != 1, len(one.cause.inputs) != 1))[:1]

    def _zones_of(self, rule: Rule) -> frozenset[str]:
        return zones_acted_in(self._ruleset, rule)

    def _zones_behind(self, rule: Rule) -> set[str | None]:
        return {one.zone for one in self._devices(rule)}

    def _lockout_round(self, rules: list[Rule]):
        round_, place = Round(self._panel), None
        for rule in rules:
            place = max((one.place for one in self._devices(rule)), default=place or 0)
            if (events := round_.events_for(rule)) is not None:
                round_.operate(events, Phase.PRIORITY, place)
                round_.claim(locked_out=round_.locked_out())
        round_.restore(place)
        self._add(round_, Phase.PRIORITY, place)

    def _make_room(self, round_: Round, weak: Rule, place: int):
        """Vents opened for ventilation first, where the weaker rule is about closing or stopping."""
        if weak.effect in (Effect.OPEN, Effect.HOLD):
            return
        groups = set(self._ruleset.groups_of(weak.target))
        for rule in self._ruleset.rules:
            kinds = {one.kind for one in self._ruleset.inputs_of(rule.cause)}
            if (
                rule.effect is Effect.OPEN
                and kinds
                and kinds <= VENTILATION
                and groups & set(self._ruleset.groups_of(rule.target))
            ):
                round_.operate(round_.events_for(rule) or [], Phase.PRIORITY, place)
                return

    def _devices(self, *rules: Rule) -> Iterator[Input]:
        for rule in rules:
            yield from self._ruleset.inputs_of(rule.cause)

    # --- what is left ---

    def _what_is_left(self):
        acted = {key for _, round_ in self._rounds for step in round_.steps for key in step.rules}
        for rule in self._ruleset.rules:
            if rule.key in acted:
                continue
            place = max((one.place for one in self._devices(rule)), default=None)
            round_ = Round(self._panel)
            events = round_.events_for(rule)
            if events:
                step = round_.operate(events, Phase.LOGIC, place)
                if rule.key in step.rules:
                    round_.steps[-1] = replace(step, do=f"{step.do} This tries {rule_words(self._ruleset, rule)}.")
                    round_.restore(place)
                    self._add(round_, Phase.LOGIC, place)
                    acted |= {key for each in round_.steps for key in each.rules}
        tried = {pair for _, round_ in self._rounds for step in round_.steps for pair in step.inputs}
        for one in self._ruleset.inputs:
            for action in cause_actions_of(one.kind):
                if (one.key, action) not in tried:
                    round_ = Round(self._panel)
                    round_.operate([Event(one.key, action)], Phase.INPUT, one.place)
                    round_.restore(one.place)
                    self._add(round_, Phase.INPUT, one.place)


def _spoken(phase: Phase, order: PowerOrder) -> list[CommissioningStep]:
    return [
        CommissioningStep(0, 0, phase, None, step.do, readings=step.readings, hazards=step.hazards)
        for step in order.steps
    ]
