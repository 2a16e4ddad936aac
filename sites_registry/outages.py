"""What disk and database server may refuse at any moment, told in a sentence: at a command and in a request."""

import errno
from dataclasses import dataclass

from django.conf import settings
from django.db import InterfaceError, OperationalError

from sites_registry.keys import KeyMissing

NO_ROOM = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
CANNOT_BE_WRITTEN = {errno.EROFS, errno.EIO}
POSTGRES_NO_ROOM = {"53100"}  # SQLSTATE disk_full


@dataclass(frozen=True)
class Outage:
    """`what` is wrong, for anybody; the `remedy` names machines and folders, so it is for who starts the register only.

    `status` is the HTTP status of a request that met it.
    """

    what: str
    remedy: str
    status: int = 503


def outage_of(error):
    """The outage behind an exception, its causes included; None when it is something else."""
    while error is not None:
        if found := _from_key(error) or _from_system(error) or _from_database(error):
            return found
        error = error.__cause__ or error.__context__
    return None


def _from_key(error):
    if not isinstance(error, KeyMissing):
        return None
    return Outage("A key of the register is missing, without which it vouches for nothing.", str(error))


def _from_system(error):
    if not isinstance(error, OSError):
        return None
    if error.errno in NO_ROOM:
        return _no_room()
    return _not_written() if error.errno in CANNOT_BE_WRITTEN else None


def _from_database(error):
    if not isinstance(error, OperationalError | InterfaceError):
        return None
    text = str(error)
    if "database or disk is full" in text or getattr(error.__cause__, "sqlstate", None) in POSTGRES_NO_ROOM:
        return _no_room()
    # SQLite says "disk I/O error" for a limit on the size of files, too.
    if any(words in text for words in ("readonly database", "unable to open database file", "disk I/O error")):
        return _not_written()
    if "database is locked" in text:
        return Outage("The database is busy with something that takes long.", "Try again in a minute.")
    if settings.DATABASES["default"]["ENGINE"].endswith("postgresql") and _was_not_reached(error):
        first_line = (text.strip().splitlines() or ["no reason was given"])[0]
        return Outage(
            "The database does not let the register in.",
            f"It is {_database_address()}, and it says: {first_line}. Check that PostgreSQL runs there, and host, "
            "name, user and password in DATABASE_URL.",
        )
    return None


def _was_not_reached(error):
    """Whether there was no connection, so that no statement was refused: those carry a SQLSTATE of another class."""
    sqlstate = getattr(error.__cause__, "sqlstate", None)
    return sqlstate is None or sqlstate[:2] in {"08", "28", "3D", "53", "57"}


def _database_address():
    """Host and name as far as they are set, never the password."""
    database = settings.DATABASES["default"]
    port = f":{database['PORT']}" if database.get("PORT") else ""
    return f"{database.get('HOST') or 'this machine'}{port}/{database.get('NAME')}"


def _no_room():
    return Outage(
        "There is no room left on the disk of the register.",
        f"Make room on the disk of the data folder, {settings.DATA_DIR}, or enlarge it.",
        status=507,
    )


def _not_written():
    return Outage(
        "The disk of the register cannot be written.",
        f"Check that the disk of the data folder, {settings.DATA_DIR}, has room, that it is not mounted read-only, and "
        "that the folder belongs to this account.",
        status=507,
    )
