"""What the power supply must carry: per output, per panel, all at once or step after step, and while starting."""

from zones.engineering.cables import LoadModel
from zones.engineering.findings import (
    Figure,
    Finding,
    Severity,
    at_most,
    fail,
    listed,
    meets_in_words,
    missing,
    question,
    verdict,
    verdict_when_read,
)
from zones.engineering.operation import Operation
from zones.engineering.power_supply import Demand, demand
from zones.engineering.quantities import questioned, rounded_down, rounded_up
from zones.engineering.solved_circuits import MAINS, SOURCE_WORDS, SOURCES, SolvedCircuit
from zones.engineering.sources import DATA_SHEET, EN_12101_2_TIME, PRACTICE, RECORD
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice

_SIMULTANEOUS = "sum of currents at the operating point (diversity 1.0) + panel in alarm + charger unless inhibited"


def check_supply(operation: Operation, practice: TradePractice = TRADE_PRACTICE) -> list[Finding]:
    """Each output within its limit, all motors within the supply, and in time if run in sequence.

    In alarm everything on the panel counts as opening together (diversity 1.0, common practice [P]); every current is
    that of the operating point.
    """
    panel = operation.name
    findings = [*_questions(operation), *_stagger_not_known(operation)]
    for solved in operation.with_actuators:
        findings += _output_findings(operation, solved)
    if gaps := _missing_figures(operation):
        return findings + gaps
    if operation.supply.sequential and operation.with_actuators:
        findings += _sequential_findings(operation, practice)
    else:
        findings.append(_simultaneous_finding(panel, _demand(operation, operation.motors_a(MAINS))))
    return findings + _starting_findings(operation)


def check_highest_voltage(operation: Operation) -> list[Finding]:
    """No actuator above the greatest voltage of its data sheet, charging on mains without load.

    Source:   the data sheets of panel and actuators.
    """
    code, panel, actuators = "supply.highest_voltage", operation.name, _actuators(operation)
    if not actuators:
        return []
    unchecked = f"greatest voltage at the actuators of {panel}"
    unknown = [one.name for one in actuators if one.highest_voltage_v is None]
    gaps = [missing(code, panel, "greatest voltage", unknown, DATA_SHEET, not_checked=unchecked)] if unknown else []
    most_v = operation.supply.highest_voltage_v
    if most_v is not None:  # what an output gives always is not above what it ever gives
        most_v = max(most_v, operation.supply.output_voltage_v or 0.0)
    if most_v is None:
        what = "greatest voltage of the outputs"
        return [*gaps, missing(code, panel, what, [panel], DATA_SHEET, not_checked=unchecked)]
    known = [one for one in actuators if one.highest_voltage_v is not None]
    if not known:
        return gaps
    least = min(known, key=lambda one: one.highest_voltage_v)
    left_v, inputs = (
        least.highest_voltage_v - most_v,
        (
            Figure("greatest voltage of the outputs", most_v, "V"),
            Figure(f"greatest voltage of {least.name}", least.highest_voltage_v, "V"),
        ),
    )
    above = [one.name for one in known if one.highest_voltage_v < most_v]
    found = verdict(
        *(code, panel, not above),
        f"{panel}: its outputs give at most {most_v:g} V, {least.name} bears {least.highest_voltage_v:g} V",
        f"{panel}: its outputs give at most {most_v:g} V, {rounded_up(-left_v, 2):g} V more than {listed(above)} bears "
        f"({least.highest_voltage_v:g} V). Fit actuators for that voltage, or a panel that regulates its outputs.",
        *(DATA_SHEET, inputs, "no load, no drop in the cable"),
        compared=at_most(most_v, least.highest_voltage_v, "V", left_v),
    )
    return [found, *gaps] if found.severity == Severity.FAIL or not gaps else gaps


def _actuators(operation):
    return [one for solved in operation.with_actuators for one in solved.circuit.actuators]


def _questions(operation: Operation) -> list[Finding]:
    panel, supply = operation.name, operation.supply
    asked = (
        ("current", "rated_current_a"),
        ("voltage", "output_voltage_v"),
        ("quiescent_current", "quiescent_current_a"),
        ("quiescent_current", "alarm_current_a"),
        ("current", "charger_current_a"),
        ("voltage_drop", "own_drop_v"),
        ("delay", "gap_s"),
        ("delay", "stagger_s"),
        ("peak_current", "peak_current_a"),
        ("voltage", "highest_voltage_v"),
    )
    sentences = (questioned(q, getattr(supply, field), field=field, subject="power supply") for q, field in asked)
    return [question("figure.unusual", panel, f"{panel}: {words}", PRACTICE) for words in sentences if words]


