"""Vent geometry: opening angle from the stroke, and the free area that a vent opens.

Two kinds of area never mix. The geometric area is what the frame and the leaf leave open. The aerodynamic
area is that times a discharge coefficient from a test; a guessed coefficient gives an estimate, never a
verdict. Adjoining walls, neighbouring leaves and the wind may take more away than geometry shows.
"""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, fields, replace
from enum import StrEnum

from zones.engineering.copies import Kind, kind_of
from zones.engineering.derived import derived
from zones.engineering.leaf_force import Leaf
from zones.engineering.quantities import QuantityError, check_each, check_quantity, questioned, unusual
from zones.engineering.vent_classes import VentClasses


class VentKind(StrEnum):
    """How the vent opens."""

    TOP_HUNG = "top hung"
    BOTTOM_HUNG = "bottom hung"
    SIDE_HUNG = "side hung"
    DOUBLE_LEAF = "double leaf"
    LOUVRE = "louvre"
    SLIDING = "sliding"
    DOME = "dome"


class AreaKind(StrEnum):
    """What an area means. Compare only like with like."""

    GEOMETRIC = "geometric"
    AERODYNAMIC = "aerodynamic"


class OpenedBy(StrEnum):
    """What opens an inlet for replacement air; a smoke outlet has an actuator."""

    ACTUATOR = "actuator"
    HAND = "hand"
    DOOR = "door"
    FIXED = "fixed"


ANGLE_READ_DEG = 0.05  # angles are declared to a tenth of a degree
_QUESTIONED = (
    ("opening_side", "width_m"),
    ("opening_side", "height_m"),
    ("stroke", "stroke_mm"),
    ("opening_side", "fixing_m"),
    ("reveal", "reveal_m"),
    ("free_area", "declared_geometric_m2"),
    ("free_area", "declared_aerodynamic_m2"),
    ("discharge_coefficient", "discharge_coefficient"),
)
_CHECKED = (*_QUESTIONED, ("opening_travel", "blade_pitch_m"), ("reveal", "blade_thickness_m"))
_HINGED = (VentKind.TOP_HUNG, VentKind.BOTTOM_HUNG, VentKind.SIDE_HUNG, VentKind.DOME, VentKind.DOUBLE_LEAF)


