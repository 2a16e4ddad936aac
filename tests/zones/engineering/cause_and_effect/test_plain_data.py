"""Rule sets and proofs as plain data: what comes back is what was written, and digests tell behaviour from names.

SHA-256 of the empty object, by which the spelling is held: FIPS 180-4 over the two bytes "{}" (sha256sum).
"""

import json
from dataclasses import replace

import pytest

from tests.zones.engineering.cause_and_effect.logics import make_ruleset
from zones.engineering.cause_and_effect import prove
from zones.engineering.cause_and_effect.plain_data import (
    behaviour_digest,
    data_of,
    digest_of,
    proof_data,
    proof_of,
    ruleset_of,
)


@pytest.fixture(scope="module")
def ruleset():
    return make_ruleset(2, groups=2, detectors=2)


def test_a_rule_set_comes_back_as_it_was_written(ruleset):
    assert ruleset_of(json.loads(json.dumps(data_of(ruleset)))) == ruleset


def test_a_proof_comes_back_as_it_was_written(ruleset):
    failing = replace(ruleset, rules=ruleset.rules[1:])
    proof = prove(failing)
    assert proof.failures
    assert proof_of(json.loads(json.dumps(proof_data(proof)))) == proof


def test_a_property_that_is_not_known_any_more_is_left_out(ruleset):
    data = proof_data(prove(ruleset))
    data["zones"][0]["results"][0]["property"] = "of_an_earlier_prover"
    assert len(proof_of(data).zones[0].results) == len(proof_of(data).zones[1].results) - 1


def test_the_digest_is_sha_256_of_one_spelling():
    assert digest_of({}) == "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a"


def test_names_and_the_order_of_rules_are_no_behaviour(ruleset):
    named = replace(
        ruleset,
        zones=tuple(replace(one, label=f"Hall {k}") for k, one in enumerate(ruleset.zones)),
        rules=tuple(reversed(ruleset.rules)),
    )
    assert behaviour_digest(named) == behaviour_digest(ruleset)


@pytest.mark.parametrize("changed", [{"delay_s": 30}, {"priority": 1}, {"is_latching": False}])
def test_what_a_rule_does_is_behaviour(ruleset, changed):
    first, *others = (replace(one, is_latching=True) for one in ruleset.rules)
    latching = replace(ruleset, rules=(first, *others))
    assert behaviour_digest(replace(ruleset, rules=(replace(first, **changed), *others))) != behaviour_digest(latching)
