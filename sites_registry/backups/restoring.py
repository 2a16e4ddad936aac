"""Restore a backup into an empty place, compared row by row and file by file; or one file into a running register."""

import os
import tempfile
from io import BytesIO
from pathlib import Path

from django.db.migrations.loader import MigrationLoader

from sites_registry.backups.archives import Archive, check_database, database_of_archive
from sites_registry.backups.digests import first_difference
from sites_registry.whole_files import digest_of_file, flush_folder


class RestoreRefused(Exception):
    """Nothing was restored, or what was restored is not the same; the message says which and what to do."""


def what_hinders(archive, database, media):
    """Why this archive cannot be restored there, or None."""
    manifest = archive.manifest
    if manifest.engine != database.engine:
        return (
            f"{archive.path} holds a {manifest.engine} database, and the settings name {database}. Restore it where it "
            "belongs (DATABASE_URL); make to-postgres then moves a register from SQLite to PostgreSQL."
        )
    known = {".".join(each) for each in MigrationLoader(None).disk_migrations}
    ours = {name for name in manifest.migrations if name.split(".")[0] in ("sites_registry", "zones", "inspections")}
    if known and (unknown := sorted(ours - known)):
        return f"{archive.path} is of a newer version of the register, with {unknown[0]}. Restore it with that version."
    if not database.is_empty():
        return f"There is a register in {database} already. A backup is restored into an empty place only."
    if any(path.is_file() for path in Path(media).rglob("*")):
        return f"There are files in {media} already. A backup is restored into an empty place only."
    return None


def restore(path, *, database, media):
    """Restore an archive; returns its Manifest. Raises ArchiveRefused, DatabaseRefused, RestoreRefused.

    Files first, the database last: without it nothing is a register yet, and the restore can be started again.
    """
    with Archive(path) as archive:
        if hindrance := what_hinders(archive, database, media):
            raise RestoreRefused(hindrance)
        with database_of_archive(archive) as copy:
            check_database(archive, database, copy)
            written = []
            try:
                for name in archive.manifest.files:
                    written.append(_restore_file(archive, name, Path(media)))
                facts = database.put(copy, archive.manifest.tables)
                _compare(archive.manifest, facts, database)
            except BaseException:
                for file in written:
                    file.unlink(missing_ok=True)
                raise
        return archive.manifest


def _restore_file(archive, name, media):
    path = media / name
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o750)
    with tempfile.NamedTemporaryFile(dir=path.parent, prefix=".writing-", delete=False) as part:
        try:
            archive.copy_file(name, part)
            part.flush()
            os.fsync(part.fileno())
            os.chmod(part.name, 0o640)
            os.replace(part.name, path)
        except BaseException:
            Path(part.name).unlink(missing_ok=True)
            raise
    flush_folder(path.parent)
    if digest_of_file(path) != archive.manifest.files[name].sha256:
        path.unlink()
        raise RestoreRefused(f"The disk gives back {path} otherwise than it was written. Nothing was restored.")
    return path


def _compare(manifest, facts, database):
    if difference := first_difference(manifest.tables, facts.tables):
        raise RestoreRefused(f"{difference} Do not use {database}: empty it and restore again.")


def put_back(path, name, storage):
    """Put one file of an archive back into a running register; returns its size in bytes.

    Raises ArchiveRefused, RestoreRefused: the archive has no such file, or another than the register kept.
    """
    with Archive(path) as archive:
        if name not in archive.manifest.files:
            raise RestoreRefused(f"{path} has no file {name}.")
        content = BytesIO()
        archive.copy_file(name, content)
    try:
        storage.keep(name, content.getvalue())
    except FileExistsError as error:
        raise RestoreRefused(f"{name} in {path} is not what the register kept. Take another archive.") from error
    return len(content.getvalue())
