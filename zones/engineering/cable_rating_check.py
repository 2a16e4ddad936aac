"""Findings about the cables of a circuit as such: their current rating, and how long they last in the fire."""

import re
from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import lru_cache, partial
from typing import NamedTuple

from zones.engineering.cable_ratings import least_rating_a
from zones.engineering.cables import CableRun
from zones.engineering.circuits import ActuatorCircuit
from zones.engineering.conductors import Conductor
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
    note,
    question,
    verdict_when_read,
    when_read,
)
from zones.engineering.quantities import rounded_down, rounded_up
from zones.engineering.solved_circuits import SolvedCircuit
from zones.engineering.sources import (
    DESIGN_ENTRY,
    DIN_4102_12,
    EN_50200,
    EN_50577,
    IEC_60364_5_52,
    NBR_5410,
    RECORD,
    Source,
)
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice

FIRE_CLASSES = {"ph": EN_50200, "p": EN_50577, "e": DIN_4102_12}
_PH_TEST_C, _PH_PASSED_MIN = 830, 27  # the standard curve of EN 1363-1 is hotter than the PH test from then on [calc]
_SMALLEST_OF_IEC_MM2 = 1.5
RATING_FORMULA = "rating = table × ambient factor × grouping factor (parallel cores counted) × cores in parallel"


class RatedRun(NamedTuple):
    """What one run must carry for good, A, and what it does, at the least and at the most by what is not known."""

    run: CableRun
    current_a: float
    least_a: float
    most_a: float

    @property
    def is_sure(self) -> bool:
        return self.current_a <= self.least_a * (1 + 1e-9)

    @property
    def is_over(self) -> bool:
        return self.current_a > self.most_a * (1 + 1e-9)


def rated_runs(runs: Iterable[tuple[CableRun, float]]) -> list[RatedRun]:
    """Runs with what each must carry, A, against its rating: of those rated alike the one that carries most."""
    most = {}
    for run, current_a in runs:
        rated = run.ratings_a
        if rated not in most or current_a > most[rated][1]:
            most[rated] = run, current_a
    return [RatedRun(run, current_a, *rated) for rated, (run, current_a) in most.items()]


def decisive(asked: list[RatedRun]) -> RatedRun | None:
    """The run that decides: the worst beyond its rating, else of those not known, else the one with least left."""
    over, unsure = [one for one in asked if one.is_over], [one for one in asked if not one.is_sure]
    if over:
        return max(over, key=lambda one: one.current_a - one.most_a)
    if unsure:
        return max(unsure, key=lambda one: one.current_a - one.least_a)
    return min(asked, key=lambda one: one.least_a - one.current_a, default=None)


def table_of(one: RatedRun) -> Source:
    """Whose table the rating of a run stands in."""
    return table_of_conductor(one.run.conductor)


def table_of_conductor(conductor: Conductor) -> Source:
    """Whose table it is: the international one begins at 1.5 mm²."""
    return IEC_60364_5_52 if conductor.section_mm2 >= _SMALLEST_OF_IEC_MM2 else NBR_5410


def laying_figures(one: RatedRun) -> tuple[Figure, ...]:
    """The figures behind a rating."""
    laying = one.run.laying
    return (
        Figure("cable", f"{one.run.name}, {one.run.conductor.in_words}"),
        Figure("cores in parallel per pole", one.run.cores_per_pole),
        Figure("insulation", str(laying.insulation) if laying.insulation else None),
        Figure("method of installation", str(laying.method) if laying.method else None),
        Figure("circuits bunched", laying.grouped),
        Figure("ambient temperature", laying.ambient_c, "°C"),
        Figure("current rating, at the least", rounded_down(one.least_a, 2), "A"),
    )


def check_rating(solved: SolvedCircuit, practice: TradePractice, remedy: str = "") -> list[Finding]:
    """Each run within its current rating at the greatest current of any condition; short duty earns no discount.

    A start counts as if it lasted: ratings are of currents that last, and no table says by how much less it warms.
    """
    circuit, fixed = solved.circuit, solved.fixed_loading

    def judge():
        currents = solved.greatest_run_a
        runs = [(run, currents[run.name]) for run in circuit.runs if currents.get(run.name)]
        return rating_findings(circuit.name, runs, practice, partial(_during, solved), remedy)

    # Of several runs that are as bad the first decides: of circuits alike it is the same where none was put in order.
    if fixed is None or solved.model.trees[False].runs is not circuit.runs:
        return judge()
    verdicts = _of_loading(fixed, practice.usual_ambient_c, practice.usual_grouped)
    return all_when_read(verdicts, circuit.name, judge) if verdicts else []


