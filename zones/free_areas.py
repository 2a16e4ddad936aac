"""The free area asked of a zone against that of its vents; only areas of the same kind are compared."""

from dataclasses import dataclass
from decimal import Decimal

from zones.models import AreaKind


@dataclass(frozen=True)
class AreaSum:
    """Sum of the vents' areas of one kind; `missing` are the tags of vents whose area of this kind is not known."""

    kind: str
    label: str
    area_m2: Decimal
    missing: tuple[str, ...]


@dataclass(frozen=True)
class AreaAnswer:
    """What can be said of a zone's free area: a state key, a sentence, and both sums."""

    key: str
    sentence: str
    sums: tuple[AreaSum, ...]


def sum_of(vents, kind):
    name = f"{kind}_area_m2"
    areas = [getattr(vent, name) for vent in vents]
    return AreaSum(
        kind, AreaKind(kind).label, sum((area for area in areas if area is not None), Decimal(0)),
        tuple(vent.tag for vent in vents if getattr(vent, name) is None),
    )  # fmt: skip


def answer_of(zone, vents):
    """Compare the zone's required area with its vents; a missing figure gives no verdict (handbook, house rules)."""
    sums = tuple(sum_of(vents, kind) for kind in (AreaKind.AERODYNAMIC, AreaKind.GEOMETRIC))

    def answer(key, sentence):
        return AreaAnswer(key, sentence, sums)

    if zone.required_area_m2 is None:
        return answer("missing", "The required area is not recorded; nothing to compare with.")
    if not vents:
        return answer("missing", "No vent recorded in this zone yet.")
    found = next(each for each in sums if each.kind == zone.required_area_kind)
    if found.missing:
        return answer(
            "missing",
            f"No verdict: {len(found.missing)} of {len(vents)} vents have no {found.label} area "
            f"({', '.join(found.missing[:8])}{' …' if len(found.missing) > 8 else ''}).",
        )
    difference = found.area_m2 - zone.required_area_m2
    if difference < 0:
        return answer("not_in_order", f"Short of the value entered by {-difference:f} m² ({found.label}).")
    return answer("in_order", f"Meets the value entered, with {difference:f} m² to spare ({found.label}).")
