"""Findings about the cables of an actuator circuit: does every actuator still get its minimum voltage?"""

from collections.abc import Callable, Sequence
from functools import partial

from zones.engineering.actuators import Actuator
from zones.engineering.cables import CableRun, LoadModel
from zones.engineering.circuits import ActuatorCircuit, CircuitModel, CircuitVoltages, Condition
from zones.engineering.conductors import STANDARD_AREAS_MM2, hot_factor, standard_fire_temperature_c
from zones.engineering.findings import (
    Figure,
    Finding,
    Severity,
    at_least,
    at_most,
    fail,
    missing,
    note,
    question,
    verdict,
    verdict_when_read,
    when_read,
)
from zones.engineering.load_kinds import over_kinds
from zones.engineering.quantities import QUANTITIES, questioned, rounded_down, rounded_up
from zones.engineering.solved_circuits import DISCHARGED, MAINS, SolvedCircuit, solve_circuit
from zones.engineering.sources import (
    ASTM_B258,
    DATA_SHEET,
    DESIGN_ENTRY,
    IEC_60228,
    NFPA_70_STRANDED,
    PRACTICE,
    RECORD,
    Source,
)
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice
from zones.engineering.what_if import with_area

_FORMULA = "voltage at the actuator = source - sum over the route of loop resistance × current beyond"
_FIRE_FORMULA = (
    "; in the fire resistance × (T/293 K)^1.16 (German functional-integrity practice, from memory), T after so many "
    "minutes by the standard temperature-time curve (EN 1363-1:2020, from memory)"
)
_LENGTH, _HOT_LENGTH = QUANTITIES["length"], QUANTITIES["hot_length"]
_CODES = {
    (False, False): "cable.voltage",
    (True, False): "cable.voltage_starting",
    (False, True): "cable.voltage_fire",
    (True, True): "cable.voltage_fire_starting",
}


def check_circuit(
    circuit: ActuatorCircuit,
    *,
    mains_v: float | None,
    discharged_v: float | None,
    practice: TradePractice = TRADE_PRACTICE,
) -> list[Finding]:
    """Voltage at every actuator, on mains and at the end of discharge, running, starting and in the fire.

    Args:     mains_v, discharged_v: at the panel's output, the panel's own drop taken off; ``None``: not known.
    Source:   IEC 60228:2004 for the resistance [S2], the actuator's data sheet for the minimum voltage.
    """

    def judge(circuits):
        (one,) = circuits
        return check_solved(solve_circuit(one, mains_v=mains_v, discharged_v=discharged_v, practice=practice))

    return over_kinds(judge, (circuit,))


def check_solved(solved: SolvedCircuit, passes: Callable[[ActuatorCircuit], bool] = lambda circuit: True):
    """As :func:`check_circuit`, of a circuit that is solved already.

    Args:     passes: whether other checks of the cable would pass for a circuit: only then it is offered as a remedy.
    Returns:  findings.
    """
    circuit, model = solved.circuit, solved.model
    findings = _questions(circuit)
    if not circuit.actuators:
        return [
            *findings,
            note("cable.voltage", circuit.name, f"{circuit.name} has no actuators yet.", RECORD),
        ]
    volts = solved.source_v[MAINS], solved.source_v[DISCHARGED]
    if None in volts or not (solved.model or solved.tree_error):
        return findings + missing_figures(circuit, *volts)
    if solved.tree_error:
        return [*findings, fail("cable.tree", circuit.name, f"{circuit.name}: {solved.tree_error}", RECORD)]
    by_kind: dict[tuple[bool, bool], list[CircuitVoltages]] = {}
    for answer in solved.answers:
        by_kind.setdefault((answer.condition.starting, answer.condition.in_fire), []).append(answer)
    passes = _remembering(passes)  # each condition that is not met asks it of the same circuits
    for kind, same_kind in by_kind.items():
        findings.append(_voltage_finding(model, _CODES[kind], same_kind, solved.answers, passes))
        if kind == (False, False) and findings[-1].severity == Severity.MEETS:
            findings += _large_drop(model, same_kind)
    return findings + _starting_not_checked(model) + _fire_not_checked(circuit)


def _remembering(passes):
    """As ``functools.cache``, which takes longer to set up than most circuits to judge."""
    known = {}

    def asked(circuit):
        if circuit not in known:
            known[circuit] = passes(circuit)
        return known[circuit]

    return asked


