"""Figures where they enter: refused, questioned, or taken."""

import math
from decimal import Decimal

import pytest

from zones.engineering.cables import CableRun
from zones.engineering.conductors import Conductor
from zones.engineering.quantities import (
    QUANTITIES,
    QuantityError,
    check_optional,
    check_quantity,
    in_words,
    questioned,
    require_not_negative,
    require_positive,
    rounded_down,
    rounded_up,
    shown,
)


@pytest.mark.parametrize("value", [0, -3, math.nan, math.inf, -math.inf, 1e999, "12", None, True, [1], 2_001])
def test_what_cannot_be_a_length_is_refused_naming_field_and_range(value):
    with pytest.raises(QuantityError) as refused:
        check_quantity("length", value, field="length_m", subject="C1")
    assert refused.value.field == "length_m"
    assert refused.value.value is value
    assert "length_m of C1 is " in str(refused.value)
    assert "greater than 0 and at most 2000 m" in str(refused.value)


def test_millimetres_typed_for_metres_are_named_as_the_likely_slip():
    with pytest.raises(QuantityError, match="Typed in mm. 25000 mm is 25 m."):
        CableRun("C1", 25_000, Conductor(1.5, 2))


def test_milliamperes_typed_for_amperes_are_named_as_the_likely_slip():
    with pytest.raises(QuantityError, match="800 mA is 0.8 A"):
        check_quantity("current", 800, field="rated_current_a")


def test_a_decimal_is_refused_with_a_sentence_and_not_with_a_type_error_later():
    with pytest.raises(QuantityError, match="it must be a number"):
        check_quantity("length", Decimal("12"), field="length_m")


def test_unknown_stays_unknown():
    check_optional("length", None, field="length_m")
    assert CableRun("C1", None, None).length_m is None


def test_a_strange_figure_is_questioned_and_not_refused():
    assert questioned("length", 120.0, field="length_m") is None
    sentence = questioned("area", 25.0, field="area_mm2", subject="C1")
    assert sentence == "area of C1 is 25 mm²; usual is 0.5 to 16 mm². Check it; it is used as entered."


@pytest.mark.parametrize(
    ("field", "words"),
    [
        ("rated_current_a", "rated current"),
        ("speed_mm_per_s", "speed"),
        ("area_mm2", "area"),
        ("operations", "operations"),
    ],
)
def test_a_field_is_named_without_its_unit_in_a_question(field, words):
    assert in_words(field) == words


def test_metres_typed_for_the_millimetres_of_a_stroke_are_questioned_with_the_slip():
    assert "0.5 m is 500 mm" in questioned("stroke", 0.5, field="stroke_mm")


def test_kilohm_typed_for_ohm_is_questioned_with_the_slip():
    assert "10 kilohm is 10000 ohm" in questioned("resistance", 10, field="resistance_ohm")


@pytest.mark.parametrize("name", QUANTITIES)
def test_what_is_usual_is_also_accepted(name):
    known = QUANTITIES[name]
    assert known.low <= known.usual_low < known.usual_high <= known.high
    check_quantity(name, min(known.usual_high, 1e9), field=name)


SI = {  # unit → how many of its base unit; SI brochure, prefixes and units in use beside the SI, and months of a year
    **{"mm": 1e-3, "cm": 1e-2, "m": 1, "mm²": 1e-6, "cm²": 1e-4, "m²": 1},
    **{"µA": 1e-6, "mA": 1e-3, "A": 1, "mV": 1e-3, "V": 1, "MW": 1e6, "kW": 1e3, "W": 1, "mAh": 1e-3, "Ah": 1},
    **{"ohm": 1, "kilohm": 1e3, "Ω": 1, "mΩ": 1e-3, "ms": 1e-3, "s": 1, "min": 60, "h": 3600, "%": 0.01, "": 1},
    **{"N": 1, "kN": 1e3, "g": 1e-3, "kg": 1, "t": 1e3, "N/m²": 1, "kN/m²": 1e3},
    **{"mm/s": 1e-3, "m/s": 1, "months": 1 / 12, "years": 1},
}


