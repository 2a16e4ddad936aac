"""One cable and its actuators: does each still get its least voltage?"""

from dataclasses import replace
from math import inf

from zones.calculators.forms.cables import conductor_of
from zones.calculators.forms.voltage_drop import VoltageDropForm
from zones.calculators.views.base import Answer, CalculatorPage, Head
from zones.engineering import Actuator, ActuatorCircuit, CableRun, LoadModel, check_circuit
from zones.engineering.cables import solve_tree
from zones.engineering.circuit_check import resistance_source
from zones.engineering.circuits import circuit_model, conditions
from zones.engineering.findings import Figure, Severity, missing, note
from zones.engineering.quantities import rounded_down, rounded_up
from zones.engineering.sources import RECORD

CABLE = "Cable"
SOURCES = (("on mains", "mains_v"), ("at end of discharge", "discharged_v"))
FORMULA = "voltage at the actuator = source - sum over the route of loop resistance × current beyond"


class VoltageDropPage(CalculatorPage):
    form_class = VoltageDropForm
    heading = "Voltage drop on a cable"
    lead = "Does every actuator still get its least voltage, on mains and at the end of battery discharge?"
    hint = "Enter length, size and class of the cable, what hangs on it and what the panel gives."

    def calculate(self, figures, practice):
        if figures["temperature_c"] is not None:
            practice = replace(practice, conductor_temperature_c=figures["temperature_c"])
        if figures["actuators"] is None:
            gap = missing("cable.voltage", CABLE, "number of actuators", [], RECORD, not_checked="voltage on the cable")
            return Answer((gap,))
        circuit = circuit_of(figures)
        findings = [
            finding
            for finding in check_circuit(
                circuit, mains_v=figures["mains_v"], discharged_v=figures["discharged_v"], practice=practice
            )
            if finding.code != "figure.unusual"  # the form asks about each figure once
        ]
        reached, heads = _reached(circuit, figures, practice)
        return Answer((*findings, *reached), (*heads, *_limits(circuit, figures, findings, practice)))


def circuit_of(figures):
    """The cable as a circuit: one run, or as many as there are actuators along it."""
    number = figures["actuators"]
    sections = number if figures["place"] == "even" else 1
    conductor = conductor_of(figures["size"], figures["conductor_class"])
    length_m, hot_m = figures["length_m"], figures["hot_length_m"]
    if hot_m is not None and length_m is not None:
        CableRun(CABLE, length_m, conductor, hot_length_m=hot_m)  # refuses more metres in the fire than there are
    names = [f"section {k}" for k in range(1, sections + 1)] if sections > 1 else [CABLE]
    runs = []
    for k, name in enumerate(names):
        each_m = None if length_m is None else length_m / sections
        # What burns is taken from the panel on: there the cable carries most.
        hot_here_m = hot_m if hot_m is None or each_m is None else min(each_m, max(0.0, hot_m - k * each_m))
        fed_from = names[k - 1] if k else None
        runs.append(CableRun(name, each_m, conductor, fed_from, hot_here_m))
    actuators = tuple(
        Actuator(
            name=f"actuator {k}" if number > 1 else "the actuator",
            at=names[k - 1] if sections > 1 else names[0],
            rated_current_a=figures["rated_current_a"],
            starting_current_a=figures["starting_current_a"],
            rated_voltage_v=figures["rated_voltage_v"],
            minimum_voltage_v=figures["minimum_voltage_v"],
            lower_voltage_v=figures["lower_voltage_v"],
            lower_current_a=figures["lower_current_a"],
            load_model=LoadModel(figures["load"] or LoadModel.CONSTANT_CURRENT),
        )
        for k in range(1, number + 1)
    )
    return ActuatorCircuit(CABLE, tuple(runs), actuators, fire_minutes=figures["fire_minutes"])


def _reached(circuit, figures, practice):
    """(finding, heads): the voltage at the far end from each source, with or without a least voltage to compare."""
    powered = figures["load"] == LoadModel.CONSTANT_POWER
    by_voltage = powered or figures["load"] == LoadModel.RESISTIVE
    sources = [(words, figures[name]) for words, name in SOURCES if figures[name] is not None]
    wanted = [figures["length_m"], circuit.runs[0].conductor, figures["rated_current_a"]]
    if not sources or None in wanted or (by_voltage and figures["rated_voltage_v"] is None):
        return [], []
    loads, sentences, heads = [actuator.running_load() for actuator in circuit.actuators], [], []
    for words, source_v in sources:
        volts = solve_tree(circuit.runs, loads, source_v, temperature_c=practice.conductor_temperature_c)
        # A constant-power load runs at half the source voltage or above, or not at all.
        if volts is None or (powered and min(volts.values()) < source_v / 2):
            sentences.append(f"The cable cannot deliver this power {words} ({source_v:g} V).")
            heads.append(Head(words, "none"))
            continue
        end_v = min(volts.values())
        drop_v, share = rounded_up(source_v - end_v, 2), rounded_up(100 * (1 - end_v / source_v), 1)
        sentences.append(
            f"{rounded_down(end_v, 2):g} V of {source_v:g} V reach the far end {words}; {drop_v:g} V ({share:g} %) are "
            f"lost on the way."
        )
        heads.append(Head(words, f"{rounded_down(end_v, 2):.2f} V"))
    inputs = (
        *_inputs(figures, practice, circuit),
        *(Figure(f"source {words}", volts, "V") for words, volts in sources),
    )
    return [
        note("cable.end_voltage", CABLE, " ".join(sentences), resistance_source(circuit.runs), inputs, FORMULA)
    ], heads


def _inputs(figures, practice, circuit):
    return (
        Figure("length, one way", figures["length_m"], "m"),
        Figure("size", str(circuit.runs[0].conductor)),
        Figure("greatest resistance of a core at 20 °C", circuit.runs[0].conductor.ohm_per_km, "ohm/km"),
        Figure("conductor temperature", practice.conductor_temperature_c, "°C"),
        Figure("actuators", figures["actuators"]),
        Figure("rated current of each", figures["rated_current_a"], "A"),
    )


def _limits(circuit, figures, findings, practice):
    """Margin, longest cable and smallest size, when every figure for a verdict is known."""
    if any(one.code == "cable.voltage" and one.severity == Severity.MISSING for one in findings):
        return ()
    model = circuit_model(circuit, practice)
    asked = conditions(model, mains_v=figures["mains_v"], discharged_v=figures["discharged_v"])
    # The worst of the conditions decides how long and how thin the cable may be.
    margin_v = min(model.margin_v(one) for one in asked)
    factors, areas = [model.longest_factor(one) for one in asked], [model.smallest_area_mm2(one) for one in asked]
    margin = "none" if margin_v == -inf else f"{rounded_down(margin_v, 2):.2f} V".replace("-", "\N{MINUS SIGN}")
    longest_m = None if None in factors else rounded_down(min(factors) * figures["length_m"], 1)
    return (
        Head("least margin", margin),
        Head("longest permissible", f"{longest_m:g} m" if longest_m else "none"),
        Head("smallest size that does", "none" if None in areas else f"{max(areas):g} mm²"),
    )
