"""Statics of a hinged leaf: what its actuators must push or pull, anywhere on their way, and what holds it shut.

Moments about the hinge, at rest: weight, snow and wind against the force along the line from the actuator's place on
the frame to its fixing on the leaf. Friction of hinges and seals, ice, sag and jamming are not in it: the margin of
common practice stands for them, and a trial on site outranks all of it.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from zones.engineering.derived import derived
from zones.engineering.quantities import QuantityError, check_each, check_quantity

STANDARD_GRAVITY_M_PER_S2 = 9.80665  # 3rd CGPM, 1901 [S2]
_SAMPLES = 60
_CHECKED = (
    ("mass", "mass_kg"),
    ("installation", "installed_deg"),
    ("bracket", "bracket_m"),
    ("bracket", "bracket_depth_m"),
    ("pressure", "wind_opening_pa"),
    ("pressure", "wind_suction_pa"),
    ("pressure", "snow_pa"),
)
_NOTHING_NM, _NOTHING_M = 1e-9, 1e-12


class HingeAt(StrEnum):
    """Which edge of the closed leaf turns: of a facade the upper, the lower or an upright one."""

    UPPER = "upper"
    LOWER = "lower"
    SIDE = "side"


@dataclass(frozen=True)
class Leaf:
    """What is recorded of the leaf of a vent beside its opening; ``None`` = not known.

    `mass_kg` of one leaf; `installed_deg`: closed, from the horizontal (0 flat roof, 90 facade); `hinge_at`: of a roof
    flap, ``None``: the worst counts. `bracket_m`, `bracket_depth_m`: where the actuator stands on the frame, from the
    hinge along the closed leaf and square to it. Loads in N/m²: `wind_opening_pa` against opening, `wind_suction_pa` on
    the closed leaf, `snow_pa` on the plan. `movers`: how many actuators the record gives it.
    """

    mass_kg: float | None = None
    installed_deg: float | None = None
    hinge_at: HingeAt | None = None
    opens_inwards: bool = False
    bracket_m: float | None = None
    bracket_depth_m: float | None = None
    wind_opening_pa: float | None = None
    wind_suction_pa: float | None = None
    snow_pa: float | None = None
    movers: int = 0

    def __post_init__(self):
        check_each(_CHECKED, self)

    @derived
    def is_asked(self) -> bool:
        """Whether anybody entered a weight or a load, so that a verdict is wanted."""
        return any(one is not None for one in (self.mass_kg, *self.loads_pa, self.wind_suction_pa))

    @property
    def loads_pa(self) -> tuple[float | None, float | None]:
        """Wind and snow against opening."""
        return self.wind_opening_pa, self.snow_pa

    @property
    def takes_snow(self) -> bool:
        """Whether snow can lie on it: not on an upright leaf."""
        return self.installed_deg is None or self.installed_deg < 90


@dataclass(frozen=True, slots=True)
class Swing:
    """One leaf with everything known, about one hinge. `fixing_m`: from the hinge to the actuator on the leaf."""

    hinge_length_m: float
    depth_m: float
    mass_kg: float
    installed_deg: float
    fixing_m: float
    bracket_m: float
    bracket_depth_m: float
    hinge_at: HingeAt = HingeAt.UPPER
    opens_inwards: bool = False
    wind_opening_pa: float = 0.0
    snow_pa: float = 0.0

    @property
    def _to_bracket_m(self) -> float:
        return math.hypot(self.bracket_m, self.bracket_depth_m)

    @property
    def _behind_rad(self) -> float:
        """The angle at the hinge between the closed leaf and the actuator's place on the frame."""
        return math.atan2(self.bracket_depth_m, self.bracket_m)

    def actuator_m(self, angle_rad: float) -> float:
        """From the place on the frame to the fixing, m. Source: law of cosines, written so that nothing cancels."""
        apart = math.sin((angle_rad + self._behind_rad) / 2)
        return math.sqrt((self.fixing_m - self._to_bracket_m) ** 2 + 4 * self.fixing_m * self._to_bracket_m * apart**2)

    def arm_m(self, angle_rad: float) -> float:
        """From the hinge square to the line of action, m: twice the area of the triangle over its third side."""
        length_m = self.actuator_m(angle_rad)
        if length_m < _NOTHING_M:
            return self.fixing_m  # a chain that starts at its fixing pushes square to the leaf
        return self.fixing_m * self._to_bracket_m * math.sin(angle_rad + self._behind_rad) / length_m

    def opens_rad(self, stroke_m: float) -> float:
        """How far this stroke opens the leaf, rad.

        Raises:   QuantityError: no such triangle; the stroke is longer than the fixing lets it run.
        """
        check_quantity("opening_travel", stroke_m, field="stroke_m")
        reach_m, a, b = self.actuator_m(0.0) + stroke_m, self.fixing_m, self._to_bracket_m
        if reach_m > a + b:
            longest_m = a + b - self.actuator_m(0.0)
            raise QuantityError("stroke_m", stroke_m, f"at most {longest_m:.3g} m with this fixing")
        if b == 0:
            raise QuantityError("bracket_m", 0.0, "away from the hinge, where it turns nothing")
        cosine = (a * a + b * b - reach_m * reach_m) / (2 * a * b)
        return math.acos(max(-1.0, min(1.0, cosine))) - self._behind_rad

    def against_opening_nm(self, angle_rad: float) -> float:
        """Moment that the actuators must overcome while opening, Nm; what helps is not counted.

        Source:   moments about the hinge [calc]; snow vertical, on the plan of the closed leaf: EN 1991-1-3, 5.2 [M];
                  wind square to the leaf and over all of it, all the way.
        """
        area_m2, half_m = self.hinge_length_m * self.depth_m, self.depth_m / 2
        plan_m2 = area_m2 * math.cos(math.radians(self.installed_deg))
        lean = max(0.0, self._lean(angle_rad))
        snow_n = 0.0 if self.opens_inwards else self.snow_pa * plan_m2
        return half_m * ((self.weight_n + snow_n) * lean + self.wind_opening_pa * area_m2)

    def falls_open_nm(self, angle_rad: float) -> float:
        """Moment with which the weight of the leaf opens it, Nm: what pulls it shut must overcome that."""
        return self.depth_m / 2 * self.weight_n * max(0.0, -self._lean(angle_rad))

    @property
    def weight_n(self) -> float:
        """Weight of the leaf, N."""
        return self.mass_kg * STANDARD_GRAVITY_M_PER_S2

    def _lean(self, angle_rad: float) -> float:
        """Rise of the leaf's middle with the angle, for half a depth of 1: above 0 the weight closes it."""
        slope_rad = math.radians(self.installed_deg)
        if self.opens_inwards:
            match self.hinge_at:
                case HingeAt.UPPER:
                    return -math.cos(angle_rad + slope_rad)
                case HingeAt.LOWER:
                    return -math.cos(angle_rad - slope_rad)
            return -math.cos(slope_rad) * math.cos(angle_rad)
        match self.hinge_at:
            case HingeAt.UPPER:
                return math.cos(angle_rad - slope_rad)
            case HingeAt.LOWER:
                return math.cos(angle_rad + slope_rad)
        return math.cos(slope_rad) * math.cos(angle_rad)


