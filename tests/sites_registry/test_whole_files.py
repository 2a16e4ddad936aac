"""What 'saved' means for a file and for a row: on the disk, whole, or not there at all."""

import hashlib
import io
import os
import sqlite3
import time
from contextlib import closing
from pathlib import Path

import pytest
from django.conf import settings
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.management import call_command

from sites_registry.models import KeptFile
from sites_registry.whole_files import NotWhole, WholeFiles

pytestmark = pytest.mark.django_db


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


def test_what_a_killed_process_had_begun_is_cleared_away_after_a_day(files):
    files.save("paper.pdf", ContentFile(b"all of it"))
    for name, hours_ago in ((".writing-old", 25), (".writing-now", 1)):
        path = Path(files.path(name))
        path.write_bytes(b"half of")
        os.utime(path, (time.time() - hours_ago * 3600,) * 2)
    assert files.clear_away_what_was_killed() == 1
    assert names(files) == [".writing-now", "paper.pdf"]


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


def test_what_is_kept_is_read_by_its_size_and_digest(files):
    files.keep("a/plan.png", b"all of the plan")
    kept = KeptFile.objects.get(name="a/plan.png")
    assert (kept.size_bytes, kept.sha256) == (15, hashlib.sha256(b"all of the plan").hexdigest())
    assert files.read_whole("a/plan.png") == b"all of the plan"


@pytest.mark.parametrize(
    ("lies_there", "sentence"),
    [
        (None, "is missing"),
        (b"all of the pl", "has 13 bytes and was kept with 15"),
        (b"all of the plum", "is not what was kept"),
    ],
)
def test_what_lies_there_now_is_not_read_as_whole_unless_it_is(files, lies_there, sentence):
    files.keep("a/plan.png", b"all of the plan")
    path = Path(files.path("a/plan.png"))
    path.unlink() if lies_there is None else path.write_bytes(lies_there)
    with pytest.raises(NotWhole, match=rf"^The file a/plan\.png {sentence}"):
        files.read_whole("a/plan.png")


def test_what_a_torn_upload_left_under_the_name_is_replaced(files):
    path = Path(files.path("a/plan.png"))
    path.parent.mkdir(parents=True)
    path.write_bytes(b"all of")  # as a register left it that wrote files in place
    files.keep("a/plan.png", b"all of the plan")
    assert files.read_whole("a/plan.png") == b"all of the plan"


def test_a_torn_file_is_whole_again_once_the_same_bytes_are_kept(files):
    files.keep("a/plan.png", b"all of the plan")
    Path(files.path("a/plan.png")).write_bytes(b"all of")
    files.keep("a/plan.png", b"all of the plan")
    assert files.read_whole("a/plan.png") == b"all of the plan"
    assert KeptFile.objects.count() == 1


def test_other_bytes_do_not_take_the_place_of_what_is_kept(files):
    files.keep("a/plan.png", b"all of the plan")
    with pytest.raises(FileExistsError):
        files.keep("a/plan.png", b"another plan")
    assert files.read_whole("a/plan.png") == b"all of the plan"


class TestFilesOfAnOlderRegister:
    """They have no digest on record: it is taken once, and told from those of the day."""

    @pytest.fixture
    def folder(self):
        """The folder of files of this test's register."""
        folder = Path(default_storage.location)
        (folder / "certificates").mkdir(parents=True)
        return folder

    def test_each_is_recorded_as_it_lies_there_and_marked(self, folder):
        (folder / "certificates" / "2024-0001.pdf").write_bytes(b"%PDF-1.7 all of it %%EOF")
        call_command("record_digests", stdout=io.StringIO())
        assert default_storage.read_whole("certificates/2024-0001.pdf").startswith(b"%PDF")
        assert KeptFile.objects.get().is_recorded_later

    def test_one_that_is_named_by_its_digest_and_torn_is_told(self, folder):
        name = hashlib.sha256(b"all of the plan").hexdigest()
        (folder / name).write_bytes(b"all of the")
        call_command("record_digests", stdout=io.StringIO())
        with pytest.raises(NotWhole, match="is not what was kept"):
            default_storage.read_whole(name)

    def test_half_a_pdf_is_not_taken_for_a_whole_one(self, folder):
        (folder / "certificates" / "2024-0001.pdf").write_bytes(b"%PDF-1.7 all")
        call_command("record_digests", stdout=io.StringIO())
        with pytest.raises(NotWhole, match="has no digest on record"):
            default_storage.read_whole("certificates/2024-0001.pdf")

    def test_nothing_that_is_recorded_is_recorded_again(self, folder):
        default_storage.keep("plan.png", b"all of the plan")
        Path(default_storage.path("plan.png")).write_bytes(b"altered")
        told = io.StringIO()
        call_command("record_digests", stdout=told)
        assert told.getvalue() == "Every kept file has its digest.\n"
        with pytest.raises(NotWhole):
            default_storage.read_whole("plan.png")
