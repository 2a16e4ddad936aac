"""Conductor resistance against IEC 60228, ASTM B258 and the fire models of the handbook, section 1."""

import pytest
from scipy.interpolate import interp1d

from zones.engineering.conductors import (
    IEC_60228_OHM_PER_KM,
    Conductor,
    awg_area_mm2,
    awg_diameter_mm,
    awg_number,
    awg_ohm_per_km,
    awg_stranded_ohm_per_km,
    factor_to_20c,
    hot_factor,
    resistance_ohm_per_km,
    standard_fire_temperature_c,
    warm_factor,
)
from zones.engineering.quantities import QuantityError

# IEC 60228:2004, tables 1 to 3 [S2]: mm², class 1 & 2 plain and tinned, class 5 plain and tinned, ohm/km.
IEC_60228 = [
    (0.5, 36.0, 36.7, 39.0, 40.1),
    (0.75, 24.5, 24.8, 26.0, 26.7),
    (1, 18.1, 18.2, 19.5, 20.0),
    (1.5, 12.1, 12.2, 13.3, 13.7),
    (2.5, 7.41, 7.56, 7.98, 8.21),
    (4, 4.61, 4.70, 4.95, 5.09),
    (6, 3.08, 3.11, 3.30, 3.39),
    (10, 1.83, 1.84, 1.91, 1.95),
    (16, 1.15, 1.16, 1.21, 1.24),
]


@pytest.mark.parametrize(("area", "plain", "tinned", "flexible", "flexible_tinned"), IEC_60228)
def test_resistance_is_the_maximum_of_iec_60228(area, plain, tinned, flexible, flexible_tinned):
    for conductor_class in (1, 2):
        assert resistance_ohm_per_km(area, conductor_class) == plain
        assert resistance_ohm_per_km(area, conductor_class, tinned=True) == tinned
    assert resistance_ohm_per_km(area, 5) == flexible
    assert resistance_ohm_per_km(area, 5, tinned=True) == flexible_tinned


def test_every_maximum_is_above_resistivity_over_nominal_area():
    """The nominal area flatters only where it is a name: IEC 60028 copper of that very area would be better."""
    for area_mm2, row in IEC_60228_OHM_PER_KM.items():
        assert min(row) > 17.241 / area_mm2 * 0.99


@pytest.mark.parametrize(
    ("size", "area_mm2", "ohm_per_km"),  # ASTM B258 tables [S2]
    [("18", 0.823, 20.9), ("16", 1.309, 13.2), ("14", 2.081, 8.28), ("12", 3.309, 5.21)],
)
def test_awg_sizes_agree_with_the_published_table(size, area_mm2, ohm_per_km):
    assert awg_area_mm2(size) == pytest.approx(area_mm2, abs=0.0005)
    assert awg_ohm_per_km(size) == pytest.approx(ohm_per_km, rel=0.003)
    assert Conductor(awg=size, conductor_class=1).ohm_per_km == awg_ohm_per_km(size)


@pytest.mark.parametrize(
    ("size", "plain", "tinned"),  # NFPA 70, chapter 9, table 8 [S2]: stranded, ohm/km at 75 °C
    [("18", 26.1, 27.7), ("16", 16.4, 17.3), ("14", 10.3, 10.7), ("12", 6.50, 6.73), ("10", 4.070, 4.226)],
)
def test_a_stranded_awg_core_has_its_own_figure_and_counts_where_no_class_is_given(size, plain, tinned):
    to_75_c = 1 / (1 - 0.00323 * 55)  # note 2 of that table
    assert Conductor(awg=size).ohm_per_km * to_75_c == pytest.approx(plain, rel=0.005)
    assert Conductor(awg=size, conductor_class=5).ohm_per_km == Conductor(awg=size).ohm_per_km
    assert Conductor(awg=size, tinned=True).ohm_per_km * to_75_c == pytest.approx(tinned, rel=0.005)
    assert Conductor(awg=size).ohm_per_km > awg_ohm_per_km(size)


@pytest.mark.parametrize("size", range(1, 41))
def test_stranding_never_makes_an_awg_core_better(size):
    assert awg_ohm_per_km(size) < awg_stranded_ohm_per_km(size) < awg_stranded_ohm_per_km(size, tinned=True)


def test_awg_18_has_the_published_diameter():
    assert awg_diameter_mm(18) == pytest.approx(1.0237, abs=5e-5)  # ASTM B258 [S2]
    assert awg_ohm_per_km(18) * 0.3048 == pytest.approx(6.385, rel=1e-3)  # ohm per 1000 ft [S2]


