"""Adding a panel: its position and unit come with it, or nothing does."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError

from tests import builders
from zones.models import BatterySet, ControlPanel, DeviceKind, Fitting, Position, Unit
from zones.panels.edits import add_panel, change_battery

pytestmark = pytest.mark.django_db


def counts():
    return [model.objects.count() for model in (Position, ControlPanel, Unit, Fitting)]


def test_a_panel_comes_with_its_position():
    building = builders.make_building()
    panel = add_panel(building=building, tag="P2", storey="0", place="Plant room", mains_feed="DB1, way 4")
    assert (panel.position.kind, panel.position.tag, panel.position.place) == ("control_panel", "P2", "Plant room")
    assert panel.mains_feed == "DB1, way 4"
    assert not panel.position.fittings.exists()


def test_all_that_is_typed_of_a_panels_place_is_kept():
    place = {"storey": "2", "room": "2.14", "place": "beside the lift", "access_need": "key", "walking_order": 70}
    panel = add_panel(building=builders.make_building(), tag="P2", **place)
    panel.position.refresh_from_db()
    assert {name: getattr(panel.position, name) for name in place} == place


def test_a_serial_brings_the_unit_and_its_fitting():
    model = builders.make_product_model(DeviceKind.CONTROL_PANEL)
    panel = add_panel(
        building=builders.make_building(), tag="P1", product_model=model, serial="K-77", fitted_on=date(2026, 3, 2)
    )
    fitting = panel.position.fittings.get()
    assert (fitting.unit.serial, fitting.unit.product_model, fitting.fitted_on) == ("K-77", model, date(2026, 3, 2))


def test_a_unit_in_store_is_taken_from_the_register():
    model = builders.make_product_model(DeviceKind.CONTROL_PANEL)
    unit = builders.make_unit(model, serial="K-78")
    panel = add_panel(building=builders.make_building(), tag="P1", product_model=model, serial="k-78")
    assert panel.position.fittings.get().unit == unit


@pytest.mark.parametrize(
    ("fields", "field", "sentence"),
    [
        ({"tag": "p1"}, "tag", "has a position 'P1' already"),
        ({"tag": ""}, "tag", "cannot be blank"),
        ({"tag": "P2", "serial": "K-1", "product_model": None}, "product_model", "Choose the model that serial 'K-1'"),
        ({"tag": "P2", "serial": "K-9"}, "serial", "Serial 'K-9' is fitted in Old Mill at P1"),
        ({"tag": "P2", "supply_limit_a": 0}, "__all__", "more than 0 A"),
    ],
)
def test_a_panel_that_cannot_be_added_changes_nothing(fields, field, sentence):
    building = builders.make_building(name="Old Mill")
    model = builders.make_product_model(DeviceKind.CONTROL_PANEL)
    add_panel(building=building, tag="P1", product_model=model, serial="K-9")
    before = counts()
    with pytest.raises(ValidationError) as refusal:
        add_panel(**{"building": building, "product_model": model, "fitted_by": builders.make_person(), **fields})
    assert sentence in str(refusal.value.message_dict[field])
    assert counts() == before


def test_changing_the_battery_closes_the_old_set_and_opens_the_new():
    panel = builders.make_panel()
    old = change_battery(panel=panel, fitted_on=date(2022, 5, 1), blocks=2, capacity_ah=7)
    new = change_battery(panel=panel, fitted_on=date(2026, 5, 1), blocks=2, capacity_ah=12)
    old.refresh_from_db()
    assert (old.removed_on, new.removed_on) == (date(2026, 5, 1), None)
    assert list(panel.battery_sets.fitted()) == [new]
    assert old.history.first().history_change_reason == "Battery changed"


@pytest.mark.parametrize("fields", [{"fitted_on": date(2020, 1, 1)}, {"fitted_on": date(2026, 1, 1), "blocks": 0}])
def test_a_refused_change_of_battery_leaves_the_old_set_in(fields):
    panel = builders.make_panel()
    old = change_battery(panel=panel, fitted_on=date(2022, 5, 1), blocks=2)
    with pytest.raises(ValidationError):
        change_battery(panel=panel, **fields)
    assert list(BatterySet.objects.filter(panel=panel)) == [old]
    old.refresh_from_db()
    assert old.removed_on is None
