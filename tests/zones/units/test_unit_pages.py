"""Units: trace a serial, answer a recall, record, fit, swap, take off and move."""

import csv
import io
from datetime import date

import openpyxl
import pytest
from django.urls import reverse

from tests import builders
from zones.models import DeviceKind, Fitting, Maker, Unit
from zones.units.fittings import move, take_off


def serials_on(response):
    return [row.record.serial for row in response.context["table"].rows]


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ("?serial=k-00", {"AK-0001"}),
        ("?batch=b7", {"B-1"}),
        ("?place=fitted", {"AK-0001"}),
        ("?place=store", {"B-1"}),
        ("?serial=nothing", set()),
        ("", {"AK-0001", "B-1"}),
    ],
)
def test_units_are_traced(as_, town, query, found):
    builders.make_unit(serial="B-1", batch="2024-B7")
    assert set(serials_on(as_("engineer").get(reverse("unit-list") + query))) == found


def test_units_are_traced_by_the_building_they_are_in_now(as_, town):
    url = reverse("unit-list") + f"?building={town.hall.pk}"
    assert serials_on(as_("office").get(url)) == ["AK-0001"]
    there = builders.make_position(town.mill, tag="SD9")
    move(unit=town.unit, to_position=there, moved_on=date(2025, 6, 1))
    assert serials_on(as_("office").get(url)) == []


@pytest.mark.parametrize("query", ["?model=999", "?model=x", "?serial=%00", "?batch=" + "x" * 9000, "?building=-1"])
def test_nonsense_in_the_address_of_the_list_is_no_failure(as_, town, query):
    assert as_("office").get(reverse("unit-list") + query).status_code == 200


def test_a_manager_sees_a_unit_but_not_where_it_went(as_, town):
    there = builders.make_position(town.mill, tag="SD9")
    move(unit=town.unit, to_position=there, moved_on=date(2025, 6, 1))
    text = as_("manager").get(town.unit.get_absolute_url()).content.decode()
    assert "SD1" in text
    assert "Mill House" not in text
    assert "SD9" not in text


def recall(town, batch="B7", file_format=None):
    name = reverse("unit-recall-export", args=[file_format]) if file_format else reverse("unit-recall")
    return f"{name}?model={town.unit.product_model_id}&batch={batch}"


@pytest.fixture
def batch(town):
    """Batch B7 of the detector's model: two in the hall, one in the mill, one in store, one taken off."""
    model = town.unit.product_model
    for number, building in enumerate([town.hall, town.hall, town.mill], 1):
        position = builders.make_position(building, tag=f"R{number}", place="=above the door")
        builders.fit(position, builders.make_unit(model, serial=f"R-{number}", batch="B7"))
    builders.make_unit(model, serial="R-4", batch="b7")
    gone = builders.fit(builders.make_position(town.mill), builders.make_unit(model, serial="R-5", batch="B7"))
    take_off(position=gone.position, removed_on=date(2025, 6, 1))
    return model


def test_a_recall_counts_the_units_fitted_now_by_building(as_, town, batch):
    response = as_("office").get(recall(town))
    assert [(row["name"], row["number"], row["tags"]) for row in response.context["buildings"]] == [
        ("Mill House", 1, ["R3"]),
        ("Ropewalk Hall", 2, ["R1", "R2"]),
    ]
    assert "5 units" in response.content.decode()


def test_a_recall_of_an_unknown_batch_says_so_and_offers_the_known_ones(as_, town, batch):
    text = as_("office").get(recall(town, "C9")).content.decode()
    assert "No unit of" in text
    assert "batch=B7" in text


@pytest.mark.parametrize("query", ["?model=", "?model=999999", "?model=x&batch=%00"])
def test_a_recall_of_no_model_asks_for_one(as_, town, query):
    assert as_("office").get(reverse("unit-recall") + query).status_code == 422
    assert as_("office").get(reverse("unit-recall-export", args=["csv"]) + query).status_code == 422


def test_a_recall_downloads_as_csv_with_formulas_neutralised(as_, town, batch):
    response = as_("office").get(recall(town, file_format="csv"))
    rows = list(csv.DictReader(io.StringIO(response.content.decode("utf-8-sig"))))
    assert [(row["Building"], row["Tag"], row["Serial"]) for row in rows] == [
        ("Mill House", "R3", "R-3"),
        ("Ropewalk Hall", "R1", "R-1"),
        ("Ropewalk Hall", "R2", "R-2"),
        ("in store", "", "R-4"),
        ("in store", "", "R-5"),
    ]
    assert rows[0]["Place"] == "'=above the door"
    assert rows[0]["Fitted on"] == "2025-03-03"
    assert "_B7_" in response["Content-Disposition"]


def test_a_recall_downloads_as_a_spreadsheet_without_formulas(as_, town, batch):
    response = as_("office").get(recall(town, file_format="xlsx"))
    sheet = openpyxl.load_workbook(io.BytesIO(response.content)).active
    assert sheet.max_row == 6
    assert "f" not in {cell.data_type for row in sheet.iter_rows() for cell in row}
    assert sheet["G2"].value == "'=above the door"


def test_another_format_is_not_found(as_, town, batch):
    assert as_("office").get(recall(town, file_format="exe")).status_code == 404