def _stagger_not_known(operation: Operation) -> list[Finding]:
    """Staggered starts follow one another only if each is over before the next."""
    owners, supply = operation.stagger_unknown, operation.supply
    actuators = _actuators(operation)
    if not owners or any(one.starting_current_a is None for one in actuators):
        return []  # said with the cable
    unchecked = f"whether starts {supply.stagger_s:g} s apart overlap on {operation.name}"
    what = "time of the starting current"
    return [missing("supply.starting", operation.name, what, owners, DATA_SHEET, not_checked=unchecked)]


# One output ---------------------------------------------------------------------------------------------------------


def _output_findings(operation: Operation, solved: SolvedCircuit) -> list[Finding]:
    """The current of one output against its limit, running and starting, from the source that asks more of it."""
    circuit = solved.circuit
    if any(one.rated_current_a is None for one in circuit.actuators):
        return []  # said with the supply
    currents = {source: solved.output_a(source) for source in SOURCES}
    limit_a, code = circuit.output_limit_a, "supply.output"
    unchecked = f"current of {circuit.name}"
    if limit_a is None:
        return [missing(code, circuit.name, "output limit", [], DATA_SHEET, not_checked=unchecked)]
    known = {source: amps for source, amps in currents.items() if amps is not None}
    source = max(known, key=known.__getitem__, default=None)
    if source is None or (len(known) < len(currents) and known[source] <= limit_a):
        return [_current_not_known(code, solved, unchecked)]
    findings = [_output_finding(circuit, known[source], source, limit_a)]
    return findings + _output_starting_findings(operation, solved)


def _current_not_known(code, solved, unchecked):
    """A constant-power load on a cable that is not known, or that cannot deliver: its current is not known either."""
    name = solved.circuit.name
    what = f"current of {name} at its operating point"
    if solved.answers:
        words = (
            f"{what} not known, because the cable cannot deliver this power: {unchecked} not checked. Mend the cable."
        )
        return Finding(code, Severity.MISSING, name, words, RECORD, (Figure(what, None),))
    return missing(code, name, what, [], RECORD, not_checked=unchecked)


def _output_finding(circuit, total_a, source, limit_a):
    return verdict_when_read(
        *("supply.output", circuit.name, total_a <= limit_a + 1e-9),
        lambda: _output_told(circuit, total_a, source, limit_a),
    )


def _output_told(circuit, total_a, source, limit_a):
    where = _where(circuit, source)
    inputs = (Figure(f"sum of currents{where}", round(total_a, 3), "A"), Figure("output limit", limit_a, "A"))
    left_a, over_a = rounded_down(limit_a - total_a, 2), rounded_up(total_a - limit_a, 2)
    shown_a = rounded_up(total_a, 2)
    return verdict(
        *("supply.output", circuit.name, total_a <= limit_a + 1e-9),
        f"{circuit.name} takes {shown_a:.2f} A of {limit_a:g} A{where}, {left_a:g} A left",
        f"{circuit.name} takes {shown_a:.2f} A{where}, {over_a:g} A more than its output gives "
        f"({limit_a:g} A). Move actuators to another output.",
        *(DATA_SHEET, inputs, "sum of currents at the operating point"),
        compared=at_most(shown_a, limit_a, "A", limit_a - total_a),
    )


def _where(circuit, source):
    """Which source: said where it makes a difference."""
    alike = all(one.load_model == LoadModel.CONSTANT_CURRENT for one in circuit.actuators)
    return "" if alike else f" {SOURCE_WORDS[source]}"


def _output_starting_findings(operation: Operation, solved: SolvedCircuit) -> list[Finding]:
    """What the output gives while its actuators start, against its peak current."""
    circuit, code = solved.circuit, "supply.output_starting"
    peak_a = _greatest(operation.output_starting_a(solved, source) for source in SOURCES)
    limit_a = circuit.output_limit_a
    if peak_a is None or peak_a <= limit_a:
        return []
    shown_a, name = rounded_up(peak_a, 2), circuit.name
    inputs = (Figure("starting", shown_a, "A"), Figure("output limit", limit_a, "A"))
    if circuit.output_peak_a is None:
        words = (
            f"peak current of the output of {name} not known: its actuators start with {shown_a:g} A, the output is "
            f"rated {limit_a:g} A. Enter its peak current to get a verdict, or stagger the starts."
        )
        unknown = Figure("peak current of the output", None, "A")
        return [Finding(code, Severity.MISSING, name, words, DATA_SHEET, (unknown, *inputs))]
    borne_a = circuit.output_peak_a
    return [
        verdict(
            *(code, name, peak_a <= borne_a + 1e-9),
            f"{name} starts with {shown_a:g} A of the {borne_a:g} A peak current of its output",
            f"{name} starts with {shown_a:g} A, {rounded_up(peak_a - borne_a, 2):g} A more than the peak current of "
            f"its output ({borne_a:g} A). Move actuators to another output, or stagger the starts.",
            *(DATA_SHEET, (*inputs, Figure("peak current", borne_a, "A")), "sum of starting currents"),
            compared=at_most(shown_a, borne_a, "A", borne_a - peak_a),
        )
    ]


