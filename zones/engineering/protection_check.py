"""Findings about the device that protects an output: load, start, overload of the cable, short circuits, selectivity.

Without a recorded device there is nothing to judge: the panel then says so once (:func:`check_devices`).
"""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from math import inf

from zones.engineering.battery_lead import lead_figures, leads_not_known
from zones.engineering.cable_rating_check import check_rating, decisive, laying_figures, rated_runs
from zones.engineering.circuits import ActuatorCircuit
from zones.engineering.conductors import STANDARD_AREAS_MM2
from zones.engineering.findings import (
    Figure,
    Finding,
    Severity,
    at_least,
    at_most,
    fail,
    listed,
    meets,
    note,
    question,
)
from zones.engineering.fuses import STANDARD_RATINGS_A, ProtectiveDevice
from zones.engineering.operation import Operation
from zones.engineering.quantities import QuantityError, rounded_down, rounded_up
from zones.engineering.selectivity import check_selectivity, one_equipment
from zones.engineering.short_circuits import Feeding, farthest
from zones.engineering.solved_circuits import SOURCES, SolvedCircuit
from zones.engineering.sources import (
    DATA_SHEET,
    IEC_60364_4_41,
    IEC_60364_4_43_OVERLOAD,
    IEC_60364_4_43_SHORT,
)
from zones.engineering.trade_practice import TradePractice
from zones.engineering.what_if import with_area

_OPENING_SHARE = 1.45  # I2 <= 1.45 Iz, IEC 60364-4-43, 433.1 [S2]


@dataclass(frozen=True, slots=True)
class Chain:
    """What stands before the outputs of a panel. `upstream`: (what it is, device), nearest first.

    `solve`: a circuit in every condition, to try what would do; `beside_a`: what else flows through the devices
    upstream, A; `start`: of an output, its current A and how long it lasts s; each ``None`` where it is not known.
    """

    feeding: Feeding
    upstream: tuple[tuple[str, ProtectiveDevice], ...]
    practice: TradePractice
    solve: Callable[[ActuatorCircuit], SolvedCircuit]
    start: Callable[[SolvedCircuit], tuple[float | None, float | None]]
    beside_a: float | None = 0.0


def check_chain(solved: SolvedCircuit, chain: Chain) -> list[Finding]:
    """The rating of each run, and its protection where a device is recorded in full; each remedy passes all of it."""
    findings = _all(solved, chain, "")
    if not _failing(findings):
        return findings
    return _all(solved, chain, _remedy(solved, chain))


def passes(circuit: ActuatorCircuit, chain: Chain) -> bool:
    """Whether nothing of the chain fails for a circuit that somebody may be told to build."""
    return not _failing(_all(chain.solve(circuit), chain, ""))


def check_devices(operation: Operation, practice: TradePractice) -> list[Finding]:
    """Outputs whose device is not recorded, or not in full: one finding for all that lack the same."""
    lacking: dict[tuple[str, ...], list[str]] = {}
    for solved in operation.with_actuators:
        device = solved.circuit.device
        words = ("fuse or protective device",) if device is None else device.unknown
        if words:
            lacking.setdefault(words, []).append(solved.circuit.name)
    found = []
    for words, names in lacking.items():
        quiet = words == ("fuse or protective device",) and not practice.output_protection_required
        sentence = (
            f"{operation.name}: {listed(words)} not known at its outputs: overload and short circuits of "
            f"{listed(names)} not checked."
        )
        inputs = (Figure(words[0], None), Figure("outputs", len(names)))
        if quiet:
            found.append(note("protection.device", operation.name, sentence, DATA_SHEET, inputs))
        else:
            sentence += " Enter it to get a verdict."
            found.append(Finding("protection.device", Severity.MISSING, operation.name, sentence, DATA_SHEET, inputs))
    return found


