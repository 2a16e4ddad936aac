"""The register killed in the middle of what it does, KILLS times at random: what it had told stands, nothing is half.

Four acts in turn, each by a process of its own that is killed (SIGKILL) up to LONGEST_S after it told of its first.
"""

import os
import random
import signal
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path

import pytest
from django.conf import settings as django_settings
from django.core.files.storage import default_storage
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder

from inspections.models import Certificate
from inspections.verification.running import verify_register
from sites_registry.backups.archives import check_archive
from sites_registry.backups.databases import database_of
from sites_registry.data_folder import DATABASE_NAME, LEDGER_KEY_NAME, SIGNING_KEY_NAME
from tests import builders
from tests.trials.acts import ACTS
from zones.models import Attachment

KILLS = int(os.environ.get("KILLS", "0")) or 200
LONGEST_S = 0.8
VERIFIED_EVERY = 20

pytestmark = pytest.mark.skipif(connection.vendor != "sqlite", reason="the processes share the file of a database")


@pytest.fixture
def data_folder(transactional_db, settings):
    """That of the database of this test, with files and keys where a process of the register looks for them."""
    path = Path(connection.settings_dict["NAME"])
    assert path.name == DATABASE_NAME
    settings.MEDIA_ROOT = path.parent / "files"
    settings.LEDGER_KEY, settings.SIGNING_PKCS12 = (
        str(path.parent / name) for name in (LEDGER_KEY_NAME, SIGNING_KEY_NAME)
    )
    MigrationRecorder(connection).ensure_schema()  # the tables of tests are made without any
    builders.make_finished_visit()
    return path.parent


def killed(act, folder, after_s):
    """The lines that the act told before it was killed."""
    environment = {**os.environ, "REGISTER_DEBUG": "1", "REGISTER_DATA_DIR": str(folder)}
    environment |= {"DJANGO_SETTINGS_MODULE": "sites_registry.settings"}
    command = [sys.executable, "-m", "tests.trials.acts", act]
    with subprocess.Popen(
        command, env=environment, stdout=subprocess.PIPE, text=True, start_new_session=True
    ) as process:
        first = process.stdout.readline()  # by then all is loaded
        assert first, f"{act} told nothing"
        time.sleep(after_s)
        os.killpg(process.pid, signal.SIGKILL)
        # The last line may be cut: it was not told.
        return [line.strip() for line in (first, *process.stdout) if line.endswith("\n")]


def numbers_issued():
    return sorted(Certificate.objects.values_list("number", flat=True))


def is_gapless(numbers):
    return [int(number[-4:]) for number in numbers] == list(range(1, len(numbers) + 1))


def stands(act, told):
    """What an act told is there, and what is there is whole."""
    if act == "issue":
        return set(told) <= set(numbers_issued()) and Certificate.objects.in_force().count() <= 1
    if act == "compose":
        kept = Certificate.objects.exclude(pdf="").values_list("pdf", flat=True)
        return all(map(default_storage.is_whole, kept))
    if act == "upload":
        digests = set(Attachment.objects.values_list("sha256", flat=True))
        return set(told) <= digests and all(
            map(default_storage.is_whole, Attachment.objects.values_list("file", flat=True))
        )
    return all(check_archive(path, database_of(django_settings.DATABASES["default"])) for path in told)


def test_what_was_told_stands_after_each_kill(data_folder):
    chance, done = random.Random(7), Counter()
    for number in range(KILLS):
        act = list(ACTS)[number % len(ACTS)]
        told = killed(act, data_folder, chance.uniform(0, LONGEST_S))
        done[act] += len(told)
        assert stands(act, told), (number, act)
        assert is_gapless(numbers_issued()), numbers_issued()
        if number % VERIFIED_EVERY == VERIFIED_EVERY - 1:
            assert verify_register().faults == []
    archives = sorted((data_folder / "backups").glob("*.zip"))
    assert archives and all(check_archive(path, database_of(django_settings.DATABASES["default"])) for path in archives)
    assert verify_register().faults == []
    print(f"{KILLS} kills; told before them: {dict(done)}; archives whole: {len(archives)}")
    assert sum(done.values()) > KILLS  # they were killed at more than the first of each
