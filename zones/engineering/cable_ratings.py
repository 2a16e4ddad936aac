"""What current a cable carries for good, by how it is laid, and how warm its cores become at a smaller one.

Tables for two loaded copper cores, 30 °C in air [S2]. The standard begins at 1.5 mm²; what is smaller stands in its
Brazilian edition, method E there as method C. The rating of an AWG size is that of the largest section not above it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache
from operator import attrgetter
from types import MappingProxyType
from typing import NamedTuple

from zones.engineering.conductors import STANDARD_AREAS_MM2, Conductor
from zones.engineering.quantities import QuantityError, check_optional, check_quantity, require_positive


class Insulation(StrEnum):
    """What surrounds the core; it sets how warm the core may become."""

    THERMOPLASTIC = "thermoplastic"  # PVC and the like, 70 °C
    THERMOSETTING = "thermosetting"  # XLPE, EPR and the like, 90 °C


class Method(StrEnum):
    """Reference method of installation (IEC 60364-5-52)."""

    A1 = "A1"
    A2 = "A2"
    B1 = "B1"
    B2 = "B2"
    C = "C"
    E = "E"


METHOD_WORDS: Mapping[Method, str] = MappingProxyType(
    {
        Method.A1: "A1: single cores in conduit in a thermally insulated wall",
        Method.A2: "A2: cable in conduit in a thermally insulated wall",
        Method.B1: "B1: single cores in conduit or trunking on a wall",
        Method.B2: "B2: cable in conduit or trunking on a wall",
        Method.C: "C: cable fixed on a wall or ceiling",
        Method.E: "E: cable in free air, on a tray or ladder",
    }
)
INSULATION_WORDS: Mapping[Insulation, str] = MappingProxyType(
    {
        Insulation.THERMOPLASTIC: "thermoplastic (PVC), 70 °C",
        Insulation.THERMOSETTING: "thermosetting (XLPE, EPR), 90 °C",
    }
)
LIMIT_C: Mapping[Insulation, float] = MappingProxyType({Insulation.THERMOPLASTIC: 70.0, Insulation.THERMOSETTING: 90.0})
# How much energy a core bears in a short circuit, k in A·√s/mm². Source: IEC 60364-4-43, table 43A [S2].
SHORT_CIRCUIT_K: Mapping[Insulation, float] = MappingProxyType(
    {Insulation.THERMOPLASTIC: 115.0, Insulation.THERMOSETTING: 143.0}
)

# A, for the sections of STANDARD_AREAS_MM2 (0.5 to 16 mm²). Sources: IEC 60364-5-52:2009, tables B.52.2, B.52.3,
# B.52.10, B.52.12 from 1.5 mm² [S2]; below it ABNT NBR 5410:2004, tables 36 and 37 [S2].
_PLASTIC, _SETTING = Insulation.THERMOPLASTIC, Insulation.THERMOSETTING
TABULATED_A: Mapping[tuple[Insulation, Method], tuple[float, ...]] = MappingProxyType(
    {
        (_PLASTIC, Method.A1): (7, 9, 11, 14.5, 19.5, 26, 34, 46, 61),
        (_PLASTIC, Method.A2): (7, 9, 11, 14, 18.5, 25, 32, 43, 57),
        (_PLASTIC, Method.B1): (9, 11, 14, 17.5, 24, 32, 41, 57, 76),
        (_PLASTIC, Method.B2): (9, 11, 13, 16.5, 23, 30, 38, 52, 69),
        (_PLASTIC, Method.C): (10, 13, 15, 19.5, 27, 36, 46, 63, 85),
        (_PLASTIC, Method.E): (10, 13, 15, 22, 30, 40, 51, 70, 94),
        (_SETTING, Method.A1): (10, 12, 15, 19, 26, 35, 45, 61, 81),
        (_SETTING, Method.A2): (10, 12, 14, 18.5, 25, 33, 42, 57, 76),
        (_SETTING, Method.B1): (12, 15, 18, 23, 31, 42, 54, 75, 100),
        (_SETTING, Method.B2): (11, 14, 17, 22, 30, 40, 51, 69, 91),
        (_SETTING, Method.C): (12, 16, 19, 24, 33, 45, 58, 80, 107),
        (_SETTING, Method.E): (12, 16, 19, 26, 36, 49, 63, 86, 115),
    }
)
# Ambient °C → factor. Source: IEC 60364-5-52:2009, table B.52.14 [S2].
AMBIENT_FACTORS: Mapping[Insulation, tuple[tuple[float, float], ...]] = MappingProxyType(
    {
        _PLASTIC: (
            *((10, 1.22), (15, 1.17), (20, 1.12), (25, 1.06), (30, 1.0), (35, 0.94), (40, 0.87), (45, 0.79)),
            *((50, 0.71), (55, 0.61), (60, 0.50)),
        ),
        _SETTING: (
            *((10, 1.15), (15, 1.12), (20, 1.08), (25, 1.04), (30, 1.0), (35, 0.96), (40, 0.91), (45, 0.87)),
            *((50, 0.82), (55, 0.76), (60, 0.71), (65, 0.65), (70, 0.58), (75, 0.50), (80, 0.41)),
        ),
    }
)
# Circuits bunched together → factor. Source: IEC 60364-5-52:2009, table B.52.17, item 1 [S2].
GROUPING_FACTORS: tuple[tuple[int, float], ...] = (
    *((1, 1.0), (2, 0.80), (3, 0.70), (4, 0.65), (5, 0.60), (6, 0.57), (7, 0.54), (8, 0.52), (9, 0.50)),
    *((12, 0.45), (16, 0.41), (20, 0.38)),
)
MOST_GROUPED = GROUPING_FACTORS[-1][0]
COOLEST_C, WARMEST_C = 10.0, 60.0  # what both columns of the table hold


@dataclass(frozen=True, slots=True)
class Laying:
    """How a cable is laid; ``None`` = not known. `grouped`: circuits bunched, its own among them."""

    insulation: Insulation | None = None
    method: Method | None = None
    grouped: int | None = None
    ambient_c: float | None = None

    def __post_init__(self):
        check_optional("ambient", self.ambient_c, field="ambient_c")
        check_optional("grouped", self.grouped, field="grouped")

    @property
    def unknown(self) -> tuple[str, ...]:
        """What is not known of it, in words."""
        named = (
            ("insulation", self.insulation),
            ("method of installation", self.method),
            ("circuits bunched", self.grouped),
            ("ambient temperature", self.ambient_c),
        )
        return tuple(words for words, value in named if value is None)

    @property
    def worst(self) -> "Laying":
        """The same, with the worst of the tables wherever something is not known."""
        return replace(
            self,
            grouped=MOST_GROUPED if self.grouped is None else self.grouped,
            ambient_c=WARMEST_C if self.ambient_c is None else self.ambient_c,
        )

    @property
    def best(self) -> "Laying":
        """The same, with the best of the tables wherever something is not known."""
        return replace(
            self,
            grouped=1 if self.grouped is None else self.grouped,
            ambient_c=COOLEST_C if self.ambient_c is None else self.ambient_c,
        )

    def usual(self, ambient_c: float, grouped: float) -> "Laying":
        """The same, with a firm's own figures where temperature and bunching are not known."""
        return replace(
            self,
            grouped=grouped if self.grouped is None else self.grouped,
            ambient_c=ambient_c if self.ambient_c is None else self.ambient_c,
        )

    @property
    def hottest_c(self) -> float:
        """How warm its cores may become for good, at the most; of an unknown insulation the warmer one."""
        return max(LIMIT_C.values()) if self.insulation is None else LIMIT_C[self.insulation]

    @property
    def least_k(self) -> float:
        """k of its insulation against short circuits; of an unknown one the smaller."""
        return min(SHORT_CIRCUIT_K.values()) if self.insulation is None else SHORT_CIRCUIT_K[self.insulation]


