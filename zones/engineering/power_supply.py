"""The panel's power supply as plain data, and the arithmetic of what it must carry and how long groups take."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from zones.engineering.fuses import ProtectiveDevice
from zones.engineering.quantities import check_optional, require_positive


@dataclass(frozen=True, slots=True)
class PowerSupply:
    """The panel's supply; ``None`` = not known.

    The panel itself takes `quiescent_current_a` at rest and `alarm_current_a` in alarm, motors not counted;
    `charger_inhibited`: the charger stops while motors run; `sequential`: outputs run one group after
    another, with `gap_s` between; `stagger_s`: between the starts of actuators. `peak_current_a`: what it bears while
    actuators start; `highest_voltage_v`: the most that its outputs ever give, charging; `fault_current_a`: what it
    gives into a short circuit; `fuse`: between it and the outputs.
    """

    rated_current_a: float | None = None
    output_voltage_v: float | None = None
    own_drop_v: float | None = None
    quiescent_current_a: float | None = None
    alarm_current_a: float | None = None
    charger_current_a: float | None = None
    charger_inhibited: bool | None = None
    sequential: bool = False
    gap_s: float = 0.0
    stagger_s: float = 0.0
    peak_current_a: float | None = None
    highest_voltage_v: float | None = None
    fault_current_a: float | None = None
    fuse: ProtectiveDevice | None = None

    def __post_init__(self):
        for quantity, field in (
            ("current", "rated_current_a"),
            ("voltage", "output_voltage_v"),
            ("voltage_drop", "own_drop_v"),
            ("quiescent_current", "quiescent_current_a"),
            ("quiescent_current", "alarm_current_a"),
            ("current", "charger_current_a"),
            ("delay", "gap_s"),
            ("delay", "stagger_s"),
            ("peak_current", "peak_current_a"),
            ("voltage", "highest_voltage_v"),
            ("peak_current", "fault_current_a"),
        ):
            check_optional(quantity, getattr(self, field), field=field, subject="power supply")


class Demand(NamedTuple):
    """What the supply must carry at once, A, and what is left of its rating (negative: too much)."""

    motors_a: float
    panel_a: float
    charger_a: float
    rated_a: float

    @property
    def total_a(self) -> float:
        """Motors, panel and charger together, A."""
        return self.motors_a + self.panel_a + self.charger_a

    @property
    def left_a(self) -> float:
        """What is left of the rating, A."""
        return self.rated_a - self.total_a


def demand(
    motor_currents_a: Iterable[float],
    *,
    rated_a: float,
    panel_a: float = 0.0,
    charger_a: float = 0.0,
    charger_inhibited: bool = False,
) -> Demand:
    """Simultaneous demand, A. Source: sum with diversity 1.0 within what opens together [P]."""
    return Demand(sum(motor_currents_a), panel_a, 0.0 if charger_inhibited else charger_a, rated_a)


def packed_groups(currents_a: Sequence[float], limit_a: float) -> list[list[int]] | None:
    """Propose groups of outputs that could run one after another, none above the limit.

    A proposal for who plans: the check goes by the order that is recorded, never by this.

    Args:     currents_a: of the outputs, A; limit_a: what the supply can give to motors, A.
    Returns:  groups of indices; ``None`` when one output alone is too much.
    Source:   first fit, largest first: at most 11/9 of the least number of groups plus 6/9 (Dósa 2007) [M],
              so never fewer than are needed.
    """
    require_positive("limit_a", limit_a)
    groups: list[list[int]] = []
    loads: list[float] = []
    for index in sorted(range(len(currents_a)), key=lambda k: -currents_a[k]):
        current_a = currents_a[index]
        if current_a > limit_a:
            return None
        for k, load in enumerate(loads):
            if load + current_a <= limit_a + 1e-9:
                groups[k].append(index)
                loads[k] += current_a
                break
        else:
            groups.append([index])
            loads.append(current_a)
    return groups
