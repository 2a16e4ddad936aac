"""Voltage drop against the handbook's section 1: single loads, trees, longest run, smallest section, fire."""

import math

import pytest

from zones.engineering.cables import (
    CableRun,
    Load,
    LoadModel,
    TreeError,
    cable_tree,
    smallest_area_mm2,
    solve_tree,
)
from zones.engineering.conductors import Conductor, hot_factor, standard_fire_temperature_c
from zones.engineering.quantities import QuantityError

SIZE_1_5, SIZE_2_5 = Conductor(1.5, 2), Conductor(2.5, 2)
FOUR_AMPERES = Load("A1", "C1", 4.0)
NINETY_SIX_WATTS = Load("A1", "C1", 96.0, LoadModel.CONSTANT_POWER)
SIX_OHMS = Load("A1", "C1", 6.0, LoadModel.RESISTIVE)
FIRE_30_MIN = hot_factor(standard_fire_temperature_c(30))


def end_voltage(conductor, load, source_v=24.0, length_m=40):
    volts = solve_tree([CableRun("C1", length_m, conductor)], [load], source_v)
    return volts and volts["C1"]


def loop_ohm(conductor, hot_length_m=None):
    """Of 40 m; the hot metres after 30 minutes of the standard fire."""
    run = CableRun("C1", 40, conductor, hot_length_m=hot_length_m)
    return cable_tree([run], hot_resistance_factor=FIRE_30_MIN).loop_ohm()[0]


@pytest.mark.parametrize(
    ("load", "source_v", "at_1_5", "at_2_5"),  # handbook 1.2: 24 V, 40 m, class 2, 20 °C
    [
        (FOUR_AMPERES, 24.0, 24 - 3.872, 24 - 2.371),
        (NINETY_SIX_WATTS, 24.0, 19.146, 21.332),
        (SIX_OHMS, 24.0, 20.666, 21.842),
        (FOUR_AMPERES, 21.6, 17.728, 19.229),
    ],
)
def test_one_load_at_the_end_gets_the_voltage_of_the_handbook(load, source_v, at_1_5, at_2_5):
    assert end_voltage(SIZE_1_5, load, source_v) == pytest.approx(at_1_5, abs=6e-4)
    assert end_voltage(SIZE_2_5, load, source_v) == pytest.approx(at_2_5, abs=6e-4)


def test_loop_resistance_counts_both_cores():
    assert loop_ohm(SIZE_1_5) == pytest.approx(0.968)  # handbook 1.2
    assert loop_ohm(SIZE_2_5) == pytest.approx(0.5928)


@pytest.mark.parametrize(("conductor", "most_w"), [(SIZE_1_5, 148.8), (SIZE_2_5, 242.9)])  # handbook 1.2: Us²/(4 R)
def test_beyond_the_greatest_power_of_a_cable_there_is_no_operating_point(conductor, most_w):
    almost = Load("A1", "C1", most_w - 0.1, LoadModel.CONSTANT_POWER)
    beyond = Load("A1", "C1", most_w + 0.1, LoadModel.CONSTANT_POWER)
    assert end_voltage(conductor, almost) == pytest.approx(12, abs=0.5)
    assert end_voltage(conductor, beyond) is None


def test_a_constant_current_that_would_turn_the_voltage_round_cannot_be_delivered():
    assert end_voltage(SIZE_1_5, FOUR_AMPERES, length_m=290) is None  # 7.0 ohm


@pytest.mark.parametrize(
    ("load", "area", "metres"),  # handbook 1.3: the longest run at a drop of 2.4 V
    [
        *((FOUR_AMPERES, area, metres) for area, metres in [(1.5, 24.79), (2.5, 40.49), (4.0, 65.08), (6.0, 97.40)]),
        *((NINETY_SIX_WATTS, area, metres) for area, metres in [(1.5, 22.31), (2.5, 36.44), (4.0, 58.57)]),
    ],
)
def test_the_longest_run_of_the_handbook_leaves_just_the_minimum_voltage(load, area, metres):
    assert end_voltage(Conductor(area, 2), load, length_m=metres) == pytest.approx(21.6, abs=6e-4)


def test_smallest_section_is_the_first_in_the_table_that_suffices():
    # handbook 1.3: 5 A, 30 m, 2.4 V need 8.0 ohm/km; class 5 (7.98) just passes
    assert smallest_area_mm2(30, 5, 2.4, 2) == 2.5
    assert smallest_area_mm2(30, 5, 2.4, 5) == 2.5
    assert smallest_area_mm2(30, 5, 2.4, 5, tinned=True) == 4.0  # 8.21 does not


def test_no_section_of_the_table_may_be_enough():
    assert smallest_area_mm2(500, 20, 2.4, 2) is None


def taps(model=LoadModel.CONSTANT_CURRENT, value=1.0):
    runs = [CableRun(f"C{k}", 10, SIZE_1_5, f"C{k - 1}" if k > 1 else None) for k in (1, 2, 3, 4)]
    return runs, [Load(f"A{k}", f"C{k}", value, model) for k in (1, 2, 3, 4)]


