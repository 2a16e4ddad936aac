"""What a row would do, and what is wrong with it: named with row, column, value and remedy."""
# ruff: noqa: E501 (the sentences stand whole)

from datetime import date

import pytest

from tests import builders
from tests.zones.device_lists.lists import HEADINGS, bring_in, check, csv_of, effects, faults
from zones.device_lists.exporting import device_list_csv
from zones.models import DataLink


def row(
    tag="SD9",
    kind="smoke detector",
    panel="P1",
    zone="1",
    zone_name="",
    storey="",
    place="",
    maker="",
    model="",
    serial="",
    fitted_on="",
):
    return (tag, kind, panel, zone, zone_name, storey, place, maker, model, serial, fitted_on)


def results_of(town, *rows, **options):
    return check(town.hall, csv_of(*rows, **options)).results


def faults_of(town, *rows, **options):
    return faults(check(town.hall, csv_of(*rows, **options)))


def test_a_tag_that_the_building_has_not_is_new(town):
    (result,) = results_of(town, row("SD9", storey="2"))
    assert result["effect"] == "new"
    assert ["Storey", "", "2"] in [list(change) for change in result["changes"]]


def test_a_tag_is_the_same_in_any_case(town):
    (result,) = results_of(town, row("sd1", storey="1"))
    assert result["effect"] == "unchanged"


def test_a_difference_is_shown_with_what_was_before(town):
    (result,) = results_of(town, row("SD1", storey="2"))
    assert (result["effect"], [list(change) for change in result["changes"]]) == ("changed", [["Storey", "1", "2"]])


def test_an_empty_cell_leaves_what_is_stored(town):
    assert effects(check(town.hall, csv_of(row("SD1", panel="", zone="", kind="")))) == {"unchanged": 1}


def test_another_serial_at_a_fitted_position_is_a_swap(town):
    (result,) = results_of(
        town, row("SD1", storey="1", maker="Tarn Works", model="Optic 5", serial="AK-2", fitted_on="2026-02-01")
    )
    assert result["effect"] == "swap"
    assert [list(change) for change in result["changes"]] == [
        ["Serial", "AK-0001 (comes off 1 Feb 2026)", "AK-2, Tarn Works Optic 5 (fitted 1 Feb 2026)"]
    ]
    assert result["makes"] == ["model Tarn Works Optic 5 (smoke detector)"]


def test_the_serial_that_is_fitted_already_changes_nothing(town):
    assert effects(check(town.hall, csv_of(row("SD1", storey="1", serial="ak-0001")))) == {"unchanged": 1}


def test_what_comes_with_the_rows_is_told(town):
    run = check(
        town.hall,
        csv_of(
            ("P2", "Control panel", "", "", "", "", "", ""),
            ("M1", "Actuator", "P2", "7", "Atrium", "3", "V1", "2"),
            headings=("Tag", "Kind", "Panel", "Zone no.", "Zone name", "Circuit", "Vent", "Vent group"),
        ),
    )
    assert effects(run) == {"new": 2}
    assert [word for result in run.results for word in result["makes"]] == [
        "panel P2",
        "zone 7 Atrium",
        "vent group 2 of zone 7",
        "vent V1 of zone 7",
        "circuit 3 of panel P2",
    ]


@pytest.mark.parametrize(
    ("words", "kind"),
    [
        ("MCP", "manual call point"),
        ("Break glass unit", "manual call point"),
        ("Optical smoke detectors", "smoke detector"),
        ("Chain drive", "actuator"),
        ("smoke detectr", "smoke detector"),
        ("Fireman's switch", "fire service control"),
        ("control_panel", "control panel"),
        ("SD", "smoke detector"),
        ("Chain actuator 500 mm white", "actuator"),
        ("Manual call point orange flush", "manual call point"),
        ("Rain sensor (external)", "rain sensor"),
        ("Optical smoke detector with base", "smoke detector"),
    ],
)
def test_a_kind_is_understood_by_the_words_of_the_trade(town, words, kind):
    (result,) = results_of(town, row("NEW1", words, panel="", zone=""))
    assert ["Kind", "", kind] in [list(change) for change in result["changes"]]


@pytest.mark.parametrize("words", ["3", "Z3", "Zone 3", "zone 3 Main stair", "3 - Main stair", "3.0", "SZ-3"])
def test_a_zone_is_understood_by_its_number_in_any_dress(town, words):
    builders.make_zone(town.hall, number=3, name="Main stair")
    (result,) = results_of(town, row("SD9", zone=words))
    assert ["Zone no.", "", "3"] in [list(change) for change in result["changes"]]
    assert result["faults"] == []


