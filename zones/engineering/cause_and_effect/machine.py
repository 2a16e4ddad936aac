"""The rules compiled to bits: one event in, the next settled state out. Simulation and proof share it.

One moment is settled so:

1. the event changes the inputs. A momentary input is operated, all that follows is done, and it is let go, whereupon
   all that follows is done again: what is still in force at the same priority or above takes the vent back;
2. a rule is *caused* when its inputs or its position contact say so, when it latched earlier (a reset lets go the
   latched rules of its scope first), or when it waits for its zone and that zone is in alarm. A zone is in alarm
   when a rule is caused that opens vents there on a call point, detector, fire alarm interface or another zone's
   alarm; its delay holds back the vents, not the alarm. The least such set is taken, so no two alarms keep each
   other up;
3. a caused rule is *in force* when it has no delay or its delay has elapsed;
4. in each lock-out group the first zone in alarm stays the owner until its alarm ends; of several at one moment,
   and of those left over when the owner's ends, the first in the set's order;
5. every group follows the strongest rule in force. Lock-out stands between priority 1 and all others and shuts.
   At equal priority: open, hold, stop, close. All groups move at the same moment, in no time;
6. where a position contact is a cause, 2 to 5 are repeated until nothing changes. If a picture comes back that was
   there before, the rules *oscillate*.

Travel takes no time, so "stop" leaves an open group part-way, the worst case. Lost mains and battery together, when
nothing moves at all, are not modelled.
"""

from zones.engineering.cause_and_effect.moments import (
    LOCKED_OUT,
    NO_ONE,
    Moment,
    Position,
    Pull,
    State,
    is_alarm_rule,
    is_ventilation_rule,
)
from zones.engineering.cause_and_effect.rules import (
    MOMENTARY,
    Action,
    AfterReset,
    Cause,
    CauseKind,
    Effect,
    InputKind,
    Rule,
    RuleSet,
    TargetKind,
    cause_actions_of,
)

AFTER_RESET_PRIORITY = 5
_MOST_REMEMBERED = 200_000
_RANK = {
    effect: rank for rank, effect in enumerate((Effect.HOLD, Effect.STOP, Effect.CLOSE, Effect.CLOSE_VENTILATION), 2)
}


