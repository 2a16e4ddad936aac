"""Smoke plume sanity checks: is a vent area of the right order? NOT A DESIGN TOOL.

A fire engineer designs smoke control with the documents themselves. These few formulas only catch an area
that is wrong by a factor. Whoever shows a result shows :data:`LABEL` beside it.
"""

import math

from zones.engineering.quantities import QuantityError, require_positive

LABEL = "Sanity check only, not a design tool: a fire engineer decides."

GRAVITY_M_PER_S2 = 9.81
AMBIENT_K = 288.15
AMBIENT_DENSITY_KG_PER_M3 = 1.225


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


def layer_temperature_c(
    convective_kw: float, plume_kg_per_s: float, *, ambient_c: float = 20.0, into_layer: float = 1.0
) -> float:
    """Temperature of the layer, °C. Source: NFPA 92, T0 + K Qc/(m cp), cp 1.0 kJ/(kg K) [M]."""
    require_positive("convective_kw", convective_kw)
    require_positive("plume_kg_per_s", plume_kg_per_s)
    return ambient_c + into_layer * convective_kw / plume_kg_per_s


def volume_flow_m3_per_s(plume_kg_per_s: float, layer_c: float) -> float:
    """Volume flow of smoke, m³/s. Source: ideal gas, density 101325/(287 T) [calc]."""
    require_positive("plume_kg_per_s", plume_kg_per_s)
    return plume_kg_per_s * 287 * (layer_c + 273.15) / 101_325


def large_fire_plume_kg_per_s(perimeter_m: float, clear_height_m: float, coefficient: float = 0.188) -> float:
    """Mass flow over a large fire, kg/s.

    Args:     coefficient: 0.188 published [S]; 0.19 large spaces, 0.337 small rooms [S2]; 0.210 [M].
    Source:   BR 368, M = Ce P Y^1.5.
    """
    require_positive("perimeter_m", perimeter_m)
    require_positive("clear_height_m", clear_height_m)
    return coefficient * perimeter_m * clear_height_m**1.5


def layer_rise_k(heat_kw: float, plume_kg_per_s: float, specific_heat: float = 1.0) -> float:
    """Temperature rise of the layer, K: theta = Q/(M c). Source: BR 368 [S2]."""
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


def flame_height_m(heat_kw: float, diameter_m: float) -> float:
    """Mean flame height, m: 0.235 Q^0.4 - 1.02 D. Source: Enclosure Fire Dynamics, example 4.1 [S2]."""
    require_positive("heat_kw", heat_kw)
    require_positive("diameter_m", diameter_m)
    return 0.235 * heat_kw**0.4 - 1.02 * diameter_m


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


def virtual_origin_m(heat_kw: float, diameter_m: float) -> float:
    """Height of the plume's virtual origin, m: -1.02 D + 0.083 Q^0.4. Source: NUREG-1805 chapter 9 [S2]."""
    require_positive("heat_kw", heat_kw)
    require_positive("diameter_m", diameter_m)
    return -1.02 * diameter_m + 0.083 * heat_kw**0.4


def centreline_rise_k(
    convective_kw: float, height_m: float, origin_m: float, *, ambient_k: float = 298.0, density: float = 1.18
) -> float:
    """Temperature rise on the plume's axis, K.

    Raises:   QuantityError: at or below the virtual origin.
    Source:   NUREG-1805 chapter 9, 9.1 (Ta/(g cp² rho²))^(1/3) Qc^(2/3) (z - z0)^(-5/3), cp 1 kJ/(kg K) [S2].
    """
    require_positive("convective_kw", convective_kw)
    if height_m <= origin_m:
        raise QuantityError("height_m", height_m, f"above the virtual origin, {origin_m:.3g} m")
    buoyancy = (ambient_k / (GRAVITY_M_PER_S2 * density**2)) ** (1 / 3)
    return 9.1 * buoyancy * convective_kw ** (2 / 3) * (height_m - origin_m) ** (-5 / 3)


def clear_height_while_filling_m(heat_kw: float, height_m: float, floor_m2: float, seconds: float) -> float:
    """Height of the smoke layer above the floor while an unvented space fills, steady fire, m.

    Raises:   QuantityError: floor area over height squared outside 0.9 to 14, or layer below 0.2 of the height,
              where the formula does not hold.
    Source:   NFPA 92, z/H = 1.11 - 0.28 ln(t Q^(1/3) H^(-4/3)/(A/H²)) [M].
    """
    for field, value in (("heat_kw", heat_kw), ("height_m", height_m), ("floor_m2", floor_m2), ("seconds", seconds)):
        require_positive(field, value)
    shape = floor_m2 / height_m**2
    if not 0.9 <= shape <= 14:
        raise QuantityError("floor_m2", floor_m2, f"{0.9 * height_m**2:.0f} to {14 * height_m**2:.0f} m² here")
    share = 1.11 - 0.28 * math.log(seconds * heat_kw ** (1 / 3) * height_m ** (-4 / 3) / shape)
    if share < 0.2:
        raise QuantityError("seconds", seconds, "a time at which a fifth of the height is still clear")
    return min(share, 1.0) * height_m