@dataclass(frozen=True)
class Vent:
    """A vent with its clear frame opening; ``None`` = not known.

    `width_m` and `height_m`: clear opening of the frame, as seen from the room. `stroke_mm`: travel of the
    actuator, for a hinged leaf the chord at its fixing point; `fixing_m`: from the hinge to the fixing
    point, ``None`` at the moving edge itself. `reveal_m`: depth of the reveal into which the leaf opens, 0 for
    none. `declared_geometric_m2`, `declared_aerodynamic_m2`: from the maker's declaration of performance.
    `sides_blocked`: walls or neighbours close the side triangles, which count only where it is known that they do not.
    Louvre: `blades`, `blade_pitch_m`,
    `blade_thickness_m`, `blade_angle_deg`. `discharge_coefficient` with `coefficient_tested`: from a test, and of the
    area of the frame. `tested_angle_deg`: the opening angle for which coefficient and declaration hold. `is_inlet`: it
    lets replacement air in and is no smoke outlet; opened by anything but an actuator, it counts as declared only.
    `key` tells vents of one name apart (`Actuator.vent_key`).
    """

    name: str
    kind: VentKind | None = None
    zone: str | None = None
    width_m: float | None = None
    height_m: float | None = None
    stroke_mm: float | None = None
    fixing_m: float | None = None
    reveal_m: float | None = None
    sides_blocked: bool | None = None
    declared_geometric_m2: float | None = None
    declared_aerodynamic_m2: float | None = None
    blades: int | None = None
    blade_pitch_m: float | None = None
    blade_thickness_m: float = 0.0
    blade_angle_deg: float | None = None
    discharge_coefficient: float | None = None
    coefficient_tested: bool = False
    tested_angle_deg: float | None = None
    is_inlet: bool = False
    opened_by: OpenedBy = OpenedBy.ACTUATOR
    key: int | None = None
    leaf: Leaf | None = None
    classes: VentClasses | None = None

    def __post_init__(self):
        check_each(_CHECKED, self, subject=self.name)
        angle = self.blade_angle_deg
        if angle is not None and not 0 < angle <= 90:
            accepted = "greater than 0 and at most 90 degrees"
            raise QuantityError("blade_angle_deg", angle, accepted, subject=self.name)
        angle = self.tested_angle_deg
        if angle is not None and not 0 < angle <= 180:
            accepted = "greater than 0 and at most 180 degrees"
            raise QuantityError("tested_angle_deg", angle, accepted, subject=self.name)
        if self.blades is not None and not 1 <= self.blades <= 200:
            raise QuantityError("blades", self.blades, "at least 1 and at most 200", subject=self.name)

    @property
    def leaf_depth_m(self) -> float:
        """From the hinge to the moving edge, m."""
        if self.kind == VentKind.SIDE_HUNG:
            return self.width_m
        return self.height_m / 2 if self.kind == VentKind.DOUBLE_LEAF else self.height_m

    @property
    def hinge_length_m(self) -> float:
        """Along the hinge, m."""
        return self.height_m if self.kind == VentKind.SIDE_HUNG else self.width_m

    @property
    def frame_m2(self) -> float | None:
        """Clear area of the frame, m²."""
        return None if None in (self.width_m, self.height_m) else self.width_m * self.height_m

    @property
    def has_test(self) -> bool:
        """Whether anything aerodynamic is declared or tested."""
        return self.declared_aerodynamic_m2 is not None or (
            self.coefficient_tested and self.discharge_coefficient is not None
        )

    def opening_deg(self) -> float | None:
        """How far leaf or blades open, degrees; ``None``: not known, or it slides. Raises QuantityError."""
        if self.kind == VentKind.LOUVRE:
            return self.blade_angle_deg
        needed = (self.stroke_mm, self.width_m, self.height_m)
        if not is_hinged(self.kind) or None in needed:
            return None
        return opening_angle_deg(self.stroke_mm / 1000, self.fixing_m or self.leaf_depth_m)

    @property
    def has_actuator(self) -> bool:
        """Whether an actuator opens it, so that its area follows from the stroke."""
        return self.opened_by is OpenedBy.ACTUATOR

    @property
    def lacks_sides(self) -> bool:
        """Whether its side triangles would count if somebody knew that nothing closes them."""
        return self.sides_blocked is None and self.has_actuator and is_hinged(self.kind)

    @property
    def with_open_sides(self) -> "Vent":
        """The same, its side triangles counted unless somebody knows that they are closed: the most it may open."""
        return replace(self, sides_blocked=False) if self.lacks_sides else self

    @property
    def lacks_stroke(self) -> bool:
        """Whether nobody knows that anything moves it, though an actuator must."""
        return self.has_actuator and self.stroke_mm is None

    def reaches_its_test(self) -> bool | None:
        """Whether it opens as far as its test or declaration holds (sliding: all the way); ``None``: not known."""
        if not self.has_actuator:
            return True if self.declared_aerodynamic_m2 is not None else None  # as somebody declares it to stand open
        if self.kind == VentKind.SLIDING:
            known = None not in (self.stroke_mm, self.height_m)
            return self.stroke_mm / 1000 >= self.height_m - 1e-9 if known else None
        opens = self.opening_deg()
        if opens is None or self.tested_angle_deg is None:
            return None
        return opens >= self.tested_angle_deg - ANGLE_READ_DEG

    def missing_figures(self) -> list[str]:
        """The figures, in words, without which the area of this vent cannot be computed."""
        if not self.has_actuator:
            return [] if self.declared_geometric_m2 is not None else ["declared geometric area"]
        wanted = [
            ("kind of opening", self.kind),
            ("clear width", self.width_m),
            ("clear height", self.height_m),
        ]
        if self.kind == VentKind.LOUVRE:
            wanted += [("number of blades", self.blades), ("blade pitch", self.blade_pitch_m)]
            wanted += [("blade angle", self.blade_angle_deg)]
        elif self.kind is not None:
            wanted.append(("stroke", self.stroke_mm))
        if self.kind in _HINGED:
            wanted.append(("depth of reveal", self.reveal_m))
        return [what for what, value in wanted if value is None]

    @derived
    def what(self) -> Kind:
        """All that it is, by field: whatever it is called, and wherever it stands."""
        names = ("name", "zone", "key")
        return kind_of(*[(one.name, getattr(self, one.name)) for one in fields(self) if one.name not in names])

    @derived
    def unusual(self) -> tuple[tuple[str, str], ...]:
        """Its figures far from trade values, as (quantity, field)."""
        return unusual(_QUESTIONED, self)

    def questions(self) -> list[str]:
        """Sentences about figures far from trade values."""
        return [
            questioned(quantity, getattr(self, field), field=field, subject=self.name)
            for quantity, field in self.unusual
        ]


