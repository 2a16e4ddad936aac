"""Rules of a record that the database holds, asked before it does, in one question."""

import pytest
from django.core.exceptions import ValidationError

from tests import builders


@pytest.fixture
def building(db):
    """Its model has two check constraints, and a name that is unique for the client."""
    return builders.make_building()


def faults(building, exclude=None):
    with pytest.raises(ValidationError) as told:
        building.validate_constraints(exclude)
    return told.value.messages


def test_rules_that_hold_are_asked_in_one_question(building, django_assert_num_queries):
    with django_assert_num_queries(2 + 2):  # within a savepoint; then whether the name is taken
        building.validate_constraints()


def test_each_rule_that_is_broken_is_told_in_its_words(building):
    building.inspection_interval_months, building.country = 0, "xx"
    assert faults(building) == [
        "The interval is at least one month.",
        "Choose the country from the list, or leave it empty.",
    ]


def test_a_rule_on_a_field_that_is_left_out_is_not_asked_and_the_others_are(building):
    building.inspection_interval_months, building.country = 0, "xx"
    assert faults(building, {"country"}) == ["The interval is at least one month."]
    building.validate_constraints({"country", "inspection_interval_months"})


def test_a_name_that_is_taken_is_told_where_all_rules_hold(building):
    other = builders.make_building(building.client)
    other.name = building.name
    assert faults(other) == ["This client has a building of this name already."]


def test_rules_are_asked_anew_after_they_held(building):
    building.validate_constraints()
    building.country = "xx"
    assert faults(building) == ["Choose the country from the list, or leave it empty."]
