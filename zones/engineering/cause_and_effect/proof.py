"""Proof of the properties for every zone of a panel, by looking at every state that can be reached.

Each group of vents is looked at in its own cone (`cones`, `reduction`). "Proven" is a statement about the rules as
entered: that the panel is wired and set like them only a test on site can show.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum

from zones.engineering.cause_and_effect.asked import Asked
from zones.engineering.cause_and_effect.cones import RulesByTarget
from zones.engineering.cause_and_effect.events import Event, event_words
from zones.engineering.cause_and_effect.exploration import Exploration, Found
from zones.engineering.cause_and_effect.group_check import GroupCheck
from zones.engineering.cause_and_effect.machine import Machine
from zones.engineering.cause_and_effect.properties import (
    BY_RULES_ALONE,
    Need,
    Property,
    fault_not_shown,
    faults_read_in,
)
from zones.engineering.cause_and_effect.reduction import Form, reduce_cone
from zones.engineering.cause_and_effect.rules import Action, Group, InputKind, RuleSet, Zone
from zones.engineering.cause_and_effect.simulation import RuleSetError
from zones.engineering.cause_and_effect.validation import structural_faults
from zones.engineering.cause_and_effect.words import name_in
from zones.engineering.findings import listed

# Of a panel, over all its groups: a fifth more than the worst panel of 24 zones that could be thought of needs
# (tests/benchmarks), some fifteen seconds' work.
MOST_STATES = 120_000


class ProofVerdict(StrEnum):
    """What the proof says of one property in one zone."""

    FAILS = "fails"
    NOT_DECIDED = "not_decided"  # the limit was reached before every state was seen
    PROVEN = "proven"
    ACCEPTED = "accepted"  # it fails, and somebody accepts that
    NOT_ASKED = "not_asked"
    NOT_APPLICABLE = "not_applicable"

    @property
    def words(self) -> str:
        """The verdict as people say it."""
        return self.value.replace("_", " ")


@dataclass(frozen=True, slots=True)
class PropertyResult:
    """One property in one zone.

    `states`: states seen, over the zone's groups; `is_bounded`: the limit was reached. For a failure: `group` (key)
    and `sequence`, a shortest one that shows it; `Simulation.replay` replays it. `by_rules`: keys of the rules that
    are meant to move the zone's vents for another zone and do; `by_lockout`: a lock-out does.
    """

    property: Property
    verdict: ProofVerdict
    sentence: str
    states: int = 0
    is_bounded: bool = False
    group: str = ""
    sequence: tuple[Event, ...] = ()
    by_rules: tuple[str, ...] = ()
    by_lockout: bool = False


@dataclass(frozen=True, slots=True)
class ZoneProof:
    """The results for one zone (its key), one for each property, in their order."""

    zone: str
    results: tuple[PropertyResult, ...]

    def result(self, wanted: Property) -> PropertyResult:
        """The result for one property."""
        return next(one for one in self.results if one.property is wanted)


@dataclass(frozen=True, slots=True)
class LogicProof:
    """All zones; `states` seen in all, in how many different `forms` of cones; `most_states` is their limit."""

    zones: tuple[ZoneProof, ...]
    states: int
    forms: int
    most_states: int

    @property
    def failures(self) -> tuple[tuple[str, PropertyResult], ...]:
        """(zone, result) of everything that fails."""
        return tuple(
            (one.zone, each) for one in self.zones for each in one.results if each.verdict is ProofVerdict.FAILS
        )


@dataclass(frozen=True, slots=True)
class _GroupFound:
    """What was found for one group, in the panel's keys."""

    group: Group
    found: Found
    not_applicable: frozenset[Property]
    broken: dict[Property, tuple[Event, ...]]
    crossing: frozenset[str]


_NOTHING = Asked()


def _nobody_listens(done: int, of: int, states: int):
    pass


def prove(
    ruleset: RuleSet,
    *,
    asked: Asked = _NOTHING,
    most_states: int = MOST_STATES,
    told: Callable[[int, int, int], None] = _nobody_listens,
) -> LogicProof:
    """Prove or refute every property in every zone. The same rules get the same verdicts on any machine.

    Args:     asked: what the fire strategy asks; of what it does not say nothing is proven.
              most_states: stop looking after so many, over all groups. What is then not refuted is "not decided".
              told: hears how far it is: so many of so many different forms of cones, and the states seen in them.
    Raises:   RuleSetError: the rules point nowhere.
    """
    faults = structural_faults(ruleset)
    if faults:
        raise RuleSetError(faults)
    return _Prover(ruleset, asked, most_states, told).proof()


