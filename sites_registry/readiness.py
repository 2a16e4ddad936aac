"""Whether the register can answer just now: asked by what watches over it, every few seconds, so it is cheap."""

import shutil
import tempfile
import time
from datetime import UTC, datetime
from functools import cache

from django.conf import settings
from django.db import DatabaseError, connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder

from sites_registry.backups.archives import archives_in, made_at

ASKED_ANEW_AFTER_S = 5
LEAST_FREE_BYTES = 100 * 1024 * 1024


def readiness():
    """{what: a sentence, or "" where it is well}, as found at most five seconds ago by this process."""
    return _found_in(int(time.monotonic() // ASKED_ANEW_AFTER_S))


@cache
def _found_in(_moment):
    _found_in.cache_clear()
    return {name: check() for name, check in CHECKS.items()}


def _database():
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except DatabaseError:
        return "The database does not answer."
    return ""


def _migrations():
    try:
        waiting = len(known_migrations() - set(MigrationRecorder(connection).applied_migrations()))
    except DatabaseError:
        return "The database does not answer."
    return f"The database is {waiting} steps behind this version." if waiting else ""


@cache
def known_migrations():
    """(app, name) of every migration of this version: read from the disk once."""
    return set(MigrationLoader(None).disk_migrations)


def _disk():
    try:
        settings.MEDIA_ROOT.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=settings.MEDIA_ROOT) as probe:
            probe.write(b"room")
            probe.flush()
        free_bytes = shutil.disk_usage(settings.MEDIA_ROOT).free
    except OSError:
        return "The disk of the data folder cannot be written."
    return "The disk of the data folder is almost full." if free_bytes < LEAST_FREE_BYTES else ""


CHECKS = {"database": _database, "migrations": _migrations, "disk": _disk}


def newest_backup():
    """When the newest backup in the folder of backups was made, or None."""
    archives = archives_in(settings.BACKUP_DIR)
    return made_at(archives[-1]) if archives else None


def hours_since_backup():
    newest = newest_backup()
    return None if newest is None else round((datetime.now(UTC) - newest).total_seconds() / 3600, 1)