def test_a_unit_is_added_to_store(as_, town):
    data = {"product_model": town.unit.product_model_id, "serial": "(21)A-0(11)250314"}
    assert as_("engineer").post(reverse("unit-create"), data).status_code == 302
    unit = Unit.objects.get(serial="A-0")
    assert (unit.batch, unit.maker) == ("2025-03-14", town.unit.maker)
    assert "in store" in as_("engineer").get(unit.get_absolute_url()).content.decode()


def test_the_same_serial_of_the_same_maker_is_refused(as_, town):
    data = {"product_model": builders.make_product_model(name="Other").pk, "serial": "ak-0001"}
    response = as_("engineer").post(reverse("unit-create"), data)
    assert response.status_code == 422
    assert "Serial &#x27;AK-0001&#x27; of Tarn Works is in the register already" in response.content.decode()
    other = builders.make_product_model(maker=Maker.objects.create(name="Weir Controls"))
    assert as_("engineer").post(reverse("unit-create"), {**data, "product_model": other.pk}).status_code == 302


def test_a_wrong_serial_is_corrected_and_the_old_one_kept_in_history(as_, town):
    data = {"product_model": town.unit.product_model_id, "serial": "AK-0007", "seen_version": 0}
    as_("engineer").post(reverse("unit-update", args=[town.unit.pk]), data)
    assert "Serial: AK-0001 → AK-0007" in as_("office").get(town.unit.get_absolute_url()).content.decode()


def test_a_fitted_unit_does_not_become_another_kind(as_, town):
    data = {
        "product_model": builders.make_product_model(DeviceKind.RAIN_SENSOR).pk,
        "serial": "AK-0001",
        "seen_version": 0,
    }
    response = as_("engineer").post(reverse("unit-update", args=[town.unit.pk]), data)
    assert "This unit was fitted as a smoke detector" in response.content.decode()


def at(position, page="fitting-create"):
    return reverse(page, args=[position.pk])


def test_a_unit_is_fitted_at_an_empty_position(as_, town):
    model = builders.make_product_model(DeviceKind.MANUAL_CALL_POINT)
    response = as_("engineer").post(
        at(town.call_point), {"serial": "A-0", "product_model": model.pk, "day": "2026-03-02"}
    )
    assert response.status_code == 302
    assert Fitting.objects.open().get(position=town.call_point).unit.serial == "A-0"


def swap(client, town, **fields):
    data = {"serial": "A-0", "product_model": town.unit.product_model_id, "day": "2026-03-02", "reason": "dirty"}
    return client.post(at(town.detector), data | fields)


def test_a_swap_keeps_the_old_unit_with_its_reason(as_, town):
    assert swap(as_("engineer"), town).status_code == 302
    town.fitting.refresh_from_db()
    assert (town.fitting.removed_on, town.fitting.reason_removed) == (date(2026, 3, 2), "dirty")
    assert Fitting.objects.open().get(position=town.detector).unit.serial == "A-0"


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"day": "2025-01-01"}, "it cannot come off on 1 Jan 2025"),
        ({"day": "2999-01-01"}, "lies ahead"),
        ({"serial": "ak-0001"}, "is the unit that SD1 has now"),
        ({"reason": ""}, "This field is required"),
        ({"serial": "X" * 61}, "the register keeps 60"),
    ],
)
def test_a_refused_swap_changes_nothing_and_makes_no_unit(as_, town, fields, sentence):
    response = swap(as_("engineer"), town, **fields)
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert Fitting.objects.get(position=town.detector).removed_on is None
    assert list(Unit.objects.all()) == [town.unit]


def test_a_unit_is_taken_off(as_, town):
    response = as_("engineer").post(at(town.detector, "fitting-close"), {"day": "2026-03-02", "reason": "recall"})
    assert response.status_code == 302
    assert not Fitting.objects.open().filter(position=town.detector).exists()


def test_taking_off_where_nothing_is_says_so(as_, town):
    response = as_("engineer").post(at(town.call_point, "fitting-close"), {"day": "2026-03-02", "reason": "recall"})
    assert response.status_code == 422
    assert "CP1 has no unit now" in response.content.decode()


def go(client, town, **fields):
    data = {"building": town.mill.pk, "tag": "sd9", "day": "2026-03-02", "reason": ""}
    return client.post(reverse("unit-move", args=[town.unit.pk]), data | fields)


def test_a_unit_moves_to_a_tag_of_another_building(as_, town):
    there = builders.make_position(town.mill, tag="SD9")
    assert go(as_("engineer"), town).status_code == 302
    assert Fitting.objects.open().get(unit=town.unit).position == there


def test_a_move_to_an_unknown_tag_names_it(as_, town):
    response = go(as_("engineer"), town)
    assert "Mill House has no position &#x27;sd9&#x27;" in response.content.decode()
    assert Fitting.objects.open().get(unit=town.unit).position == town.detector


def test_a_unit_in_store_is_fitted_from_its_page(as_, town):
    there = builders.make_position(town.mill, tag="SD9")
    take_off(position=town.detector, removed_on=date(2025, 6, 1))
    assert go(as_("engineer"), town).status_code == 302
    assert Fitting.objects.open().get(unit=town.unit).position == there
