"""The other tests build their tables from the models, for speed; this one sees that the migrations lead to the same,
and that they lose nothing of what an older register holds."""

import json
import os
import subprocess
import sys

# Run on its own: tables of an older register, its rows, then all migrations; prints what became of the rows.
OLDER_REGISTER = """
import json
import django
django.setup()
from django.core.management import call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from zones.models import Attachment

before = ("zones", "0018_figures_read_off_data_plates")
call_command("migrate", *before, verbosity=0)
apps = MigrationExecutor(connection).loader.project_state([before]).apps
People = apps.get_model("sites_registry", "Person")
person = People.objects.create(email="old@example.org", full_name="O", role="office")
client = apps.get_model("sites_registry", "Client").objects.create(name="Quay Homes")
building = apps.get_model("sites_registry", "Building").objects.create(client=client, name="Hall", slug="hall")
for number, language in enumerate(["English", "de", "en-GB", "", "Low German"]):
    apps.get_model("zones", "Attachment").objects.create(
        building=building, kind="manual", language=language, file="a", file_name=f"m{number}.pdf",
        media_type="application/pdf", size_bytes=1, sha256=str(number) * 64, added_by=person,
        title="Old title" if language == "de" else "",
    )
call_command("migrate", verbosity=0)
print(json.dumps(list(Attachment.objects.order_by("file_name").values_list("language", "title", "file_name"))))
"""


def run(*arguments, data_dir):
    environment = {**os.environ, "REGISTER_DEBUG": "1", "REGISTER_DATA_DIR": str(data_dir)}
    environment |= {"DJANGO_SETTINGS_MODULE": "sites_registry.settings", "PYTHONPATH": os.getcwd()}
    environment.pop("DATABASE_URL", None)
    return subprocess.run([sys.executable, *arguments], env=environment, capture_output=True, text=True, check=False)


def test_an_older_register_migrates_whole_and_needs_no_further_migration(tmp_path):
    """Languages of files were typed; they become codes, and what is no language known here goes into the title."""
    made = run("-c", OLDER_REGISTER, data_dir=tmp_path)
    assert made.returncode == 0, made.stderr
    assert json.loads(made.stdout) == [
        ["en", "", "m0.pdf"],
        ["de", "Old title", "m1.pdf"],
        ["en", "", "m2.pdf"],
        ["", "", "m3.pdf"],
        ["und", "m4.pdf (Low German)", "m4.pdf"],
    ]
    assert run("manage.py", "makemigrations", "--check", "--dry-run", data_dir=tmp_path).returncode == 0
    assert run("manage.py", "migrate", "--check", data_dir=tmp_path).returncode == 0
