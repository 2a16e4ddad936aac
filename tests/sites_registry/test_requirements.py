"""What the register imports is installed with it; what only tests need is not."""

import ast
import re
from importlib.metadata import packages_distributions
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
# Installed only where somebody wants it; without it a page says so (tests/inspections/open_records/test_ifc.py).
ON_REQUEST = {"ifcopenshell", "python-pkcs11"}
APPS = ("sites_registry", "zones", "inspections")


def pinned(name):
    lines = (ROOT / name).read_text().splitlines()
    return {re.split(r"[\[=]", line)[0].lower().replace("_", "-") for line in lines if line and line[0] != "#"}


def imported_by_the_register():
    names = set()
    for app in APPS:
        for path in (ROOT / app).rglob("*.py"):
            for node in ast.walk(ast.parse(path.read_text())):
                if isinstance(node, ast.Import):
                    names |= {alias.name.split(".")[0] for alias in node.names}
                elif isinstance(node, ast.ImportFrom) and node.module:
                    names.add(node.module.split(".")[0])
    return names


def test_every_package_that_the_register_imports_is_pinned_for_running():
    found = packages_distributions()
    imported = {dist.lower().replace("_", "-") for name in imported_by_the_register() for dist in found.get(name, [])}
    assert {"django", "weasyprint", "segno"} <= imported
    assert imported - pinned("requirements.txt") == ON_REQUEST
    assert pinned("requirements-test.txt") >= ON_REQUEST


def test_every_direct_dependency_is_pinned_once():
    run, test = pinned("requirements.txt"), pinned("requirements-test.txt")
    assert run & test == set()
    for name in ("requirements.txt", "requirements-test.txt"):
        lines = [line for line in (ROOT / name).read_text().splitlines() if line and line[0] != "#"]
        assert [line for line in lines if not re.fullmatch(r"[A-Za-z0-9_.-]+(\[\w+\])?==[\w.]+", line)] == []
