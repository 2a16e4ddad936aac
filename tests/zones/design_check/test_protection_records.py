"""What protects an output and how its cables are laid: from the records to engineering's plain data."""

import pytest

from tests.zones.installations import make_installation, set_figure
from zones.design_check.checked import checked_panel
from zones.engineering.cable_ratings import Insulation, Laying, Method

pytestmark = pytest.mark.django_db


@pytest.fixture
def made(shared):
    return shared.built(make_installation)


def test_how_a_cable_is_laid_and_what_protects_its_output_is_as_recorded(made):
    laid = {"insulation": "thermosetting", "method": "C", "grouped_circuits": 3, "ambient_c": "40", "cores_per_pole": 2}
    fire = {"fire_class": "ph", "integrity_min": 30, "fixing_min": 60, "fire_rating": "PH 30"}
    made.circuits[0].cables.update(cores_count=5, **laid, **fire)
    set_figure(
        made.panel.position.product_model, output_device_kind="electronic", output_trip_a=12, output_trip_s="0.01"
    )
    set_figure(made.panel.battery_sets.get().product_model, internal_resistance_mohm=9)
    design = checked_panel(made.panel).design
    run, device = design.circuits[0].runs[0], design.circuits[0].device
    assert run.laying == Laying(Insulation.THERMOSETTING, Method.C, 3, 40.0)
    assert (run.cores_per_pole, run.fire_class, run.integrity_minutes, run.fixing_minutes) == (2, "ph", 30, 60)
    assert run.fire_text == "PH 30"
    # An electronic limit holds what the output gives.
    assert (device.rated_a, device.trips_a, device.trips_s) == (design.circuits[0].output_limit_a, 12.0, 0.01)
    assert design.battery.internal_ohm == pytest.approx(0.018)  # two blocks in series


def test_the_rating_of_the_fuse_fitted_goes_before_that_of_the_data_sheet(made):
    set_figure(made.panel.position.product_model, output_device_kind="blade", output_device_a=10)
    assert checked_panel(made.panel).design.circuits[0].device.rated_a == 10
    made.circuits[0].device_a = 5
    made.circuits[0].save()
    assert checked_panel(made.panel).design.circuits[0].device.rated_a == 5
