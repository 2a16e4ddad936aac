"""Actuators that move one vent together must keep step, whichever output or panel drives them: else they rack it."""

from collections import Counter
from collections.abc import Iterable
from typing import NamedTuple

from zones.engineering.cables import LoadModel
from zones.engineering.findings import Figure, Finding, fail, listed, missing, note
from zones.engineering.operation import Operation
from zones.engineering.solved_circuits import SOURCES
from zones.engineering.sources import DATA_SHEET, PRACTICE, RECORD
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice
from zones.engineering.travels import Travel

_CODE = "time.in_step"


class _Driven(NamedTuple):
    """An actuator of a vent with its way to open: from `starts_s` to `open_s` after the signal, s, in a condition.

    They are those of the last that a staggered step starts; this one is `ahead_s` before it, by the recorded order.
    """

    travel: Travel
    starts_s: float | None
    open_s: float | None
    output: str
    ahead_s: float = 0.0


def check_in_step(
    operations: Iterable[Operation], practice: TradePractice = TRADE_PRACTICE, *, over_panels: bool = False
) -> list[Finding]:
    """Start and end of travel of all actuators of each vent, compared in each condition, over all these panels.

    Args:     over_panels: only vents that more than one panel moves (what one panel moves is said with the panel).
    Source:   common practice [P]: start and end may differ by a fraction of the time of the stroke.
    """
    operations = list(operations)
    actuators = (one for each in operations for solved in each.with_actuators for one in solved.circuit.actuators)
    moved = [key for key in map(_vent_of, actuators) if key is not None]
    if len(set(moved)) == len(moved):  # as in most panels: each moves a vent of its own
        return []
    together = {key for key, count in Counter(moved).items() if count > 1}
    by_vent: dict[object, list[tuple[str, _Driven]]] = {}
    for operation in operations:
        for key, driven in _driven(operation, together):
            by_vent.setdefault(key, []).append((operation.name, driven))
    findings = []
    for rows in by_vent.values():
        panels = {panel for panel, _ in rows}
        if (len(panels) > 1) == over_panels:
            driven = [one for _, one in rows]
            name = next((one.travel.actuator.vent for one in driven if one.travel.actuator.vent), "of both panels")
            findings += _of_vent(name, driven, practice)
    return findings


def _vent_of(actuator):
    """What tells the vent of an actuator from others, None where nobody said which it moves."""
    return actuator.vent if actuator.vent_key is None else actuator.vent_key


def _driven(operation: Operation, together: set):
    for solved in operation.with_actuators:
        waits = {source: operation.waits_s(solved, source)[1] for source in SOURCES}
        ahead_s = operation.ahead_of_last_s(solved)
        for travel in solved.travels:
            key = _vent_of(travel.actuator)
            if key in together:
                starts_s, stroke_s = waits[travel.source], travel.stroke_s
                open_s = None if None in (starts_s, stroke_s) else starts_s + stroke_s
                yield key, _Driven(travel, starts_s, open_s, solved.circuit.name, ahead_s[travel.actuator.name])


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
    kinds_known = all(one.load_model != LoadModel.NOT_KNOWN for one in actuators.values())
    if any(row.open_s is None for row in rows) and (len(outputs) > 1 or not kinds_known):
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
        if len({row.travel.actuator.name for row in same}) < 2:
            continue
        # By the data sheet where the time at this voltage is not known: that one is never longer.
        strokes_s = [row.travel.least_s if row.travel.stroke_s is None else row.travel.stroke_s for row in same]
        allowed_s = practice.in_step_tolerance * min(strokes_s)
        starts = [None if row.starts_s is None else row.starts_s - row.ahead_s for row in same]
        ends = [None if row.open_s is None else row.open_s - row.ahead_s for row in same]
        for what, times in (("start", starts), ("end", ends)):
            known = [time for time in times if time is not None]
            apart_s = max(known, default=0.0) - min(known, default=0.0)
            if apart_s > allowed_s + 1e-9:
                return f"{words} they {what} {apart_s:.1f} s apart".lstrip(), _told(starts, ends, allowed_s)
    return None


def _told(starts, ends, allowed_s):
    def in_words(times):
        return ", ".join("not known" if s is None else f"{s:.3g}" for s in times)

    return (
        Figure("start of travel", in_words(starts), "s"),
        Figure("end of travel", in_words(ends), "s"),
        Figure("allowed apart", round(allowed_s, 2), "s"),
    )


def _racking(subject, names, vent, words, inputs):
    bad = (
        f"{names} move vent {vent} together, but {words}: they rack the leaf. "
        f"Fit actuators of one speed and stroke that start together, or a synchronised set."
    )
    return fail(_CODE, subject, bad, PRACTICE, inputs, "greatest / least - 1, and start and end by time")
