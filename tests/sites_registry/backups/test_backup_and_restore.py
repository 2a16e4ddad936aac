"""A register is backed up while it runs, and what is restored is compared with it row by row and file by file."""

import json
import shutil
import sqlite3
import zipfile
from contextlib import closing

import psycopg
import pytest
from django.db import connection

from sites_registry.backups import restoring
from sites_registry.backups.archives import Archive, ArchiveRefused, archives_in, check_archive, made_at
from sites_registry.backups.databases import DatabaseRefused
from sites_registry.backups.making import BackupRefused, _alone_in, forget_older, make_backup
from sites_registry.backups.restoring import RestoreRefused, put_back, restore
from tests.sites_registry.backups.conftest import CLIENTS, backed_up

# Without the mark pytest-django makes no database for tests, and the fixtures would work on the real one.
pytestmark = pytest.mark.django_db


def clients_in(database):
    opened = sqlite3.connect(database.path) if database.engine == "sqlite" else psycopg.connect(**database.parameters)
    with closing(opened):
        return opened.execute("SELECT name FROM sites_registry_client ORDER BY name").fetchall()


def contents(media):
    return {path.relative_to(media).as_posix(): path.read_bytes() for path in media.rglob("*") if path.is_file()}


class TestABackup:
    def test_it_holds_every_row_and_file_with_its_digest(self, register):
        with Archive(register.first.path) as archive:
            assert archive.manifest.tables["sites_registry_client"].rows == CLIENTS
            assert set(archive.manifest.files) == {"attachments/plan", "certificates/1.pdf", "photos/a.jpg"}
        assert (register.first.new_files, register.first.not_whole) == (3, [])

    def test_files_of_an_earlier_one_are_not_copied_again(self, register):
        (register.media / "a.txt").write_bytes(b"something new")
        try:
            second = backed_up(register)
        finally:
            (register.media / "a.txt").unlink()
        assert (second.files, second.new_files) == (4, 1)
        assert check_archive(second.path, register.database).files["photos/a.jpg"].size_bytes == len(b"a photo")

    def test_what_one_that_was_killed_left_is_cleared_away(self, register):
        left = [register.folder / ".database-1", register.folder / "1.part", register.folder / "kept" / "3f" / "1.part"]
        left[0].mkdir()
        left[2].parent.mkdir(exist_ok=True)
        for path in (left[0] / "database.sqlite3", *left[1:]):
            path.write_bytes(b"half")
        backed_up(register)
        assert [path for path in left if path.exists()] == []
        assert check_archive(register.first.path, register.database)

    def test_its_name_says_when_it_was_made(self, register):
        with Archive(register.first.path) as archive:
            assert made_at(register.first.path).isoformat() == archive.manifest.made_at

    @pytest.mark.parametrize("harm", ["gone", "altered"])
    def test_a_damaged_file_is_told_and_the_copy_of_an_earlier_backup_is_taken(self, register, harm):
        path = register.media / "photos" / "a.jpg"
        path.unlink() if harm == "gone" else path.write_bytes(b"A photo")
        try:
            made = backed_up(register)
        finally:
            path.write_bytes(b"a photo")
        assert made.not_whole == [
            f"photos/a.jpg is {'missing' if harm == 'gone' else 'not what was kept'}; "
            "it was taken from an earlier backup, from which it can be put back"
        ]
        assert check_archive(made.path, register.database)

    def test_two_at_once_do_not_get_into_each_others_way(self, register):
        with _alone_in(register.folder), pytest.raises(BackupRefused, match="Another backup into .* is under way"):
            backed_up(register)

    def test_one_that_fails_leaves_nothing_that_looks_like_a_backup(self, register, tmp_path, monkeypatch):
        def full(*_arguments):
            raise OSError(28, "No space left on device")

        monkeypatch.setattr("sites_registry.backups.making._files", full)
        with pytest.raises(OSError, match="No space left"):
            make_backup(database=register.database, media=register.media, folder=tmp_path)
        assert [path.name for path in tmp_path.iterdir()] == [".lock"]