def _all(solved, chain, remedy):
    findings = check_rating(solved, chain.practice, remedy)
    device = solved.circuit.device
    if device is None or device.unknown or not solved.answers:
        return findings
    findings += [*_load(solved, remedy), *_starting(solved, chain, remedy), *_overload(solved, remedy)]
    findings += [*_disconnection(solved, chain, remedy), *_energy(solved, chain, remedy)]
    if device.is_electronic:
        return findings + (one_equipment(solved.circuit, chain.upstream) if chain.upstream else [])
    for what, up in chain.upstream:
        findings += check_selectivity(solved.circuit, up, what, chain.beside_a, chain.feeding.greatest_a)
    return findings


def _failing(findings: Iterable[Finding]) -> list[Finding]:
    return [one for one in findings if one.severity == Severity.FAIL]


# What would do --------------------------------------------------------------------------------------------------------


def _remedy(solved: SolvedCircuit, chain: Chain) -> str:
    """A section, a rating, or both, with which nothing fails that was known to, the voltage included."""
    known = {one.code for one in _all(solved, chain, "") if one.severity == Severity.MISSING}
    ways = []
    if area_mm2 := next((area for area in STANDARD_AREAS_MM2 if _does(_sized(solved, area), chain, known)), None):
        ways.append(f"use {area_mm2:g} mm² throughout")
    rating = _smallest_that_holds(solved, chain)
    if rating and _does(_rated(solved.circuit, rating), chain, known):
        ways.append(f"fit {rating}")
    if not ways and (lacks := _lacks(solved, rating, chain, known)):
        return f"What would do cannot be said before {lacks} is known."
    if not ways and rating:
        areas = (area for area in STANDARD_AREAS_MM2 if _does(_rated(_sized(solved, area), rating), chain, known))
        ways += [f"use {area:g} mm² throughout and fit {rating}" for area in [next(areas, None)] if area]
    if not ways:
        return (
            "No standard section and rating does: share its actuators among outputs, or choose a panel that limits it."
        )
    words = " or ".join(ways)
    return f"{words[0].upper()}{words[1:]}."


def remedy_changes(sentence: str) -> tuple[str, ...]:
    """What the remedy at the end of a sentence changes: "device", "cables", both (either would do, or both must)."""
    _, _, remedy = sentence.rpartition(". ")
    named = (("device", r"\b[Ff]it [0-9.]+ A "), ("cables", r"\b[Uu]se [0-9.]+ mm² throughout"))
    return tuple(what for what, pattern in named if re.search(pattern, remedy))


def _lacks(solved, rating, chain, known):
    """The figure for want of which nobody can say whether the smallest rating would do; empty where that is known."""
    if rating is None:
        return ""
    found = _all(chain.solve(_rated(solved.circuit, rating)), chain, "")
    lacking = [one.inputs[0].name for one in found if one.severity == Severity.MISSING and one.code not in known]
    return "" if _failing(found) or not lacking else f"the {lacking[0]}"


def _does(circuit, chain, known):
    if circuit is None:
        return False
    solved = chain.solve(circuit)
    if not solved.answers or not all(one.holds and one.worst[1] >= 0 for one in solved.answers):
        return False
    return all(
        one.severity in (Severity.MEETS, Severity.NOTE, Severity.QUESTION)
        or (one.severity == Severity.MISSING and one.code in known)
        for one in _all(solved, chain, "")
    )


def _sized(solved, area_mm2):
    try:
        return with_area(solved.circuit, area_mm2, 5)
    except QuantityError:
        return None


def _rated(circuit, device):
    return circuit and replace(circuit, device=device)


def _smallest_that_holds(solved, chain):
    """The same kind in the smallest rating made that holds load and start: what opens soonest and asks least of cables.

    ``None``: there is none, or it is fitted already; an electronic limit has no other rating.
    """
    device = solved.circuit.device
    if device is None or device.unknown or device.is_electronic:
        return None
    for rating in STANDARD_RATINGS_A:
        tried = replace(device, rated_a=rating)
        other = replace(solved, circuit=_rated(solved.circuit, tried))
        if not _failing([*_load(other, ""), *_starting(other, chain, "")]):
            return None if rating == device.rated_a else tried
    return None


