"""What can be wrong with a deployment, each in a sentence with its remedy. `manage.py doctor` asks them all.

An app adds its own in a `deployment_checks.py` with `CHECKS`: functions that yield `Wrong` or `Worth`. Those that the
start of the register asks, too, stand in its `AT_START`.
"""

import importlib.metadata
import os
import re
import shutil
import stat
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from importlib import import_module
from pathlib import Path
from zoneinfo import ZoneInfo

from django.apps import apps
from django.conf import settings
from django.contrib.staticfiles.storage import staticfiles_storage
from django.core.mail import get_connection
from django.db import DatabaseError, connection
from django.utils.module_loading import module_has_submodule

from sites_registry.data_folder import FOR_OTHERS, ITS_OWN_FILES, ITS_OWN_FOLDERS, KEY_NAME
from sites_registry.logs import newest_failure
from sites_registry.mail import mail_is_sent
from sites_registry.models import KeptFile
from sites_registry.readiness import newest_backup, readiness
from sites_registry.words import counted

LEAST_FREE_BYTES = 2_000_000_000
OLDEST_BACKUP = timedelta(hours=30)
KEY_LENGTH = 50
SYNC_REMEDY = "Set PRAGMA synchronous=FULL again in SQLITE_AT_EACH_CONNECT of settings.py."
THIS_MACHINE = ("localhost", "127.0.0.1", "[::1]")


@dataclass(frozen=True)
class Wrong:
    """Somebody has to put it right."""

    what: str
    remedy: str
    mark = "▲"


@dataclass(frozen=True)
class Worth(Wrong):
    """Worth knowing; it can be meant so."""

    mark = "–"


def what_is_wrong(asked="CHECKS"):
    """What the checks of each app that has a `deployment_checks.py` find, the foundations first.

    `asked`: "CHECKS", or "AT_START" for those that the start of the register asks, too.
    """
    for app in reversed(list(apps.get_app_configs())):
        if module_has_submodule(app.module, "deployment_checks"):
            for check in getattr(import_module(f"{app.name}.deployment_checks"), asked, ()):
                yield from check()


def keys():
    if settings.DEBUG:
        yield Wrong("REGISTER_DEBUG is 1: failures show the insides of the register to anybody.", "Set it to 0.")
    if len(settings.SECRET_KEY) < KEY_LENGTH or settings.SECRET_KEY.startswith("not-secret"):
        yield Wrong(
            "The secret key is the one for trials, which everybody knows.",
            "Set REGISTER_SECRET_KEY, or start with make serve.",
        )
    for key in (settings.DATA_DIR / KEY_NAME, Path(settings.LEDGER_KEY), Path(settings.SIGNING_PKCS12)):
        if key.exists() and stat.S_IMODE(key.stat().st_mode) & 0o077:
            yield Wrong(f"Others on this machine can read a secret key, {key}.", f"chmod 600 {key}")


def way_in():
    host = re.sub(r"^\w+://|:\d+$", "", settings.PUBLIC_URL)
    if not settings.BEHIND_TLS and host not in THIS_MACHINE:
        yield Wrong(
            f"People reach {settings.PUBLIC_URL} without HTTPS: passwords travel in clear.",
            "Put a web server with a certificate in front of it and set REGISTER_BEHIND_TLS=1.",
        )
    if "*" in settings.ALLOWED_HOSTS:
        yield Wrong(
            "REGISTER_ALLOWED_HOSTS is *: the register answers to any host name, in mails it did not choose.",
            f"Set it to {host}.",
        )


def data_folder():
    folder = settings.DATA_DIR
    own = [folder, *(folder / name for name in ITS_OWN_FILES + ITS_OWN_FOLDERS)]
    there = [path for path in own if path.exists()]
    if is_open := [path for path in there if stat.S_IMODE(path.stat().st_mode) & FOR_OTHERS]:
        yield Wrong(f"Others on this machine can read or write {is_open[0]}.", "Start the register once: it closes it.")
    if others := [path for path in there if path.stat().st_uid != os.getuid()]:
        yield Wrong(
            f"{others[0]} belongs to another account than the one that asks.",
            f"Start doctor as the account of the register, or chown -R that account {folder}",
        )
    free = shutil.disk_usage(folder).free
    if free < LEAST_FREE_BYTES:
        yield Wrong(f"{folder} has {free / 1e9:.1f} GB of room left.", "Make room on its disk, or enlarge it.")


def answers():
    """What the address /ready/ asks, too."""
    remedies = {
        "database": "Start the database server; check DATABASE_URL.",
        "migrations": "make serve brings it up to date; before that, make backup.",
        "disk": f"Check that the disk of {settings.DATA_DIR} has room and is not mounted read-only.",
    }
    for name, words in readiness().items():
        if words:
            yield Wrong(words, remedies[name])


def database_settings():
    try:
        yield from (_sqlite if connection.vendor == "sqlite" else _postgres)()
    except DatabaseError:
        return  # answers() says so


def _sqlite():
    with connection.cursor() as cursor:
        found = {name: cursor.execute(f"PRAGMA {name}").fetchone()[0] for name in ("journal_mode", "synchronous")}
        (damage,) = cursor.execute("PRAGMA quick_check(1)").fetchone()
    if found["journal_mode"] != "wal":
        yield Wrong(
            "SQLite has no write-ahead log: readers wait for writers.",
            "Stop the register, then manage.py migrate sets it.",
        )
    if found["synchronous"] < 2:
        yield Wrong("SQLite does not wait for the disk: a loss of power loses what was saved.", SYNC_REMEDY)
    if damage != "ok":
        yield Wrong(f"SQLite finds the database damaged: {damage}.", "Stop the register and restore the last backup.")