class TestRestore:
    @pytest.mark.parametrize("which", ["first", "whole"])
    def test_every_row_and_file_is_there_again(self, register, empty_place, which):
        manifest = restore(getattr(register, which).path, database=empty_place.database, media=empty_place.media)
        assert clients_in(empty_place.database) == [(f"Tarn Estates {number}",) for number in range(CLIENTS)]
        assert contents(empty_place.media) == contents(register.media)
        assert manifest.rows > CLIENTS

    def test_it_takes_no_place_that_holds_a_register(self, register, empty_place):
        restore(register.first.path, database=empty_place.database, media=empty_place.media)
        with pytest.raises(RestoreRefused, match="There is a register in .* already"):
            restore(register.first.path, database=empty_place.database, media=empty_place.media)

    def test_nor_one_that_holds_files(self, register, empty_place):
        empty_place.media.mkdir()
        (empty_place.media / "plan").write_bytes(b"of another register")
        with pytest.raises(RestoreRefused, match="There are files in .* already"):
            restore(register.first.path, database=empty_place.database, media=empty_place.media)
        assert empty_place.database.is_empty()

    def test_a_backup_of_a_newer_version_is_not_restored(self, register, empty_place, monkeypatch):
        monkeypatch.setattr(
            restoring.MigrationLoader, "disk_migrations", {("sites_registry", "0001_initial"): None}, raising=False
        )
        monkeypatch.setattr(restoring.MigrationLoader, "__init__", lambda *_arguments: None)
        with Archive(register.first.path) as archive:
            archive.manifest.migrations.append("zones.9999_of_tomorrow")
            hindrance = restoring.what_hinders(archive, empty_place.database, empty_place.media)
        assert "is of a newer version of the register, with zones.9999_of_tomorrow" in hindrance

    def test_a_row_that_came_otherwise_is_told_by_its_table(self, register, empty_place, monkeypatch):
        put = type(empty_place.database).put

        def put_and_alter(database, source, tables):
            facts = put(database, source, tables)
            found = facts.tables["sites_registry_client"]
            facts.tables["sites_registry_client"] = type(found)(found.rows, "0" * 64)
            return facts

        monkeypatch.setattr(type(empty_place.database), "put", put_and_alter)
        with pytest.raises(
            RestoreRefused, match=f"sites_registry_client has {CLIENTS} rows as before, but they are not"
        ):
            restore(register.first.path, database=empty_place.database, media=empty_place.media)
        assert contents(empty_place.media) == {}

    def test_one_damaged_file_is_put_back_into_the_running_register(self, register):
        path = register.media / "photos" / "a.jpg"
        path.write_bytes(b"a pho")
        put_back(register.first.path, "photos/a.jpg", register.files)
        assert register.files.read_whole("photos/a.jpg") == b"a photo"
        with pytest.raises(RestoreRefused, match="has no file photos/b.jpg"):
            put_back(register.first.path, "photos/b.jpg", register.files)


