"""What a migration alone can get wrong: rows of an older register that mean something else afterwards.

test_older_register.py takes those after the rows of that register; the ones before were taken from the first to the
last when they were squashed, and led to the same tables (DEVELOPERS.md, "Migrations").
"""

import gzip
import json
import os
import sqlite3
import subprocess
import sys
from pathlib import Path

from sites_registry.data_folder import DATABASE_NAME

# Run on its own: prints what became of the rows. The register stands at zones 0018, with five files.
NAME_LANGUAGES = """
import json
import django
django.setup()
from django.core.management import call_command
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

after = ("zones", "0019_languages_and_kinds_of_files")
call_command("migrate", *after, verbosity=0)
Attachment = MigrationExecutor(connection).loader.project_state([after]).apps.get_model("zones", "Attachment")
print(json.dumps(list(Attachment.objects.order_by("file_name").values_list("language", "title", "file_name"))))
"""


def lay_down(dump, data_dir):
    """A register as an older version left it (`sqlite3 register.sqlite3 .dump | gzip -9n`); returns its path."""
    path = data_dir / DATABASE_NAME
    database = sqlite3.connect(path)
    database.executescript(gzip.decompress((Path(__file__).parent / "older_registers" / dump).read_bytes()).decode())
    database.close()
    return path


def run(*arguments, data_dir):
    environment = {**os.environ, "REGISTER_DEBUG": "1", "REGISTER_DATA_DIR": str(data_dir)}
    environment |= {"DJANGO_SETTINGS_MODULE": "sites_registry.settings", "PYTHONPATH": os.getcwd()}
    environment.pop("DATABASE_URL", None)
    return subprocess.run([sys.executable, *arguments], env=environment, capture_output=True, text=True, check=False)


def test_typed_languages_become_codes_and_lose_nothing(tmp_path):
    """What was typed and is no language known here goes into the title."""
    lay_down("with_typed_languages.sql.gz", tmp_path)
    made = run("-c", NAME_LANGUAGES, data_dir=tmp_path)
    assert made.returncode == 0, made.stderr
    assert json.loads(made.stdout) == [
        ["en", "", "m0.pdf"],
        ["de", "Old title", "m1.pdf"],
        ["en", "", "m2.pdf"],
        ["", "", "m3.pdf"],
        ["und", "m4.pdf (Low German)", "m4.pdf"],
    ]