@pytest.mark.parametrize("name", QUANTITIES)
def test_a_unit_that_is_typed_by_mistake_is_one_of_the_si_and_is_turned_into_ours(name):
    for typed, factor in QUANTITIES[name].slips:
        assert factor == pytest.approx(SI[typed] / SI[QUANTITIES[name].unit]), typed


@pytest.mark.parametrize("name", [name for name in QUANTITIES if name.endswith(("_mm", "_percent", "_ua"))])
def test_what_is_typed_on_site_in_another_unit_has_the_same_ranges(name):
    typed, computed = QUANTITIES[name], QUANTITIES[name.rpartition("_")[0]]
    factor = SI[typed.unit] / SI[computed.unit]
    for end in ("low", "high", "usual_low", "usual_high"):
        assert getattr(typed, end) * factor == pytest.approx(getattr(computed, end)), end
    assert typed.low_included == computed.low_included


@pytest.mark.parametrize(
    ("field", "words"),  # symbols of the SI brochure
    [
        *(("rated_current_a", "rated current of A1 is 5 A"), ("least_voltage_v", "least voltage of A1 is 5 V")),
        *(("speed_mm_per_s", "speed of A1 is 5 mm/s"), ("area_mm2", "area of A1 is 5 mm²")),
        *(("free_area_m2", "free area of A1 is 5 m²"), ("stroke_mm", "stroke of A1 is 5 mm")),
        *(
            ("length_m", "length of A1 is 5 m"),
            ("end_ohm", "end of A1 is 5 ohm"),
            ("capacity_ah", "capacity of A1 is 5 Ah"),
        ),
        *(("power_w", "power of A1 is 5 W"), ("heat_kw", "heat of A1 is 5 kW"), ("ambient_c", "ambient of A1 is 5 °C")),
        *(("angle_deg", "angle of A1 is 5 °"), ("force_n", "force of A1 is 5 N"), ("delay_s", "delay of A1 is 5 s")),
        *(("standby_h", "standby of A1 is 5 h"), ("life_years", "life of A1 is 5 years")),
        ("operations", "operations of A1 is 5"),
    ],
)
def test_a_refusal_in_words_names_the_figure_and_its_unit_as_people_write_them(field, words):
    error = QuantityError(field, 5, "less", hint="Is it?")
    assert error.in_words("A1") == f"{words}; it must be less. Is it?"
    assert QuantityError(field, None, "less", subject="A2").in_words() == (
        f"{in_words(field)} of A2 is not known; it must be less."
    )


@pytest.mark.parametrize("value", [math.nan, math.inf, 0, -1, "1", None, False])
def test_require_positive_refuses(value):
    with pytest.raises(QuantityError, match="greater than 0"):
        require_positive("area_mm2", value)


@pytest.mark.parametrize("require", [require_positive, require_not_negative])
def test_what_is_refused_is_named_with_whose_it_is(require):
    with pytest.raises(QuantityError, match="^area_mm2 of C1 is -1; "):
        require("area_mm2", -1, subject="C1")


@pytest.mark.parametrize("value", [math.nan, math.inf, -1e-9, "1"])
def test_require_not_negative_refuses(value):
    with pytest.raises(QuantityError, match="0 or more"):
        require_not_negative("current_a", value)


def test_require_not_negative_takes_zero():
    require_not_negative("current_a", 0)


def test_rounding_goes_against_the_installer():
    assert rounded_up(14.3741, 2) == 14.38
    assert rounded_down(24.796, 1) == 24.7
    assert rounded_up(8.32, 2) == 8.32  # binary fractions do not push a whole step
    assert rounded_down(8.3, 1) == 8.3


@pytest.mark.parametrize(
    ("value", "words"),
    [(25_000, "25000"), (0.5, "0.5"), (1e-9, "1e-09"), (math.inf, "infinite"), ("x" * 99, "'" + "x" * 36 + "...")],
)
def test_figures_are_shown_as_a_person_writes_them(value, words):
    assert shown(value) == words
