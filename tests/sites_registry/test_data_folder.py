"""The data folder is for this account and its group, from the first moment and whatever it was before."""

import os
import stat
import subprocess

import pytest

from tests.sites_registry.test_start import GOOD, ROOT, run

READABLE_BY_ALL = 0o022  # the umask of most machines


def open_to_others(folder):
    """What somebody of another account could read or anybody of the group could write, below and with `folder`."""
    everything = [folder, *folder.rglob("*")]
    return [path for path in everything if stat.S_IMODE(path.lstat().st_mode) & 0o027]


@pytest.fixture
def loose_umask():
    before = os.umask(READABLE_BY_ALL)
    yield
    os.umask(before)


@pytest.fixture
def data(tmp_path, loose_umask):
    return tmp_path / "data"


START = ["-c", "import sites_registry.settings"]
WRITE_ONE_OF_EACH = """
import django, sys
django.setup()
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.mail import send_mail
from django.core.management import call_command
from django.db import connection
call_command("migrate", "sites_registry", verbosity=0)
connection.cursor().execute("CREATE TABLE held_open (n)")  # so that the write-ahead log is there while one looks
default_storage.save("papers/strategy.pdf", ContentFile(b"%PDF"))
send_mail("Your log-in", "A link", None, ["nell@tarn.example"])
from pathlib import Path
for path in sorted(Path(sys.argv[1]).rglob("*")):
    print(oct(path.stat().st_mode & 0o777), path.relative_to(sys.argv[1]).parts[0])
"""


def test_database_its_log_files_and_mail_are_closed_to_others_when_they_are_written(tmp_path, data):
    environment = {**GOOD, "DJANGO_SETTINGS_MODULE": "sites_registry.settings"}
    done = run(tmp_path, ["-c", WRITE_ONE_OF_EACH, str(data)], **environment)
    assert done.returncode == 0, done.stderr
    lines = done.stdout.splitlines()
    assert {line.split()[1] for line in lines} >= {"register.sqlite3", "register.sqlite3-wal", "files", "mail"}
    assert [line for line in lines if int(line.split()[0], 8) & 0o027] == []
    assert open_to_others(data) == [] and "open to others" not in done.stderr


def test_the_folder_is_closed_before_anything_is_written(tmp_path, data):
    run(tmp_path, START, **GOOD)
    assert stat.S_IMODE(data.stat().st_mode) == 0o750
    assert {path.name for path in data.iterdir()} == {"files", "log", "mail", "static"}


def test_the_secret_key_is_for_this_account_alone(tmp_path, data):
    subprocess.run([ROOT / ".ci" / "secret_key", data / "secret_key"], check=True, capture_output=True)
    assert stat.S_IMODE((data / "secret_key").stat().st_mode) == 0o600
    assert stat.S_IMODE(data.stat().st_mode) == 0o750


class TestAFolderThatWasOpen:
    @pytest.fixture(autouse=True)
    def older_register(self, data):
        (data / "mail").mkdir(parents=True)
        (data / "files" / "papers").mkdir(parents=True)
        for name in ("register.sqlite3", "register.sqlite3-wal", "secret_key", "mail/1.log", "files/papers/a.pdf"):
            (data / name).write_text("")

    def test_it_is_tightened_and_that_is_said(self, tmp_path, data):
        assert len(open_to_others(data)) == 9
        done = run(tmp_path, START, **GOOD)
        assert open_to_others(data) == []
        assert f"The data folder {data} was open to others on this machine" in done.stderr
        assert "9 of its folders and files" in done.stderr

    def test_the_second_start_says_nothing(self, tmp_path, data):
        run(tmp_path, START, **GOOD)
        assert run(tmp_path, START, **GOOD).stderr == ""

    def test_one_open_file_in_a_closed_folder_is_tightened_too(self, tmp_path, data):
        run(tmp_path, START, **GOOD)
        (data / "register.sqlite3").chmod(0o644)
        assert "1 of its folders and files" in run(tmp_path, START, **GOOD).stderr
        assert open_to_others(data) == []

    def test_what_a_link_in_it_leads_to_is_left_alone(self, tmp_path, data):
        elsewhere = tmp_path / "elsewhere.pdf"
        elsewhere.write_text("")
        (data / "files" / "link.pdf").symlink_to(elsewhere)
        run(tmp_path, START, **GOOD)
        assert stat.S_IMODE(elsewhere.stat().st_mode) == 0o644


class TestAFolderOfOthers:
    """A folder named by mistake is refused, never closed to the people who use it."""

    def test_one_that_holds_other_things_is_refused_and_left_as_it_is(self, tmp_path, data):
        (data / "somebodys").mkdir(parents=True)
        done = run(tmp_path, START, **GOOD)
        assert done.returncode != 0
        assert "is not the register's alone; expected a folder of its own, such as" in done.stderr
        assert stat.S_IMODE(data.stat().st_mode) == 0o755 and os.listdir(data) == ["somebodys"]

    def test_it_is_refused_the_second_time_too_when_the_key_is_in_it_already(self, tmp_path, data):
        (data / "somebodys").mkdir(parents=True)
        (data / "secret_key").write_text("k" * 50)
        assert "expected a folder of its own" in run(tmp_path, START, **GOOD).stderr
        assert stat.S_IMODE(data.stat().st_mode) == 0o755

    def test_one_that_everybody_puts_things_into_is_refused(self, tmp_path, data):
        data.mkdir()
        data.chmod(0o1777)
        done = run(tmp_path, START, **GOOD)
        assert "expected a folder of its own" in done.stderr
        assert stat.S_IMODE(data.stat().st_mode) == 0o1777
