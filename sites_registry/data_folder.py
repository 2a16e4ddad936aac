"""The data folder: for this account to write, for its group to read, for nobody else; so before anything is written.

The one place that decides file modes. Invitation links, passwords' hashes and other people's plans lie in there.
"""

import os
import stat
import sys
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

FOLDER_MODE = 0o750
FILE_MODE = 0o640
FOR_OTHERS = 0o027  # what neither has: writing by the group, anything by the rest
ITS_OWN_FOLDERS = ("files", "log", "mail", "static")
DATABASE_NAME = "register.sqlite3"
KEY_NAME = "secret_key"
LEDGER_KEY_NAME = "ledger_key.pem"
SIGNING_KEY_NAME = "signing_key.p12"
ITS_OWN_FILES = (
    DATABASE_NAME,
    f"{DATABASE_NAME}-wal",
    f"{DATABASE_NAME}-shm",
    f"{DATABASE_NAME}-journal",
    KEY_NAME,
    LEDGER_KEY_NAME,
    SIGNING_KEY_NAME,
)


def private_folder(path, default=None):
    """Make the data folder, or tighten one that was left open, and return it. Says on stderr what it tightened.

    Sets the umask of this process, so that what is written later (SQLite's log, mail, static files) follows.
    `default` is the folder that is the register's without anybody having named it.
    """
    os.umask(FOR_OTHERS)
    path = Path(path)
    try:
        path.mkdir(parents=True, exist_ok=True, mode=FOLDER_MODE)
        if _is_open(path) and not _is_the_registers(path, default):
            raise ImproperlyConfigured(
                f"REGISTER_DATA_DIR is {str(path)!r}, which others on this machine can read or write and which is not "
                f"the register's alone; expected a folder of its own, such as {str(path / 'register')!r}."
            )
        tightened = _tighten(path)
        for name in ITS_OWN_FOLDERS:
            (path / name).mkdir(exist_ok=True, mode=FOLDER_MODE)
    except OSError as error:
        raise ImproperlyConfigured(
            f"REGISTER_DATA_DIR is {str(path)!r} and cannot be made or written ({error.strerror}); "
            "expected a writable folder with room on its disk."
        ) from error
    if tightened:
        print(
            f"The data folder {path} was open to others on this machine. "
            f"This was closed to all but this account and its group: {tightened} of its folders and files.",
            file=sys.stderr,
        )
    return path


def _is_open(path):
    return bool(stat.S_IMODE(path.lstat().st_mode) & FOR_OTHERS)


def _is_the_registers(path, default):
    """Whether this folder may be closed to others: never /tmp, /srv or a home folder that somebody named by mistake."""
    if path.stat().st_mode & stat.S_ISVTX:
        return False
    if default and path.resolve() == Path(default).resolve():
        return True
    names = set(os.listdir(path))
    # The key alone is no evidence: `make serve` puts it there before this is asked.
    return DATABASE_NAME in names or names <= {*ITS_OWN_FOLDERS, *ITS_OWN_FILES}


def _tighten(path):
    """Take from others what they could do with the register's own things; returns how many were open."""
    own = [path, *(path / name for name in ITS_OWN_FILES + ITS_OWN_FOLDERS)]
    open_now = [item for item in own if item.exists() and not item.is_symlink() and _is_open(item)]
    if not open_now:
        return 0  # the usual start: a handful of looks, however many files are kept
    for name in ITS_OWN_FOLDERS:
        for folder, _folders, files in os.walk(path / name):
            inside = [Path(folder), *(Path(folder) / file for file in files)]
            open_now += [item for item in inside if not item.is_symlink() and _is_open(item)]
    open_now = list(dict.fromkeys(open_now))
    for item in open_now:
        item.chmod(stat.S_IMODE(item.lstat().st_mode) & ~FOR_OTHERS)
    return len(open_now)
