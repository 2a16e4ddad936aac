"""What the commands say, and what they refuse before they begin."""

import io

import pytest
from django.core.files.storage import storages
from django.core.management import CommandError, call_command

from sites_registry.backups.archives import archives_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def of_this_register(settings, register):
    """The commands work on the register of the fixture."""
    settings.MEDIA_ROOT = register.media
    return register


def told(*arguments, **options):
    words = io.StringIO()
    call_command(*arguments, stdout=words, **options)
    return words.getvalue()


def test_a_backup_is_made_told_and_checked(of_this_register, tmp_path):
    assert "3 files, 3 of them copied now. Keys are in no backup" in told("backup", tmp_path / "backups")
    (path,) = archives_in(tmp_path / "backups")
    assert f"{path} is whole: " in told("backup", check=path)


def test_a_damaged_file_makes_it_fail_after_all_else_was_copied(of_this_register, tmp_path):
    damaged = of_this_register.media / "photos" / "a.jpg"
    damaged.write_bytes(b"half")
    try:
        with pytest.raises(CommandError, match="was made, with 1 file of the register not whole:\nphotos/a.jpg is not"):
            told("backup", tmp_path / "backups")
    finally:
        damaged.write_bytes(b"a photo")
    assert len(archives_in(tmp_path / "backups")) == 1


def test_to_keep_none_is_refused(of_this_register, tmp_path):
    with pytest.raises(CommandError, match="--keep is 0; expected 1 or more"):
        told("backup", tmp_path / "backups", keep=0)
    assert not (tmp_path / "backups").exists()


def test_a_restore_over_a_register_is_refused_before_anything_is_asked(of_this_register):
    with pytest.raises(CommandError, match="There is a register in .* already"):
        told("restore", of_this_register.first.path)


def test_an_archive_that_is_not_there_is_told(of_this_register, tmp_path):
    with pytest.raises(CommandError, match="There is no archive"):
        told("restore", tmp_path / "register.zip")


def test_one_file_is_put_back(of_this_register):
    damaged = of_this_register.media / "photos" / "a.jpg"
    damaged.write_bytes(b"half")
    assert (
        told("restore", of_this_register.first.path, file="photos/a.jpg") == "photos/a.jpg is whole again (7 bytes).\n"
    )
    assert storages["default"].read_whole("photos/a.jpg") == b"a photo"
