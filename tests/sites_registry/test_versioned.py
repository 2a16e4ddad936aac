"""The count of changes that tells a stale edit: raised by saving, in one place."""

import re
from pathlib import Path

import pytest
from django.contrib.auth.models import update_last_login

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def hall(town):
    return town.hall


def test_every_save_of_a_stored_record_counts(hall):
    before = hall.row_version
    hall.save()
    hall.refresh_from_db()
    assert hall.row_version == before + 1


def test_a_save_of_named_fields_counts_and_stores_the_count(hall):
    before = hall.row_version
    hall.save(update_fields=["name"])
    hall.refresh_from_db()
    assert hall.row_version == before + 1


def test_logging_in_is_no_edit_of_a_person(town):
    person = town.people["engineer"]
    before = person.row_version
    update_last_login(None, person)
    person.refresh_from_db()
    assert person.last_login is not None
    assert person.row_version == before


def test_no_other_place_sets_the_count():
    sets = re.compile(r"\brow_version\s*(\+?=)(?!=)")
    found = {
        str(path.relative_to(ROOT))
        for app in ("sites_registry", "zones", "inspections")
        for path in (ROOT / app).rglob("*.py")
        if "migrations" not in path.parts and sets.search(path.read_text())
    }
    # A form saves on top of what is stored, so that its save counts from there.
    assert found == {"sites_registry/models/versioned.py", "sites_registry/forms/base.py"}