# One device and its cable ---------------------------------------------------------------------------------------------


def _load(solved, remedy):
    """The current of the output within what its device holds for good (IEC 60364-4-43, 433.1: IB <= In)."""
    device, name, code = solved.circuit.device, solved.circuit.name, "protection.load"
    currents = [solved.output_a(source) for source in SOURCES]
    if device.is_electronic or None in currents:
        return []  # its limit is judged with the supply, and a current not known is said there
    load_a = max(currents)
    shown_a = rounded_up(load_a, 2)
    inputs = (Figure("current of the output", shown_a, "A"), Figure("protective device", str(device)))
    compared = at_most(shown_a, device.rated_a, "A", device.rated_a - load_a)
    source, formula = IEC_60364_4_43_OVERLOAD, "IB ≤ In"
    if load_a <= device.rated_a * (1 + 1e-9):
        words = f"{name} takes {shown_a:g} A, its protective device holds {device.rated_a:g} A"
        return [meets(code, name, words, source, inputs, formula, compared=compared)]
    over_a = rounded_up(load_a - device.rated_a, 2)
    words = f"{name} takes {shown_a:g} A, {over_a:g} A more than its protective device holds ({device}). {remedy}"
    return [fail(code, name, words.rstrip(), source, inputs, formula, compared=compared)]


def _starting(solved, chain, remedy):
    """The start within the time that the device certainly holds."""
    circuit, code = solved.circuit, "protection.starting"
    device, name = circuit.device, circuit.name
    starting_a, lasts_s = chain.start(solved)
    if starting_a is None or starting_a <= device.rated_a:
        return []
    if device.is_electronic and starting_a < device.surely_opens_a:
        return []  # between the two its peak current counts, which is judged with the supply
    shown_a = rounded_up(starting_a, 2)
    start = f"{name} starts with {shown_a:g} A through its {device}"
    inputs = (Figure("starting", shown_a, "A"), Figure("protective device", str(device)))
    if lasts_s is None:
        words = f"{start}; time of the starting current not known: start not checked. Enter it to get a verdict."
        unknown = Figure("time of the starting current", None)
        return [Finding(code, Severity.MISSING, name, words, DATA_SHEET, (unknown, *inputs))]
    held_s = device.holds_s(starting_a)
    inputs += (Figure("time of the start", lasts_s, "s"), Figure("certainly holds", rounded_down(held_s, 3), "s"))
    compared = at_least(rounded_down(held_s, 3), lasts_s, "s", held_s - lasts_s)
    formula, source = "time that it certainly holds against the time of the start", device.kind.source
    if held_s >= lasts_s:
        words = f"{start}, which holds that for {rounded_down(held_s, 3):g} s; the start takes {lasts_s:g} s"
        return [meets(code, name, words, source, inputs, formula, compared=compared)]
    words = (
        f"{start}, which holds that for certain only {rounded_down(held_s, 3):g} s; the start takes {lasts_s:g} s: it "
        f"may open. {remedy}"
    )
    return [fail(code, name, words.rstrip(), source, inputs, formula, compared=compared)]


