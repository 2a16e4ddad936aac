"""Files are kept whole or not at all: written under another name, on the disk, and only then given their own.

A machine that stops in the middle of writing leaves no part of a file under the name that a record will look for.
Size and digest of each stand in the database (`KeptFile`), in the transaction of the record; what is read is held
against them.
"""

import hashlib
import os
import re
import time
from contextlib import suppress
from pathlib import Path
from tempfile import NamedTemporaryFile

from django.core.files.base import ContentFile
from django.core.files.storage import FileSystemStorage

WRITING = ".writing-"
DAY_S = 24 * 60 * 60
NAMED_BY_DIGEST = re.compile(r"[0-9a-f]{64}")


class NotWhole(Exception):
    """The file of a record is missing, or is not what was kept. `name` is its path below the folder of files."""

    def __init__(self, name, reason):
        super().__init__(f"The file {name} {reason}.")
        self.name = name


class _Written:
    """What is on the disk already and only has to be moved, as the storage knows it from large uploads."""

    def __init__(self, path):
        self._path = path

    def temporary_file_path(self):
        return self._path


class WholeFiles(FileSystemStorage):
    """The storage of Django, but that a file appears under its name when all of it is on the disk."""

    def keep(self, name, content):
        """Keep these bytes under exactly this name; returns it. The same bytes are not written twice.

        What lies there without a record is of a try that came to nothing, or torn: it is replaced.
        Raises FileExistsError: other bytes are kept under this name.
        """
        digest = hashlib.sha256(content).hexdigest()
        kept = self._recorded(name)
        if kept and kept.sha256 != digest:
            raise FileExistsError(f"Other bytes are kept as {name} already.")
        if self._digest_of_what_lies_there(name) != digest:
            path = Path(self.path(name))
            path.parent.mkdir(parents=True, exist_ok=True, mode=self.directory_permissions_mode or 0o777)
            written = self._written(ContentFile(content))[0]
            os.chmod(written, self.file_permissions_mode or 0o666)
            os.replace(written, path)
            flush_folder(path.parent)
        if kept is None:
            self._record(name, len(content), digest)
        return name

    def read_whole(self, name):
        """The bytes of a file as they were kept. Raises NotWhole, which says what is wrong with it; one query."""
        kept = self._recorded(name)
        try:
            with self.open(name, "rb") as file:
                content = file.read()
        except FileNotFoundError as error:
            raise NotWhole(name, "is missing") from error
        if kept is None:
            raise NotWhole(name, "has no digest on record (manage.py record_digests)")
        if len(content) != kept.size_bytes:
            raise NotWhole(name, f"has {len(content)} bytes and was kept with {kept.size_bytes}")
        if hashlib.sha256(content).hexdigest() != kept.sha256:
            raise NotWhole(name, "is not what was kept: its SHA-256 is another")
        return content

    def is_whole(self, name):
        try:
            return bool(name) and bool(self.read_whole(name))
        except NotWhole:
            return False

    def clear_away_what_was_killed(self):
        """Remove what a process that was killed had begun to write more than a day ago; returns how many."""
        begun = [path for path in Path(self.location).glob(f"{WRITING}*") if path.stat().st_mtime < time.time() - DAY_S]
        for path in begun:
            _forget(path)
        return len(begun)

    def delete(self, name):
        super().delete(name)
        self._records().filter(name=name).delete()

    def _save(self, name, content):
        path, size_bytes, digest = self._written(content)
        try:
            kept = super()._save(name, _Written(path))
        except BaseException:
            _forget(path)
            raise
        flush_folder(Path(self.path(kept)).parent)
        self._record(kept, size_bytes, digest)
        return kept

    def _written(self, content):
        """(temporary path, size in bytes, SHA-256) of these chunks, on the disk."""
        os.makedirs(self.location, exist_ok=True)
        digest = hashlib.sha256()
        with NamedTemporaryFile(dir=self.location, prefix=WRITING, delete=False) as part:
            try:
                for chunk in content.chunks():
                    piece = chunk.encode() if isinstance(chunk, str) else chunk
                    part.write(piece)
                    digest.update(piece)
                part.flush()
                os.fsync(part.fileno())
            except BaseException:
                _forget(part.name)
                raise
            return part.name, part.tell(), digest.hexdigest()

    def _digest_of_what_lies_there(self, name):
        try:
            return digest_of_file(self.path(name))
        except FileNotFoundError:
            return None

    def _record(self, name, size_bytes, digest):
        self._records().update_or_create(
            name=name, defaults={"size_bytes": size_bytes, "sha256": digest, "is_recorded_later": False}
        )

    def _recorded(self, name):
        return self._records().filter(name=name).first()

    def _records(self):
        # This file is read before the models are.
        from sites_registry.models import KeptFile

        return KeptFile.objects


def record_digests(kept_files, folder):
    """Record files that lie in a folder without a record, as they are now; returns how many.

    A name that is a digest says what the file was; so one that does not match it is recorded, and told, as torn. Half a
    PDF is not recorded. `kept_files`: the manager of KeptFile.
    """
    known = set(kept_files.values_list("name", flat=True))
    found = [path for path in sorted(Path(folder).rglob("*")) if path.is_file() and not path.name.startswith(WRITING)]
    new = [path for path in found if path.relative_to(folder).as_posix() not in known]
    rows = [_row_of(kept_files.model, path, folder) for path in new if not _is_half_a_pdf(path)]
    kept_files.bulk_create(rows, batch_size=500)
    return len(rows)


def _row_of(model, path, folder):
    named = NAMED_BY_DIGEST.match(path.name)
    return model(
        name=path.relative_to(folder).as_posix(),
        size_bytes=path.stat().st_size,
        sha256=named.group() if named else digest_of_file(path),
        is_recorded_later=True,
    )


def _is_half_a_pdf(path):
    if path.suffix != ".pdf":
        return False
    with open(path, "rb") as file:
        start = file.read(5)
        file.seek(max(0, path.stat().st_size - 32))
        return start != b"%PDF-" or b"%%EOF" not in file.read()


def digest_of_file(path):
    """SHA-256 of a file, in hexadecimal."""
    with open(path, "rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def flush_folder(folder):
    """The name of a file is on the disk once its folder is."""
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _forget(path):
    with suppress(FileNotFoundError):
        os.unlink(path)
