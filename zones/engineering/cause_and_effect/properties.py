"""What must hold of a panel's logic, stated once: each property in words, and as a check on states and steps.

All are about one group of vents and its zone. "In smoke" means: the zone is in alarm, or a device of the zone is
operated that must raise one. Of the devices of a zone a call point and a fire alarm interface must do so alone
(EN 54-2, 7.12 [M]: call points are never held back by a dependency); a detector too, unless a rule that opens
vents of the zone counts it with others. "Waiting" means that a delay runs of a rule that acts on the group.
"""

from enum import StrEnum

from zones.engineering.cause_and_effect.machine import Machine
from zones.engineering.cause_and_effect.moments import (
    WEATHER_OR_VENTILATION,
    Moment,
    Position,
    is_alarm_rule,
    is_ventilation_rule,
)
from zones.engineering.cause_and_effect.rules import (
    ALARMS,
    Action,
    CauseKind,
    Effect,
    Input,
    InputKind,
    Rule,
    RuleSet,
    TargetKind,
)


class Need(StrEnum):
    """What a zone must have for a property to be asked of it; the value says what it lacks."""

    NOTHING = ""
    ALARM = "Nothing raises an alarm in {zone}."
    LOCK_OUT = "{zone} shares a lock-out group with no other zone."
    FIRE_SERVICE = "No fire service control acts in {zone}."


class Property(StrEnum):
    """The properties, in the order in which they are shown.

    Each row says all that is said of one: its key, its short name, itself as a sentence, how it fails, what it needs.
    """

    short: str
    words: str
    failure: str
    need: Need

    def __new__(cls, key: str, short: str, words: str, failure: str, need: Need = Need.NOTHING):
        made = str.__new__(cls, key)
        made._value_ = key
        made.short, made.words, made.failure, made.need = short, words, failure, need
        return made

    OPENS_ON_SMOKE = (
        "opens_on_smoke",
        "Opens on smoke",
        "A smoke alarm opens every vent of the zone, from any state, unless fire service control says close or "
        "another zone locks it out.",
        "{group} does not open on smoke in {zone}.",
        Need.ALARM,
    )
    SMOKE_BEFORE_VENTILATION = (
        "smoke_before_ventilation",
        "Smoke before ventilation",
        "Rain, wind and ventilation control never close or hold shut a vent in alarm.",
        "Rain, wind or ventilation control closes {group} or holds it shut while {zone} is in alarm.",
        Need.ALARM,
    )
    LATCHES = (
        "latches",
        "Latches",
        "An alarm stays until a reset.",
        "The alarm of {zone} ends without a reset.",
        Need.ALARM,
    )
    OWN_ZONE_ONLY = (
        "own_zone_only",
        "Own zone only",
        "No input of another zone moves a vent, unless a rule is meant to.",
        "An input of another zone moves {group}, and no rule is meant to.",
    )
    MANUAL_TRIGGER = (
        "manual_trigger",
        "Manual trigger",
        "Every vent can be opened by a call point.",
        "No call point opens {group}.",
    )
    AUTOMATIC_TRIGGER = (
        "automatic_trigger",
        "Automatic trigger",
        "Every vent can be opened by a detector or the fire alarm system.",
        "No detector and no fire alarm interface opens {group}.",
    )
    LINE_FAULT_SAFE = (
        "line_fault_safe",
        "Line fault safe",
        "One faulty line never closes a vent in alarm.",
        "A single faulty line closes {group} while {zone} is in alarm.",
        Need.ALARM,
    )
    SETTLES = (
        "settles",
        "Settles",
        "Whatever happens, the vents come to rest.",
        "{group} does not come to rest: the rules cause the opposite of themselves.",
    )
    LOCKS_OUT = (
        "locks_out",
        "Lock-out",
        "While another zone of its lock-out group was in alarm first, the zone stays shut.",
        "{group} is not shut although another zone of its lock-out group was in alarm first.",
        Need.LOCK_OUT,
    )
    FIRE_SERVICE_FIRST = (
        "fire_service_first",
        "Fire service first",
        "Fire service control beats everything else.",
        "{group} does not follow fire service control.",
        Need.FIRE_SERVICE,
    )


def must_raise_alarm(ruleset: RuleSet, zone: str) -> frozenset[str]:
    """Keys of the devices of the zone that must put it into alarm alone."""
    counted = set()
    for rule in ruleset.rules:
        if rule.cause.needed > 1 and is_alarm_rule(ruleset, rule) and zone in zones_acted_in(ruleset, rule):
            counted.update(rule.cause.inputs)
    return frozenset(
        one.key
        for one in ruleset.inputs
        if one.zone == zone and one.kind in ALARMS and not (one.kind is InputKind.DETECTOR and one.key in counted)
    )


