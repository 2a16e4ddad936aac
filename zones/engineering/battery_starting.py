"""Findings about the start of motors from the battery: its greatest current, its fuse by time and current."""

from functools import partial
from math import isinf

from zones.engineering.battery_set import BatteryDuty, BatterySet
from zones.engineering.findings import (
    Figure,
    Finding,
    Severity,
    at_least,
    at_most,
    fail,
    meets_in_words,
    verdict,
    verdict_when_read,
)
from zones.engineering.fuses import holds_s
from zones.engineering.quantities import rounded_down, rounded_up
from zones.engineering.sources import DATA_SHEET


def starting_findings(panel: str, battery: BatterySet, duty: BatteryDuty) -> list[Finding]:
    """Starting current from the battery against its greatest current and its fuse; nothing where no start is known.

    Source:   the data sheet of the battery; the fuse names its own standard.
    """
    if duty.starting_a is None or duty.panel_alarm_a is None:
        return []  # said with the cable and the capacity
    starting_a = duty.starting_a + duty.panel_alarm_a
    return [*_of_battery(panel, battery, starting_a), *_of_fuse(panel, battery, duty, starting_a)]


def _of_battery(panel: str, battery: BatterySet, starting_a: float) -> list[Finding]:
    limit_a = battery.greatest_current_a
    if limit_a is None:
        return []  # said with the operating current
    told = partial(_of_battery_told, panel, starting_a, limit_a)
    return [verdict_when_read("battery.starting", panel, starting_a <= limit_a + 1e-9, told)]


def _of_battery_told(panel, starting_a, limit_a):
    shown_a = rounded_up(starting_a, 2)
    inputs = (Figure("starting", shown_a, "A"), Figure("greatest discharge current", limit_a, "A"))
    return verdict(
        *("battery.starting", panel, starting_a <= limit_a + 1e-9),
        f"{panel}: starting takes {shown_a:g} A from the battery, greatest discharge current {limit_a:g} A",
        f"{panel}: starting takes {shown_a:g} A from the battery, {rounded_up(starting_a - limit_a, 2):g} A "
        f"above its "
        f"greatest discharge current of {limit_a:g} A. Fit a larger battery, or stagger the starts.",
        *(DATA_SHEET, inputs, "starting currents together + panel"),
        compared=at_most(shown_a, limit_a, "A", limit_a - starting_a),
    )


def _of_fuse(panel: str, battery: BatterySet, duty: BatteryDuty, starting_a: float) -> list[Finding]:
    """A fuse bears more than its rating for a while; for how long, its characteristic says."""
    code, fuse_a = "battery.fuse_starting", battery.fuse_a
    if fuse_a is None:
        return []  # said with the operating current
    shown_a, formula = rounded_up(starting_a, 2), "time that the fuse certainly holds against the time of the start"
    inputs = [Figure("starting", shown_a, "A"), Figure("fuse", fuse_a, "A")]
    if starting_a <= fuse_a:
        words = f"{panel}: starting takes {shown_a:g} A from the battery, within its fuse of {fuse_a:g} A: within the "
        sentence = f"{words}entered limit (the fuse)."
        compared = at_most(shown_a, fuse_a, "A", fuse_a - starting_a)
        return [meets_in_words(code, panel, sentence, DATA_SHEET, tuple(inputs), formula, compared=compared)]
    start = f"{panel}: starting takes {shown_a:g} A from the battery, its fuse is rated {fuse_a:g} A"
    unknown = [
        words
        for words, value in (
            ("kind of the fuse", battery.fuse_kind),
            ("time of the starting current", duty.starting_s),
        )
        if value is None
    ]
    if unknown:
        words = f"{start}; {' and '.join(unknown)} not known: start not checked. Enter it to get a verdict."
        return [Finding(code, Severity.MISSING, panel, words, DATA_SHEET, (Figure(unknown[0], None), *inputs))]
    kind, lasts_s = battery.fuse_kind, holds_s(battery.fuse_kind, fuse_a, starting_a)
    inputs += [Figure("kind of fuse", kind.name), Figure("time of the start", duty.starting_s, "s")]
    held = "for good" if isinf(lasts_s) else f"for {rounded_down(lasts_s, 3):g} s"
    inputs.append(Figure("certainly holds", held))
    compared = None if isinf(lasts_s) else at_least(lasts_s, duty.starting_s, "s", lasts_s - duty.starting_s)
    if lasts_s >= duty.starting_s:
        sentence = f"{start} and holds that {held}, the start takes {duty.starting_s:g} s: within the entered limit "
        sentence += f"({kind.source.in_full})."
        return [meets_in_words(code, panel, sentence, kind.source, tuple(inputs), formula, compared=compared)]
    sentence = (
        f"{start} and holds that for certain only {held}, the start takes {duty.starting_s:g} s: it may open. "
        f"Stagger the "
        f"starts, or ask the maker of the panel for a slower fuse."
    )
    return [fail(code, panel, sentence, kind.source, tuple(inputs), formula, compared=compared)]
