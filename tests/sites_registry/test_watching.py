"""What watches over the register asks it; what is wrong with a deployment is told with its remedy."""

import io
import logging
import os
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import DatabaseError, connection
from django.urls import reverse

from inspections.deployment_checks import papers
from inspections.models import Certificate
from sites_registry import deployment_checks, readiness
from sites_registry.logs import OF_THIS_REQUEST, DayFiles, JsonLine
from sites_registry.models import KeptFile
from tests import builders

BACKUP = "register-{:%Y%m%dT%H%M%SZ}-0123456789abcdef.zip"


@pytest.fixture(autouse=True)
def asked_anew():
    readiness._found_in.cache_clear()
    yield
    readiness._found_in.cache_clear()


def away(*_arguments, **_options):
    raise DatabaseError("away")


class TestHealth:
    def test_it_is_alive_whatever_became_of_the_database(self, client, django_assert_num_queries, db):
        with django_assert_num_queries(0):
            assert client.get(reverse("health")).json() == {"is_alive": True}

    @pytest.mark.django_db
    def test_it_is_asked_without_https_from_beside_the_register(self, client, settings):
        settings.SECURE_SSL_REDIRECT = True
        assert client.get(reverse("ready")).status_code == 200
        assert client.get(reverse("log-in")).status_code == 301


@pytest.mark.django_db
class TestReady:
    def test_it_is_when_database_migrations_and_disk_are_well(self, client):
        answer = client.get(reverse("ready"))
        assert answer.status_code == 200
        assert answer.json()["checks"] == {"database": "well", "migrations": "well", "disk": "well"}

    def test_it_says_when_the_newest_backup_was_made(self, client, settings, tmp_path):
        settings.BACKUP_DIR = tmp_path
        assert client.get(reverse("ready")).json()["hours_since_backup"] is None
        (tmp_path / BACKUP.format(datetime.now(UTC) - timedelta(hours=7))).touch()
        assert client.get(reverse("ready")).json()["hours_since_backup"] == 7.0

    def test_it_is_not_while_the_database_is_behind_this_version(self, client, monkeypatch):
        monkeypatch.setattr(readiness, "known_migrations", lambda: {("zones", "9998_a"), ("zones", "9999_b")})
        answer = client.get(reverse("ready"))
        assert answer.status_code == 503
        assert answer.json()["checks"]["migrations"] == "The database is 2 steps behind this version."

    def test_it_is_not_while_the_database_is_away(self, client, monkeypatch):
        monkeypatch.setattr(connection, "cursor", away)
        answer = client.get(reverse("ready"))
        assert (answer.status_code, answer.json()["is_ready"]) == (503, False)
        assert answer.json()["checks"]["database"] == "The database does not answer."

    def test_it_is_not_while_files_cannot_be_written(self, client, settings, tmp_path):
        (tmp_path / "taken").write_text("a file where the folder should be")
        settings.MEDIA_ROOT = tmp_path / "taken" / "files"
        assert client.get(reverse("ready")).json()["checks"]["disk"] == "The disk of the data folder cannot be written."

    def test_it_is_not_when_the_disk_is_almost_full(self, client, monkeypatch):
        monkeypatch.setattr(readiness, "LEAST_FREE_BYTES", 10**18)
        assert client.get(reverse("ready")).json()["checks"]["disk"] == "The disk of the data folder is almost full."

    def test_asked_often_it_asks_the_database_once(self, client, django_assert_max_num_queries):
        with django_assert_max_num_queries(4):
            for _ in range(20):
                client.get(reverse("ready"))


def found_by(*checks):
    return [one.what for check in checks for one in check()]