NOT_KNOWN = Laying()


def ambient_factor(insulation: Insulation, ambient_c: float) -> float:
    """Factor for an ambient temperature: that of the next warmer line of the table; 0 where the table ends.

    Source:   IEC 60364-5-52:2009, table B.52.14 [S2].
    """
    check_quantity("ambient", ambient_c, field="ambient_c")
    lines = AMBIENT_FACTORS[insulation]
    return next((factor for warm_c, factor in lines if ambient_c <= warm_c), 0.0)


def grouping_factor(circuits: int) -> float:
    """Factor for bunched circuits: that of the next greater number of the table; beyond 20 the last one falls on.

    Source:   IEC 60364-5-52:2009, table B.52.17, item 1 [S2]; beyond it by 1/√n [P], which falls faster than it does.
    """
    require_positive("grouped", circuits)
    found = next((factor for number, factor in GROUPING_FACTORS if circuits <= number), None)
    return GROUPING_FACTORS[-1][1] * (MOST_GROUPED / circuits) ** 0.5 if found is None else found


class Rated(NamedTuple):
    """What a current rating is made of. `bunched`: circuits that warm each other, parallel cores among them."""

    insulation: Insulation
    method: Method
    tabulated_a: float
    ambient: float
    bunched: float
    grouping: float
    cores_per_pole: int

    @property
    def rating_a(self) -> float:
        """The current rating of a pole, A."""
        return self.tabulated_a * (self.ambient * self.grouping) * self.cores_per_pole


