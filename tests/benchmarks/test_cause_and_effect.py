"""How fast the proof of a panel's logic is, and how it grows with the panel. Run with ``make bench``.

The goal is that of the product's requirements: 24 zones and 150 inputs in less than five seconds. A panel on which
no two zones share a form, each with every kind of reaction, is the worst that can be thought of and may take longer.
Ratios compare with a baseline of the same run, because a machine has other work too.
"""

import time
import tracemalloc

import pytest

from tests.zones.engineering.cause_and_effect.logics import make_ruleset, with_rules
from tests.zones.engineering.cause_and_effect.planted import building
from tests.zones.engineering.cause_and_effect.spin import verdicts
from tests.zones.engineering.cause_and_effect.wrong_panels import PlanWatched, can_be_told, some_wrong_panels
from zones.engineering.cause_and_effect import (
    Cause,
    Effect,
    ProofVerdict,
    Rule,
    Simulation,
    Target,
    commissioning_plan,
    coverage,
    prove,
    validate,
)
from zones.engineering.cause_and_effect.commissioning_told import told_by

SIZES = (4, 8, 12, 24)


def equal_zones(count, lockout_group=""):
    """Zones that differ in their names only."""
    return make_ruleset(count, groups=2, detectors=2, lockout_group=lockout_group)


def different_zones(count, lockout_group=""):
    """No two zones of one form: each has its own mix of priorities, delays and reactions to faults."""
    ruleset = equal_zones(count, lockout_group)
    more = []
    for k in range(1, count + 1):
        zone, bits = Target.whole_zone(f"z{k}"), [7 * k >> n & 1 for n in range(5)]
        own = (
            Rule(f"a{k}", Cause.of("mains"), zone, Effect.CLOSE_VENTILATION, priority=3),
            Rule(f"b{k}", Cause.of(f"fd{k}"), zone, Effect.OPEN),
            Rule(f"c{k}", Cause.of(f"fc{k}"), zone, Effect.OPEN, is_latching=True),
            Rule(f"d{k}", Cause.of(f"sd{k}1", f"sd{k}2", needed=2), zone, Effect.HOLD, priority=4),
            Rule(f"e{k}", Cause.of("wind"), zone, Effect.CLOSE, delay_s=30, priority=5),
        )
        more += [rule for rule, bit in zip(own, bits, strict=True) if bit]
    return with_rules(ruleset, *more)


def measured(call):
    """(result, seconds of one core): the machine's other work is not ours."""
    start = time.process_time()
    result = call()
    return result, time.process_time() - start


def peak_of(call):
    """Largest memory in use while it runs, MiB. Tracing makes it several times slower."""
    tracemalloc.start()
    call()
    peak = tracemalloc.get_traced_memory()[1] / 2**20
    tracemalloc.stop()
    return peak


@pytest.mark.parametrize("lockout_group", ["", "shaft"], ids=["no lock-out", "lock-out"])
@pytest.mark.parametrize(("make", "limit_s"), [(equal_zones, 5), (different_zones, 15)])
def test_the_proof_grows_with_the_number_of_zones_and_no_faster(make, limit_s, lockout_group):
    print(f"\n{make.__name__.replace('_', ' ')}, {'one lock-out group' if lockout_group else 'no lock-out'}")
    base_s, most_s = None, 0.0
    for count in SIZES:
        ruleset = make(count, lockout_group)
        assert validate(ruleset) == ()
        proof, seconds = measured(lambda ruleset=ruleset: prove(ruleset))
        peak_mib = peak_of(lambda ruleset=ruleset: prove(ruleset))
        base_s = base_s or seconds
        most_s = seconds
        print(
            f"  {count:2} zones, {len(ruleset.inputs):3} inputs, {len(ruleset.rules):3} rules: {seconds:6.2f} s, "
            f"{seconds / base_s:5.1f} × baseline, {proof.states:6} states in {proof.forms:2} forms, {peak_mib:5.1f} MiB"
        )
        assert not any(one.is_bounded for zone in proof.zones for one in zone.results)
        assert not [one for zone in proof.zones for one in zone.results if one.verdict is ProofVerdict.NOT_DECIDED]
    assert len(ruleset.inputs) >= 150
    assert most_s < limit_s
    # Six times the zones: where each is explored, six times the work, and room for a busy machine.
    assert most_s / base_s < 6 * 2.5


def test_one_step_of_a_large_panel_takes_less_than_ten_milliseconds():
    ruleset = equal_zones(24)
    simulation, making_s = measured(lambda: Simulation(ruleset))
    state = simulation.initial_state()
    events = simulation.events_possible(state)
    _, seconds = measured(lambda: [simulation.step(state, one) for one in events])
    print(f"\n24 zones: {making_s * 1e3:.1f} ms to make ready, {seconds / len(events) * 1e3:.2f} ms a step")
    assert seconds / len(events) < 0.01


def test_a_plan_of_commissioning_for_a_large_panel_takes_seconds():
    ruleset = equal_zones(24, "shaft")
    plan, seconds = measured(lambda: commissioning_plan(ruleset))
    found, counting_s = measured(lambda: coverage(plan, ruleset))
    print(f"\n24 zones, {len(ruleset.inputs)} inputs: {len(plan)} steps, {found.resets} resets in {seconds:.1f} s")
    print(f"  coverage counted in {counting_s:.2f} s")
    assert found.is_complete
    assert seconds < 20


def test_the_share_of_wrong_panels_that_plans_show_beside_its_target():
    """Mistakes drawn apart from the plan, each kind with its share; what no test can show is left out."""
    told = missed = steps = 0
    for number in range(40):
        ruleset = building(number)
        plan = commissioning_plan(ruleset)
        steps += len(plan)
        watched = PlanWatched(ruleset, plan)
        for one in some_wrong_panels(ruleset, number, 12):
            if watched.tells(one):
                told += 1
            elif can_be_told(ruleset, one, 300) is not False:
                missed += 1
    print(f"\n40 systems, {steps} steps: {told} of {told + missed} wrong panels seen, target 0.98")
    assert told / (told + missed) > 0.8


def test_what_the_plan_of_a_large_panel_shows_of_wrong_panels_is_counted_in_seconds():
    ruleset = equal_zones(24)
    plan = commissioning_plan(ruleset)
    found, seconds = measured(lambda: told_by(plan, ruleset))
    print(f"\n24 zones, {len(ruleset.inputs)} inputs: {found.told} of {found.of} wrong panels in {seconds:.1f} s")
    assert seconds < 30


def test_the_proof_is_quicker_than_a_general_model_checker_on_the_whole_building():
    ruleset = building(109)
    _, ours_s = measured(lambda: prove(ruleset))
    start = time.perf_counter()
    verdicts(ruleset)
    theirs_s = time.perf_counter() - start
    print(
        f"\ntwo zones, {len(ruleset.inputs)} inputs: ours {ours_s * 1e3:.0f} ms, spin with compiling {theirs_s:.1f} s"
    )
    assert ours_s < theirs_s
