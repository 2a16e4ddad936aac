"""What the search for a fault answers, as the page shows it: readings so far, what explains them, what to measure."""

import math
from typing import NamedTuple

from zones.calculators.views.base import Answer
from zones.engineering import locate_fault
from zones.engineering.fault_location.causes import FaultKind
from zones.engineering.fault_location.measurements import Probe, ProbeKind, Reading, how, probe_of, probes_of, title
from zones.engineering.fault_location.search import SETTLED, voltage_on_line
from zones.engineering.findings import Figure, missing, question
from zones.engineering.line_check import meter_reads_ohm
from zones.engineering.line_words import meter_in_words, ohm_in_words, span_in_words
from zones.engineering.sources import OHMS_LAW, PRACTICE, RECORD

WORTH_SHOWING = 0.02  # share from which an explanation is shown at once
FIRST, OTHERS = 12, 8  # explanations shown at once, and at most in the fold below
FORMULA = (
    "every cause computed forwards; how common it is times how likely it makes each reading, with the error of the "
    "meter, the tolerances and the copper of the cable (Bayes); proposed is what removes most doubt for its trouble"
)


class Told(NamedTuple):
    """One explanation for the page."""

    sentence: str
    share: str
    percent: int
    against: str
    confirm: str


class Taken(NamedTuple):
    """A reading so far; `key` and `text` are what the address holds of it."""

    name: str
    value: str
    key: str
    text: str


class Next(NamedTuple):
    """The measurement that is proposed."""

    code: str
    title: str
    how: str
    outcomes: list  # (what it would show, the explanation that it would bear out)
    is_voltage: bool


def readings_of(line, figures):
    """(readings, as the page lists them): those of the form's own boxes first, then the added ones in their order."""
    at_start = ProbeKind.PANEL if figures["taken"] == "panel" else ProbeKind.TERMINALS
    typed = [("reading_ohm", Probe(at_start)), ("swapped_ohm", Probe(ProbeKind.SWAPPED))]
    found = [(name, "", probe, figures[name]) for name, probe in typed if figures[name] is not None]
    found += [("m", text, probe_of(line, code), value) for text, code, value in figures["m"]]
    readings = [Reading(probe, value) for _, _, probe, value in found]
    taken = [Taken(title(line, probe), _shown(probe, value), name, text) for name, text, probe, value in found]
    return readings, taken


def explained(line, figures, reporting, practice):
    """The answer to the readings so far: what explains them, and what to measure next."""
    readings, taken = readings_of(line, figures)
    if not readings:
        return Answer((missing("line.reading", line.name, "reading", [], RECORD, not_checked="the line"),))
    search = locate_fault(line, readings, reporting=reporting, practice=practice)
    leading = [one for one in search.explanations if one.share >= WORTH_SHOWING][:FIRST]
    others = search.explanations[len(leading) :]
    named = [one for one in leading if one.kind != FaultKind.TWO_FAULTS or one.places]
    extra = {
        "line": line,
        "taken": taken,
        "expected": meter_in_words(meter_reads_ohm(line, practice)),
        "reporting": reporting,
        "leading": [_told(line, one) for one in leading],
        "others": [_told(line, one) for one in others[:OTHERS]],
        "unseen": len(others[OTHERS:]),
        "nothing_fits": not any(one.fits for one in named),
        "next": _next(line, search.proposal),
        "live": _live(readings),
        "is_settled": leading[0].share >= SETTLED,
        "formula": FORMULA,
        "source": OHMS_LAW,
    }
    return Answer(tuple(_polarity(line, figures, practice)), (), extra)


def choices_of(line):
    """(code, measurement) for the box in which another measurement is chosen."""
    return [(probe.code, title(line, probe)) for probe in probes_of(line)]


def _shown(probe, value):
    return f"{value:g} V" if probe.unit == "V" else ohm_in_words(value)


def _told(line, one):
    percent = round(100 * one.share)
    share = f"{percent} %" if percent else "under 1 %"
    against = [f"{title(line, reading.probe)}: {_shown(reading.probe, reading.value)}" for reading in one.against]
    against += [f"whether {name} reports" for name in one.contradicting]
    return Told(one.sentence, share, percent, "; ".join(against), one.confirm)


def _live(readings):
    voltage_v = voltage_on_line(readings)
    return None if voltage_v is None else f"{voltage_v:g} V"


def _next(line, proposal):
    if proposal is None:
        return None
    probe = proposal.probe
    outcomes = [(_span_shown(probe, outcome.span), outcome.sentence) for outcome in proposal.outcomes]
    return Next(probe.code, title(line, probe), how(line, probe), outcomes, probe.kind == ProbeKind.VOLTAGE)


def _span_shown(probe, span):
    if probe.unit == "V":
        return "a voltage" if span.high_ohm == math.inf else "0 V"
    return span_in_words(span)


def _polarity(line, figures, practice):
    """Both polarities must read alike on resistors; if not, something lets current through one way."""
    first, second = figures["reading_ohm"], figures["swapped_ohm"]
    if second is None or first is None or first == second:
        return
    inputs = (Figure("reading", ohm_in_words(first)), Figure("leads swapped", ohm_in_words(second)))
    # Each of the two readings may be off by the tolerance of the meter and by its last digit.
    both_measured = math.inf not in (first, second)
    if both_measured and abs(first - second) <= 2 * practice.meter_tolerance * max(first, second) + 2:
        return
    words = (
        f"The two polarities differ ({ohm_in_words(first)} and {ohm_in_words(second)}): electronics or a diode on the "
        f"line, reversed cores, or a voltage from elsewhere. Make sure that nothing feeds the line, and read again."
    )
    yield question("line.polarity", line.name, words, PRACTICE, inputs, "difference within twice the meter's tolerance")