def _overload(solved, remedy):
    """The device opens before any run of its circuit is overloaded for good (In <= Iz and I2 <= 1.45 Iz)."""
    circuit, code = solved.circuit, "protection.overload"
    device, name = circuit.device, circuit.name
    needed_a = max(device.rated_a, device.surely_opens_a / _OPENING_SHARE)
    one = decisive(rated_runs((run, needed_a) for run in circuit.runs))
    shown_a = rounded_up(needed_a, 2)
    inputs = (
        Figure("protective device", str(device)),
        Figure("opens for certain from (I2)", round(device.surely_opens_a, 3), "A"),
        Figure("current rating that it asks for", shown_a, "A"),
        *laying_figures(one),
    )
    source, formula = IEC_60364_4_43_OVERLOAD, "In ≤ Iz and I2 ≤ 1.45 × Iz"
    asks = f"{name}: its {device} asks for cables of {shown_a:g} A"
    run = f"{one.run.name} ({one.run.conductor})"
    how = "however it is laid" if one.run.laying.unknown else "as it is laid"
    if one.is_over:
        rated_a = rounded_down(one.most_a, 2)
        compared = at_least(rated_a, shown_a, "A", one.most_a - needed_a)
        words = f"{asks}, {run} is rated {rated_a:g} A {how}: an overload may burn it. {remedy}"
        return [fail(code, name, words.rstrip(), source, inputs, formula, compared=compared)]
    if one.is_sure:
        rated_a = rounded_down(one.least_a, 2)
        compared = at_least(rated_a, shown_a, "A", one.least_a - needed_a)
        words = f"{asks}, {run} is rated {rated_a:g} A {how}"
        return [meets(code, name, words, source, inputs, formula, compared=compared)]
    words = (
        f"{asks}; {listed(one.run.laying.unknown)} of {one.run.name} not known: overload of {name} not checked. Enter "
        f"it to get a verdict."
    )
    return [Finding(code, Severity.MISSING, name, words, source, (Figure("current rating", None, "A"), *inputs))]


def _disconnection(solved, chain, remedy):
    """A short circuit at the far end is switched off in time, from whichever source gives least."""
    circuit, code, limit_s = solved.circuit, "protection.disconnection", chain.practice.disconnection_s
    device, name, far = circuit.device, circuit.name, farthest(circuit.runs)
    if far is None:
        return []  # said with the voltage
    run, loop_ohm = far
    needed_a, found = device.least_opening_a(limit_s), chain.feeding.least(loop_ohm)
    inputs = (
        Figure("protective device", str(device)),
        Figure(f"opens within {limit_s:g} s from", None if needed_a == inf else round(needed_a, 3), "A"),
        Figure(f"loop to the end of {run.name}, warm", round(loop_ohm, 3), "Ω"),
    )
    source, formula = IEC_60364_4_41, "least current = voltage / (resistance of the source + loop, both cores, warm)"
    if needed_a == inf:
        words = f"{name}: its {device} switches nothing off within {limit_s:g} s. Choose a quicker one."
        return [fail(code, name, words, source, inputs, formula)]
    if found is not None:
        fed, least_a = _at_best_where_too_little(chain.feeding, loop_ohm, needed_a)
        leads_decide = least_a >= needed_a > found[1]
        fed, least_a = found if leads_decide else (fed, least_a)
        shown_a, shown_needed_a = rounded_down(least_a, 2), rounded_up(needed_a, 2)
        inputs += (*lead_figures(fed.leads), Figure(f"least current {fed.words}", shown_a, "A"))
        compared = at_least(shown_a, shown_needed_a, "A", least_a - needed_a)
        if leads_decide:
            needs = f"its {device} opens within {limit_s:g} s from {shown_needed_a:g} A"
            takes = f"{name} takes {shown_a:g} A {fed.words}"
            return [leads_not_known(code, name, fed.leads, f"{takes}, {needs}", inputs)]
        if least_a < needed_a:
            words = _too_little(name, device, fed, least_a, run, shown_needed_a, limit_s)
            return [fail(code, name, f"{words} {remedy}".rstrip(), source, inputs, formula, compared=compared)]
    if unknown := chain.feeding.unknown:
        words = (
            f"{listed(unknown)} not known: whether a short circuit at the end of {run.name} is switched off not "
            f"checked. Enter it to get a verdict."
        )
        return [Finding(code, Severity.MISSING, name, words, DATA_SHEET, (Figure(unknown[0], None), *inputs), formula)]
    words = (
        f"{name}: a short circuit at the end of {run.name} takes at least {shown_a:g} A ({fed.words}); its {device} "
        f"switches off within {limit_s:g} s from {shown_needed_a:g} A"
    )
    return [meets(code, name, words, source, inputs, formula, compared=compared)]


def _at_best_where_too_little(feeding, loop_ohm, needed_a):
    """The least current, with leads that are not known as the worst; as nothing where that is too little already."""
    at_best, at_worst = feeding.least(loop_ohm, at_best=True), feeding.least(loop_ohm)
    return at_best if at_worst[1] < needed_a else at_worst


