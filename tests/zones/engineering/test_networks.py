"""Cable trees of any shape against an independent circuit simulator, ngspice."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from tests.zones.engineering.ngspice import needs_ngspice, tree_voltages
from zones.engineering.networks import PANEL, Network, node_voltages, solve


@st.composite
def trees(draw, most_nodes=40):
    """A tree of 1 to 40 runs of any branching with loads of all three models, of a size that can mostly run."""
    count = draw(st.integers(1, most_nodes))
    fed_from = tuple(draw(st.integers(-1, k - 1)) for k in range(count))
    scale = draw(st.sampled_from([4.0, 1.5, 0.5, 0.1])) / count

    def numbers(least, most):
        return draw(st.lists(st.floats(least, most, allow_nan=False), min_size=count, max_size=count))

    kinds = draw(st.lists(st.integers(0, 3), min_size=count, max_size=count))
    sizes = numbers(0.1, 30.0)
    return Network(
        fed_from,
        numbers(0.001, 2.0),
        [size * scale if kind == 1 else 0.0 for kind, size in zip(kinds, sizes, strict=True)],
        [size * 24 * scale if kind == 2 else 0.0 for kind, size in zip(kinds, sizes, strict=True)],
        [size / 24 * scale if kind == 3 else 0.0 for kind, size in zip(kinds, sizes, strict=True)],
    )


@needs_ngspice
@settings(max_examples=60)
@given(trees(), st.sampled_from([24.0, 21.6, 21.0]))
def test_every_node_of_any_tree_agrees_with_ngspice_within_a_millivolt(network, source_v):
    ours = node_voltages(network, source_v)
    if ours is None:
        return  # that there really is none: the test below, against a formula
    theirs = tree_voltages(network, source_v)
    assert max(abs(a - b) for a, b in zip(ours, theirs, strict=True)) <= 1e-3
    assert ours == pytest.approx(theirs, rel=1e-6)


@settings(max_examples=100)
@given(trees(), st.sampled_from([24.0, 21.0]))
def test_kirchhoff_holds_at_every_node_of_any_solution(network, source_v):
    point = solve(network, source_v)
    if point is None:
        return
    for k, feeder in enumerate(network.fed_from):
        above = source_v if feeder == PANEL else point.node_v[feeder]
        volts = point.node_v[k]
        taken = network.current_a[k] + network.power_w[k] / volts + network.conductance_s[k] * volts
        onward = sum(point.run_a[j] for j, other in enumerate(network.fed_from) if other == k)
        assert point.run_a[k] == pytest.approx(taken + onward, rel=1e-9, abs=1e-12)
        assert above - volts == pytest.approx(point.run_a[k] * network.loop_ohm[k], rel=1e-6, abs=1e-8)


@given(st.floats(0.05, 5.0), st.floats(0.5, 0.999999), st.floats(1.000001, 3.0))
def test_power_can_be_delivered_up_to_the_formula_and_not_beyond(loop_ohm, below, above):
    """P = Us²/(4 R) is the greatest transferable power: handbook 1.2."""
    limit_w = 24.0**2 / (4 * loop_ohm)
    ends = Network((PANEL,), [loop_ohm], [0.0], [limit_w * below], [0.0])
    beyond = Network((PANEL,), [loop_ohm], [0.0], [limit_w * above], [0.0])
    expected = 12 * (1 + (1 - below) ** 0.5)
    assert node_voltages(ends, 24.0)[0] == pytest.approx(expected, abs=1e-4)
    assert node_voltages(beyond, 24.0) is None


def test_a_load_at_the_very_fold_of_the_first_step_is_refused_and_no_error():
    """24 V, 1 ohm, 576 W: the slope of the load cancels that of the cable exactly."""
    assert node_voltages(Network((PANEL,), [1.0], [0.0], [576.0], [0.0]), 24.0) is None


def test_two_constant_power_loads_end_where_scipy_finds_the_fold():
    """Scale the loads of a small tree until no solution is left; scipy finds the same limit from equations."""

    def network(scale):
        return Network((PANEL, 0), [0.5, 0.8], [0.0, 0.0], [40.0 * scale, 30.0 * scale], [0.0, 0.0])

    def source_needed(far_v, scale):
        far_a = 30.0 * scale / far_v
        near_v = far_v + 0.8 * far_a
        return near_v + 0.5 * (far_a + 40.0 * scale / near_v)

    def least_source(scale):
        return min(source_needed(volts / 1000, scale) for volts in range(2_000, 24_000))

    limit = brentq(lambda scale: least_source(scale) - 24.0, 0.5, 5.0, xtol=1e-4)
    assert node_voltages(network(limit * 0.999), 24.0) is not None
    assert node_voltages(network(limit * 1.001), 24.0) is None


def test_a_heavier_load_never_raises_any_voltage():
    light = Network((PANEL, 0, 0), [0.3, 0.4, 0.5], [1.0, 0.0, 0.0], [0.0, 20.0, 0.0], [0.0, 0.0, 0.05])
    heavy = Network((PANEL, 0, 0), [0.3, 0.4, 0.5], [1.0, 0.0, 0.0], [0.0, 25.0, 0.0], [0.0, 0.0, 0.05])
    pairs = zip(node_voltages(light, 24.0), node_voltages(heavy, 24.0), strict=True)
    assert all(after < before for before, after in pairs)
