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


# --- tests in a browser ---

ACTS = {"click", "dblclick", "press", "check", "uncheck", "select_option", "set_input_files", "set_files", "up"}
WAITS = {"expect", "until", "goto", "reload", "go_back"}
AT_ONCE = {
    "is_visible",
    "is_hidden",
    "is_checked",
    "is_enabled",
    "is_disabled",
    "is_editable",
    "input_value",
    "inner_text",
    "text_content",
    "get_attribute",
    "all_inner_texts",
    "all_text_contents",
}
RECORDS = {"objects", "refresh_from_db"}


def name_of(call):
    return getattr(call.func, "attr", getattr(call.func, "id", ""))


def names_called(node):
    return [name_of(call) for call in ast.walk(node) if isinstance(call, ast.Call)]


def steps_of(function, kinds):
    """(place, "acts", "waits" or "looks") of what a test does, in the order in which it stands there."""
    for node in ast.walk(function):
        end = (getattr(node, "end_lineno", 0), getattr(node, "end_col_offset", 0))
        if isinstance(node, ast.Call):
            name = name_of(node)
            kind = "waits" if name.startswith("wait_for") else kinds.get(name)
            if kind:
                yield end, kind
        elif isinstance(node, ast.With) and any(
            name.startswith("expect_") for item in node.items for name in names_called(item)
        ):
            yield (end[0], end[1] + 1), "waits"  # at the end of what it holds
        elif (isinstance(node, ast.Assert) and names_called(node)) or getattr(node, "attr", "") in RECORDS:
            yield end, "looks"


def with_helpers(functions):
    """What a call acts or waits by: a helper is what it does last."""
    kinds = dict.fromkeys(ACTS, "acts") | dict.fromkeys(WAITS, "waits")
    for _ in range(3):  # helpers of helpers
        for function in functions:
            steps = [kind for _, kind in sorted(steps_of(function, kinds)) if kind != "looks"]
            if steps and function.name not in ACTS | WAITS and not function.name.startswith("test_"):
                kinds[function.name] = steps[-1]
    return kinds


def test_a_test_in_a_browser_waits_before_it_looks(texts):
    trees = {name: ast.parse(text) for name, text in texts.items() if name.startswith("tests/browser/")}
    functions = {
        name: [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)] for name, tree in trees.items()
    }
    kinds = with_helpers([one for some in functions.values() for one in some])
    hasty = []
    for name, some in functions.items():
        for function in some:
            before = ""
            for (line, _), kind in sorted(steps_of(function, kinds)):
                if (before, kind) == ("acts", "looks"):
                    hasty.append(f"{name}:{line}")
                before = kind if kind != "looks" else before
    assert sum(map(len, functions.values())) > 200
    assert not hasty, (
        "What was touched takes time. Before you look, `expect(...)` what it brings (or `until` of "
        "tests/browser/waiting.py):\n" + "\n".join(hasty)
    )


def test_a_test_in_a_browser_asks_nothing_once_that_can_be_waited_for(texts):
    once = [
        f"{name}:{call.lineno}: {name_of(call)}()"
        for name, text in texts.items()
        if name.startswith("tests/browser/")
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Assert)
        for call in ast.walk(node)
        if isinstance(call, ast.Call)
        and (name_of(call) in AT_ONCE or (name_of(call) == "count" and "locator" in names_called(call)))
    ]
    assert not once, (
        "Write `expect(locator).to_be_visible()`, `.to_have_text(…)`, `.to_have_count(…)` and their like, which wait:\n"
        + "\n".join(once)
    )
