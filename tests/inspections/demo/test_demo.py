"""The demo loads through the services, shows every state, and is the same for the same day."""

from dataclasses import replace
from datetime import date

import pytest
from django.core.management import CommandError, call_command
from django.db import transaction

from inspections.certificates.issue import is_intact
from inspections.demo import scenario
from inspections.models import Certificate, Defect, Result, Visit
from sites_registry.models import Building, Person
from tests.inspections.demo.test_dates import EVERY_STORY
from zones.wiring.state import state_of_building

DAY = "2026-11-25"


@pytest.fixture
def load(db, monkeypatch, capsys):
    """Loads these sites and returns what the command printed."""

    def run(*sites, **options):
        monkeypatch.setattr(scenario, "SITES", sites)
        call_command("load_demo", today=date.fromisoformat(DAY), **options)
        return capsys.readouterr().out

    return run


def test_a_building_is_loaded_with_its_years_of_visits_and_certificates(load):
    long_ago = replace(EVERY_STORY, commissioned_months_ago=26, inspections_months_ago=(14, 2), story=())
    assert "1 building, " in load(long_ago)
    assert Visit.objects.finished().filter(kind="inspection").count() == 2
    assert Certificate.objects.in_force().count() == 2
    assert all(is_intact(certificate) for certificate in Certificate.objects.all())


@pytest.fixture
def ropewalk_hall(shared):
    shared.built(load_ropewalk_hall)


def load_ropewalk_hall():
    sites = [site for site in scenario.SITES if site.name == "Ropewalk Hall"]
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(scenario, "SITES", sites)
        call_command("load_demo", today=date.fromisoformat(DAY))


def test_a_closed_defect_was_closed_by_a_result(ropewalk_hall):
    assert Defect.objects.get().closed_by_result.outcome == "pass"


def test_what_changed_since_the_revision_is_wired_to_the_last_core(ropewalk_hall):
    building = Building.objects.get()
    assert state_of_building(building).is_complete
    assert building.positions.in_use().filter(tag="SD90").exists()
    assert building.positions.exclude(retired_on=None).exists()


def test_revoked_and_superseded_ones_are_there(load):
    load(*(replace(EVERY_STORY, name=word, story=(word,)) for word in ("revoked", "superseded_again")))
    assert set(Certificate.objects.values_list("state", flat=True)) == {"in_force", "superseded", "revoked"}


def test_the_same_day_gives_the_same_readings_again(load):
    drawn = []
    for _ in range(2):
        with transaction.atomic():
            load(EVERY_STORY)
            drawn.append(list(Result.objects.order_by("pk").values_list("client_uuid", "outcome", "reading")))
            transaction.set_rollback(True)
    assert len(drawn[0]) > 50
    assert drawn[0] == drawn[1]


def test_it_loads_into_an_empty_register_only(load, town):
    with pytest.raises(CommandError, match="has buildings already"):
        load(EVERY_STORY)
    assert Building.objects.count() == 2


def test_with_if_empty_it_leaves_a_register_with_buildings_alone(load, town):
    assert "left as it is" in load(EVERY_STORY, if_empty=True)
    assert not Person.objects.filter(email="office@skellmere.example").exists()


def test_the_log_ins_are_printed_one_per_role(load):
    printed = load(log_ins=True)
    assert [line.split("@")[0].strip() for line in printed.splitlines()[1:]] == ["office", "engineer", "manager"]
