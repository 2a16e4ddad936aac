"""Vent area by hand. Values: handbook of calculations, 5 (geometry); aerodynamic: EN 12101-2, Aa = Av × Cv [S2]."""

import pytest

from tests.zones.calculators.ask import page
from zones.engineering import VentKind

pytestmark = pytest.mark.django_db
URL = "calculator-vent-area"
LEAF = {
    "kind": "top hung",
    "width_mm": "1000",
    "height_mm": "1000",
    "stroke_mm": "500",
    "reveal_mm": "0",
    "sides_blocked": "no",
}
LOUVRE = {
    "kind": "louvre",
    "width_mm": "1000",
    "height_mm": "1000",
    "blades": "10",
    "blade_pitch_mm": "100",
    "blade_thickness_mm": "10",
    "blade_angle_deg": "90",
}


def asked(client, status=200, figures=LEAF, /, **changes):
    return page(client, URL, status, **{name: value for name, value in {**figures, **changes}.items() if value})


def test_an_empty_form_shows_a_hint(engineer):
    text = page(engineer, URL)
    assert "Choose how the vent opens" in text
    assert all(kind.value in text for kind in VentKind)


@pytest.mark.parametrize(
    ("width", "height", "stroke", "angle", "area"),
    [
        ("1000", "1000", "500", "28.95", "0.984"),  # just misses 1 m²
        ("1000", "1000", "600", "34.91", "1"),
        ("1200", "800", "500", "36.41", "0.96"),
        ("1000", "1500", "800", "30.93", "1.5"),
    ],
)
def test_a_hinged_leaf_opens_what_the_handbook_says(engineer, width, height, stroke, angle, area):
    text = asked(engineer, width_mm=width, height_mm=height, stroke_mm=stroke)
    assert f"{area} m² geometric free area, opened by {angle}°" in text


@pytest.mark.parametrize(("reveal", "area"), [("100", "0.895"), ("200", "0.655")])
def test_a_reveal_takes_away_what_the_handbook_says(engineer, reveal, area):
    """Handbook 5: 0.895 and 0.656 m² of a leaf of 1 m × 1 m, 0.60 m open; rounded down."""
    assert f"{area} m² geometric" in asked(engineer, stroke_mm="600", reveal_mm=reveal)


def test_blocked_sides_leave_the_front_gap_and_unknown_ones_count_as_blocked(engineer):
    """Handbook 5: the front gap alone is width × stroke."""
    assert "0.5 m² geometric" in asked(engineer, sides_blocked="yes")
    unknown = asked(engineer, sides_blocked="")
    assert "0.5 m² geometric" in unknown and "only the front gap is counted" in unknown


def test_every_kind_of_leaf_has_its_area(engineer):
    """Geometry: sliding W × s; louvre W n (pitch sin 90° - thickness); a double leaf is two of half the height."""
    assert "0.5 m² geometric" in asked(engineer, kind="sliding")
    assert "0.9 m² geometric" in asked(engineer, 200, LOUVRE)
    for kind in ("bottom hung", "side hung", "dome"):
        assert "0.984 m² geometric" in asked(engineer, kind=kind)  # a square leaf: all hinges alike
    # 2 × (1.0 × 0.3 + 0.5² sin(34.915°)) = 0.886
    assert "0.886 m² geometric" in asked(engineer, kind="double leaf", stroke_mm="300")


def test_the_stroke_for_an_area_is_the_handbooks(engineer):
    """Handbook 5: 1.0 m² of 1.2 × 1.0 m needs 0.460 m (rounded up to a whole mm); 1.2 × 0.8 m cannot give it."""
    asks = {"required_area_m2": "1", "area_kind": "geometric"}
    assert "1 m² need a stroke of 461 mm" in asked(engineer, width_mm="1200", **asks)
    assert "No stroke gives 1 m²: the frame is too small." in asked(engineer, width_mm="1200", height_mm="800", **asks)


def test_geometric_is_compared_with_geometric(engineer):
    good = asked(engineer, required_area_m2="0.98", area_kind="geometric")
    assert "opens 0.984 m² geometric, 0.98 m² are required: within the entered limit (fire strategy)" in good
    bad = asked(engineer, required_area_m2="1", area_kind="geometric")
    assert "0.016 m² less than the 1 m² required" in bad
    unknown = asked(engineer, required_area_m2="1")
    assert "kind of required area" in unknown.lower() and "m² less" not in unknown


def test_aerodynamic_needs_a_test_or_a_declaration(engineer):
    """Handbook 5: 1.5 m² × 0.6 = 0.90 m²; without a test an estimate that says so."""
    leaf = {"height_mm": "1500", "stroke_mm": "800", "required_area_m2": "0.9", "area_kind": "aerodynamic"}
    leaf |= {"tested_angle_deg": "30"}  # opens 30.9°
    tested = asked(engineer, discharge_coefficient="0.6", coefficient_tested="yes", **leaf)
    assert "0.9 m² aerodynamic free area" in tested and "within the entered limit" in tested
    guessed = asked(engineer, discharge_coefficient="0.6", **leaf)
    assert "An estimate is no verdict." in guessed and "within the entered" not in guessed
    assert "0.8 m² aerodynamic free area" in asked(engineer, declared_aerodynamic_m2="0.8", **leaf)


@pytest.mark.parametrize(
    ("name", "what"),
    [
        ("kind", "kind of opening"),
        ("width_mm", "clear width"),
        ("stroke_mm", "stroke"),
        ("reveal_mm", "depth of reveal"),
    ],
)
def test_a_missing_figure_gives_no_area(engineer, name, what):
    text = asked(engineer, **{name: ""})
    assert f"{what} not known: geometric area of the vent not checked" in text.lower()
    assert "geometric free area" not in text


def test_a_blade_is_never_taken_for_thin(engineer):
    text = asked(engineer, 200, LOUVRE, blade_thickness_mm="", required_area_m2="0.5", area_kind="geometric")
    assert "thickness of a blade not known" in text.lower() and "geometric free area" not in text
    assert "meets" not in text


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("width_mm", "0", "0 is not possible: it must be greater than 0 and at most 20000 mm."),
        ("stroke_mm", "2500", "2500 is not possible: it must be at most twice the distance from the hinge"),
        ("blade_angle_deg", "120", "120 is not possible: it must be greater than 0 and at most 90 °."),
        ("discharge_coefficient", "60", "60 is not possible: it must be greater than 0 and at most 1. Typed in %?"),
        ("kind", "flap", "'flap' is not one of the choices."),
    ],
)
def test_bad_input_is_told_at_its_field(engineer, name, typed, sentence):
    assert sentence in asked(engineer, 422, **{name: typed})


def test_metres_typed_for_millimetres_are_questioned(engineer):
    text = asked(engineer, width_mm="1.2")
    assert "Clear width is 1.2 mm; usual is 200 to 4000 mm. Typed in m? 1.2 m is 1200 mm. Check it" in text


def test_more_declared_than_the_frame_has_meets_nothing(engineer):
    declared = {"declared_aerodynamic_m2": "1,1", "tested_angle_deg": "20"}
    text = asked(engineer, **declared, required_area_m2="0,5", area_kind="aerodynamic")
    assert "aerodynamic free area not checked. Check frame and declaration." in text
    assert "within the entered limit" not in text


def test_blades_at_the_angle_entered_answer_without_a_stroke(engineer):
    text = asked(engineer, 200, LOUVRE, required_area_m2="0,8", area_kind="geometric")
    assert "opens 0.9 m² geometric, 0.8 m² are required: within the entered limit" in text
