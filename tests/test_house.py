"""What keeps the house easy to walk through: short files, short functions, no mark that keeps the formatter off."""

import ast
from pathlib import Path

import grimp
import pytest

ROOT = Path(__file__).resolve().parent.parent
MOST_LINES_OF_A_FILE, MOST_LINES_OF_A_FUNCTION = 400, 60
# One table: a row for each kind of device, so that all that is known of a kind stands at one place.
TABLES = {"zones/engineering/device_kinds.py"}


def python_files():
    for folder in ("sites_registry", "zones", "inspections", "tests", ".ci"):
        for path in (ROOT / folder).rglob("*.py"):
            if "migrations" not in path.parts:
                yield path.relative_to(ROOT).as_posix()


@pytest.fixture(scope="module")
def texts():
    return {name: (ROOT / name).read_text(encoding="utf-8") for name in python_files()}


def test_no_file_is_longer_than_a_person_reads_in_one_go(texts):
    lengths = {name: len(text.splitlines()) for name, text in texts.items() if name not in TABLES}
    assert len(lengths) > 500
    assert {name: lines for name, lines in lengths.items() if lines > MOST_LINES_OF_A_FILE} == {}


def test_no_function_is_longer_than_a_screen(texts):
    too_long = {}
    for name, text in texts.items():
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                lines = node.end_lineno - node.lineno + 1
                if lines > MOST_LINES_OF_A_FUNCTION:
                    too_long[f"{name}: {node.name}"] = lines
    assert too_long == {}


def test_nothing_keeps_the_formatter_off(texts):
    mark = "# " + "fmt:"
    assert [name for name, text in texts.items() if mark in text] == []


# What shows and asks; all else is asked by it and stands on its own.
SHOWS = {
    "forms",
    "views",
    "tables",
    "addresses",
    "urls",
    "admin",
    "menu",
    "paper_entries",
    "templatetags",
    "management",
}
SHOWS_TOO = {"zones.editing.pages", "zones.calculators"}
# A page for a disk that is away; the checks of what a phone sent, which stand on the fields of forms.
MAY = {"sites_registry.middleware", "inspections.visits.sent_answers", "inspections.photos.told"}


def shows(module):
    return bool(SHOWS & set(module.split("."))) or module.startswith(tuple(SHOWS_TOO))


def test_what_happens_and_what_is_true_stand_without_forms_and_pages():
    graph = grimp.build_graph("sites_registry", "zones", "inspections")
    found = {
        f"{module} imports {imported}"
        for module in graph.modules
        if not shows(module) and module not in MAY
        for imported in graph.find_modules_directly_imported_by(module)
        if {"forms", "views"} & set(imported.split("."))
    }
    assert len(graph.modules) > 400
    assert found == set()
