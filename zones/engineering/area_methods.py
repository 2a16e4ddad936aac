"""Methods by which a required free area is found: a percentage of the floor, a fixed area, or a smoke plume.

A table, as data: where each applies, and its source with edition. The fire strategy outranks every one of them.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from enum import StrEnum
from types import MappingProxyType

from zones.engineering.plumes import PlumeKind
from zones.engineering.quantities import check_optional
from zones.engineering.sources import (
    AD_B_1_BASEMENT,
    AD_B_1_HEAD_OF_STAIR,
    AD_B_1_LOBBY,
    BS_9991_STAIR,
    CODE_DU_TRAVAIL,
    DESIGN_ENTRY,
    MBO_LIFT,
    MBO_STAIR,
    NFPA_92_PLUME,
    OLD_STAIR_RULE,
    PLUME_LARGE_SPACE,
    PLUME_SMALL_ROOM,
    Source,
)
from zones.engineering.vents import AreaKind


class Family(StrEnum):
    """How a method comes to its area."""

    PERCENTAGE = "percentage of the floor"
    FIXED = "fixed area"
    PLUME = "smoke plume (sanity check)"


@dataclass(frozen=True, slots=True)
class Method:
    """One way to a required area; `kind` ``None``: as the zone says.

    `percent` of the floor, not less than `least_m2`; `fixed_m2`; or `plume`. `inlet_ratio`: what the same document asks
    of replacement air, area of the inlets over that of the outlets, of `inlet_kind`. `of_each`: of each vent alone.
    """

    key: str
    name: str
    family: Family
    applies: str
    source: Source
    kind: AreaKind | None = AreaKind.GEOMETRIC
    percent: float | None = None
    least_m2: float | None = None
    fixed_m2: float | None = None
    of_each: bool = False
    plume: PlumeKind | None = None
    inlet_ratio: float | None = None
    inlet_kind: AreaKind | None = None

    @property
    def needs(self) -> tuple[str, ...]:
        """The inputs (fields of `AreaInputs`) that it reckons with."""
        if self.plume:
            perimeter = ("fire_perimeter_m",) if self.plume.needs_perimeter else ()
            return (*perimeter, "heat_release_kw", "clear_height_m", "layer_depth_m")
        if self.family is Family.PERCENTAGE:
            return ("floor_area_m2", "floor_percent") if self.percent is None else ("floor_area_m2",)
        return ()


@dataclass(frozen=True, slots=True)
class AreaInputs:
    """What the methods reckon with; ``None`` = not known. `clear_height_m`: from the fire to the smoke layer.

    `layer_depth_m`: of the smoke below the vents. `heat_release_kw`: the whole, convective and radiated.
    """

    floor_area_m2: float | None = None
    floor_percent: float | None = None
    fire_perimeter_m: float | None = None
    heat_release_kw: float | None = None
    clear_height_m: float | None = None
    layer_depth_m: float | None = None

    def __post_init__(self):
        for field in fields(self):
            check_optional(INPUT_QUANTITIES[field.name], getattr(self, field.name), field=field.name)


INPUT_QUANTITIES: Mapping[str, str] = MappingProxyType(
    {
        "floor_area_m2": "floor_area",
        "floor_percent": "percent",
        "fire_perimeter_m": "fire_perimeter",
        "heat_release_kw": "heat_release",
        "clear_height_m": "clear_height",
        "layer_depth_m": "layer_depth",
    }
)


METHODS: Mapping[str, Method] = MappingProxyType(
    {
        method.key: method
        for method in (
            Method(
                "percent",
                "percentage of the floor, as the strategy states",
                Family.PERCENTAGE,
                "Rooms of which the strategy states a percentage.",
                DESIGN_ENTRY,
                kind=None,
            ),
            Method(
                "fr-workplace",
                "France, workplaces: 1 % of the floor, at least 1 m²",
                Family.PERCENTAGE,
                "Workplaces: rooms over 300 m², and windowless or basement rooms over 100 m²; inlets of the same area. "
                "The text says 'more than' one hundredth.",
                CODE_DU_TRAVAIL,
                percent=1.0,
                least_m2=1.0,
                inlet_ratio=1.0,
                inlet_kind=AreaKind.GEOMETRIC,
            ),
            Method(
                "en-basement",
                "England, basement: 1/40 of the floor",
                Family.PERCENTAGE,
                "Smoke outlets of a basement storey, all together: clear cross-section.",
                AD_B_1_BASEMENT,
                percent=2.5,
            ),
            Method(
                "de-lift-shaft",
                "Germany, lift shaft: 2.5 % of the shaft, at least 0.1 m²",
                Family.PERCENTAGE,
                "Shafts of lifts; the floor is that of the shaft. Model code: the Land's own text prevails.",
                MBO_LIFT,
                percent=2.5,
                least_m2=0.1,
            ),
            Method(
                "de-stair-old",
                "Germany, stair, older texts: 5 % of the stair's floor, at least 1 m²",
                Family.PERCENTAGE,
                "Stairs built under older building codes; not for new work.",
                OLD_STAIR_RULE,
                percent=5.0,
                least_m2=1.0,
            ),
            Method(
                "en-lobby",
                "England, flats: corridor or lobby on an outside wall 1.5 m²",
                Family.FIXED,
                "Common corridor or lobby next to a stair of a block of flats, vent on an outside wall. Free area as "
                "measured, or as declared by the maker.",
                AD_B_1_LOBBY,
                fixed_m2=1.5,
            ),
            Method(
                "en-shaft",
                "England, flats: vent into, in or at the head of a smoke shaft 1.0 m²",
                Family.FIXED,
                "Each vent between lobby and shaft, in the shaft and at its head. The shaft itself has 1.5 m², no side "
                "under 0.85 m.",
                AD_B_1_LOBBY,
                fixed_m2=1.0,
                of_each=True,
            ),
            Method(
                "en-stair",
                "England, flats: head of the stair 1.0 m²",
                Family.FIXED,
                "Vent from the top storey of a stair to the outside. Free area as measured, or as declared by the "
                "maker.",
                AD_B_1_HEAD_OF_STAIR,
                fixed_m2=1.0,
            ),
            Method(
                "bs-stair",
                "Residential, head of the stair 0.7 m² aerodynamic",
                Family.FIXED,
                "Vent at the head of a stair of a residential building. Reported only: read the clause first.",
                BS_9991_STAIR,
                kind=AreaKind.AERODYNAMIC,
                fixed_m2=0.7,
            ),
            Method(
                "de-stair",
                "Germany, stair: opening at its top 1.0 m²",
                Family.FIXED,
                "Opening for smoke at the top of a required stair, worked from the ground floor and the top landing. "
                "Model code: the Land's own text prevails.",
                MBO_STAIR,
                fixed_m2=1.0,
            ),
            Method(
                "large-fire",
                "large fire in a large space",
                Family.PLUME,
                "A clear layer above a fire that is large against the height below the smoke, ceiling high above it.",
                PLUME_LARGE_SPACE,
                kind=AreaKind.AERODYNAMIC,
                plume=PlumeKind.LARGE_FIRE,
            ),
            Method(
                "large-fire-small-room",
                "large fire in a small room",
                Family.PLUME,
                "As before, in a small room such as a shop or an office, where air enters from one side.",
                PLUME_SMALL_ROOM,
                kind=AreaKind.AERODYNAMIC,
                plume=PlumeKind.LARGE_FIRE_SMALL_ROOM,
            ),
            Method(
                "axisymmetric",
                "axisymmetric plume",
                Family.PLUME,
                "A clear layer above a fire that is small against the height below the smoke, air from all sides: an "
                "atrium, a hall.",
                NFPA_92_PLUME,
                kind=AreaKind.AERODYNAMIC,
                plume=PlumeKind.AXISYMMETRIC,
            ),
        )
    }
)
