"""Findings about time: open within the limit at the voltage that reaches each actuator, run time of the output."""

from collections.abc import Sequence
from functools import partial

from zones.engineering.actuators import Actuator
from zones.engineering.findings import (
    Figure,
    Finding,
    Severity,
    all_when_read,
    at_least,
    at_most,
    fail,
    listed,
    meets,
    missing,
    question,
    verdict,
    verdict_when_read,
    when_read,
)
from zones.engineering.operation import Operation
from zones.engineering.quantities import rounded_down, rounded_up
from zones.engineering.solved_circuits import DISCHARGED, MAINS, SOURCES
from zones.engineering.sources import DATA_SHEET, EN_12101_2_TIME, PRACTICE, RECORD
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice
from zones.engineering.travels import Travel

_TIME_FORMULA = "opening time = stroke / speed at the voltage that reaches it + delays before it starts"
_CODE = "time.opening"


def check_times(operation: Operation, practice: TradePractice = TRADE_PRACTICE) -> list[Finding]:
    """Opening times and run time of each output of a panel, with what it waits for before it starts.

    Source:   60 s: EN 12101-2 [S2]; run time × 1.2 and the ceiling: common practice [P].
    """
    findings = []
    for solved in operation.with_actuators:
        waits = {source: operation.waits_s(solved, source) for source in SOURCES}
        apart_s = operation.supply.stagger_s * max(0, len(solved.circuit.actuators) - 1)
        findings += _of_output(solved, waits, apart_s, practice)
    return findings


def _of_output(solved, waits, apart_s, practice):
    """Judged by the travels that decide, where all of them are known; told by all."""

    def judge(travels):
        circuit = solved.circuit
        run_time = run_time_findings(circuit.name, travels, circuit.run_time_s, practice, apart_s=apart_s)
        return [*opening_findings(circuit.name, travels, waits, practice), *run_time]

    deciding = solved.travels_that_decide() if waits[MAINS] == waits[DISCHARGED] else None
    if deciding is None or None in [one.stroke_s for one in deciding]:
        return judge(solved.travels)
    verdicts = [(one.code, one.severity) for one in judge(deciding)]
    return all_when_read(verdicts, solved.circuit.name, lambda: judge(solved.travels))


def opening_findings(
    name: str,
    travels: Sequence[Travel],
    waits: dict[str, tuple[float, float | None]],
    practice: TradePractice = TRADE_PRACTICE,
) -> list[Finding]:
    """Whether the slowest actuator of an output is open in time, in the worst condition.

    Args:     travels: of all its actuators; waits: by source, from the signal to the start of the last, s: at the
              least and at the most, ``None`` = not known.
    Returns:  one finding, or one for each kind of figure that is not known. A limit that is missed at the rated voltage
              already is missed, whatever is not known.
    """
    limit_s = practice.opening_limit_s
    if quick := _in_time(name, travels, waits, practice):
        return [quick]
    actuators = {one.actuator.name: one.actuator for one in travels}.values()
    gaps = _unknown_figures(name, actuators)
    known = [one for one in travels if one.least_s is not None]
    if not known:
        return gaps
    late = max(known, key=lambda one: _least_opening_s(one, waits))
    if _least_opening_s(late, waits) > limit_s:
        return [*gaps, _verdict(name, late, waits[late.source][0], travels, practice)]
    if gaps:
        return gaps
    if silent := [one for one in known if one.stroke_s is None]:
        return [_speed_not_known(name, silent, waits, practice)]
    if any(_latest_s(one, waits) is None for one in known):
        return [_missing(name, f"time of the outputs before {name} in the sequence", RECORD)]
    worst = max(known, key=lambda one: _latest_s(one, waits))
    if _latest_s(worst, waits) > limit_s and waits[worst.source][0] != waits[worst.source][1]:
        return [_order_not_known(name, worst, waits, practice)]
    return [_verdict(name, worst, waits[worst.source][1], travels, practice)]


def _in_time(name, travels, waits, practice):
    """The finding where everything is known and in time, as most are: what follows then finds the same."""
    if not travels or None in [one.stroke_s for one in travels] or None in [most_s for _, most_s in waits.values()]:
        return None
    opens_s = [waits[one.source][1] + one.stroke_s for one in travels]
    latest_s = max(opens_s)
    if latest_s > practice.opening_limit_s:
        return None
    worst = travels[opens_s.index(latest_s)]
    return _verdict(name, worst, waits[worst.source][1], travels, practice)


def _least_opening_s(travel, waits):
    return waits[travel.source][0] + (travel.least_s if travel.stroke_s is None else travel.stroke_s)


def _latest_s(travel, waits):
    wait_s = waits[travel.source][1]
    return None if wait_s is None else wait_s + travel.stroke_s


def _missing(name, what, source):
    return missing(_CODE, name, what, [], source, not_checked=f"opening time on {name}")


def _unknown_figures(name, actuators):
    findings = []
    for what, field in (("stroke", "stroke_mm"), ("speed", "speed_mm_per_s")):
        if owners := [one.name for one in actuators if getattr(one, field) is None]:
            findings.append(missing(_CODE, name, what, owners, DATA_SHEET, not_checked=f"opening time on {name}"))
    return findings


