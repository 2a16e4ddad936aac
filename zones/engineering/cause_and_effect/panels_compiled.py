"""The designed rules and the wrong ones compiled together, for `panels_at_once`: which stand in which panels."""

from collections.abc import Iterable
from dataclasses import dataclass

from zones.engineering.cause_and_effect.moments import is_alarm_rule, is_ventilation_rule
from zones.engineering.cause_and_effect.rules import (
    MOMENTARY,
    Action,
    AfterReset,
    CauseKind,
    Effect,
    InputKind,
    Rule,
    RuleSet,
    TargetKind,
    keys_of,
)
from zones.engineering.cause_and_effect.wrong_panels import Mistake, WrongPanel

_RANK = {
    effect: rank for rank, effect in enumerate((Effect.HOLD, Effect.STOP, Effect.CLOSE, Effect.CLOSE_VENTILATION), 2)
}
Signal = tuple[str, Action]


@dataclass(frozen=True, slots=True)
class Entry:
    """A rule as it stands in some of the panels (mask), with all that settling asks of it."""

    number: int
    rule: Rule
    panels: int
    signals: tuple[tuple[Signal, ...], ...]  # by line where lines are counted, else one by one
    order: tuple[int, int, int]
    groups: tuple[int, ...]
    zones: tuple[int, ...]  # that it puts into alarm
    resets: frozenset[str]
    is_momentary: bool
    is_ventilation: bool
    is_latching: bool
    delay_s: int
    effect: Effect
    pulls: bool
    blocks: bool
    lights: bool


class PanelsCompiled:
    """The designed rules and the wrong ones, compiled together. The rules must be sound."""

    def __init__(self, ruleset: RuleSet, wrong: Iterable[WrongPanel]):
        self.ruleset, self.wrong = ruleset, tuple(wrong)
        self.all = (1 << len(self.wrong) + 1) - 1
        self._inputs = keys_of(ruleset.inputs)
        self._group_number = {one.key: k for k, one in enumerate(ruleset.groups)}
        self._zone_number = {one.key: k for k, one in enumerate(ruleset.zones)}
        self._zone_of = [self._zone_number[one.zone] for one in ruleset.groups]
        self._of_signal: dict[Signal, list[Entry]] = {}
        self._designed_of: dict[Signal, list[Entry]] = {}
        self._by_zone: list[Entry] = []
        self._by_contact: list[Entry] = []
        self.entries: list[Entry] = []
        self._compile()
        self._compile_zones()

    # --- compiling ---

    def _compile(self):
        instead: dict[str, list[tuple[int, WrongPanel]]] = {}
        for k, one in enumerate(self.wrong, 1):
            if one.rule:
                instead.setdefault(one.rule, []).append((1 << k, one))
        for number, rule in enumerate(self.ruleset.rules):
            others = instead.get(rule.key, ())
            elsewhere = sum(bit for bit, one in others if rule not in one.now)
            self._add(rule, number, self.all & ~elsewhere)
            for bit, one in others:
                for now in one.now:
                    if now is not rule:
                        self._add(now, number, bit)

    def _add(self, rule: Rule, number: int, panels: int):
        ruleset = self.ruleset
        groups = tuple(self._group_number[one.key] for one in ruleset.groups_of(rule.target))
        is_ventilation = is_ventilation_rule(ruleset, rule)
        rank = int(is_ventilation) if rule.effect is Effect.OPEN else _RANK.get(rule.effect, 0)
        entry = Entry(
            *(len(self.entries), rule, panels, self._signals(rule), (ruleset.priority_of(rule), rank, number), groups),
            zones=self._alarmed(rule) if is_alarm_rule(ruleset, rule) else (),
            resets=self._resets(rule) if rule.is_latching else frozenset(),
            is_momentary=not rule.is_latching
            and bool(rule.cause.inputs)
            and all(self._inputs[key].kind in MOMENTARY for key in rule.cause.inputs),
            is_ventilation=is_ventilation,
            is_latching=rule.is_latching,
            delay_s=rule.delay_s,
            effect=rule.effect,
            pulls=rule.effect.moves,
            blocks=rule.effect is Effect.BLOCK_VENTILATION,
            lights=rule.effect is Effect.INDICATE,
        )
        self.entries.append(entry)
        if rule.cause.kind is CauseKind.ZONE_IN_ALARM:
            self._by_zone.append(entry)
        elif rule.cause.kind is CauseKind.GROUP_OPEN:
            self._by_contact.append(entry)
        for signal in {one for some in entry.signals for one in some}:
            self._of_signal.setdefault(signal, []).append(entry)
            if panels & 1:
                self._designed_of.setdefault(signal, []).append(entry)

    def _signals(self, rule: Rule) -> tuple[tuple[Signal, ...], ...]:
        cause = rule.cause
        if cause.kind is not CauseKind.INPUTS:
            return ()
        signals = [(key, cause.action) for key in cause.inputs]
        if cause.needed == 1:
            return (tuple(signals),)
        if not cause.counts_lines:
            return tuple((one,) for one in signals)
        lines: dict[str | None, list[Signal]] = {}
        for one in signals:
            lines.setdefault(self._inputs[one[0]].line, []).append(one)
        return tuple(map(tuple, lines.values()))

    def _alarmed(self, rule: Rule) -> tuple[int, ...]:
        zones = {self._zone_number[one.zone] for one in self.ruleset.groups_of(rule.target)}
        if rule.target.kind is TargetKind.ZONE:
            zones.add(self._zone_number[rule.target.key])
        return tuple(sorted(zones))

    def _resets(self, rule: Rule) -> frozenset[str]:
        """The resets that let the rule go."""
        match rule.target.kind, rule.cause.kind:
            case TargetKind.ZONE, _:
                acted = {rule.target.key}
            case TargetKind.GROUP, _:
                acted = {one.zone for one in self.ruleset.groups_of(rule.target)}
            case _, CauseKind.ZONE_IN_ALARM:
                acted = {rule.cause.zone}
            case _, CauseKind.GROUP_OPEN:
                acted = {one.zone for one in self.ruleset.groups if one.key == rule.cause.group}
            case _:
                acted = {self._inputs[key].zone for key in rule.cause.inputs}
        resets = [one for one in self.ruleset.inputs if one.kind is InputKind.RESET]
        return frozenset(one.key for one in resets if one.zone is None or acted == {one.zone})

    def _compile_zones(self):
        said = {(one.mistake, one.subject): 1 << k for k, one in enumerate(self.wrong, 1)}
        names = dict.fromkeys(one.lockout_group for one in self.ruleset.zones if one.lockout_group)
        self._lockouts = [
            [k for k, one in enumerate(self.ruleset.zones) if one.lockout_group == name] for name in names
        ]
        self._in_lockout = [
            self.all & ~said.get((Mistake.LOCKOUT, one.key), 0) if one.lockout_group else 0
            for one in self.ruleset.zones
        ]
        self._inverted = {one.key: said.get((Mistake.POLE, one.key), 0) for one in self.ruleset.inputs}
        self._dead = {one.key: said.get((Mistake.RESET, one.key), 0) for one in self.ruleset.inputs}
        self._wide = {one.key: said.get((Mistake.RESET_SCOPE, one.key), 0) for one in self.ruleset.inputs}
        opposite = said.get((Mistake.AFTER_RESET, ""), 0)
        self._closes = opposite if self.ruleset.after_reset is AfterReset.STAY else self.all & ~opposite
