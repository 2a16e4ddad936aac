"""The invented town of Tarn and its people, shared by all tests."""

import gc
import itertools
import os
from datetime import datetime
from types import SimpleNamespace
from zoneinfo import ZoneInfo

import pytest
import time_machine
from django.conf import settings as django_settings
from django.db import connection
from django.test import override_settings
from hypothesis import HealthCheck, settings

from sites_registry.access import Role
from tests import builders
from tests.evidence import emptied_after_a_test_that_commits
from tests.progress import Progress
from tests.reading import Reader
from tests.snapshots import Shared
from tests.static_files import UnchangingFiles

# A property is true or false; how long a busy machine takes over an example says nothing about it.
settings.register_profile("no deadline", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("no deadline")
emptied_after_a_test_that_commits()

CLOCK = "TEST_CLOCK"
DEAR = ("tests/inspections/demo/", "tests/browser/")
PEOPLE = ("anonymous", "stranger", "manager", "engineer", "office")


def pytest_configure(config):
    """`make test-clock` names a moment (ISO, with its offset) and a zone: there the clock of the machine starts."""
    if not hasattr(config, "workerinput"):
        config.pluginmanager.register(Progress(config))
    if CLOCK in os.environ:
        moment, zone = os.environ[CLOCK].split(",")
        time_machine.travel(datetime.fromisoformat(moment).astimezone(ZoneInfo(zone)), tick=True).start()


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config, items):
    """Of several processes one begins with what takes longest; the others take from its end what they find time for."""
    if hasattr(config, "workerinput"):
        items.sort(key=lambda item: next((n for n, folder in enumerate(DEAR) if item.nodeid.startswith(folder)), 9))


def pytest_collection_finish():
    """What is imported by now stays: the collector need not look through it again, nor look after every few objects."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 50)


@pytest.fixture(scope="session", autouse=True)
def settings_of_every_test(tmp_path_factory):
    """Static files need no collecting, passwords of invented people no slow digest; keys lie in a folder of the run."""
    storages = {
        **django_settings.STORAGES,
        "staticfiles": {"BACKEND": f"{UnchangingFiles.__module__}.{UnchangingFiles.__name__}"},
    }
    hashers = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    keys = tmp_path_factory.mktemp("keys")
    keys = {"LEDGER_KEY": str(keys / "ledger_key.pem"), "SIGNING_PKCS12": str(keys / "signing_key.p12")}
    with override_settings(STORAGES=storages, PASSWORD_HASHERS=hashers, **keys):
        yield


@pytest.fixture(scope="session")
def django_db_modify_db_settings(django_db_modify_db_settings_parallel_suffix, tmp_path_factory):
    """SQLite in a file, as the register has it: in memory a reader does not wait for another thread, it is refused."""
    if connection.vendor == "sqlite":
        connection.settings_dict["TEST"]["NAME"] = str(tmp_path_factory.mktemp("database") / "register.sqlite3")
        # It is thrown away: to wait for the disk at each change would take a sixth of the time of all tests.
        at_each_connect = django_settings.SQLITE_AT_EACH_CONNECT.replace("synchronous=FULL", "synchronous=OFF")
        connection.settings_dict["OPTIONS"]["init_command"] = at_each_connect


@pytest.fixture(scope="session")
def folders_of_this_process(tmp_path_factory):
    folder = tmp_path_factory.mktemp("files")
    return (folder / str(number) for number in itertools.count(1))


@pytest.fixture(autouse=True)
def files_in_a_folder_of_their_own(settings, folders_of_this_process):
    """No test writes into the register's data folder; the folder is made when the first file is written."""
    settings.MEDIA_ROOT = next(folders_of_this_process)
    settings.LOG_DIR = settings.MEDIA_ROOT.parent / "log"


@pytest.fixture(scope="session")
def kept_by_this_process():
    return Shared()


@pytest.fixture
def shared(db, kept_by_this_process):
    """`shared.built(build)` for what a fixture builds for many tests: see tests/snapshots.py."""
    return kept_by_this_process


@pytest.fixture
def town(shared):
    """Ropewalk Hall (managed by `manager`) and Mill House (managed by `stranger`), with one of everything.

    `people` by name; `hall` and `mill` are buildings; `panel`, `zone`, `detector`, `call_point`, `unit`, `visit` …
    belong to the hall.
    """
    return shared.built(build_town)


def build_town():
    people = {
        "office": builders.make_person(Role.OFFICE, email="office@tarn.example", full_name="Orla Finch"),
        "engineer": builders.make_person(Role.ENGINEER, email="engineer@tarn.example", full_name="Edwin Marsh"),
        "manager": builders.make_person(Role.MANAGER, email="manager@tarn.example", full_name="Mara Hollin"),
        "stranger": builders.make_person(Role.MANAGER, email="stranger@tarn.example", full_name="Silas Wray"),
    }
    quay_housing = builders.make_client(name="Quay Housing")
    mill_trust = builders.make_client(name="Mill Trust")
    hall = builders.make_building(
        quay_housing, name="Ropewalk Hall", slug="ropewalk-hall", managers=[people["manager"]]
    )
    mill = builders.make_building(mill_trust, name="Mill House", slug="mill-house", managers=[people["stranger"]])
    panel = builders.make_panel(hall, tag="P1")
    zone = builders.make_zone(hall, panel=panel, number=1, name="Main stair")
    detector = builders.make_position(hall, "smoke_detector", tag="SD1", smoke_zone=zone, panel=panel, storey="1")
    call_point = builders.make_position(hall, "manual_call_point", tag="CP1", smoke_zone=zone, panel=panel)
    fitting = builders.fit(detector, builders.make_unit(serial="AK-0001"))
    protocol = builders.make_protocol()
    job = builders.make_job(hall)
    finished = builders.make_finished_visit(hall, job=job, engineer=people["engineer"])
    certificate = builders.make_certificate(finished, people["office"])
    visit = builders.make_visit(hall, job=job, engineer=people["engineer"])
    return SimpleNamespace(
        people=people,
        quay_housing=quay_housing,
        mill_trust=mill_trust,
        hall=hall,
        mill=mill,
        panel=panel,
        zone=zone,
        detector=detector,
        call_point=call_point,
        unit=fitting.unit,
        fitting=fitting,
        protocol=protocol,
        job=job,
        visit=visit,
        finished=finished,
        certificate=certificate,
    )


@pytest.fixture
def client():
    return Reader()


@pytest.fixture
def as_(client, town):
    """`as_("office")`: a test client logged in as that person."""

    def log_in(name):
        client.force_login(town.people[name], backend="django.contrib.auth.backends.ModelBackend")
        return client

    return log_in
