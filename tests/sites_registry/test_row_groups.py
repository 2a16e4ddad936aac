"""What rows have in common is said once above them."""

from sites_registry.row_groups import in_groups


def said(*rows):
    """Of each row: its head in brackets, and itself where it says what it shares."""
    return [(head, row if says_it else "") for row, head, says_it in in_groups(rows, lambda row: row or None)]


def test_three_rows_that_share_it_stand_under_a_head():
    assert said("a", "a", "a") == [("a", ""), (None, ""), (None, "")]


def test_fewer_say_it_themselves():
    assert said("a", "a") == [(None, "a"), (None, "a")]


def test_another_head_stands_where_three_rows_share_something_else():
    heads = [head for head, _ in said("a", "a", "a", "b", "b", "b")]
    assert heads == ["a", None, None, "b", None, None]


def test_one_row_that_differs_says_so_and_the_head_stays_for_those_after_it():
    rows = said("a", "a", "a", "b", "a", "a")
    assert [row for _, row in rows] == ["", "", "", "b", "", ""]
    assert [head for head, _ in rows] == ["a", None, None, None, None, None]


def test_a_row_with_nothing_to_say_ends_no_group():
    assert said("a", "a", "", "a", "") == [("a", ""), (None, ""), (None, ""), (None, ""), (None, "")]


def test_no_rows_have_no_heads():
    assert said() == []
