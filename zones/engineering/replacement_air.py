"""Replacement air of a smoke zone: the inlets against the outlets, and whether they open with them.

Smoke leaves only as fast as air comes in. An inlet never counts as a smoke outlet, and an outlet never as an inlet.
"""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from zones.engineering.asked_areas import AskedArea, asked_of
from zones.engineering.findings import (
    Figure,
    Finding,
    Severity,
    at_least,
    fail,
    listed,
    meets,
    missing,
    note,
    question,
)
from zones.engineering.quantities import rounded_down, rounded_up
from zones.engineering.smoke_zones import SmokeZone
from zones.engineering.sources import DATA_SHEET, DESIGN_ENTRY, INLET_COEFFICIENTS, RECORD
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice
from zones.engineering.vents import AreaKind, OpenedBy, Vent
from zones.engineering.zone_areas import SIDES, VentArea, aerodynamic_sum_m2, areas_of

_CODE = "air.inlets"
_FORMULA = "sum of the inlets ≥ ratio × the area required, and ≥ ratio × what the outlets open"
# Opening angle from → coefficient of a leaf as an inlet. German DIN 18232-2, from memory: an estimate, no verdict.
_ANGLES = ((90.0, 0.65), (60.0, 0.5), (45.0, 0.4), (30.0, 0.3))


class Ratio(NamedTuple):
    """Area of the inlets over that of the outlets, as asked; `whose` it is where not the strategy's own figure."""

    ratio: float
    kind: AreaKind
    whose: str | None = None


def ratio_of(zone: SmokeZone) -> Ratio | None:
    """What is asked of the inlets: the strategy's ratio, else that of the method; ``None``: none, or not said."""
    if zone.needs_no_inlets:
        return None
    if zone.inlet_ratio is not None and zone.inlet_kind is not None:
        return Ratio(zone.inlet_ratio, zone.inlet_kind)
    if zone.method and zone.method.inlet_ratio:
        return Ratio(zone.method.inlet_ratio, zone.method.inlet_kind, str(zone.method.source))
    return None


def check_inlets(zone: SmokeZone, vents: Sequence[Vent], practice: TradePractice = TRADE_PRACTICE) -> list[Finding]:
    """Sum of the inlets of a zone against the ratio that is asked, like with like, and what opens them.

    Source:   the fire strategy, or the method of the zone.
    """
    inlets, outlets = [one for one in vents if one.is_inlet], [one for one in vents if not one.is_inlet]
    findings, ratio = _beside_the_method(zone), ratio_of(zone)
    if ratio is None:
        return findings + (_not_judged(zone, inlets) if inlets and not zone.needs_no_inlets else [])
    if not inlets:
        return [*findings, _none(zone, ratio)]
    areas, impossible = areas_of(zone, inlets)
    if impossible:
        return findings + impossible
    findings += _opened_by_people(zone, inlets)
    if unknown := _unknown(zone, inlets, areas, ratio):
        return findings + unknown
    asked = asked_of(zone, aerodynamic_sum_m2(inlets), practice)
    return [*findings, _judged(zone, inlets, outlets, ratio, asked)]


def _judged(zone, inlets, outlets, ratio, asked: AskedArea):
    """At its worst: what nobody knows of the sides of a vent makes inlets small and outlets large."""
    found = _sum_of(zone, inlets, [one.with_open_sides for one in outlets], ratio, asked)
    names = [one.name for one in (*inlets, *outlets) if one.lacks_sides]
    if not names or found.severity is Severity.MEETS:
        return found
    if _sum_of(zone, [one.with_open_sides for one in inlets], outlets, ratio, asked).severity is found.severity:
        return found
    return missing(_CODE, zone.name, SIDES, names, RECORD, not_checked=f"replacement air of zone {zone.name}")


def _sum_of(zone, inlets, outlets, ratio, asked: AskedArea):
    areas, _ = areas_of(zone, inlets)
    return _sum(zone, inlets, areas, ratio, asked, _outlets_m2(zone, outlets, ratio.kind))