def is_asked_of(zone: str, one: Input) -> bool:
    """Whether a property of the zone asks for this input even where no rule names it: then its cone keeps it."""
    return one.zone == zone and (one.kind is InputKind.FIRE_SERVICE or one.kind in ALARMS)


def zones_acted_in(ruleset: RuleSet, rule: Rule) -> frozenset[str]:
    """Keys of the zones of the groups that the rule acts on, and of the zone that it names."""
    if rule.target.kind is TargetKind.ZONE:
        return frozenset({rule.target.key})
    return frozenset(one.zone for one in ruleset.groups_of(rule.target))


def is_meant_elsewhere(rule: Rule) -> bool:
    """Whether the rule says by itself that it acts beyond the zone of its inputs."""
    return rule.is_cross_zone or rule.cause.kind is not CauseKind.INPUTS


def zones_behind(ruleset: RuleSet, zone: str) -> frozenset[str]:
    """The zone, and those whose alarm puts it into alarm: a reset of any of them may end its alarm."""
    found, waiting = {zone}, [zone]
    while waiting:
        current = waiting.pop()
        for rule in ruleset.rules:
            if rule.cause.kind is not CauseKind.ZONE_IN_ALARM or not is_alarm_rule(ruleset, rule):
                continue
            if current in zones_acted_in(ruleset, rule) and rule.cause.zone not in found:
                found.add(rule.cause.zone)
                waiting.append(rule.cause.zone)
    return frozenset(found)


