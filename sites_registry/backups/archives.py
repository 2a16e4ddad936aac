"""An archive of the register: a ZIP with the database and a manifest of digests; files inside, or once for all.

    FOLDER/register-20261130T023000Z-3f9a1c2b5d6e7f80.zip   manifest.json, database.…, files/… where it is whole
    FOLDER/kept/3f/3f9a…                  the files, by their SHA-256, shared by all archives of the folder

The name of an archive carries the time and the beginning of the digest of its manifest.
"""

import hashlib
import json
import re
import tempfile
import zipfile
import zlib
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path, PurePosixPath

from sites_registry.backups.databases import DatabaseRefused
from sites_registry.backups.digests import FileDigest, TableDigest, copy_with_digest, first_difference

FORMAT = "backup of a smoke control register, 1"
MANIFEST = "manifest.json"
NAME = re.compile(r"register-(\d{8}T\d{6}Z)-([0-9a-f]{16})\.zip")
DAMAGED = (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, KeyError, TypeError, NotImplementedError)


class ArchiveRefused(Exception):
    """The archive is not whole or not one of the register; the message names the first wrong file."""


@dataclass(frozen=True)
class Manifest:
    """What an archive holds, each with its digest."""

    made_at: str
    engine: str
    server: str
    migrations: list[str]
    member: str
    database: FileDigest
    tables: dict[str, TableDigest]
    files: dict[str, FileDigest]
    is_whole: bool

    @classmethod
    def from_json(cls, text):
        found = json.loads(text)
        if found.pop("format") != FORMAT:
            raise ValueError("of another format")
        database = FileDigest(**found.pop("database"))
        tables = {name: TableDigest(**digest) for name, digest in found.pop("tables").items()}
        files = {_checked_path(name): FileDigest(**digest) for name, digest in found.pop("files").items()}
        return cls(database=database, tables=tables, files=files, **found)

    @property
    def rows(self):
        return sum(table.rows for table in self.tables.values())

    @property
    def bytes_of_files(self):
        return sum(file.size_bytes for file in self.files.values())


def _checked_path(name):
    """A path that stays below the folder of files, whoever wrote the manifest."""
    path = PurePosixPath(name)
    if path.is_absolute() or ".." in path.parts or not path.parts:
        raise ValueError(f"'{name}' is no path below a folder")
    return name


def archives_in(folder):
    """The archives in a folder, the oldest first."""
    return sorted(path for path in Path(folder).glob("register-*.zip") if NAME.fullmatch(path.name))


def made_at(path):
    """When an archive was made, by its name."""
    return datetime.strptime(NAME.fullmatch(path.name)[1], "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC)


def kept_path(folder, digest):
    """Where a file of this SHA-256 lies for all archives of a folder."""
    return Path(folder) / "kept" / digest[:2] / digest


class Archive:
    """An archive that is there, to read. Use it as a context; raises ArchiveRefused."""

    def __init__(self, path):
        self.path = Path(path)

    def __enter__(self):
        try:
            self.zip = zipfile.ZipFile(self.path)
        except FileNotFoundError as error:
            raise ArchiveRefused(f"There is no archive {self.path}.") from error
        except DAMAGED as error:
            raise ArchiveRefused(f"{self.path} is cut short or no archive: its end cannot be read.") from error
        try:
            self.manifest = self._read_manifest()
        except BaseException:
            self.zip.close()
            raise
        return self

    def __exit__(self, *_exception):
        self.zip.close()

    def _read_manifest(self):
        try:
            text = self.zip.read(MANIFEST)
            manifest = Manifest.from_json(text)
        except DAMAGED as error:
            raise ArchiveRefused(f"{MANIFEST} in {self.path} cannot be read: {error}.") from error
        named = NAME.fullmatch(self.path.name)
        if named and named[2] != hashlib.sha256(text).hexdigest()[:16]:
            raise ArchiveRefused(f"{MANIFEST} in {self.path} is not the one that the archive was made with.")
        return manifest

    def copy_file(self, name, target):
        """Copy a kept file into an open one; raises ArchiveRefused unless it is what the manifest says."""
        expected = self.manifest.files[name]
        if self.manifest.is_whole:
            return self._copy(f"files/{name}", expected, target)
        path = kept_path(self.path.parent, expected.sha256)
        try:
            with path.open("rb") as source:
                found = copy_with_digest(source, target)
        except FileNotFoundError as error:
            raise ArchiveRefused(f"The file {name} is missing: it should lie in {path}.") from error
        if found != expected:
            raise ArchiveRefused(f"The file {name} is altered or cut short; it lies in {path}.")
        return None

    def copy_database(self, target):
        self._copy(self.manifest.member, self.manifest.database, target)

    def _copy(self, member, expected, target):
        try:
            with self.zip.open(member) as source:
                found = copy_with_digest(source, target)
        except DAMAGED as error:
            raise ArchiveRefused(f"{member} in {self.path} is missing, altered or cut short.") from error
        if found != expected:
            raise ArchiveRefused(f"{member} in {self.path} is altered or cut short.")


@contextmanager
def database_of_archive(archive):
    """The path of its database, unpacked beside nobody for as long as it is needed."""
    with tempfile.TemporaryDirectory(prefix="register-backup-") as folder:
        path = Path(folder) / archive.manifest.member
        with path.open("wb") as target:
            archive.copy_database(target)
        yield path


def check_archive(path, database):
    """Read all of an archive against its manifest, its database too; returns the Manifest. Raises ArchiveRefused.

    `database`: of which kind it is, asked to read its own copy.
    """
    with Archive(path) as archive:
        with database_of_archive(archive) as copy:
            check_database(archive, database, copy)
        with open("/dev/null", "wb") as nowhere:
            for name in archive.manifest.files:
                archive.copy_file(name, nowhere)
        return archive.manifest


def check_database(archive, database, copy):
    """Hold the tables of an unpacked database against the manifest, as far as that goes before it is restored."""
    if database.engine != archive.manifest.engine:
        return
    try:
        facts = database.facts_of_copy(copy)
    except DatabaseRefused as error:
        raise ArchiveRefused(f"The database in {archive.path} cannot be read: {error}") from error
    if facts and (difference := first_difference(archive.manifest.tables, facts.tables)):
        raise ArchiveRefused(f"The database in {archive.path} is not the one that was copied: {difference}")
