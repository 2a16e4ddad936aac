"""Whole circuits against a general circuit simulator: constant power with resistance in series, in one process."""

from dataclasses import replace

import pytest

from tests.zones.engineering.designs import make_circuit
from tests.zones.engineering.ngspice import forest_voltages, needs_ngspice
from zones.engineering import LoadModel
from zones.engineering.solved_circuits import DISCHARGED, solve_circuit

POWERED, CURRENT, RESISTIVE = LoadModel.CONSTANT_POWER, LoadModel.CONSTANT_CURRENT, LoadModel.RESISTIVE


def circuit_of(*models, section_m, rated_current_a=1.0, forked=False):
    """A circuit with one actuator of each load model, looped through or all behind the first junction."""
    circuit = make_circuit(count=len(models), section_m=section_m, actuator={"rated_current_a": rated_current_a})
    drives = tuple(replace(one, load_model=model) for one, model in zip(circuit.actuators, models, strict=True))
    runs = tuple(replace(run, fed_from="C1" if forked and k else run.fed_from) for k, run in enumerate(circuit.runs))
    return replace(circuit, actuators=drives, runs=runs)


CIRCUITS = {
    "one drive at the end": circuit_of(POWERED, section_m=60.0, rated_current_a=3.0),
    "four drives in a loop": circuit_of(*4 * [POWERED], section_m=15.0, rated_current_a=1.2),
    "near the greatest power": circuit_of(*3 * [POWERED], section_m=30.0, rated_current_a=1.4),
    "three kinds of load": circuit_of(POWERED, CURRENT, RESISTIVE, section_m=25.0),
    "a fork": circuit_of(POWERED, RESISTIVE, POWERED, CURRENT, section_m=20.0, forked=True),
    "ten drives": circuit_of(*10 * [POWERED], section_m=5.0, rated_current_a=0.6),
}


@needs_ngspice
def test_every_voltage_and_current_is_that_of_the_simulator():
    solved = {name: solve_circuit(circuit, mains_v=23.7, discharged_v=20.7) for name, circuit in CIRCUITS.items()}
    asked = [
        (one.model.networks[False], answer.condition.source_v, one.model.trees[False].loop_ohm(), answer)
        for one in solved.values()
        for answer in one.answers
        if not answer.condition.starting
    ]
    theirs = forest_voltages([(replace(network, loop_ohm=ohm), source_v) for network, source_v, ohm, *_ in asked])
    for (network, source_v, ohm, answer), volts in zip(asked, theirs, strict=True):
        assert list(answer.node_v.values()) == pytest.approx(volts, abs=1e-6)
        first = [(source_v - v) / r for v, r, feeder in zip(volts, ohm, network.fed_from, strict=True) if feeder < 0]
        assert answer.output_a == pytest.approx(sum(first), abs=1e-6)
        assert answer.condition.source != DISCHARGED or answer.output_a > 0


def test_the_drives_of_these_circuits_really_answer_to_the_voltage():
    solved = solve_circuit(CIRCUITS["near the greatest power"], mains_v=23.7, discharged_v=20.7)
    assert solved.output_a(DISCHARGED) > 1.2 * 3 * 1.4
