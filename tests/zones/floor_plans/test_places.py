"""Places on a plan: all of a change or none, nobody's overwritten unseen, a new revision confirmed by a person."""

import pytest

from tests import builders
from tests.zones.floor_plans.plans import add_plan, put
from zones.floor_plans.places import Move, change_places, confirm_places, moves_of_run
from zones.floor_plans.rasterising import PlanRefused
from zones.models import PlanPlace

pytestmark = pytest.mark.django_db


@pytest.fixture
def storey(town):
    """Ten detectors of storey 1, `SD1` to `SD10`, and its plan."""
    town.detectors = [
        builders.make_position(town.hall, tag=f"SD{number}", storey="1", walking_order=99 - number)
        for number in range(21, 31)
    ]
    town.plan = add_plan(town)
    return town


def places(plan):
    return {place.position.tag: (round(place.x, 6), round(place.y, 6)) for place in plan.places.all()}


def change(town, *moves, by="engineer"):
    return change_places(plan=town.plan, by=town.people[by], moves=list(moves))


def test_a_run_is_spread_by_number_along_its_line(storey):
    first, last = storey.detectors[0], storey.detectors[4]
    change(storey, *moves_of_run(storey.plan, first_pk=first.pk, last_pk=last.pk, points=[(0.1, 0.5), (0.9, 0.5)]))
    assert places(storey.plan) == {
        "SD21": (0.1, 0.5),
        "SD22": (0.3, 0.5),
        "SD23": (0.5, 0.5),
        "SD24": (0.7, 0.5),
        "SD25": (0.9, 0.5),
    }


def test_a_run_named_from_its_end_begins_there(storey):
    first, last = storey.detectors[1], storey.detectors[0]
    change(storey, *moves_of_run(storey.plan, first_pk=first.pk, last_pk=last.pk, points=[(0, 0), (1, 1)]))
    assert places(storey.plan) == {"SD22": (0, 0), "SD21": (1, 1)}


def test_who_did_not_see_where_it_is_now_is_told_and_nothing_changes(storey):
    first, second = storey.detectors[:2]
    (place,) = change(storey, Move(first.pk, 0.2, 0.2))
    change(storey, Move(first.pk, 0.3, 0.3, place.row_version), by="office")
    with pytest.raises(PlanRefused, match="SD21 was placed, moved or taken off by somebody else"):
        change(storey, Move(second.pk, 0.5, 0.5), Move(first.pk, 0.9, 0.9, place.row_version))
    assert places(storey.plan) == {"SD21": (0.3, 0.3)}


def test_a_place_taken_off_and_made_again_is_not_taken_for_the_former(storey):
    detector = storey.detectors[0]
    (place,) = change(storey, Move(detector.pk, 0.2, 0.2))
    change(storey, Move(detector.pk, seen_version=place.row_version))
    change(storey, Move(detector.pk, 0.3, 0.3))
    with pytest.raises(PlanRefused, match="by somebody else meanwhile"):
        change(storey, Move(detector.pk, 0.9, 0.9, place.row_version))


def test_a_position_of_another_storey_is_not_placed(storey):
    with pytest.raises(PlanRefused, match="is not of the storey of this plan"):
        change(storey, Move(builders.make_position(storey.hall, storey="2").pk, 0.5, 0.5))


def test_a_place_beside_the_plan_is_refused_with_its_figures(storey):
    with pytest.raises(PlanRefused, match=r"SD21 would lie beside the plan \(120 %, 50 %\)"):
        change(storey, Move(storey.detectors[0].pk, 1.2, 0.5))


def test_what_was_taken_off_stays_in_the_history(storey):
    detector = storey.detectors[0]
    (place,) = change(storey, Move(detector.pk, 0.2, 0.2))
    change(storey, Move(detector.pk, seen_version=place.row_version), by="office")
    assert not storey.plan.places.exists()
    gone = PlanPlace.history.get(history_type="-")
    assert (gone.x, gone.history_user) == (0.2, storey.people["office"])


def test_places_are_carried_over_to_a_new_revision_and_confirmed_by_a_person(storey):
    first, second = storey.detectors[:2]
    change(storey, Move(first.pk, 0.2, 0.2), Move(second.pk, 0.4, 0.4))
    put(storey.plan, builders.make_position(storey.hall, storey="2"), storey.people["office"])  # moved there since
    newer = add_plan(storey, mark="B")
    assert places(newer) == {"SD21": (0.2, 0.2), "SD22": (0.4, 0.4)}
    assert newer.places.to_confirm().count() == 2
    assert confirm_places(plan=newer, by=storey.people["engineer"], position_pks=[first.pk]) == 1
    assert [place.position for place in newer.places.to_confirm()] == [second]
    change_places(plan=newer, by=storey.people["engineer"], moves=[Move(second.pk, 0.6, 0.6, 0)])
    assert not newer.places.to_confirm().exists()


def test_nothing_is_placed_on_a_revision_that_is_not_in_force(storey):
    add_plan(storey, mark="B")
    with pytest.raises(PlanRefused, match="is not in force any more"):
        change(storey, Move(storey.detectors[0].pk, 0.2, 0.2))
