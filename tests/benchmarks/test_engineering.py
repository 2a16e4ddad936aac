"""How fast the design check is, and how near to a general circuit simulator. Run with ``make bench``.

The limits are those of the product's requirements; the figures are printed for people.
"""

import itertools
import resource
import time
from dataclasses import replace

import pytest

from tests.zones.engineering.designs import make_device, make_line, make_panel
from tests.zones.engineering.ngspice import needs_ngspice, tree_voltages
from zones.engineering import Actuator, ActuatorCircuit, CableRun, Conductor, LoadModel, Severity, check_panel
from zones.engineering.cables import cable_tree
from zones.engineering.networks import node_voltages
from zones.engineering.solved_circuits import SOURCES, solve_circuit

SIZES = (1.5, 2.5, 4.0, 6.0)
MODELS = tuple(LoadModel)


def branched_circuit(count=40, *, current_a=0.8, models=MODELS):
    """A circuit of `count` actuators on a tree that forks at every second junction box, sections mixed."""
    runs, drives = [], []
    for k in range(count):
        feeder = None if k == 0 else f"C{(k - 1) // 2}"
        runs.append(CableRun(f"C{k}", 4.0 + k % 7, Conductor(SIZES[3 - k % 4 if k > 6 else 3], 2), feeder))
        drives.append(
            Actuator(
                *(f"A{k}", f"C{k}", "V1"),
                **{"rated_current_a": current_a, "rated_voltage_v": 24.0, "minimum_voltage_v": 12.0},
                load_model=models[k % len(models)],
            )
        )
    return ActuatorCircuit("circuit 1", tuple(runs), tuple(drives))


def best_of(rounds, call):
    """Shortest time of several rounds, s: the machine's other work is not ours."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        call()
        times.append(time.perf_counter() - start)
    return min(times)


def build_and_solve(circuit):
    tree = cable_tree(circuit.runs)
    return node_voltages(tree.network(one.running_load() for one in circuit.actuators), 24.0)


@pytest.mark.parametrize("models", [(LoadModel.CONSTANT_CURRENT,), MODELS], ids=["constant current", "mixed loads"])
@needs_ngspice
def test_a_branched_circuit_of_40_actuators_takes_less_than_a_millisecond(models):
    circuit = branched_circuit(models=models)
    network = cable_tree(circuit.runs).network(one.running_load() for one in circuit.actuators)
    ours = node_voltages(network, 24.0)
    theirs = tree_voltages(network, 24.0)
    difference_v = max(abs(a - b) for a, b in zip(ours, theirs, strict=True))

    solving_s = best_of(200, lambda: node_voltages(network, 24.0))
    whole_s = best_of(200, lambda: build_and_solve(circuit))
    process_s = best_of(5, lambda: tree_voltages(network, 24.0))
    # The start of the process taken off: what one more operating point costs in a simulator that runs already.
    again = 500
    solve_s = (best_of(3, lambda: tree_voltages(network, 24.0, repeat=again + 1)) - process_s) / again

    print(f"\n40 actuators, {'mixed loads' if len(models) > 1 else models[0]}, lowest {min(ours):.3f} V")
    print(f"  ours: solve {solving_s * 1e6:7.0f} us, tree built and solved {whole_s * 1e6:7.0f} us")
    print(f"  ngspice: one process {process_s * 1e3:7.2f} ms, each further operating point {solve_s * 1e6:7.0f} us")
    print(f"  ratio: process/ours {process_s / whole_s:6.0f}, operating point/ours {solve_s / solving_s:6.2f}")
    print(f"  largest difference {difference_v:.2e} V")
    assert whole_s < 1e-3
    assert difference_v <= 1e-3


@needs_ngspice
def test_a_circuit_of_40_actuators_in_all_conditions_takes_less_than_two_milliseconds():
    circuit = branched_circuit()
    circuit = replace(
        circuit,
        fire_minutes=30.0,
        runs=tuple(replace(run, hot_length_m=1.0) for run in circuit.runs),
        actuators=tuple(replace(one, starting_current_a=1.0) for one in circuit.actuators),
    )

    def solved():
        found = solve_circuit(circuit, mains_v=24.0, discharged_v=21.0)
        return found, [found.output_a(source) for source in SOURCES], found.travels

    answers = solved()[0].answers
    ours_s = best_of(100, solved)
    network = cable_tree(circuit.runs).network(one.running_load() for one in circuit.actuators)
    process_s = best_of(5, lambda: tree_voltages(network, 24.0))
    again = 500
    point_s = (best_of(3, lambda: tree_voltages(network, 24.0, repeat=again + 1)) - process_s) / again
    theirs_s = process_s + (len(answers) - 1) * point_s
    print(f"\n40 actuators, {len(answers)} conditions, tree built, currents and travels: {ours_s * 1e3:.2f} ms")
    print(f"  ngspice, one process and {len(answers)} operating points: {theirs_s * 1e3:.2f} ms")
    print(
        f"  ratio: ngspice with its process/ours {theirs_s / ours_s:.0f}, without {len(answers) * point_s / ours_s:.2f}"
    )
    assert len(answers) == 8
    assert ours_s < 2e-3


def portfolio(count, circuits=10, actuators=4):
    """Panels one after another, each a little different, every kind of check in each."""
    template = make_panel()
    battery = replace(template.battery, fuse_a=63.0, greatest_current_a=170.0)
    actuator = replace(template.circuits[0].actuators[0], rated_current_a=0.5, starting_current_a=0.6)
    for number in range(count):
        drives = itertools.count(1)
        size = Conductor(SIZES[number % 4], 2)
        made = tuple(
            ActuatorCircuit(
                *(f"circuit {k}",),
                runs=tuple(
                    CableRun(f"C{i}", 5.0 + (number + i) % 20, size, f"C{(i - 1) // 2}" if i else None)
                    for i in range(actuators)
                ),
                actuators=tuple(replace(actuator, name=f"A{next(drives)}", at=f"C{i}") for i in range(actuators)),
                **{"output_limit_a": 5.0, "run_time_s": 90.0, "end_of_line_at": (f"A{k * actuators + actuators}",)},
            )
            for k in range(circuits)
        )
        devices = tuple(make_device(f"D{k}", length_m=5.0 + number % 30) for k in range(6))
        lines = (make_line("L1", devices=devices), make_line("L2", devices=devices))
        supply = replace(template.supply, rated_current_a=16.0 + number % 32)
        yield replace(
            template, name=f"panel {number}", circuits=made, lines=lines, supply=supply, battery=battery, groups=()
        )


def test_ten_thousand_panels_of_ten_circuits_take_less_than_a_minute_and_no_memory():
    [check_panel(design) for design in portfolio(50)]  # warm
    before_kib = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    start, start_cpu, findings, failing = time.perf_counter(), time.process_time(), 0, 0
    for found in map(check_panel, portfolio(10_000)):
        findings += len(found)
        failing += any(one.severity == Severity.FAIL for one in found)
    elapsed_s, cpu_s = time.perf_counter() - start, time.process_time() - start_cpu
    grown_mib = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before_kib) / 1024
    print(f"\n10 000 panels × 10 circuits × 4 actuators, 2 lines of 6 devices: {cpu_s:.1f} s of one core")
    print(f"  {10_000 / cpu_s:.0f} panels/s; by the clock, with what else ran, {elapsed_s:.1f} s")
    print(f"  {findings} findings, {failing} panels with a failing one")
    print(f"  memory grew by {grown_mib:.1f} MiB")
    assert 0 < failing < 10_000
    assert cpu_s < 60  # other work on the machine is not ours
    assert grown_mib < 20
