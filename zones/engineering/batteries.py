"""Standby batteries: the capacity that each basis asks for, and what discharge rate and cold make of it.

A basis is data (:class:`StandbyBasis`) with its edition, so that a building keeps the rules under which it
was designed, and a firm can add its own. Ageing is counted once: in the factor of the basis, or in a factor
that replaces it, never in both.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType

from zones.engineering.quantities import QuantityError, check_optional, check_quantity, require_positive
from zones.engineering.sources import (
    BS_5839_1_2017,
    BS_5839_1_2025,
    EN_12101_10,
    NFPA_72_2019,
    NFPA_72_2022,
    VDE_0833,
    Source,
)
from zones.engineering.trade_practice import TRADE_PRACTICE

EN_12101_10_PROOF_S = 180.0  # EN 12101-10 6.2.2: Imax b for 180 s at the end of the standby period [S2]
DISCHARGE_FACTOR = 1.75  # BS 5839-1: D where the 20-hour rate is exceeded, or the battery maker's figure [S2]
DISCHARGE_HOURS = 20.0  # BS 5839-1: D = 1 if Cmin/20 h carries the operating current [S2]

# Capacity multiplier for cold, (°C, factor). IEEE 485 [M]; listed to 4.4 °C, nothing is extrapolated below.
TEMPERATURE_FACTORS = ((4.4, 1.30), (10.0, 1.19), (15.6, 1.11), (21.0, 1.04), (25.0, 1.00))


class ColderThanTable(QuantityError):
    """A battery colder than the temperature table: nothing is extrapolated."""


@dataclass(frozen=True, slots=True)
class StandbyBasis:
    """One way to size a standby battery: C = factor × (I1 T1 + D I2 T2).

    `factor_below_h`: the factor counts only for shorter standby than this. `operation_s` is the least time
    of operation after standby; with `per_operation` the number of operations times their duration counts
    where that is longer. `derated`: D applies. `borrowed`: where factor and D come from, if not from `source`.
    """

    key: str
    name: str
    standby_h: float
    operation_s: float
    factor: float
    source: Source
    derated: bool = False
    per_operation: bool = False
    factor_below_h: float | None = None
    borrowed: str = ""

    def __post_init__(self):
        check_quantity("standby", self.standby_h, field="standby_h", subject=self.name)
        check_quantity("time", self.operation_s, field="operation_s", subject=self.name)
        require_positive("factor", self.factor, subject=self.name)
        if self.factor < 1:
            raise QuantityError("factor", self.factor, "at least 1", subject=self.name)

    def ageing_factor(self, standby_h: float) -> float:
        """The allowance of this basis for a standby period."""
        applies = self.factor_below_h is None or standby_h < self.factor_below_h
        return self.factor if applies else 1.0


_BORROWED = "BS 5839-1:2025, because EN 12101-10:2005 prints no formula for the size of a battery"


def _en_12101_10(hours: float, condition: str) -> StandbyBasis:
    # The 180 s and the proof at the end of standby are EN 12101-10's; the rest says itself that it is not.
    name = f"EN 12101-10:2005, {hours:g} h ({condition})"
    return StandbyBasis(
        *(f"en-12101-10-2005-{hours:g}h", name, hours, EN_12101_10_PROOF_S, 1.25, EN_12101_10),
        **{"derated": True, "per_operation": True, "borrowed": _BORROWED},
    )


_BASES = (
    _en_12101_10(72, "no earlier repair assured"),
    _en_12101_10(30, "faults signalled, service has access"),
    _en_12101_10(4, "stand-by generator"),
    StandbyBasis("bs-5839-1-2025", "BS 5839-1:2025, 24 h + 30 min", 24, 1800, 1.25, BS_5839_1_2025, derated=True),
    StandbyBasis("bs-5839-1-2017", "BS 5839-1:2017, 24 h + 30 min", 24, 1800, 1.25, BS_5839_1_2017, derated=True),
    StandbyBasis("vde-0833-30h", "VDE 0833-2:2017, 30 h + 30 min", 30, 1800, 1.25, VDE_0833, factor_below_h=24),
    StandbyBasis("vde-0833-72h", "VDE 0833-2:2017, 72 h + 30 min", 72, 1800, 1.25, VDE_0833, factor_below_h=24),
    StandbyBasis("vde-0833-4h", "VDE 0833-2:2017, 4 h + 30 min", 4, 1800, 1.25, VDE_0833, factor_below_h=24),
    StandbyBasis("nfpa-72-2019", "NFPA 72:2019, 24 h + 5 min", 24, 300, 1.20, NFPA_72_2019),
    StandbyBasis("nfpa-72-2019-voice", "NFPA 72:2019, 24 h + 15 min", 24, 900, 1.20, NFPA_72_2019),
    StandbyBasis("nfpa-72-2022", "NFPA 72:2022, 24 h + 5 min", 24, 300, 1.25, NFPA_72_2022),
)
STANDBY_BASES: Mapping[str, StandbyBasis] = MappingProxyType({basis.key: basis for basis in _BASES})


@dataclass(frozen=True, slots=True)
class RequiredCapacity:
    """The answer of a basis, Ah, with what went into it. Not rounded."""

    capacity_ah: float
    standby_ah: float
    operation_ah: float
    discharge_factor: float
    ageing_factor: float
    temperature_factor: float
    operation_s: float


def required_capacity(
    basis: StandbyBasis,
    *,
    quiescent_a: float,
    operating_a: float,
    standby_h: float | None = None,
    operation_s: float | None = None,
    operations: int = 1,
    seconds_each: float | None = None,
    temperature_c: float | None = None,
    ageing_factor: float | None = None,
    discharge_factor: float = DISCHARGE_FACTOR,
) -> RequiredCapacity:
    """Least capacity at the 20-hour rate, Ah, for a standby period and the operations after it.

    Args:     quiescent_a: I1, A; operating_a: I2, largest simultaneous motor current with the panel's own, A;
              standby_h, operation_s: in place of the basis' own; operations × seconds_each: motor time after
              standby, counted where the basis says so and it exceeds the least; temperature_c: coldest, °C,
              ``None`` leaves cold out; ageing_factor: replaces the factor of the basis (never on top of it).
    Raises:   QuantityError: out of range; colder than the temperature table.
    Source:   the basis names its own; cold: IEEE 485 table [M].
    """
    check_quantity("quiescent_current", quiescent_a, field="quiescent_a")
    check_quantity("current", operating_a, field="operating_a")
    check_quantity("operations", operations, field="operations")
    check_optional("time", seconds_each, field="seconds_each")
    standby_h = basis.standby_h if standby_h is None else standby_h
    check_quantity("standby", standby_h, field="standby_h")
    lasting_s = basis.operation_s if operation_s is None else operation_s
    check_quantity("time", lasting_s, field="operation_s")
    if basis.per_operation and seconds_each is not None:
        lasting_s = max(lasting_s, operations * seconds_each)
    ageing = basis.ageing_factor(standby_h) if ageing_factor is None else ageing_factor
    if not ageing >= 1:
        raise QuantityError("ageing_factor", ageing, "at least 1")
    cold = 1.0 if temperature_c is None else temperature_factor(temperature_c)
    standby_ah, plain_ah = quiescent_a * standby_h, operating_a * lasting_s / 3600
    factor = 1.0
    # BS 5839-1: compute with D = 1, keep it only if the 20-hour rate carries the operating current.
    if basis.derated and ageing * (standby_ah + plain_ah) / DISCHARGE_HOURS < operating_a:
        factor = discharge_factor
    operation_ah = factor * plain_ah
    capacity_ah = ageing * cold * (standby_ah + operation_ah)
    return RequiredCapacity(capacity_ah, standby_ah, operation_ah, factor, ageing, cold, lasting_s)


def temperature_factor(temperature_c: float) -> float:
    """Multiplier of the capacity for cold, between the lines of the table.

    Returns:  scalar, 1.00 at 25 °C and above (warmth never makes a battery smaller).
    Raises:   ColderThanTable: colder than 4.4 °C, where the table ends.
    Source:   IEEE 485 table [M], linear between its lines.
    """
    check_quantity("temperature", temperature_c, field="temperature_c", subject="battery")
    coldest_c = TEMPERATURE_FACTORS[0][0]
    if temperature_c < coldest_c:
        accepted = f"at least {coldest_c:g} °C: the table ends there, ask the battery's maker"
        raise ColderThanTable("temperature_c", temperature_c, accepted, subject="battery")
    for (t0, f0), (t1, f1) in pairwise(TEMPERATURE_FACTORS):
        if temperature_c <= t1:
            return f0 + (f1 - f0) * (temperature_c - t0) / (t1 - t0)
    return 1.0


def next_standard_size_ah(
    required_ah: float, sizes_ah: tuple[float, ...] = TRADE_PRACTICE.standard_battery_ah
) -> float | None:
    """Smallest block that holds the required capacity, Ah; ``None``: none of the sizes does. Sizes are [P]."""
    return next((size for size in sizes_ah if size >= required_ah - 1e-9), None)


def standby_hours_left(
    capacity_ah: float,
    *,
    quiescent_a: float,
    operating_a: float,
    operation_s: float,
    discharge_factor: float = DISCHARGE_FACTOR,
    ageing_factor: float = 1.25,
) -> float | None:
    """How long a battery holds standby and can still operate afterwards, h; ``None``: not even at once.

    Source:   the sizing formula turned round, T1 = (C/age - D I2 T2)/I1 [calc].
    """
    check_quantity("capacity", capacity_ah, field="capacity_ah")
    check_quantity("current", quiescent_a, field="quiescent_a")
    check_quantity("current", operating_a, field="operating_a")
    require_positive("operation_s", operation_s)  # many operations last longer than any time that is typed
    spare_ah = capacity_ah / ageing_factor - discharge_factor * operating_a * operation_s / 3600
    return spare_ah / quiescent_a if spare_ah >= 0 else None


def peukert_nameplate_h(capacity_ah: float, rated_h: float, current_a: float, exponent: float) -> float:
    """Hours of discharge by Peukert's law, from a nameplate "C ampere-hours at H hours".

    Source:   t = H (C/(I H))^k [S2]; rough above about 1C, so compare the maker's greatest current too.
    """
    check_quantity("capacity", capacity_ah, field="capacity_ah")
    check_quantity("current", current_a, field="current_a")
    check_quantity("exponent", exponent, field="exponent")
    require_positive("rated_h", rated_h)
    return rated_h * (capacity_ah / (current_a * rated_h)) ** exponent


def charge_over_standby(
    capacity_ah: float, needed: RequiredCapacity, standby_h: float, steps: int = 24
) -> list[tuple[float, float]]:
    """Points (hours, Ah left of a battery at the end of its life) for a plot, never below 0 Ah."""
    usable_ah = capacity_ah / (needed.ageing_factor * needed.temperature_factor)
    points = [(standby_h * k / steps, usable_ah - needed.standby_ah * k / steps) for k in range(steps + 1)]
    end_h = standby_h + needed.operation_s / 3600
    points.append((end_h, usable_ah - needed.standby_ah - needed.operation_ah))
    return [(hours, max(0.0, left_ah)) for hours, left_ah in points]