def test_awg_step_ratio_is_that_of_astm_b258():
    assert awg_diameter_mm(11) / awg_diameter_mm(12) == pytest.approx(1.1229322, abs=5e-8)  # [S2]


@pytest.mark.parametrize(
    ("text", "number"), [("18", 18), ("AWG 2", 2), ("0", 0), ("1/0", 0), ("00", -1), ("0000", -3), ("4/0", -3)]
)
def test_awg_sizes_are_read_in_all_their_spellings(text, number):
    assert awg_number(text) == number


@pytest.mark.parametrize("text", ["", "5/0", "-1", "41", "2.5", "00000", "mm"])
def test_what_is_no_awg_size_is_refused(text):
    with pytest.raises(QuantityError, match="it must be an AWG size from 4/0 to 40"):
        awg_number(text)


def test_warm_copper_follows_iec_60028():
    assert 12.1 * warm_factor(40) == pytest.approx(13.051, abs=5e-4)  # handbook 1.1
    assert 12.1 * warm_factor(70) == pytest.approx(14.478, abs=5e-4)


@pytest.mark.parametrize(
    ("measured_c", "exact", "table"),  # handbook 1.1: exact form [calc], rounded table in circulation [S2]
    [(5, 1.0626, 1.064), (40, 0.9271, 0.926), (70, 0.8358, 0.833)],
)
def test_correction_to_20_degrees_is_the_exact_form_near_the_rounded_table(measured_c, exact, table):
    assert factor_to_20c(measured_c) == pytest.approx(exact, abs=5e-5)
    assert factor_to_20c(measured_c) == pytest.approx(table, rel=0.004)


@pytest.mark.parametrize(
    ("minutes", "celsius"),
    [(30, 841.8), (60, 945.3), (90, 1006.0)],  # EN 1363-1 / ISO 834 curve [M]
)
def test_furnace_temperature_follows_the_standard_curve(minutes, celsius):
    assert standard_fire_temperature_c(minutes) == pytest.approx(celsius, abs=0.05)


@pytest.mark.parametrize(
    ("celsius", "factor"),  # handbook 1.4
    [(126.85, 1.434), (426.85, 2.745), (626.85, 3.674), (841.8, 4.71), (945.3, 5.22), (1006.0, 5.52)],
)
def test_hot_copper_follows_the_power_law(celsius, factor):
    assert hot_factor(celsius) == pytest.approx(factor, abs=0.008)


@pytest.mark.parametrize(
    ("factor", "celsius", "field"),
    [
        *((factor_to_20c, -61, "measured_at_c"), (factor_to_20c, 151, "measured_at_c")),
        *((hot_factor, 19, "temperature_c"), (hot_factor, 1301, "temperature_c")),
        (standard_fire_temperature_c, -1, "minutes"),
    ],
)
def test_beyond_what_is_known_of_copper_nothing_is_extrapolated(factor, celsius, field):
    with pytest.raises(QuantityError) as refused:
        factor(celsius)
    assert refused.value.field == field


def test_hot_copper_is_never_below_linear_rise_nor_below_the_evaluated_data_of_pure_copper():
    kelvin = [293, 400, 500, 600, 700, 800, 900]  # J. Phys. Chem. Ref. Data 1979 [M]; nothing beyond 900 K
    resistivity = interp1d(kelvin, [1.678, 2.402, 3.090, 3.792, 4.514, 5.262, 6.041])
    for celsius in range(100, 620, 10):
        assert hot_factor(celsius) >= 1 + 0.00393 * (celsius - 20)
        assert hot_factor(celsius) >= float(resistivity(celsius + 273.15)) / 1.678


@pytest.mark.parametrize(
    ("figures", "sentence"),
    [
        ({"area_mm2": 2.0, "conductor_class": 2}, "area_mm2 is 2; it must be one of: 0.5, 0.75"),
        ({"area_mm2": 2.5, "conductor_class": 3}, "conductor_class is 3; it must be one of: 1, 2, 5"),
        ({"area_mm2": 2.5}, "conductor_class is not known"),
        ({"area_mm2": 2.5, "conductor_class": 2, "awg": "14"}, "not both"),
        ({"area_mm2": float("nan"), "conductor_class": 2}, "area_mm2 is not a number"),
        ({"area_mm2": -1.5, "conductor_class": 2}, "greater than 0"),
        ({}, "not both"),
    ],
)
def test_an_impossible_conductor_is_refused_with_a_sentence(figures, sentence):
    with pytest.raises(QuantityError, match=sentence):
        Conductor(**figures)
