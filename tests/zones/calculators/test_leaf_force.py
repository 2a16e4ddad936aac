"""Force of actuators by hand: the same sentence as the design check says of the same figures."""

import pytest

from tests.zones.calculators.ask import page

pytestmark = pytest.mark.django_db
URL = "calculator-actuator-force"
# 1 m × 1 m and 30.59 kg (300 N) on a flat roof with 600 N/m² of snow: 450 N at the moving edge.
FLAP = {
    **{"kind": "dome", "width_mm": "1000", "height_mm": "1000", "mass_kg": "30.59", "installed_deg": "0"},
    **{"stroke_mm": "500", "bracket_mm": "1000", "bracket_depth_mm": "0", "wind_opening_pa": "0", "snow_pa": "600"},
    **{"actuators": "1", "push_force_n": "600", "pull_force_n": "600"},
}


def asked(client, **changes):
    return page(client, URL, 200, **{name: value for name, value in {**FLAP, **changes}.items() if value})


def test_enough_hardly_enough_and_too_weak(engineer):
    assert "needs 450 N at 0 mm of its stroke (0°) to open, its actuator pushes 600 N" in asked(engineer)
    assert "only 1.15 times as much; 1.3 times are common" in asked(engineer, push_force_n="520", force_margin="1.3")
    assert "too weak. Each must push at least 540 N" in asked(engineer, push_force_n="400")
    assert "its 2 actuators together push 800 N" in asked(engineer, push_force_n="400", actuators="2")


def test_what_is_not_entered_is_not_known(engineer):
    assert "Weight of the leaf of the vent not known" in asked(engineer, mass_kg="")
    assert "Snow of the vent not known" in asked(engineer, snow_pa="")


def test_a_stroke_that_no_fixing_allows_is_told(engineer):
    assert "Correct stroke, fixing or bracket" in asked(engineer, stroke_mm="2500")