@lru_cache(maxsize=512)  # as loadings
def _of_loading(loading, usual_ambient_c, usual_grouped):
    """(code, severity) of what is found of all circuits with this loading."""
    practice = replace(TRADE_PRACTICE, usual_ambient_c=usual_ambient_c, usual_grouped=usual_grouped)
    return [(one.code, one.severity) for one in rating_findings("", loading.greatest_run_a, practice)]


def _during(solved, run, carried_a):
    """When a run carries that, where it carries less or more at another time."""
    if any(drive.starting_current_a is None for drive in solved.circuit.actuators):
        return " while running"
    running_a = solved.running_run_a[run.name]
    if carried_a <= running_a * (1 + 1e-9):
        return ""
    running = f"{rounded_up(running_a, 2):g} A while running"
    return f" while starting ({running}; the start counts as if it lasted, which is the safe side)"


def rating_findings(
    name: str,
    runs: Iterable[tuple[CableRun, float]],
    practice: TradePractice,
    during: Callable[[CableRun, float], str] = lambda run, carried_a: "",
    remedy: str = "",
) -> list[Finding]:
    """Runs, each with what it carries, A, against their current ratings: what decides; nothing without runs.

    What is not known of the laying counts as the worst of the tables for *meets* and as the best for *fails*.

    Args:     during: of a run and what it carries, when it carries that; empty: always.
    Source:   IEC 60364-5-52:2009, annex B; below 1.5 mm² ABNT NBR 5410:2004, tables 36 and 37 [S2].
    """
    code, one = "cable.rating", decisive(rated_runs(runs))
    if one is None:
        return []  # said with the voltage
    if one.is_over or one.is_sure:
        return [verdict_when_read(code, name, one.is_sure, lambda: _rating_told(name, one, during, remedy))]
    laying, usual_a = _as_usual(one.run.laying, one.run.conductor, one.run.cores_per_pole, practice)
    severity = Severity.NOTE if one.current_a <= usual_a else Severity.MISSING
    return [when_read(code, severity, name, lambda: _not_known(name, one, laying, usual_a, during))]


@lru_cache(maxsize=1024)  # few kinds of cable in a portfolio
def _as_usual(laying, conductor, cores_per_pole, practice):
    """The laying with a firm's own figures where it is not known, and what it is rated then, A, rounded down."""
    usual = laying.usual(practice.usual_ambient_c, practice.usual_grouped)
    return usual, rounded_down(least_rating_a(conductor, usual, cores_per_pole), 2)


def _rating_told(name: str, one: RatedRun, during: Callable, remedy: str) -> Finding:
    code, carries, inputs = "cable.rating", _carries(name, one, during), _carried(one)
    how = "however it is laid" if one.run.laying.unknown else "as it is laid"
    shown_a, rated_a = inputs[0].value, rounded_down(one.most_a if one.is_over else one.least_a, 2)
    if one.is_over:
        words = f"{carries}, more than its current rating of {rated_a:g} A {how}. {remedy}".rstrip()
        compared = at_most(shown_a, rated_a, "A", one.most_a - one.current_a)
        return fail(code, name, words, table_of(one), inputs, RATING_FORMULA, compared=compared)
    compared = at_most(shown_a, rated_a, "A", one.least_a - one.current_a)
    words = f"{carries}, its current rating is {rated_a:g} A {how}"
    return meets(code, name, words, table_of(one), inputs, RATING_FORMULA, compared=compared)


def _carries(name: str, one: RatedRun, during: Callable) -> str:
    when = during(one.run, one.current_a)
    return f"{name}: {one.run.name} ({one.run.conductor}) carries up to {rounded_up(one.current_a, 2):g} A{when}"


def _carried(one: RatedRun) -> tuple[Figure, ...]:
    return (Figure("greatest current", rounded_up(one.current_a, 2), "A"), *laying_figures(one))


def _not_known(name, one, laying, usual_a, during):
    """No verdict; without alarm where a usual laying would do, because an extra-low voltage circuit asks for little."""
    carries, inputs = _carries(name, one, during), _carried(one)
    lacks = listed(one.run.laying.unknown)
    code = "cable.rating"
    as_usual = (
        f"in the worst method, with {laying.grouped:g} circuits bunched at {laying.ambient_c:g} °C its current rating "
        f"is {usual_a:g} A"
    )
    if one.current_a <= usual_a:
        return note(code, name, f"{carries}; {as_usual}. No verdict: {lacks} not known.", table_of(one), inputs)
    words = f"{carries}; {lacks} of {one.run.name} not known: current rating not checked ({as_usual}). Enter it to get "
    inputs = (Figure("current rating", None, "A"), *inputs)
    return Finding(code, Severity.MISSING, name, f"{words}a verdict.", table_of(one), inputs, RATING_FORMULA)


