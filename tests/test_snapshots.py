"""What is put back instead of built again is what was built, and no test sees what another left in it."""

from datetime import timedelta

import pytest
from django.db import transaction
from django.utils import timezone

from sites_registry.models import Building
from tests import builders
from tests.conftest import build_town
from tests.snapshots import Shared, rows_of_the_register
from tests.zones.wiring.wired import wire_town
from zones.models import Position

pytestmark = pytest.mark.django_db


@pytest.fixture
def own():
    return Shared()


@pytest.fixture
def undone():
    """`undone(act)`: what `act()` returns, once with nothing of it left in the register."""

    def run(act):
        with transaction.atomic():
            result = act()
            transaction.set_rollback(True)
        return result

    return run


def town_in(own):
    return own.built(build_town), rows_of_the_register()


def test_the_second_town_has_the_rows_of_the_first(own, undone):
    assert undone(lambda: town_in(own)[1]) == town_in(own)[1]


def test_what_a_test_changes_in_its_town_is_not_in_the_next(own, undone):
    def change():
        town = own.built(build_town)
        town.hall.name = "Another name"
        town.hall.save()
        town.people.pop("office")
        builders.make_building(town.quay_housing)

    undone(change)
    town = own.built(build_town)
    assert (town.hall.name, len(town.people), Building.objects.count()) == ("Ropewalk Hall", 4, 2)


def test_what_is_built_on_a_town_comes_with_what_it_changed_in_it(own, undone):
    def wired():
        town = own.built(build_town)
        own.built(wire_town, town)
        return list(Position.objects.order_by("pk").values()), rows_of_the_register()

    assert undone(wired) == undone(wired)


def test_where_something_else_is_on_record_it_is_built_afresh(own, undone):
    undone(lambda: own.built(build_town))
    stranger = builders.make_building(name="In the way")
    own.built(build_town)
    assert set(Building.objects.values_list("name", flat=True)) == {stranger.name, "Ropewalk Hall", "Mill House"}


@pytest.mark.parametrize("later", [timedelta(hours=1), timedelta(days=1), timedelta(hours=-1)])
def test_a_town_is_never_of_another_hour(own, undone, time_machine, later):
    undone(lambda: own.built(build_town))
    time_machine.move_to(timezone.now() + later)
    started = timezone.now()
    certificate = own.built(build_town).certificate
    assert started <= certificate.issued_at <= timezone.now()