def _voltage_finding(
    model: CircuitModel, code: str, answers: list[CircuitVoltages], in_all: Sequence[CircuitVoltages], passes
) -> Finding:
    """One finding over both sources; the worse decides. `in_all`: the answers in every condition, for the remedy."""
    circuit = model.circuit
    deciding = model.deciding(answers)
    if not all([one.holds for one in deciding]):
        condition = next(one.condition for one in answers if not one.holds)
        return _no_operating_point(model, code, condition, in_all, passes)
    decisive = min(deciding, key=lambda answer: answer.worst[1])
    return verdict_when_read(
        *(code, circuit.name, decisive.worst[1] >= 0),
        lambda: _voltage_told(model, code, answers, decisive, in_all, passes),
    )


def _voltage_told(model: CircuitModel, code: str, answers, decisive: CircuitVoltages, in_all, passes) -> Finding:
    """The same finding with its figures and its remedy, which take longer than the verdict."""
    circuit = model.circuit
    actuator, margin_v = decisive.worst
    volts, minimum_v = decisive.actuator_v[actuator.name], actuator.minimum_voltage_v
    longest_m = _longest_route_m(model, decisive.condition, actuator)
    area_mm2 = model.smallest_area_mm2(decisive.condition)
    inputs = (
        *_put_in(model, answers, actuator),
        *(Figure(f"voltage {answer.condition}", _down(answer.worst), "V") for answer in answers),
        Figure("minimum voltage", minimum_v, "V"),
        Figure("margin", rounded_down(margin_v, 2), "V"),
        Figure("longest route", longest_m, "m"),
        Figure("smallest section throughout", area_mm2, "mm²"),
        Figure("conductor temperature", _temperatures(model), "°C"),
    )
    gets = f"{circuit.name}: {actuator.name} gets {rounded_down(volts, 2):g} V {decisive.condition}"
    good = f"{gets}, {rounded_down(margin_v, 2):g} V above its minimum of {minimum_v:g} V"
    remedy = _remedy(model, in_all, actuator, passes) if margin_v < 0 else ""
    bad = f"{gets}, {rounded_up(-margin_v, 2):g} V below its minimum of {minimum_v:g} V. {remedy}"
    formula = _FORMULA + (_FIRE_FORMULA if decisive.condition.in_fire else "")
    compared = at_least(rounded_down(volts, 2), minimum_v, "V", margin_v)
    source = resistance_source(model.circuit.runs)
    return verdict(code, circuit.name, margin_v >= 0, good, bad, source, inputs, formula, compared=compared)


def resistance_source(runs: Sequence[CableRun]) -> Source:
    """Whose table the resistance of most metres stands in."""
    metres: dict[Source, float] = {}
    for run in runs:
        core = run.conductor
        solid = core.conductor_class == 1 and not core.tinned
        source = IEC_60228 if core.awg is None else ASTM_B258 if solid else NFPA_70_STRANDED
        metres[source] = metres.get(source, 0.0) + run.length_m
    return max(metres, key=metres.__getitem__)


def _temperatures(model: CircuitModel) -> float | str:
    """How warm the cores are taken to be: where the laying of all is known by their load, else at the limit."""
    found_c = model.trees[False].temperature_c
    least, most = round(min(found_c), 1), round(max(found_c), 1)
    return most if least == most else f"{least:g} to {most:g}"


def _put_in(model: CircuitModel, answers: list[CircuitVoltages], actuator: Actuator) -> list[Figure]:
    """The figures behind a voltage: sources, what is taken, the cable on the way, and the fire where there is one."""
    circuit, condition = model.circuit, answers[0].condition
    tree, network = model.trees[condition.in_fire], model.networks[condition.starting]
    route = tree.route(tree.place(actuator.at))
    taken = ((sum(network.current_a), "A"), (sum(network.power_w), "W"), (sum(network.conductance_s), "S"))
    words = [f"{value:g} {unit}" for value, unit in taken if value]
    if network.open_loads:
        words.append(f"{len(network.open_loads)} × the worst kind of load")
    figures = [Figure(f"source {answer.condition.source_words}", answer.condition.source_v, "V") for answer in answers]
    figures += [
        Figure("taken by all actuators", " and ".join(words)),
        Figure(f"route to {actuator.name}", round(sum(run.length_m for run in route), 2), "m"),
        Figure("cable on the route", ", ".join(dict.fromkeys(run.conductor.in_words for run in route))),
    ]
    if condition.in_fire:
        hot_c = standard_fire_temperature_c(circuit.fire_minutes)
        figures += [
            Figure("minutes in the fire", circuit.fire_minutes, "min"),
            Figure("length exposed to fire on the route", round(sum(run.hot_length_m or 0.0 for run in route), 2), "m"),
            Figure("temperature in the fire", round(hot_c, 1), "°C"),
            Figure("resistance in the fire", round(hot_factor(hot_c), 2), "× that at 20 °C"),
        ]
    return figures