def _greatest(currents):
    known = [one for one in currents if one is not None]
    return max(known, default=None)


# The panel ----------------------------------------------------------------------------------------------------------


def _missing_figures(operation: Operation) -> list[Finding]:
    gaps, panel, supply = [], operation.name, operation.supply

    def ask(what: str, owners: list[str], source=DATA_SHEET) -> None:
        gaps.append(missing("supply.panel", panel, what, owners, source, not_checked=f"supply of {panel}"))

    if supply.rated_current_a is None:
        ask("rated current", [f"the supply of {panel}"])
    if supply.alarm_current_a is None:
        ask("current in alarm", [panel])
    if supply.charger_inhibited is None:
        ask("whether the charger stops while motors run", [])
    elif not supply.charger_inhibited and supply.charger_current_a is None:
        ask("charger current", [])
    if owners := [one.name for one in _actuators(operation) if one.rated_current_a is None]:
        ask("rated current", owners)
    elif unsolved := [one.circuit.name for one in operation.with_actuators if one.output_a(MAINS) is None]:
        ask("current at the operating point", unsolved, RECORD)
    return gaps


def _demand(operation: Operation, motors_a: float) -> Demand:
    supply = operation.supply
    return demand(
        [motors_a],
        rated_a=supply.rated_current_a,
        panel_a=supply.alarm_current_a,
        charger_a=supply.charger_current_a or 0.0,
        charger_inhibited=bool(supply.charger_inhibited),
    )


def _figures(now: Demand) -> tuple[Figure, ...]:
    return (
        Figure("motors", round(now.motors_a, 3), "A"),
        Figure("panel in alarm", now.panel_a, "A"),
        Figure("charger", now.charger_a, "A"),
        Figure("rated current of the supply", now.rated_a, "A"),
    )


def _simultaneous_finding(panel: str, now: Demand) -> Finding:
    return verdict_when_read("supply.panel", panel, now.left_a >= -1e-9, lambda: _simultaneous_told(panel, now))


def _simultaneous_told(panel: str, now: Demand) -> Finding:
    charger = f" with {now.charger_a:g} A for the charger" if now.charger_a else ""
    left_a, over_a = rounded_down(max(now.left_a, 0), 2), rounded_up(-now.left_a, 2)
    shown_a = rounded_up(now.total_a, 2)
    return verdict(
        *("supply.panel", panel, now.left_a >= -1e-9),
        f"{panel}: all actuators together take {shown_a:.2f} A{charger}, {left_a:g} A are left of {now.rated_a:g} A",
        f"{panel}: all actuators together take {shown_a:.2f} A{charger}, {over_a:g} A more than the "
        f"supply gives ({now.rated_a:g} A). Fit a larger supply, or inhibit the charger while motors run, or "
        f"share the actuators with another panel.",
        *(DATA_SHEET, _figures(now), _SIMULTANEOUS),
        compared=at_most(shown_a, now.rated_a, "A", now.left_a),
    )


def _starting_findings(operation: Operation) -> list[Finding]:
    """The inrush against the peak current of the supply; not known where its maker does not say."""
    panel, supply, code = operation.name, operation.supply, "supply.starting"
    starting_a = operation.starting_a(MAINS) if _actuators(operation) else None
    if starting_a is None:
        return []  # said with the cable: no starting current is known
    now = _demand(operation, starting_a)
    if now.total_a <= now.rated_a:
        return []
    how = "one after another" if supply.stagger_s else "all at once"
    peak_a, borne_a = rounded_up(now.total_a, 2), supply.peak_current_a
    inputs = (*_figures(now)[1:], Figure("peak", peak_a, "A"))
    if borne_a is None:
        sentence = (
            f"{panel}: starting {how}, the actuators take {peak_a:g} A for a moment; the supply is rated "
            f"{now.rated_a:g} A and its peak current is not known: start not checked. Enter it from its data sheet to "
            f"get a verdict, or stagger the starts."
        )
        unknown = Figure("peak current of the supply", None, "A")
        return [Finding(code, Severity.MISSING, panel, sentence, DATA_SHEET, (unknown, *inputs))]
    return [
        verdict(
            *(code, panel, now.total_a <= borne_a + 1e-9),
            f"{panel}: starting {how}, the actuators take {peak_a:g} A of the {borne_a:g} A peak current of the supply",
            f"{panel}: starting {how}, the actuators take {peak_a:g} A, {rounded_up(now.total_a - borne_a, 2):g} A "
            f"more than the peak current of the supply ({borne_a:g} A). Stagger the starts, or fit a larger supply.",
            *(DATA_SHEET, (*inputs, Figure("peak current", borne_a, "A")), "starting currents + panel + charger"),
            compared=at_most(peak_a, borne_a, "A", borne_a - now.total_a),
        )
    ]


