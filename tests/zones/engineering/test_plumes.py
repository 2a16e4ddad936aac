"""Plume sanity checks: the published sheets and examples of the handbook's section 6."""

import pytest

from zones.engineering.plumes import (
    LABEL,
    axisymmetric_plume_kg_per_s,
    greatest_outlet_flow_m3_per_s,
    large_fire_plume_kg_per_s,
    layer_rise_k,
    limiting_height_m,
    natural_vent_area_m2,
    volume_flow_m3_per_s,
)
from zones.engineering.quantities import QuantityError


def test_published_sheet_of_an_axisymmetric_plume():
    convective_kw, height_m = 4800.5, 16.154  # 4550 Btu/s, 53 ft [S2]
    # The sheet's imperial coefficient 0.533 makes 15.5 ft; the SI coefficient 0.166 lies 4 % above it.
    assert limiting_height_m(convective_kw) == pytest.approx(15.5 * 0.3048, rel=0.05)
    plume = axisymmetric_plume_kg_per_s(convective_kw, height_m)
    assert plume == pytest.approx(291.7 * 0.45359237, rel=0.001)  # 291.7 lb/s
    for into_layer, fahrenheit in ((0.5, 104.5), (1.0, 137.0)):
        # The sheet starts from 72 °F.
        celsius = 22.2 + layer_rise_k(into_layer * convective_kw, plume)
        assert celsius == pytest.approx((fahrenheit - 32) / 1.8, abs=1.0)


@pytest.mark.parametrize(
    ("heat_kw", "height_m", "kg_per_s", "celsius", "m3_per_s"),  # handbook 6.1
    [(5000, 10, 56.34, 82.1, 56.7), (2000, 5, 14.13, 119.1, 15.7)],
)
def test_plume_temperature_and_volume(heat_kw, height_m, kg_per_s, celsius, m3_per_s):
    plume = axisymmetric_plume_kg_per_s(0.7 * heat_kw, height_m)
    layer = 20.0 + layer_rise_k(0.7 * heat_kw, plume)
    assert plume == pytest.approx(kg_per_s, abs=5e-3)
    assert layer == pytest.approx(celsius, abs=0.05)
    assert volume_flow_m3_per_s(plume, layer) == pytest.approx(m3_per_s, abs=0.05)


def test_flame_tip():
    assert limiting_height_m(3500) == pytest.approx(4.34, abs=5e-3)  # handbook 6.1


def test_below_the_flame_tip_another_formula_holds():
    assert axisymmetric_plume_kg_per_s(3500, 3) == pytest.approx(12.84, abs=5e-3)  # handbook 6.1


@pytest.mark.parametrize(
    ("coefficient", "perimeter", "height", "kg_per_s"),  # first: published sheet [S2]
    [(0.337, 12, 4, 32.35), (0.188, 12, 3, 11.72), (0.188, 14, 5, 29.43)],
)
def test_large_fire_plume(coefficient, perimeter, height, kg_per_s):
    assert large_fire_plume_kg_per_s(perimeter, height, coefficient) == pytest.approx(kg_per_s, abs=6e-3)


def test_layer_temperature_of_the_published_sheet():
    assert layer_rise_k(4050, 32.35, 1.1) == pytest.approx(113.8, abs=0.05)  # [S2]


@pytest.mark.parametrize(
    ("plume", "rise", "depth", "inlets", "area"),  # handbook 6.3 [M]
    [
        (11.72, 342, 2, None, 3.07),
        (11.72, 342, 2, 6, 3.27),
        (11.72, 342, 2, 4, 3.59),
        (32.35, 113.8, 3, None, 7.64),
        (32.35, 113.8, 3, 15, 8.47),
    ],
)
def test_natural_vent_area(plume, rise, depth, inlets, area):
    assert natural_vent_area_m2(plume, rise, depth, inlets) == pytest.approx(area, abs=6e-3)


def test_inlets_that_are_too_small_are_an_error_and_not_a_number():
    with pytest.raises(QuantityError, match="air cannot flow in fast enough"):
        natural_vent_area_m2(32.35, 113.8, 3, 2)


def test_greatest_flow_through_one_outlet():
    """Published sheet: 10 ft, factor 0.5, layer of 104.5 °F over 72 °F: 17 662 cfm [S2]; SI formula 8.340 m³/s."""
    layer_c, ambient_c = (104.5 - 32) / 1.8, (72 - 32) / 1.8
    flow = greatest_outlet_flow_m3_per_s(layer_c, ambient_c, 3.048, at_wall=True)
    assert flow == pytest.approx(8.340, abs=0.02)
    assert flow == pytest.approx(17_662 * 0.0283168 / 60, rel=0.005)
    assert greatest_outlet_flow_m3_per_s(layer_c, ambient_c, 3.048) == pytest.approx(2 * flow)


def test_smoke_no_warmer_than_the_air_is_refused():
    with pytest.raises(QuantityError, match="above the ambient temperature"):
        greatest_outlet_flow_m3_per_s(20, 20, 3)


def test_the_label_says_that_it_is_no_design_tool():
    assert "not a design tool" in LABEL