@dataclass(frozen=True, slots=True)
class WorstPoint:
    """The greatest force along a stroke, N, and where: how far it has run, mm, and the angle, degrees."""

    force_n: float
    run_mm: float
    angle_deg: float


@lru_cache(maxsize=4096)  # a register has many vents alike
def worst_opening(swing: Swing, stroke_m: float) -> WorstPoint:
    """The greatest push of all actuators of the leaf together, over the whole stroke. Raises QuantityError."""
    return _worst(swing, stroke_m, swing.against_opening_nm)


@lru_cache(maxsize=4096)
def worst_closing(swing: Swing, stroke_m: float) -> WorstPoint:
    """The greatest pull of all actuators of the leaf together, against its weight alone. Raises QuantityError."""
    return _worst(swing, stroke_m, swing.falls_open_nm)


def holding_n(swing: Swing, suction_pa: float) -> float:
    """What must hold the closed leaf at its actuators against suction, N; weight that helps is not counted."""
    check_quantity("pressure", suction_pa, field="suction_pa")
    moment_nm = suction_pa * swing.hinge_length_m * swing.depth_m * swing.depth_m / 2 + swing.falls_open_nm(0.0)
    return _force_n(moment_nm, swing.arm_m(0.0))


def _worst(swing: Swing, stroke_m: float, moment_nm: Callable[[float], float]) -> WorstPoint:
    """Sampled densely, then closed in on between the neighbours of the greatest sample."""
    end_rad = swing.opens_rad(stroke_m)

    def force(angle_rad):
        return _force_n(moment_nm(angle_rad), swing.arm_m(angle_rad))

    step = end_rad / _SAMPLES
    at = max(range(_SAMPLES + 1), key=lambda k: force(k * step)) * step
    low, high = max(0.0, at - step), min(end_rad, at + step)
    if 0 < force(at) < math.inf:
        for _ in range(40):
            third = (high - low) / 3
            if force(low + third) < force(high - third):
                low += third
            else:
                high -= third
        at = max((at, (low + high) / 2), key=force)
    run_mm = 1000 * (swing.actuator_m(at) - swing.actuator_m(0.0))
    return WorstPoint(force(at), run_mm, math.degrees(at))


def _force_n(moment_nm: float, arm_m: float) -> float:
    if moment_nm <= _NOTHING_NM:
        return 0.0
    return math.inf if arm_m <= _NOTHING_M else moment_nm / arm_m
