"""A load of the demo that is ended from outside leaves an empty register, into which the same command loads."""

import os
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
from django.db import connection

from sites_registry.data_folder import DATABASE_NAME

ROOT = Path(__file__).parents[3]


@pytest.fixture
def manage(db, tmp_path):
    """`manage("load_demo")` starts a command on a register of its own, with the tables that the tests have."""
    with connection.cursor() as cursor, closing(sqlite3.connect(tmp_path / DATABASE_NAME)) as register:
        cursor.execute("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite%'")
        for (statement,) in cursor.fetchall():
            register.execute(statement)
    kept = {name: os.environ[name] for name in ("PATH", "LANG") if name in os.environ}

    def start(*command):
        return subprocess.Popen(
            [sys.executable, "manage.py", *command],
            cwd=ROOT,
            env={**kept, "REGISTER_DATA_DIR": str(tmp_path), "REGISTER_DEBUG": "1"},
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            # A test run started in the background ignores the signal, and its children would as well.
            preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
        )

    return start


def end_while_loading(manage, how):
    """Start a load and end it at its first building: firm, people and clients are made. Returns (code, stderr)."""
    with manage("load_demo", "--if-empty") as loading:
        assert loading.stdout.readline().startswith("[ 1/"), loading.stderr.read()
        loading.send_signal(how)
        _, told = loading.communicate()
    return loading.returncode, told


def rows_in(folder):
    """The tables of the register's own apps that hold anything."""
    with closing(sqlite3.connect(folder / DATABASE_NAME)) as database:
        assert database.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        tables = [name for (name,) in database.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        own = [name for name in tables if name.startswith(("sites_registry_", "zones_", "inspections_"))]
        assert own
        return [name for name in own if database.execute(f'SELECT 1 FROM "{name}" LIMIT 1').fetchone()]  # noqa: S608


def test_a_load_that_is_killed_or_interrupted_leaves_nothing_and_can_be_started_again(manage, tmp_path):
    assert end_while_loading(manage, signal.SIGKILL)[0] == -signal.SIGKILL
    assert rows_in(tmp_path) == []
    code, told = end_while_loading(manage, signal.SIGINT)
    assert code == 130  # 128 and the number of the signal, as shells count
    assert "Interrupted: nothing of the demo was loaded. The same command starts afresh." in told
    assert "Traceback" not in told
    assert rows_in(tmp_path) == []
