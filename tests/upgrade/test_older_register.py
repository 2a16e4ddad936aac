"""A register with a job in every table, as the version before wrote it, keeps every row when it is brought up to date.

Its last migrations are zones 0022, inspections 0017 and sites_registry 0004: it goes on from there one by one, while a
new register takes the squashed ones. Both must come to the same.
"""

import json
import re
import sqlite3
from types import SimpleNamespace

import pytest

from sites_registry.data_folder import DATABASE_NAME
from tests.upgrade.test_migrations import lay_down, run

# What a release renames, in its words and in today's. Whatever is not named here has kept its name.
RENAMED_TABLES: dict[str, str] = {
    "zones_endelement": "zones_endoflinepart",
    "zones_historicalendelement": "zones_historicalendoflinepart",
    "zones_placeproof": "zones_placeconfirmation",
}
RENAMED_COLUMNS: dict[tuple[str, str], str] = {}  # (old table, old column): column
# A value that a migration changes on purpose: (old table, old column): {old value: value}.
RENAMED_VALUES: dict[tuple[str, str], dict] = {}
# A row that a migration changes on purpose: (old table, key, old column): value. An actuator without a rated current
# can have had no constant one chosen: how its current answers to the voltage is not known (zones 0032); what is no
# actuator has no kind of load at all (zones 0036).
NO_ACTUATORS = (1, 2, 3, *range(7, 15), 16)
CHANGED_ROWS: dict[tuple[str, int, str], object] = {
    ("zones_productmodel", key, "load_kind"): "" for key in (6, *NO_ACTUATORS)
}

# Lists of models, permissions and migrations name the code, and log-ins pass: not what people recorded.
NOT_RECORDED = {"django_migrations", "django_content_type", "auth_permission", "sqlite_sequence", "django_session"}
NOT_RECORDED |= {"axes_accessattempt", "axes_accessattemptexpiration", "axes_accessfailurelog", "axes_accesslog"}
# The register gives rights by role, so nothing ever fills these.
NEVER_FILLED = {"django_admin_log", "auth_group", "auth_group_permissions"}
NEVER_FILLED |= {"sites_registry_person_groups", "sites_registry_person_user_permissions"}

# Run on its own, on the older register: all migrations, then what the office opens.
BRING_UP_TO_DATE = """
import json
from datetime import datetime, timezone
import django
import time_machine
django.setup()
from django.core.management import call_command
from django.db import connection, transaction
from django.db.migrations.executor import MigrationExecutor
from django.test import Client
from inspections.models import Certificate
from inspections.certificates.issue import is_intact
from sites_registry.models import Building, Person
from zones.models import ControlPanel

call_command("migrate", verbosity=0)
# Logging in is noted with the person: taken back, so that the rows are those that the migrations left.
with time_machine.travel(datetime(2026, 11, 30, 9, tzinfo=timezone.utc)), transaction.atomic():
    client = Client(headers={"host": "127.0.0.1"})
    office = Person.objects.get(email="office@skellmere.example")
    client.force_login(office, "django.contrib.auth.backends.ModelBackend")
    building, panel, certificate = Building.objects.get(), ControlPanel.objects.get(), Certificate.objects.get()
    opened = [client.get(each.get_absolute_url()) for each in (building, panel)]
    paper = client.get(f"/certificates/{certificate.number}/pdf/")
    starts = b"".join(paper)[:5].decode()
    transaction.set_rollback(True)
executor = MigrationExecutor(connection)
print(json.dumps({
    "pages": [[page.status_code, page.content.decode()] for page in opened],
    "certificate": [paper.status_code, starts, is_intact(certificate)],
    "waiting": [str(each) for each, _ in executor.migration_plan(executor.loader.graph.leaf_nodes())],
}))
"""