def test_a_zone_is_found_by_its_name_alone(town):
    assert effects(check(town.hall, csv_of(row("SD9", zone="", zone_name="main stair")))) == {"new": 1}


def test_a_name_without_a_number_is_a_fault_where_other_rows_have_numbers(town):
    assert faults_of(town, row("SD8"), row("SD9", zone="", zone_name="Nowhere")) == [
        "Row 3, Zone name: No zone is called 'Nowhere'. Write the zone's number too."
    ]


def test_a_list_that_only_names_its_zones_gets_them_numbered_on_in_its_order(town):
    run = check(
        town.hall,
        csv_of(
            ("A", "SD", "West"),
            ("B", "SD", "main stair"),
            ("C", "SD", "East"),
            ("D", "SD", "WEST"),
            headings=("Tag", "Kind", "Zone"),
        ),
    )
    assert run.column_keys == ["tag", "kind", "zone_name"]
    assert [result["makes"] for result in run.results] == [["zone 2 West"], [], ["zone 3 East"], ["zone 2 West"]]


@pytest.mark.parametrize("words", ["2026-03-31", "31/03/2026", "31.03.26", "31 Mar 2026", "2026-03-31 08:30:00"])
def test_a_date_is_read_day_first(town, words):
    (result,) = results_of(town, row(maker="A", model="B", serial="1", fitted_on=words))
    assert result["changes"][-1][2] == "1, A B (fitted 31 Mar 2026)"


FAULTS = [
    (row(""), "Row 2, Tag: The row has no tag. Write the tag of the position, or take the row out."),
    (row("x" * 41), f"Row 2, Tag: '{'x' * 30}…' has 41 characters; the limit is 40. Shorten it."),
    (
        row(kind="Blynd"),
        "Row 2, Kind: 'Blynd' is not a kind of device that the register knows. Use one of: control panel",
    ),
    (
        row(kind="Smoke vent switch"),
        "Row 2, Kind: 'Smoke vent switch' is not a kind of device that the register knows.",
    ),
    (row(kind="Actuator / rain sensor"), "'Actuator / rain sensor' is not a kind of device that the register knows."),
    (
        row(maker="A", model="B", serial="1.23457E+11"),
        "Row 2, Serial: '1.23457E+11' is a long number that a spreadsheet has",
    ),
    (row(kind="raining sense"), "Did you mean 'rain sensor'?"),
    (row(kind=""), "Row 2, Kind: 'SD9' is new, so the register needs its kind. Write it in the row."),
    (row("SD1", "heat detector"), "Row 2, Kind: SD1 is a smoke detector in the register, not a heat detector. Correct"),
    (row(panel="P9"), "Row 2, Panel: Ropewalk Hall has no panel 'P9'. Correct it, or add a row of kind control panel"),
    (row(zone="thirty"), "Row 2, Zone no.: 'thirty' is not the number of a zone. Write its number, such as 3"),
    (row(zone="0"), "Row 2, Zone no.: 0 is out of range. Write a number from 1 to 32767."),
    (row(zone="99999999"), "Row 2, Zone no.: 99999999 is out of range."),
    (row(zone="1e999"), "Row 2, Zone no.: '1e999' is not the number of a zone."),
    (row(maker="Tarn Works"), "Row 2, Maker: 'Tarn Works' stands without a model. Write the model too"),
    (row(model="Optic 77"), "Row 2, Model: 'Optic 77' stands without its maker and is no single model's name."),
    (row(serial="N-1"), "Row 2, Serial: 'N-1' is new to the register, so it needs maker and model. Write both"),
    (row(fitted_on="2026-01-01"), "Row 2, Fitted on: '2026-01-01' belongs to a unit, and the row has no serial."),
    (row(maker="A", model="B", serial="1", fitted_on="31/02/2026"), "Row 2, Fitted on: '31/02/2026' is not a date."),
    (row(maker="A", model="B", serial="1", fitted_on="2099-01-01"), "Row 2, Fitted on: 1 Jan 2099 lies ahead."),
    (row(maker="A", model="B", serial="1", fitted_on="1066-10-14"), "14 Oct 1066 cannot be right. Correct the year."),
    (
        row("SD1", maker="A", model="B", serial="1", fitted_on="2025-01-01"),
        "Row 2, Fitted on: 'AK-0001' was fitted here on 3 Mar 2025; the unit that replaces it cannot be fitted on 1 Jan 2025.",
    ),
    (row(maker="A", model="B", serial="x" * 61), "has 61 characters; the limit is 60. Shorten it."),
]


