"""A checked list comes into the register whole, with history, or not at all; the same list twice changes nothing."""

from datetime import date

import pytest

from tests import builders
from tests.zones.device_lists.lists import bring_in, check, csv_of, effects
from zones.device_lists import staging
from zones.device_lists.staging import ImportRefused
from zones.models import (
    ActuatorCircuit,
    ControlPanel,
    Fitting,
    ImportRun,
    Position,
    ProductModel,
    SmokeZone,
    Unit,
    Vent,
)

FULL = (
    "Ref",
    "Type",
    "Panel",
    "Zone no",
    "Zone name",
    "Vent group",
    "Vent",
    "Circuit",
    "Line",
    "Order",
    "Floor",
    "Room",
    "Location",
    "Access",
    "Make",
    "Model no.",
    "S/N",
    "Batch",
    "Date fitted",
)
PANEL = (
    "P9",
    "Control panel",
    "",
    "",
    "",
    "",
    "",
    "",
    "",
    "",
    "0",
    "Plant",
    "wall",
    "",
    "Tarn Works",
    "Cabinet",
    "C-1",
    "26/1",
    "2026-01-05",
)
ACTUATOR = (
    "Z9-M1",
    "Chain actuator",
    "P9",
    "9",
    "Atrium",
    "2",
    "V1",
    "3",
    "",
    "1",
    "4",
    "Atrium",
    "roof light",
    "tower",
    "Tarn Works",
    "Chain 24",
    "M-1",
    "26/2",
    "2026-01-06",
)
DETECTOR = (
    "Z9-SD1",
    "Smoke detector",
    "P9",
    "9",
    "",
    "",
    "",
    "",
    "2",
    "5",
    "1",
    "Stair",
    "ceiling",
    "steps",
    "Tarn Works",
    "Optic 4",
    "S-1",
    "",
    "06/01/2026",
)


def test_a_list_brings_panels_zones_wiring_models_units_and_fittings(town):
    assert bring_in(town.mill, csv_of(PANEL, ACTUATOR, DETECTOR, headings=FULL)) == {"new": 3}
    panel = ControlPanel.objects.get(building=town.mill)
    zone = SmokeZone.objects.get(building=town.mill)
    assert (panel.tag, zone.number, zone.name, zone.panel) == ("P9", 9, "Atrium", panel)
    actuator = Position.objects.get(building=town.mill, tag="Z9-M1")
    assert (actuator.kind, actuator.panel, actuator.smoke_zone, actuator.order_on_line) == ("actuator", panel, zone, 1)
    assert (actuator.vent.tag, actuator.vent_group.number, actuator.actuator_circuit.number) == ("V1", 2, 3)
    assert (actuator.storey, actuator.room, actuator.place) == ("4", "Atrium", "roof light")
    assert actuator.access_need == "tower" and actuator.tag_key == "Z00000009-M00000001"
    fitting = actuator.fittings.get()
    assert (fitting.unit.serial, fitting.unit.batch, fitting.fitted_on) == ("M-1", "26/2", date(2026, 1, 6))
    assert str(fitting.unit.product_model) == "Tarn Works Chain 24"
    detector = Position.objects.get(building=town.mill, tag="Z9-SD1")
    assert (detector.detection_line.panel, detector.detection_line.number, detector.smoke_zone) == (panel, 2, zone)
    assert panel.position.fittings.get().unit.serial == "C-1"


def test_what_a_list_brought_satisfies_the_rules_of_the_forms(town):
    bring_in(town.mill, csv_of(PANEL, ACTUATOR, DETECTOR, headings=FULL))
    for record in (
        *Position.objects.filter(building=town.mill),
        *ProductModel.objects.all(),
        *Unit.objects.all(),
        *Fitting.objects.all(),
        *SmokeZone.objects.all(),
        *Vent.objects.all(),
    ):
        record.full_clean()


def test_new_positions_walk_in_the_order_of_the_file_after_those_there_are(town):
    Position.objects.filter(pk=town.call_point.pk).update(walking_order=35)
    Position.objects.filter(building=town.hall).exclude(pk=town.call_point.pk).update(walking_order=5)
    bring_in(town.hall, csv_of(("B", "SD"), ("A", "SD"), headings=("Tag", "Kind")))
    walk = Position.objects.filter(building=town.hall).in_walking_order().values_list("tag", "walking_order")
    assert list(walk)[-3:] == [("CP1", 35), ("B", 40), ("A", 50)]