# Sequence -----------------------------------------------------------------------------------------------------------


def _sequential_findings(operation: Operation, practice: TradePractice) -> list[Finding]:
    return [*_step_currents(operation), *_sequence_time(operation, practice)]


def _step_currents(operation: Operation) -> list[Finding]:
    """Every step of the recorded order within the supply; without an order no grouping is assumed."""
    code, panel = "supply.sequence", operation.name
    steps = operation.steps
    alone_a = max((one.output_a(MAINS) for one in operation.with_actuators), default=0.0)
    greatest_a = alone_a if steps is None else max((operation.step_a(step, MAINS) for step in steps), default=0.0)
    alone = steps is None or len(max(steps, key=lambda step: operation.step_a(step, MAINS))) == 1
    now, what = _demand(operation, greatest_a), "one output alone" if alone else "one step"
    available_a = max(now.rated_a - now.panel_a - now.charger_a, 0)
    if now.left_a < -1e-9:
        sentence = (
            f"{panel}: {rounded_down(available_a, 2):.2f} A are left for motors, but {what} takes "
            f"{rounded_up(greatest_a, 2):.2f} A. Fit a larger supply or split that "
            f"{'output' if steps is None else 'step'}."
        )
        compared = at_most(rounded_up(greatest_a, 2), rounded_down(available_a, 2), "A", now.left_a)
        return [fail(code, panel, sentence, DATA_SHEET, _figures(now), compared=compared)]
    if steps is None and operation.together_a(MAINS) > available_a:
        unchecked = f"current of the steps of {panel}"
        what = "order of the outputs"
        return [missing(code, panel, what, [], RECORD, not_checked=unchecked)]
    return []


def _sequence_time(operation: Operation, practice: TradePractice) -> list[Finding]:
    code, panel, limit_s = "supply.sequence", operation.name, practice.opening_limit_s
    times = {source: operation.sequence_s(source) for source in SOURCES}
    if None in times.values():
        unchecked = f"time of the sequence of {panel}"
        return [missing(code, panel, "time of each step", [], RECORD, not_checked=unchecked)]
    source = max(times, key=times.__getitem__)
    total_s, steps = times[source], operation.steps
    count = len(operation.with_actuators) if steps is None else len(steps)
    inputs = (
        Figure("groups", count),
        Figure("gap", operation.supply.gap_s, "s"),
        Figure("time", round(total_s, 2), "s"),
    )
    moved = "1 group is" if count == 1 else f"{count} groups one after another are"
    words = f"{panel}: {moved} open after {rounded_up(total_s, 1):g} s {SOURCE_WORDS[source]}"
    formula = "sum over steps of the slowest (delay of the output + stroke time) + gaps"
    compared = at_most(rounded_up(total_s, 1), limit_s, "s", limit_s - total_s)
    if total_s <= limit_s:
        sentence = (
            f"{words}, within the {limit_s:g} s entered ({EN_12101_2_TIME}): opening in sequence is allowed, because "
            "all are open within the limit."
        )
        return [meets_in_words(code, panel, sentence, EN_12101_2_TIME, inputs, formula, compared=compared)]
    if steps is None:
        what = "order of the outputs"
        unchecked = f"time of the sequence of {panel} ({rounded_up(total_s, 1):g} s if each runs alone)"
        return [missing(code, panel, what, [], RECORD, not_checked=unchecked)]
    at_once_a = max(filter(None, (operation.together_a(MAINS), operation.starting_together_a(MAINS))))
    sentence = (
        f"{words}, {rounded_up(total_s - limit_s, 1):g} s beyond {limit_s:g} s. Opening in sequence is allowed only "
        f"where all are open within the limit: fit a supply for "
        f"{rounded_up(_demand(operation, at_once_a).total_a, 1):g} A for all at once, with a battery and a fuse that "
        f"bear it, or faster actuators."
    )
    return [fail(code, panel, sentence, EN_12101_2_TIME, inputs, formula, compared=compared)]