def nothing_said(zones: Iterable[SmokeZone], vents: Sequence[Vent]) -> list[str]:
    """Names of zones with smoke outlets of which nobody recorded whether replacement air is asked for."""
    with_outlets = {vent.zone for vent in vents if not vent.is_inlet}
    return [
        zone.name for zone in zones if zone.name in with_outlets and not zone.needs_no_inlets and ratio_of(zone) is None
    ]


def inlet_coefficient(angle_deg: float | None) -> float | None:
    """The coefficient of a leaf as an inlet at this opening; ``None``: not known, or opened too little."""
    if angle_deg is None:
        return None
    return next((value for least, value in _ANGLES if angle_deg >= least - 1e-9), None)


def _of_kind(area: VentArea, kind: AreaKind):
    return area.geometric_m2 if kind == AreaKind.GEOMETRIC else area.aerodynamic_m2


def _by(area: VentArea, kind: AreaKind):
    return area.geometric_by if kind == AreaKind.GEOMETRIC else area.by


def _beside_the_method(zone):
    """A question where the strategy asks for less than the method that the zone names."""
    method = zone.method
    if method is None or not method.inlet_ratio:
        return []
    asks = f"Zone {zone.name}: '{method.name}' asks for inlets of {method.inlet_ratio:g} times the outlets"
    if zone.needs_no_inlets:
        words = f"{asks}, the record says that none are asked for. Ask the fire engineer which holds."
    elif zone.inlet_ratio is not None and zone.inlet_ratio < method.inlet_ratio:
        words = f"{asks}, the strategy for {zone.inlet_ratio:g} times. Ask the fire engineer which holds."
    else:
        return []
    return [question("air.method", zone.name, words, method.source)]


def _not_judged(zone, inlets):
    words = (
        f"Zone {zone.name}: inlet {listed(one.name for one in inlets)} recorded, but not what the fire strategy asks "
        f"of replacement air: the inlets are not judged. Enter the ratio, or that none is asked for."
    )
    return [note("air.asked", zone.name, words, DESIGN_ENTRY)]


def _none(zone, ratio):
    words = (
        f"Zone {zone.name} has no inlet for replacement air; {ratio.ratio:g} times the outlets, {ratio.kind}, is asked "
        f"for. Record the doors, windows and grilles through which air comes in, or fit them."
    )
    return fail(_CODE, zone.name, words, DESIGN_ENTRY, (Figure("ratio asked", ratio.ratio), Figure("inlets", 0)))


def _opened_by_people(zone, inlets):
    by_hand = [one.name for one in inlets if one.opened_by in (OpenedBy.HAND, OpenedBy.DOOR)]
    if not by_hand:
        return []
    words = (
        f"Zone {zone.name}: nothing opens inlet {listed(by_hand)} with the outlets; a person does. The fire strategy "
        f"must say who, and that it is opened in time."
    )
    return [question("air.opens", zone.name, words, DESIGN_ENTRY)]


def _unknown(zone, inlets, areas, ratio):
    """What lacks for the area of an inlet, and an estimate beside it where there is one."""
    unchecked = f"replacement air of zone {zone.name}"
    owners: dict[str, list[str]] = {}
    for vent, area in zip(inlets, areas, strict=True):
        lacking = _lacking(vent, ratio.kind) if _of_kind(area, ratio.kind) is None else []
        if vent.has_actuator and vent.stroke_mm is None and "stroke" not in lacking:
            lacking.append("stroke")  # whatever is declared: nobody knows that anything opens it
        for what in lacking:
            owners.setdefault(what, []).append(vent.name)
    findings = [
        missing(_CODE, zone.name, what, names, DATA_SHEET, not_checked=unchecked) for what, names in owners.items()
    ]
    if findings and ratio.kind == AreaKind.AERODYNAMIC:
        findings += _estimates(zone, inlets, areas)
    return findings


def _lacking(vent, kind):
    if kind == AreaKind.GEOMETRIC:
        return vent.missing_figures()
    if vent.has_test and vent.reaches_its_test() is False:
        return ["declared aerodynamic area at the angle to which it opens"]
    return ["declared aerodynamic area"]