_rating_a = attrgetter("rating_a")


# The same few cables, laid alike, stand in every circuit of a portfolio.
@lru_cache(maxsize=4096)
def least_rating_a(conductor: Conductor, laying: Laying, cores_per_pole: int = 1) -> float:
    """What the cores of a pole carry for good, A; of what is not known of the laying, the worst of the tables."""
    return least_rated(conductor, laying, cores_per_pole).rating_a


def least_rated(conductor: Conductor, laying: Laying, cores_per_pole: int = 1) -> Rated:
    """As :func:`least_rating_a`, with all that it is made of.

    Args:     cores_per_pole: alike cores in parallel, which share alike; each pair beyond the first warms the others as
              one more circuit in the bunch [P].
    Source:   IEC 60364-5-52:2009, annex B [S2].
    """
    return min(_ratings(conductor, laying.worst, cores_per_pole, cores_per_pole - 1), key=_rating_a)


@lru_cache(maxsize=4096)
def greatest_rating_a(conductor: Conductor, laying: Laying, cores_per_pole: int = 1) -> float:
    """As :func:`least_rating_a`, with the best of the tables."""
    beside = 0 if laying.grouped is None else cores_per_pole - 1  # parallel cables may lie apart
    return max(map(_rating_a, _ratings(conductor, laying.best, cores_per_pole, beside)))


def _ratings(conductor, laying, cores_per_pole, beside):
    """In every method and insulation that may be meant."""
    place, bunched = _place(conductor), laying.grouped + beside
    grouping = grouping_factor(bunched)
    for insulation in Insulation if laying.insulation is None else (laying.insulation,):
        ambient = ambient_factor(insulation, laying.ambient_c)
        for method in Method if laying.method is None else (laying.method,):
            tabulated_a = 0.0 if place is None else TABULATED_A[insulation, method][place]
            yield Rated(insulation, method, tabulated_a, ambient, bunched, grouping, cores_per_pole)


def _place(conductor: Conductor) -> int | None:
    """Column of the tables: the largest section not above the conductor's; none for what is smaller than all."""
    below = [k for k, area_mm2 in enumerate(STANDARD_AREAS_MM2) if area_mm2 <= conductor.section_mm2 * (1 + 1e-9)]
    return below[-1] if below else None


def loaded_temperature_c(
    conductor: Conductor, laying: Laying, current_a: float, cores_per_pole: int = 1
) -> float | None:
    """How warm the cores become under a lasting current, °C; what is not known of the laying counts as the worst.

    Never above the limit of the insulation: a cable beyond its rating is found elsewhere. Where that is not known they
    are at least as warm as the air; ``None``: nor is the air.

    Source:   heat goes with the square of the current, so T = ambient + (limit - ambient)·(I/rating)² [calc].
    """
    if laying.insulation is None:
        return laying.ambient_c
    laying = laying.worst
    limit_c, rating_a = laying.hottest_c, least_rating_a(conductor, laying, cores_per_pole)
    if laying.ambient_c >= limit_c or current_a >= rating_a:
        return max(limit_c, laying.ambient_c)
    return laying.ambient_c + (limit_c - laying.ambient_c) * (current_a / rating_a) ** 2


def checked_cores_per_pole(count: int, subject: str) -> None:
    """Refuse a number of parallel cores that cannot be. Raises QuantityError."""
    if isinstance(count, bool) or not isinstance(count, int) or not 1 <= count <= 8:
        raise QuantityError("cores_per_pole", count, "a whole number from 1 to 8", subject=subject)
