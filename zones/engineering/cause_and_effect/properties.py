"""What must hold of a panel's logic, stated once: each property in words, and as a check on states and steps.

All are about one group of vents and its zone. "In smoke" means: the zone is in alarm, or a device of the zone is
operated that must raise one. Of the devices of a zone a call point and a fire alarm interface must do so alone
(EN 54-2, 7.12 [M]: call points are never held back by a dependency); a detector too, unless a rule that opens
vents of the zone counts it with others. "Waiting" means that a delay runs of a rule that acts on the group.
"""

from enum import StrEnum

from zones.engineering.cause_and_effect.moments import is_alarm_rule, is_ventilation_rule
from zones.engineering.cause_and_effect.rules import (
    ALARMS,
    FAULTS,
    WEATHER,
    CauseKind,
    Effect,
    Input,
    InputKind,
    Rule,
    RuleSet,
    Target,
    TargetKind,
)


class Need(StrEnum):
    """What a zone must have for a property to be asked of it; the value says what it lacks."""

    NOTHING = ""
    ALARM = "Nothing raises an alarm in {zone}."
    LOCK_OUT = "{zone} shares a lock-out group with no other zone."
    FIRE_SERVICE = "No fire service control acts in {zone}."
    CALL_POINT = "{zone} has no call point."
    WEATHER = "Nothing opens {zone} for ventilation, or it has no rain or wind sensor."
    MAINS = "Nothing opens {zone} for ventilation, or its mains are not monitored."
    FAULT = "No monitored line, link, mains or battery is entered."


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
    CALL_POINT_AT_ONCE = (
        "call_point_at_once",
        "Call point at once",
        "A call point opens every vent of the zone without waiting for a delay.",
        "{group} waits for a delay although a call point of {zone} is operated.",
        Need.CALL_POINT,
    )
    CAN_BE_RESET = (
        "can_be_reset",
        "Can be reset",
        "Once everything is restored, the resets end every alarm and let go all that is latched in the zone.",
        "Everything is restored, and no reset ends what is latched for {group} in {zone}.",
        Need.ALARM,
    )
    ALARM_SHOWN = (
        "alarm_shown",
        "Alarm shown",
        "The alarm lamp of the zone is lit while it is in alarm, and by nothing but a device that raises alarms.",
        "The alarm lamp of {zone} does not say whether it is in alarm.",
        Need.ALARM,
    )
    WEATHER_CLOSES = (
        "weather_closes",
        "Weather closes",
        "In rain or wind nothing stands open for ventilation, unless in smoke.",
        "{group} stands open for ventilation in rain or wind.",
        Need.WEATHER,
    )
    NO_VENTILATION_WITHOUT_MAINS = (
        "no_ventilation_without_mains",
        "No ventilation without mains",
        "While the mains are lost, nothing opens for ventilation: the battery is kept for smoke.",
        "{group} opens for ventilation while the mains are lost.",
        Need.MAINS,
    )
    OPENS_IN_TIME = (
        "opens_in_time",
        "Opens in time",
        "Every device that raises an alarm has the vents of its zone fully open within the time that is asked, with "
        "the delay and the stroke, whatever else happens.",
        "{group} does not stand open within the time asked of {zone}.",
        Need.ALARM,
    )
    FAULTS_SHOWN = (
        "faults_shown",
        "Faults shown",
        "Each fault of the zone and of its panel is indicated by itself and at once.",
        "A fault is not indicated at once.",
        Need.FAULT,
    )


# Judged by the panel's rules as they stand, not by looking at states.
BY_RULES_ALONE = frozenset({Property.FAULTS_SHOWN})


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


def is_asked_of(zone: str, one: Input, *, is_ventilated: bool) -> bool:
    """Whether a property of the zone asks for this input even where no rule names it: then its cone keeps it."""
    if one.zone == zone and (one.kind is InputKind.FIRE_SERVICE or one.kind in ALARMS):
        return True
    return is_ventilated and is_read_in(zone, one) and (one.kind in WEATHER or one.kind is InputKind.MAINS_FAULT)


def is_read_in(zone: str, one: Input) -> bool:
    """Whether the input is of the zone, or of the whole panel."""
    return one.zone in (None, zone)


def opens_for_ventilation(ruleset: RuleSet, rule: Rule) -> bool:
    """Whether the rule opens vents for ventilation only."""
    return rule.effect is Effect.OPEN and is_ventilation_rule(ruleset, rule)


def is_lamp_of(rule: Rule, zone: str) -> bool:
    """Whether the rule lights the alarm lamp of the zone."""
    return rule.effect is Effect.INDICATE and rule.target == Target.whole_zone(zone)


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


def fault_not_shown(ruleset: RuleSet, zone: str) -> str:
    """Key of a fault of the zone or the panel that no undelayed indication tells by itself, "" when all are told."""
    told = {
        key
        for rule in ruleset.rules
        if rule.effect is Effect.INDICATE and rule.cause.needed == 1 and not rule.delay_s
        for key in rule.cause.inputs
    }
    return next((one.key for one in faults_read_in(ruleset, zone) if one.key not in told), "")


def faults_read_in(ruleset: RuleSet, zone: str) -> tuple[Input, ...]:
    """The monitored lines, links, mains and battery of the zone and of the whole panel."""
    return tuple(one for one in ruleset.inputs if one.kind in FAULTS and is_read_in(zone, one))
