"""Free area of a smoke zone against what the fire strategy asks, like with like."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from zones.engineering.findings import Figure, Finding, fail, listed, missing, note, question, verdict
from zones.engineering.quantities import QuantityError, check_optional, questioned, rounded_down, rounded_up
from zones.engineering.sources import DATA_SHEET, DESIGN_ENTRY, EN_12101_2_AREA, GEOMETRY, PRACTICE, RECORD
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice
from zones.engineering.vents import AreaKind, Vent, geometric_area_m2, is_hinged, opening_angle_deg

_FORMULA = {
    AreaKind.GEOMETRIC: "sum of least of frame and gaps (front + two side triangles)",
    AreaKind.AERODYNAMIC: "sum of geometric area × tested coefficient",
}


@dataclass(frozen=True, slots=True)
class SmokeZone:
    """A smoke zone and what the fire strategy asks of it; ``None`` = not known.

    `required_area_m2` with `area_kind`; `needs_detection`: automatic detection is asked for.
    """

    name: str
    required_area_m2: float | None = None
    area_kind: AreaKind | None = None
    needs_detection: bool | None = None

    def __post_init__(self):
        check_optional("free_area", self.required_area_m2, field="required_area_m2", subject=self.name)


class VentArea(NamedTuple):
    """What one vent opens; `aerodynamic_m2` only with a tested coefficient."""

    geometric_m2: float
    aerodynamic_m2: float | None
    angle_deg: float | None


def vent_area(vent: Vent) -> VentArea:
    """Areas and opening angle of a vent with all its figures known. Raises QuantityError."""
    geometric_m2 = geometric_area_m2(vent)
    tested = vent.coefficient_tested and vent.discharge_coefficient is not None
    angle = None
    if is_hinged(vent.kind):
        angle = opening_angle_deg(vent.stroke_mm / 1000, vent.fixing_m or vent.leaf_depth_m)
    return VentArea(geometric_m2, geometric_m2 * vent.discharge_coefficient if tested else None, angle)


def check_zone_area(zone: SmokeZone, vents: Sequence[Vent], practice: TradePractice = TRADE_PRACTICE) -> list[Finding]:
    """Sum of the vents of a zone against its required area, geometric with geometric only.

    Source:   geometry; EN 12101-2 for the aerodynamic area [S2].
    """
    code = "area.zone"
    findings = [
        question("figure.unusual", zone.name, f"Zone {zone.name}: {words}", PRACTICE)
        for vent in vents
        for words in vent.questions()
    ]
    if words := questioned("free_area", zone.required_area_m2, field="required_area_m2", subject=zone.name):
        findings.append(question("figure.unusual", zone.name, f"Zone {zone.name}: {words}", PRACTICE))
    unchecked = f"free area of zone {zone.name}"
    for what, value in (("required area", zone.required_area_m2), ("kind of required area", zone.area_kind)):
        if value is None:
            gap = missing(code, zone.name, what, [f"zone {zone.name}"], DESIGN_ENTRY, not_checked=unchecked)
            findings.append(gap)
    if not vents:
        return findings  # said by consistency.check_zones
    gaps: dict[str, list[str]] = {}
    for vent in vents:
        for what in vent.missing_figures():
            gaps.setdefault(what, []).append(vent.name)
    findings += [
        missing(code, zone.name, what, owners, DATA_SHEET, not_checked=unchecked) for what, owners in gaps.items()
    ]
    if gaps:
        return findings
    try:
        areas = [vent_area(vent) for vent in vents]
    except QuantityError as error:
        return [*findings, fail("area.vent", zone.name, f"Zone {zone.name}: {error}", RECORD)]
    if zone.required_area_m2 is None or zone.area_kind is None:
        return findings
    if zone.area_kind == AreaKind.GEOMETRIC:
        return [*findings, _sum_finding(zone, vents, [area.geometric_m2 for area in areas])]
    return findings + _aerodynamic_findings(zone, vents, areas, practice)


def _sum_finding(zone: SmokeZone, vents: Sequence[Vent], areas_m2: list[float]) -> Finding:
    total_m2, wanted_m2, kind = sum(areas_m2), zone.required_area_m2, zone.area_kind
    inputs = (
        *(Figure(vent.name, rounded_down(m2, 3), "m²") for vent, m2 in zip(vents, areas_m2, strict=True)),
        Figure("sum", rounded_down(total_m2, 3), "m²"),
        Figure(f"required, {kind}", wanted_m2, "m²"),
    )
    has = f"Zone {zone.name} opens {rounded_down(total_m2, 3):g} m² {kind}"
    short_m2 = rounded_up(wanted_m2 - total_m2, 3)
    source = GEOMETRY if kind == AreaKind.GEOMETRIC else EN_12101_2_AREA
    return verdict(
        *("area.zone", zone.name, total_m2 >= wanted_m2 - 1e-9),
        f"{has}, {wanted_m2:g} m² are required: meets the value entered ({DESIGN_ENTRY}).",
        f"{has}, {short_m2:g} m² less than the {wanted_m2:g} m² required. Use a longer stroke where the frame "
        f"allows it, or another vent.",
        *(source, inputs, _FORMULA[kind]),
    )


def _aerodynamic_findings(
    zone: SmokeZone, vents: Sequence[Vent], areas: list[VentArea], practice: TradePractice
) -> list[Finding]:
    """A verdict only from tested coefficients; otherwise an estimate that says so."""
    untested = [vent.name for vent, area in zip(vents, areas, strict=True) if area.aerodynamic_m2 is None]
    if not untested:
        return [_sum_finding(zone, vents, [area.aerodynamic_m2 for area in areas])]
    default = practice.estimated_discharge_coefficient
    estimate_m2 = sum(
        area.geometric_m2 * (vent.discharge_coefficient or default) for vent, area in zip(vents, areas, strict=True)
    )
    gap = missing(
        *("area.zone", zone.name, "tested coefficient", untested, DATA_SHEET),
        not_checked=f"aerodynamic free area of zone {zone.name}",
    )
    words = (
        f"Zone {zone.name}: about {rounded_down(estimate_m2, 2):g} m² aerodynamic as an estimate with a coefficient "
        f"of {default:g} in place of a test ({listed(untested)}); {zone.required_area_m2:g} m² are required. "
        f"An estimate is no verdict."
    )
    inputs = (
        Figure("estimated coefficient", default),
        Figure("geometric sum", rounded_down(sum(area.geometric_m2 for area in areas), 3), "m²"),
    )
    return [
        gap,
        note("area.estimate", zone.name, words, PRACTICE, inputs, "geometric × estimated coefficient"),
    ]
