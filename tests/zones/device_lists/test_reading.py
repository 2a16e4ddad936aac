"""What files are read as device lists, and what is said of the others."""

import io
import re
import zipfile

import pytest
from openpyxl import Workbook

from tests.zones.device_lists.lists import bytes_of, csv_of, xlsx_of
from zones.device_lists.cells import UNREADABLE
from zones.device_lists.reading import NotReadable, read_file

ROW = ("SD1", "smoke detector", "P1", "1", "Café stair")
SHEET = "xl/worksheets/sheet1.xml"
SHORT = ("Tag", "Kind", "Panel", "Zone no.", "Zone name")


def rows_of(content, name="list.csv"):
    return [cells for _, cells in read_file(name, content, 20)[0].rows]


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_text_is_read_whatever_its_encoding_and_separator(separator, encoding):
    assert rows_of(csv_of(ROW, headings=SHORT, separator=separator, encoding=encoding)) == [list(SHORT), list(ROW)]


def test_a_guessed_encoding_is_told():
    sheet = read_file("list.csv", csv_of(ROW, headings=SHORT, encoding="cp1252"), 20)[0]
    assert sheet.remarks == ["Read as Windows-1252. If accented letters look wrong, save the file as CSV UTF-8."]


def test_a_declared_separator_is_taken():
    assert rows_of(b"sep=;\r\nTag;Kind\r\nSD1;smoke, detector\r\n") == [["Tag", "Kind"], ["SD1", "smoke, detector"]]


def test_a_cell_may_hold_a_line_break_and_the_row_keeps_its_number():
    rows = read_file("list.csv", b'Tag,Place\r\n\r\nSD1,"above\r\ndoor"\r\n', 20)[0].rows
    assert rows[1] == [3, ["SD1", "above\ndoor"]]


def test_numbers_dates_and_padded_numbers_read_as_people_see_them():
    import datetime

    workbook = Workbook()
    workbook.active.append(["Tag", "Serial", "Zone", "Fitted on"])
    workbook.active.append([1, 42, 3.0, datetime.datetime(2026, 3, 31)])
    workbook.active["B2"].number_format = "000000"
    assert rows_of(bytes_of(workbook), "list.xlsx")[1] == ["1", "000042", "3", "2026-03-31"]


def test_all_visible_sheets_are_read_and_hidden_ones_left_out():
    workbook = Workbook()
    workbook.active.append(["Notes"])
    workbook.create_sheet("Devices").append(["Tag"])
    hidden = workbook.create_sheet("Old")
    hidden.append(["Tag"])
    hidden.sheet_state = "hidden"
    assert [sheet.name for sheet in read_file("list.xlsx", bytes_of(workbook), 20)] == ["Sheet", "Devices"]


def test_a_cell_merged_downwards_counts_for_each_of_its_rows():
    workbook = Workbook()
    sheet = workbook.active
    for row in (["Devices of the hall"], ["Tag", "Zone name"], ["SD1", "Main stair"], ["SD2"], ["SD3", "Other"]):
        sheet.append(row)
    sheet.merge_cells("A1:B1")
    sheet.merge_cells("B3:B4")
    read = read_file("list.xlsx", bytes_of(workbook), 20)[0]
    assert [cells for _, cells in read.rows][2:] == [["SD1", "Main stair"], ["SD2", "Main stair"], ["SD3", "Other"]]
    assert read.remarks == ["Merged cells were read as if each of their rows carried the value."]


def test_a_range_merged_over_the_whole_sheet_does_not_fill_the_memory():
    workbook = Workbook()
    workbook.active.append(["Tag"])
    merged = b'</sheetData><mergeCells count="1"><mergeCell ref="A1:XFD1048576"/></mergeCells>'
    content = _with_part(bytes_of(workbook), SHEET, lambda xml: xml.replace(b"</sheetData>", merged))
    assert rows_of(content, "list.xlsx") == [["Tag"]]


def test_a_formula_without_a_value_is_marked_so_that_the_check_can_name_it():
    workbook = Workbook()
    workbook.active.append(["Tag", "Serial"])
    workbook.active.append(["SD1", "=A2&1"])
    assert rows_of(bytes_of(workbook), "list.xlsx")[1] == [
        "SD1",
        f"{UNREADABLE}The cell holds the formula '=A2&1' without a value. Open the file, paste the value in its place "
        "and save it.",
    ]