def opening_angle_deg(stroke_m: float, fixing_m: float) -> float:
    """Opening angle of a hinged leaf, degrees.

    Args:     stroke_m: chord at the fixing point, m; fixing_m: from the hinge to the fixing point, m.
    Raises:   QuantityError: stroke longer than twice the distance, so that no such triangle exists.
    Source:   alpha = 2 asin(s/(2 a)) [geometry].
    """
    check_quantity("opening_travel", stroke_m, field="stroke_m")
    check_quantity("opening_side", fixing_m, field="fixing_m")
    if stroke_m > 2 * fixing_m:
        raise QuantityError("stroke_m", stroke_m, f"at most twice the distance to the hinge, {2 * fixing_m:g} m")
    return math.degrees(2 * math.asin(stroke_m / (2 * fixing_m)))


def hinged_area_m2(
    hinge_length_m: float,
    depth_m: float,
    stroke_m: float,
    *,
    fixing_m: float | None = None,
    reveal_m: float = 0.0,
    sides_blocked: bool = False,
) -> float:
    """Geometric free area of one hinged leaf, m²: front gap and two side triangles, limited by the frame.

    Args:     hinge_length_m: along the hinge, m; depth_m: hinge to moving edge, m; stroke_m: chord at the
              fixing point, m; fixing_m: hinge to fixing point, m, ``None`` at the moving edge; reveal_m:
              depth of the reveal, m; sides_blocked: count the front gap only.
    Raises:   QuantityError: out of range, or a stroke that no such leaf can make.
    Source:   A = min(W H, W s + H² sin alpha) [geometry; the "triangles + rectangle" rule S2]. Beyond 90° the
              leaf no longer hinders and the frame alone limits.
    """
    check_quantity("opening_side", hinge_length_m, field="hinge_length_m")
    check_quantity("opening_side", depth_m, field="depth_m")
    check_quantity("reveal", reveal_m, field="reveal_m")
    angle = math.radians(opening_angle_deg(stroke_m, depth_m if fixing_m is None else fixing_m))
    angle = min(angle, math.pi / 2)
    frame_m2 = hinge_length_m * depth_m
    rise_m, reach_m = depth_m * math.sin(angle), depth_m * math.cos(angle)
    if rise_m <= reveal_m:
        return 0.0
    front_m2 = hinge_length_m * math.hypot(depth_m - reach_m, rise_m - reveal_m)
    # Two triangles of half depth² sin(alpha) each; the reveal cuts them in proportion to the square.
    sides_m2 = 0.0 if sides_blocked else depth_m * rise_m * (1 - reveal_m / rise_m) ** 2
    return min(frame_m2, front_m2 + sides_m2)