def test_four_taps_of_one_ampere():
    volts = solve_tree(*taps(), 24.0)
    drops = [24 - volts[f"C{k}"] for k in (1, 2, 3, 4)]
    assert drops == pytest.approx([0.968, 1.694, 2.178, 2.420], abs=5e-4)  # handbook 1.3
    assert drops[-1] == pytest.approx(2 * 12.1e-3 * 10 * 1 * 4 * 5 / 2)  # dU = 2 r l I n(n+1)/2


def test_four_taps_of_24_watts():
    volts = solve_tree(*taps(LoadModel.CONSTANT_POWER, 24.0), 24.0)
    assert list(volts.values()) == pytest.approx([22.943, 22.140, 21.598, 21.326], abs=5e-4)  # handbook 1.3
    assert 24.0 / volts["C4"] == pytest.approx(1.125, abs=5e-4)


def test_a_tree_of_two_branches_in_any_order_of_its_runs():
    runs = [  # handbook 1.3
        CableRun("branch B", 10, SIZE_1_5, "trunk"),
        CableRun("branch A", 15, SIZE_1_5, "trunk"),
        CableRun("trunk", 20, SIZE_2_5),
    ]
    volts = solve_tree(runs, [Load("A1", "branch A", 1.0), Load("A2", "branch B", 2.0)], 24.0)
    assert 24 - volts["trunk"] == pytest.approx(0.889, abs=5e-4)
    assert 24 - volts["branch A"] == pytest.approx(1.252, abs=5e-4)
    assert 24 - volts["branch B"] == pytest.approx(1.373, abs=5e-4)


def test_two_sizes_in_one_run_add_up():
    runs = [CableRun("C1", 20, SIZE_2_5), CableRun("C2", 20, SIZE_1_5, "C1")]
    assert 24 - solve_tree(runs, [Load("A1", "C2", 2.0)], 24.0)["C2"] == pytest.approx(1.561, abs=5e-4)  # handbook 1.3


def test_too_much_power_has_no_operating_point():
    runs, loads = taps(LoadModel.CONSTANT_POWER, 120.0)
    assert solve_tree(runs, loads, 24.0) is None


@pytest.mark.parametrize(
    ("runs", "sentence"),
    [
        ([CableRun("C1", 5, SIZE_1_5), CableRun("C1", 5, SIZE_1_5)], "Two runs are named 'C1'"),
        ([CableRun("C1", 5, SIZE_1_5, "C9")], "'C1' is fed from 'C9', which is not a run"),
        ([CableRun("C1", 5, SIZE_1_5, "C2"), CableRun("C2", 5, SIZE_1_5, "C1")], "form a ring"),
        ([CableRun("C1", 5, SIZE_1_5, "C1")], "form a ring"),
    ],
)
def test_runs_that_form_no_tree_are_refused_with_the_run(runs, sentence):
    with pytest.raises(TreeError, match=sentence):
        cable_tree(runs)


def test_a_load_that_hangs_nowhere_is_refused_by_name():
    with pytest.raises(TreeError, match="A1 hangs on 'C7', which is not a run"):
        solve_tree([CableRun("C1", 5, SIZE_1_5)], [Load("A1", "C7", 1.0)], 24.0)


@pytest.mark.parametrize(
    ("hot_m", "drop_v"),
    [(0, 1.94), (5, 2.83), (10, 3.73), (20, 5.53)],  # handbook 1.4: 2 A, 40 m of 1.5 mm² at 842 °C
)
def test_hot_metres_raise_the_drop(hot_m, drop_v):
    assert 2 * loop_ohm(SIZE_1_5, hot_m) == pytest.approx(drop_v, abs=0.006)


@pytest.mark.parametrize(("conductor", "hot_m"), [(SIZE_1_5, 2.58), (SIZE_2_5, 11.04)])  # handbook 1.4
def test_the_longest_hot_length_of_the_handbook_drops_just_what_is_permitted(conductor, hot_m):
    assert 2 * loop_ohm(conductor, hot_m) == pytest.approx(2.4, abs=0.002)


def test_a_hot_length_longer_than_its_run_is_refused():
    with pytest.raises(QuantityError, match="hot_length_m of C1 is 12; it must be at most the length of the run, 10 m"):
        CableRun("C1", 10, SIZE_1_5, hot_length_m=12)


def test_a_run_without_load_carries_no_current_and_drops_nothing():
    runs = [CableRun("C1", 10, SIZE_1_5), CableRun("C2", 50, SIZE_1_5, "C1")]
    volts = solve_tree(runs, [Load("A1", "C1", 1.0)], 24.0)
    assert volts["C2"] == volts["C1"]
    assert math.isclose(volts["C1"], 24 - 0.242)


@pytest.mark.parametrize("celsius", [-60, 20, 150])
def test_a_conductor_may_be_as_cold_or_as_warm_as_cables_are_made_for(celsius):
    """-60 to 150 °C: common practice, from arctic cable to silicone insulation."""
    assert CableRun("W1", 40, SIZE_1_5, temperature_c=celsius).temperature_c == celsius


@pytest.mark.parametrize("celsius", [-61, 151, float("nan")])
def test_a_conductor_colder_or_warmer_than_any_cable_is_refused(celsius):
    with pytest.raises(QuantityError) as refused:
        CableRun("W1", 40, SIZE_1_5, temperature_c=celsius)
    assert "temperature_c of W1 is" in str(refused.value)
    assert "it must be at least -60 and at most 150 °C" in str(refused.value)