def _speed_not_known(name, silent, waits, practice):
    """No verdict, because the data sheet says nothing of the speed at this voltage; with an estimate beside it."""
    with_volts = [one for one in silent if one.volts is not None]
    if not with_volts:
        owners = dict.fromkeys(one.actuator.name for one in silent)
        return _missing(name, f"voltage that reaches {listed(owners)}", RECORD)
    least = min(with_volts, key=lambda one: one.volts)
    if below := [one for one in with_volts if one.volts < (one.actuator.minimum_voltage_v or 0.0)]:
        return _below_minimum(name, below)
    alike = dict.fromkeys(one.actuator.name for one in with_volts)
    volts, rated_v = rounded_down(least.volts, 2), least.actuator.rated_voltage_v
    words = f"speed of {listed(alike)} at {volts:g} V ({least.words}) not known: opening time on {name} not checked."
    inputs = [
        Figure("speed at a lower voltage", None, "mm/s"),
        Figure("voltage that reaches it", volts, "V"),
        Figure("time at the rated voltage", round(least.least_s, 2), "s"),
    ]
    if rated_v:
        estimate_s = rounded_up(waits[least.source][0] + least.least_s * rated_v / least.volts, 1)
        words += (
            f" At its rated {rated_v:g} V it takes {rounded_up(waits[least.source][0] + least.least_s, 1):g} s; in "
            f"proportion to the voltage it would take {estimate_s:g} s (an estimate, {PRACTICE})."
        )
        inputs.append(Figure("estimate in proportion to the voltage", estimate_s, "s"))
    words += " Enter its speed at a lower voltage to get a verdict."
    return Finding(
        _CODE, Severity.MISSING, name, words, DATA_SHEET, (*inputs, Figure("limit", practice.opening_limit_s, "s"))
    )


def _below_minimum(name, below):
    """No speed is worth entering for a voltage at which nothing need move at all."""
    least = min(below, key=lambda one: one.volts)
    others = len({one.actuator.name for one in below}) - 1
    words = (
        f"opening time on {name} not checked: {least.actuator.name} gets {rounded_down(least.volts, 2):g} V "
        f"{least.words}, below the {least.actuator.minimum_voltage_v:g} V it needs to run"
        f"{f', and {others} more get too little' if others else ''}. Put the voltage right first."
    )
    inputs = (Figure("voltage that reaches it", rounded_down(least.volts, 2), "V"),)
    return Finding(_CODE, Severity.MISSING, name, words, DATA_SHEET, inputs)


def _order_not_known(name, worst, waits, practice):
    least_s, most_s = (rounded_up(wait + worst.stroke_s, 1) for wait in waits[worst.source])
    words = (
        f"order of the outputs not known: opening time on {name} not checked. First it "
        f"would "
        f"be open after {least_s:g} s, last after {most_s:g} s {worst.words}; {practice.opening_limit_s:g} s are "
        f"allowed. "
        f"Enter the step of each output to get a verdict."
    )
    inputs = (Figure("order of the outputs", None), Figure("first", least_s, "s"), Figure("last", most_s, "s"))
    return Finding(_CODE, Severity.MISSING, name, words, RECORD, inputs)


def _verdict(name: str, slowest: Travel, wait_s: float, travels: Sequence[Travel], practice: TradePractice) -> Finding:
    stroke_s = slowest.least_s if slowest.speed_mm_per_s is None else slowest.stroke_s
    passed = wait_s + stroke_s <= practice.opening_limit_s
    return verdict_when_read(_CODE, name, passed, lambda: _verdict_told(name, slowest, wait_s, travels, practice))


def _verdict_told(
    name: str, slowest: Travel, wait_s: float, travels: Sequence[Travel], practice: TradePractice
) -> Finding:
    count = len({one.actuator.name for one in travels})
    limit_s, speed = practice.opening_limit_s, slowest.speed_mm_per_s
    at_rated = speed is None
    stroke_s = slowest.least_s if at_rated else slowest.stroke_s
    time_s = wait_s + stroke_s
    spare_s = limit_s - time_s
    inputs = [
        Figure("stroke", slowest.actuator.stroke_mm, "mm"),
        Figure("speed", rounded_down(slowest.actuator.speed_mm_per_s if at_rated else speed, 2), "mm/s"),
        Figure("delay", round(wait_s, 3), "s"),
        Figure("limit", limit_s, "s"),
    ]
    if slowest.volts is not None:
        inputs.insert(1, Figure("voltage that reaches it", rounded_down(slowest.volts, 2), "V"))
    where = " at its rated voltage" if at_rated else f" {slowest.words}" if slowest.words else ""
    who = f"{slowest.actuator.name} opens" if count == 1 else f"the slowest of {count}, {slowest.actuator.name}, opens"
    remedy = "Shorten the delay."
    if slowest.actuator.stroke_mm / practice.fastest_mm_per_s + wait_s > limit_s:
        remedy = "Let it run earlier: shorten its delay, or what runs before it."
    elif wait_s < limit_s:
        least = rounded_up(slowest.actuator.stroke_mm / (limit_s - wait_s), 2)
        remedy = f"It needs at least {least:g} mm/s there, or a shorter stroke."
    inside_s, beyond_s = rounded_down(max(spare_s, 0), 1), rounded_up(-spare_s, 2)
    return verdict(
        *(_CODE, name, time_s <= limit_s),
        f"On {name} {who} in {rounded_up(time_s, 1):g} s{where}, {inside_s:g} s inside the {limit_s:g} s entered "
        f"({EN_12101_2_TIME})",
        f"On {name} {who} in {rounded_up(time_s, 2):g} s{where}, {beyond_s:g} s beyond the limit of {limit_s:g} s. "
        f"{remedy}",
        *(EN_12101_2_TIME, tuple(inputs), _TIME_FORMULA),
        limit="",  # the words name it
        compared=at_most(rounded_up(time_s, 1 if time_s <= limit_s else 2), limit_s, "s", spare_s),
    )


