"""A kind that fits none there is comes into the register by one row of the table, and walks through all of it."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from zones.engineering.kind_facts import TABLE

ROOT = Path(__file__).resolve().parents[2]
END_OF_TABLE = "    ),\n)\n"
# One that nobody adds in earnest, or this would fail by its name.
MADE_UP = """    ),
    KindFacts(
        value="moonlight_detector",
        ifc=("IfcSensor", "LIGHTSENSOR"),
        label="moonlight detector",
        tag_prefix="MOON",
        has_unit=True,
        needed_figures=words("standby_current_a, alarm_resistance_ohm"),
        figures=(Figures.LINE,),
        hangs_on=ANY_BUT_A_CIRCUIT,
        belongs_on=Run.LINE,
        offers_ports=True,
        needs_zone=True,
        is_wired=True,
        is_ordered=True,
        is_electronic=True,
        is_mixed_up=True,
        line_role=LineRole.DETECTOR,
        input_kind=InputKind.DETECTOR,
        input_functions=("open", "close"),
        papers=words("declaration, manual"),
        schedule_column=None,
        symbol=Symbol(Shape.RECTANGLE, "B"),
        patterns={"": texts.THROUGH},
        import_words=ImportWords(words("moonlight sensor, moonlight head, moonlight alarm")),
        label_words=words("Mond, luna, lune, luna, maan, księżyc"),
    ),
)
"""


@pytest.fixture
def copy(tmp_path):
    """The register in a folder of its own, where a row can be written into the table as a developer would."""
    for name in ("zones", "inspections", "sites_registry", "tests"):
        shutil.copytree(ROOT / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__", "static", "*.gz"))
    (tmp_path / "sites_registry" / "static").symlink_to(ROOT / "sites_registry" / "static")
    (tmp_path / "templates").symlink_to(ROOT / "templates")
    for name in ("manage.py", "pyproject.toml"):
        shutil.copy(ROOT / name, tmp_path / name)
    return tmp_path


def add_row(copy, row):
    table = copy / TABLE
    text = table.read_text(encoding="utf-8")
    assert text.endswith(END_OF_TABLE)
    table.write_text(text.removesuffix(END_OF_TABLE) + row, encoding="utf-8")


def run(copy, *code):
    """What a fresh process in that folder says, and its exit code; on a database of its own."""
    given = {name: os.environ[name] for name in ("PATH", "HOME", "LANG", "TZ") if name in os.environ}
    settings = {**given, "PYTHONUTF8": "1", "REGISTER_DEBUG": "1", "REGISTER_DATA_DIR": str(copy / "data")}
    done = subprocess.run([sys.executable, *code], cwd=copy, env=settings, capture_output=True, text=True, timeout=500)
    return done.returncode, done.stdout + done.stderr


def test_a_made_up_kind_needs_one_row_and_walks_through_the_register_without_a_false_verdict(copy):
    add_row(copy, MADE_UP)
    walk = ("-m", "pytest", "tests/kinds/test_walk.py", "-q", "-p", "no:cacheprovider", "-p", "no:randomly")
    code, said = run(copy, *walk, "-p", "no:xdist")
    assert code == 0, said[-4000:]
    # No migration: the database holds a kind by its value alone.
    code, said = run(copy, "manage.py", "makemigrations", "--check", "--dry-run")
    assert (code, said.strip().splitlines()[-1]) == (0, "No changes detected")


def test_a_kind_that_leaves_a_fact_out_stops_the_start_with_a_sentence(copy):
    add_row(copy, MADE_UP.replace('        symbol=Symbol(Shape.RECTANGLE, "B"),\n', ""))
    code, said = run(copy, "manage.py", "check")
    assert code == 1
    assert said.strip().splitlines()[-1] == (
        "The register cannot start: The kind of device 'moonlight_detector' does not say: symbol. Complete its row in "
        "zones/engineering/device_kinds.py."
    )
