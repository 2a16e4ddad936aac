"""What the database itself refuses: rows of evidence are neither changed nor taken out, by raw SQL either."""

import pytest
from django.core.management import call_command
from django.db import IntegrityError, connection, transaction

from inspections.models import Certificate, LogEntry, Result, SettingFound, SignOff, Visit
from sites_registry.append_only import held_tables, laid, lift, tables_not_held
from tests import builders
from zones.models import AsInstalledRevision, Position, RevisionAct


@pytest.fixture
def rows(town):
    """One row at least of each table that is asked below."""
    builders.make_log_entry(town.hall)
    builders.make_setting_found()
    return town


def run(statement):
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(statement)
        return cursor.rowcount


EVIDENCE = {
    Result: "outcome = 'fail'",
    LogEntry: "what = 'Another.'",
    Certificate: "digest_sha256 = 'another'",
    SettingFound: "name = 'Another'",
    Visit.history.model: "notes = 'Another.'",
    Position.history.model: "tag = 'X9'",
}


@pytest.mark.parametrize("model", EVIDENCE, ids=lambda model: model.__name__)
def test_a_row_of_evidence_is_not_changed(rows, model):
    with pytest.raises(IntegrityError, match=r"are evidence: they are not changed. A correction is a further row."):
        run(f"UPDATE {model._meta.db_table} SET {EVIDENCE[model]}")  # noqa: S608


@pytest.mark.parametrize("model", EVIDENCE, ids=lambda model: model.__name__)
def test_a_row_of_evidence_is_not_taken_out(rows, model):
    before = model._base_manager.count()
    with pytest.raises(IntegrityError, match="are evidence: they are not taken out"):
        run(f"DELETE FROM {model._meta.db_table}")  # noqa: S608
    assert before and model._base_manager.count() == before


def test_a_further_row_is_always_taken(rows):
    assert builders.make_result(builders.make_test_point()).pk


def test_a_certificate_leaves_force_once_and_keeps_the_reason(rows):
    table, revoked = Certificate._meta.db_table, "state = 'revoked', revoked_reason = 'Wrong.', revoked_at = issued_at"
    assert run(f"UPDATE {table} SET {revoked}, revoked_by_id = issued_by_id") == 1  # noqa: S608
    for back in ("state = 'in_force'", "state = 'superseded'", "revoked_reason = 'Other.'", "revoked_at = NULL"):
        with pytest.raises(IntegrityError, match="are evidence"):
            run(f"UPDATE {table} SET {back}")  # noqa: S608


def test_what_is_no_evidence_changes_as_before(rows):
    table, number = Position._meta.db_table, Position.objects.count()
    assert run(f"UPDATE {table} SET place = 'Elsewhere'") == number  # noqa: S608


def test_every_table_of_evidence_is_held_after_the_migrations(db):
    asked = {
        Result,
        LogEntry,
        Certificate,
        SignOff,
        SettingFound,
        AsInstalledRevision,
        RevisionAct,
        Visit.history.model,
    }
    assert {model._meta.db_table for model in asked} <= set(held_tables()) == set(laid(connection).values())
    assert tables_not_held(connection) == []


def test_a_table_that_lost_its_triggers_is_named_and_held_again_after_the_next_migration(db):
    lift(connection, {Result._meta.db_table})
    assert tables_not_held(connection) == [Result._meta.db_table]
    call_command("migrate", verbosity=0)
    assert tables_not_held(connection) == []
