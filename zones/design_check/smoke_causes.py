"""What opens actuators on smoke, by the cause and effect of a panel: read where an inlet must open with its outlets."""

from collections import defaultdict

from zones.engineering.cause_and_effect.rules import InputKind
from zones.engineering.inlet_opening import OpeningCause
from zones.models import CauseAndEffectRule, Vent
from zones.models.kinds import facts_of

INLET, BY_ACTUATOR = Vent.Purpose.INLET.value, Vent.OpenedBy.ACTUATOR.value
Cause, Effect = CauseAndEffectRule.Cause, CauseAndEffectRule.Effect
OPENING = (CauseAndEffectRule.Action.ON, CauseAndEffectRule.Action.OPEN)  # what a fire service control says, too
OF_SMOKE = (InputKind.CALL_POINT, InputKind.DETECTOR, InputKind.FIRE_ALARM, InputKind.FIRE_SERVICE)


def add_causes(records):
    """Give each panel with an inlet that an actuator opens its `causes`; one query where there is such an inlet."""
    asking = [one for one in records if any(is_driven_inlet(vent) for vent in one.vents)]
    if not asking:
        return
    rules = defaultdict(list)
    found = CauseAndEffectRule.objects.filter(panel__in=[one.panel.pk for one in asking]).order_by("pk")
    for rule in found.select_related("position", "coincidence", "cause_zone"):
        rules[rule.panel_id].append(rule)
    for one in asking:
        if rules[one.panel.pk]:
            one.causes = _causes_of(one, [rule for rule in rules[one.panel.pk] if rule.effect == Effect.OPEN])


def is_driven_inlet(vent):
    """Whether an actuator opens this vent to let air in."""
    return vent.purpose == INLET and vent.opened_by == BY_ACTUATOR


def _causes_of(records, rules):
    """A cause for each device, coincidence or zone in alarm; a device opens what an alarm of its zone opens, too."""
    opens, names, zones = defaultdict(dict), {}, {}
    for rule in rules:
        if not _is_of_smoke(rule):
            continue
        key = (rule.cause, rule.action, rule.position_id, rule.coincidence_id, rule.cause_zone_id)
        names[key], zones[key] = rule.cause_words, rule.position and rule.position.smoke_zone_id
        for tag in _tags(records, rule):
            opens[key][tag] = min(rule.delay_s, opens[key].get(tag, rule.delay_s))
    by_alarm = {key[-1]: tags for key, tags in opens.items() if key[0] == Cause.ZONE_IN_ALARM}
    return tuple(OpeningCause(names[key], {**by_alarm.get(zones[key], {}), **tags}) for key, tags in opens.items())


def _is_of_smoke(rule):
    if rule.cause == Cause.DEVICE:
        return rule.action in OPENING and facts_of(rule.position.kind).input_kind in OF_SMOKE
    return rule.cause in (Cause.COINCIDENCE, Cause.ZONE_IN_ALARM)


def _tags(records, rule):
    """Tags of the actuators that a rule opens."""
    return [
        position.tag
        for position in records.in_zones
        if position.vent_id
        and (
            position.vent_group_id == rule.vent_group_id
            if rule.vent_group_id
            else position.smoke_zone_id == rule.smoke_zone_id
        )
    ]
