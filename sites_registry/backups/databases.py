"""The database of the register, copied while others write to it, and put into an empty place. SQLite and PostgreSQL."""

import os
import shutil
import sqlite3
import subprocess
from contextlib import closing
from pathlib import Path

import psycopg
from psycopg import sql

from sites_registry.backups.digests import Facts, FileDigest, table_digest
from sites_registry.whole_files import flush_folder

KEPT_FILES = "SELECT name, size_bytes, sha256 FROM sites_registry_keptfile"
MIGRATIONS = "SELECT app, name FROM django_migrations ORDER BY app, name"
POSTGRES_PROGRAMS = Path("/usr/lib/postgresql")


class DatabaseRefused(Exception):
    """The database cannot be copied or restored; the message says why and what to do."""


def database_of(settings):
    """By an entry of DATABASES."""
    return (Postgres if settings["ENGINE"].endswith("postgresql") else Sqlite)(settings)


class Sqlite:
    engine = "sqlite"
    member = "database.sqlite3"

    def __init__(self, settings):
        self.path = Path(settings["NAME"])

    def __str__(self):
        return f"the SQLite database {self.path}"

    def is_empty(self):
        return not self.path.exists() or self.path.stat().st_size == 0

    def copy(self, target):
        """Copy it whole, with what stands in its write-ahead log; returns the Facts of the copy."""
        if self.is_empty():
            raise DatabaseRefused(f"There is no register in {self.path} yet.")
        with closing(sqlite3.connect(self.path, timeout=20)) as source, closing(sqlite3.connect(target)) as copy:
            source.backup(copy, pages=-1)
        return _facts_of_sqlite(target)

    def put(self, source, expected_tables):
        """Put a copy into the empty place, once it was read and found whole."""
        part = self.path.with_name(f"{self.path.name}.restoring")
        try:
            shutil.copyfile(source, part)
            facts = _facts_of_sqlite(part)
            if facts.tables == expected_tables:
                _flush(part)
                os.replace(part, self.path)
                flush_folder(self.path.parent)
            return facts
        finally:
            part.unlink(missing_ok=True)

    def facts_of_copy(self, path):
        return _facts_of_sqlite(path)


def _facts_of_sqlite(path):
    with closing(sqlite3.connect(path)) as database:
        (found,) = database.execute("PRAGMA integrity_check(1)").fetchone()
        if found != "ok":
            raise DatabaseRefused(f"SQLite finds {path} damaged: {found}.")
        names = database.execute("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'")
        tables = [name for (name,) in names.fetchall()]
        if "django_migrations" not in tables:
            raise DatabaseRefused(f"{path} holds no register.")
        return Facts(
            server=f"SQLite {sqlite3.sqlite_version}",
            migrations=[".".join(row) for row in database.execute(MIGRATIONS)],
            # Names that the file itself gave: S608 fears a stranger's.
            tables={
                name: table_digest(repr(row).encode() for row in database.execute(f'SELECT * FROM "{name}"'))  # noqa: S608
                for name in tables
            },
            kept_files=_kept_files(database.execute(KEPT_FILES)) if "sites_registry_keptfile" in tables else {},
        )


class Postgres:
    engine = "postgresql"
    member = "database.dump"

    def __init__(self, settings):
        given = {"host": "HOST", "port": "PORT", "user": "USER", "password": "PASSWORD", "dbname": "NAME"}
        self.parameters = {name: str(settings[key]) for name, key in given.items() if settings.get(key)}

    def __str__(self):
        return f"the PostgreSQL database {self.parameters.get('dbname')}"

    def is_empty(self):
        with self._connected() as database:
            return not _tables_of_postgres(database)

    def copy(self, target):
        """Dump it as it stands at one moment; returns the Facts of that moment."""
        with self._connected() as database:
            database.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")  # opens what the dump sees, too
            facts = _facts_of_postgres(database)
            (snapshot,) = database.execute("SELECT pg_export_snapshot()").fetchone()
            self._run("pg_dump", "--format=custom", f"--snapshot={snapshot}", f"--file={target}", *WITHOUT_OWNERS)
        return facts

    def put(self, source, expected_tables):
        """Restore a dump, whole or not at all; returns what is there then."""
        name = f"--dbname={self.parameters['dbname']}"
        self._run("pg_restore", "--single-transaction", "--exit-on-error", name, *WITHOUT_OWNERS, str(source))
        with self._connected() as database:
            return _facts_of_postgres(database)

    def facts_of_copy(self, path):
        """A dump can be counted only once it is restored; here only that its contents can be listed."""
        self._run("pg_restore", "--list", str(path))
        return None

    def _connected(self):
        try:
            return psycopg.connect(**self.parameters, connect_timeout=10)
        except psycopg.OperationalError as error:
            reason = (str(error).strip().splitlines() or ["no reason was given"])[0]
            raise DatabaseRefused(f"{self} does not let the register in: {reason}") from error

    def _run(self, program, *arguments):
        names = {"host": "PGHOST", "port": "PGPORT", "user": "PGUSER", "password": "PGPASSWORD", "dbname": "PGDATABASE"}
        # In the environment, as arguments can be read by everybody on the machine.
        environment = {**os.environ, **{names[name]: value for name, value in self.parameters.items()}}
        done = subprocess.run(  # noqa: S603 -- a program of PostgreSQL and arguments of ours
            [_program(program), *arguments], env=environment, capture_output=True, text=True, check=False
        )
        if done.returncode:
            raise DatabaseRefused(f"{program} ended with: {done.stderr.strip() or 'no word'}")


WITHOUT_OWNERS = ("--no-owner", "--no-privileges")


def _program(name):
    """The newest of this machine: one of an older version than the server refuses it."""
    installed = sorted(POSTGRES_PROGRAMS.glob(f"*/bin/{name}"), key=lambda path: float(path.parts[-3]))
    if found := (str(installed[-1]) if installed else shutil.which(name)):
        return found
    raise DatabaseRefused(f"{name} is not on this machine: 'apt-get install postgresql-client' brings it.")


def _tables_of_postgres(database):
    rows = database.execute("SELECT tablename FROM pg_tables WHERE schemaname = current_schema() ORDER BY 1")
    return [name for (name,) in rows]


def _facts_of_postgres(database):
    database.execute("SET LOCAL timezone = 'UTC'")
    database.execute("SET LOCAL datestyle = 'ISO'")
    tables = _tables_of_postgres(database)
    if "django_migrations" not in tables:
        raise DatabaseRefused(f"The database {database.info.dbname} holds no register.")
    return Facts(
        server=f"PostgreSQL {database.info.server_version // 10000}",
        migrations=[".".join(row) for row in database.execute(MIGRATIONS)],
        tables={name: table_digest(_rows_of_postgres(database, name)) for name in tables},
        kept_files=_kept_files(database.execute(KEPT_FILES)) if "sites_registry_keptfile" in tables else {},
    )


def _rows_of_postgres(database, table):
    with database.cursor() as cursor, cursor.copy(sql.SQL("COPY {} TO STDOUT").format(sql.Identifier(table))) as rows:
        yield from rows


def _kept_files(rows):
    return {name: FileDigest(size_bytes, sha256) for name, size_bytes, sha256 in rows}


def _flush(path):
    with open(path, "rb") as file:
        os.fsync(file.fileno())
