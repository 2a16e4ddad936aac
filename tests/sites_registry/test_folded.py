"""Codes as they are misread. The database must fold as Python does: the index holds what the database made."""

import pytest
from django.db.models import Value

from sites_registry.folded import Folded, folded, near_misses
from sites_registry.models import Building
from tests import builders


@pytest.mark.parametrize(
    ("one", "other"),
    [("AK-0001", "ak0001"), ("AK-0001", "AK-OOO1"), ("P1", "PI"), ("P1", "p l"), ("24/12", "24.12"), ("SD_4", "SD:4")],
)
def test_what_is_misread_folds_the_same(one, other):
    assert folded(one) == folded(other)


@pytest.mark.parametrize(("one", "other"), [("AK-0001", "AK-0002"), ("P1", "P11"), ("S5", "SS")])
def test_what_differs_stays_different(one, other):
    assert folded(one) != folded(other)


@pytest.mark.django_db
@pytest.mark.parametrize("text", ["AK-0001", "ol-IL o", "24W06", "a/b_c:d.e", "50%", "x'y", "weiß-1", ""])
def test_the_database_folds_as_python_does(text):
    builders.make_building()
    assert Building.objects.values_list(Folded(Value(text)), flat=True)[0] == folded(text)


@pytest.mark.parametrize(
    "typed",
    ["AK-0002", "AK-001", "AK-00011", "KA-0001", "AK0001", "AB-0001", "AK-O0O1"],
    ids=["wrong", "missing", "too many", "exchanged", "no hyphen", "wrong letter", "O for 0"],
)
def test_one_character_off_is_a_near_miss(typed):
    assert folded("AK-0001") in near_misses(typed)


@pytest.mark.parametrize("typed", ["AK-0023", "BX-0001", "AK-01", "1000-KA"])
def test_two_characters_off_is_none(typed):
    assert folded("AK-0001") not in near_misses(typed)


@pytest.mark.parametrize(("text", "most"), [("", 0), ("-- ", 0), ("P1", 1), ("x" * 41, 1), ("x" * 40, 3_000)])
def test_guesses_are_limited(text, most):
    assert len(near_misses(text)) <= most
