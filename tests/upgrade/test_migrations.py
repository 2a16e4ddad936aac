"""The other tests build their tables from the models, for speed; this one takes the migrations from the first to where
the register of test_older_register.py stands, which sees what the later ones lead to."""

import json
import os
import subprocess
import sys

# Run on its own: tables of an older register, its rows, then the migrations; prints what became of the rows.
OLDER_REGISTER = """
import json
import django
django.setup()
from django.core.management import call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

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
after = [("zones", "0022_record_kept_against_plate_figures"), ("inspections", "0017_hand_overs")]
for each in after:
    call_command("migrate", *each, verbosity=0)
Attachment = MigrationExecutor(connection).loader.project_state(after).apps.get_model("zones", "Attachment")
print(json.dumps(list(Attachment.objects.order_by("file_name").values_list("language", "title", "file_name"))))
"""


def run(*arguments, data_dir):
    environment = {**os.environ, "REGISTER_DEBUG": "1", "REGISTER_DATA_DIR": str(data_dir)}
    environment |= {"DJANGO_SETTINGS_MODULE": "sites_registry.settings", "PYTHONPATH": os.getcwd()}
    environment.pop("DATABASE_URL", None)
    return subprocess.run([sys.executable, *arguments], env=environment, capture_output=True, text=True, check=False)


def test_the_first_migrations_lead_to_the_next_and_lose_nothing(tmp_path):
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
