"""The properties of one group as tests on a machine's moments, and on its steps from one to the next."""

from zones.engineering.cause_and_effect.machine import Machine
from zones.engineering.cause_and_effect.moments import (
    WEATHER_OR_VENTILATION,
    Moment,
    Position,
    is_alarm_rule,
    is_ventilation_rule,
)
from zones.engineering.cause_and_effect.properties import (
    Need,
    Property,
    is_lamp_of,
    is_meant_elsewhere,
    is_read_in,
    must_raise_alarm,
    opens_for_ventilation,
    zones_acted_in,
    zones_behind,
)
from zones.engineering.cause_and_effect.rules import (
    ALARMS,
    WEATHER,
    Action,
    CauseKind,
    Effect,
    InputKind,
    Rule,
    RuleSet,
)


class GroupCheck:
    """The properties that are judged by states, of one group."""

    def __init__(self, machine: Machine, group: str, most_delay_s: float | None = None):
        """`most_delay_s`: how long a delay may hold back the group's opening on smoke; ``None``: not asked."""
        ruleset = self._ruleset = machine.ruleset
        self._machine = machine
        self.group = machine.group_number[group]
        record = ruleset.groups[self.group]
        self.zone = record.zone
        self._zone_bit = machine.group_zone_bits[self.group]
        bits = machine.signal_bit
        must = must_raise_alarm(ruleset, self.zone)
        self._must = sum(bits[key, Action.ON] for key in must)
        self._call_points = self._bits_of(lambda one: one.kind is InputKind.CALL_POINT and one.key in must)
        self._acting = self._opening = self._meant = self._weather_or_ventilation = 0
        for k, rule in enumerate(ruleset.rules):
            acts = record in ruleset.groups_of(rule.target) and rule.effect.moves
            self._acting |= acts << k
            self._opening |= (acts and rule.effect is Effect.OPEN and not is_ventilation_rule(ruleset, rule)) << k
            self._meant |= (acts and is_meant_elsewhere(rule)) << k
            self._weather_or_ventilation |= is_ventilation_rule(ruleset, rule, WEATHER_OR_VENTILATION) << k
        self._number_delays(record, most_delay_s)
        self._number_lamps_and_latches()
        self._number_comfort(record)
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
        has = {
            Need.ALARM: has_alarm,
            Need.LOCK_OUT: self._has_lockout,
            Need.FIRE_SERVICE: bool(controls),
            Need.CALL_POINT: bool(self._call_points),
            Need.WEATHER: bool(self._weather),
            Need.MAINS: bool(self._mains),
        }
        self.not_applicable = frozenset(one for one in Property if not has.get(one.need, True))

    def _bits_of(self, wanted) -> int:
        """The signals of the inputs that are wanted, when operated."""
        return sum(self._machine.signal_bit[one.key, Action.ON] for one in self._ruleset.inputs if wanted(one))

    def _number_delays(self, record, most_delay_s: float | None):
        self._is_timed, self._opens_on_alarm, self._in_time = most_delay_s is not None, 0, 0
        for k, rule in enumerate(self._ruleset.rules):
            if is_alarm_rule(self._ruleset, rule) and record in self._ruleset.groups_of(rule.target):
                self._opens_on_alarm |= 1 << k
                self._in_time |= (self._is_timed and 0 < rule.delay_s <= most_delay_s) << k

    def _number_lamps_and_latches(self):
        self._lamps = self._strange_lamps = self._latches = 0
        for k, rule in enumerate(self._ruleset.rules):
            is_lamp = is_lamp_of(rule, self.zone)
            self._lamps |= is_lamp << k
            self._strange_lamps |= (is_lamp and not self._is_of_alarm_devices(rule)) << k
            # A position contact goes on saying "open" after a reset: that is not a latch.
            self._latches |= (rule.is_latching and rule.cause.kind is not CauseKind.GROUP_OPEN) << k
        self._latches &= self._acting
        self._resets = tuple(one.key for one in self._ruleset.inputs if one.kind is InputKind.RESET)

    def _is_of_alarm_devices(self, rule: Rule) -> bool:
        inputs = self._ruleset.inputs_of(rule.cause)
        return bool(inputs) and all(one.kind in ALARMS and is_read_in(self.zone, one) for one in inputs)

    def _number_comfort(self, record):
        """What must keep a group shut that may be opened for ventilation; nothing, where it never is."""
        ruleset = self._ruleset
        opened = any(
            opens_for_ventilation(ruleset, one) and record in ruleset.groups_of(one.target) for one in ruleset.rules
        )
        self._weather = opened * self._bits_of(lambda one: one.kind in WEATHER and is_read_in(self.zone, one))
        self._mains = opened * self._bits_of(
            lambda one: one.kind is InputKind.MAINS_FAULT and is_read_in(self.zone, one)
        )

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
        return self.in_smoke(moment) and not moment.state.running & self._acting and self._is_free(moment)

    def _is_free(self, moment: Moment) -> bool:
        """No fire service close, not locked out."""
        state = moment.state
        return not state.signals & self._says_close and not self._machine.is_locked_out(self.group, state.owners)

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
        waits = state.signals & self._call_points and state.running & self._acting
        if waits and at < Position.OPEN_VENTILATION and self._is_free(moment):
            broken.append(Property.CALL_POINT_AT_ONCE)
        if self._is_timed and at < Position.OPEN_VENTILATION and self._is_late(moment):
            broken.append(Property.OPENS_IN_TIME)
        lit, in_alarm = moment.in_force & self._lamps, moment.alarms & self._zone_bit
        if (in_alarm and not lit) or (not in_alarm and lit & self._strange_lamps):
            broken.append(Property.ALARM_SHOWN)
        if state.signals & self._weather and self._is_open_for_comfort(moment):
            broken.append(Property.WEATHER_CLOSES)
        return broken

    def _is_late(self, moment: Moment) -> bool:
        """In smoke and free to open, and no opening will follow in time, or one is in force in vain.

        No device can then wait longer than the longest delay that is in time: what it causes alone, it causes in every
        state, as causes only add up; so that opening waits from then on at the latest, and when it is in force,
        the group is open.
        """
        if not self.in_smoke(moment) or not self._is_free(moment):
            return False
        return not moment.state.running & self._in_time or bool(moment.in_force & self._opens_on_alarm)

    def _is_open_for_comfort(self, moment: Moment) -> bool:
        """Not in smoke, not shut nor opened for smoke, and nothing but weather or ventilation decides over it."""
        if not Position.SHUT < moment.state.positions[self.group] < Position.OPEN or self.in_smoke(moment):
            return False
        pull = self._machine.strongest(self.group, moment.in_force, moment.state.owners)
        return pull is None or bool(pull.bit & self._weather_or_ventilation)

    def broken_at_rest(self, moment: Moment) -> list[Property]:
        """Properties that a settled moment breaks in which nothing is operated any more."""
        state, machine = moment.state, self._machine
        if state.signals or not (moment.alarms & self._zone_bit or (state.held | state.running) & self._latches):
            return []
        for key in self._resets:
            moment = machine.press(moment.state, key, Action.PRESS)
            if not moment.settles:
                return []
        left = (moment.state.held | moment.state.running) & self._latches
        return [Property.CAN_BE_RESET] if moment.alarms & self._zone_bit or left else []

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
        if was < Position.OPEN_VENTILATION == now and after.state.signals & self._mains:
            broken.append(Property.NO_VENTILATION_WITHOUT_MAINS)
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
