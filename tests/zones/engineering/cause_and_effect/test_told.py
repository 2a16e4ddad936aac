"""The plan of commissioning and what the proof says of faulty rules, whole, as a person reads them.

That the plan tries everything and that the proof is right is for the other tests; here it is that no word, reading or
hazard of it changes unseen. After a change on purpose: read what is new, then `APPROVE=1 pytest` with this file.
"""

import pytest

from tests.zones.engineering.approval import compare
from tests.zones.engineering.cause_and_effect.logics import make_ruleset
from tests.zones.engineering.cause_and_effect.planted import FAULTS, building
from zones.engineering.cause_and_effect import commissioning_plan, coverage
from zones.engineering.cause_and_effect.events import encode_events
from zones.engineering.cause_and_effect.proof import prove
from zones.engineering.power_order import ISOLATE, LEAVE_IN_SERVICE, POWER_UP

PLANS = {
    "two_zones": make_ruleset(2, groups=2, detectors=2),
    "locked_out": make_ruleset(2, lockout_group="shaft", call_points=2),
    **{f"building_{number}": building(number) for number in (1, 4, 6)},
}


def step_lines(step):
    yield f"{step.number} (round {step.round}, {step.phase}, place {step.place} {step.at}) {step.part} {step.code}"
    yield f"    {step.do}"
    for words, said in (("must", step.must), ("must not", step.must_not), ("read", step.readings)):
        yield from (f"    {words}: {one}" for one in said)
    tried = [f"{subject}={action}" for subject, action in (*step.inputs, *step.lines)]
    yield f"    tries {tried} {list(step.rules)} {list(step.locked_out)}"
    pairs = [(pair.zone, pair.stronger, pair.weaker, pair.weaker_last) for pair in step.pairs]
    hazards = [str(one) for one in step.hazards]
    yield f"    {pairs} hazards {hazards} reset {step.is_reset} [{encode_events(step.events)}]"


@pytest.mark.parametrize("name", PLANS)
def test_the_plan_of_commissioning_is_told_as_approved(name):
    steps = commissioning_plan(PLANS[name])
    found = coverage(steps, PLANS[name])
    compare(f"plan_{name}", [str(found), *(line for step in steps for line in step_lines(step))])


def proof_lines():
    for number, (plant, broken) in enumerate(FAULTS):
        ruleset = plant(building(number))
        yield f"{broken} in building {number}"
        for zone, one in prove(ruleset).failures:
            yield f"    {zone} {one.property} {one.group} {one.states} states [{encode_events(one.sequence)}]"
            yield f"        {one.sentence} {list(one.by_rules)} {one.by_lockout}"


def test_what_the_proof_says_of_faulty_rules_is_told_as_approved():
    compare("proof_of_faults", proof_lines())


def test_the_orders_of_power_are_told_as_approved():
    lines = []
    for order in (POWER_UP, ISOLATE, LEAVE_IN_SERVICE):
        lines += [order.title, f"    {order.starts_with}"]
        for step in order.steps:
            lines += [f"{step.code} | {step.part} | {step.do}", f"    {step.requires} makes {step.makes}"]
            lines += [f"    {[str(one) for one in step.hazards]} {step.readings} {step.must}"]
    compare("orders_of_power", lines)
