"""Actuators that move one vent together must keep step, whichever output or panel drives them: else they rack it."""

from collections.abc import Iterable
from typing import NamedTuple

from zones.engineering.findings import Figure, Finding, fail, listed, missing, note
from zones.engineering.operation import SOURCES, Operation, Travel
from zones.engineering.sources import DATA_SHEET, PRACTICE, RECORD
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice

_CODE = "time.in_step"


class _Driven(NamedTuple):
    """An actuator of a vent with its way to open: from `starts_s` to `open_s` after the signal, s, in a condition."""

    travel: Travel
    starts_s: float | None
    open_s: float | None
    output: str


def check_in_step(
    operations: Iterable[Operation], practice: TradePractice = TRADE_PRACTICE, *, over_panels: bool = False
) -> list[Finding]:
    """Start and end of travel of all actuators of each vent, compared in each condition, over all these panels.

    Args:     over_panels: only vents that more than one panel moves (what one panel moves is said with the panel).
    Source:   common practice [P]: start and end may differ by a fraction of the time of the stroke.
    """
    by_vent: dict[object, list[tuple[str, _Driven]]] = {}
    for operation in operations:
        for key, driven in _driven(operation):
            by_vent.setdefault(key, []).append((operation.name, driven))
    findings = []
    for rows in by_vent.values():
        panels = {panel for panel, _ in rows}
        if (len(panels) > 1) == over_panels:
            driven = [one for _, one in rows]
            name = next((one.travel.actuator.vent for one in driven if one.travel.actuator.vent), "of both panels")
            findings += _of_vent(name, driven, practice)
    return findings


def _driven(operation: Operation):
    for solved in operation.with_actuators:
        waits = {source: operation.waits_s(solved, source)[1] for source in SOURCES}
        for travel in solved.travels:
            key = travel.actuator.vent if travel.actuator.vent_key is None else travel.actuator.vent_key
            if key is not None:
                starts_s, stroke_s = waits[travel.source], travel.stroke_s
                open_s = None if None in (starts_s, stroke_s) else starts_s + stroke_s
                yield key, _Driven(travel, starts_s, open_s, solved.circuit.name)


def _of_vent(vent: str, rows: list[_Driven], practice: TradePractice) -> list[Finding]:
    actuators = {row.travel.actuator.name: row.travel.actuator for row in rows}
    if len(actuators) < 2:
        return []
    outputs = list(dict.fromkeys(row.output for row in rows))
    subject, names = outputs[0], listed(actuators)
    apart = _data_sheets_apart(actuators.values())
    if apart is None:
        return []  # stroke or speed: said with the opening time
    what, by, inputs = apart
    if by > practice.in_step_tolerance:
        return [_racking(subject, names, vent, f"their {what} differs by {by:.0%}", inputs)]
    if racked := _times_apart(rows, practice):
        words, inputs = racked
        return [_racking(subject, names, vent, words, inputs)]
    if any(row.open_s is None for row in rows) and len(outputs) > 1:
        what = f"start and speed of {names} at their voltages"
        unchecked = f"whether they move vent {vent} in step"
        return [missing(_CODE, subject, what, [], RECORD, not_checked=unchecked)]
    words = f"{names} move vent {vent} together at one speed and stroke; they need the maker's synchronising."
    return [note(_CODE, subject, words, DATA_SHEET if len(outputs) > 1 else PRACTICE, inputs)]


def _data_sheets_apart(actuators):
    """What differs most by the data sheets, by how much, and the figures; ``None``: one is not known."""
    speeds, strokes = [one.speed_mm_per_s for one in actuators], [one.stroke_mm for one in actuators]
    if None in speeds or None in strokes:
        return None
    inputs = (
        Figure("speeds", ", ".join(f"{speed:g}" for speed in speeds), "mm/s"),
        Figure("strokes", ", ".join(f"{stroke:g}" for stroke in strokes), "mm"),
    )
    by_speed, by_stroke = max(speeds) / min(speeds) - 1, max(strokes) / min(strokes) - 1
    return ("speed", by_speed, inputs) if by_speed >= by_stroke else ("stroke", by_stroke, inputs)


def _times_apart(rows, practice):
    """Words and figures where starts or ends lie too far apart in one condition; ``None``: they do not."""
    by_words: dict[str, list[_Driven]] = {}
    for row in rows:
        by_words.setdefault(row.travel.words, []).append(row)
    for words, same in by_words.items():
        known = [row for row in same if row.open_s is not None]
        if len({row.travel.actuator.name for row in known}) < 2:
            continue
        allowed_s = practice.in_step_tolerance * min(row.travel.stroke_s for row in known)
        for what, times in (("start", [row.starts_s for row in known]), ("end", [row.open_s for row in known])):
            apart_s = max(times) - min(times)
            if apart_s > allowed_s + 1e-9:
                inputs = (
                    Figure(f"{what} of travel", ", ".join(f"{s:.3g}" for s in times), "s"),
                    Figure("allowed apart", round(allowed_s, 2), "s"),
                )
                return f"{words} they {what} {apart_s:.1f} s apart", inputs
    return None


def _racking(subject, names, vent, words, inputs):
    bad = (
        f"{names} move vent {vent} together, but {words}: they rack the leaf. "
        f"Fit actuators of one speed and stroke that start together, or a synchronised set."
    )
    return fail(_CODE, subject, bad, PRACTICE, inputs, "greatest / least - 1, and start and end by time")
