"""Vents of a panel as engineering's plain data (see parts.py)."""

from collections import namedtuple
from contextlib import suppress
from functools import lru_cache

from zones import engineering
from zones.design_check.leaves import of_vent
from zones.design_check.rows import VENT_FIGURES, figures_of_vent
from zones.design_check.stored_figures import known, of_model
from zones.engineering.copies import renamed
from zones.engineering.quantities import QuantityError
from zones.engineering.zone_areas import vent_area
from zones.models import Vent

_Figures = namedtuple("_Figures", VENT_FIGURES)  # every one of them, so that one added later tells vents apart, too


def vent_of(refused, vent, name, zone, movers, basis_loads=None):
    """A vent; its stroke is the least of the actuators that move it, not known where one of theirs is not.

    Args:     basis_loads: wind and snow by the design basis, for a vent that states none; without them nothing is told
              of its leaf and classes.
    """
    strokes = [of_model([], name, position.model_here, "stroke_mm") for position in movers]
    stroke_mm = min(strokes) if strokes and None not in strokes else None
    what = figures_of_vent(vent), stroke_mm, len(movers), basis_loads
    key = None if basis_loads is None else vent.pk
    alike = _alike(*what)
    return _made(refused, name, zone, key, *what) if alike is None else renamed(alike, name=name, zone=zone, key=key)


@lru_cache(maxsize=1024)  # most vents of a building are alike
def _alike(*what):
    """The vent of these figures, without names; None where one of them cannot be, which is told with its name."""
    refused = []
    try:
        made = _made(refused, "", None, None, *what)
    except QuantityError:
        return None
    with suppress(QuantityError):  # said where it is judged
        vent_area(made)
    made.unusual, made.what  # noqa: B018 (copies have both then)
    return None if refused else made


def _made(refused, name, zone, key, figures, stroke_mm, movers, basis_loads):
    vent = _Figures._make(figures)

    def figure(field):
        return known(refused, name, field, getattr(vent, field))

    angle = vent.blade_angle_deg
    return engineering.Vent(
        name=name,
        kind=engineering.VentKind(vent.leaf.replace("_", " ")) if vent.leaf else None,
        zone=zone,
        width_m=figure("width_mm"),
        height_m=figure("height_mm"),
        stroke_mm=stroke_mm,
        fixing_m=figure("fixing_distance_mm"),
        reveal_m=figure("reveal_mm"),
        sides_blocked=None if vent.sides_blocked is None else bool(vent.sides_blocked),
        declared_geometric_m2=figure("geometric_area_m2"),
        declared_aerodynamic_m2=figure("aerodynamic_area_m2"),
        blades=vent.blades,
        blade_pitch_m=figure("blade_pitch_mm"),
        blade_thickness_m=figure("blade_thickness_mm") or 0.0,
        blade_angle_deg=None if angle is None else float(angle),
        discharge_coefficient=figure("discharge_coefficient"),
        coefficient_tested=bool(vent.coefficient_is_tested),
        tested_angle_deg=None if vent.tested_angle_deg is None else float(vent.tested_angle_deg),
        is_inlet=vent.purpose == Vent.Purpose.INLET,
        opened_by=engineering.OpenedBy(vent.opened_by),
        key=key,
        **({} if basis_loads is None else of_vent(refused, name, vent, movers, basis_loads)),
    )
