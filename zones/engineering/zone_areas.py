"""Free area of a smoke zone against what the fire strategy asks, like with like."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from zones.engineering.findings import (
    Figure,
    Finding,
    at_least,
    at_most,
    fail,
    listed,
    missing,
    note,
    question,
    verdict,
)
from zones.engineering.quantities import QuantityError, check_optional, in_words, questioned, rounded_down, rounded_up
from zones.engineering.sources import DATA_SHEET, DESIGN_ENTRY, EN_12101_2_AREA, GEOMETRY, PRACTICE
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
    """What one vent opens; ``None`` = not known. `aerodynamic_m2` only as declared or by a tested coefficient."""

    geometric_m2: float | None
    aerodynamic_m2: float | None
    angle_deg: float | None


def vent_area(vent: Vent) -> VentArea:
    """Areas and opening angle of a vent, as far as they are known; of declared and computed the smaller.

    Raises:   QuantityError: figures that no such vent can have.
    """
    computed_m2 = angle = None
    if not vent.missing_figures():
        computed_m2 = geometric_area_m2(vent)
        if is_hinged(vent.kind):
            angle = opening_angle_deg(vent.stroke_mm / 1000, vent.fixing_m or vent.leaf_depth_m)
    geometric_m2 = _smaller(computed_m2, vent.declared_geometric_m2)
    by_test_m2 = None
    if geometric_m2 is not None and vent.coefficient_tested and vent.discharge_coefficient is not None:
        by_test_m2 = geometric_m2 * vent.discharge_coefficient
    return VentArea(geometric_m2, _smaller(by_test_m2, vent.declared_aerodynamic_m2), angle)


def _smaller(first: float | None, second: float | None) -> float | None:
    known = [area for area in (first, second) if area is not None]
    return min(known, default=None)


def check_zone_area(zone: SmokeZone, vents: Sequence[Vent], practice: TradePractice = TRADE_PRACTICE) -> list[Finding]:
    """Sum of the vents of a zone against its required area, geometric with geometric only.

    Source:   geometry; EN 12101-2 for the aerodynamic area [S2].
    """
    findings = _asked_and_lacking(zone, vents)
    if not vents:
        return findings  # said by consistency.check_zones
    areas, impossible = [], []
    for vent in vents:
        try:
            areas.append(vent_area(vent))
        except QuantityError as error:
            words = f"Zone {zone.name}: {error.in_words(vent.name)} Correct it to get a verdict."
            impossible.append(
                fail("area.vent", zone.name, words, GEOMETRY, (Figure(in_words(error.field), error.value),))
            )
    if impossible:
        return findings + impossible
    findings += _doubtful_declarations(zone, vents, areas)
    if zone.required_area_m2 is None or zone.area_kind is None:
        return findings
    if zone.area_kind == AreaKind.AERODYNAMIC:
        return findings + _aerodynamic_findings(zone, vents, areas, practice)
    if gaps := _gaps(zone, [vent for vent, area in zip(vents, areas, strict=True) if area.geometric_m2 is None]):
        return findings + gaps
    return [*findings, _sum_finding(zone, vents, [area.geometric_m2 for area in areas])]


def _asked_and_lacking(zone: SmokeZone, vents: Sequence[Vent]) -> list[Finding]:
    """Unusual figures, and what the zone itself lacks."""
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
    """A declared aerodynamic area above the geometric one cannot be: the coefficient would exceed 1."""
    findings = []
    for vent, area in zip(vents, areas, strict=True):
        declared_m2 = vent.declared_aerodynamic_m2
        if declared_m2 is not None and area.geometric_m2 is not None and declared_m2 > area.geometric_m2:
            words = (
                f"Zone {zone.name}: {vent.name} is declared with {declared_m2:g} m² aerodynamic but opens only "
                f"{rounded_down(area.geometric_m2, 3):g} m² geometric. Check stroke, frame and declaration."
            )
            compared = at_most(declared_m2, rounded_down(area.geometric_m2, 3), "m²", area.geometric_m2 - declared_m2)
            findings.append(question("area.declared", zone.name, words, EN_12101_2_AREA, compared=compared))
    return findings


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
        f"{has}, {wanted_m2:g} m² are required",
        f"{has}, {short_m2:g} m² less than the {wanted_m2:g} m² required. Use a longer stroke where the frame "
        f"allows it, or another vent.",
        *(source, inputs, _FORMULA[kind]),
        compared=at_least(rounded_down(total_m2, 3), wanted_m2, "m²", total_m2 - wanted_m2),
    )


def _aerodynamic_findings(
    zone: SmokeZone, vents: Sequence[Vent], areas: list[VentArea], practice: TradePractice
) -> list[Finding]:
    """A verdict only from declared areas and tested coefficients; otherwise an estimate that says so."""
    untested = [vent for vent, area in zip(vents, areas, strict=True) if area.aerodynamic_m2 is None]
    if not untested:
        return [_sum_finding(zone, vents, [area.aerodynamic_m2 for area in areas])]
    names = [vent.name for vent in untested]
    gap = missing(
        *("area.zone", zone.name, "declared aerodynamic area or tested coefficient", names, DATA_SHEET),
        not_checked=f"aerodynamic free area of zone {zone.name}",
    )
    if any(area.geometric_m2 is None for area in areas):
        return [gap]
    default = practice.estimated_discharge_coefficient
    estimates = (
        area.geometric_m2 * (vent.discharge_coefficient or default)
        if area.aerodynamic_m2 is None
        else area.aerodynamic_m2
        for vent, area in zip(vents, areas, strict=True)
    )
    estimate_m2 = sum(estimates)
    words = (
        f"Zone {zone.name}: about {rounded_down(estimate_m2, 2):g} m² aerodynamic as an estimate with a coefficient "
        f"of {default:g} in place of a test ({listed(names)}); {zone.required_area_m2:g} m² are required. "
        f"An estimate is no verdict."
    )
    inputs = (
        Figure("estimated coefficient", default),
        Figure("estimate", rounded_down(estimate_m2, 3), "m²"),
    )
    return [
        gap,
        note("area.estimate", zone.name, words, PRACTICE, inputs, "geometric × estimated coefficient"),
    ]