def _no_operating_point(
    model: CircuitModel, code: str, condition: Condition, in_all: Sequence[CircuitVoltages], passes
) -> Finding:
    area_mm2 = _area_for_all_mm2(model, in_all, passes)
    remedy = f"{area_mm2:g} mm² throughout would do" if area_mm2 else "no standard section is enough"
    sentence = (
        f"{model.circuit.name}: the cable cannot deliver this power {condition}; there is no operating point. "
        f"Shorten the cable, split the circuit or use a larger section ({remedy})."
    )
    inputs = (Figure("source voltage", condition.source_v, "V"), Figure("smallest section", area_mm2, "mm²"))
    return fail(code, model.circuit.name, sentence, resistance_source(model.circuit.runs), inputs, _FORMULA)


def _longest_route_m(model: CircuitModel, condition: Condition, actuator: Actuator) -> float | None:
    """Route to the worst actuator if all runs grew alike until the first minimum is reached, rounded down.

    ``None``: no length leaves enough, or only one shorter than what of it is in the fire.
    """
    factor, tree = model.longest_factor(condition), model.trees[condition.in_fire]
    if factor is None:
        return None
    if condition.in_fire and any(factor * run.length_m < (run.hot_length_m or 0.0) for run in tree.runs):
        return None
    return rounded_down(factor * tree.route_m(tree.place(actuator.at)), 1)


def _area_for_all_mm2(model: CircuitModel, answers: Sequence[CircuitVoltages], passes) -> float | None:
    """The standard section that does in every one of these conditions, and with its device; ``None``: none does."""
    areas = [model.smallest_area_mm2(one.condition) for one in answers]
    if None in areas:
        return None
    larger = (area_mm2 for area_mm2 in STANDARD_AREAS_MM2 if area_mm2 >= max(areas))
    return next((one for one in larger if passes(with_area(model.circuit, one, 5))), None)


def _remedy(model: CircuitModel, answers: Sequence[CircuitVoltages], actuator: Actuator, passes) -> str:
    """What would do in every one of these conditions: one finding must not offer what the next refuses."""
    if any(one.condition.source_v <= max(model.minimum_v) for one in answers):
        return "The source itself gives no more: choose actuators with a lower minimum, or another supply."
    lengths_m = [_longest_route_m(model, one.condition, actuator) for one in answers]
    longest_m = 0.0 if None in lengths_m else min(lengths_m)
    area_mm2 = _area_for_all_mm2(model, answers, passes)
    ways = []
    if area_mm2 is not None:
        ways.append(f"use {area_mm2:g} mm² throughout")
    if longest_m > 0 and passes(model.circuit):
        ways.append(f"keep the route to {actuator.name} within {longest_m:g} m")
    if not ways:
        return "No standard section is enough: split the circuit or move the panel nearer."
    words = " or ".join(ways)
    return f"{words[0].upper()}{words[1:]}."


def _down(worst: tuple[Actuator, float]) -> float:
    actuator, margin_v = worst
    return rounded_down(actuator.minimum_voltage_v + margin_v, 2)


def _large_drop(model: CircuitModel, answers: list[CircuitVoltages]) -> list[Finding]:
    """The percentage limit of common practice: a question, because the minimum voltage is what counts."""
    limit = model.practice.question_drop_fraction
    large = [one for one in model.deciding(answers) if one.drop > limit]
    if not large:
        return []
    told = partial(_large_drop_told, answers, large[0], limit)
    return [when_read("cable.large_drop", Severity.QUESTION, model.circuit.name, told)]