def rows_of(path):
    """{table: {key: {column: value}}} of everything that people recorded."""
    database = sqlite3.connect(path)
    database.row_factory = sqlite3.Row
    tables = {each["name"] for each in database.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    rows = {}
    for table in sorted(tables - NOT_RECORDED):
        (key,) = (each["name"] for each in database.execute(f'PRAGMA table_info("{table}")') if each["pk"])
        # A table's own name: S608 fears a stranger's.
        rows[table] = {row[key]: dict(row) for row in database.execute(f'SELECT * FROM "{table}"')}  # noqa: S608
    database.close()
    return rows


def as_today(table, row):
    """The row of the older register in the words of today."""
    return {
        RENAMED_COLUMNS.get((table, column), column): RENAMED_VALUES.get((table, column), {}).get(value, value)
        for column, value in row.items()
    }


def differences(table, before, after):
    """What became of the rows of one table, in words; columns that were added do not count."""
    for key in sorted(set(before) - set(after)):
        yield f"{table} {key} is gone"
    for key in sorted(set(after) - set(before)):
        yield f"{table} {key} was made by a migration"
    for key in sorted(set(before) & set(after)):
        for column, value in as_today(table, before[key]).items():
            if column not in after[key]:
                yield f"{table}: the column {column} is gone"
            elif after[key][column] != CHANGED_ROWS.get((table, key, column), value):
                yield f"{table} {key} {column}: {value!r} became {after[key][column]!r}"


def built(path):
    """What the database holds but for its rows: the words of what made each table, index and trigger; migrations.

    Sorted, since SQLite puts a column that was altered at the end; without the names that Django and the register make
    up, since an index keeps the one that it got from an earlier name of its table.
    """
    database = sqlite3.connect(path)
    made = {tuple(row) for row in database.execute("SELECT app, name FROM django_migrations")}
    for statement, table in database.execute("SELECT sql, tbl_name FROM sqlite_master WHERE sql <> ''"):
        unnamed = re.sub(r'(?<=INDEX )"\w+_[0-9a-f]{8}"|(?<=TRIGGER )append_only_\w+', "", statement)
        made.add((table, *sorted(filter(None, re.split(r"[\s,()]*[,()][\s,()]*| OR ", unnamed)))))
    database.close()
    return made


@pytest.fixture(scope="module")
def register(tmp_path_factory):
    """What the older register held, what it holds once brought up to date, and what the office saw in it then."""
    folder = tmp_path_factory.mktemp("older")
    path = lay_down("with_input_ports.sql.gz", folder)
    before = rows_of(path)
    done = run("-c", BRING_UP_TO_DATE, data_dir=folder)
    assert done.returncode == 0, done.stderr
    return SimpleNamespace(path=path, before=before, after=rows_of(path), **json.loads(done.stdout))


def test_the_older_register_has_a_row_in_every_table(register):
    assert {table for table, rows in register.before.items() if not rows} == NEVER_FILLED


def test_every_row_is_still_there_and_says_the_same(register):
    assert [
        each
        for table, rows in register.before.items()
        for each in differences(table, rows, register.after.get(RENAMED_TABLES.get(table, table), {}))
    ] == []


def test_it_needs_no_further_migration(register):
    assert register.waiting == []


def test_its_database_is_that_of_a_new_register(register, tmp_path):
    """Tables with columns, references, rules; indexes; which tables are held; migrations that were taken."""
    done = run("manage.py", "migrate", "--verbosity", "0", data_dir=tmp_path)
    assert done.returncode == 0, done.stderr
    assert built(register.path) == built(tmp_path / DATABASE_NAME)


def test_every_reference_still_leads_somewhere(register):
    database = sqlite3.connect(register.path)
    assert database.execute("PRAGMA foreign_key_check").fetchall() == []
    database.close()


def test_building_panel_and_certificate_open(register):
    (building, building_page), (panel, panel_page) = register.pages
    assert (building, panel) == (200, 200)
    assert "Alder House" in building_page
    assert "cupboard under the front stair" in panel_page
    assert register.certificate == [200, "%PDF-", True]