def _estimates(zone, inlets, areas):
    """Aerodynamic areas of inlets by the coefficient of their opening angle: never a verdict."""
    used = {
        vent.name: (vent.frame_m2 * coefficient, coefficient, area.angle_deg)
        for vent, area in zip(inlets, areas, strict=True)
        if area.aerodynamic_m2 is None
        and vent.frame_m2 is not None
        and (coefficient := inlet_coefficient(area.angle_deg)) is not None
    }
    if not used:
        return []
    each = listed(
        f"{name} about {rounded_down(m2, 2):g} m² with {coefficient:g} at {angle:.0f}°"
        for name, (m2, coefficient, angle) in used.items()
    )
    words = f"Zone {zone.name}: aerodynamic area of the inlets as an estimate: {each}. An estimate is no verdict."
    inputs = tuple(
        Figure(f"estimated coefficient of {name}", coefficient) for name, (_, coefficient, _) in used.items()
    )
    return [note("air.estimate", zone.name, words, INLET_COEFFICIENTS, inputs, "frame × coefficient of the angle")]


def _outlets_m2(zone, outlets, kind):
    """What all outlets open, m², of this kind; ``None``: none recorded, or not known of one."""
    areas, impossible = areas_of(zone, outlets)
    known = [_of_kind(area, kind) for area in areas]
    return None if impossible or not known or None in known else sum(known)


def _sum(zone, inlets, areas, ratio, asked: AskedArea, opened_m2):
    known = [_of_kind(area, ratio.kind) for area in areas]
    total_m2 = sum(known)
    required_m2 = asked.area_m2 if asked.kind == ratio.kind else None
    inputs = (
        *(Figure(vent.name, rounded_down(m2, 3), "m²") for vent, m2 in zip(inlets, known, strict=True)),
        *(Figure(f"{vent.name} by", _by(area, ratio.kind)) for vent, area in zip(inlets, areas, strict=True)),
        Figure("sum of inlets", rounded_down(total_m2, 3), "m²"),
        Figure("ratio asked", ratio.ratio),
        Figure(f"required, {ratio.kind}", required_m2, "m²"),
        Figure("outlets open", None if opened_m2 is None else rounded_down(opened_m2, 3), "m²"),
    )
    told = (zone.name, DESIGN_ENTRY, inputs, _FORMULA)
    has = f"Zone {zone.name} lets in {rounded_down(total_m2, 3):g} m² {ratio.kind}"
    if required_m2 is not None and total_m2 < ratio.ratio * required_m2 - 1e-9:
        return _short(told, has, total_m2, ratio, required_m2, "required")
    if opened_m2 is None:
        unchecked = f"replacement air of zone {zone.name}"
        what = f"{ratio.kind} area of the smoke outlets"
        return missing(_CODE, zone.name, what, [f"zone {zone.name}"], DATA_SHEET, not_checked=unchecked)
    if total_m2 < ratio.ratio * opened_m2 - 1e-9:
        return _short(told, has, total_m2, ratio, opened_m2, "that the outlets open", is_enough=required_m2 is not None)
    decisive_m2 = ratio.ratio * max(opened_m2, required_m2 or 0.0)
    subject, source, inputs, formula = told
    return meets(
        *(_CODE, subject, f"{has} for {ratio.ratio:g} times the outlets, {rounded_up(decisive_m2, 3):g} m²", source),
        *(inputs, formula),
        limit=ratio.whose,
        compared=at_least(rounded_down(total_m2, 3), rounded_up(decisive_m2, 3), "m²", total_m2 - decisive_m2),
    )


def _short(told, has, total_m2, ratio, of_m2, what, *, is_enough=False):
    """Too little; a question where it is enough for the area required, if not for what the outlets open."""
    subject, source, inputs, formula = told
    wanted_m2 = ratio.ratio * of_m2
    lacks_m2, of_m2 = rounded_up(wanted_m2 - total_m2, 3), rounded_down(of_m2, 3)
    words = f"{has}, {lacks_m2:g} m² less than {ratio.ratio:g} times the {of_m2:g} m² {what}"
    words += (
        ", if enough for the area required. Ask the fire engineer." if is_enough else ". Fit or record more inlets."
    )
    compared = at_least(rounded_down(total_m2, 3), rounded_up(wanted_m2, 3), "m²", total_m2 - wanted_m2)
    make = question if is_enough else fail
    return make(_CODE, subject, words, source, inputs, formula, compared=compared)