@pytest.mark.django_db
class TestDoctor:
    def test_nothing_is_wrong_where_every_check_is_content(self, monkeypatch):
        monkeypatch.setattr("sites_registry.management.commands.doctor.what_is_wrong", deployment_checks.clock)
        told = io.StringIO()
        call_command("doctor", stdout=told)
        assert told.getvalue() == "Nothing is wrong.\n"

    def test_it_asks_all_and_fails_with_their_number(self, settings):
        settings.SECRET_KEY, settings.ALLOWED_HOSTS = "short", ["*"]
        told = io.StringIO()
        with pytest.raises(CommandError, match=r"^\d+ things to put right\.$"):
            call_command("doctor", stdout=told)
        assert "▲ The secret key is the one for trials" in told.getvalue()
        assert "▲ REGISTER_ALLOWED_HOSTS is *" in told.getvalue() and "    Set REGISTER_SECRET_KEY" in told.getvalue()

    def test_debug_in_a_deployment(self, settings):
        settings.DEBUG = True
        assert "REGISTER_DEBUG is 1" in found_by(deployment_checks.keys)[0]

    def test_passwords_in_clear(self, settings):
        settings.PUBLIC_URL, settings.BEHIND_TLS = "http://register.tarn.example:8000", False
        assert "passwords travel in clear" in found_by(deployment_checks.way_in)[0]
        settings.BEHIND_TLS = True
        assert found_by(deployment_checks.way_in) == []

    def test_a_key_and_a_folder_that_others_read(self, settings, tmp_path):
        settings.DATA_DIR, settings.SECRET_KEY = tmp_path, "k" * 50
        (tmp_path / "secret_key").touch(mode=0o600)
        tmp_path.chmod(0o750)
        assert found_by(deployment_checks.keys, deployment_checks.data_folder) == []
        (tmp_path / "secret_key").chmod(0o644)
        tmp_path.chmod(0o755)
        wrong = found_by(deployment_checks.keys, deployment_checks.data_folder)
        assert "can read a secret key" in wrong[0] and "can read or write" in wrong[1]

    def test_little_room(self, monkeypatch):
        monkeypatch.setattr(deployment_checks, "LEAST_FREE_BYTES", 10**18)
        assert any("GB of room left" in words for words in found_by(deployment_checks.data_folder))

    def test_a_database_that_does_not_wait_for_the_disk(self):
        """SQLite of the tests does not, and PostgreSQL of the tests neither (.ci/with_postgres)."""
        assert any("loss of power" in words for words in found_by(deployment_checks.database_settings))

    def test_a_kept_file_that_is_gone_and_one_that_nobody_knows(self, town, settings):
        attachment = builders.make_attachment(building=town.hall)
        assert found_by(deployment_checks.kept_files) == []
        os.rename(attachment.file.path, Path(settings.MEDIA_ROOT) / "elsewhere")
        lost, unknown = found_by(deployment_checks.kept_files)
        assert lost == f"1 kept file missing or cut short, {attachment.file.name} the first."
        assert unknown.startswith("1 file without a digest on record, elsewhere the first")

    def test_backups(self, settings, tmp_path):
        settings.BACKUP_DIR = settings.DATA_DIR = tmp_path
        assert found_by(deployment_checks.backups) == [f"There is no backup in {tmp_path}."]
        (tmp_path / BACKUP.format(datetime(2026, 1, 2, 3, 4, tzinfo=UTC))).touch()
        old, beside = found_by(deployment_checks.backups)
        assert (
            old == f"The newest backup in {tmp_path} is of 2 Jan 2026, 03:04 UTC." and "disk of the register" in beside
        )
        (tmp_path / BACKUP.format(datetime.now(UTC))).touch()
        assert len(found_by(deployment_checks.backups)) == 1

    def test_a_mail_server_that_is_not_there(self, settings):
        settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
        settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", 1
        assert "127.0.0.1:1 does not let the register in" in found_by(deployment_checks.mail)[0]

    def test_a_clock_that_went_back(self):
        KeptFile.objects.create(name="a", size_bytes=1, sha256="a", kept_at=datetime.now(UTC) + timedelta(days=2))
        assert "a file was kept later" in found_by(deployment_checks.clock)[0]

    def test_static_files_that_were_not_collected(self, settings, tmp_path):
        settings.STATIC_ROOT = tmp_path
        assert "pages come without style" in found_by(deployment_checks.static_files)[0]

    def test_packages_are_those_of_this_version(self, settings, tmp_path):
        assert found_by(deployment_checks.packages) == []
        settings.BASE_DIR = tmp_path
        (tmp_path / "requirements.txt").write_text("# web\nDjango==1.0\nropes-and-tar==2.0\n")
        wrong = found_by(deployment_checks.packages)
        assert wrong[0].startswith("Django is ") and wrong[1] == "ropes-and-tar is missing; this version needs 2.0."

    def test_the_last_failure_is_named_by_its_number(self, settings, tmp_path):
        settings.LOG_DIR = tmp_path
        OF_THIS_REQUEST.set("F7K2-9QXM")
        files = DayFiles()
        files.setFormatter(JsonLine())
        files.handle(logging.LogRecord("sites_registry", logging.ERROR, __file__, 1, "The pump broke", None, None))
        files.close()
        assert found_by(deployment_checks.failures) == ["The log has a failure within a day, F7K2-9QXM: The pump broke"]

    def test_a_worker_that_does_not_run(self, town, time_machine):
        issued_at = Certificate.objects.get(pdf="").issued_at
        time_machine.move_to(issued_at + timedelta(minutes=9))
        assert found_by(papers) == []
        builders.make_hand_over()
        time_machine.move_to(issued_at + timedelta(minutes=20))
        assert found_by(papers) == [
            f"1 {word} still without a PDF after ten minutes: the worker does not run."
            for word in ("certificate", "hand-over")
        ]
