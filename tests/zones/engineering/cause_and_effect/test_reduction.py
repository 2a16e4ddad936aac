"""The proof, which looks at reduced cones, against every state of the whole panel."""

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.zones.engineering.cause_and_effect.brute_force import BruteForce, TooLarge
from tests.zones.engineering.cause_and_effect.strategies import rulesets, shafts
from zones.engineering.cause_and_effect import (
    AfterReset,
    Group,
    Input,
    InputKind,
    RuleSet,
    Simulation,
    Zone,
    default_rules,
)
from zones.engineering.cause_and_effect.cones import RulesByTarget
from zones.engineering.cause_and_effect.exploration import Exploration
from zones.engineering.cause_and_effect.machine import Machine
from zones.engineering.cause_and_effect.proof import ProofVerdict, prove
from zones.engineering.cause_and_effect.properties import BY_RULES_ALONE, Property, fault_not_shown
from zones.engineering.cause_and_effect.reduction import reduce_cone

TRIGGERS = (Property.MANUAL_TRIGGER, Property.AUTOMATIC_TRIGGER)
MOST_DELAY_S = 60  # between the two that the strategies draw


def explored(ruleset, group):
    form, _ = reduce_cone(RulesByTarget(ruleset).cone(group), MOST_DELAY_S)
    machine = Machine(form.ruleset, form.still)
    run = Exploration(machine, form.group, alike=form.alike, most_states=100_000, most_delay_s=form.most_delay_s)
    return run.run()


def brute(ruleset, most_states=800):
    try:
        return BruteForce(ruleset, most_states, MOST_DELAY_S)
    except TooLarge:
        assume(False)


def assert_same(ruleset):
    whole = brute(ruleset)
    found = {group.key: explored(ruleset, group) for group in ruleset.groups}
    settles = [len(one.broken[Property.SETTLES]) for one in found.values() if Property.SETTLES in one.broken]
    expected = [length for (_, wanted), length in whole.shortest.items() if wanted is Property.SETTLES]
    assert min(settles, default=None) == min(expected, default=None)
    if whole.oscillates:
        return  # nothing is defined beyond
    for group in ruleset.groups:
        told = fault_not_shown(ruleset, group.zone) == ""
        assert told == ((group.key, Property.FAULTS_SHOWN) not in whole.shortest)
        for wanted in set(Property) - {Property.SETTLES, *BY_RULES_ALONE}:
            ours, theirs = found[group.key].broken.get(wanted), whole.shortest.get((group.key, wanted))
            assert (ours is None) == (theirs is None), (group.key, wanted)
            if ours is not None and wanted not in TRIGGERS:
                assert len(ours) == theirs, (group.key, wanted, ours)
        assert found[group.key].states <= whole.states


@settings(max_examples=40)
@given(ruleset=rulesets())
def test_a_reduced_cone_has_the_verdicts_and_shortest_sequences_of_the_whole_panel(ruleset):
    assert_same(ruleset)


@settings(max_examples=8)
@given(ruleset=shafts())
def test_other_zones_of_a_lock_out_group_are_left_out_without_a_trace(ruleset):
    assert_same(ruleset)


def test_what_resets_a_zone_that_locks_a_group_out_belongs_to_what_the_group_depends_on():
    zones = tuple(Zone(f"z{k}", "", "shaft") for k in (0, 1))
    groups = tuple(Group(f"g{k}", f"z{k}") for k in (0, 1))
    inputs = (Input("sd1", InputKind.DETECTOR, "", "z1"), Input("re1", InputKind.RESET, "", "z1"))
    ruleset = RuleSet(zones, groups, inputs, default_rules(zones, groups, inputs), AfterReset.STAY)
    cone = RulesByTarget(ruleset).cone(groups[0])
    assert {one.key for one in cone.ruleset.inputs} == {"sd1", "re1"}


@settings(max_examples=60)
@given(ruleset=rulesets(most_lasting=5), data=st.data())
def test_every_failing_sequence_can_be_replayed_on_the_panel(ruleset, data):
    proof = prove(ruleset, most_states=2000)
    simulation = Simulation(ruleset)
    for _, failure in proof.failures:
        for step in simulation.replay(failure.sequence):
            assert step.sentences
        assert failure.sentence
    assert all(one.verdict in ProofVerdict for zone in proof.zones for one in zone.results)


def test_of_many_zones_alike_in_a_lock_out_group_few_are_looked_at():
    """Four or eight floors of a shaft, each with its detector: the same cone but for its size."""
    sizes = []
    for count in (4, 8):
        zones = tuple(Zone(f"z{k}", "", "shaft") for k in range(count))
        groups = tuple(Group(f"g{k}", f"z{k}") for k in range(count))
        inputs = tuple(Input(f"sd{k}", InputKind.DETECTOR, "", f"z{k}") for k in range(count))
        ruleset = RuleSet(zones, groups, inputs, default_rules(zones, groups, inputs), AfterReset.STAY)
        form, _ = reduce_cone(RulesByTarget(ruleset).cone(groups[0]))
        sizes.append((len(form.ruleset.zones), len(form.ruleset.inputs)))
    assert sizes[0] == sizes[1] < (4, 4)
