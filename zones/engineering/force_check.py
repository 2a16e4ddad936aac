"""Whether the actuators of each hinged vent open it, close it and hold it shut, over the whole stroke."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple

from zones.engineering.findings import Figure, Finding, Severity, fail, listed, missing, note
from zones.engineering.force_verdicts import FORMULA, Judged, figures_of, verdicts_of, where
from zones.engineering.leaf_force import HingeAt, Swing, WorstPoint, holding_n, worst_closing, worst_opening
from zones.engineering.operation import Operation
from zones.engineering.quantities import QuantityError, in_words, rounded_down, rounded_up
from zones.engineering.solved_circuits import MAINS, SOURCES
from zones.engineering.sources import DATA_SHEET, DESIGN_ENTRY, RECORD, STATICS
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice
from zones.engineering.travels import Travel
from zones.engineering.vents import OpenedBy, Vent, VentKind, by_zone

_HINGES = {
    VentKind.TOP_HUNG: (HingeAt.UPPER,),
    VentKind.BOTTOM_HUNG: (HingeAt.LOWER,),
    VentKind.SIDE_HUNG: (HingeAt.SIDE,),
}
_EITHER_END = (HingeAt.UPPER, HingeAt.LOWER)
_UNCHECKED = {
    "force.opening": "force to open vents",
    "force.closing": "force to close vents",
    "force.holding": "force to hold vents shut",
}


class _Task(NamedTuple):
    """One thing that actuators do: its code, words, figure on the data sheet, force at a voltage, and what it takes."""

    code: str
    to_do: str
    does: str
    figure: str
    force_at: Callable
    sources: tuple[str, ...]
    worst: Callable[[Swing, float], WorstPoint]


_OPENING = _Task(
    "force.opening", "to open", "push", "push_force_n", lambda one, volts: one.push_at(volts), SOURCES, worst_opening
)
_CLOSING = _Task(
    "force.closing", "to close", "pull", "pull_force_n", lambda one, volts: one.pull_at(volts), (MAINS,), worst_closing
)


class _Gaps:
    """What is not known, told once for all vents of a zone that lack the same."""

    def __init__(self, zone: str):
        self.zone, self.owners = zone, {}

    def ask(self, code, what, owners, source):
        self.owners.setdefault((code, what, source), {}).update(dict.fromkeys(owners))

    def findings(self) -> list[Finding]:
        together = {}
        for (code, what, source), names in self.owners.items():
            together.setdefault((code, tuple(names), source), []).append(what)
        return [
            missing(
                code, self.zone, listed(whats, 9), names, source, not_checked=f"{_UNCHECKED[code]} in zone {self.zone}"
            )
            for (code, names, source), whats in together.items()
        ]


def check_forces(
    name: str,
    zones: Iterable[str],
    vents: Sequence[Vent],
    operation: Operation,
    practice: TradePractice = TRADE_PRACTICE,
) -> list[Finding]:
    """Force of the actuators of every hinged vent of a panel for which somebody entered a weight or a load.

    Args:     name: of the panel; operation: the panel solved, for the voltage at each actuator.
    Source:   moments about the hinge [calc]; the margin is common practice [P].
    """
    travels: dict[int, list[Travel]] = {}
    if any(vent.leaf and vent.leaf.is_asked for vent in vents):
        for travel in (one for solved in operation.with_actuators for one in solved.travels):
            if travel.actuator.vent_key is not None:
                travels.setdefault(travel.actuator.vent_key, []).append(travel)
    findings, silent, vents_of = [], [], by_zone(vents)
    for zone in zones:
        of_zone = [vent for vent in vents_of.get(zone, ()) if vent.opened_by == OpenedBy.ACTUATOR]
        asked = [vent for vent in of_zone if vent.leaf and vent.leaf.is_asked]
        if len(asked) < len(of_zone):
            left_out = [vent.name for vent in of_zone if vent not in asked]
            silent.append(f"{zone} ({listed(left_out)})" if asked else zone)
        if asked:
            findings += forces_of_zone(zone, [vent for vent in asked if not _area_says_so(vent)], travels, practice)
    if silent:
        words = (
            f"{name}: force of actuators not checked in zone {listed(silent)}: no weight of a leaf, wind or snow was "
            f"entered."
        )
        findings.append(note("force.not_checked", name, words, DESIGN_ENTRY))
    return findings


def forces_of_zone(
    zone: str, vents: Sequence[Vent], travels: dict[int, list[Travel]], practice: TradePractice = TRADE_PRACTICE
) -> list[Finding]:
    """As :func:`check_forces` for vents of one zone that somebody asks about; `travels` by `Vent.key`."""
    gaps, findings = _Gaps(zone), []
    if other := [vent.name for vent in vents if vent.kind in (VentKind.LOUVRE, VentKind.SLIDING)]:
        words = (
            f"Zone {zone}: force on {listed(other)} is not computed here: louvres and sliding vents have no leaf that "
            f"turns about one hinge. Compare the maker's loads."
        )
        findings.append(note("force.not_computed", zone, words, DATA_SHEET))
    judged = {_OPENING: [], _CLOSING: [], "holding": []}
    for vent in (vent for vent in vents if vent.name not in other):
        swings = _swings(vent, gaps)
        if not swings:
            continue
        rows = travels.get(vent.key, [])
        shares = _shares(vent, rows, gaps)
        if not shares:
            continue
        try:
            for task in (_OPENING, _CLOSING):
                findings += _judge(zone, vent, task, swings, rows, shares, judged[task], gaps)
            judged["holding"] += _holding(vent, swings, rows, shares, gaps)
        except QuantityError as error:
            words = f"Zone {zone}: {error.in_words(vent.name)} Correct stroke, fixing or bracket to get a verdict."
            figures = (Figure(in_words(error.field), error.value),)
            findings.append(fail("force.geometry", zone, words, STATICS, figures))
    for task in (_OPENING, _CLOSING):
        findings += verdicts_of(zone, task.code, task.to_do, task.does, judged[task], practice)
    findings += verdicts_of(zone, "force.holding", "to stay shut", "hold", judged["holding"], practice)
    return [*gaps.findings(), *findings]


def _swings(vent: Vent, gaps: _Gaps) -> list[Swing]:
    """The leaf about each hinge that it may have; a load that is not stated is 0 there and asked for."""
    leaf, code = vent.leaf, _OPENING.code
    wanted = [
        ("kind of opening", vent.kind, RECORD),
        ("clear width", vent.width_m, RECORD),
        ("clear height", vent.height_m, RECORD),
        ("stroke", vent.stroke_mm, DATA_SHEET),
        ("angle of installation", leaf.installed_deg, RECORD),
        ("place of the actuator on the frame", leaf.bracket_m, RECORD),
        ("depth of the actuator behind the leaf", leaf.bracket_depth_m, RECORD),
    ]
    lacking = [(what, source) for what, value, source in wanted if value is None]
    loads = [
        ("weight of the leaf", leaf.mass_kg, RECORD),
        ("wind against opening", leaf.wind_opening_pa, DESIGN_ENTRY),
    ]
    if leaf.takes_snow and not leaf.opens_inwards:
        loads.append(("snow", leaf.snow_pa, DESIGN_ENTRY))
    lacking_loads = [(what, source) for what, value, source in loads if value is None]
    for what, source in (*lacking, *lacking_loads):
        gaps.ask(code, what, [vent.name], source)
    if lacking:
        return []
    return [
        Swing(
            hinge_length_m=vent.hinge_length_m,
            depth_m=vent.leaf_depth_m,
            mass_kg=leaf.mass_kg or 0.0,
            installed_deg=leaf.installed_deg,
            fixing_m=vent.fixing_m or vent.leaf_depth_m,
            bracket_m=leaf.bracket_m,
            bracket_depth_m=leaf.bracket_depth_m,
            hinge_at=hinge,
            opens_inwards=leaf.opens_inwards,
            wind_opening_pa=leaf.wind_opening_pa or 0.0,
            snow_pa=leaf.snow_pa or 0.0,
        )
        for hinge in _hinges(vent)
    ]


def _hinges(vent: Vent) -> tuple[HingeAt, ...]:
    """The edges that may be the hinge: a double leaf turns about two, of a flap nobody may have said it."""
    if vent.kind in _HINGES:
        return _HINGES[vent.kind]
    if vent.leaf.hinge_at is None:
        return tuple(HingeAt)
    if vent.kind == VentKind.DOUBLE_LEAF and vent.leaf.hinge_at in _EITHER_END:
        return _EITHER_END
    return (vent.leaf.hinge_at,)


def _area_says_so(vent: Vent) -> bool:
    """Whether the stroke is too long for the fixing alone, which the finding on the area says."""
    try:
        vent.opening_deg()
    except QuantityError:
        return True
    return False


def _is_whole(vent: Vent) -> bool:
    leaf = vent.leaf
    snow_known = leaf.snow_pa is not None or leaf.opens_inwards or not leaf.takes_snow
    return leaf.mass_kg is not None and leaf.wind_opening_pa is not None and snow_known


def _shares(vent: Vent, rows: list[Travel], gaps: _Gaps) -> int:
    """How many actuators share one leaf; 0: not known, which is asked for."""
    count = len({row.actuator.name for row in rows})
    if not count or count != vent.leaf.movers:
        what = "circuit of every actuator" if vent.leaf.movers else "actuator"
        gaps.ask(_OPENING.code, what, [vent.name], RECORD)
        return 0
    if vent.kind != VentKind.DOUBLE_LEAF:
        return count
    if count == 1:
        gaps.ask(_OPENING.code, "actuator of the second leaf", [vent.name], RECORD)
    return count // 2


def _judge(zone, vent, task, swings, rows, shares, judged, gaps) -> list[Finding]:
    """Put the vent to those whose force is known; else ask, or say why its data sheet does not tell."""
    point = max((task.worst(swing, vent.stroke_mm / 1000) for swing in swings), key=lambda one: one.force_n)
    whole = _is_whole(vent)
    if not point.force_n:
        if task is _OPENING and whole:
            words = f"Zone {zone}: neither weight nor a load stated holds {vent.name} back; friction is not computed."
            return [note(task.code, zone, words, STATICS)]
        return []
    actuators = {row.actuator.name: row.actuator for row in rows}
    if without := [name for name, one in actuators.items() if getattr(one, task.figure) is None]:
        gaps.ask(task.code, f"{task.does} force", without, DATA_SHEET)
        return []
    forces = [(_force_n(task, row), row) for row in rows if row.source in task.sources]
    if all(force is not None for force, _ in forces):
        force_n, row = min(forces, key=lambda one: one[0])
        judged.append(Judged(vent, point, shares * force_n, shares, row.words, row, whole))
        return []
    rated_n = shares * min(getattr(one, task.figure) for one in actuators.values())
    at_rated = Judged(vent, point, rated_n, shares, "at the rated voltage", None, whole)
    if at_rated.ratio < 1:
        judged.append(at_rated)
        return []
    return _not_told(zone, task, at_rated, [row for force, row in forces if force is None]) if whole else []


def _force_n(task, row):
    """The force at the voltage that arrives; None below the least voltage too, whatever the data sheet says there."""
    if row.volts is not None and row.volts < (row.actuator.minimum_voltage_v or 0.0):
        return None
    return task.force_at(row.actuator, row.volts)


def _not_told(zone, task, at_rated, rows):
    """The data sheet says nothing of the force at the voltage that arrives: said with the force at the rated one."""
    subject = f"Zone {zone}: force {task.to_do} {at_rated.vent.name}"
    known = [row for row in rows if row.volts is not None]
    if not known:
        words = f"{subject} not checked: the voltage that reaches its actuators is not known."
        return [Finding(task.code, Severity.MISSING, zone, words, RECORD, (Figure("voltage that reaches it", None),))]
    least = min(known, key=lambda row: row.volts)
    volts, minimum_v = rounded_down(least.volts, 2), least.actuator.minimum_voltage_v or 0.0
    if least.volts < minimum_v:
        words = (
            f"{subject} not checked: {least.actuator.name} gets {volts:g} V {least.words}, below the {minimum_v:g} V "
            f"it needs to run. Put the voltage right first."
        )
        figures = (Figure("voltage that reaches it", volts, "V"),)
        return [Finding(task.code, Severity.MISSING, zone, words, DATA_SHEET, figures)]
    needs, has = rounded_up(at_rated.point.force_n, 0), rounded_down(at_rated.available_n, 0)
    words = (
        f"{subject} is checked at the rated voltage only: it needs {needs:g} N {where(at_rated.point)} and has "
        f"{has:g} N. "
        f"What {least.actuator.name} gives at the {volts:g} V that reach it {least.words} its data sheet does not say. "
        f"Enter its {task.does} force at a lower voltage to get a verdict."
    )
    figures = (
        Figure(f"{task.does} force at a lower voltage", None, "N"),
        Figure("voltage that reaches it", volts, "V"),
        *figures_of(at_rated),
    )
    return [Finding(task.code, Severity.MISSING, zone, words, DATA_SHEET, figures, FORMULA)]


def _holding(vent, swings, rows, shares, gaps) -> list[Judged]:
    """What holds the leaf against suction, where anybody stated it."""
    suction_pa = vent.leaf.wind_suction_pa
    if not suction_pa:
        return []
    if vent.leaf.mass_kg is None and any(replace(swing, mass_kg=1.0).falls_open_nm(0.0) for swing in swings):
        return []  # its weight is asked for with the force to open
    needed_n = max(holding_n(swing, suction_pa) for swing in swings)
    actuators = {row.actuator.name: row.actuator for row in rows}
    if without := [name for name, one in actuators.items() if one.holding_force_n is None]:
        gaps.ask("force.holding", "holding force", without, DATA_SHEET)
        return []
    has_n = shares * min(one.holding_force_n for one in actuators.values())
    return [Judged(vent, WorstPoint(needed_n, 0.0, 0.0), has_n, shares, "when closed")]
