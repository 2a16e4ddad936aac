"""The standby battery and what the panel takes from it, as plain data."""

from dataclasses import dataclass
from datetime import date

from zones.engineering.batteries import StandbyBasis
from zones.engineering.fuses import FuseKind
from zones.engineering.quantities import QuantityError, check_optional


@dataclass(frozen=True, slots=True)
class BatterySet:
    """The standby battery with what its basis asks; ``None`` = not known.

    `capacity_ah` is that of the set (blocks in series keep the ampere-hours of one block);
    `standby_h` in place of the basis' own hours; `operations` after standby; `coldest_c` where it stands;
    `charging_limit_a`: the most with which it may be charged; `internal_ohm`: of the set when new; `lead_mm2`:
    section of its leads; `lead_m`: their length, one way.
    """

    capacity_ah: float | None = None
    basis: StandbyBasis | None = None
    standby_h: float | None = None
    operations: int | None = None
    greatest_current_a: float | None = None
    fuse_a: float | None = None
    fuse_kind: FuseKind | None = None
    charging_limit_a: float | None = None
    coldest_c: float | None = None
    usual_c: float | None = None
    peukert_exponent: float | None = None
    internal_ohm: float | None = None
    lead_mm2: float | None = None
    lead_m: float | None = None
    date_code: str | None = None
    made_on: date | None = None
    design_life_years: float | None = None

    def __post_init__(self):
        for quantity, field in (
            ("capacity", "capacity_ah"),
            ("standby", "standby_h"),
            ("operations", "operations"),
            ("discharge_current", "greatest_current_a"),
            ("current", "fuse_a"),
            ("current", "charging_limit_a"),
            ("temperature", "coldest_c"),
            ("temperature", "usual_c"),
            ("exponent", "peukert_exponent"),
            ("area", "lead_mm2"),
            ("length", "lead_m"),
            ("years", "design_life_years"),
        ):
            check_optional(quantity, getattr(self, field), field=field, subject="battery")
        if self.made_on is not None and not 1980 <= self.made_on.year <= 2100:
            accepted = "a day from 1980 to 2100"
            raise QuantityError("made_on", self.made_on.isoformat(), accepted, subject="battery")


@dataclass(frozen=True, slots=True)
class BatteryDuty:
    """What the panel takes from the battery; ``None`` = not known.

    `panel_alarm_a`: the panel itself in alarm, without motors; `motors_a`: the most that runs at once, at the voltage
    of the end of discharge; `seconds_each`: motor time of one operation there; `starting_a`: the greatest current while
    actuators start, for `starting_s`; `stuck`: actuators that too little voltage reaches to run there, the worst first.
    """

    quiescent_a: float | None
    panel_alarm_a: float | None
    motors_a: float | None
    seconds_each: float | None
    charger_a: float | None = None
    starting_a: float | None = None
    starting_s: float | None = None
    stuck: tuple[str, ...] = ()

    @property
    def operating_a(self) -> float:
        """Motors and panel together, A."""
        return self.motors_a + self.panel_alarm_a