def louvre_area_m2(
    width_m: float, height_m: float, blades: int, pitch_m: float, angle_deg: float, thickness_m: float = 0.0
) -> float:
    """Geometric free area between the blades of a louvre, m², limited by the frame.

    Args:     angle_deg: of the blades from closed, degrees; thickness_m: of a blade, m.
    Source:   A = W n (pitch sin alpha - thickness), perpendicular to the flow between blades [geometry].
    """
    check_quantity("opening_side", width_m, field="width_m")
    check_quantity("opening_side", height_m, field="height_m")
    gap_m = max(0.0, pitch_m * math.sin(math.radians(angle_deg)) - thickness_m)
    return min(width_m * height_m, width_m * blades * gap_m)


def sliding_area_m2(width_m: float, height_m: float, travel_m: float) -> float:
    """Geometric free area of a sliding vent that moves along its height, m². Source: A = W min(s, H)."""
    check_quantity("opening_side", width_m, field="width_m")
    check_quantity("opening_side", height_m, field="height_m")
    check_quantity("opening_travel", travel_m, field="travel_m")
    return width_m * min(travel_m, height_m)


def geometric_area_m2(vent: Vent) -> float:
    """Geometric free area of a vent with all its figures known, m², not rounded.

    Raises:   QuantityError: a figure that no such vent can have.
    """
    if vent.kind == VentKind.LOUVRE:
        return louvre_area_m2(
            *(vent.width_m, vent.height_m, vent.blades, vent.blade_pitch_m),
            *(vent.blade_angle_deg, vent.blade_thickness_m),
        )
    stroke_m = vent.stroke_mm / 1000
    if vent.kind == VentKind.SLIDING:
        return sliding_area_m2(vent.width_m, vent.height_m, stroke_m)
    leaf_m2 = hinged_area_m2(
        *(vent.hinge_length_m, vent.leaf_depth_m, stroke_m),
        fixing_m=vent.fixing_m,
        reveal_m=vent.reveal_m,
        sides_blocked=vent.sides_blocked is not False,
    )
    return 2 * leaf_m2 if vent.kind == VentKind.DOUBLE_LEAF else leaf_m2


def aerodynamic_area_m2(frame_m2: float, discharge_coefficient: float) -> float:
    """Aerodynamic free area, m². Source: EN 12101-2, Aa = Av Cv, Cv from a test at an angle, Av the frame's [S2]."""
    check_quantity("free_area", frame_m2, field="frame_m2")
    check_quantity("discharge_coefficient", discharge_coefficient, field="discharge_coefficient")
    return frame_m2 * discharge_coefficient


def stroke_for_area_m(
    hinge_length_m: float,
    depth_m: float,
    area_m2: float,
    *,
    reveal_m: float = 0.0,
    sides_blocked: bool = False,
) -> float | None:
    """Least stroke at the moving edge for a geometric area, m; ``None``: the frame is too small for it.

    Source:   hinged_area_m2 turned round by halving; the result is on the long side, within 1e-9 m.
    """
    check_quantity("free_area", area_m2, field="area_m2")
    longest_m = depth_m * math.sqrt(2)  # 90 degrees

    def area(stroke_m: float) -> float:
        return hinged_area_m2(hinge_length_m, depth_m, stroke_m, reveal_m=reveal_m, sides_blocked=sides_blocked)

    return least_that_reaches(area, area_m2, longest_m)


def least_that_reaches(rising: Callable[[float], float], wanted: float, most: float) -> float | None:
    """Least argument in (0, most] at which a rising function reaches a value; ``None`` if it never does."""
    if rising(most) < wanted:
        return None
    low, high = 0.0, most
    while high - low > 1e-9:
        middle = (low + high) / 2
        if rising(middle) >= wanted:
            high = middle
        else:
            low = middle
    return high


def by_zone(vents: Iterable[Vent]) -> dict[str | None, list[Vent]]:
    """Vents by the name of their zone."""
    found: dict[str | None, list[Vent]] = {}
    for vent in vents:
        found.setdefault(vent.zone, []).append(vent)
    return found


def is_hinged(kind: VentKind | None) -> bool:
    """Whether a stroke opens this vent by an angle."""
    return kind in _HINGED
