"""Cause and effect: the logic of a panel as rules, simulated step by step and proven over every reachable state.

>>> from zones.engineering.cause_and_effect import Group, Input, InputKind, RuleSet, Zone, default_rules, validate
>>> zones = (Zone("z1", "Zone 1"),)
>>> groups = (Group("g1", "z1", "Group 1"),)
>>> inputs = (Input("sd1", InputKind.DETECTOR, "Detector 1", zone="z1"), Input("rain", InputKind.RAIN, "Rain sensor"))
>>> ruleset = RuleSet(zones, groups, inputs, default_rules(zones, groups, inputs))
>>> validate(ruleset)
()
>>> for rule in ruleset.rules:
...     print(rule_words(ruleset, rule))
rule 1 (Detector 1 operates → open Zone 1)
rule 2 (Detector 1 operates → light the alarm lamp of Zone 1)
rule 3 (Rain sensor reports rain → close if opened for ventilation Zone 1)

>>> simulation = Simulation(ruleset)
>>> for done in simulation.replay(decode_events(ruleset, "rain.on~sd1.on")):
...     print(*done.sentences, sep="\\n")
Nothing changes.
Zone 1 goes into alarm.
Group 1 opens: rule 1 (Detector 1 operates → open Zone 1).
Alarm lamp of Zone 1 comes on.

>>> proof = prove(ruleset)
>>> for result in proof.zones[0].results[:5]:
...     print(result.property, result.verdict, "|", result.sentence)
opens_on_smoke proven | Holds in every one of 6 states.
smoke_before_ventilation proven | Holds in every one of 6 states.
latches proven | Holds in every one of 6 states.
own_zone_only proven | Holds in every one of 6 states.
manual_trigger fails | No call point opens Group 1.

>>> steps = commissioning_plan(ruleset)
>>> tried = coverage(steps, ruleset)
>>> len(steps), tried.is_complete, tried.pairs.done
(27, True, 2)

**A model, not the panel.** It says what the rules do, not what is wired: only a test on site shows that.
"""

from zones.engineering.cause_and_effect.asked import Asked
from zones.engineering.cause_and_effect.commissioning import (
    CommissioningStep,
    Coverage,
    Covered,
    LineFault,
    Phase,
    PriorityPair,
    coverage,
)
from zones.engineering.cause_and_effect.commissioning_plan import commissioning_plan
from zones.engineering.cause_and_effect.defaults import FAULT_OUTPUT, default_rules
from zones.engineering.cause_and_effect.events import (
    Event,
    EventError,
    decode_events,
    encode_events,
    event_words,
)
from zones.engineering.cause_and_effect.moments import Position, State
from zones.engineering.cause_and_effect.proof import LogicProof, ProofVerdict, PropertyResult, ZoneProof, prove
from zones.engineering.cause_and_effect.properties import Property
from zones.engineering.cause_and_effect.rules import (
    PRIORITY_OF_KIND,
    Action,
    AfterReset,
    Cause,
    CauseKind,
    Effect,
    Group,
    Input,
    InputKind,
    Rule,
    RuleSet,
    Target,
    TargetKind,
    Zone,
    actions_of,
    cause_actions_of,
)
from zones.engineering.cause_and_effect.simulation import (
    EventStep,
    GroupView,
    Move,
    RuleSetError,
    Simulation,
    Snapshot,
    events_possible,
    initial_state,
    step,
)
from zones.engineering.cause_and_effect.validation import validate
from zones.engineering.cause_and_effect.words import action_words, cause_words, rule_words, target_words

__all__ = [
    "FAULT_OUTPUT",
    "PRIORITY_OF_KIND",
    "Action",
    "AfterReset",
    "Asked",
    "Cause",
    "CauseKind",
    "CommissioningStep",
    "Coverage",
    "Covered",
    "Effect",
    "Event",
    "EventError",
    "EventStep",
    "Group",
    "GroupView",
    "Input",
    "InputKind",
    "LineFault",
    "LogicProof",
    "Move",
    "Phase",
    "Position",
    "PriorityPair",
    "ProofVerdict",
    "Property",
    "PropertyResult",
    "Rule",
    "RuleSet",
    "RuleSetError",
    "Simulation",
    "Snapshot",
    "State",
    "Target",
    "TargetKind",
    "Zone",
    "ZoneProof",
    "action_words",
    "actions_of",
    "cause_actions_of",
    "cause_words",
    "commissioning_plan",
    "coverage",
    "decode_events",
    "default_rules",
    "encode_events",
    "event_words",
    "events_possible",
    "initial_state",
    "prove",
    "rule_words",
    "step",
    "target_words",
    "validate",
]