@pytest.mark.parametrize(("values", "sentence"), FAULTS)
def test_a_fault_names_row_column_value_and_remedy(town, values, sentence):
    assert any(sentence in fault for fault in faults_of(town, values)), faults_of(town, values)


def test_a_serial_fitted_in_another_building_is_named_with_it(town):
    detector = builders.make_position(town.mill, tag="X1")
    builders.fit(detector, builders.make_unit(town.unit.product_model, serial="A-0"))
    model = town.unit.product_model
    found = faults_of(town, row(maker=model.maker.name, model=model.name, serial="A-0"))
    assert found == [
        "Row 2, Serial: 'A-0' is fitted in Mill House already. Take it off there first, or correct the serial."
    ]


def test_a_serial_fitted_elsewhere_in_the_building_is_named_with_its_tag(town):
    model = town.unit.product_model
    found = faults_of(town, row(maker=model.maker.name, model=model.name, serial="AK-0001"))
    assert found == [
        "Row 2, Serial: 'AK-0001' is fitted at SD1 already. Take it off there first, or correct the serial."
    ]


def test_a_serial_of_another_model_is_told(town):
    found = faults_of(town, row(maker="Tarn Works", model="Other", serial="AK-0001"))
    assert found == [
        f"Row 2, Model: Serial 'AK-0001' is a {town.unit.product_model} in the register. Correct the model or the serial."
    ]


def test_a_model_of_another_kind_is_told(town):
    model = builders.make_product_model("actuator", name="Chain 24")
    found = faults_of(town, row(maker=str(model.maker), model="chain 24"))
    assert found == [
        "Row 2, Model: Tarn Works chain 24 is an actuator in the register, and this row is a smoke detector. "
        "Correct the model or the kind."
    ]


def test_the_second_of_two_rows_with_one_tag_or_one_serial_is_faulty(town):
    assert faults_of(
        town, row("SD8", maker="A", model="B", serial="1"), row("sd8", maker="A", model="B", serial="1")
    ) == [
        "Row 3, Tag: 'sd8' stands in row 2 already. Keep one of the two rows.",
        "Row 3, Serial: '1' stands in row 2 already. One unit is in one place: correct one row.",
    ]


def test_the_same_serial_of_two_makers_is_two_units(town):
    assert (
        faults_of(town, row("SD8", maker="A", model="B", serial="1"), row("SD9", maker="C", model="B", serial="1"))
        == []
    )


def test_one_zone_has_one_name(town):
    assert faults_of(town, row("SD8", zone="7", zone_name="East"), row("SD9", zone="7", zone_name="West")) == [
        "Row 3, Zone name: Zone 7 is 'East' in row 2 and 'West' here. Choose one."
    ]


def test_a_position_no_longer_used_is_not_taken_again(town):
    town.call_point.retired_on = date(2026, 1, 5)
    town.call_point.save()
    assert faults_of(town, row("CP1", "call point")) == [
        "Row 2, Tag: 'CP1' is no longer used since 5 Jan 2026. Take the position back first, or use another tag."
    ]


WIRING = ("Tag", "Kind", "Panel", "Zone", "Circuit", "Line", "Vent", "Vent group", "Order")


@pytest.mark.parametrize(
    ("values", "sentence"),
    [
        (
            ("SD9", "SD", "P1", "1", "2", "", "", "", ""),
            "Row 2, Circuit no.: Only an actuator is on an actuator circuit.",
        ),
        (
            ("M9", "actuator", "P1", "1", "", "2", "", "", ""),
            "Row 2, Line no.: An actuator is not on a detection line.",
        ),
        (
            ("SD9", "SD", "", "1", "", "2", "", "", ""),
            "Row 2, Line no.: '2' is a number on a panel, and the row names none.",
        ),
        (("SD9", "SD", "P1", "1", "", "P9:2", "", "", ""), "Row 2, Line no.: Ropewalk Hall has no panel 'P9'."),
        (
            ("SD9", "SD", "P1", "1", "", "two", "", "", ""),
            "Row 2, Line no.: 'two' is not a whole number. Write one from 0",
        ),
        (("SD9", "SD", "P1", "1", "", "", "V1", "", ""), "Row 2, Vent: Only an actuator moves a vent."),
        (
            ("M9", "actuator", "P1", "", "", "", "V1", "", ""),
            "Row 2, Vent: 'V1' belongs to a zone, and the row names none.",
        ),
        (("SD9", "SD", "P1", "1", "", "", "", "x", ""), "Row 2, Vent group: 'x' is not a whole number."),
        (("SD9", "SD", "P1", "1", "", "", "", "", "-1"), "Row 2, Order on line: '-1' is not a whole number."),
        (("SD9", "SD", "P1", "1", "", "", "", "", "99999"), "Row 2, Order on line: 99999 is out of range."),
    ],
)
def test_wiring_that_cannot_be_is_told(town, values, sentence):
    found = faults_of(town, values, headings=WIRING)
    assert len(found) == 1 and sentence in found[0], found


