"""What 'saved' means for a file and for a row: on the disk, whole, or not there at all."""

import os
import sqlite3
from contextlib import closing

import pytest
from django.conf import settings
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from sites_registry.whole_files import WholeFiles


@pytest.fixture
def files(tmp_path):
    return WholeFiles(location=tmp_path / "files")


def read(files, name):
    with files.open(name) as kept:
        return kept.read()


def names(files):
    return sorted(name for _, _, found in os.walk(files.location) for name in found)


class Breaks(ContentFile):
    """Content of which only the first part can be read, as when a disk is full or the machine stops."""

    def chunks(self, chunk_size=None):
        yield b"the first part"
        raise OSError("No space left on device")


def test_a_file_that_could_not_be_written_whole_is_not_there(files):
    with pytest.raises(OSError, match="No space left"):
        files.save("a/paper.pdf", Breaks(b""))
    assert names(files) == []


def test_a_file_is_on_the_disk_before_it_has_its_name_and_the_name_after(files, monkeypatch):
    seen, sync = [], os.fsync

    def noted(descriptor):
        seen.append(os.path.isdir(f"/proc/self/fd/{descriptor}") or names(files))
        sync(descriptor)

    monkeypatch.setattr(os, "fsync", noted)
    files.save("a/paper.pdf", ContentFile(b"all of it"))
    (before, after) = seen
    assert "paper.pdf" not in before and after is True
    assert read(files, "a/paper.pdf") == b"all of it"


def test_a_name_that_is_taken_keeps_what_it_has(files):
    first, second = (files.save("paper.txt", ContentFile(words)) for words in ("one", "two"))
    assert first == "paper.txt" and second != first
    assert read(files, first) == b"one" and read(files, second) == b"two"


def test_the_register_keeps_its_files_like_this():
    assert isinstance(default_storage, WholeFiles)


def test_a_row_that_is_saved_is_on_the_disk(tmp_path):
    with closing(sqlite3.connect(tmp_path / "register.sqlite3")) as register:
        register.executescript(settings.SQLITE_AT_EACH_CONNECT)
        assert register.execute("PRAGMA synchronous").fetchone() == (2,)  # FULL, by the pages of SQLite