def _large_drop_told(answers: list[CircuitVoltages], large: CircuitVoltages, limit: float) -> Finding:
    """Of the first source from which it is large."""
    answer = next((one for one in answers if one.drop > limit), large)
    circuit, source_v, drop = answer.model.circuit, answer.condition.source_v, answer.drop
    name = circuit.actuators[answer.at_actuators_v.index(answer.least_v)].name
    sentence = (
        f"{circuit.name}: {drop:.1%} of the voltage is lost on the way to {name} {answer.condition}; "
        f"{limit:.0%} is common. Check that the minimum voltage entered is the maker's."
    )
    inputs = (Figure("source voltage", source_v, "V"), Figure("common limit", limit))
    compared = at_most(round(100 * drop, 1), round(100 * limit, 1), "%", 100 * (limit - drop))
    return question("cable.large_drop", circuit.name, sentence, PRACTICE, inputs, compared=compared)


def _starting_not_checked(model: CircuitModel) -> list[Finding]:
    if True in model.networks:
        return []
    circuit, code = model.circuit, _CODES[(True, False)]
    owners = [one.name for one in circuit.actuators if one.starting_current_a is None]
    finding = missing(
        code, circuit.name, "starting current", owners, DATA_SHEET, not_checked=f"start on {circuit.name}"
    )
    if model.practice.starting_current_required:
        return [finding]
    return [note(code, circuit.name, finding.sentence, DATA_SHEET, finding.inputs)]


def _fire_not_checked(circuit: ActuatorCircuit) -> list[Finding]:
    """Only where someone asked for it: how many metres burn is the fire engineer's decision."""
    code, unchecked = _CODES[(False, True)], f"{circuit.name} in the fire"
    if circuit.fire_minutes is not None:
        if owners := [run.name for run in circuit.runs if run.hot_length_m is None]:
            what = "length exposed to fire"
            return [missing(code, circuit.name, what, owners, DESIGN_ENTRY, not_checked=unchecked)]
    elif any(run.hot_length_m for run in circuit.runs):
        return [missing(code, circuit.name, "minutes in the fire", [], DESIGN_ENTRY, not_checked=unchecked)]
    return []


def missing_figures(circuit: ActuatorCircuit, mains_v: float | None, discharged_v: float | None):
    """One finding for each kind of figure that is not known."""
    unchecked = f"voltage on {circuit.name}"
    gaps = []

    def ask(what: str, owners: list[str], source) -> None:
        gaps.append(missing("cable.voltage", circuit.name, what, owners, source, not_checked=unchecked))

    for what, volts in (("voltage on mains", mains_v), ("voltage at the end of discharge", discharged_v)):
        if volts is None:
            ask(what, ["the panel"], DATA_SHEET)
    if not circuit.runs:
        ask("cable runs", [circuit.name], RECORD)
        return gaps
    for what, field in (("length", "length_m"), ("section or class", "conductor")):
        if owners := [run.name for run in circuit.runs if getattr(run, field) is None]:
            ask(what, owners, RECORD)
    for what, field, source in (
        ("place on the cable", "at", RECORD),
        ("rated current", "rated_current_a", DATA_SHEET),
        ("minimum voltage", "minimum_voltage_v", DATA_SHEET),
    ):
        if owners := [one.name for one in circuit.actuators if getattr(one, field) is None]:
            ask(what, owners, source)
    needs_rated_v = [one for one in circuit.actuators if one.load_model != LoadModel.CONSTANT_CURRENT]
    if owners := [one.name for one in needs_rated_v if one.rated_voltage_v is None]:
        ask("rated voltage", owners, DATA_SHEET)
    return gaps


def _questions(circuit: ActuatorCircuit) -> list[Finding]:
    """Figures far from trade values."""
    sentences = [
        questioned("current", circuit.output_limit_a, field="output_limit_a"),
        questioned("time", circuit.run_time_s, field="run_time_s"),
        questioned("delay", circuit.delay_s, field="delay_s"),
        questioned("fire_minutes", circuit.fire_minutes, field="minutes in the fire"),
    ]
    for run in circuit.runs:
        if _LENGTH.is_usual(run.length_m) and _HOT_LENGTH.is_usual(run.hot_length_m):
            continue
        sentences += [
            questioned("length", run.length_m, field="length_m", subject=run.name),
            questioned("hot_length", run.hot_length_m, field="length exposed to fire", subject=run.name),
        ]
    for one in circuit.actuators:
        sentences += [questioned(q, getattr(one, field), field=field, subject=one.name) for q, field in one.unusual]
    return [
        question("figure.unusual", circuit.name, f"{circuit.name}: {words}", PRACTICE) for words in sentences if words
    ]