def test_a_circuit_or_line_in_one_column_goes_by_the_kind(town):
    run = check(
        town.hall,
        csv_of(
            ("M9", "actuator", "P1", "Circuit 3"),
            ("SD9", "SD", "P1", "line 4"),
            headings=("Tag", "Kind", "Panel", "Circuit / line"),
        ),
    )
    assert [result["makes"] for result in run.results] == [["circuit 3 of panel P1"], ["line 4 of panel P1"]]


def test_another_panel_needs_the_line_on_it(town):
    town.detector.detection_line = builders.make_line(town.panel, number=1)
    town.detector.save()
    builders.make_panel(town.hall, tag="P2")
    assert faults_of(town, ("SD1", "P2"), headings=("Tag", "Panel")) == [
        "Row 2, Line no.: The position is on P1 line 1. Write its line on panel P2."
    ]
    assert faults_of(town, ("SD1", "P2", "1"), headings=("Tag", "Panel", "Line")) == []


def test_another_zone_needs_the_group_in_it(town):
    from zones.models import VentGroup

    town.detector.vent_group = VentGroup.objects.create(smoke_zone=town.zone, number=2)
    town.detector.save()
    builders.make_zone(town.hall, number=5)
    assert faults_of(town, ("SD1", "5"), headings=("Tag", "Zone")) == [
        "Row 2, Vent group: The position is at Z1.2 of zone 1. Write the one of zone 5."
    ]
    assert faults_of(town, ("SD1", "5", "2"), headings=("Tag", "Zone", "Group")) == []


def test_a_cell_without_a_value_is_a_fault_of_its_row(town):
    from openpyxl import Workbook

    from tests.zones.device_lists.lists import bytes_of

    workbook = Workbook()
    workbook.active.append(HEADINGS[:2])
    workbook.active.append(["=1+1", "SD"])
    found = faults(check(town.hall, bytes_of(workbook), "list.xlsx"))
    assert found == [
        "Row 2, Tag: The cell holds the formula '=1+1' without a value. Open the file, paste the value in its place "
        "and save it."
    ]


def test_a_check_costs_the_same_for_two_rows_and_for_two_hundred(town, django_assert_num_queries):
    from zones.device_lists.checking import Checker

    rows = [[number, [f"SD{number}", "SD", f"S-{number}"]] for number in range(2, 202)]
    with django_assert_num_queries(13):
        Checker(town.hall, rows[:2], ["tag", "kind", "serial"]).plans()
    with django_assert_num_queries(13):
        Checker(town.hall, rows, ["tag", "kind", "serial"]).plans()


ON_A_LINK = ("Tag", "Kind", "Panel", "Data link no.", "Line no.")


def test_a_call_point_goes_on_a_data_link_and_its_export_comes_back_without_a_change(town):
    bring_in(town.hall, csv_of(("CP7", "call point", "P1", "data link 1", ""), headings=ON_A_LINK))
    assert town.hall.positions.get(tag="CP7").data_link == DataLink.objects.get(panel=town.panel, number=1)
    assert set(effects(check(town.hall, device_list_csv(town.hall)))) == {"unchanged"}


@pytest.mark.parametrize(
    ("cells", "words"),
    [
        (("M7", "actuator", "P1", "1", ""), "Only a device that the panel knows by its serial is on a data link."),
        (("CP7", "call point", "P1", "1", "1"), "A device on a data link is on no line besides."),
        (("CP1", "call point", "P1", "1", ""), "The position is on P1 line 4. Take it off there first"),
    ],
)
def test_what_cannot_be_on_a_data_link_is_told_at_its_cell(town, cells, words):
    town.call_point.detection_line = builders.make_line(town.panel, number=4)
    town.call_point.save()
    told = faults_of(town, cells, headings=ON_A_LINK)
    assert any(f"Data link no.: {words}" in sentence for sentence in told)
