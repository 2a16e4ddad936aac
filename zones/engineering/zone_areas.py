"""Free area of a smoke zone against what the fire strategy asks, like with like."""

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from zones.engineering.asked_areas import AskedArea, asked_of, method_findings, opens_less_than_a_plume
from zones.engineering.findings import (
    Figure,
    Finding,
    Severity,
    at_least,
    at_most,
    fail,
    listed,
    missing,
    note,
    question,
    verdict,
    verdict_when_read,
)
from zones.engineering.quantities import QuantityError, in_words, questioned, rounded_down, rounded_up
from zones.engineering.smoke_zones import SmokeZone
from zones.engineering.sources import DATA_SHEET, DESIGN_ENTRY, EN_12101_2_AREA, GEOMETRY, PRACTICE, RECORD
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice
from zones.engineering.vents import AreaKind, Vent, VentKind, aerodynamic_area_m2, geometric_area_m2, is_hinged

SIDES = "whether walls or neighbours close the sides"
_OF_ITS_OPENING = ("kind of opening", "clear width", "clear height", "stroke", "blade angle")
_FORMULA = {
    AreaKind.GEOMETRIC: "sum of least of frame and gaps (front + two side triangles)",
    AreaKind.AERODYNAMIC: "sum of frame area × tested coefficient, or as declared, each at the angle of its test",
}


class VentArea(NamedTuple):
    """What one vent opens; ``None`` = not known.

    `aerodynamic_m2` only as declared or by a tested coefficient, where it opens as far as that holds; `by` says which,
    `geometric_by` whence the other.
    """

    geometric_m2: float | None
    aerodynamic_m2: float | None
    angle_deg: float | None
    by: str = ""
    geometric_by: str = ""


def vent_area(vent: Vent) -> VentArea:
    """Areas and opening angle of a vent, as far as they are known; of declared and computed the smaller.

    Raises:   QuantityError: figures that no such vent can have.
    """
    # Kept with the vent, because it is asked often and those that share its figures have it then (copies.py).
    kept = vent.__dict__
    if "_area" not in kept:
        kept["_area"] = _area_of(vent)
    return kept["_area"]


def _area_of(vent: Vent) -> VentArea:
    computed_m2 = None if vent.missing_figures() or not vent.has_actuator else geometric_area_m2(vent)
    angle = vent.opening_deg() if is_hinged(vent.kind) else None
    geometric_m2 = _smaller(computed_m2, _declared_geometric_m2(vent, computed_m2))
    geometric_by = (
        "" if geometric_m2 is None else "as declared" if computed_m2 != geometric_m2 else _computed_from(vent)
    )
    if not vent.reaches_its_test():
        return VentArea(geometric_m2, None, angle, "", geometric_by)
    by_test_m2, declared_m2 = None, vent.declared_aerodynamic_m2
    if vent.has_actuator and vent.coefficient_tested and None not in (vent.discharge_coefficient, vent.frame_m2):
        by_test_m2 = aerodynamic_area_m2(vent.frame_m2, vent.discharge_coefficient)
    area_m2 = _smaller(by_test_m2, declared_m2)
    if _exceeds_frame(vent, area_m2):
        return VentArea(geometric_m2, None, angle, "", geometric_by)
    at = "" if vent.tested_angle_deg is None else f" at {vent.tested_angle_deg:g}°"
    by = f"as declared{at}" if area_m2 == declared_m2 else f"frame × tested coefficient{at}"
    return VentArea(geometric_m2, area_m2, angle, by if area_m2 is not None else "", geometric_by)


def _declared_geometric_m2(vent: Vent, computed_m2: float | None) -> float | None:
    """What is declared, unless it rests on an opening of which nobody knows that the actuator reaches it."""
    declared_m2 = vent.declared_geometric_m2
    if declared_m2 is None or not vent.has_actuator or computed_m2 is not None:
        return declared_m2  # the smaller counts
    return declared_m2 if vent.reaches_its_test() and not _exceeds_frame(vent, declared_m2) else None


def _exceeds_frame(vent: Vent, area_m2: float | None) -> bool:
    """Whether an area is more than the frame has, which none can be."""
    return None not in (area_m2, vent.frame_m2) and area_m2 > vent.frame_m2 + 1e-9


def _computed_from(vent: Vent) -> str:
    if vent.kind == VentKind.LOUVRE:
        return "frame and gaps of the blades"
    return "frame and stroke" if vent.kind == VentKind.SLIDING else "frame, stroke and gaps"


