"""The package as another page uses it: the example runs, nothing of the site is imported."""

import doctest
import subprocess
import sys
from pathlib import Path

import zones.plots

ROOT = Path(zones.plots.__file__).parent.parent.parent


def test_the_example_of_the_package_runs():
    result = doctest.testmod(zones.plots)
    assert result.attempted >= 4
    assert result.failed == 0


def test_the_package_imports_no_django():
    program = "import sys, zones.plots, zones.plots.voltage; print(sorted({n.split('.')[0] for n in sys.modules}))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, cwd=ROOT)
    for name in ("django", "sites_registry", "inspections"):
        assert f"'{name}'" not in done.stdout
