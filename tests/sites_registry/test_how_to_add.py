"""What DEVELOPERS.md and README.md name is there, and to add something takes no more files than they say."""

import re
import tomllib
from functools import cache
from pathlib import Path

import pytest
from django.conf import settings

ROOT = Path(settings.BASE_DIR)
GUIDES = {name: (ROOT / name).read_text(encoding="utf-8") for name in ("DEVELOPERS.md", "README.md")}
(HOW_TO_ADD,) = re.findall(r"^## How to add$(.*?)^## ", GUIDES["DEVELOPERS.md"], re.MULTILINE | re.DOTALL)
ENTRIES = re.split(r"^- (?=\*\*)", HOW_TO_ADD, flags=re.MULTILINE)[1:]
CHECKLISTS = {re.match(r"\*\*(.+?)\*\*", entry)[1]: entry for entry in ENTRIES}
MOST_FILES = {"A device kind": 3, "A paper": 3, "A property of the logic proof": 5, "A state": 1}
MADE_WHEN_RUN = {"var/", "var/demo"}
NO_ROOMS = {"management", "migrations", "templatetags"}
CODE = ("sites_registry", "zones", "inspections", "templates", "tests", ".ci")


def named_in(text):
    return re.findall(r"`([^`\n]+)`", text) + re.findall(r"\]\((?!http)([^)]+)\)", text)


def is_path(name):
    return bool(re.fullmatch(r"[\w.*-]*/[\w.*/-]*|[\w.-]+\.(py|toml|html|md|txt|json)", name))


def is_there(path):
    """Whether a file of this path is there; a bare name is that of a file in some room."""
    if "/" not in path and not (ROOT / path).exists():
        return any(next((ROOT / folder).rglob(path), None) for folder in CODE)
    return any(ROOT.glob(path.rstrip("/")))


@cache
def names_in_code():
    found = set(re.findall(r"\w+", (ROOT / "Makefile").read_text(encoding="utf-8")))
    for file in (one for folder in CODE for one in (ROOT / folder).rglob("*")):
        if file.suffix in (".py", ".html", ".js", ".toml") and "vendor" not in file.parts and file != Path(__file__):
            found.update(re.findall(r"\w+", file.read_text(encoding="utf-8")))
    return found


@pytest.mark.parametrize("guide", GUIDES)
def test_each_file_and_folder_that_a_guide_names_is_there(guide):
    paths = {name for name in named_in(GUIDES[guide]) if is_path(name)} - MADE_WHEN_RUN
    assert len(paths) > 5
    assert [path for path in sorted(paths) if not is_there(path)] == []


@pytest.mark.parametrize("guide", GUIDES)
def test_each_name_of_code_that_a_guide_names_is_in_the_code(guide):
    names = {name for name in named_in(GUIDES[guide]) if re.fullmatch(r"_?[A-Za-z]\w*", name)}
    assert names - names_in_code() == set()


@pytest.mark.parametrize("guide", GUIDES)
def test_each_command_of_make_that_a_guide_names_is_there(guide):
    there = re.findall(r"^([a-z-]+):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE)
    named = set(re.findall(r"(?:`|^)make ([a-z-]+)", GUIDES[guide], re.MULTILINE))
    assert {"demo", "test"} <= named <= set(there)


def test_each_setting_stands_in_the_table_of_settings():
    sources = (
        (ROOT / "sites_registry" / name).read_text(encoding="utf-8") for name in ("settings.py", "environment.py")
    )
    asked_for = set(re.findall(r"\bread\w*\(\s*\"(REGISTER_\w+)\"", "\n".join(sources)))
    table = "\n".join(re.findall(r"^\| `REGISTER_.*$", GUIDES["DEVELOPERS.md"], re.MULTILINE))
    assert len(asked_for) > 6
    assert asked_for - set(re.findall(r"`(REGISTER_\w+)`", table)) == set()


@pytest.mark.parametrize("app", ["zones", "inspections"])
def test_the_guide_shows_the_rooms_in_the_order_that_lint_holds(app):
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["importlinter"][
        "contracts"
    ]
    (layers,) = [one["layers"] for one in contracts if one.get("containers") == [app]]
    rooms = {one.parent.name for one in (ROOT / app).glob("*/__init__.py")} - {
        "management",
        "migrations",
        "templatetags",
    }
    from_the_ground = [set(re.findall(r"\w+", layer)) & rooms for layer in reversed(layers)]
    (row,) = re.findall(rf"^\| `{app}/` \| (.+) \|$", GUIDES["DEVELOPERS.md"], re.MULTILINE)
    assert [set(named_in(storey)) for storey in row.split(" · ")] == [one for one in from_the_ground if one]


@pytest.mark.parametrize("what", CHECKLISTS)
def test_a_checklist_has_steps_that_name_where_and_says_what_fails_without_them(what):
    steps = re.findall(r"^  (\d)\. ", CHECKLISTS[what], re.MULTILINE)
    assert steps == [str(number) for number in range(1, len(steps) + 1)] != []
    ending = re.split(r"\n\n", CHECKLISTS[what].rstrip())[-1]
    assert any(name.startswith("tests/") for name in named_in(ending)) or "o test " in ending


@pytest.mark.parametrize("what", MOST_FILES)
def test_what_newcomers_add_takes_no_more_files_than_it_may(what):
    """A step is a file: what a step names beside its own file, it says where to look."""
    steps = re.findall(r"^  \d\. ", CHECKLISTS[what], re.MULTILINE)
    assert len(steps) <= MOST_FILES[what]
