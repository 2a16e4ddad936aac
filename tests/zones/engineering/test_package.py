"""The package as a notebook sees it: the example runs, nothing of the site is imported."""

import doctest
import re
import subprocess
import sys
from pathlib import Path

import zones.engineering.cause_and_effect

FOLDER = Path(zones.engineering.__file__).parent


def test_the_notebook_example_of_the_package_runs():
    result = doctest.testmod(zones.engineering)
    assert result.attempted > 15
    assert result.failed == 0


def test_the_example_of_cause_and_effect_runs():
    result = doctest.testmod(zones.engineering.cause_and_effect)
    assert result.attempted > 8
    assert result.failed == 0


def test_the_package_imports_no_django_no_records_and_no_array_library():
    program = "import sys, zones.engineering.cause_and_effect; print(sorted({n.split('.')[0] for n in sys.modules}))"
    root = FOLDER.parent.parent
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, cwd=root)
    for name in ("django", "sites_registry", "inspections", "numpy", "scipy"):
        assert f"'{name}'" not in done.stdout


def test_no_module_reads_a_clock():
    for path in FOLDER.rglob("*.py"):
        text = path.read_text()
        assert "today()" not in text
        assert "now()" not in text
        assert not re.search(r"^(import|from) time\b", text, re.MULTILINE)


def test_every_public_name_is_there():
    for name in zones.engineering.__all__:
        assert getattr(zones.engineering, name) is not None
    for name in zones.engineering.cause_and_effect.__all__:
        assert getattr(zones.engineering.cause_and_effect, name) is not None
