"""Move a register from one database into another, table by table, compared by counts and digests.

`loaddata` would save object by object beside the rows that migrations made in the new database, under keys of its own,
and compare nothing. Here rows go over as they are, in place of those, all in one transaction, and are compared.
"""

import json
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from uuid import UUID

from django.apps import apps
from django.core.management.color import no_style
from django.db import DatabaseError, connections, transaction
from django.db.migrations.recorder import MigrationRecorder

from sites_registry.backups.digests import first_difference, table_digest

ROWS_AT_ONCE = 2000


class MoveRefused(Exception):
    """Nothing was moved; the message says why."""


def move_register(source, target):
    """Copy every row from the database of one alias into the empty tables of another; returns the digests by table.

    The source cannot be written meanwhile (SQLite: one writer). Raises MoveRefused.
    """
    if _migrations(source) != _migrations(target):
        raise MoveRefused("The two databases are not of the same version. Bring the SQLite one up to date first.")
    with transaction.atomic(using=source), transaction.atomic(using=target):
        for model in _models():
            _copy(model, source, target)
        _set_sequences(target)
        connections[target].check_constraints()
        before, after = digests(source), digests(target)
        if difference := first_difference(before, after):
            raise MoveRefused(f"{difference} Nothing was moved.")
    return before


def digests(alias):
    """{table: TableDigest} of a database, the same whatever kind of database holds the rows."""
    return {model._meta.db_table: table_digest(map(_canonical, _rows(model, alias))) for model in _models()}


def _migrations(alias):
    return set(MigrationRecorder(connections[alias]).applied_migrations())


def _models():
    return [
        model for model in apps.get_models(include_auto_created=True) if model._meta.managed and not _is_proxy(model)
    ]


def _is_proxy(model):
    return model._meta.proxy or model._meta.swapped


def _fields(model):
    return [field for field in model._meta.concrete_fields if not field.generated]


def _rows(model, alias):
    names = [field.attname for field in _fields(model)]
    rows = model._base_manager.using(alias).order_by().values_list(*names)
    return rows.iterator(chunk_size=ROWS_AT_ONCE)


def _copy(model, source, target):
    connection, fields = connections[target], _fields(model)
    table = connection.ops.quote_name(model._meta.db_table)
    columns = ", ".join(connection.ops.quote_name(field.column) for field in fields)
    # Names are those of the models: S608 fears a stranger's.
    insert = f"INSERT INTO {table} ({columns}) VALUES ({', '.join(['%s'] * len(fields))})"  # noqa: S608
    try:
        with connection.cursor() as cursor:
            cursor.execute(f"DELETE FROM {table}")  # noqa: S608 -- what the migrations made, which comes over too
            rows = []
            for row in _rows(model, source):
                rows.append(
                    [field.get_db_prep_save(value, connection) for field, value in zip(fields, row, strict=True)]
                )
                if len(rows) == ROWS_AT_ONCE:
                    cursor.executemany(insert, rows)
                    rows = []
            if rows:
                cursor.executemany(insert, rows)
    except (DatabaseError, ValueError) as error:
        words = " ".join(str(error).split())
        raise MoveRefused(f"The table {model._meta.db_table} is not taken: {words}. Nothing was moved.") from error


def _set_sequences(alias):
    with connections[alias].cursor() as cursor:
        for statement in connections[alias].ops.sequence_reset_sql(no_style(), _models()):
            cursor.execute(statement)


def _canonical(row):
    return json.dumps(row, sort_keys=True, default=_plain, ensure_ascii=False).encode()


def _plain(value):
    match value:
        case datetime():
            return value.astimezone(UTC).isoformat()
        case date() | time():
            return value.isoformat()
        case timedelta():
            return value.total_seconds()
        case Decimal():
            return format(value.normalize(), "f")
        case UUID():
            return str(value)
        case bytes() | memoryview():
            return bytes(value).hex()
    raise TypeError(f"{value!r} is of a kind that no column of the register has")
