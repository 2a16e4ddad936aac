"""A rule set in Promela, the language of the general model checker spin, and its verdicts.

Translated from the rules as they are worded in `rules` and `machine`, statement by statement and without the
program's own simulation: one variable per input, rule, zone and group, no masks, no reduction. One run of spin's
verifier visits every reachable state and step; a property that is broken anywhere is printed once.
"""

from collections import defaultdict

from tests.zones.engineering.cause_and_effect.promela_checks import FIRE, VENTILATION, Checks, any_of
from zones.engineering.cause_and_effect import Action, AfterReset, CauseKind, Effect, InputKind, TargetKind
from zones.engineering.cause_and_effect.properties import Property

MOMENTARY = {
    InputKind.VENTILATION_SWITCH: ("open", "stop", "close"),
    InputKind.VENTILATION_CONTROL: ("open", "close"),
    InputKind.RESET: ("press",),
}
STRENGTH = (Effect.OPEN, Effect.HOLD, Effect.STOP, Effect.CLOSE, Effect.CLOSE_VENTILATION)  # of one priority
USUAL = {"fire_service_control": 1, "rain": 4, "wind": 4, "ventilation_switch": 5, "reset": 5, "ventilation_control": 6}
MOST_PASSES, MOST_DELAYS_IN_A_ROW = 60, 14
EVERYTHING, BY_HAND, BY_DETECTION = 0, 1, 2  # what may happen in this part of the search


