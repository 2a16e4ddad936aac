"""How a test changes what the database refuses to change: as somebody would who owns the database."""

from contextlib import contextmanager

from django.contrib.auth.models import Permission
from django.contrib.contenttypes.models import ContentType
from django.core.management.color import no_style
from django.db import connection, transaction
from django.test import TransactionTestCase

from sites_registry.append_only import lay, lift


@contextmanager
def evidence_lifted(*tables):
    """Within it rows of evidence (of some tables, else of all) are changed and taken out as any others."""
    if connection.vendor == "postgresql":  # there a table cannot be altered while rows wait for a deferred check
        _role_of_triggers("replica")
    else:
        lift(connection, tables)
    try:
        with transaction.atomic():  # so that a refusal leaves a connection that can be asked again
            yield
    finally:
        if connection.vendor == "postgresql":
            _role_of_triggers("origin")
        else:
            lay(connection, tables)


def _role_of_triggers(name):
    with connection.cursor() as cursor:
        cursor.execute(f"SET session_replication_role = {name}")


def rewrite(rows, **changes):
    """Update rows of evidence, as no service of the register does."""
    with evidence_lifted(rows.model._meta.db_table):
        rows.update(**changes)


def emptied_after_a_test_that_commits():
    """Evidence too; kinds of record and permissions stay, which Django would take out and make anew each time."""
    stay = {ContentType._meta.db_table, Permission._meta.db_table}

    def empty(self):
        tables = [name for name in connection.introspection.django_table_names(only_existing=True) if name not in stay]
        with evidence_lifted():
            connection.ops.execute_sql_flush(connection.ops.sql_flush(no_style(), tables))

    TransactionTestCase._fixture_teardown = empty
