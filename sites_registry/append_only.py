"""Evidence adds up: its tables take further rows, and the database itself refuses to change or to take out a row.

A model says so with `may_change`: column → how it may change all the same (`ONCE`, `AT_WILL`, `leaving("in_force")`),
mostly none. Tables of histories are held whole. Triggers hold this, laid after each migration (SQLite makes a table
anew to alter it, and drops them) and lifted before one. Who owns the database can drop them: they stop mistakes, the
ledger shows the rest.
"""

import hashlib

from django.apps import apps
from django.db import connections, transaction
from django.db.models.signals import post_migrate, pre_migrate
from django.dispatch import receiver

NAME = "append_only_"
ONCE = "{same} OR {old} IS NULL OR CAST({old} AS text) = ''"
AT_WILL = "1 = 1"

_SAME = {"sqlite": "{new} IS {old}", "postgresql": "{new} IS NOT DISTINCT FROM {old}"}
_REFUSE = """
CREATE OR REPLACE FUNCTION append_only_refuse() RETURNS trigger LANGUAGE plpgsql AS
$$ BEGIN RAISE EXCEPTION USING MESSAGE = TG_ARGV[0], ERRCODE = 'restrict_violation'; END $$
"""


def leaving(value):
    """A state that may be left, never entered again."""
    return f"{{same}} OR {{old}} = '{value}'"


def held_tables():
    """Table → column → how it may change, of every table whose rows are evidence."""
    tables = {}
    for model in apps.get_models():
        if hasattr(model, "may_change"):
            columns = {model._meta.get_field(name).column: rule for name, rule in model.may_change.items()}
            tables[model._meta.db_table] = columns
        elif hasattr(model, "history_object"):
            tables[model._meta.db_table] = {}
    return tables


def triggers(connection, tables=None):
    """Name → (table, statement that makes it), for the tables and columns that are there now."""
    wanted = {}
    held = held_tables()
    with connection.cursor() as cursor:
        there = set(connection.introspection.table_names(cursor))
        for table in there.intersection(tables or held, held):
            # Django's own description of a table parses its whole text.
            cursor.execute(f"SELECT * FROM {table} LIMIT 0")  # noqa: S608 a table of ours
            columns = [column[0] for column in cursor.description]
            for event, condition, words in _rules(connection.vendor, table, columns, held[table]):
                name = NAME + hashlib.sha256(f"{table}{event}{condition}{words}".encode()).hexdigest()[:16]
                wanted[name] = (table, _statement(connection.vendor, name, table, event, condition, words))
    return wanted


def _rules(vendor, table, columns, may_change):
    stays = f"Rows of {table} are evidence: they are not"
    differs = [
        f"NOT ({may_change.get(column, '{same}')})".format(
            same=_SAME[vendor].format(new=f'NEW."{column}"', old=f'OLD."{column}"'), old=f'OLD."{column}"'
        )
        for column in columns
    ]
    yield "UPDATE", " OR ".join(differs), f"{stays} changed. A correction is a further row."
    yield "DELETE", "", f"{stays} taken out. What is wrong is corrected by a further row."
    if vendor == "postgresql":
        yield "TRUNCATE", "", f"{stays} taken out. What is wrong is corrected by a further row."


def _statement(vendor, name, table, event, condition, words):
    when = f"WHEN ({condition})" if condition else ""
    if vendor == "sqlite":
        return f"CREATE TRIGGER {name} BEFORE {event} ON {table} {when} BEGIN SELECT RAISE(ABORT, '{words}'); END"
    each = "STATEMENT" if event == "TRUNCATE" else "ROW"
    return (
        f"CREATE TRIGGER {name} BEFORE {event} ON {table} FOR EACH {each} {when} "
        f"EXECUTE FUNCTION append_only_refuse('{words}')"
    )


def laid(connection):
    """Name → table of the triggers that are in the database."""
    question = {
        "sqlite": "SELECT name, tbl_name FROM sqlite_master WHERE type = 'trigger' AND name LIKE %s",
        "postgresql": (
            "SELECT tgname, relname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid "
            "WHERE tgname LIKE %s AND tgenabled <> 'D' AND pg_table_is_visible(pg_class.oid)"
        ),
    }
    with connection.cursor() as cursor:
        cursor.execute(question[connection.vendor], [f"{NAME}%"])
        return dict(cursor.fetchall())


def tables_not_held(connection):
    """Tables that take changes although their rows are evidence: a migration was interrupted, or somebody lifted it."""
    there = laid(connection)
    return sorted({table for name, (table, _) in triggers(connection).items() if name not in there})


def lay(connection, tables=None):
    """Make the triggers that lack."""
    there = laid(connection)
    lacking = [make for name, (_, make) in triggers(connection, tables).items() if name not in there]
    if not lacking:
        return
    with transaction.atomic(using=connection.alias), connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(_REFUSE, None)
        for statement in lacking:
            cursor.execute(statement, None)


def lift(connection, tables=None):
    """Drop the triggers, of all tables unless some are named: for a migration, and for tests."""
    with connection.cursor() as cursor:
        for name, table in laid(connection).items():
            if not tables or table in tables:
                cursor.execute(f"DROP TRIGGER {name}" + (f" ON {table}" if connection.vendor == "postgresql" else ""))


@receiver(pre_migrate, dispatch_uid="sites_registry.append_only.lift")
def lift_for_migrations(sender, using, plan=None, **kwargs):
    if sender.name == "sites_registry" and plan:
        lift(connections[using])


@receiver(post_migrate, dispatch_uid="sites_registry.append_only.lay")
def lay_after_migrations(sender, using, **kwargs):
    if sender.name == "sites_registry":
        connection = connections[using]
        known = triggers(connection)
        outdated = {table for name, table in laid(connection).items() if name not in known}
        if outdated:
            lift(connection, outdated)
        lay(connection)