def _postgres():
    with connection.cursor() as cursor:
        for name in ("fsync", "full_page_writes", "synchronous_commit"):
            cursor.execute("SELECT current_setting(%s)", [name])
            if cursor.fetchone()[0] == "off":
                yield Wrong(
                    f"PostgreSQL runs with {name}=off: a loss of power loses or damages rows.", f"Set {name} = on."
                )
        cursor.execute("SELECT clock_timestamp()")
        apart_s = abs((cursor.fetchone()[0] - datetime.now(UTC)).total_seconds())
    if apart_s > 5:
        yield Wrong(f"The clocks of PostgreSQL and of this machine are {apart_s:.0f} s apart.", "Set them by NTP.")


def kept_files():
    try:
        kept = list(KeptFile.objects.values_list("name", "size_bytes"))
    except DatabaseError:
        return
    names = {name for name, _size in kept}
    torn = [name for name, size_bytes in kept if _size_of(name) != size_bytes]
    if torn:
        yield Wrong(
            f"{counted(len(torn), 'kept files')} missing or cut short, {torn[0]} the first.",
            "manage.py restore ARCHIVE --file NAME puts one back from a backup.",
        )
    found = (path for path in Path(settings.MEDIA_ROOT).rglob("*") if path.is_file() and path.name[0] != ".")
    unknown = [path for path in found if path.relative_to(settings.MEDIA_ROOT).as_posix() not in names]
    if unknown:
        yield Worth(
            f"{counted(len(unknown), 'files')} without a digest on record, {unknown[0].name} the first: "
            "of a form that was not taken in the end, or put there by hand.",
            "If they belong there: manage.py record_digests",
        )


def _size_of(name):
    try:
        return os.stat(Path(settings.MEDIA_ROOT) / name).st_size
    except FileNotFoundError:
        return None


def backups():
    folder, newest = Path(settings.BACKUP_DIR), newest_backup()
    if newest is None:
        yield Wrong(f"There is no backup in {folder}.", "make backup, and see RUNNING.md for a timer that does.")
        return
    if datetime.now(UTC) - newest > OLDEST_BACKUP:
        yield Wrong(
            f"The newest backup in {folder} is of {newest:%-d %b %Y, %H:%M} UTC.", "See why its timer does not run."
        )
    if folder.stat().st_dev == settings.DATA_DIR.stat().st_dev:
        yield Worth(
            f"{folder} lies on the disk of the register: what takes that disk takes both.",
            "Set REGISTER_BACKUP_DIR to another disk, or copy the folder to another machine each night.",
        )


def mail():
    if not mail_is_sent():
        yield Worth("No mail is sent: the office is shown each link.", "Set REGISTER_EMAIL_URL, if mail is wanted.")
        return
    try:
        server = get_connection()
        server.open()
        server.close()
    except OSError as error:
        yield Wrong(
            f"The mail server {settings.EMAIL_HOST}:{settings.EMAIL_PORT} does not let the register in: {error}.",
            "Check REGISTER_EMAIL_URL and whether this machine may reach it.",
        )


def clock():
    now = datetime.now(UTC)
    try:
        newest = KeptFile.objects.order_by("-kept_at").values_list("kept_at", flat=True).first()
    except DatabaseError:
        return
    if newest and newest > now + timedelta(minutes=1):
        yield Wrong(
            f"The clock of this machine says {now:%-d %b %Y, %H:%M} UTC; a file was kept later.", "Set it by NTP."
        )
    try:
        ZoneInfo(settings.TIME_ZONE)
    except OSError:
        yield Wrong(f"This machine does not know the time zone {settings.TIME_ZONE}.", "apt-get install tzdata")


def static_files():
    if settings.DEBUG:
        return
    try:
        name = staticfiles_storage.url("css/tokens.css").removeprefix(settings.STATIC_URL)
        if (Path(settings.STATIC_ROOT) / name).exists():
            return
    except ValueError:
        pass
    yield Wrong("The static files are not collected: pages come without style.", "manage.py collectstatic --no-input")


def packages():
    for line in (settings.BASE_DIR / "requirements.txt").read_text().splitlines():
        if not (pinned := re.match(r"([\w.-]+)(?:\[\w+\])?==(\S+)", line)):
            continue
        name, version = pinned.groups()
        try:
            installed = importlib.metadata.version(name)
        except importlib.metadata.PackageNotFoundError:
            installed = "missing"
        if installed != version:
            yield Wrong(f"{name} is {installed}; this version needs {version}.", "make serve installs it.")


def failures():
    if found := newest_failure(since=datetime.now(UTC) - timedelta(days=1)):
        number = found.get("identifier") or "without a number"
        yield Worth(
            f"The log has a failure within a day, {number}: {found['says'][:200]}",
            f"manage.py doctor --failure {number}",
        )


CHECKS = (
    keys,
    way_in,
    data_folder,
    answers,
    database_settings,
    kept_files,
    backups,
    mail,
    clock,
    static_files,
    packages,
    failures,
)
