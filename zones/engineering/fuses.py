"""Fuses and other protective devices: how long they certainly hold a current, and by when they have certainly opened.

A characteristic is a table of multiples of the rated current with the shortest and the longest time to open. What
holds a larger current for a while holds a smaller one at least as long; between two lines nothing more is promised. The
tables stand here from memory [M]: check them against the document, or the maker's curve. The electronic limit of an
output has none: what it holds, at what it trips and how soon are figures of its data sheet.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from math import inf
from types import MappingProxyType

from zones.engineering.quantities import check_optional, check_quantity, require_positive
from zones.engineering.sources import DATA_SHEET, IEC_60127_2, IEC_60898_2, ISO_8820_3, Source


@dataclass(frozen=True, slots=True)
class FuseKind:
    """One characteristic: lines (multiple of the rated current, shortest time s, longest time s), rising."""

    key: str
    name: str
    lines: tuple[tuple[float, float, float], ...]
    source: Source
    melts: bool = True  # a fuse: the energy that melts it bounds what it lets through

    def holds_s(self, multiple: float) -> float:
        """For how long a fuse certainly holds this multiple of its rated current, s; for good at 1 and below."""
        if multiple <= 1.0:
            return inf
        return max((least_s for line, least_s, _ in self.lines if line >= multiple), default=0.0)

    def opens_s(self, multiple: float) -> float:
        """By when a fuse has certainly opened at this multiple, s; infinite where its standard promises nothing."""
        lines = [longest_s for line, _, longest_s in self.lines if line <= multiple]
        return min(lines, default=inf)


_H = 3600.0
_KINDS = (
    FuseKind(
        "blade",
        "blade fuse (ISO 8820-3)",
        (
            *((1.1, 100 * _H, inf), (1.35, 0.75, 600.0), (1.6, 0.25, 50.0)),
            *((2.0, 0.15, 5.0), (3.5, 0.04, 0.5), (6.0, 0.02, 0.1)),
        ),
        ISO_8820_3,
    ),
    FuseKind(
        "time_lag",
        "cartridge fuse T, time-lag (IEC 60127-2)",
        ((1.5, _H, inf), (2.1, 0.0, 120.0), (2.75, 0.6, 10.0), (4.0, 0.15, 3.0), (10.0, 0.02, 0.3)),
        IEC_60127_2,
    ),
    FuseKind(
        "quick",
        "cartridge fuse F, quick-acting (IEC 60127-2)",
        ((1.5, _H, inf), (2.1, 0.0, 1800.0), (2.75, 0.05, 2.0), (4.0, 0.01, 0.3), (10.0, 0.0, 0.02)),
        IEC_60127_2,
    ),
)
FUSE_KINDS: Mapping[str, FuseKind] = MappingProxyType({one.key: one for one in _KINDS})
# What an output may have in place of a fuse. For direct current the magnetic trip of a breaker lies higher.
ELECTRONIC = FuseKind("electronic", "electronic limit", (), DATA_SHEET, melts=False)
DEVICE_KINDS: Mapping[str, FuseKind] = MappingProxyType(
    FUSE_KINDS
    | {
        "breaker_b": FuseKind(
            "breaker_b",
            "circuit-breaker B, direct current (IEC 60898-2)",
            ((1.13, _H, inf), (1.45, 0.1, _H), (2.55, 0.1, 60.0), (4.0, 0.1, 45.0), (7.0, 0.0, 0.1)),
            IEC_60898_2,
            melts=False,
        ),
        "breaker_c": FuseKind(
            "breaker_c",
            "circuit-breaker C, direct current (IEC 60898-2)",
            ((1.13, _H, inf), (1.45, 0.1, _H), (2.55, 0.1, 60.0), (7.0, 0.1, 30.0), (15.0, 0.0, 0.1)),
            IEC_60898_2,
            melts=False,
        ),
        "electronic": ELECTRONIC,
    }
)
# Ratings in which fuses and breakers are made, A. Preferred numbers of IEC 60269-1 and of ISO 8820-3 [M].
STANDARD_RATINGS_A = (1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.5, 10.0, 15.0, 16.0, 20.0, 25.0, 30.0, 32.0, 40.0, 50.0, 63.0)


@dataclass(frozen=True, slots=True)
class ProtectiveDevice:
    """What protects an output and its cable; ``None`` = not known.

    `rated_a`: what it holds for good. `trips_a`, `trips_s`: of an electronic limit, at what current it has certainly
    switched off, and how soon.
    """

    kind: FuseKind | None = None
    rated_a: float | None = None
    trips_a: float | None = None
    trips_s: float | None = None

    def __post_init__(self):
        for quantity, field in (("current", "rated_a"), ("peak_current", "trips_a"), ("trip_time", "trips_s")):
            check_optional(quantity, getattr(self, field), field=field, subject="protective device")

    @property
    def is_electronic(self) -> bool:
        return self.kind is ELECTRONIC

    @property
    def unknown(self) -> tuple[str, ...]:
        """What is not known of it, in words."""
        named = [("kind of the protective device", self.kind), ("rating of the protective device", self.rated_a)]
        if self.is_electronic:
            named += [("current at which the output trips", self.trips_a), ("time in which it trips", self.trips_s)]
        return tuple(words for words, value in named if value is None)

    @property
    def surely_opens_a(self) -> float:
        """The least current at which it opens at all, however late, A: the conventional current I2."""
        if self.is_electronic:
            return max(self.trips_a, self.rated_a)
        return self.rated_a * min(line for line, _, longest_s in self.kind.lines if longest_s < inf)

    def holds_s(self, current_a: float) -> float:
        """For how long it certainly holds a current, s."""
        if self.is_electronic:
            return inf if current_a <= self.rated_a else 0.0
        return self.kind.holds_s(current_a / self.rated_a)

    def opens_s(self, current_a: float) -> float:
        """By when it has certainly opened, s; infinite: never for certain."""
        if self.is_electronic:
            return self.trips_s if current_a >= self.surely_opens_a else inf
        return self.kind.opens_s(current_a / self.rated_a)

    def least_opening_a(self, within_s: float) -> float:
        """The least current at which it has certainly opened in a time, A; infinite: at none."""
        if self.is_electronic:
            return self.surely_opens_a if self.trips_s <= within_s else inf
        lines = (line for line, _, longest_s in self.kind.lines if longest_s <= within_s)
        return self.rated_a * min(lines, default=inf)

    def energy_a2s(self, from_a: float, to_a: float, within_s: float) -> float:
        """The most I²t that it lets through at currents in a range, where it opens within a time; A²s.

        Between two lines of its table the longest time holds up to the next. Beyond the last one the energy of a fuse
        no longer grows [P]; of a breaker and an electronic limit it is taken to, on the safe side.
        """
        if self.is_electronic:
            return to_a**2 * self.trips_s if to_a >= self.surely_opens_a else 0.0
        lines = [(line * self.rated_a, longest_s) for line, _, longest_s in self.kind.lines]
        most = 0.0
        for (begin_a, longest_s), (end_a, _) in pairwise([*lines, (inf, 0.0)]):
            if longest_s > within_s or end_a <= from_a or begin_a > to_a:
                continue
            worst_a = begin_a if end_a == inf and self.kind.melts else min(end_a, to_a)
            most = max(most, worst_a**2 * longest_s)
        return most

    def __str__(self) -> str:
        return f"{self.rated_a:g} A {self.kind.name if self.kind else 'protective device'}"


def holds_s(kind: FuseKind, rated_a: float, current_a: float) -> float:
    """For how long a fuse of this rating certainly holds a current, s. Raises QuantityError."""
    check_quantity("current", rated_a, field="fuse_a")
    require_positive("current_a", current_a)  # a sum of many: more than one figure may be
    return kind.holds_s(current_a / rated_a)


def opens_s(kind: FuseKind, rated_a: float, current_a: float) -> float:
    """By when a fuse of this rating has certainly opened, s; infinite: not by its standard. Raises QuantityError."""
    check_quantity("current", rated_a, field="fuse_a")
    require_positive("current_a", current_a)  # a sum of many: more than one figure may be
    return kind.opens_s(current_a / rated_a)
