"""Required area by hand. Values: handbook of calculations, 5 and 6; Code du travail R. 4216-14."""

import pytest

from tests.zones.calculators.ask import page
from zones.engineering.area_methods import METHODS
from zones.engineering.plumes import LABEL

pytestmark = pytest.mark.django_db
URL = "calculator-required-area"
FIRE = {"fire_perimeter_m": "12", "heat_release_kw": "5000", "clear_height_m": "3", "layer_depth_m": "2"}


def test_an_empty_form_offers_every_method_with_where_it_applies(engineer):
    text = page(engineer, URL)
    assert all(method.name in text and method.applies in text for method in METHODS.values())


def test_a_percentage_of_the_floor(engineer):
    text = page(engineer, URL, method="fr-workplace", floor_area_m2="412,5")
    assert "4.13 m² geometric free area required" in text  # 1 %, rounded up
    assert "R. 4216-14" in text


def test_every_figure_of_a_plume_bears_the_label_and_its_limits_are_said(engineer):
    """Handbook 6.2: 0.188, 12 m, 3 m give 11.72 kg/s."""
    text = page(engineer, URL, method="large-fire", **FIRE)
    assert "11.8 kg/s smoke: sanity check" in text
    assert text.count(": sanity check") == 4 and text.count(LABEL) == 2
    assert "Inlets are counted as unlimited" in text


def test_inlets_that_are_too_small_are_told_at_their_box(engineer):
    text = page(engineer, URL, 422, method="large-fire", inlet_m2="1", **FIRE)
    assert "1 is not possible: it must be larger" in text


@pytest.mark.parametrize(("typed", "lacks"), [({}, "Method"), ({"method": "en-basement"}, "Floor area")])
def test_what_lacks_is_named_and_nothing_is_calculated(engineer, typed, lacks):
    text = page(engineer, URL, **{"clear_height_m": "3", **typed})
    assert f"{lacks} not known" in text
