"""One writer of spreadsheets: cells that a program would take for a formula are neutralised; nothing else changes."""

import csv
import io
import re
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from django.conf import settings
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import load_workbook

from sites_registry.spreadsheets import Sheet, csv_of, file_name_of, neutral, not_neutral, workbook_of

FORMULA = "=HYPERLINK(A1)"


def cells_of(workbook, sheet=0):
    return [list(row) for row in load_workbook(io.BytesIO(workbook)).worksheets[sheet].values]


@pytest.mark.parametrize("text", ["=1+1", "+44 1632", "-5", "@SUM(A1)", "\tx", "\r=1"])
def test_a_text_that_begins_like_a_formula_is_neutralised(text):
    """The characters are those of the issue and of common practice against CSV injection."""
    assert neutral(text).startswith("'")


@pytest.mark.parametrize("value", ["A-0", "Z3-SD-01", "", 5, -5, Decimal("-0.5"), date(2026, 3, 2)])
def test_other_values_pass_unchanged(value):
    assert neutral(value) == value


def test_nothing_is_an_empty_cell():
    assert neutral(None) == ""


def test_characters_that_no_sheet_holds_are_dropped():
    assert neutral("A\x00B\x1d") == "AB"


def test_a_file_is_named_as_a_person_would():
    assert (
        file_name_of("Recall", "Optical detector D/24", "", date(2026, 3, 2))
        == "Recall_Optical-detector-D-24_2026-03-02"
    )


# Any text but surrogates and characters that no sheet holds; what a formula begins with comes often.
ANY = st.characters(exclude_categories=["Cs"], exclude_characters=[chr(n) for n in range(32) if n not in (9, 10, 13)])
STARTS = ["=", "+", "-", "@", "'=", "''+", "\t", "\r", "#N/A", "'", "_x000D_", "sep="]
TEXT = st.text(ANY, max_size=30) | st.tuples(st.sampled_from(STARTS), st.text(ANY, max_size=20)).map("".join)


@given(TEXT)
def test_a_table_that_comes_back_is_read_as_it_was_given_out(text):
    assert not_neutral(neutral(text)) == text


@given(st.text(max_size=30) | TEXT)
def test_no_text_begins_like_a_formula(text):
    assert not neutral(text).startswith(("=", "+", "-", "@", "\t", "\r"))


def test_no_part_of_a_workbook_is_taken_for_a_formula():
    sheet = Sheet(headings=(FORMULA, "B"), facts=((FORMULA, FORMULA),), rows=[(FORMULA, "x")])
    roomy = Sheet(title="Second", headings=("A",), rows=[(FORMULA,)], is_roomy=True)
    book = workbook_of(sheet, roomy)
    assert all(not str(text).startswith("=") for number in (0, 1) for row in cells_of(book, number) for text in row)


def test_no_part_of_a_csv_is_taken_for_a_formula():
    """The headings too: those of a list that was brought in are somebody else's."""
    rows = list(csv.reader(io.StringIO(csv_of([FORMULA], [[FORMULA]]).decode("utf-8-sig"))))
    assert rows == [[f"'{FORMULA}"], [f"'{FORMULA}"]]


def test_digits_become_numbers_only_in_the_columns_of_numbers_and_without_a_loss():
    rows = [("7", "7"), ("007", "007"), ("", "")]
    book = workbook_of(Sheet(headings=("Zone", "Serial"), rows=rows, numbers=(0,)))
    assert [row[0] for row in cells_of(book)[1:3]] == [7, "007"]
    assert [row[1] for row in cells_of(book)[1:3]] == ["7", "007"]


@pytest.mark.parametrize("is_roomy", [True, False])
def test_a_text_like_an_error_value_stays_a_text(is_roomy):
    book = load_workbook(io.BytesIO(workbook_of(Sheet(headings=("A",), rows=[("#N/A",)], is_roomy=is_roomy))))
    assert (book.worksheets[0]["A2"].value, book.worksheets[0]["A2"].data_type) == ("#N/A", "s")


def test_facts_stand_above_the_table():
    book = workbook_of(Sheet(headings=("Tag",), facts=(("Building", "Mill House"),), rows=[("SD1",)]))
    assert [row[0] for row in cells_of(book)] == ["Building", None, "Tag", "SD1"]


def test_no_other_module_writes_a_spreadsheet():
    root = Path(settings.BASE_DIR)
    writers = [
        str(path.relative_to(root))
        for app in ("sites_registry", "zones", "inspections")
        for path in (root / app).rglob("*.py")
        if re.search(r"csv\.writer|\bWorkbook\(", path.read_text())
    ]
    assert writers == ["sites_registry/spreadsheets.py"]
