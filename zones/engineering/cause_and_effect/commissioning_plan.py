"""The plan itself: which rounds there are, and in which order they are walked. See `commissioning`."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from zones.engineering.cause_and_effect.commissioning import CommissioningStep, LineFault, Phase, line_faults
from zones.engineering.cause_and_effect.commissioning_priorities import Meetings
from zones.engineering.cause_and_effect.commissioning_round import Panel, Round
from zones.engineering.cause_and_effect.commissioning_words import READ_ON_BATTERY
from zones.engineering.cause_and_effect.events import Event
from zones.engineering.cause_and_effect.moments import is_ventilation_rule
from zones.engineering.cause_and_effect.properties import zones_acted_in
from zones.engineering.cause_and_effect.rules import (
    ALARMS,
    FAULTS,
    VENTILATION,
    WEATHER,
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
from zones.engineering.hazards import Hazard
from zones.engineering.power_order import LEAVE_IN_SERVICE, POWER_UP, PowerStep

_AT_THE_PANEL = {
    InputKind.MAINS_FAULT: Phase.SUPPLY,
    InputKind.BATTERY_FAULT: Phase.SUPPLY,
    InputKind.LINK_FAULT: Phase.LINE,
}


def commissioning_plan(
    ruleset: RuleSet, power_up: tuple[PowerStep, ...] = POWER_UP.steps
) -> tuple[CommissioningStep, ...]:
    """All steps in their order, numbered: power up, mains and battery, the walk, what is left, leave in service.

    Every input is operated, every rule brought about, every two priorities that disagree in a zone tried in both
    orders, every line's fault report tried. What cannot be brought about is not in the plan: `coverage` names it.
    The same rules give the same plan. `power_up`: the order shown for the panel.

    Raises:   RuleSetError: the rules point nowhere.
    """
    return _Plan(ruleset, power_up).steps()


class _Plan:
    def __init__(self, ruleset: RuleSet, power_up: tuple[PowerStep, ...]):
        self._ruleset, self._power_up = ruleset, power_up
        self._panel = Panel(ruleset, Simulation(ruleset))
        self._rounds: list[tuple[tuple, Round]] = []
        self._places = {one.key: number for number, one in enumerate(ruleset.inputs)}

    def steps(self) -> tuple[CommissioningStep, ...]:
        """Rounds made, sorted by the walk, and numbered through."""
        first = self._powering_up()
        for round_ in Meetings(self._ruleset, self._panel).rounds():
            self._add(round_, Phase.PRIORITY)
        tried = self._tried() | {pair for step in first for pair in step.inputs}
        for one in self._ruleset.inputs:
            if not self._has_a_round(one, tried):
                self._input_round(one)
        self._line_rounds()
        self._what_is_left(first)
        self._rounds.sort(key=lambda one: one[0])
        walked = _each_once(round_.steps for _, round_ in self._rounds if round_.steps)
        together = [first, *walked, [_spoken(Phase.LEAVE, step) for step in LEAVE_IN_SERVICE.steps]]
        numbered = [(number, step) for number, steps in enumerate(together, 1) for step in steps]
        return tuple(replace(step, number=k, round=number) for k, (number, step) in enumerate(numbered, 1))

    def _add(self, round_: Round, phase: Phase):
        """At the panel first, then along the walk; at one place in the order of the phases."""
        at = round_.at
        where = (1, at.place, self._places[at.key]) if at else (0, 0, 0)
        self._rounds.append(((*where, list(Phase).index(phase), len(self._rounds)), round_))

    def _tried(self) -> set[tuple[str, Action]]:
        return {pair for _, round_ in self._rounds for step in round_.steps for pair in step.inputs}

    def _has_a_round(self, one: Input, tried: set[tuple[str, Action]]) -> bool:
        """Resets and line faults come about with others; a battery is tried while powering up, the weather among
        priorities."""
        if one.kind in (InputKind.RESET, InputKind.LINE_FAULT):
            return True
        return one.kind in WEATHER | {InputKind.BATTERY_FAULT} and (one.key, Action.ON) in tried

    # --- powering up ---

    def _powering_up(self) -> list[CommissioningStep]:
        """The order of powering up; the battery is tried in it, where its last lead is off with the mains on."""
        battery = next((one for one in self._ruleset.inputs if one.kind is InputKind.BATTERY_FAULT), None)
        round_, steps = Round(self._panel), []
        codes = [step.code for step in self._power_up]
        happens = {"supply": Action.ON, "battery-fault": Action.OFF} if "battery-on" in codes and battery else {}
        for step in self._power_up:
            spoken = _spoken(Phase.POWER_UP, step)
            if action := happens.get(step.code):
                done = round_.operate([Event(battery.key, action)], Phase.POWER_UP, do=step.do, readings=step.readings)
                hazards = tuple(one for one in Hazard if one in {*step.hazards, *done.hazards})
                spoken = replace(done, readings=step.readings, hazards=hazards, part=step.part, code=step.code)
            steps.append(spoken)
        return steps

    # --- inputs ---

    def _input_round(self, one: Input):
        """The input at each of its actions, on its own, so that every other zone is seen to stay."""
        supply = one.kind in _AT_THE_PANEL
        phase = _AT_THE_PANEL.get(one.kind, Phase.INPUT)
        round_ = Round(self._panel, None if supply else one)
        of_weather = [rule for rule in self._ruleset.rules if one.kind in WEATHER and one.key in rule.cause.inputs]
        for action in self._in_order(one):
            round_.operate([*round_.room_for(of_weather), Event(one.key, action)], phase)
            if one.kind is InputKind.MAINS_FAULT:
                self._on_battery(round_)
        round_.restore()
        self._add(round_, phase)

    def _in_order(self, one: Input) -> tuple[Action, ...]:
        """Open before stop before close, so that each is seen."""
        return tuple(sorted(cause_actions_of(one.kind), key=(Action.ON, Action.OPEN, Action.STOP, Action.CLOSE).index))

    def _on_battery(self, round_: Round):
        """Opening for ventilation in every zone, and one alarm, with the mains off."""
        ventilation = dict.fromkeys(
            event for rule in self._opening(VENTILATION).values() for event in round_.events_for(rule) or ()
        )
        if ventilation:
            round_.operate(list(ventilation), Phase.SUPPLY)
        alarm = next(iter(self._opening(ALARMS).values()), None)
        if alarm and (events := round_.events_for(alarm)):
            round_.operate(events, Phase.SUPPLY, readings=READ_ON_BATTERY)

    def _opening(self, kinds: frozenset[InputKind]) -> dict[str, Rule]:
        """The first rule of inputs of these kinds that opens each zone."""
        found: dict[str, Rule] = {}
        for rule in self._ruleset.rules:
            if rule.effect is Effect.OPEN and is_ventilation_rule(self._ruleset, rule, kinds):
                for zone in zones_acted_in(self._ruleset, rule):
                    found.setdefault(zone, rule)
        return found

    # --- lines ---

    def _line_rounds(self):
        by_line = {one.line: one for one in self._ruleset.inputs if one.kind is InputKind.LINE_FAULT}
        for line, how in line_faults(self._ruleset):
            if line not in by_line:
                continue
            on_it = [one for one in self._ruleset.inputs if one.line == line and one.kind not in FAULTS]
            last = max(on_it, key=lambda one: (one.ends_line, one.place), default=None)
            if how is LineFault.DEVICE_REMOVED:
                do = f"Take {last} off its base or terminals."
            else:
                where = by_line[line].element_place or (f"at {last}" if last else "at the terminals of the line")
                do = f"Take the end-of-line resistor of {by_line[line]} out, {where}."
            round_ = Round(self._panel, last or by_line[line])
            round_.operate([Event(by_line[line].key, Action.ON)], Phase.LINE, do=do, lines=((line, how),))
            round_.restore()
            self._add(round_, Phase.LINE)

    # --- what is left ---

    def _what_is_left(self, first: list[CommissioningStep]):
        acted = {key for _, round_ in self._rounds for step in round_.steps for key in step.rules}
        acted |= {key for step in first for key in step.rules}
        for rule in self._ruleset.rules:
            if rule.key in acted:
                continue
            devices = self._ruleset.inputs_of(rule.cause)
            round_ = Round(self._panel, max(devices, key=lambda one: one.place, default=None))
            events = round_.events_for(rule)
            if events:
                step = round_.operate(events, Phase.LOGIC)
                if rule.key in step.rules:
                    round_.claim(do=f"{step.do} This tries {rule_words(self._ruleset, rule)}.")
                    round_.restore()
                    self._add(round_, Phase.LOGIC)
                    acted |= {key for each in round_.steps for key in each.rules}
        for one, action in self._untried(first):
            round_ = Round(self._panel, one)
            round_.operate([Event(one.key, action)], Phase.INPUT)
            round_.restore()
            self._add(round_, Phase.INPUT)

    def _untried(self, first: list[CommissioningStep]) -> Iterator[tuple[Input, Action]]:
        tried = self._tried() | {pair for step in first for pair in step.inputs}
        for one in self._ruleset.inputs:
            for action in cause_actions_of(one.kind):
                if (one.key, action) not in tried:
                    yield one, action


def _each_once(rounds: Iterable[list[CommissioningStep]]) -> list[list[CommissioningStep]]:
    """Rounds in which the same is done are walked once: what they try is tried by the first of them."""
    found: dict[tuple, list[CommissioningStep]] = {}
    for steps in rounds:
        key = tuple((step.at, step.do, step.events, step.readings) for step in steps)
        found[key] = [_with(*both) for both in zip(found[key], steps, strict=True)] if key in found else steps
    return list(found.values())


def _with(step: CommissioningStep, other: CommissioningStep) -> CommissioningStep:
    covers = ("inputs", "rules", "pairs", "lines", "locked_out")
    return replace(step, **{name: tuple(dict.fromkeys(getattr(step, name) + getattr(other, name))) for name in covers})


def _spoken(phase: Phase, step: PowerStep) -> CommissioningStep:
    return CommissioningStep(
        *(0, 0, phase, None, step.do),
        must=step.must,
        readings=step.readings,
        hazards=step.hazards,
        part=step.part,
        code=step.code,
    )