def _smaller(first: float | None, second: float | None) -> float | None:
    known = [area for area in (first, second) if area is not None]
    return min(known, default=None)


def check_zone_area(zone: SmokeZone, vents: Sequence[Vent], practice: TradePractice = TRADE_PRACTICE) -> list[Finding]:
    """Sum of the smoke outlets of a zone against its required area, geometric with geometric only.

    Args:     vents: of the zone; inlets among them count for a plume alone.
    Source:   geometry; EN 12101-2 for the aerodynamic area [S2]; that of the method where one is chosen.
    """
    inlets, outlets = [one for one in vents if one.is_inlet], [one for one in vents if not one.is_inlet]
    inlet_m2 = aerodynamic_sum_m2(inlets)
    asked = asked_of(zone, inlet_m2, practice)
    judged = zone
    if (zone.required_area_m2, zone.area_kind) != (asked.area_m2, asked.kind):
        judged = replace(zone, required_area_m2=asked.area_m2, area_kind=asked.kind)
    findings = _asked_and_lacking(judged, vents, asked) + method_findings(zone, asked, inlet_m2)
    if not outlets:
        return findings  # said by consistency.check_zones
    areas, impossible = areas_of(zone, outlets)
    if impossible:
        return findings + impossible
    if unmoved := [vent.name for vent in outlets if vent.kind == VentKind.LOUVRE and vent.lacks_stroke]:
        unchecked = f"free area of zone {zone.name}"
        return [*findings, missing("area.zone", zone.name, "stroke", unmoved, DATA_SHEET, not_checked=unchecked)]
    findings += _doubtful_declarations(judged, outlets, areas) + _too_small_each(zone, outlets, areas, asked)
    if judged.required_area_m2 is None or judged.area_kind is None:
        opens = [area.aerodynamic_m2 for area in areas]
        return findings + (
            [] if None in opens else opens_less_than_a_plume(zone, asked.found, rounded_down(sum(opens), 3))
        )
    if judged.area_kind == AreaKind.AERODYNAMIC:
        return findings + _aerodynamic_findings(judged, outlets, areas, practice, asked)
    if gaps := _gaps(zone, [vent for vent, area in zip(outlets, areas, strict=True) if area.geometric_m2 is None]):
        return findings + gaps
    geometric = [area._replace(by=area.geometric_by) for area in areas]
    return [*findings, _sum_finding(judged, outlets, geometric, [area.geometric_m2 for area in areas], asked)]


def _too_small_each(zone, outlets, areas, asked):
    """Vents under what the method asks of each alone: however many there are, they do not make up for it."""
    method = zone.method
    if method is None or not method.of_each:
        return []
    known = [area.geometric_m2 if method.kind == AreaKind.GEOMETRIC else area.aerodynamic_m2 for area in areas]
    small = [
        vent.name for vent, m2 in zip(outlets, known, strict=True) if m2 is not None and m2 < method.fixed_m2 - 1e-9
    ]
    if not small:
        return []
    words = (
        f"Zone {zone.name}: {listed(small)} less than the {method.fixed_m2:g} m² {method.kind} that "
        f"'{method.name}' asks of each. Use larger vents, or let the fire engineer decide."
    )
    inputs = tuple(
        Figure(vent.name, None if m2 is None else rounded_down(m2, 3), "m²")
        for vent, m2 in zip(outlets, known, strict=True)
    )
    make = fail if asked.whose else question
    return [make("area.each", zone.name, words, method.source, inputs)]


def areas_of(zone: SmokeZone, vents: Sequence[Vent]) -> tuple[list[VentArea], list[Finding]]:
    """The areas of these vents, and a finding for each whose figures cannot be."""
    areas, impossible = [], []
    for vent in vents:
        try:
            areas.append(vent_area(vent))
        except QuantityError as error:
            words = f"Zone {zone.name}: {error.in_words(vent.name)} Correct it to get a verdict."
            impossible.append(
                fail("area.vent", zone.name, words, GEOMETRY, (Figure(in_words(error.field), error.value),))
            )
    return areas, impossible


def aerodynamic_sum_m2(vents: Sequence[Vent]) -> float | None:
    """Aerodynamic area of all these vents, m²; ``None``: there are none, or it is not known of one."""
    try:
        areas = [vent_area(vent).aerodynamic_m2 for vent in vents]
    except QuantityError:
        return None
    return None if not areas or None in areas else sum(areas)


