"""What is said of the force of a zone's actuators: one finding for all its vents, by the one with least to spare."""

import math
from typing import NamedTuple

from zones.engineering.findings import Figure, Finding, at_least, fail, listed, meets, question
from zones.engineering.leaf_force import WorstPoint
from zones.engineering.quantities import rounded_down, rounded_up
from zones.engineering.sources import PRACTICE, STATICS
from zones.engineering.travels import Travel
from zones.engineering.vents import Vent, VentKind

FORMULA = (
    "greatest moment of weight, snow and wind about the hinge / arm of the line of action, anywhere on the stroke; the "
    "weakest actuator × how many share the leaf; what helps is not counted, nor friction, seals and ice; to "
    "close, against the weight of the leaf alone"
)


class Judged(NamedTuple):
    """A vent whose force is known: what it takes and where, what there is; `shares` actuators to a leaf."""

    vent: Vent
    point: WorstPoint
    available_n: float
    shares: int
    words: str
    travel: Travel | None = None
    is_whole: bool = True  # every load is stated

    @property
    def ratio(self) -> float:
        return math.inf if not self.point.force_n else self.available_n / self.point.force_n


def verdicts_of(zone, code, to_do, does, judged: list[Judged], practice) -> list[Finding]:
    """One finding on all vents of the zone whose force is known: the one with least to spare decides."""
    judged = [one for one in judged if one.is_whole or one.ratio < 1]
    if not judged:
        return []
    worst, margin = min(judged, key=lambda one: one.ratio), practice.force_margin
    needs, has = worst.point.force_n, worst.available_n
    its = "its actuator" if worst.shares == 1 else f"its {worst.shares} actuators together"
    if worst.vent.kind == VentKind.DOUBLE_LEAF:
        its = f"the {worst.shares} of each leaf" if worst.shares > 1 else "the one of each leaf"
    does_it = f"{does}es" if does == "push" else f"{does}s"
    gives = does_it if worst.shares == 1 else does
    of_all = "" if len(judged) == 1 else f"of {len(judged)} vents the worst, "
    at = f" {where(worst.point)}" if code != "force.holding" else ""
    begin = (
        f"Zone {zone}: {of_all}{worst.vent.name}, needs {_newton(needs)}{at} {to_do}"
        if of_all
        else (f"Zone {zone}: {worst.vent.name} needs {_newton(needs)}{at} {to_do}")
    )
    begin += f", {its} {gives} {rounded_down(has, 0):g} N{f' {worst.words}' if worst.words else ''}"
    inputs = (*figures_of(worst), Figure("margin wanted", margin, "×"))
    wanted_n = needs * margin
    compared = (
        at_least(rounded_down(has, 0), rounded_up(wanted_n, 0), "N", has - wanted_n) if wanted_n < math.inf else None
    )
    if has >= wanted_n:
        words = f"{begin}, {rounded_down(worst.ratio, 2):g} times as much; {margin:g} times are wanted"
        return [meets(code, zone, words, STATICS, inputs, FORMULA, limit=PRACTICE, compared=compared)]
    if has >= needs:
        words = (
            f"{begin}, only {rounded_down(worst.ratio, 2):g} times as much; {margin:g} times are common for friction, "
            f"seals and ageing. {_too_weak(judged, margin)}Choose a stronger one, or prove it under load on site."
        )
        return [question(code, zone, words, PRACTICE, inputs, FORMULA, compared=compared)]
    words = f"{begin}: too weak. {_too_weak(judged, 1)}{_remedy(worst, does, margin)}"
    return [fail(code, zone, words, STATICS, inputs, FORMULA, compared=compared)]


def _too_weak(judged, margin):
    names = [one.vent.name for one in judged if one.ratio < margin]
    return "" if len(names) < 2 else f"So are {listed(names)}. " if margin == 1 else f"That holds for {listed(names)}. "


def _remedy(worst, does, margin):
    if not math.isfinite(worst.point.force_n):
        return (
            "There its line of action runs through the hinge, so that no force turns the leaf. Move its place on the "
            "frame behind the leaf, or to the fixing."
        )
    each_n = rounded_up(worst.point.force_n * margin / worst.shares, 0)
    where = "" if worst.travel is None or not worst.words else f" at {rounded_down(worst.travel.volts, 1):g} V"
    return f"Each must {does} at least {each_n:g} N{where}, or stand farther from the hinge."


def _newton(force_n):
    return f"{rounded_up(force_n, 0):g} N" if math.isfinite(force_n) else "more force than any actuator has"


def where(point):
    return f"at {point.run_mm:.0f} mm of its stroke ({point.angle_deg:.0f}°)"


def figures_of(one: Judged) -> tuple[Figure, ...]:
    leaf = one.vent.leaf
    found = [
        Figure("weight of a leaf", leaf.mass_kg, "kg"),
        Figure("wind against opening", leaf.wind_opening_pa, "N/m²"),
        Figure("snow on the plan", leaf.snow_pa, "N/m²"),
        Figure("wind suction, closed", leaf.wind_suction_pa, "N/m²"),
        Figure("angle of installation", leaf.installed_deg, "°"),
        Figure("place on the frame from the hinge", leaf.bracket_m, "m"),
        Figure("and behind the leaf", leaf.bracket_depth_m, "m"),
    ]
    if math.isfinite(one.point.force_n):
        found.append(Figure("greatest force needed", rounded_up(one.point.force_n, 1), "N"))
    found += [
        Figure("after", round(one.point.run_mm, 1), "mm"),
        Figure("force there is", rounded_down(one.available_n, 1), "N"),
        Figure("actuators that share a leaf", one.shares),
    ]
    if one.travel is not None and one.words:
        found.append(Figure("voltage that reaches it", rounded_down(one.travel.volts, 2), "V"))
    return tuple(found)
