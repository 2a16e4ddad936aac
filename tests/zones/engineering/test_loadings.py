"""Circuits that differ by names and lengths alone share a loading; what is judged by some answers holds of all."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.zones.engineering.designs import make_actuator, make_circuit, make_panel
from zones.engineering import ActuatorCircuit, CableRun, Conductor, LoadModel
from zones.engineering.cables import solve_tree
from zones.engineering.panel_check import check_panel
from zones.engineering.solved_circuits import DISCHARGED, MAINS, solve_circuit

CABLES = st.tuples(st.sampled_from([Conductor(0.75, 1), Conductor(2.5, 2), Conductor(6.0, 5)]), st.sampled_from([1, 2]))
DRIVES = st.fixed_dictionaries(
    {
        "rated_current_a": st.sampled_from([0.5, 1.0, 4.0]),
        "starting_current_a": st.sampled_from([None, 0.4, 1.5, 6.0]),
        "minimum_voltage_v": st.sampled_from([15.0, 18.0, 20.4]),
        "lower_voltage_v": st.just(15.0),
        "lower_speed_mm_per_s": st.sampled_from([6.0, 9.5, 12.0]),
        "load_model": st.sampled_from(
            [LoadModel.CONSTANT_CURRENT] * 3 + [LoadModel.CONSTANT_POWER, LoadModel.NOT_KNOWN]
        ),
    }
)
VOLTS = [{MAINS: 23.7, DISCHARGED: 20.7}, {MAINS: 20.0, DISCHARGED: 20.7}, {MAINS: 21.0, DISCHARGED: 21.0}]


@st.composite
def circuits(draw, name="circuit 1"):
    """Trees of any shape, an actuator at the end of each run."""
    count, (conductor, cores), drive = draw(st.integers(1, 5)), draw(CABLES), draw(DRIVES)
    feeders = [draw(st.integers(0, k)) for k in range(count)]
    runs = tuple(
        CableRun(f"C{k}", draw(st.floats(0.5, 60)), conductor, f"C{of}" if of else None, cores_per_pole=cores)
        for k, of in enumerate(feeders, 1)
    )
    drives = tuple(make_actuator(f"A{k}", run.name, vent=None, **drive) for k, run in enumerate(runs))
    return ActuatorCircuit(name, runs, drives, output_limit_a=5.0, run_time_s=draw(st.sampled_from([60.0, 90.0])))


def stretched(circuit, factor):
    """The same make of circuit with other names and lengths."""
    named = {run.name: f"longer {run.name}" for run in circuit.runs}
    runs = tuple(
        replace(run, name=named[run.name], fed_from=named.get(run.fed_from), length_m=run.length_m * factor)
        for run in circuit.runs
    )
    drives = tuple(replace(one, name=f"far {one.name}", at=named[one.at]) for one in circuit.actuators)
    return replace(circuit, name="circuit 2", runs=runs, actuators=drives)


def solved_of(circuit, volts=VOLTS[0]):
    return solve_circuit(circuit, mains_v=volts[MAINS], discharged_v=volts[DISCHARGED])


@given(circuits(), st.floats(0.1, 4.0))
@settings(max_examples=40, deadline=None)
def test_a_circuit_that_shares_a_loading_is_solved_as_if_it_stood_alone(circuit, factor):
    """Against the tree of its runs solved on its own, as a notebook does."""
    first, second = solved_of(circuit), solved_of(stretched(circuit, factor))
    assert first.model.loading is second.model.loading
    for solved in (first, second):
        loads = [one.running_load() for one in solved.circuit.actuators]
        if solved.circuit.actuators[0].load_model == LoadModel.NOT_KNOWN:
            continue  # no load of which a notebook knows
        for answer in solved.in_condition(DISCHARGED):
            assert answer.node_v == solve_tree(
                solved.circuit.runs, loads, answer.condition.source_v, temperature_c=70.0
            )


@pytest.mark.parametrize("changes", [{"length_m": 11.0}, {"name": "C9", "hot_length_m": 2.0}])
def test_length_name_and_fire_make_no_other_loading(changes):
    circuit = make_circuit(count=1)
    (run,) = circuit.runs
    other = replace(run, **changes)
    drives = (replace(circuit.actuators[0], at=other.name),)
    assert (
        solved_of(replace(circuit, runs=(other,), actuators=drives)).model.loading is solved_of(circuit).model.loading
    )


@pytest.mark.parametrize(
    "changed",
    [
        {"conductor": Conductor(1.5, 2)},
        {"actuator": {"rated_current_a": 1.1}},
        {"actuator": {"starting_current_a": 1.3}},
        {"actuator": {"minimum_voltage_v": 18.5}},
        {"count": 3},
    ],
)
def test_cable_figures_of_an_actuator_and_their_number_make_another_loading(changed):
    assert solved_of(make_circuit(**changed)).model.loading is not solved_of(make_circuit()).model.loading


@given(circuits(), st.sampled_from(VOLTS))
@settings(max_examples=60, deadline=None)
def test_what_decides_is_never_better_than_what_it_stands_for(circuit, volts):
    """Margins, drops and strokes of the answers that are judged, against those of every answer."""
    solved = solved_of(circuit, volts)
    assert all(one.holds for one in solved.answers) == all(
        one.holds for starting in (False, True) for one in deciding(solved, starting)
    )
    for starting in (False, True):
        alike = [one for one in solved.answers if one.condition.starting == starting]
        if alike and all(one.holds for one in alike):
            judged = deciding(solved, starting)
            assert min(one.worst[1] for one in judged) == min(one.worst[1] for one in alike)
            assert max(one.drop for one in judged) == max(one.drop for one in alike)
    travels = solved.travels_that_decide()
    if travels is not None and None not in [one.stroke_s for one in travels]:
        assert max(one.stroke_s for one in travels) == max(one.stroke_s for one in solved.travels)


def deciding(solved, starting):
    alike = [one for one in solved.answers if one.condition.starting == starting]
    return solved.model.deciding(alike) if alike else []


@given(circuits(), st.floats(0.3, 3.0))
@settings(max_examples=25, deadline=None)
def test_circuits_alike_say_each_what_it_says_without_the_other(circuit, factor):
    second = stretched(circuit, factor)
    both, alone = (check_panel(make_panel(circuits=circuits)) for circuits in ((circuit, second), (second,)))
    assert all([one.sentence for one in both])  # refused where another verdict, or another number, is told
    assert of_its_own(both) == of_its_own(alone)


def of_its_own(findings):
    codes = ("cable.", "time.", "supply.output")
    return [one for one in findings if one.subject == "circuit 2" and one.code.startswith(codes)]
