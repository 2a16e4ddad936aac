"""Rule sets and what was proven of them as plain data (JSON) and back, and the digests by which they are known.

Three digests: of the *behaviour* (what the rules do, whatever things are called and in whatever order they stand), of
the *rules* as people read them, names and numbers among it, and of the *prover*, which is the program text itself: so
nobody has to think of raising a version.
"""

import hashlib
import json
from dataclasses import asdict, replace
from functools import cache
from pathlib import Path

from zones.engineering.cause_and_effect.events import Event
from zones.engineering.cause_and_effect.proof import LogicProof, ProofVerdict, PropertyResult, ZoneProof
from zones.engineering.cause_and_effect.properties import Property
from zones.engineering.cause_and_effect.rules import (
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
)

# Of an input: what is said of it and where it hangs, but no step of the rules rests on it.
NOT_BEHAVIOUR = {"label": "", "place": 0, "ends_line": False, "has_element": True, "element_place": "", "opens": ()}


def data_of(ruleset: RuleSet) -> dict:
    """The rule set as plain data; `ruleset_of` is the way back."""
    return json.loads(json.dumps(asdict(ruleset)))


def ruleset_of(data: dict) -> RuleSet:
    """The rule set that `data_of` wrote. Raises KeyError, TypeError, ValueError: it was written by something else."""
    return RuleSet(
        zones=tuple(Zone(**row) for row in data["zones"]),
        groups=tuple(Group(**row) for row in data["groups"]),
        inputs=tuple(_input(row) for row in data["inputs"]),
        rules=tuple(_rule(row) for row in data["rules"]),
        after_reset=AfterReset(data["after_reset"]),
    )


def _input(row: dict) -> Input:
    return Input(**row | {"kind": InputKind(row["kind"]), "opens": tuple(row["opens"])})


def _rule(row: dict) -> Rule:
    cause, target = row["cause"], row["target"]
    cause = Cause(
        **cause
        | {
            "kind": CauseKind(cause["kind"]),
            "inputs": tuple(cause["inputs"]),
            "action": Action(cause["action"]),
        }
    )
    target = Target(TargetKind(target["kind"]), target["key"])
    return Rule(**row | {"cause": cause, "target": target, "effect": Effect(row["effect"])})


def digest_of(data) -> str:
    """SHA-256 over plain data in one fixed spelling, in hexadecimal."""
    text = json.dumps(data, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def behaviour_digest(ruleset: RuleSet) -> str:
    """The digest of what the rules do: equal for two sets that differ by names or by the order of rules alone.

    The order of zones is kept: it decides between two that go into alarm at one moment in one lock-out group.
    """
    bare = replace(
        ruleset,
        zones=tuple(replace(one, label="") for one in ruleset.zones),
        groups=tuple(sorted((replace(one, label="") for one in ruleset.groups), key=_key)),
        inputs=tuple(sorted((replace(one, **NOT_BEHAVIOUR) for one in ruleset.inputs), key=_key)),
        rules=tuple(sorted(ruleset.rules, key=_key)),
    )
    return digest_of(data_of(bare))


def _key(one) -> str:
    return one.key


@cache
def prover_digest() -> str:
    """The digest of the program that proves: every file of this folder, by name."""
    digest = hashlib.sha256()
    for path in sorted(Path(__file__).parent.glob("*.py")):
        digest.update(path.name.encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()


def proof_data(proof: LogicProof) -> dict:
    """What was proven as plain data; `proof_of` is the way back."""
    return json.loads(json.dumps(asdict(proof)))


def proof_of(data: dict) -> LogicProof:
    """The proof that `proof_data` wrote; a property that is not known any more is left out."""
    zones = tuple(
        ZoneProof(row["zone"], tuple(_result(one) for one in row["results"] if one["property"] in _KNOWN))
        for row in data["zones"]
    )
    return LogicProof(**data | {"zones": zones})


def _result(row: dict) -> PropertyResult:
    sequence = tuple(Event(one["subject"], Action(one["action"])) for one in row["sequence"])
    return PropertyResult(
        **row
        | {
            "property": Property(row["property"]),
            "verdict": ProofVerdict(row["verdict"]),
            "sequence": sequence,
            "by_rules": tuple(row["by_rules"]),
        }
    )


_KNOWN = frozenset(one.value for one in Property)
