"""Terminal designations (IEC 61666) and colour codes (IEC 60757), read as the standards write them."""

import pytest

from zones.engineering.designations import DesignationError, check_colour, colour_in_words, read_terminal_range


# IEC 60757 codes as listed in the handbook, process.md §2 (from memory there).
@pytest.mark.parametrize("code", ["BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "TQ", "GD", "SR"])
def test_every_code_of_the_standard_is_a_colour(code):
    assert check_colour(code.lower()) == code
    assert colour_in_words(code).isalpha()


@pytest.mark.parametrize("code", ["GNYE", "RDBU", "WHBN", "BKRDBU", "BKBNRDOG"])
def test_joined_codes_are_colours(code):
    assert check_colour(code) == code


def test_a_joined_code_reads_in_words():
    assert colour_in_words("GNYE") == "green-yellow"  # protective conductor, IEC 60445


@pytest.mark.parametrize(
    ("code", "sentence"),
    [
        ("BL", "'BL' is no colour code"),
        ("GNY", "'Y' is no colour code"),
        ("RDRD", "names a colour twice"),
        ("YEGN", "green-yellow is written GNYE"),
        ("BKBNRDOGYE", "joins 5 colours; at most 4"),
        ("", "is no colour code"),
    ],
)
def test_what_is_no_colour_is_told(code, sentence):
    with pytest.raises(DesignationError, match=sentence):
        check_colour(code)


@pytest.mark.parametrize("text", ["-X3:1…4", "X3:1-4", " -X3 : 1..4 ", "-X3:1...4", "-X3:1–4", "-X3:1,2,3,4"])
def test_a_run_is_read_however_it_is_written(text):
    run = read_terminal_range(text)
    assert (run.block, run.numbers) == ("X3", ("1", "2", "3", "4"))


@pytest.mark.parametrize(
    ("text", "count"),
    [("X3:1…500", 500), ("X3:1…400, 401…500", 500), ("X3:999999-999999", 1), (f"{'X' * 16}:{'1' * 16}", 1)],
)
def test_a_run_of_up_to_500_terminals_and_parts_of_up_to_16_characters_are_read(text, count):
    assert len(read_terminal_range(text).numbers) == count


def test_a_run_may_hold_letters_and_single_terminals():
    assert read_terminal_range("-X1:1…3, 7, PE").numbers == ("1", "2", "3", "7", "PE")
    assert read_terminal_range("-X3:5").numbers == ("5",)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("X3", "not understood"),
        (":5", "not understood"),
        ("X3:", "not understood"),
        ("X3:1,,2", "not understood"),
        ("X3:9…1", "runs backwards"),
        ("X3:1…3, 2", "names 2 twice"),
        ("X3:1…999999", "more than 500"),
        ("X3:1…400, 401…800", "more than 500"),
        ("X3:A B", "not understood"),
        ("X3:1…501", "more than 500"),
        ("X3:1…500, 501", "more than 500"),
        (f"{'X' * 17}:1", "not understood"),
        (f"X3:{'1' * 17}", "not understood"),
        ("X3:1…1000000", "not understood"),
    ],
)
def test_what_is_no_run_is_told(text, sentence):
    with pytest.raises(DesignationError, match=sentence):
        read_terminal_range(text)