def _asked_and_lacking(zone: SmokeZone, vents: Sequence[Vent], asked: AskedArea) -> list[Finding]:
    """Unusual figures, and what the zone itself lacks."""
    findings = [
        question("figure.unusual", zone.name, f"Zone {zone.name}: {words}", PRACTICE)
        for vent in vents
        for words in vent.questions()
    ]
    if words := questioned("free_area", zone.required_area_m2, field="required_area_m2", subject=zone.name):
        findings.append(question("figure.unusual", zone.name, f"Zone {zone.name}: {words}", PRACTICE))
    unchecked = f"free area of zone {zone.name}"
    lacking = [("required area", zone.required_area_m2)] if asked.found is None else []  # else said with the method
    if asked.found is None or asked.found.method.kind is None:
        lacking.append(("kind of required area", zone.area_kind))
    for what, value in lacking:
        if value is None:
            gap = missing("area.zone", zone.name, what, [f"zone {zone.name}"], DESIGN_ENTRY, not_checked=unchecked)
            findings.append(gap)
    return findings


def _gaps(zone: SmokeZone, vents: Sequence[Vent]) -> list[Finding]:
    """The figures that these vents lack for a computed area."""
    owners: dict[str, list[str]] = {}
    for vent in vents:
        for what in vent.missing_figures():
            owners.setdefault(what, []).append(vent.name)
    unchecked = f"free area of zone {zone.name}"
    return [
        missing("area.zone", zone.name, what, names, DATA_SHEET, not_checked=unchecked)
        for what, names in owners.items()
    ]


def _doubtful_declarations(zone: SmokeZone, vents: Sequence[Vent], areas: Sequence[VentArea]) -> list[Finding]:
    """A declared aerodynamic area above the frame's cannot be: the coefficient would exceed 1."""
    findings = []
    for vent, area in zip(vents, areas, strict=True):
        declared_m2, frame_m2 = vent.declared_aerodynamic_m2, vent.frame_m2
        if not _exceeds_frame(vent, declared_m2):
            continue
        unchecked = zone.area_kind == AreaKind.AERODYNAMIC and area.aerodynamic_m2 is None
        words = (
            f"Zone {zone.name}: {vent.name} is declared with {declared_m2:g} m² aerodynamic, but its frame has only "
            f"{rounded_down(frame_m2, 3):g} m²"
            f"{': aerodynamic free area not checked' if unchecked else ''}. Check frame and declaration."
        )
        compared = at_most(declared_m2, rounded_down(frame_m2, 3), "m²", frame_m2 - declared_m2)
        severity = Severity.MISSING if unchecked else Severity.QUESTION
        inputs = (Figure("declared", declared_m2, "m²"), Figure("frame", rounded_down(frame_m2, 3), "m²"))
        found = Finding("area.declared", severity, zone.name, words, EN_12101_2_AREA, inputs, compared=compared)
        findings.append(found)
    return findings


def _sum_finding(
    zone: SmokeZone, vents: Sequence[Vent], areas: Sequence[VentArea], areas_m2: list[float], asked: AskedArea
) -> Finding:
    passed = _suffices(zone, areas_m2)
    unknown = [] if passed or zone.area_kind != AreaKind.GEOMETRIC else [one for one in vents if one.lacks_sides]
    if unknown and _suffices(zone, [vent_area(one.with_open_sides).geometric_m2 for one in vents]):
        names = [one.name for one in unknown]
        unchecked = f"free area of zone {zone.name}"
        return missing("area.zone", zone.name, SIDES, names, RECORD, not_checked=unchecked)
    return verdict_when_read("area.zone", zone.name, passed, lambda: _sum_told(zone, vents, areas, areas_m2, asked))


def _suffices(zone, areas_m2: list[float]) -> bool:
    return sum(areas_m2) >= zone.required_area_m2 - 1e-9


def _sum_told(zone, vents, areas, areas_m2: list[float], asked: AskedArea) -> Finding:
    total_m2, wanted_m2, kind = sum(areas_m2), zone.required_area_m2, zone.area_kind
    inputs = (
        *(Figure(vent.name, rounded_down(m2, 3), "m²") for vent, m2 in zip(vents, areas_m2, strict=True)),
        Figure("sum", rounded_down(total_m2, 3), "m²"),
        Figure(f"required, {kind}", wanted_m2, "m²"),
        *(Figure(f"{vent.name} by", area.by) for vent, area in zip(vents, areas, strict=True) if area.by),
    )
    has = f"Zone {zone.name} opens {rounded_down(total_m2, 3):g} m² {kind}"
    short_m2 = rounded_up(wanted_m2 - total_m2, 3)
    source = GEOMETRY if kind == AreaKind.GEOMETRIC else EN_12101_2_AREA
    by = f" by '{asked.found.method.name}'" if asked.whose else ""
    return verdict(
        *("area.zone", zone.name, _suffices(zone, areas_m2)),
        f"{has}, {wanted_m2:g} m² are required{by}",
        f"{has}, {short_m2:g} m² less than the {wanted_m2:g} m² required{by}. Use a longer stroke where the frame "
        f"allows it, or another vent.",
        *(source, inputs, _FORMULA[kind]),
        limit=asked.whose,
        compared=at_least(rounded_down(total_m2, 3), wanted_m2, "m²", total_m2 - wanted_m2),
    )


