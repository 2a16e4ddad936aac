"""Cells that a spreadsheet program would take for a formula are neutralised; nothing else changes."""

from datetime import date
from decimal import Decimal

import pytest

from sites_registry.spreadsheets import file_name_of, neutral


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
