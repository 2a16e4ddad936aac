"""The properties of `properties` as Promela conditions, written from their wording."""

from zones.engineering.cause_and_effect import CauseKind, Effect, InputKind, Target
from zones.engineering.cause_and_effect.properties import Property

FIRE = (InputKind.CALL_POINT, InputKind.DETECTOR, InputKind.FIRE_ALARM)
VENTILATION = (InputKind.VENTILATION_SWITCH, InputKind.VENTILATION_CONTROL)
MOST_DELAY_S = 60  # what is asked in these tests
MOMENTARY = (*VENTILATION, InputKind.RESET)
SOFT = (*VENTILATION, InputKind.RAIN, InputKind.WIND)


def any_of(parts):
    return "(" + (" || ".join(parts) or "0") + ")"


class Checks:
    """Statements that print a number once when a property is broken; `meanings` says what each number means."""

    def __init__(self, model):
        self.model, self.meanings = model, []

    def check(self, group, wanted, when):
        self.meanings.append((group.key if group else "", wanted))
        k = len(self.meanings) - 1
        return f'if :: {when} -> c_code {{ if (!seen[{k}]) {{ seen[{k}] = 1; printf("SEEN {k}\\n"); }} }} :: else fi;'

    def facts(self, group):
        """(in smoke, nothing waits, fire service says open, says close) as expressions."""
        counted = {
            one.key
            for rule in self.model.set.rules
            if rule.cause.needed > 1 and self.model.is_alarm(rule) and group.zone in self.model.zones_of(rule)
            for one in self.model.devices(rule)
        }
        must = [
            f"{self.model.number[one.key]} == 1"
            for one in self.model.set.inputs
            if one.zone == group.zone
            and one.kind in FIRE
            and (one.kind is not InputKind.DETECTOR or one.key not in counted)
        ]
        smoke = any_of([f"al{self.model.number['zone', group.zone]}", *must])
        rules = [(k, one) for k, one in enumerate(self.model.set.rules) if self.model.acts(one, group)]
        waits = any_of(f"st{k} == 1" for k, one in rules if one.delay_s)
        controls = {
            one.key for one in self.model.set.inputs if one.kind is InputKind.FIRE_SERVICE and one.zone == group.zone
        }
        controls |= {
            one.key for _, rule in rules for one in self.model.devices(rule) if one.kind is InputKind.FIRE_SERVICE
        }
        says = [any_of(f"{self.model.number[key]} == {at}" for key in sorted(controls)) for at in (1, 2)]
        return smoke, f"!{waits}", *says

    def checks_of(self, g, group):
        smoke, quiet, opens, closes = self.facts(group)
        locked, zone = self.model.locked(group), self.model.number["zone", group.zone]
        owed = f"{smoke} && {quiet} && !{closes} && !{locked}"
        soft_rules = [k + 1 for k, one in enumerate(self.model.set.rules) if self.model.only(one, SOFT)]
        opening = [
            f"f{k}"
            for k, one in enumerate(self.model.set.rules)
            if self.model.acts(one, group) and one.effect is Effect.OPEN and not self.model.only(one, VENTILATION)
        ]
        by_soft = f"{any_of(f'by{g} == {k}' for k in soft_rules)} && {any_of(opening)}"
        lost = f"pp{g} >= 2 && pos{g} < 2 && {owed}"
        faults = [self.model.number[one.key] for one in self.model.set.inputs if one.kind is InputKind.LINE_FAULT]
        one_fault = f"({' + '.join(f'({name} || p{name})' for name in faults) or '0'} <= 1)"
        raising = [
            (k, one)
            for k, one in enumerate(self.model.set.rules)
            if self.model.is_alarm(one) and self.model.acts(one, group)
        ]
        waits = [f"st{k} == 1" for k, one in raising if 0 < one.delay_s <= MOST_DELAY_S]
        in_force = [f"f{k}" for k, _ in raising]
        by_hand = f"{self.on([group.zone], [InputKind.CALL_POINT])} && !{closes} && !{locked}"
        moved = f"(pp{g} != pos{g} && !(pp{g} >= 2 && pos{g} >= 2))"
        meant = [
            f"pc{k} != c{k} || pf{k} != f{k}"
            for k, one in enumerate(self.model.set.rules)
            if self.model.acts(one, group) and (one.is_cross_zone or one.cause.kind is not CauseKind.INPUTS)
        ]
        meant.append(f"plock{g} != {locked}")
        return [
            self.check(group, Property.OPENS_ON_SMOKE, f"pos{g} < 2 && {owed}"),
            self.check(group, Property.SMOKE_BEFORE_VENTILATION, f"pos{g} < 2 && {owed} && {by_soft}"),
            self.check(group, Property.SMOKE_BEFORE_VENTILATION, f"{lost} && {self.happened(self.is_soft)}"),
            self.check(
                group, Property.LATCHES, f"pal{zone} && !al{zone} && !{self.happened(self.ends_alarm(group.zone))}"
            ),
            self.check(
                group, Property.OWN_ZONE_ONLY, f"{moved} && {self.happened(self.is_foreign(group))} && !{any_of(meant)}"
            ),
            self.check(group, Property.LINE_FAULT_SAFE, f"{lost} && {one_fault} && {self.happened(self.is_line)}"),
            self.check(group, Property.LOCKS_OUT, f"{locked} && pos{g} != 0 && !{opens}"),
            self.check(group, Property.FIRE_SERVICE_FIRST, f"{opens} && !{closes} && {quiet} && pos{g} < 2"),
            self.check(group, Property.FIRE_SERVICE_FIRST, f"{closes} && !{opens} && {quiet} && pos{g} != 0"),
            self.check(group, Property.CALL_POINT_AT_ONCE, f"{by_hand} && !({quiet}) && pos{g} < 2"),
            self.check(
                *(group, Property.OPENS_IN_TIME),
                f"{smoke} && !{closes} && !{locked} && pos{g} < 2 && (!{any_of(waits)} || {any_of(in_force)})",
            ),
            *self.comfort_checks(g, group, smoke),
            self.lamp_check(group),
            self.reset_check(group),
        ]

    def on(self, zones, kinds):
        near = [one for one in self.model.set.inputs if one.kind in kinds and one.zone in zones]
        return any_of(f"{self.model.number[one.key]} == 1" for one in near)

    def comfort_checks(self, g, group, smoke):
        acting = [(k, one) for k, one in enumerate(self.model.set.rules) if self.model.acts(one, group)]
        if not any(one.effect is Effect.OPEN and self.model.only(one, VENTILATION) for _, one in acting):
            return
        wet = self.on([None, group.zone], [InputKind.RAIN, InputKind.WIND])
        lost = self.on([None, group.zone], [InputKind.MAINS_FAULT])
        hard = any_of(f"by{g} == {k + 1}" for k, one in acting if not self.model.only(one, SOFT))
        yield self.check(group, Property.WEATHER_CLOSES, f"{wet} && !{smoke} && pos{g} != 0 && pos{g} != 3 && !{hard}")
        yield self.check(group, Property.NO_VENTILATION_WITHOUT_MAINS, f"{lost} && pp{g} < 2 && pos{g} == 2")

    def lamp_check(self, group):
        zone = self.model.number["zone", group.zone]
        lamps = [
            (k, one)
            for k, one in enumerate(self.model.set.rules)
            if one.effect is Effect.INDICATE and one.target == Target.whole_zone(group.zone)
        ]
        lit = any_of(f"f{k}" for k, _ in lamps)
        strange = any_of(
            f"f{k}"
            for k, rule in lamps
            if not rule.cause.inputs
            or any(one.kind not in FIRE or one.zone not in (None, group.zone) for one in self.model.devices(rule))
        )
        return self.check(group, Property.ALARM_SHOWN, f"(al{zone} && !{lit}) || (!al{zone} && {strange})")

    def reset_check(self, group):
        """With nothing operated: what no reset lets go, by itself or through the zones whose alarm it follows."""
        resets = {one.zone for one in self.model.set.inputs if one.kind is InputKind.RESET}
        rules = list(enumerate(self.model.set.rules))

        def stays(k, rule, behind):
            kept = rule.is_latching and None not in resets and not set(self.model.zones_of(rule)) <= resets
            by_zone = rule.cause.kind is CauseKind.ZONE_IN_ALARM and rule.cause.zone not in behind
            return any_of([f"st{k} != 0"] * kept + [alarm(rule.cause.zone, behind)] * by_zone)

        def alarm(zone, behind=()):
            raising = [(k, one) for k, one in rules if self.model.is_alarm(one) and zone in self.model.zones_of(one)]
            return any_of(stays(k, one, (*behind, zone)) for k, one in raising)

        latched = [
            stays(k, one, ())
            for k, one in rules
            if one.is_latching and self.model.acts(one, group) and one.cause.kind is not CauseKind.GROUP_OPEN
        ]
        idle = " && ".join(f"{name} == 0" for name in (self.model.number[one.key] for one in self.model.set.inputs))
        momentary = [f"mo_{self.model.number[one.key]}" for one in self.model.set.inputs if one.kind in MOMENTARY]
        at_rest = " && ".join([idle or "1", *(f"{name} == 0" for name in momentary), "let_go"])
        return self.check(group, Property.CAN_BE_RESET, f"{at_rest} && {any_of([alarm(group.zone), *latched])}")

    def happened(self, wanted):
        return any_of(f"ev == {k + 1}" for k, event in enumerate(self.model.events) if wanted(event))

    def sources(self, event):
        return [event[2]] if event[2] else self.model.devices(event[3])

    def is_soft(self, event):
        found = self.sources(event)
        return bool(found) and all(one.kind in SOFT for one in found)

    def is_line(self, event):
        found = self.sources(event)
        return bool(found) and all(one.kind is InputKind.LINE_FAULT for one in found)

    def is_foreign(self, group):
        return lambda event: any(one.zone not in (None, group.zone) for one in self.sources(event))

    def ends_alarm(self, zone):
        behind = {zone}
        for _ in self.model.set.zones:
            for rule in self.model.set.rules:
                if (
                    rule.cause.kind is CauseKind.ZONE_IN_ALARM
                    and self.model.is_alarm(rule)
                    and behind & set(self.model.zones_of(rule))
                ):
                    behind.add(rule.cause.zone)
        return lambda event: event[2] and event[2].kind is InputKind.RESET and event[2].zone in {None, *behind}