def _aerodynamic_findings(
    zone: SmokeZone, vents: Sequence[Vent], areas: list[VentArea], practice: TradePractice, asked: AskedArea
) -> list[Finding]:
    """A verdict only from declared areas and tested coefficients; otherwise an estimate that says so."""
    without = [vent for vent, area in zip(vents, areas, strict=True) if area.aerodynamic_m2 is None]
    if not without:
        return [_sum_finding(zone, vents, areas, [area.aerodynamic_m2 for area in areas], asked)]
    findings = _why_not_known(zone, without)
    if any(area.geometric_m2 is None for area in areas):
        return findings
    used = {
        vent.name: vent.discharge_coefficient or practice.estimated_discharge_coefficient
        for vent, area in zip(vents, areas, strict=True)
        if area.aerodynamic_m2 is None
    }
    estimate_m2 = sum(
        area.geometric_m2 * used[vent.name] if vent.name in used else area.aerodynamic_m2
        for vent, area in zip(vents, areas, strict=True)
    )
    each = listed(f"{value:g} for {name}" for name, value in used.items())
    words = (
        f"Zone {zone.name}: about {rounded_down(estimate_m2, 2):g} m² aerodynamic as an estimate with a coefficient "
        f"of {each} in place of a test that holds; {zone.required_area_m2:g} m² are required. An estimate is no "
        f"verdict."
    )
    inputs = (
        *(Figure(f"estimated coefficient of {name}", value) for name, value in used.items()),
        Figure("estimate", rounded_down(estimate_m2, 3), "m²"),
    )
    return [
        *findings,
        note("area.estimate", zone.name, words, PRACTICE, inputs, "geometric × estimated coefficient"),
    ]


def _why_not_known(zone: SmokeZone, vents: Sequence[Vent]) -> list[Finding]:
    """What each of these vents lacks for an aerodynamic area: a test, its angle, its own opening, or the reach."""
    unchecked = f"aerodynamic free area of zone {zone.name}"
    owners: dict[str, list[str]] = {}
    for vent in vents:
        for what in _lacking_for_its_test(vent):
            owners.setdefault(what, []).append(vent.name)
    findings = [
        missing("area.zone", zone.name, what, names, DATA_SHEET, not_checked=unchecked)
        for what, names in owners.items()
    ]
    return findings + [_falls_short(zone, vent) for vent in vents if vent.has_test and vent.reaches_its_test() is False]


def _lacking_for_its_test(vent: Vent) -> list[str]:
    if not vent.has_test:
        return ["declared aerodynamic area or tested coefficient"]
    if vent.reaches_its_test() is False:
        return []
    lacking = [] if vent.reaches_its_test() else [what for what in vent.missing_figures() if what in _OF_ITS_OPENING]
    if vent.tested_angle_deg is None and vent.kind != VentKind.SLIDING:
        lacking.append("angle of test or declaration")
    if not lacking and vent.frame_m2 is None:
        lacking = [
            what for what, value in (("clear width", vent.width_m), ("clear height", vent.height_m)) if not value
        ]
    return lacking


def _falls_short(zone: SmokeZone, vent: Vent) -> Finding:
    """It opens less far than it was tested: what was declared does not hold, and nobody knows what does."""
    if vent.kind == VentKind.SLIDING:
        opens, held = f"{vent.stroke_mm:g} mm", f"{1000 * vent.height_m:g} mm, all the way"
    else:
        opens, held = f"{rounded_down(vent.opening_deg(), 1):g}°", f"{vent.tested_angle_deg:g}°"
    words = (
        f"Zone {zone.name}: {vent.name} opens {opens}, its test or declaration holds at {held}: aerodynamic free "
        f"area of "
        f"zone {zone.name} not checked. Use a stroke and a fixing that reach it, or a declaration for this opening."
    )
    inputs = (Figure("opens", opens), Figure("test or declaration at", held))
    return Finding("area.zone", Severity.MISSING, zone.name, words, EN_12101_2_AREA, inputs)
