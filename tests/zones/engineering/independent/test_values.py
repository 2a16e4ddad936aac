"""The register against values that others found: every one of them, and how many there are."""

from collections import Counter

import pytest

from tests.zones.engineering.independent.value import agrees
from tests.zones.engineering.independent.values import every_value

VALUES = every_value()


@pytest.mark.parametrize("value", VALUES, ids=lambda value: f"{value.tag} {value.what}")
def test_the_register_computes_what_others_found(value):
    assert agrees(value), f"{value.what}: {value.ours:.6g} here, {value.theirs:g} in {value.source} [{value.tag}]"


def test_at_least_150_values_that_are_computed_were_published_by_others_each_with_its_source(capsys):
    tags = Counter(value.tag for value in VALUES)
    published, looked_up = sum(value.is_published for value in VALUES), sum(value.looked_up for value in VALUES)
    with capsys.disabled():
        print(
            f"\nindependent values: {published} computed and published, {looked_up} of tables that the register has "
            f"itself, {tags['calc']} worked by hand in the handbook"
        )
    assert published >= 150  # tables copied into the register are not among them
    assert set(tags) <= {"S", "S2", "calc"}  # from memory [M] and common practice [P] prove nothing
    assert all(value.source for value in VALUES)
    assert len({(value.what, value.source) for value in VALUES}) == len(VALUES)
