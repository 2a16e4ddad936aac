"""Tags in the order in which people count, as a text that any database sorts."""

import pytest

from zones.engineering.natural_order import natural_key


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("M2", "M00000002"),
        ("m10", "M00000010"),
        ("X3:5", "X00000003:00000005"),
        ("123456789", "123456789"),
        ("PE", "PE"),
        ("", ""),
        ("x" * 200, "X" * 120),
    ],
)
def test_each_whole_number_is_padded_and_the_rest_in_capitals(text, key):
    assert natural_key(text) == key


def test_tags_stand_as_people_count_whatever_their_capitals():
    assert sorted(["M10", "m2", "M2.10", "M2.9", "L11"], key=natural_key) == ["L11", "m2", "M2.9", "M2.10", "M10"]
