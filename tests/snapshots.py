"""Records that many tests start from: built once by each process, then put back row by row, as they were.

Building a town takes twenty times as long as putting back its rows, and half of all tests start from one.
"""

import copy
import pickle
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cache

from django.apps import apps
from django.db import connection, transaction
from django.utils import timezone

from tests.evidence import evidence_lifted

APPS = ("sites_registry", "zones", "inspections")
GOOD_FOR = timedelta(minutes=10)  # what is built says "now" in places


class Shared:
    """`shared.built(build)` is `build()`, and `shared.built(build, town)` is `build(town)`, at a twentieth of the cost.

    Whoever builds may change the records of `town` and what it names: it gets those changes as well. The rows are put
    back only where the register holds exactly what it held before they were built. Not for what keeps files.
    """

    def __init__(self):
        self._kept = {}

    def built(self, build, town=None):
        before = rows_of_the_register() if holds_anything() else {}
        kept = self._kept.get(build)
        if not (kept and kept.before == before and kept.is_as_if_built_now()):
            kept = self._kept[build] = taken(build, before, town)
        kept.put_back()
        of_the_town, result = pickle.loads(kept.objects)  # noqa: S301
        if town:
            vars(town).update(vars(of_the_town))
        return town if result is of_the_town else result


@dataclass
class Snapshot:
    """The rows of each table before and after, and the objects that were handed out with them."""

    made_at: datetime
    today: date
    before: dict[str, tuple[list[str], list[tuple]]]
    after: dict[str, tuple[list[str], list[tuple]]]
    objects: bytes

    def is_as_if_built_now(self):
        return self.today == timezone.localdate() and self.made_at <= timezone.now() < self.made_at + GOOD_FOR

    @transaction.atomic
    def put_back(self):
        with connection.cursor() as cursor:
            for table, (columns, rows) in self.after.items():
                known = self.before.get(table, (columns, []))[1]
                if rows[: len(known)] != known:
                    with evidence_lifted(table):
                        cursor.execute(f"DELETE FROM {quoted(table)}")  # noqa: S608
                    known = []
                insert(cursor, table, columns, rows[len(known) :])


def taken(build, before, town):
    """Build, keep what came of it, and undo it."""
    with transaction.atomic():
        town = copy.deepcopy(town)  # what is undone leaves no trace in it
        result = build(town) if town else build()
        objects = pickle.dumps((town, result))
        snapshot = Snapshot(timezone.now(), timezone.localdate(), before, rows_of_the_register(), objects)
        transaction.set_rollback(True)
    return snapshot


def tables_of_the_register():
    models = [model for label in APPS for model in apps.get_app_config(label).get_models(include_auto_created=True)]
    return list(dict.fromkeys(model._meta.db_table for model in models))


def holds_anything():
    some = " UNION ALL ".join(f"SELECT EXISTS (SELECT 1 FROM {quoted(table)})" for table in tables_of_the_register())  # noqa: S608
    with connection.cursor() as cursor:
        cursor.execute(some)
        return any(found for (found,) in cursor.fetchall())


def rows_of_the_register():
    """Columns and rows, by table, of every table that holds any; the first column is the key."""
    tables = {}
    with connection.cursor() as cursor:
        for table in tables_of_the_register():
            cursor.execute(f"SELECT * FROM {quoted(table)} ORDER BY 1")  # noqa: S608
            if rows := cursor.fetchall():
                tables[table] = ([column[0] for column in cursor.description], rows)
    return tables


def insert(cursor, table, columns, rows):
    most = 1000 // len(columns)  # at a time: databases limit how many values one statement has
    row = f"({', '.join(['%s'] * len(columns))})"
    names = ", ".join(map(quoted, columns))
    for start in range(0, len(rows), most):
        some = rows[start : start + most]
        cursor.execute(
            f"INSERT INTO {quoted(table)} ({names}) VALUES {', '.join([row] * len(some))}",  # noqa: S608
            [value for values in some for value in values],
        )


@cache  # asked for thousands of names for each test; the database of a run stays the same
def quoted(name):
    return connection.ops.quote_name(name)