# In the fire ----------------------------------------------------------------------------------------------------------


def check_fire_rating(circuit: ActuatorCircuit) -> list[Finding]:
    """Cable and fixings of every run in the fire proved for as long as the strategy asks; nothing where it does not.

    A run of which nobody said how much of it burns counts as one that does.

    Source:   the fire strategy for the minutes; EN 50200, EN 50577 or DIN 4102-12 for what the class was tested by.
    """
    return [*_contradicted(circuit), *_fire_rating(circuit)]


def _contradicted(circuit):
    """Minutes that differ from those printed on the cable: a person must say which hold."""
    runs = [run for run in circuit.runs if _differs(run.fire_text, run.integrity_minutes)]
    if not runs:
        return []
    first, name = runs[0], circuit.name
    also = f" (so do {listed(run.name for run in runs[1:])})" if runs[1:] else ""
    words = (
        f"{name}: {first.name} is entered with {first.integrity_minutes:g} min, but its fire rating reads "
        f"'{first.fire_text}'{also}. The minutes are used; correct what is wrong."
    )
    inputs = (Figure("minutes", first.integrity_minutes, "min"), Figure("fire rating as printed", first.fire_text))
    return [question("cable.fire_rating", name, words, RECORD, inputs)]


def _differs(text, minutes):
    if minutes is None or not text:
        return False
    numbers = re.findall(r"\d+", text)
    return bool(numbers) and f"{minutes:g}" not in numbers


def _fire_rating(circuit):
    minutes, code, name = circuit.fire_minutes, "cable.fire_rating", circuit.name
    runs = [run for run in circuit.runs if run.hot_length_m is None or run.hot_length_m > 0]
    if minutes is None or not runs:
        return []
    proofs = [
        ("circuit integrity", [(run, run.integrity_minutes) for run in runs]),
        ("fixings", [(run, run.fixing_minutes) for run in runs]),
    ]
    short = [(what, run, value) for what, all_of in proofs for run, value in all_of if (value or minutes) < minutes]
    inputs = (Figure("minutes asked by the fire strategy", minutes, "min"), *_proofs(runs))
    if short:
        what, run, value = min(short, key=lambda one: one[2])
        words = (
            f"{name}: {what} of {run.name} {'is' if what == 'circuit integrity' else 'are'} proved for {value:g} min, "
            f"{minutes - value:g} min less than the fire strategy asks ({minutes:g} min). Use a cable and fixings "
            f"proved for {minutes:g} min, or a route outside the fire."
        )
        compared = at_least(value, minutes, "min", value - minutes)
        return [fail(code, name, words, DESIGN_ENTRY, inputs, "least of cable and fixings", compared=compared)]
    for what, lacking in (
        ("class of circuit integrity", [run.name for run in runs if not run.fire_class]),
        ("minutes of circuit integrity", [run.name for run in runs if run.integrity_minutes is None]),
        ("minutes of the fixings", [run.name for run in runs if run.fixing_minutes is None]),
    ):
        if lacking:
            return [missing(code, name, what, lacking, RECORD, not_checked=f"fire rating of the route of {name}")]
    least = min(value for _, all_of in proofs for _, value in all_of)
    more = ""
    if minutes > _PH_PASSED_MIN and any(run.fire_class == "ph" for run in runs):
        more = (
            f" PH is tested at {_PH_TEST_C} °C, which the standard curve passes after {_PH_PASSED_MIN} min: whether "
            f"that suffices, the fire engineer says."
        )
    source = next(FIRE_CLASSES[run.fire_class] for run in runs)
    words = f"{name}: cable and fixings in the fire are proved for {least:g} min, {minutes:g} min are asked"
    compared = at_least(least, minutes, "min", least - minutes)
    formula = "least of cable and fixings"
    return [
        meets(code, name, words, source, inputs, formula, limit="fire strategy", more=more, compared=compared),
    ]


def _proofs(runs):
    for run in runs[:6]:
        named = f"{run.fire_class.upper()} " if run.fire_class else ""
        integrity = None if run.integrity_minutes is None else f"{named}{run.integrity_minutes:g} min"
        yield Figure(f"circuit integrity of {run.name}", integrity)
        yield Figure(f"fixings of {run.name}", run.fixing_minutes, "min")