class GroupCheck:
    """The properties of one group as tests on a machine's moments and on its steps from one to the next."""

    def __init__(self, machine: Machine, group: str):
        ruleset = self._ruleset = machine.ruleset
        self._machine = machine
        self.group = machine.group_number[group]
        record = ruleset.groups[self.group]
        self.zone = record.zone
        self._zone_bit = machine.group_zone_bits[self.group]
        bits = machine.signal_bit
        self._must = sum(bits[key, Action.ON] for key in must_raise_alarm(ruleset, self.zone))
        self._acting = self._opening = self._meant = self._weather_or_ventilation = 0
        for k, rule in enumerate(ruleset.rules):
            acts = record in ruleset.groups_of(rule.target) and rule.effect.moves
            self._acting |= acts << k
            self._opening |= (acts and rule.effect is Effect.OPEN and not is_ventilation_rule(ruleset, rule)) << k
            self._meant |= (acts and is_meant_elsewhere(rule)) << k
            self._weather_or_ventilation |= is_ventilation_rule(ruleset, rule, WEATHER_OR_VENTILATION) << k
        controls = self._fire_service_controls(record)
        self._says_open = sum(bits[key, Action.OPEN] for key in controls)
        self._says_close = sum(bits[key, Action.CLOSE] for key in controls)
        self._line_faults = sum(bits[one.key, Action.ON] for one in ruleset.inputs if one.kind is InputKind.LINE_FAULT)
        self._alarm_enders = {
            one.key
            for one in ruleset.inputs
            if one.kind is InputKind.RESET and (one.zone is None or one.zone in zones_behind(ruleset, self.zone))
        }
        has_alarm = bool(self._must) or any(
            is_alarm_rule(ruleset, rule) and self.zone in zones_acted_in(ruleset, rule) for rule in ruleset.rules
        )
        lockout = next(one.lockout_group for one in ruleset.zones if one.key == self.zone)
        self._has_lockout = bool(lockout) and sum(one.lockout_group == lockout for one in ruleset.zones) > 1
        has = {Need.ALARM: has_alarm, Need.LOCK_OUT: self._has_lockout, Need.FIRE_SERVICE: bool(controls)}
        self.not_applicable = frozenset(one for one in Property if not has.get(one.need, True))

    def _fire_service_controls(self, record) -> set[str]:
        """Those of its zone, and those that a rule lets act on the group."""
        found = {
            one.key for one in self._ruleset.inputs if one.kind is InputKind.FIRE_SERVICE and one.zone == record.zone
        }
        for rule in self._ruleset.rules:
            if record in self._ruleset.groups_of(rule.target) and rule.effect.moves:
                found |= {one.key for one in self._ruleset.inputs_of(rule.cause) if one.kind is InputKind.FIRE_SERVICE}
        return found

    # --- parts ---

    def is_open(self, moment: Moment) -> bool:
        """Whether the group is fully open."""
        return moment.state.positions[self.group] >= Position.OPEN_VENTILATION

    def is_undisturbed(self, before: Moment, pulse: Moment) -> bool:
        """Whether a momentary input did nothing at all to an open group: there is nothing to check."""
        return pulse.state == before.state and self.is_open(before)

    def in_smoke(self, moment: Moment) -> bool:
        """Whether the zone is in alarm or a device is operated that must raise one."""
        return bool(moment.alarms & self._zone_bit or moment.state.signals & self._must)

    def must_be_open(self, moment: Moment) -> bool:
        """In smoke, nothing waiting, no fire service close, not locked out."""
        state = moment.state
        return (
            self.in_smoke(moment)
            and not state.running & self._acting
            and not state.signals & self._says_close
            and not self._machine.is_locked_out(self.group, state.owners)
        )

    # --- checks ---

    def broken_in(self, moment: Moment) -> list[Property]:
        """Properties that a settled moment breaks by itself."""
        state, broken = moment.state, []
        at = state.positions[self.group]
        if at < Position.OPEN_VENTILATION and self.must_be_open(moment):
            broken.append(Property.OPENS_ON_SMOKE)
            pull = self._machine.strongest(self.group, moment.in_force, state.owners)
            # Held shut is what something in force would open; where nothing would, rain is not to blame.
            if pull is not None and pull.bit & self._weather_or_ventilation and moment.in_force & self._opening:
                broken.append(Property.SMOKE_BEFORE_VENTILATION)
        opens, closes = state.signals & self._says_open, state.signals & self._says_close
        if at and not opens and self._has_lockout and self._machine.is_locked_out(self.group, state.owners):
            broken.append(Property.LOCKS_OUT)
        wrong = at < Position.OPEN_VENTILATION if opens else at > Position.SHUT
        if wrong and bool(opens) != bool(closes) and not state.running & self._acting:
            broken.append(Property.FIRE_SERVICE_FIRST)
        return broken

    def broken_by(self, before: Moment, cause: "Happening", after: Moment) -> list[Property]:
        """Properties that a step breaks: what happened, from a settled moment to the next."""
        if after.pulse is None:
            return self._broken_between(before, cause, after)
        pulse = after.pulse
        ends = self._broken_between(pulse, cause, after)
        return [*self._broken_between(before, cause, pulse), *self.broken_in(pulse), *ends]

    def _broken_between(self, before: Moment, cause: "Happening", after: Moment) -> list[Property]:
        if not after.settles:
            return [Property.SETTLES]
        broken = []
        if before.alarms & ~after.alarms & self._zone_bit and cause.subject not in self._alarm_enders:
            broken.append(Property.LATCHES)
        was, now = before.state.positions[self.group], after.state.positions[self.group]
        if was != now and min(was, 2) != min(now, 2):
            broken += self._broken_by_move(before, cause, after)
        return broken

    def _broken_by_move(self, before: Moment, cause: "Happening", after: Moment) -> list[Property]:
        broken = []
        lost = self.is_open(before) and self.must_be_open(after)
        if lost and not self.is_open(after):
            if cause.is_weather_or_ventilation:
                broken.append(Property.SMOKE_BEFORE_VENTILATION)
            faults = self._line_faults & (before.state.signals | after.state.signals)
            if cause.is_line_fault and faults.bit_count() <= 1:
                broken.append(Property.LINE_FAULT_SAFE)
        if cause.zones - {None, self.zone} and self.meant_by(before, after) is None:
            broken.append(Property.OWN_ZONE_ONLY)
        return broken

    def meant_by(self, before: Moment, after: Moment) -> int | None:
        """The rules meant to act beyond their zone that acted on the group in this step (mask); ``None`` when none
        did; 0 is lock-out."""
        acted = after.changed_since(before) & self._meant
        locked = self._machine.is_locked_out
        if acted:
            return acted
        changed = locked(self.group, before.state.owners) != locked(self.group, after.state.owners)
        return 0 if changed else None


class Happening:
    """What an event is, as far as the properties ask."""

    __slots__ = ("action", "is_line_fault", "is_weather_or_ventilation", "subject", "zones")

    def __init__(self, ruleset: RuleSet, subject: str, action: Action):
        self.subject, self.action = subject, action
        if action is Action.ELAPSED:
            rule = next(one for one in ruleset.rules if one.key == subject)
            inputs = ruleset.inputs_of(rule.cause)
        else:
            rule, inputs = None, tuple(one for one in ruleset.inputs if one.key == subject)
        kinds = {one.kind for one in inputs}
        self.is_weather_or_ventilation = bool(kinds) and kinds <= WEATHER_OR_VENTILATION
        self.is_line_fault = kinds == {InputKind.LINE_FAULT}
        self.zones = frozenset(one.zone for one in inputs)