def run_time_findings(
    name: str,
    travels: Sequence[Travel],
    run_time_s: float | None,
    practice: TradePractice = TRADE_PRACTICE,
    *,
    apart_s: float = 0.0,
) -> list[Finding]:
    """Run time long enough for the slowest stroke at the lowest voltage, and not absurd.

    Args:     apart_s: from the start of the first actuator of the output to that of the last (stagger), s.
    """
    if not travels or None in [one.actuator.rated_stroke_s for one in travels]:
        return []  # said with the opening time
    code = "time.run_time"
    if run_time_s is None:
        return [missing(code, name, "run time", [], DATA_SHEET, not_checked=f"run time of {name}")]
    strokes_s = [one.least_s if one.stroke_s is None else one.stroke_s for one in travels]
    stroke_s = max(strokes_s)
    slowest = travels[strokes_s.index(stroke_s)]
    if run_time_s >= apart_s + stroke_s and any(one.stroke_s is None for one in travels):
        return []  # what it takes at this voltage is not known: said with the opening time
    least_s = apart_s + stroke_s * practice.run_time_allowance
    if run_time_s < apart_s + stroke_s:
        severity = Severity.FAIL
    else:
        inside = least_s <= run_time_s <= max(practice.run_time_ceiling_s, least_s)
        severity = Severity.MEETS if inside else Severity.QUESTION
    told = partial(_run_time_told, name, slowest.actuator, stroke_s, apart_s, run_time_s, practice)
    return [when_read(code, severity, name, told)]


def _run_time_told(
    name: str, slowest: Actuator, stroke_s: float, apart_s: float, run_time_s: float, practice: TradePractice
) -> Finding:
    code, formula = "time.run_time", "least run time = slowest stroke time at the lowest voltage × allowance"
    least_s = apart_s + stroke_s * practice.run_time_allowance
    ceiling_s = max(practice.run_time_ceiling_s, least_s)
    inputs = (
        Figure("run time", run_time_s, "s"),
        Figure("slowest stroke time", round(stroke_s, 2), "s"),
        Figure("allowance", practice.run_time_allowance),
        Figure("ceiling", practice.run_time_ceiling_s, "s"),
    )
    after = ""
    if apart_s:
        formula += " + time until the last has started"
        after = f", and the last starts {apart_s:g} s after the first,"
        inputs += (Figure("until the last has started", round(apart_s, 2), "s"),)
    compared = at_least(run_time_s, rounded_up(least_s, 2), "s", run_time_s - least_s)
    if run_time_s < apart_s + stroke_s:
        bad = (
            f"{name} is switched off after {run_time_s:g} s; {slowest.name} needs {rounded_up(stroke_s, 1):g} s "
            f"for its stroke{after} and stops part open. Set at least {rounded_up(least_s, 0):g} s."
        )
        return fail(code, name, bad, PRACTICE, inputs, formula, compared=compared)
    if run_time_s < least_s:
        return question(
            *(code, name),
            f"{name} runs for {run_time_s:g} s, hardly longer than the {rounded_up(apart_s + stroke_s, 1):g} s of "
            f"{slowest.name}: under load or low voltage it may stop part open. "
            f"Set {rounded_up(least_s, 0):g} s.",
            *(PRACTICE, inputs, formula),
            compared=compared,
        )
    if run_time_s > ceiling_s:
        return question(
            *(code, name),
            f"{name} stays on for {run_time_s:g} s, far longer than the {rounded_up(apart_s + stroke_s, 1):g} s that "
            f"{slowest.name} needs. Set {rounded_up(least_s, 0):g} to {ceiling_s:g} s, or say why.",
            *(PRACTICE, inputs, formula),
            compared=at_most(run_time_s, ceiling_s, "s", ceiling_s - run_time_s),
        )
    wanted = f"{rounded_up(least_s, 0):g} s are wanted"
    good = f"{name} runs for {run_time_s:g} s; {wanted}"
    return meets(code, name, good, PRACTICE, inputs, formula, compared=compared)
