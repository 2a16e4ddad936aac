"""The other tests build their tables from the models, for speed; this one sees that the migrations lead to the same."""

import os
import subprocess
import sys


def manage(*arguments, data_dir):
    environment = {**os.environ, "REGISTER_DEBUG": "1", "REGISTER_DATA_DIR": str(data_dir)}
    environment.pop("DATABASE_URL", None)
    return subprocess.run(
        [sys.executable, "manage.py", *arguments], env=environment, capture_output=True, text=True, check=False
    )


def test_a_new_register_migrates_and_needs_no_further_migration(tmp_path):
    migrated = manage("migrate", "--verbosity", "0", data_dir=tmp_path)
    assert migrated.returncode == 0, migrated.stderr
    assert manage("makemigrations", "--check", "--dry-run", data_dir=tmp_path).returncode == 0
    assert manage("migrate", "--check", data_dir=tmp_path).returncode == 0
