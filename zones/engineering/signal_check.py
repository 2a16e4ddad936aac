"""Current rating of what carries signals: monitored lines, inputs and data links, at the most that they ever take.

Milliamperes on cables that carry amperes: one finding a panel says how little that is. What the panel's electronics let
into a short circuit on them nobody but its maker knows.
"""

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from zones.engineering.cable_rating_check import RATING_FORMULA, table_of_conductor
from zones.engineering.cable_ratings import NOT_KNOWN, greatest_rating_a, least_rating_a
from zones.engineering.conductors import Conductor
from zones.engineering.data_links import DataLink
from zones.engineering.detection_lines import AlarmWiring, DetectionLine
from zones.engineering.findings import Figure, Finding, at_most, fail, listed, meets, note, when_read
from zones.engineering.findings import Severity as Is
from zones.engineering.quantities import rounded_down, rounded_up
from zones.engineering.sources import DATA_SHEET

_CODE = "cable.signals"
_FORMULA = (
    "line voltage / (all alarm resistors and the end-of-line resistor in parallel) + currents at rest; "
    f"{RATING_FORMULA}"
)
_NOT_JUDGED = (
    " What the panel gives into a short circuit on them is its maker's to say; nor is the fire rating of their routes "
    "checked."
)


class _Carried(NamedTuple):
    """A run of signals with the most that it takes, A, on the thinnest of its cables."""

    name: str
    current_a: float
    conductor: Conductor

    @property
    def least_a(self):
        return least_rating_a(self.conductor, NOT_KNOWN)

    @property
    def share(self):
        return self.current_a / self.least_a


def check_signals(
    panel: str, lines: Sequence[DetectionLine], links: Sequence[DataLink], *, asked: bool
) -> list[Finding]:
    """The current rating of these runs, however they are laid.

    Args:     asked: whether outputs are judged by their devices, so that it is told what is not known of the signals.
    Source:   Ohm's law; IEC 60364-5-52:2009, annex B, below 1.5 mm² ABNT NBR 5410:2004 [S2].
    """
    runs = [*((one.title, _of_line(one)) for one in lines), *((one.name, _of_link(one)) for one in links)]
    known = [_Carried(name, *found) for name, found in runs if found]
    unknown = [name for name, found in runs if not found]
    findings = [_rated(panel, max(known, key=lambda one: one.share), len(known))] if known else []
    return [*findings, _unknown(panel, unknown)] if unknown and asked else findings


def _of_line(line):
    """(greatest current A, thinnest conductor) with every device in alarm at once; None: a figure is not known."""
    elements = tuple([(one.resistance_ohm, one.tolerance) for one in line.elements])
    current_a = _greatest_a(line.line_voltage_v, tuple([one.what for one in line.devices]), elements)
    conductor = None if current_a is None else _thinnest(line.devices)
    return None if conductor is None else (current_a, conductor)


@lru_cache(maxsize=1024)  # few kinds of line in a portfolio
def _greatest_a(line_voltage_v, kinds, elements):
    """With every device in alarm at once, A; None: a figure is not known."""
    devices = [dict(one.figures) for one in kinds]
    resistors = [(one["alarm_ohm"], one["alarm_tolerance"]) for one in devices if _is_across(one)]
    ohms = [ohm and ohm * (1 - (tolerance or 0.0)) for ohm, tolerance in (*resistors, *elements)]
    drawn = [one["quiescent_current_a"] for one in devices]
    if line_voltage_v is None or None in (*ohms, *drawn):
        return None
    return sum(line_voltage_v / ohm for ohm in ohms) + sum(drawn)


def _is_across(device):
    return device["alarm_wiring"] == AlarmWiring.PARALLEL


def _of_link(link):
    currents, conductor = [one.current_a for one in link.devices], _thinnest(link.devices)
    return None if conductor is None or None in currents else (sum(currents), conductor)


def _thinnest(devices):
    """The conductor that is rated least; None: one is not known, or smaller than all tables."""
    conductors = [one.conductor for one in devices]
    if not conductors or None in conductors:
        return None
    alike = list({id(one): one for one in conductors}.values())  # most lines are of one cable
    thinnest = alike[0] if len(alike) == 1 else min(alike, key=lambda one: least_rating_a(one, NOT_KNOWN))
    return thinnest if least_rating_a(thinnest, NOT_KNOWN) else None


def _rated(panel, one, count):
    if one.share <= 1:
        return when_read(
            _CODE, Is.MEETS, panel, lambda: meets(*_told(panel, one, count), more=_NOT_JUDGED, **_compared(one))
        )
    if one.current_a > greatest_rating_a(one.conductor, NOT_KNOWN):
        code, subject, words, *rest = _told(panel, one, count)
        return fail(code, subject, f"{words}. Use a larger section.", *rest, **_compared(one))
    code, subject, words, *rest = _told(panel, one, count)
    return Finding(code, Is.MISSING, subject, f"{words}: no verdict before their laying is known.", *rest)


def _told(panel, one, count):
    shown_a, rated_a = rounded_up(one.current_a, 3), rounded_down(one.least_a, 2)
    of_runs = "the line or data link carries" if count == 1 else f"its {count} lines, inputs and data links carry"
    words = (
        f"{panel}: {of_runs} at most {shown_a:g} A ({one.name}, all in alarm at once), "
        f"{rounded_up(100 * one.share, 1):g} % of the {rated_a:g} A that {one.conductor} carries however it is laid"
    )
    inputs = (
        Figure("most that a line or link takes", shown_a, "A"),
        Figure("taken by", one.name),
        Figure("cable", one.conductor.in_words),
        Figure("current rating, at the least", rated_a, "A"),
        Figure("share of the rating", rounded_up(100 * one.share, 1), "%"),
    )
    return _CODE, panel, words, table_of_conductor(one.conductor), inputs, _FORMULA


def _compared(one):
    shown_a, rated_a = rounded_up(one.current_a, 3), rounded_down(one.least_a, 2)
    return {"compared": at_most(shown_a, rated_a, "A", one.least_a - one.current_a)}


def _unknown(panel, names):
    words = (
        f"{panel}: current rating of the cables of {listed(names)} not checked: voltage, a resistor, a current or a "
        f"cable of them is not known, or the cable is smaller than the tables.{_NOT_JUDGED}"
    )
    return note(_CODE, panel, words, DATA_SHEET)