def test_a_formula_is_read_by_the_value_last_calculated():
    workbook = Workbook()
    workbook.active.append(["Tag", "Serial"])
    workbook.active.append(["SD1", "=1+1"])
    content = _with_part(bytes_of(workbook), SHEET, lambda xml: re.sub(rb"<v ?/>|<v></v>", b"<v>2</v>", xml))
    sheet = read_file("list.xlsx", content, 20)[0]
    assert sheet.rows[1] == [2, ["SD1", "2"]]
    assert sheet.remarks == ["1 cells hold formulas; their values as last calculated were read."]


def test_an_error_value_is_marked():
    workbook = Workbook()
    workbook.active.append(["Tag", "#N/A"])
    assert rows_of(bytes_of(workbook), "list.xlsx")[0][1].endswith("Correct it in the file.")


def _with_part(content, name, change):
    """The workbook with one of its parts changed."""
    file = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.namelist():
            new.writestr(part, change(old.read(part)) if part == name else old.read(part))
    return file.getvalue()


def _with_macros():
    file = io.BytesIO(xlsx_of(("SD1",)))
    with zipfile.ZipFile(file, "a") as archive:
        archive.writestr("xl/vbaProject.bin", b"x")
    return file.getvalue()


def _bomb():
    return _with_part(xlsx_of(("SD1",)), SHEET, lambda xml: xml + b"<!--" + b" " * 90_000_000 + b"-->")


def _with_entities():
    return _with_part(xlsx_of(("SD1",)), SHEET, lambda xml: b'<!DOCTYPE x [<!ENTITY a "aaa">]>' + xml)


@pytest.mark.parametrize(
    ("name", "content", "sentence"),
    [
        ("list.csv", b"", "'list.csv' is empty (0 bytes)."),
        ("list.csv", b"\xef\xbb\xbf\r\n\r\n", "'list.csv' has no row with anything in it."),
        ("list.csv", b"x" * (21 * 1024 * 1024), "'list.csv' has 21 MB; the limit is 20 MB."),
        ("list.csv", xlsx_of(("SD1",)), "'list.csv' is a spreadsheet by its content. Name it with .xlsx"),
        ("list.xlsx", b"Tag,Kind\nSD1,smoke", "'list.xlsx' is plain text by its content. Name it with .csv"),
        ("list.xlsx", b"%PDF-1.7\n...", "'list.xlsx' is a PDF document by its content."),
        ("list.xlsx", b"PK\x03\x04broken", "'list.xlsx' is of a type that the register does not know by its content."),
        (
            "list.xlsx",
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"EncryptedPackage".decode().encode("utf-16-le"),
            "'list.xlsx' is protected by a password. Save it without one",
        ),
        ("list.xls", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"Workbook", "Save it as .xlsx without macros, or as .csv."),
        ("list.xlsm", _with_macros(), "is a spreadsheet with macros (.xlsm). Save it as .xlsx without macros"),
        ("list.xlsx", _with_macros(), "is a spreadsheet with macros (.xlsm). Save it as .xlsx without macros"),
        ("list.xlsx", _bomb(), "far more than a device list needs."),
        ("list.xlsx", _with_entities(), "brings definitions that no spreadsheet needs."),
        ("list.csv", b"<html><body>x</body></html>", "'list.csv' is a web page by its content."),
        ("list.csv", bytes(range(256)) * 8, "by its content. A device list is a .xlsx or a .csv file."),
    ],
)
def test_other_files_are_refused_with_what_to_do(name, content, sentence):
    with pytest.raises(NotReadable) as refusal:
        read_file(name, content, 20)
    assert sentence in str(refusal.value)


def test_a_damaged_spreadsheet_is_refused():
    content = xlsx_of(*[(f"SD{number}", "smoke detector") for number in range(200)])
    broken = _with_part(content, SHEET, lambda xml: xml[: len(xml) // 2])
    with pytest.raises(NotReadable, match="is damaged or not a usual .xlsx file"):
        read_file("list.xlsx", broken, 20)


def test_more_rows_than_a_list_may_have_are_refused():
    with pytest.raises(NotReadable, match="more than 20000 rows"):
        read_file("list.csv", b"Tag\n" + b"x\n" * 20_001, 20)
