"""A small register with committed rows and files, backed up once for all its tests; and empty places."""

import uuid
from contextlib import contextmanager
from types import SimpleNamespace

import psycopg
import pytest
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder

from sites_registry.backups.databases import database_of
from sites_registry.backups.making import make_backup
from sites_registry.models import Client, KeptFile
from sites_registry.whole_files import WholeFiles

CLIENTS = 7


@contextmanager
def committed_rows(files):
    """Seven clients and three files that other connections see; gone again afterwards, on either database."""
    migrations = MigrationRecorder(connection)  # the tables of tests are made without any
    migrations.ensure_schema()
    migrations.record_applied("sites_registry", "0001_initial")
    Client.objects.bulk_create([Client(name=f"Tarn Estates {number}") for number in range(CLIENTS)])
    for name, content in (
        ("attachments/plan", b"a plan"),
        ("certificates/1.pdf", b"%PDF"),
        ("photos/a.jpg", b"a photo"),
    ):
        files.keep(name, content)
    try:
        yield
    finally:
        for model in (Client, KeptFile):
            model.objects.all()._raw_delete("default")  # bulk_create left no history either
        with connection.schema_editor() as editor:
            editor.delete_model(migrations.Migration)


@pytest.fixture(scope="module")
def register(django_db_setup, django_db_blocker, tmp_path_factory):
    """`database`, `files` (its storage), `media`, and `folder` with the backups `first` and `whole`."""
    root = tmp_path_factory.mktemp("register")
    files = WholeFiles(location=root / "files")
    with django_db_blocker.unblock(), committed_rows(files):
        made = SimpleNamespace(
            database=database_of(connection.settings_dict), files=files, media=root / "files", folder=root / "backups"
        )
        made.first = backed_up(made)
        made.whole = make_backup(database=made.database, media=made.media, folder=root / "carried away", whole=True)
        yield made


def backed_up(register, **options):
    return make_backup(database=register.database, media=register.media, folder=register.folder, **options)


@pytest.fixture
def empty_place(tmp_path):
    """`database` and `media` that hold nothing, of the kind that the tests run on."""
    with empty_database(tmp_path) as database:
        yield SimpleNamespace(database=database, media=tmp_path / "restored files")


@contextmanager
def empty_database(folder):
    settings = connection.settings_dict
    if connection.vendor == "sqlite":
        yield database_of({**settings, "NAME": str(folder / "restored.sqlite3")})
        return
    name = f"restored_{uuid.uuid4().hex[:12]}"
    own = database_of(settings)
    with psycopg.connect(**own.parameters, autocommit=True) as server:
        server.execute(f"CREATE DATABASE {name}")
        try:
            yield database_of({**settings, "NAME": name})
        finally:
            server.execute(f"DROP DATABASE {name} WITH (FORCE)")