class _Prover:
    def __init__(self, ruleset: RuleSet, asked: Asked, most_states: int, told: Callable[[int, int, int], None]):
        self._asked, self._told = asked, told
        self._ruleset, self._wiring = ruleset, RulesByTarget(ruleset)
        self._most_states = most_states
        self._cones = {one.key: self._wiring.cone(one) for one in ruleset.groups}
        self._reduced = {key: reduce_cone(cone, asked.most_delay_s(cone.group)) for key, cone in self._cones.items()}
        self._forms: dict[Form, tuple[Found, frozenset[Property]]] = {}
        self._has_line_faults = any(one.kind is InputKind.LINE_FAULT for one in ruleset.inputs)

    def proof(self) -> LogicProof:
        self._explore_forms()
        zones = []
        for zone in self._ruleset.zones:
            groups = [self._look_at(one) for one in self._ruleset.groups if one.zone == zone.key]
            zones.append(ZoneProof(zone.key, tuple(self._judged(zone, groups, one) for one in Property)))
        states = sum(found.states for found, _ in self._forms.values())
        return LogicProof(tuple(zones), states, len(self._forms), self._most_states)

    def _look_at(self, group: Group) -> _GroupFound:
        cone, (form, back) = self._cones[group.key], self._reduced[group.key]
        found, not_applicable = self._forms[form]
        broken = {one: tuple(self._real(event, back) for event in events) for one, events in found.broken.items()}
        crossing = {key for one in found.crossing for key in (cone.merged[back[one]] if one else ("",))}
        return _GroupFound(group, found, not_applicable, broken, frozenset(crossing))

    def _real(self, event: Event, back: dict[str, str]) -> Event:
        return Event(back[event.subject], event.action)

    def _explore_forms(self):
        """Small forms first: one that is too large leaves the others decided."""
        left = self._most_states
        different = dict.fromkeys(form for form, _ in self._reduced.values())
        for form in sorted(different, key=lambda one: len(one.ruleset.inputs) + len(one.ruleset.rules)):
            self._forms[form] = self._explore(form, left)
            left -= self._forms[form][0].states
            self._told(len(self._forms), len(different), self._most_states - left)

    def _explore(self, form: Form, most_states: int) -> tuple[Found, frozenset[Property]]:
        machine = Machine(form.ruleset, form.still)
        found = Exploration(
            machine, form.group, alike=form.alike, most_states=most_states, most_delay_s=form.most_delay_s
        ).run()
        return found, GroupCheck(machine, form.group).not_applicable

    # --- from groups to the zone ---

    def _judged(self, zone: Zone, groups: list[_GroupFound], wanted: Property) -> PropertyResult:
        """The result, and what the fire strategy makes of it."""
        key = zone.key, wanted
        if key in self._asked.not_asked:
            return PropertyResult(wanted, ProofVerdict.NOT_ASKED, self._asked.not_asked[key])
        result = self._result(zone, groups, wanted)
        if result.verdict is not ProofVerdict.FAILS or key not in self._asked.accepted:
            return result
        sentence = f"{result.sentence} Accepted: {self._asked.accepted[key]}"
        return replace(result, verdict=ProofVerdict.ACCEPTED, sentence=sentence)

    def _time_of(self, zone: Zone, groups: list[_GroupFound]) -> PropertyResult | None:
        """What is to say of the time before any state is looked at: it is not asked, or strokes alone take too long."""
        wanted, left_s = Property.OPENS_IN_TIME, {one.group: self._asked.most_delay_s(one.group) for one in groups}
        if zone.key not in self._asked.open_within_s:
            return PropertyResult(wanted, ProofVerdict.NOT_ASKED, f"No time is given in which {zone} must stand open.")
        unknown = next((group for group, seconds in left_s.items() if seconds is None), None)
        if unknown:
            sentence = f"How long the stroke of {unknown} in {zone} takes is not known."
            return PropertyResult(wanted, ProofVerdict.NOT_ASKED, sentence)
        slow = next((group for group, seconds in left_s.items() if seconds < 0), None)
        if slow:
            stroke_s, within_s = self._asked.stroke_s[slow.key], self._asked.open_within_s[zone.key]
            sentence = f"The stroke of {slow} alone takes {stroke_s:g} s; {zone} must stand open within {within_s:g} s."
            return PropertyResult(wanted, ProofVerdict.FAILS, sentence, group=slow.key)
        return None

    def _result(self, zone: Zone, groups: list[_GroupFound], wanted: Property) -> PropertyResult:
        reason = self._not_applicable(zone, groups, wanted)
        if reason:
            return PropertyResult(wanted, ProofVerdict.NOT_APPLICABLE, reason)
        if wanted in BY_RULES_ALONE:
            return self._faults_shown(zone, groups[0].group)
        asked = [one for one in groups if wanted not in one.not_applicable]
        if wanted is Property.OPENS_IN_TIME and (known := self._time_of(zone, groups)):
            return known
        states = sum(one.found.states for one in asked)
        bounded = any(not one.found.is_complete for one in asked)
        crossing = frozenset().union(*(one.crossing for one in asked)) if wanted is Property.OWN_ZONE_ONLY else ()
        ordered = tuple(one.key for one in self._ruleset.rules if one.key in crossing)
        failing = [one for one in asked if wanted in one.broken]
        shared = {"states": states, "is_bounded": bounded, "by_rules": ordered, "by_lockout": "" in crossing}
        if failing:
            worst = min(failing, key=lambda one: len(one.broken[wanted]))
            sentence = self._failure(zone, worst.group, wanted, worst.broken[wanted])
            return PropertyResult(
                *(wanted, ProofVerdict.FAILS, sentence),
                **shared,
                group=worst.group.key,
                sequence=worst.broken[wanted],
            )
        if self._is_open(asked, wanted):
            sentence = f"Not decided: more than {self._most_states} states looked at, and none of them breaks it."
            return PropertyResult(wanted, ProofVerdict.NOT_DECIDED, sentence, **shared)
        sentence = _SEEN if bounded else self._proven(states, ordered, "" in crossing)
        return PropertyResult(wanted, ProofVerdict.PROVEN, sentence, **shared)

    def _faults_shown(self, zone: Zone, group: Group) -> PropertyResult:
        """Of the panel's own faults too: each zone stands on its lines, mains and battery."""
        wanted, fault = Property.FAULTS_SHOWN, fault_not_shown(self._ruleset, zone.key)
        if fault:
            sentence = f"{name_in(self._ruleset.inputs, fault)}: its fault is not indicated by itself and at once."
            shown = (Event(fault, Action.ON),)
            return PropertyResult(wanted, ProofVerdict.FAILS, sentence, group=group.key, sequence=shown)
        return PropertyResult(wanted, ProofVerdict.PROVEN, "An undelayed rule indicates each of its faults.")

    def _is_open(self, asked: list[_GroupFound], wanted: Property) -> bool:
        if wanted in (Property.MANUAL_TRIGGER, Property.AUTOMATIC_TRIGGER):
            return any(wanted in one.found.open_triggers for one in asked)
        return any(not one.found.is_complete for one in asked)

    def _not_applicable(self, zone: Zone, groups: list[_GroupFound], wanted: Property) -> str:
        if not groups:
            return f"{zone} has no group of vents."
        if wanted is Property.AUTOMATIC_TRIGGER and not zone.needs_automatic:
            return f"{zone} needs no automatic detection."
        if wanted is Property.LINE_FAULT_SAFE and not self._has_line_faults:
            return "No monitored line is entered."
        if wanted.need is Need.FAULT:
            return "" if faults_read_in(self._ruleset, zone.key) else wanted.need.value
        if all(wanted in one.not_applicable for one in groups):
            return wanted.need.format(zone=zone)
        return ""

    def _proven(self, states: int, by_rules: tuple[str, ...], by_lockout: bool) -> str:
        sentence = f"Holds in every one of {states} states."
        numbers = [str(k) for k, one in enumerate(self._ruleset.rules, 1) if one.key in by_rules]
        causes = [f"rule{'s' * (len(numbers) > 1)} {listed(numbers)}"] if numbers else []
        causes += ["lock-out"] if by_lockout else []
        return f"{sentence} Moved for another zone by {listed(causes)}, as meant." if causes else sentence

    def _failure(self, zone: Zone, group: Group, wanted: Property, sequence: tuple[Event, ...]) -> str:
        sentence = wanted.failure.format(group=group, zone=zone)
        if wanted is Property.OWN_ZONE_ONLY and sequence and sequence[-1].action is not Action.ELAPSED:
            device = name_in(self._ruleset.inputs, sequence[-1].subject)
            sentence = f"{device} of another zone moves {group}, and no rule is meant to."
        if not sequence:
            return sentence
        words = [event_words(self._ruleset, one) for one in sequence]
        return f"{sentence} Shown by: {'; '.join(words)}."


_SEEN = "Every group of vents was seen to open so."  # of a trigger, where the search ended early
