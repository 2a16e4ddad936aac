"""Headings are matched loosely, wherever the table begins."""

import pytest

from zones.device_lists.columns import COLUMNS, match_headings
from zones.device_lists.mapping import data_rows, find_table, guess_columns, reasons_against


@pytest.mark.parametrize(
    ("heading", "key"),
    [
        ("Ref", "tag"),
        ("Device tag", "tag"),
        ("TAG", "tag"),
        ("Type", "kind"),
        ("Serial no.", "serial"),
        ("S/N", "serial"),
        ("SERIAL  NUMBER", "serial"),
        ("Seriel number", "serial"),
        ("Zone no", "zone_number"),
        ("Smoke zone", "zone_number"),
        ("Floor", "storey"),
        ("Location", "place"),
        ("Manufacturer", "maker"),
        ("Model No.", "model"),
        ("Output", "circuit"),
        ("Détection line", "line"),
        ("Installed (date)", "fitted_on"),
        ("Date code / batch", "batch"),
        ("Circuit / line", "circuit_or_line"),
        ("Walking order", "walking_order"),
        ("Remarks", ""),
        ("", ""),
        ("Price", ""),
        ("Tone", ""),
    ],
)
def test_a_heading_of_the_trade_is_understood(heading, key):
    assert match_headings([heading]) == [key]


def test_the_headings_of_an_export_are_understood_as_themselves():
    assert match_headings([column.heading for column in COLUMNS]) == [column.key for column in COLUMNS]


def test_no_column_is_given_twice_and_the_exact_one_wins():
    assert match_headings(["Serial numbr", "Serial", "S/N"]) == ["", "serial", ""]


def test_the_table_is_found_below_title_rows_on_any_sheet():
    sheets = [
        {"name": "Notes", "rows": [[1, ["Type of building", "school"]]]},
        {"name": "Devices", "rows": [[1, ["Hall, issue C"]], [4, ["Ref", "Type", "Floor"]], [5, ["SD1", "MCP", "1"]]]},
    ]
    assert find_table(sheets) == (1, 4, ["tag", "kind", "storey"])


def test_a_file_without_any_known_heading_begins_at_its_first_row():
    assert find_table([{"name": "", "rows": [[2, ["a", "b"]], [3, ["c"]]]}]) == (0, 2, ["", ""])


def test_headings_repeated_on_each_page_are_no_rows():
    sheet = {"rows": [[1, ["Ref", "Type"]], [2, ["SD1", "SD"]], [40, ["Ref", "Type"]], [41, ["SD2", "SD"]]]}
    assert data_rows(sheet, 1) == [[2, ["SD1", "SD"]], [41, ["SD2", "SD"]]]


def test_a_column_called_zone_is_read_by_what_it_holds():
    def guess(value):
        return guess_columns({"rows": [[1, ["Ref", "Zone"]], [2, ["SD1", value]]]}, 1)

    assert guess("Main stair") == ["tag", "zone_name"]
    assert guess("Zone 3") == ["tag", "zone_number"]


def test_a_mapping_needs_the_tag_and_each_column_once():
    assert reasons_against(["kind", "kind"]) == [
        "Kind is chosen for 2 columns. Keep it for one.",
        "Choose the column that holds the tag: without it a row names no position.",
    ]
    assert reasons_against(["tag", "", ""]) == []