def _too_little(name, device, fed, least_a, run, shown_needed_a, limit_s):
    shown_a = rounded_down(least_a, 2)
    if fed.limit_a == least_a:
        return (
            f"{name}: the supply gives at most {shown_a:g} A into a short circuit; the {device} of the output opens "
            f"within {limit_s:g} s only from {shown_needed_a:g} A: it may never open."
        )
    return (
        f"{name}: a short circuit at the end of {run.name} takes only {shown_a:g} A {fed.words}; its {device} opens "
        f"within {limit_s:g} s only from {shown_needed_a:g} A."
    )


def _energy(solved, chain, remedy):
    """What the device lets through in a short circuit within what the thinnest core bears; one core, not its parallels.

    Source:   IEC 60364-4-43, 434.5.2: I²t <= k²S² up to 5 s [S2].
    """
    circuit, code, limit_s = solved.circuit, "protection.short_circuit", chain.practice.disconnection_s
    device, name, far = circuit.device, circuit.name, farthest(circuit.runs)
    if far is None or device.least_opening_a(limit_s) == inf:
        return []  # said above
    found, greatest_a = chain.feeding.least(far[1]), chain.feeding.greatest_a
    source, formula = IEC_60364_4_43_SHORT, "I²t ≤ k²S²"
    if greatest_a is None and not device.kind.melts:
        return []  # said with the disconnection: the same figures lack
    needed_a = device.least_opening_a(limit_s)
    to_a = inf if device.kind.melts else greatest_a
    from_a = needed_a if chain.feeding.unknown else max(found[1], needed_a)
    through = device.energy_a2s(from_a, to_a, limit_s)
    run = min(circuit.runs, key=lambda one: one.laying.least_k * one.conductor.section_mm2)
    bears = (run.laying.least_k * run.conductor.section_mm2) ** 2
    inputs = (
        Figure("protective device", str(device)),
        Figure("lets through, at the most", _kilo(through, rounded_up), "kA²s"),
        Figure("cable", f"{run.name}, {run.conductor.in_words}"),
        Figure("k", run.laying.least_k, "A√s/mm²"),
        Figure("bears", _kilo(bears, rounded_down), "kA²s"),
    )
    lets_k, bears_k = _kilo(through, rounded_up), _kilo(bears, rounded_down)
    lets = f"{name}: its {device} lets {lets_k:g} kA²s through"
    if through <= bears:
        words = f"{lets}, {run.name} ({run.conductor}) bears {bears_k:g} kA²s"
        return [meets(code, name, words, source, inputs, formula)]
    if not device.kind.melts and not device.is_electronic:
        words = (
            f"{lets} at {rounded_down(greatest_a, 0):g} A by its standard alone, {run.name} bears "
            f"{bears_k:g} kA²s: short circuits near the panel not checked. Compare with the energy "
            f"that its maker states."
        )
        return [question(code, name, words, source, inputs, formula)]
    if not chain.feeding.unknown and _through_at_best(chain, far[1], device, needed_a, to_a, limit_s) <= bears:
        return [leads_not_known(code, name, found[0].leads, f"{lets}, {run.name} bears {bears_k:g} kA²s", inputs)]
    words = f"{lets}, more than {run.name} ({run.conductor}) bears ({bears_k:g} kA²s). {remedy}"
    return [fail(code, name, words.rstrip(), source, inputs, formula)]


def _through_at_best(chain, loop_ohm, device, needed_a, to_a, limit_s):
    """What the device lets through where leads of the battery that are not known count as nothing, A²s."""
    least_a = chain.feeding.least(loop_ohm, at_best=True)[1]
    return device.energy_a2s(max(least_a, needed_a), to_a, limit_s)


def _kilo(energy_a2s, rounded):
    """kA²s, three decimals, so rounded that rounding never helps."""
    return rounded(energy_a2s / 1000, 3)
