"""The free area that a smoke zone needs, by one of the methods of `area_methods.py`, rounded up.

The fire strategy outranks every result here, and a plume is a sanity check that never gives a verdict.
"""

from dataclasses import dataclass

from zones.engineering.area_methods import INPUT_QUANTITIES, AreaInputs, Family, Method
from zones.engineering.plumes import plume_result
from zones.engineering.quantities import QUANTITIES, QuantityError, in_words, rounded_up
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice


@dataclass(frozen=True, slots=True)
class RequiredArea:
    """What a method asks; `area_m2` ``None``: `lacking` names what is not known, `refused` says why there is none.

    `formula` in words; `limits`: sentences on what it counts with and where it does not hold.
    """

    method: Method
    area_m2: float | None = None
    lacking: tuple[str, ...] = ()
    refused: str = ""
    formula: str = ""
    limits: tuple[str, ...] = ()

    @property
    def is_sanity_check(self) -> bool:
        return self.method.family is Family.PLUME


def required_area(
    method: Method,
    inputs: AreaInputs,
    *,
    inlet_m2: float | None = None,
    practice: TradePractice = TRADE_PRACTICE,
) -> RequiredArea:
    """The area that a method asks, m², up to the next 0.01; never from a figure that is not known.

    Args:     inlet_m2: aerodynamic area of the inlets, for a plume only; ``None``: unlimited.
    Source:   that of the method.
    """
    if lacking := tuple(input_name(field) for field in method.needs if getattr(inputs, field) is None):
        return RequiredArea(method, lacking=lacking)
    if method.plume:
        return _by_plume(method, inputs, inlet_m2, practice)
    if method.fixed_m2 is not None:
        return RequiredArea(method, method.fixed_m2, formula="fixed area")
    percent = inputs.floor_percent if method.percent is None else method.percent
    area_m2 = max(inputs.floor_area_m2 * percent / 100, method.least_m2 or 0.0)
    least = f", at least {method.least_m2:g} m²" if method.least_m2 else ""
    return RequiredArea(method, rounded_up(area_m2, 2), formula=f"floor area × {percent:g} %{least}")


def input_name(field: str) -> str:
    """An input in words: "floor area"."""
    return {"floor_percent": "percentage of the floor"}.get(field) or in_words(field)


def input_unit(field: str) -> str:
    """The unit of an input: "m²"."""
    return QUANTITIES[INPUT_QUANTITIES[field]].unit


def _by_plume(method, inputs, inlet_m2, practice):
    try:
        found = plume_result(
            method.plume,
            heat_kw=inputs.heat_release_kw,
            clear_height_m=inputs.clear_height_m,
            layer_depth_m=inputs.layer_depth_m,
            perimeter_m=inputs.fire_perimeter_m,
            inlet_m2=inlet_m2,
            practice=practice,
        )
    except QuantityError:
        return RequiredArea(
            method, refused=f"With {inlet_m2:g} m² of inlets no vent area is enough: enlarge the inlets."
        )
    return RequiredArea(
        method, rounded_up(found.area_m2, 2), formula=found.formula, limits=(*found.counts_with, *found.limits)
    )