class Machine:
    """One rule set, compiled. The set must be sound (`validation.structural_faults` empty).

    `still`: keys of groups that nothing moves, the last ones; a reduction lets rules act there that matter for their
    alarm only.
    """

    def __init__(self, ruleset: RuleSet, still: frozenset[str] = frozenset()):
        self.ruleset, self._still = ruleset, still
        self._moving = len(ruleset.groups) - len(still)
        self._remembered: dict[tuple, tuple[int, int, int, int, int]] = {}
        self.zone_number = {one.key: k for k, one in enumerate(ruleset.zones)}
        self.group_number = {one.key: k for k, one in enumerate(ruleset.groups)}
        self.rule_number = {one.key: k for k, one in enumerate(ruleset.rules)}
        self.input_of = {one.key: one for one in ruleset.inputs}
        self._number_signals()
        self._compile_causes()
        self._compile_rules()
        self._compile_lockouts()
        self.group_zone_bits = tuple(1 << self.zone_number[one.zone] for one in ruleset.groups)
        self._group_pulls = tuple(self._pulls(k) for k in range(len(ruleset.groups)))

    # --- compiling ---

    def _number_signals(self):
        self.signal_bit = {}
        for one in self.ruleset.inputs:
            for action in cause_actions_of(one.kind):
                self.signal_bit[one.key, action] = 1 << len(self.signal_bit)
        self.selector_mask = {
            one.key: self.signal_bit[one.key, Action.OPEN] | self.signal_bit[one.key, Action.CLOSE]
            for one in self.ruleset.inputs
            if one.kind is InputKind.FIRE_SERVICE
        }

    def _compile_causes(self):
        """Causes by what it takes to test them; most are "any of these", one mask each."""
        self._any, self._count, self._lines, self._by_zone, self._by_contact = [], [], [], [], []
        for k, rule in enumerate(self.ruleset.rules):
            bit, cause = 1 << k, rule.cause
            match cause.kind:
                case CauseKind.ZONE_IN_ALARM:
                    self._by_zone.append((bit, 1 << self.zone_number[cause.zone]))
                case CauseKind.GROUP_OPEN:
                    self._by_contact.append((bit, self.group_number[cause.group]))
                case CauseKind.INPUTS:
                    self._compile_inputs(bit, cause)

    def _compile_inputs(self, bit: int, cause: Cause):
        mask = sum(self.signal_bit[key, cause.action] for key in cause.inputs)
        if cause.needed == 1:
            self._any.append((bit, mask))
        elif not cause.counts_lines:
            self._count.append((bit, mask, cause.needed))
        else:
            lines = {}
            for key in cause.inputs:
                line = self.input_of[key].line
                lines[line] = lines.get(line, 0) | self.signal_bit[key, cause.action]
            self._lines.append((bit, tuple(lines.values()), cause.needed))

    def _compile_rules(self):
        ruleset = self.ruleset
        self.latching = self.delayed = self._momentary = 0
        self._alarm_zones = []  # (rule's bit, bits of the zones it puts into alarm)
        for k, rule in enumerate(ruleset.rules):
            bit = 1 << k
            self.latching |= bit * rule.is_latching
            self.delayed |= bit * (rule.delay_s > 0)
            inputs = ruleset.inputs_of(rule.cause)
            self._momentary |= bit * (bool(inputs) and all(one.kind in MOMENTARY for one in inputs))
            if is_alarm_rule(ruleset, rule):
                zones = {one.zone for one in ruleset.groups_of(rule.target)}
                if rule.target.kind is TargetKind.ZONE:
                    zones.add(rule.target.key)
                self._alarm_zones.append((bit, sum(1 << self.zone_number[key] for key in zones)))
        self._momentary &= ~self.latching
        self.reset_scope = {
            one.key: self._scope_of_reset(one.zone) for one in ruleset.inputs if one.kind is InputKind.RESET
        }

    def _scope_of_reset(self, zone: str | None) -> tuple[int, int]:
        """The latching rules that a reset lets go, and the zones it is for, as masks."""
        if zone is None:
            return self.latching, (1 << len(self.ruleset.zones)) - 1
        rules = 0
        for k, rule in enumerate(self.ruleset.rules):
            if rule.is_latching and self._zones_acted_in(rule) == {zone}:
                rules |= 1 << k
        return rules, 1 << self.zone_number[zone]

    def _zones_acted_in(self, rule: Rule) -> set[str | None]:
        """The zone of the target; of an output, the zones of the cause."""
        match rule.target.kind:
            case TargetKind.ZONE:
                return {rule.target.key}
            case TargetKind.GROUP:
                return {one.zone for one in self.ruleset.groups_of(rule.target)}
        match rule.cause.kind:
            case CauseKind.ZONE_IN_ALARM:
                return {rule.cause.zone}
            case CauseKind.GROUP_OPEN:
                return {one.zone for one in self.ruleset.groups if one.key == rule.cause.group}
        return {one.zone for one in self.ruleset.inputs_of(rule.cause)}

    def _compile_lockouts(self):
        names = dict.fromkeys(one.lockout_group for one in self.ruleset.zones if one.lockout_group)
        self.lockout_number = {name: k for k, name in enumerate(names)}
        self._lockout_zones = tuple(
            tuple(k for k, zone in enumerate(self.ruleset.zones) if zone.lockout_group == name) for name in names
        )
        self._lockout_of_group = tuple(
            self.lockout_number.get(self.ruleset.zones[self.zone_number[one.zone]].lockout_group, NO_ONE)
            for one in self.ruleset.groups
        )

    def _pulls(self, group: int) -> tuple[tuple[Pull, ...], tuple[Pull, ...], int]:
        """What may move a group, strongest first: above lock-out, below it; and the mask of its ventilation blocks."""
        ruleset, ranked, blocks = self.ruleset, [], 0
        record = ruleset.groups[group]
        if record.key in self._still:
            return (), (), 0
        for k, rule in enumerate(ruleset.rules):
            if record.key != rule.target.key and record.zone != rule.target.key:
                continue
            if record not in ruleset.groups_of(rule.target):
                continue
            if rule.effect is Effect.BLOCK_VENTILATION:
                blocks |= 1 << k
            elif rule.effect.moves:
                ventilation = is_ventilation_rule(ruleset, rule)
                rank = int(ventilation) if rule.effect is Effect.OPEN else _RANK[rule.effect]
                ranked.append((ruleset.priority_of(rule), rank, k, Pull(1 << k, rule.effect, ventilation)))
        if ruleset.after_reset is AfterReset.CLOSE:
            number = len(ruleset.rules) + group
            ranked.append((AFTER_RESET_PRIORITY, len(Effect), number, Pull(1 << number, Effect.CLOSE, False)))
        ranked.sort(key=lambda one: one[:3])
        above = tuple(one[3] for one in ranked if one[0] == 1)
        return above, tuple(one[3] for one in ranked[len(above) :]), blocks

    # --- running ---

    def initial(self) -> Moment:
        """Nothing operated, everything shut, fire service control at automatic; position contacts settled."""
        state = State(0, 0, 0, (0,) * len(self.ruleset.groups), (NO_ONE,) * len(self._lockout_zones))
        return self.settle(state)

    def moment_of(self, state: State) -> Moment:
        """What is derived from a settled state."""
        caused, alarms = self._caused(state.signals, state.running, state.held, state.positions, 0)
        return Moment(state, caused, (caused & ~self.delayed) | (state.held & self.delayed), alarms)

    def press(self, state: State, key: str, action: Action) -> Moment:
        """The moment after something happened to an input."""
        bit = self.signal_bit.get((key, action), 0)
        if key in self.reset_scope:
            rules, zones = self.reset_scope[key]
            return self.settle(state, bit, let_go=rules, reset_zones=zones)
        if key in self.selector_mask:
            return self.settle(state._replace(signals=state.signals & ~self.selector_mask[key] | bit))
        if action is Action.ON:
            return self.settle(state._replace(signals=state.signals | bit))
        if action is Action.OFF:
            return self.settle(state._replace(signals=state.signals & ~self.signal_bit[key, Action.ON]))
        return self.settle(state, bit)

    def elapse(self, state: State, rule: int) -> Moment:
        """The moment after the delay of a rule elapsed, which must run."""
        bit = 1 << rule
        if bit & self._momentary:
            return self.settle(state._replace(running=state.running & ~bit), fired=bit)
        return self.settle(state._replace(running=state.running & ~bit, held=state.held | bit))

    def _caused(self, signals, running, held, positions, let_go) -> tuple[int, int]:
        caused = ((running | held) & self.latching & ~let_go) | (running & self._momentary)
        for bit, mask in self._any:
            if signals & mask:
                caused |= bit
        for bit, mask, needed in self._count:
            if (signals & mask).bit_count() >= needed:
                caused |= bit
        for bit, masks, needed in self._lines:
            if sum(1 for mask in masks if signals & mask) >= needed:
                caused |= bit
        for bit, group in self._by_contact:
            if positions[group]:
                caused |= bit
        return self._with_zones(caused)

    def _with_zones(self, caused) -> tuple[int, int]:
        """Caused with what the zones in alarm cause in turn, and those zones."""
        while True:
            alarms = 0
            for bit, zones in self._alarm_zones:
                if caused & bit:
                    alarms |= zones
            more = caused
            for bit, zone in self._by_zone:
                if alarms & zone:
                    more |= bit
            if more == caused:
                return caused, alarms
            caused = more

    def settle(self, state: State, momentary=0, *, fired=0, let_go=0, reset_zones=0, known=None) -> Moment:
        """The moment that follows, with these momentary signals, fired rules, rules let go and zones reset.

        `known`: moments of settled states by their state, where the caller has some.
        """
        moment = self._settle(state, momentary, fired, let_go, reset_zones)
        if not (momentary or fired) or not moment.settles:
            return moment
        after = known.get(moment.state) if known else None
        after = after or self._settle(moment.state, 0, 0, 0, 0)
        return Moment(*after[:4], after.settles, moment)

    def _settle(self, state: State, momentary: int, fired: int, let_go: int, reset_zones: int) -> Moment:
        signals, running, held, positions, owners = state
        was_open = self._open_in(positions, reset_zones) if reset_zones else 0
        seen = set()
        while True:
            caused, alarms, now_running, now_held, in_force = self._logic(
                signals | momentary, running, held, positions, let_go
            )
            in_force |= fired
            now_owners = self._owners(owners, alarms) if owners else owners
            pull = in_force | self._close_after_reset(was_open, alarms) if was_open else in_force
            now = self._moved_all(positions, pull, now_owners)
            after = State(signals, now_running, now_held, now, now_owners)
            # Without position contacts nothing feeds back: the first pass is the last.
            if not self._by_contact or (now, now_running, now_held, now_owners) == (positions, running, held, owners):
                return Moment(after, caused, in_force, alarms)
            if after in seen:
                return Moment(after, caused, in_force, alarms, settles=False)
            seen.add(after)
            running, held, positions, owners, let_go = now_running, now_held, now, now_owners, 0

    def _logic(self, signals, running, held, positions, let_go) -> tuple[int, int, int, int, int]:
        """Caused, in alarm, then running, held and in force. Remembered: positions matter for contacts only."""
        key = (signals, running, held, let_go, positions if self._by_contact else 0)
        found = self._remembered.get(key)
        if found is None:
            delayed = self.delayed
            caused, alarms = self._caused(signals, running, held, positions, let_go)
            now_held = (caused & self.latching & ~delayed) | (held & caused & delayed)
            in_force = (caused & ~delayed) | (now_held & delayed)
            found = caused, alarms, caused & delayed & ~now_held, now_held, in_force
            if len(self._remembered) > _MOST_REMEMBERED:
                self._remembered.clear()
            self._remembered[key] = found
        return found

    def _owners(self, owners, alarms) -> tuple[int, ...]:
        for owner, zones in zip(owners, self._lockout_zones, strict=True):
            if owner < 0 and not any(alarms >> k & 1 for k in zones):
                continue
            if owner < 0 or not alarms >> owner & 1:
                break
        else:
            return owners
        return tuple(
            owner if owner >= 0 and alarms >> owner & 1 else next((k for k in zones if alarms >> k & 1), NO_ONE)
            for owner, zones in zip(owners, self._lockout_zones, strict=True)
        )

    def _moved_all(self, positions: tuple[int, ...], pull: int, owners: tuple[int, ...]) -> tuple[int, ...]:
        if self._moving == 1:
            now = self._moved(0, positions[0], pull, owners)
            return positions if now == positions[0] else (now, *positions[1:])
        moved = tuple(self._moved(k, positions[k], pull, owners) for k in range(self._moving))
        return moved + positions[self._moving :]

    def _open_in(self, positions: tuple[int, ...], zones: int) -> int:
        return sum(
            1 << k for k, zone in enumerate(self.group_zone_bits) if zones & zone and positions[k] == Position.OPEN
        )

    def _close_after_reset(self, was_open: int, alarms: int) -> int:
        shut = sum(1 << k for k, zone in enumerate(self.group_zone_bits) if was_open >> k & 1 and not alarms & zone)
        return shut << len(self.ruleset.rules)

    def is_locked_out(self, group: int, owners: tuple[int, ...]) -> bool:
        """Whether another zone of its lock-out group was in alarm first."""
        lockout = self._lockout_of_group[group]
        if lockout < 0 or owners[lockout] < 0:
            return False
        return not self.group_zone_bits[group] >> owners[lockout] & 1

    def strongest(self, group: int, in_force: int, owners: tuple[int, ...]) -> Pull | None:
        """What decides over a group; a `Pull` of bit 0 is the lock-out, ``None`` nothing: it stays."""
        above, below, blocks = self._group_pulls[group]
        for pull in above:
            if in_force & pull.bit and not (pull.is_ventilation and pull.effect is Effect.OPEN and in_force & blocks):
                return pull
        if self._lockout_of_group[group] >= 0 and self.is_locked_out(group, owners):
            return LOCKED_OUT
        for pull in below:
            if in_force & pull.bit and not (pull.is_ventilation and pull.effect is Effect.OPEN and in_force & blocks):
                return pull
        return None

    def _moved(self, group: int, at: int, in_force: int, owners: tuple[int, ...]) -> int:
        pull = self.strongest(group, in_force, owners)
        if pull is None or pull.effect is Effect.HOLD:
            return at
        if pull.effect is Effect.OPEN:
            return int(Position.OPEN_VENTILATION if pull.is_ventilation else Position.OPEN)
        if pull.effect is Effect.CLOSE:
            return 0
        if pull.effect is Effect.STOP:
            return int(Position.PART_WAY) if at >= Position.OPEN_VENTILATION else at
        return 0 if at <= Position.OPEN_VENTILATION else at  # only what was opened for ventilation