class TestAnAlteredArchive:
    """Each is refused, restored as little as checked, and the first wrong file is named."""

    @pytest.fixture
    def copied(self, register, tmp_path):
        folder = tmp_path / "copied"
        shutil.copytree(register.folder, folder)
        return folder / register.first.path.name

    def refused(self, register, path, empty_place):
        with pytest.raises(ArchiveRefused) as checked:
            check_archive(path, register.database)
        with pytest.raises(ArchiveRefused):
            restore(path, database=empty_place.database, media=empty_place.media)
        assert empty_place.database.is_empty() and contents(empty_place.media) == {}
        return str(checked.value)

    @pytest.mark.parametrize("part", [0, 0.5, 0.99])
    def test_one_that_is_cut_short(self, register, copied, empty_place, part):
        content = copied.read_bytes()
        copied.write_bytes(content[: int(len(content) * part)])
        assert "is cut short or no archive" in self.refused(register, copied, empty_place)

    def test_one_whose_database_is_altered(self, register, copied, empty_place):
        member = register.database.member
        with zipfile.ZipFile(copied) as archive:
            start = archive.getinfo(member).header_offset + 200
        content = bytearray(copied.read_bytes())
        content[start] ^= 1
        copied.write_bytes(content)
        assert f"{member} in {copied} is missing, altered or cut short." in self.refused(register, copied, empty_place)

    def test_one_whose_manifest_says_otherwise(self, register, copied, empty_place):
        with zipfile.ZipFile(copied) as archive:
            members = {name: archive.read(name) for name in archive.namelist()}
        manifest = json.loads(members["manifest.json"])
        del manifest["files"]["photos/a.jpg"]
        members["manifest.json"] = json.dumps(manifest).encode()
        with zipfile.ZipFile(copied, "w") as archive:
            for name, content in members.items():
                archive.writestr(name, content)
        assert "manifest.json" in self.refused(register, copied, empty_place)

    @pytest.mark.parametrize("harm", ["altered", "cut short", "missing"])
    def test_one_of_whose_files_is_not_as_it_was(self, register, copied, empty_place, harm):
        with Archive(copied) as archive:
            sha256 = archive.manifest.files["certificates/1.pdf"].sha256
        kept = copied.parent / "kept" / sha256[:2] / sha256
        kept.unlink() if harm == "missing" else kept.write_bytes(b"%PDf" if harm == "altered" else b"%PD")
        assert "The file certificates/1.pdf is" in self.refused(register, copied, empty_place)

    def test_a_whole_one_of_whose_files_is_altered(self, register, tmp_path, empty_place):
        copied = tmp_path / register.whole.path.name
        copied.write_bytes(register.whole.path.read_bytes().replace(b"a photo", b"a phota"))
        assert f"files/photos/a.jpg in {copied} is" in self.refused(register, copied, empty_place)

    def test_something_else(self, register, tmp_path, empty_place):
        with zipfile.ZipFile(tmp_path / "photos.zip", "w") as archive:
            archive.writestr("a.jpg", b"a photo")
        assert "manifest.json" in self.refused(register, tmp_path / "photos.zip", empty_place)

    def test_one_whose_manifest_leads_out_of_the_folder(self, register, copied, empty_place):
        with zipfile.ZipFile(copied) as archive:
            manifest = json.loads(archive.read("manifest.json"))
        manifest["files"] = {"../../etc/cron.d/x": manifest["files"]["photos/a.jpg"]}
        path = copied.with_name("renamed.zip")
        with zipfile.ZipFile(path, "w") as archive:
            archive.writestr("manifest.json", json.dumps(manifest))
        assert "no path below a folder" in self.refused(register, path, empty_place)


class TestRetention:
    @pytest.fixture
    def folder(self, register, tmp_path):
        """Three archives of three hours; each has a file that the others do not have."""
        folder = tmp_path / "kept backups"
        for hour in (1, 2, 3):
            (register.media / "of-this-hour").write_bytes(f"hour {hour}".encode())
            made = make_backup(database=register.database, media=register.media, folder=folder)
            made.path.rename(folder / f"register-20260101T0{hour}0000Z-{made.path.name[-20:]}")
        (register.media / "of-this-hour").unlink()
        return folder

    def test_the_newest_stay_with_their_files_and_the_rest_goes(self, register, folder):
        assert forget_older(folder, keep=2) == (1, 1)
        assert [made_at(path).hour for path in archives_in(folder)] == [2, 3]
        for path in archives_in(folder):
            check_archive(path, register.database)

    def test_fewer_than_are_to_stay_all_stay(self, folder):
        assert forget_older(folder, keep=5) == (0, 0)

    def test_nothing_goes_while_one_that_stays_cannot_be_read(self, folder):
        archives_in(folder)[-1].write_bytes(b"")
        before = contents(folder)
        with pytest.raises(ArchiveRefused):
            forget_older(folder, keep=2)
        assert contents(folder) == before


def test_a_database_that_is_no_register_is_not_backed_up(register, empty_place, tmp_path):
    with pytest.raises(DatabaseRefused, match="holds no register|There is no register"):
        make_backup(database=empty_place.database, media=tmp_path, folder=tmp_path / "backups")


@pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL has no log beside its file")
def test_what_stands_only_in_the_log_of_sqlite_is_in_the_copy(register, tmp_path):
    """`cp` of a database in WAL mode copies none of it (SQLite, "How To Corrupt", 1.2)."""
    live = type(register.database)({"NAME": str(tmp_path / "live.sqlite3")})
    with closing(sqlite3.connect(live.path)) as writer:
        writer.executescript(
            "PRAGMA journal_mode=WAL; PRAGMA wal_autocheckpoint=0; CREATE TABLE django_migrations (app, name);"
        )
        writer.execute("INSERT INTO django_migrations VALUES ('zones', '0001_initial')")
        writer.commit()
        facts = live.copy(tmp_path / "copy.sqlite3")
    assert facts.tables["django_migrations"].rows == 1