def test_the_same_list_twice_changes_nothing(town):
    content = csv_of(PANEL, ACTUATOR, DETECTOR, headings=FULL)
    bring_in(town.mill, content)
    histories = (Position.history, Unit.history, Fitting.history, SmokeZone.history)
    before = [history.count() for history in histories]
    assert bring_in(town.mill, content) == {"unchanged": 3}
    assert [history.count() for history in histories] == before


def test_history_says_who_and_from_which_list(town):
    orla = town.people["office"]
    bring_in(town.mill, csv_of(PANEL, ACTUATOR, headings=FULL), "hall list.csv", by=orla)
    for history in (
        Position.history,
        Unit.history,
        Fitting.history,
        ControlPanel.history,
        SmokeZone.history,
        ActuatorCircuit.history,
        ProductModel.history,
    ):
        record = history.filter(history_user=orla).first()
        assert (record.history_type, record.history_change_reason) == ("+", "Device list hall list.csv")


def test_a_change_counts_the_version_up_and_keeps_what_was_before(town):
    assert bring_in(town.hall, csv_of(("SD1", "7"), headings=("Tag", "Floor"))) == {"changed": 1}
    town.detector.refresh_from_db()
    assert (town.detector.storey, town.detector.row_version) == ("7", 1)
    assert list(town.detector.history.values_list("storey", flat=True)) == ["7", "1"]


def test_a_swap_closes_the_old_fitting_and_opens_the_new_one(town):
    content = csv_of(
        ("SD1", "Tarn Works", "Optic 9", "AK-2", "2026-02-01"), headings=("Tag", "Make", "Model", "S/N", "Fitted")
    )
    assert bring_in(town.hall, content, by=town.people["office"]) == {"swap": 1}
    town.fitting.refresh_from_db()
    assert (town.fitting.removed_on, town.fitting.removed_by) == (date(2026, 2, 1), town.people["office"])
    assert town.fitting.reason_removed == "Replaced according to an imported device list."
    assert town.detector.fittings.open().get().unit.serial == "AK-2"


def test_two_units_can_change_places(town):
    other = builders.make_position(town.hall, "smoke_detector", tag="SD2")
    builders.fit(other, builders.make_unit(town.unit.product_model, serial="AK-0002"))
    content = csv_of(("SD1", "AK-0002"), ("SD2", "AK-0001"), headings=("Tag", "Serial"))
    assert bring_in(town.hall, content) == {"swap": 2}
    assert town.detector.fittings.open().get().unit.serial == "AK-0002"
    assert other.fittings.open().get().unit.serial == "AK-0001"


def test_a_unit_in_store_is_fitted_not_made_again(town):
    unit = builders.make_unit(town.unit.product_model, serial="ST-1")
    assert bring_in(town.hall, csv_of(("SD9", "SD", "st-1"), headings=("Tag", "Kind", "Serial"))) == {"new": 1}
    assert unit.fittings.get().position.tag == "SD9"
    assert Unit.objects.filter(serial__iexact="ST-1").count() == 1


def test_a_model_without_serial_is_the_one_planned(town):
    bring_in(town.hall, csv_of(("CP1", "Tarn Works", "Box"), headings=("Tag", "Maker", "Model")))
    town.call_point.refresh_from_db()
    assert str(town.call_point.product_model) == "Tarn Works Box"
    assert not town.call_point.fittings.exists()


def test_a_date_and_a_date_code_can_be_corrected(town):
    bring_in(town.hall, csv_of(("SD1", "AK-0001", "26/7", "2025-04-01"), headings=("Tag", "S/N", "Batch", "Fitted")))
    town.fitting.refresh_from_db()
    town.unit.refresh_from_db()
    assert (town.fitting.fitted_on, town.unit.batch, town.unit.row_version) == (date(2025, 4, 1), "26/7", 1)


def test_a_zone_gets_its_other_name(town):
    bring_in(town.hall, csv_of(("SD1", "1", "East stair"), headings=("Tag", "Zone", "Zone name")))
    town.zone.refresh_from_db()
    assert (town.zone.name, town.zone.row_version) == ("East stair", 1)


def test_a_zone_without_a_name_says_so(town):
    bring_in(town.hall, csv_of(("SD1", "12"), headings=("Tag", "Zone")))
    assert SmokeZone.objects.get(building=town.hall, number=12).name == "(name to follow)"


