"""Lengths, areas and blocks that findings offer, against every candidate tried one after another."""

import random
from dataclasses import replace

import pytest

from tests.zones.engineering.designs import make_actuator, make_circuit, make_panel, only
from zones.engineering import Conductor, LoadModel, Severity, check_panel
from zones.engineering.circuits import conditions
from zones.engineering.conductors import STANDARD_AREAS_MM2
from zones.engineering.solved_circuits import solve_circuit
from zones.engineering.trade_practice import TRADE_PRACTICE
from zones.engineering.vents import hinged_area_m2, stroke_for_area_m
from zones.engineering.what_if import with_area

VOLTS = {"mains_v": 23.7, "discharged_v": 20.7}


def drawn_circuits(count, seed):
    """Circuits of every load model, sections and classes mixed, some of them too long."""
    draw = random.Random(seed)
    for _ in range(count):
        many = draw.randint(1, 6)
        circuit = make_circuit(count=many, section_m=draw.choice((5.0, 15.0, 30.0, 60.0)))
        alike = Conductor(draw.choice(STANDARD_AREAS_MM2[:5]), draw.choice((2, 5)), draw.random() < 0.3)
        other = Conductor(draw.choice(STANDARD_AREAS_MM2[:5]), draw.choice((2, 5)))
        mixed = draw.random() < 0.5
        yield replace(
            circuit,
            runs=tuple(replace(run, conductor=draw.choice((alike, other)) if mixed else alike) for run in circuit.runs),
            actuators=tuple(
                make_actuator(
                    one.name, one.at, load_model=draw.choice(list(LoadModel)), rated_current_a=draw.uniform(0.3, 2)
                )
                for one in circuit.actuators
            ),
        )


def enough(circuit, condition):
    """Whether every actuator gets its minimum voltage in one condition, solved afresh."""
    model = solve_circuit(circuit, **VOLTS).model
    return model.margin_v(condition) >= 0


def scaled(circuit, factor):
    return replace(circuit, runs=tuple(replace(run, length_m=run.length_m * factor) for run in circuit.runs))


@pytest.mark.parametrize(
    "circuit", list(drawn_circuits(25, seed=12)), ids=lambda circuit: f"{len(circuit.actuators)} drives"
)
def test_no_smaller_section_would_do_and_the_one_offered_does(circuit):
    model = solve_circuit(circuit, **VOLTS).model
    for condition in conditions(model, **VOLTS):
        tried = [area_mm2 for area_mm2 in STANDARD_AREAS_MM2 if enough(with_area(circuit, area_mm2), condition)]
        assert model.smallest_area_mm2(condition) == min(tried, default=None)


@pytest.mark.parametrize(
    "circuit", list(drawn_circuits(25, seed=5)), ids=lambda circuit: f"{len(circuit.actuators)} drives"
)
def test_the_longest_length_holds_and_a_hair_more_does_not(circuit):
    model = solve_circuit(circuit, **VOLTS).model
    for condition in conditions(model, **VOLTS):
        factor = model.longest_factor(condition)
        steps = [k / 20 for k in range(1, 61)]  # every twentieth up to three times the length
        held = [step for step in steps if enough(scaled(circuit, step), condition)]
        assert factor is not None
        assert held == [step for step in steps if step <= factor]
        assert not enough(scaled(circuit, factor * 1.0001), condition)


@pytest.mark.parametrize("capacity_ah", [2.2, 7.0, 12.0])
@pytest.mark.parametrize("current_a", [1.0, 2.5, 6.0])
def test_no_smaller_block_would_do_and_the_one_offered_does(capacity_ah, current_a):
    circuit = make_circuit(actuator={"rated_current_a": current_a, "starting_current_a": None}, section_m=3.0)
    panel = make_panel(circuits=(circuit,))

    def passes(ampere_hours):
        tried = replace(panel, battery=replace(panel.battery, capacity_ah=ampere_hours))
        found = [one for one in check_panel(tried) if one.code in ("battery.capacity", "battery.duration")]
        return len(found) == 2 and all(one.severity == Severity.MEETS for one in found)

    small = replace(panel, battery=replace(panel.battery, capacity_ah=capacity_ah))
    finding = only(check_panel(small), "battery.capacity")
    offered = next(figure.value for figure in finding.inputs if figure.name == "standard size that suffices")
    assert offered == next(size for size in TRADE_PRACTICE.standard_battery_ah if passes(size))


@pytest.mark.parametrize(("width_m", "depth_m"), [(1.2, 1.0), (0.9, 1.4), (1.5, 0.7)])
@pytest.mark.parametrize("reveal_m", [0.0, 0.1])
def test_no_shorter_stroke_would_open_the_area(width_m, depth_m, reveal_m):
    wanted_m2 = 0.6 * width_m * depth_m
    offered_m = stroke_for_area_m(width_m, depth_m, wanted_m2, reveal_m=reveal_m)
    strokes = [k / 1000 for k in range(1, int(depth_m * 1000))]
    opened = [stroke for stroke in strokes if hinged_area_m2(width_m, depth_m, stroke, reveal_m=reveal_m) >= wanted_m2]
    assert offered_m == pytest.approx(min(opened), abs=0.001)
    assert offered_m <= min(opened)
