"""What area a smoke zone must open: as the fire strategy says, else by a method; and where the two do not agree."""

from typing import NamedTuple

from zones.engineering.findings import Figure, Finding, Severity, missing, note, question
from zones.engineering.plumes import LABEL
from zones.engineering.required_areas import RequiredArea, input_name, input_unit, required_area
from zones.engineering.smoke_zones import SmokeZone
from zones.engineering.sources import DESIGN_ENTRY
from zones.engineering.trade_practice import TradePractice
from zones.engineering.vents import AreaKind

_CODE = "area.method"
ROUNDED_M2 = 0.005  # areas are stated to a hundredth
PLUME_FACTOR = 2.0  # a plume tells no more than the order of an area [P]


class AskedArea(NamedTuple):
    """The area that decides, m², with its kind; `whose` limit it is where it is not the strategy's own figure.

    `found`: what the zone's method says, ``None`` without one. A plume alone never decides.
    """

    area_m2: float | None
    kind: AreaKind | None
    whose: str | None = None
    found: RequiredArea | None = None


def asked_of(zone: SmokeZone, inlet_m2: float | None, practice: TradePractice) -> AskedArea:
    """The strategy's figure, else the result of the method, else ``None``.

    Args:     inlet_m2: aerodynamic area of all inlets, ``None``: not known.
    """
    if zone.method is None:
        return AskedArea(zone.required_area_m2, zone.area_kind)
    found = required_area(zone.method, zone.inputs, inlet_m2=inlet_m2, practice=practice)
    if zone.required_area_m2 is not None or found.is_sanity_check:
        return AskedArea(zone.required_area_m2, zone.area_kind, None, found)
    return AskedArea(found.area_m2, zone.method.kind or zone.area_kind, f"{zone.method.source}", found)


def method_findings(zone: SmokeZone, asked: AskedArea, inlet_m2: float | None) -> list[Finding]:
    """What the method lacks, and what it says beside the strategy's figure; nothing where its result decides."""
    found = asked.found
    if found is None:
        return []
    if found.lacking:
        decides = zone.required_area_m2 is None
        unchecked = f"required area of zone {zone.name} by '{found.method.name}'"
        unchecked = f"{unchecked}, and so its free area" if decides else unchecked
        return [
            missing(_CODE, zone.name, what, [f"zone {zone.name}"], DESIGN_ENTRY, not_checked=unchecked)
            for what in found.lacking
        ]
    if found.refused:
        return [question(_CODE, zone.name, f"Zone {zone.name}: {found.refused} {LABEL}", found.method.source)]
    if zone.required_area_m2 is None:
        return [_plume_alone(zone, found)] if found.is_sanity_check else []
    return [_compared(zone, found, inlet_m2)]


def opens_less_than_a_plume(zone: SmokeZone, found: RequiredArea | None, opens_m2: float | None) -> list[Finding]:
    """Where nothing but a plume speaks: that the vents open less than even that."""
    if found is None or not found.is_sanity_check or None in (found.area_m2, opens_m2) or opens_m2 >= found.area_m2:
        return []
    words = (
        f"Zone {zone.name}: its vents open {opens_m2:g} m² aerodynamic, less than the {found.area_m2:g} m² of the "
        f"plume. {LABEL}"
    )
    return [question("area.plume", zone.name, words, found.method.source, _figures(zone, found), found.formula)]


def _plume_alone(zone, found):
    words = (
        f"required area of zone {zone.name} not known: free area not checked. {_said(found)}. {LABEL} Enter the area "
        f"that the fire engineer decided."
    )
    inputs = (Figure("required area", None), *_figures(zone, found))
    return Finding("area.zone", Severity.MISSING, zone.name, words, found.method.source, inputs, found.formula)


def _compared(zone, found, inlet_m2):
    """The strategy's figure beside the method's: a question where they differ or cannot be compared."""
    asks = f"Zone {zone.name}: the strategy asks {zone.required_area_m2:g} m² {zone.area_kind}"
    inputs, source = _figures(zone, found), found.method.source
    kind = found.method.kind or zone.area_kind
    if kind != zone.area_kind:
        words = f"{asks}; {_said(found)}. Unlike kinds are not compared: ask the fire engineer which is meant."
        return question(_CODE, zone.name, f"{words}{_label(found)}", source, inputs, found.formula)
    if _agree(zone.required_area_m2, found):
        words = f"{asks}; {_said(found)}.{_label(found)}"
        # Without the inlets a plume asks less than it would with them: nothing to rely on.
        make = question if found.is_sanity_check and inlet_m2 is None else note
        return make(_CODE, zone.name, words, source, inputs, found.formula)
    words = f"{asks}; {_said(found)}. Ask the fire engineer which holds; the strategy's figure is judged."
    return question(_CODE, zone.name, f"{words}{_label(found)}", source, inputs, found.formula)


def _agree(entered_m2, found):
    if found.is_sanity_check:
        return found.area_m2 <= entered_m2 + 1e-9 <= PLUME_FACTOR * found.area_m2
    return abs(found.area_m2 - entered_m2) <= ROUNDED_M2 + 1e-9


def _said(found):
    kind = f" {found.method.kind}" if found.method.kind else ""
    words = f"'{found.method.name}' gives {found.area_m2:g} m²{kind}"
    if not found.is_sanity_check:
        return words
    return f"{words}. {' '.join(found.limits)}".rstrip(".")


def _label(found):
    return f" {LABEL}" if found.is_sanity_check else ""


def _figures(zone, found):
    return (
        *(Figure(input_name(field), getattr(zone.inputs, field), input_unit(field)) for field in found.method.needs),
        Figure("by the method", found.area_m2, "m²"),
        Figure("as the strategy asks", zone.required_area_m2, "m²"),
    )