class Model:
    """The Promela text of one rule set; `checks` says what each printed number means."""

    def __init__(self, ruleset):
        self.set = ruleset
        self.inputs = {one.key: one for one in ruleset.inputs}
        self.number = {
            **{one.key: f"i{k}" for k, one in enumerate(ruleset.inputs)},
            **{("rule", one.key): k for k, one in enumerate(ruleset.rules)},
            **{("zone", one.key): k for k, one in enumerate(ruleset.zones)},
            **{("group", one.key): k for k, one in enumerate(ruleset.groups)},
        }
        self.lockouts = sorted({one.lockout_group for one in ruleset.zones} - {""})
        self.events = []  # (guard, statements, input or None, rule or None, action)
        self.checks = Checks(self)
        self._collect_events()

    # --- reading the rules ---

    def devices(self, rule):
        return [self.inputs[key] for key in rule.cause.inputs]

    def zones_of(self, rule):
        if rule.target.kind is TargetKind.ZONE:
            return [rule.target.key]
        return [
            one.zone for one in self.set.groups if rule.target.kind is TargetKind.GROUP and one.key == rule.target.key
        ]

    def hits(self, rule, group):
        if rule.target.kind is TargetKind.ZONE:
            return rule.target.key == group.zone
        return rule.target.kind is TargetKind.GROUP and rule.target.key == group.key

    def acts(self, rule, group):
        return self.hits(rule, group) and rule.effect in STRENGTH

    def is_alarm(self, rule):
        by_device = any(one.kind in FIRE for one in self.devices(rule))
        return rule.effect is Effect.OPEN and (by_device or rule.cause.kind is CauseKind.ZONE_IN_ALARM)

    def springs_back(self, rule):
        devices = self.devices(rule)
        return bool(devices) and not rule.is_latching and all(one.kind in MOMENTARY for one in devices)

    def only(self, rule, kinds):
        devices = self.devices(rule)
        return bool(devices) and all(one.kind in kinds for one in devices)

    def priority(self, rule):
        if rule.priority is not None:
            return rule.priority
        if rule.cause.kind is not CauseKind.INPUTS:
            return 2 if rule.cause.kind is CauseKind.ZONE_IN_ALARM else 5
        return max(2 if one.kind in FIRE else USUAL.get(one.kind.value, 3) for one in self.devices(rule))

    def operated(self, one, action):
        name = self.number[one.key]
        if one.kind in MOMENTARY:
            return f"(mo_{name} == {MOMENTARY[one.kind].index(action.value) + 1})"
        if one.kind is InputKind.FIRE_SERVICE:
            return f"({name} == {1 if action is Action.OPEN else 2})"
        return f"({name} == 1)"

    def cause(self, rule):
        match rule.cause.kind:
            case CauseKind.ZONE_IN_ALARM:
                return f"(al{self.number['zone', rule.cause.zone]} == 1)"
            case CauseKind.GROUP_OPEN:
                return f"(pos{self.number['group', rule.cause.group]} != 0)"
        parts = defaultdict(list)
        for k, one in enumerate(self.devices(rule)):
            parts[one.line if rule.cause.counts_lines else k].append(self.operated(one, rule.cause.action))
        return f"({' + '.join(any_of(some) for some in parts.values())} >= {rule.cause.needed})"

    # --- what can happen ---

    def _collect_events(self):
        for one in self.set.inputs:
            name = self.number[one.key]
            if one.kind in MOMENTARY:
                for k, action in enumerate(MOMENTARY[one.kind], 1):
                    reset = self._reset(one) if one.kind is InputKind.RESET else ""
                    self.events.append(("1", f"mo_{name} = {k};{reset}", one, None, action))
            elif one.kind is InputKind.FIRE_SERVICE:
                for k, action in enumerate(("auto", "open", "close")):
                    self.events.append((f"{name} != {k}", f"{name} = {k};", one, None, action))
            else:
                self.events.append((f"{name} == 0", f"{name} = 1;", one, None, "on"))
                self.events.append((f"{name} == 1", f"{name} = 0;", one, None, "off"))
        for k, rule in enumerate(self.set.rules):
            if rule.delay_s:
                done = f"st{k} = 0; fired{k} = 1;" if self.springs_back(rule) else f"st{k} = 2;"
                self.events.append((f"st{k} == 1", done, None, rule, "elapsed"))

    def _reset(self, one):
        lines = []
        for k, rule in enumerate(self.set.rules):
            own = self.zones_of(rule)
            if rule.target.kind is TargetKind.OUTPUT:
                own = [device.zone for device in self.devices(rule)]
            if rule.is_latching and (one.zone is None or (own and set(own) == {one.zone})):
                lines.append(f" go{k} = 1;")
        for k, group in enumerate(self.set.groups):
            if one.zone in (None, group.zone) and self.set.after_reset is AfterReset.CLOSE:
                lines.append(f" if :: pos{k} == 3 -> shut{k} = 1 :: else fi;")
        return "".join(lines)

    # --- one moment ---

    def caused(self):
        lines = []
        for k, rule in enumerate(self.set.rules):
            kept = [f"(st{k} != 0 && go{k} == 0)"] if rule.is_latching else []
            kept += [f"(st{k} == 1)"] if self.springs_back(rule) else []
            lines.append(f"c{k} = {any_of([self.cause(rule), *kept])};")
        by_zone = any(one.cause.kind is CauseKind.ZONE_IN_ALARM for one in self.set.rules)
        again = [f"c{k} = (c{k} || {self.cause(one)});" for k, one in enumerate(self.set.rules)]
        quiet = [f"al{z} = 0;" for z in range(len(self.set.zones))]
        rounds = len(self.set.zones) + 1 if by_zone else 1
        return [*quiet, *lines, *(self.alarms() + again) * (rounds - 1), *self.alarms()]

    def alarms(self):
        rules = list(enumerate(self.set.rules))
        return [
            f"al{z} = {any_of([f'c{k}' for k, one in rules if self.is_alarm(one) and zone.key in self.zones_of(one)])};"
            for z, zone in enumerate(self.set.zones)
        ]

    def in_force(self):
        return [f"f{k} = {f'(st{k} == 2)' if one.delay_s else f'c{k}'};" for k, one in enumerate(self.set.rules)]

    def states_of_rules(self):
        lines = []
        for k, rule in enumerate(self.set.rules):
            if rule.delay_s:
                lines.append(f"if :: c{k} == 0 -> st{k} = 0 :: c{k} && st{k} == 0 -> st{k} = 1 :: else fi;")
                lines.append(f"f{k} = (st{k} == 2 || fired{k});")
            else:
                lines.append(f"st{k} = {f'2 * c{k}' if rule.is_latching else '0'}; f{k} = c{k};")
        return lines

    def owners(self):
        lines = []
        for n, name in enumerate(self.lockouts):
            members = [z for z, one in enumerate(self.set.zones) if one.lockout_group == name]
            ended = " ".join(f":: own{n} == {z + 1} && al{z} == 0 -> own{n} = 0" for z in members)
            lines.append(f"if {ended} :: else fi;")
            choice = "".join(f"if :: al{z} -> own{n} = {z + 1} :: else -> " for z in members)
            lines.append(f"if :: own{n} == 0 -> {choice}skip {'fi ' * len(members)}:: else fi;")
        return lines

    def locked(self, group):
        zone = next(one for one in self.set.zones if one.key == group.zone)
        if not zone.lockout_group:
            return "0"
        n = self.lockouts.index(zone.lockout_group)
        return f"(own{n} != 0 && own{n} != {self.number['zone', zone.key] + 1})"

    def movement(self, g, group):
        """A chain from the strongest to the weakest; `by` is the rule that decided (+1), 0 for none."""
        ranked = []
        for k, rule in enumerate(self.set.rules):
            if self.acts(rule, group):
                soft = rule.effect is Effect.OPEN and self.only(rule, VENTILATION)
                ranked.append((self.priority(rule), STRENGTH.index(rule.effect) + soft / 2, k, rule, soft))
        ranked.sort(key=lambda one: one[:3])
        blocked = any_of(
            f"f{k}"
            for k, one in enumerate(self.set.rules)
            if one.effect is Effect.BLOCK_VENTILATION and self.hits(one, group)
        )
        steps = [(one[0], self._pull(g, *one[2:], blocked)) for one in ranked]
        steps.append((1.5, f"{self.locked(group)} -> np{g} = 0; by{g} = 0"))
        steps.append((5.5, f"shut{g} && al{self.number['zone', group.zone]} == 0 -> np{g} = 0; by{g} = 0"))
        steps.sort(key=lambda one: one[0])
        chain = "".join(f"if :: {text} :: else -> " for _, text in steps)
        return f"np{g} = pos{g}; by{g} = 0; {chain}skip{' fi' * len(steps)};"

    def _pull(self, g, k, rule, soft, blocked):
        free = f"f{k} && !{blocked}" if soft else f"f{k}"
        at = f"pos{g}"
        goes = {
            Effect.OPEN: "2" if soft else "3",
            Effect.CLOSE: "0",
            Effect.HOLD: at,
            Effect.STOP: f"({at} >= 2 -> 1 : {at})",
            Effect.CLOSE_VENTILATION: f"({at} == 3 -> 3 : 0)",
        }[rule.effect]
        return f"{free} -> np{g} = {goes}; by{g} = {k + 1}"

    # --- the text ---

    def text(self):
        groups, rules = list(enumerate(self.set.groups)), range(len(self.set.rules))
        names = [self.number[one.key] for one in self.set.inputs]
        kept = [*names, *(f"st{k}" for k in rules), *(f"pos{g}" for g, _ in groups)]
        kept += [f"own{n}" for n in range(len(self.lockouts))]
        passing = [f"{prefix}{k}" for prefix in ("c", "f", "go", "fired", "pc", "pf") for k in rules]
        passing += [f"{prefix}{g}" for prefix in ("np", "by", "pp", "shut", "plock") for g, _ in groups]
        passing += [f"{prefix}{z}" for prefix in ("al", "pal") for z in range(len(self.set.zones))]
        passing += [f"p{name}" for name in names] + [f"pst{k}" for k in rules]
        passing += [f"pown{n}" for n in range(len(self.lockouts))]
        passing += [f"mo_{self.number[one.key]}" for one in self.set.inputs if one.kind in MOMENTARY]
        clear = [f"{name} = 0;" for name in (*passing, "passes", "let_go", "before", "ev")]
        choices, happening = [], []
        for k, event in enumerate(self.events, 1):
            choices.append(f":: ({event[0]}) && {self._allowed(event)} -> ev = {k}")
            count = "ticks++;" if event[3] else "ticks = 0;"
            happening.append(f":: ev == {k} -> {event[1]} {count if self._counts_delays() else ''}")
        start = self._block(self._moment())
        step = self._block(
            [*self.caused(), *self.in_force(), *self._remember(), f"if {' '.join(happening)} fi;", *self._moment()]
        )
        return "\n".join(
            [
                "c_decl { static char seen[4096]; }",
                *(f"byte {name};" for name in (*kept, "mode", "ticks", "ev")),
                *(f"byte {name};" for name in (*passing, "passes", "let_go", "before")),
                "active proctype panel() {",
                "atomic { if :: mode = 0 :: mode = 1 :: mode = 2 fi; d_step {" + start + " ".join(clear) + "} }",
                "do :: atomic { if " + "\n ".join(choices) + " fi; d_step {" + step + " ".join(clear) + "} }",
                "od }",
            ]
        )

    def _remember(self):
        """What the checks compare with: the moment before."""
        note = [f"pp{g} = pos{g}; plock{g} = {self.locked(group)};" for g, group in enumerate(self.set.groups)]
        note += [f"pc{k} = c{k}; pf{k} = f{k};" for k in range(len(self.set.rules))]
        note += [f"pal{z} = al{z};" for z in range(len(self.set.zones))]
        return note + [f"p{name} = {name};" for name in (self.number[one.key] for one in self.set.inputs)]

    def _block(self, lines):
        return "\n".join(lines) + "\n"

    def _counts_delays(self):
        contact = any(one.cause.kind is CauseKind.GROUP_OPEN for one in self.set.rules)
        return contact and any(one.delay_s for one in self.set.rules)

    def _allowed(self, event):
        if event[3]:
            return "mode <= 2"
        modes = [EVERYTHING]
        if event[4] == "on":
            modes += [BY_HAND] if event[2].kind is InputKind.CALL_POINT else []
            modes += [BY_DETECTION] if event[2].kind in (InputKind.DETECTOR, InputKind.FIRE_ALARM) else []
        return any_of(f"mode == {one}" for one in modes)

    def _settle(self):
        """All rules read one moment, all groups move at once, until nothing changes any more."""
        groups, rules = range(len(self.set.groups)), range(len(self.set.rules))
        owners = range(len(self.lockouts))
        was = [f"before = before + (pos{g} != np{g});" for g in groups]
        remember = [f"pst{k} = st{k};" for k in rules] + [f"pown{n} = own{n};" for n in owners]
        differs = [f"(pst{k} != st{k})" for k in rules] + [f"(pown{n} != own{n})" for n in owners]
        one_pass = [
            *remember,
            *self.caused(),
            *self.states_of_rules(),
            *self.owners(),
            *(self.movement(g, group) for g, group in enumerate(self.set.groups)),
            "before = 0;",
            *was,
            f"before = before + {' + '.join(differs) or '0'};",
            *(f"pos{g} = np{g};" for g in groups),
            *(f"go{k} = 0;" for k in rules),
            "passes++;",
        ]
        body = "\n".join(one_pass)
        return [
            f"do :: {body} if :: before == 0 -> break :: passes >= {MOST_PASSES} -> break :: else fi od; passes = 0;"
        ]

    def _moment(self):
        """Settle and judge; then let momentary inputs go, and settle and judge again."""
        let_go = [f"mo_{self.number[one.key]} = 0;" for one in self.set.inputs if one.kind in MOMENTARY]
        let_go += [f"fired{k} = 0;" for k in range(len(self.set.rules))]
        let_go += [f"shut{g} = 0;" for g in range(len(self.set.groups))]
        both = " ".join([*self._settle(), *self._judge()])
        again = " ".join([*self._remember(), *let_go])
        return [f"do :: {both} if :: let_go || mode == 3 -> break :: else -> let_go = 1; {again} fi od;"]

    def _judge(self):
        never = [self.checks.check(None, Property.SETTLES, f"before != 0 || ticks >= {MOST_DELAYS_IN_A_ROW}")]
        everything = [line for g, group in enumerate(self.set.groups) for line in self.checks.checks_of(g, group)]
        opened = [
            self.checks.check(group, wanted, f"mode == {mode} && pos{g} >= 2")
            for g, group in enumerate(self.set.groups)
            for mode, wanted in ((BY_HAND, Property.MANUAL_TRIGGER), (BY_DETECTION, Property.AUTOMATIC_TRIGGER))
        ]
        # What does not settle has no state to go on from.
        stop = "mode = 3; ticks = 0;"
        return [
            *never,
            f"if :: before == 0 && mode == 0 -> {' '.join(everything)} :: before == 0 -> {' '.join(opened)} skip",
            f":: else -> {stop} fi;",
            f"if :: ticks >= {MOST_DELAYS_IN_A_ROW} -> {stop} :: else fi;",
        ]
