"""What a scanner reads: plain serials and GS1 element strings.

Sources: GS1 General Specifications, from memory: identifiers (01), (10), (11), (21), (8004) also in handbook process.md
§8; the check digit example 0 9501101 53000 3 is the specification's own (prefix 950 is kept for examples).
"""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from zones.engineering.unit_labels import LabelError, UnitLabel, has_valid_check_digit, read_label

TODAY = date(2026, 3, 2)
TRADE_ITEM = "09501101530003"


@pytest.mark.parametrize("serial", ["A-0", "AK-7 (2)", "2103-11-99", "01", "0123456789012345", "21ABC", "(spare) 7"])
def test_a_plain_serial_is_taken_as_it_is(serial):
    assert read_label(f"  {serial}\r\n", TODAY) == UnitLabel(serial=serial)


def test_elements_in_brackets_are_read():
    label = read_label(f"(01){TRADE_ITEM}(11)250314(10)B7(21)A-0", TODAY)
    assert (label.serial, label.batch, label.made_on) == ("A-0", "B7", "2025-03-14")


def test_a_label_without_batch_and_date_claims_neither():
    assert read_label("(21)A-0", TODAY) == UnitLabel(serial="A-0", batch="", made_on="")


def test_a_scan_with_separators_is_read():
    label = read_label(f"]d201{TRADE_ITEM}21A10-0\x1d10B7", TODAY)
    assert (label.serial, label.batch) == ("A10-0", "B7")


def test_a_scan_without_carrier_is_known_by_its_trade_item():
    label = read_label(f"01{TRADE_ITEM}1125031421A-0", TODAY)
    assert (label.serial, label.made_on) == ("A-0", "2025-03-14")


def test_a_wrong_check_digit_makes_it_a_plain_serial():
    assert read_label("010950110153000421A-0", TODAY).serial == "010950110153000421A-0"


def test_the_date_stands_for_a_batch_that_is_not_given():
    assert read_label("(21)A-0(11)250314", TODAY).batch_or_date_code == "2025-03-14"
    assert read_label("(21)A-0(11)250314(10)B7", TODAY).batch_or_date_code == "B7"


@pytest.mark.parametrize(
    ("digits", "made_on"),
    [("250300", "2025-03"), ("760101", "2076-01-01"), ("770101", "1977-01-01"), ("251399", "251399")],
)
def test_dates_of_six_digits(digits, made_on):
    """GS1 General Specifications 7.12: more than 50 years ahead belongs to the century before; day 00 is open."""
    assert read_label(f"(21)A-0(11){digits}", TODAY).made_on == made_on


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (f"(01){TRADE_ITEM}(10)B7", "no serial (21)"),
        ("]d299XYZ", "is not known here"),
        ("]d20195011", "cut short"),
        (f"]C121{'A' * 25}", "the scanner left out the separators"),
    ],
)
def test_a_label_that_cannot_be_read_says_why(text, sentence):
    with pytest.raises(LabelError) as error:
        read_label(text, TODAY)
    assert sentence in str(error.value)


def test_check_digits():
    assert has_valid_check_digit(TRADE_ITEM)
    assert not has_valid_check_digit("09501101530004")


@given(st.text(max_size=80))
def test_any_text_is_read_or_refused_with_a_sentence(text):
    try:
        read_label(text, TODAY)
    except LabelError as error:
        assert str(error).endswith(".")
