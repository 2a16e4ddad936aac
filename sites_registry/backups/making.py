"""Make a backup while the register runs: database first, files second, since files are only ever added."""

import fcntl
import hashlib
import json
import os
import shutil
import tempfile
import zipfile
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import Path

from sites_registry.backups.archives import FORMAT, MANIFEST, Archive, archives_in, kept_path
from sites_registry.backups.digests import FileDigest, as_plain, copy_with_digest
from sites_registry.whole_files import WRITING, digest_of_file, flush_folder

PART = ".part"
ASIDE = ".database-"


class BackupRefused(Exception):
    """No backup was made; the message says why."""


@dataclass(frozen=True)
class Made:
    """`new_files` were not in an earlier backup of the folder; `not_whole` are sentences on damaged files."""

    path: Path
    rows: int
    files: int
    new_files: int
    not_whole: list[str]


def make_backup(*, database, media, folder, whole=False):
    """Copy database and files (below `media`) into a folder; returns what was Made. Nothing half is left under a name.

    A file that is not what its record says is told; where an earlier backup has it as it was kept, that one is taken.
    Raises BackupRefused, DatabaseRefused.
    """
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True, mode=0o750)
    with _alone_in(folder), tempfile.TemporaryDirectory(dir=folder, prefix=ASIDE) as aside:
        moment = datetime.now(UTC).replace(microsecond=0)
        copy = Path(aside) / database.member
        facts = database.copy(copy)
        part = folder / f"{moment:%Y%m%dT%H%M%SZ}{PART}"
        try:
            with zipfile.ZipFile(part, "w", zipfile.ZIP_STORED, allowZip64=True) as archive:
                archive.write(copy, database.member, zipfile.ZIP_DEFLATED, compresslevel=1)
                files, new, not_whole = _files(facts, Path(media), folder, archive if whole else None)
                manifest = {
                    "format": FORMAT,
                    "made_at": moment.isoformat(),
                    "engine": database.engine,
                    "server": facts.server,
                    "migrations": facts.migrations,
                    "member": database.member,
                    "database": asdict(_digest_or_none(copy)),
                    "tables": as_plain(facts.tables),
                    "files": as_plain(files),
                    "is_whole": whole,
                }
                text = json.dumps(manifest, indent=1, ensure_ascii=False).encode()
                archive.writestr(MANIFEST, text, zipfile.ZIP_DEFLATED)
            _flush(part)
            path = folder / f"register-{moment:%Y%m%dT%H%M%SZ}-{hashlib.sha256(text).hexdigest()[:16]}.zip"
            os.replace(part, path)
        finally:
            part.unlink(missing_ok=True)
        flush_folder(folder)
    rows = sum(table.rows for table in facts.tables.values())
    return Made(path, rows, len(files), new, not_whole)


@contextmanager
def _alone_in(folder):
    """Two backups into one folder at once would clear away each other's files."""
    with open(folder / ".lock", "w") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as error:
            raise BackupRefused(f"Another backup into {folder} is under way. Wait for its end.") from error
        _clear_away_what_was_killed(folder)
        yield


def _clear_away_what_was_killed(folder):
    """Copies of the database and half archives of runs that had no time to do so: they would fill the disk."""
    for path in folder.glob(f"{ASIDE}*"):
        shutil.rmtree(path, ignore_errors=True)
    for path in (*folder.glob(f"*{PART}"), *folder.glob(f"kept/*/*{PART}")):
        path.unlink(missing_ok=True)


def _files(facts, media, folder, archive):
    """Put every file in its place; returns (digests by name, how many were new, sentences on what is not whole)."""
    found = [path for path in sorted(media.rglob("*")) if path.is_file() and not path.name.startswith(WRITING)]
    names = {path.relative_to(media).as_posix() for path in found}
    digests, new, not_whole = {}, 0, []
    for name in sorted(names | facts.kept_files.keys()):
        expected = facts.kept_files.get(name)
        source, digest = media / name, _digest_or_none(media / name)
        if expected and digest != expected:
            not_whole.append(f"{name} is {'not what was kept' if digest else 'missing'}")
            source = kept_path(folder, expected.sha256)
            if _digest_or_none(source) == expected:
                not_whole[-1] += "; it was taken from an earlier backup, from which it can be put back"
                digest = expected
            else:
                source = media / name
        if digest is None:
            continue
        if archive:
            digest = _put(archive, source, f"files/{name}")
        elif _keep(source, digest, folder):
            new += 1
        digests[name] = digest
    return digests, len(digests) if archive else new, not_whole


def _digest_or_none(path):
    try:
        return FileDigest(path.stat().st_size, digest_of_file(path))
    except (FileNotFoundError, IsADirectoryError):
        return None


def _keep(source, digest, folder):
    """Keep a file for all archives of the folder; returns whether it was new there."""
    path = kept_path(folder, digest.sha256)
    if path.exists() and path.stat().st_size == digest.size_bytes:
        return False
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o750)
    with source.open("rb") as read, tempfile.NamedTemporaryFile(dir=path.parent, suffix=PART, delete=False) as part:
        try:
            if copy_with_digest(read, part) != digest:
                raise BackupRefused(f"{source} changed while it was copied. Start the backup again.")
            part.flush()
            os.fsync(part.fileno())
            os.replace(part.name, path)
        except BaseException:
            Path(part.name).unlink(missing_ok=True)
            raise
    flush_folder(path.parent)
    return True


def _put(archive, source, member):
    info = zipfile.ZipInfo.from_file(source, member)
    with source.open("rb") as read, archive.open(info, "w", force_zip64=True) as target:
        return copy_with_digest(read, target)


def _flush(path):
    with open(path, "rb") as file:
        os.fsync(file.fileno())


def forget_older(folder, keep):
    """Remove all but the newest `keep` archives, and files that no archive names any more; returns (archives, files).

    While one archive that stays cannot be read, no file is removed: it may be needed. Raises ArchiveRefused then.
    """
    with _alone_in(Path(folder)):
        archives = archives_in(folder)
        gone, stays = archives[:-keep], archives[-keep:]
        needed = set()
        for path in stays:
            with Archive(path) as archive:
                needed |= {file.sha256 for file in archive.manifest.files.values()}
        for path in gone:
            path.unlink()
        files = [path for path in Path(folder, "kept").rglob("*") if path.is_file() and path.name not in needed]
        for path in files:
            path.unlink()
    return len(gone), len(files)