def test_a_panel_can_be_fed_by_another_panel_of_the_list(town):
    bring_in(town.mill, csv_of(("P2", "panel", "P1"), ("P1", "panel", "P1"), headings=("Tag", "Kind", "Panel")))
    panels = {panel.tag: panel for panel in ControlPanel.objects.filter(building=town.mill)}
    assert panels["P2"].position.panel == panels["P1"]
    assert panels["P1"].position.panel is None


def test_a_panel_of_the_list_stands_in_its_zone(town):
    bring_in(town.mill, csv_of(("P2", "panel", "7"), headings=("Tag", "Kind", "Zone")))
    assert ControlPanel.objects.get(building=town.mill).position.smoke_zone.number == 7


def test_checking_changes_nothing(town):
    before = Position.objects.count(), Unit.objects.count(), SmokeZone.objects.count()
    check(town.mill, csv_of(PANEL, ACTUATOR, headings=FULL))
    assert (Position.objects.count(), Unit.objects.count(), SmokeZone.objects.count()) == before


def test_a_list_with_one_faulty_row_is_not_imported_at_all(town):
    run = check(town.mill, csv_of(PANEL, ("X", "blind", *[""] * 17), headings=FULL))
    with pytest.raises(ImportRefused, match="1 row with faults, so nothing was imported"):
        staging.apply_run(run=run, by=town.people["office"])
    assert not Position.objects.filter(building=town.mill).exists()


def test_applying_twice_imports_once(town):
    run = check(town.mill, csv_of(PANEL, headings=FULL))
    staging.apply_run(run=run, by=town.people["office"])
    again = staging.apply_run(run=run, by=town.people["office"])
    assert again.state == ImportRun.State.APPLIED
    assert Position.objects.filter(building=town.mill).count() == 1


def test_what_changed_since_the_preview_is_shown_before_anything_is_written(town):
    run = check(town.hall, csv_of(("SD1", "7"), headings=("Tag", "Floor")))
    Position.objects.filter(pk=town.detector.pk).update(storey="3")
    with pytest.raises(ImportRefused, match="The register was changed after this preview was made"):
        staging.apply_run(run=run, by=town.people["office"])
    run.refresh_from_db()
    assert [list(change) for change in run.results[0]["changes"]] == [["Storey", "3", "7"]]
    town.detector.refresh_from_db()
    assert town.detector.storey == "3"
    staging.apply_run(run=run, by=town.people["office"])
    town.detector.refresh_from_db()
    assert town.detector.storey == "7"


def test_of_two_imports_of_one_new_serial_the_second_is_refused(town):
    content = csv_of(PANEL, headings=FULL)
    first, second = check(town.mill, content), check(builders.make_building(), content)
    staging.apply_run(run=first, by=town.people["office"])
    with pytest.raises(ImportRefused, match="The preview below is new"):
        staging.apply_run(run=second, by=town.people["office"])
    second.refresh_from_db()
    assert effects(second) == {"faulty": 1}


def test_a_check_goes_on_where_it_stopped(town):
    run = staging.stage_file(
        building=town.hall,
        name="a.csv",
        by=town.people["office"],
        content=csv_of(*[(f"SD{n}", "SD") for n in range(10, 15)], headings=("Tag", "Kind")),
    )
    run = staging.confirm_columns(run=run, keys=run.column_keys)
    progress = []
    while run.state == ImportRun.State.CHECKING:
        run = staging.check_rows(run=run, limit=2)
        progress.append((run.checked_rows, len(run.results)))
    assert progress == [(2, 2), (4, 4), (5, 5)]
    assert staging.check_rows(run=run, limit=2).checked_rows == 5


def test_a_chunk_checked_for_other_columns_is_not_taken(town):
    content = csv_of(("SD1", "CP1"), headings=("Tag", "Other"))
    run = staging.stage_file(building=town.hall, name="a.csv", content=content, by=town.people["office"])
    run = staging.confirm_columns(run=run, keys=["tag", ""])
    staging.confirm_columns(run=run, keys=["", "tag"])
    stored = staging.check_rows(run=run)  # of the tab that still shows the first mapping
    assert (stored.checked_rows, stored.results) == (0, [])


def test_an_imported_list_stays_on_record_and_a_begun_one_can_go(town):
    run = check(town.hall, csv_of(("SD1", "7"), headings=("Tag", "Floor")))
    begun = check(town.hall, csv_of(("SD1", "8"), headings=("Tag", "Floor")))
    staging.apply_run(run=run, by=town.people["office"])
    with pytest.raises(ImportRefused, match="was imported and stays on record"):
        staging.discard_run(run=run)
    staging.discard_run(run=begun)
    assert list(ImportRun.objects.all()) == [run]
