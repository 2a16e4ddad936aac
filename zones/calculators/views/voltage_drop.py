"""One cable and its actuators: does each still get its least voltage?"""

from dataclasses import replace
from math import inf

from zones.calculators.circuits import CABLE, circuit_of
from zones.calculators.forms.voltage_drop import VoltageDropForm
from zones.calculators.views.base import Answer, CalculatorPage, Head
from zones.engineering import check_circuit
from zones.engineering.circuit_check import resistance_source
from zones.engineering.circuits import circuit_model, conditions
from zones.engineering.findings import Figure, Severity, missing, note
from zones.engineering.quantities import rounded_down, rounded_up
from zones.engineering.solved_circuits import DISCHARGED, MAINS, SOURCES, solve_circuit
from zones.engineering.sources import RECORD

WORDS = {MAINS: "on mains", DISCHARGED: "at end of discharge"}
NO_LEAST_VOLTAGE_V = 1e-3
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


def _reached(circuit, figures, practice):
    """(finding, heads): the voltage at the far end from each source, with or without a least voltage to compare."""
    volts = {"mains_v": figures["mains_v"], "discharged_v": figures["discharged_v"]}
    answered = solve_circuit(_with_least_voltage(circuit), practice=practice, **volts)
    answers = [one for source in SOURCES for one in answered.in_condition(source) if not one.condition.in_fire]
    if not answers:
        return [], []
    sentences, heads = [], []
    for answer in answers:
        source_v, words = answer.condition.source_v, WORDS[answer.condition.source]
        # A constant-power load runs at half the source voltage or above, or not at all.
        if not answer.holds:
            sentences.append(f"The cable cannot deliver this power {words} ({source_v:g} V).")
            heads.append(Head(words, "none"))
            continue
        end_v = min(answer.node_v.values())
        drop_v, share = rounded_up(source_v - end_v, 2), rounded_up(100 * (1 - end_v / source_v), 1)
        sentences.append(
            f"{rounded_down(end_v, 2):g} V of {source_v:g} V reach the far end {words}; {drop_v:g} V ({share:g} %) are "
            f"lost on the way."
        )
        heads.append(Head(words, f"{rounded_down(end_v, 2):.2f} V"))
    sources = [Figure(f"source {WORDS[one.condition.source]}", one.condition.source_v, "V") for one in answers]
    inputs = (*_inputs(figures, answered), *sources)
    return [
        note("cable.end_voltage", CABLE, " ".join(sentences), resistance_source(circuit.runs), inputs, FORMULA)
    ], heads


def _with_least_voltage(circuit):
    """The same, where no least voltage was entered with one that warms the cores as far as they may become."""
    return replace(
        circuit,
        actuators=tuple(
            one if one.minimum_voltage_v is not None else replace(one, minimum_voltage_v=NO_LEAST_VOLTAGE_V)
            for one in circuit.actuators
        ),
    )


def _inputs(figures, solved):
    run = solved.circuit.runs[0]
    warmest_c = max(solved.model.trees[False].temperature_c)
    return (
        Figure("length, one way", figures["length_m"], "m"),
        Figure("size", str(run.conductor)),
        Figure("cores in parallel per pole", run.cores_per_pole),
        Figure("greatest resistance of a core at 20 °C", run.conductor.ohm_per_km, "ohm/km"),
        Figure("conductor temperature", rounded_up(warmest_c, 1), "°C"),
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
