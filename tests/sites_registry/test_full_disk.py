"""A disk that is full or read-only, a real small one: reading goes on, writing says why, and nothing half is left."""

import os
import subprocess
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.urls import reverse

from sites_registry.models import Client, KeptFile
from tests import builders
from tests.zones.files.test_attachments import PDF
from zones.models import Attachment

pytestmark = pytest.mark.django_db
NOTHING_STORED = "Nothing of what you just sent was stored"


def mount(*arguments):
    return subprocess.run(["mount", *arguments], capture_output=True, check=False).returncode == 0


@pytest.fixture
def small_disk(tmp_path, settings, town):
    """The folder of files on a disk of 256 kB, with one file kept; unmounted afterwards."""
    folder = tmp_path / "disk"
    folder.mkdir()
    if os.getuid() != 0 or not mount("-t", "tmpfs", "-o", "size=256k", "tmpfs", str(folder)):
        pytest.skip("only root mounts a disk; where it may not, test_outages.py stands in with a limit of the process")
    settings.MEDIA_ROOT = folder
    try:
        town.kept = builders.make_attachment(building=town.hall)
        yield folder
    finally:
        subprocess.run(["umount", str(folder)], check=True)


@pytest.fixture
def office(as_, client):
    client.raise_request_exception = False
    return as_("office")


def send(office, town, content):
    upload = SimpleUploadedFile("strategy.pdf", content)
    return office.post(
        reverse("attachment-create", args=["building", town.hall.pk]), {"file": upload, "kind": "drawing"}
    )


def files_in(folder):
    return sorted(path.relative_to(folder).as_posix() for path in Path(folder).rglob("*") if path.is_file())


class TestFiles:
    def test_on_a_full_disk_nothing_half_is_left_and_what_is_kept_is_read(self, small_disk, office, town):
        before = files_in(small_disk)
        response = send(office, town, PDF + b"x" * 400_000)
        assert response.status_code == 507
        assert "There is no room left on the disk" in response.content.decode()
        assert NOTHING_STORED in response.content.decode()
        assert files_in(small_disk) == before
        assert Attachment.objects.count() == KeptFile.objects.count() == 1
        assert office.get(town.kept.get_absolute_url()).status_code == 200

    def test_with_room_again_the_same_file_is_taken(self, small_disk, office, town):
        (small_disk / "something else").write_bytes(b"x" * 200_000)
        assert send(office, town, PDF + b"x" * 150_000).status_code == 507
        (small_disk / "something else").unlink()
        assert send(office, town, PDF + b"x" * 150_000).status_code == 302

    def test_a_disk_that_can_only_be_read_says_so_and_is_read(self, small_disk, office, town):
        assert mount("-o", "remount,ro", str(small_disk))
        response = send(office, town, PDF + b"another")
        assert response.status_code == 507
        assert "The disk of the register cannot be written." in response.content.decode()
        assert Attachment.objects.count() == 1
        assert office.get(town.kept.get_absolute_url()).status_code == 200


@pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL has a disk of its own")
class TestDatabase:
    @pytest.fixture
    def read_only(self, town):
        """SQLite answers as it does on a disk that is mounted read-only."""
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA query_only = ON")
            yield
            cursor.execute("PRAGMA query_only = OFF")

    def test_it_stays_open_between_requests(self):
        """To open a database anew SQLite makes the files of its log (SQLite, "WAL-mode File Format", 2.2), for which a
        full disk has no room: then not even a page could be read."""
        assert connection.settings_dict["CONN_MAX_AGE"] is None

    def test_pages_are_read_and_a_form_says_why_it_was_not_taken(self, office, town, read_only):
        assert office.get(reverse("client-list")).status_code == 200
        assert office.get(town.hall.get_absolute_url()).status_code == 200
        response = office.post(reverse("client-create"), {"name": "Tarn Estates"})
        assert response.status_code == 507 and NOTHING_STORED in response.content.decode()
        assert not Client.objects.filter(name="Tarn Estates").exists()
