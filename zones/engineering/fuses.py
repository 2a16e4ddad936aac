"""Fuses: how long they certainly hold a current, and by when they have certainly opened.

A characteristic is a table of multiples of the rated current with the shortest and the longest time to open. What
holds a larger current for a while holds a smaller one at least as long; between two lines nothing more is promised. The
tables stand here from memory [M]: check them against the document, or the maker's curve.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf
from types import MappingProxyType

from zones.engineering.quantities import check_quantity
from zones.engineering.sources import IEC_60127_2, ISO_8820_3, Source


@dataclass(frozen=True, slots=True)
class FuseKind:
    """One characteristic: lines (multiple of the rated current, shortest time s, longest time s), rising."""

    key: str
    name: str
    lines: tuple[tuple[float, float, float], ...]
    source: Source

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


def holds_s(kind: FuseKind, rated_a: float, current_a: float) -> float:
    """For how long a fuse of this rating certainly holds a current, s. Raises QuantityError."""
    check_quantity("current", rated_a, field="fuse_a")
    check_quantity("current", current_a, field="current_a")
    return kind.holds_s(current_a / rated_a)


def opens_s(kind: FuseKind, rated_a: float, current_a: float) -> float:
    """By when a fuse of this rating has certainly opened, s; infinite: not by its standard. Raises QuantityError."""
    check_quantity("current", rated_a, field="fuse_a")
    check_quantity("current", current_a, field="current_a")
    return kind.opens_s(current_a / rated_a)
