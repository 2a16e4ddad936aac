"""Smoke plume sanity checks: is a vent area of the right order? NOT A DESIGN TOOL.

A fire engineer designs smoke control with the documents themselves. These few formulas only catch an area
that is wrong by a factor. Whoever shows a result shows :data:`LABEL` beside it.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

from zones.engineering.quantities import QuantityError, require_positive
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice

LABEL = "Sanity check only, not a design tool: a fire engineer decides."

GRAVITY_M_PER_S2 = 9.81
AMBIENT_K = 288.15
AMBIENT_C = 15.0
AMBIENT_DENSITY_KG_PER_M3 = 1.225
HOTTEST_RISE_K = 550.0  # above it a clear layer does not last, everything burns [M]
COOLEST_RISE_K = 20.0  # below it smoke hardly rises and mixes with the air [P]


class PlumeKind(StrEnum):
    """Which plume brings the smoke up."""

    LARGE_FIRE = "large fire, large space"
    LARGE_FIRE_SMALL_ROOM = "large fire, small room"
    AXISYMMETRIC = "axisymmetric plume"

    @property
    def needs_perimeter(self) -> bool:
        return self is not PlumeKind.AXISYMMETRIC


# BR 368: 0.188 published [S], 0.337 small rooms [S2].
_COEFFICIENTS = {PlumeKind.LARGE_FIRE: 0.188, PlumeKind.LARGE_FIRE_SMALL_ROOM: 0.337}
_FORMULAS = {
    PlumeKind.AXISYMMETRIC: "mass flow = 0.071 × Qc^(1/3) × height^(5/3) + 0.0018 × Qc above the flame tip, else "
    "0.032 × Qc^0.6 × height",
}


@dataclass(frozen=True, slots=True)
class PlumeResult:
    """What a plume asks; `area_m2` is aerodynamic. `outlets_least`: fewer would draw clear air from below the smoke.

    `counts_with`: sentences on what it takes for granted; `limits`: where it does not hold.
    """

    mass_kg_per_s: float
    rise_k: float
    volume_m3_per_s: float
    area_m2: float
    outlets_least: int
    formula: str
    counts_with: tuple[str, ...]
    limits: tuple[str, ...]


def plume_result(
    kind: PlumeKind,
    *,
    heat_kw: float,
    clear_height_m: float,
    layer_depth_m: float,
    perimeter_m: float | None = None,
    inlet_m2: float | None = None,
    practice: TradePractice = TRADE_PRACTICE,
) -> PlumeResult:
    """Smoke of one fire, and the aerodynamic vent area that lets it out.

    Args:     heat_kw: the whole heat release; inlet_m2: aerodynamic, of all inlets, ``None``: unlimited.
    Raises:   QuantityError: out of range, or inlets too small for any vent area.
    Source:   the functions below; convective share common practice [P].
    """
    convective_kw = practice.convective_share * heat_kw
    if kind.needs_perimeter:
        mass = large_fire_plume_kg_per_s(perimeter_m, clear_height_m, _COEFFICIENTS[kind])
    else:
        mass = axisymmetric_plume_kg_per_s(convective_kw, clear_height_m)
    rise = layer_rise_k(convective_kw, mass)
    volume = volume_flow_m3_per_s(mass, AMBIENT_C + rise)
    one = greatest_outlet_flow_m3_per_s(AMBIENT_C + rise, AMBIENT_C, layer_depth_m)
    formula = _FORMULAS.get(kind) or f"mass flow = {_COEFFICIENTS[kind]:g} × perimeter × clear height^1.5"
    return PlumeResult(
        mass_kg_per_s=mass,
        rise_k=rise,
        volume_m3_per_s=volume,
        area_m2=natural_vent_area_m2(mass, rise, layer_depth_m, inlet_m2),
        outlets_least=math.ceil(volume / one - 1e-9),
        formula=f"{formula}; area by the buoyancy of the layer",
        counts_with=_counts_with(inlet_m2),
        limits=tuple(_limits(kind, convective_kw, clear_height_m, perimeter_m, rise)),
    )


def _counts_with(inlet_m2):
    inlets = "Inlets are counted as unlimited; with real ones the vents must be larger."
    if inlet_m2 is not None:
        inlets = f"Inlets are counted with {inlet_m2:g} m² aerodynamic."
    return inlets, f"Air at {AMBIENT_C:g} °C, a steady fire, no wind, no sprinkler."


def _limits(kind, convective_kw, clear_height_m, perimeter_m, rise_k):
    if kind.needs_perimeter:
        if clear_height_m > 2.5 * perimeter_m:
            yield "The clear height is over 2.5 times the perimeter: the fire is not large against it (from memory)."
        if rise_k < AMBIENT_K:
            yield "A smaller heat release at the same perimeter gives cooler smoke, which needs more area."
    elif clear_height_m <= (tip_m := limiting_height_m(convective_kw)):
        yield f"The smoke lies below the flame tip ({tip_m:.1f} m): flames reach into it."
    if rise_k > HOTTEST_RISE_K:
        yield f"The smoke would be {rise_k:.0f} K above the air: everything burns, there is no clear layer."
    if rise_k < COOLEST_RISE_K:
        yield f"The smoke is only {rise_k:.0f} K above the air: it may not rise, and mixes."


def limiting_height_m(convective_kw: float) -> float:
    """Height of the flame tip, m. Source: NFPA 92, zl = 0.166 Qc^0.4 [M]."""
    require_positive("convective_kw", convective_kw)
    return 0.166 * convective_kw**0.4


def axisymmetric_plume_kg_per_s(convective_kw: float, height_m: float) -> float:
    """Mass flow of an axisymmetric plume, kg/s. Source: NFPA 92, above and below the flame tip [M]."""
    require_positive("height_m", height_m)
    if height_m > limiting_height_m(convective_kw):
        return 0.071 * convective_kw ** (1 / 3) * height_m ** (5 / 3) + 0.0018 * convective_kw
    return 0.032 * convective_kw**0.6 * height_m


def volume_flow_m3_per_s(plume_kg_per_s: float, layer_c: float) -> float:
    """Volume flow of smoke, m³/s. Source: ideal gas, density 101325/(287 T) [calc]."""
    require_positive("plume_kg_per_s", plume_kg_per_s)
    return plume_kg_per_s * 287 * (layer_c + 273.15) / 101_325


def large_fire_plume_kg_per_s(perimeter_m: float, clear_height_m: float, coefficient: float) -> float:
    """Mass flow over a large fire, kg/s. Source: BR 368, M = Ce P Y^1.5; Ce 0.188 [S], 0.337 small rooms [S2]."""
    require_positive("perimeter_m", perimeter_m)
    require_positive("clear_height_m", clear_height_m)
    return coefficient * perimeter_m * clear_height_m**1.5


def layer_rise_k(heat_kw: float, plume_kg_per_s: float, specific_heat: float = 1.0) -> float:
    """Temperature rise of the layer, K: theta = Q/(M c), all of the heat in it. Source: BR 368 [S2], NFPA 92 [M]."""
    require_positive("heat_kw", heat_kw)
    require_positive("plume_kg_per_s", plume_kg_per_s)
    return heat_kw / (plume_kg_per_s * specific_heat)


def natural_vent_area_m2(
    plume_kg_per_s: float, rise_k: float, layer_depth_m: float, inlet_aerodynamic_m2: float | None = None
) -> float:
    """Aerodynamic vent area that lets a layer of smoke out, m².

    Args:     inlet_aerodynamic_m2: of all inlets; ``None``: unlimited.
    Raises:   QuantityError: the inlets are too small for any vent area.
    Source:   BR 368 / CEN/TR 12101-5 [M].
    """
    for field, value in (
        ("plume_kg_per_s", plume_kg_per_s),
        ("rise_k", rise_k),
        ("layer_depth_m", layer_depth_m),
    ):
        require_positive(field, value)
    layer_k = AMBIENT_K + rise_k
    drive = 2 * AMBIENT_DENSITY_KG_PER_M3**2 * GRAVITY_M_PER_S2 * layer_depth_m * rise_k * AMBIENT_K
    if inlet_aerodynamic_m2 is not None:
        require_positive("inlet_aerodynamic_m2", inlet_aerodynamic_m2)
        drive -= plume_kg_per_s**2 * layer_k * AMBIENT_K / inlet_aerodynamic_m2**2
    if drive <= 0:
        raise QuantityError("inlet_aerodynamic_m2", inlet_aerodynamic_m2, "larger: air cannot flow in fast enough")
    return plume_kg_per_s * layer_k / math.sqrt(drive)


def greatest_outlet_flow_m3_per_s(
    layer_c: float, ambient_c: float, layer_depth_m: float, *, at_wall: bool = False
) -> float:
    """Greatest volume flow through one outlet before it draws clear air from below the layer, m³/s.

    Args:     layer_depth_m: below the outlet, m; at_wall: an outlet near a wall bears half.
    Source:   NFPA 92, 4.16 g d^2.5 sqrt((Ts - T0)/T0), g 1 or 0.5 [M].
    """
    require_positive("layer_depth_m", layer_depth_m)
    ambient_k = ambient_c + 273.15
    rise = (layer_c - ambient_c) / ambient_k
    if rise <= 0:
        raise QuantityError("layer_c", layer_c, f"above the ambient temperature, {ambient_c:g} °C")
    return 4.16 * (0.5 if at_wall else 1.0) * layer_depth_m**2.5 * math.sqrt(rise)
