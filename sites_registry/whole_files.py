"""Files are kept whole or not at all: written under another name, on the disk, and only then given their own.

A machine that stops in the middle of writing leaves no part of a file under the name that a record will look for.
"""

import os
from contextlib import suppress
from pathlib import Path
from tempfile import NamedTemporaryFile

from django.core.files.storage import FileSystemStorage

WRITING = ".writing-"


class _Written:
    """What is on the disk already and only has to be moved, as the storage knows it from large uploads."""

    def __init__(self, path):
        self._path = path

    def temporary_file_path(self):
        return self._path


class WholeFiles(FileSystemStorage):
    """The storage of Django, but that a file appears under its name when all of it is on the disk."""

    def _save(self, name, content):
        os.makedirs(self.location, exist_ok=True)
        with NamedTemporaryFile(dir=self.location, prefix=WRITING, delete=False) as part:
            try:
                for chunk in content.chunks():
                    part.write(chunk.encode() if isinstance(chunk, str) else chunk)
                part.flush()
                os.fsync(part.fileno())
                kept = super()._save(name, _Written(part.name))
            except BaseException:
                with suppress(FileNotFoundError):
                    os.unlink(part.name)
                raise
        _to_disk(Path(self.path(kept)).parent)
        return kept


def _to_disk(folder):
    """The name of a file is on the disk once its folder is."""
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
