"""The mutants themselves: what is changed and what is let be, and that a survivor is told."""

import re
import subprocess
import sys
import tomllib
from pathlib import Path
from types import SimpleNamespace

import pytest

from tests.mutants.__main__ import report
from tests.mutants.asking import Only, Reached
from tests.mutants.equal import TABLE, change_of
from tests.mutants.making import Mutant, count_mutants, mutants_of, numbers_at
from tests.mutants.parts import ENGINEERING, SERVICES, files_of

SOURCE = '''
"""Words of a module."""

LIMITS = {"length": 500}


@decorated
def is_long(length_m: int = 5) -> bool:
    """Words of a function."""
    if len(LIMITS) and length_m > LIMITS["length"]:
        raise ValueError("This is too long.")
    return lock.select_for_update(of=3).found(length_m, strict=True)


def those(rows):
    rows[0].full_clean(validate_unique=False)
    return rows.filter(kind=7).only("name", "kind")


def count(rows):
    return len([row for row in rows if row > 6])
'''


@pytest.fixture
def mutants(tmp_path):
    path = tmp_path / "some.py"
    path.write_text(SOURCE)
    return list(mutants_of(path, range(count_mutants(path))))


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ('"length": 500', '"length": 501'),  # a table, at import
        ('{"length": 500}', '{"XXlengthXX": 500}'),
        ("length_m > LIMITS", "length_m >= LIMITS"),  # a decorated function
        ("len(LIMITS) and", "len(LIMITS) or"),
        ("found(length_m,", "found(None,"),
        ("filter(kind=7)", "filter(kind=8)"),
        ("row > 6", "row >= 6"),  # what is counted
    ],
)
def test_tables_and_decorated_functions_are_mutated(mutants, before, after):
    assert SOURCE.replace(before, after) in [mutant.source for mutant in mutants]


@pytest.mark.parametrize(
    "kept",
    [
        "Words of a module",
        "Words of a function",
        "@decorated",
        "-> bool",
        "of=3",
        "strict=True",
        '.only("name", "kind")',
    ],
)
def test_words_annotations_decorators_and_locks_are_let_be(mutants, kept):
    assert all(kept in mutant.source for mutant in mutants)


def test_words_for_people_are_not_rewritten(mutants):
    assert not [mutant for mutant in mutants if "XXThis is too long.XX" in mutant.source]


def test_a_mutant_knows_its_line_and_whether_it_is_done_at_import(mutants):
    assert {(mutant.line, mutant.is_in_function) for mutant in mutants} == {
        *((4, False), (8, False)),
        *((10, True), (11, True), (12, True), (16, True), (17, True), (21, True)),
    }


def test_the_command_kills_what_the_tests_ask_and_tells_what_no_test_reaches():
    """Of two files the tests of one are asked."""
    arguments = [
        "--inside",
        "zones/engineering/n",
        "--mutants",
        "30",
        "--tests",
        "tests/zones/engineering/test_natural_order.py",
    ]
    done = subprocess.run([sys.executable, "-m", "tests.mutants", *arguments], capture_output=True, text=True)
    survivors = re.findall("survived: (.*?):", done.stdout)
    assert set(survivors) == {"zones/engineering/networks.py"}
    assert re.search(rf"all engineering +30 +{30 - len(survivors)} +{len(survivors)} ", done.stdout)
    assert len(survivors) < 30
    assert "Below the floor of 85%: all engineering." in done.stderr
    assert done.returncode == 1


def test_a_run_that_finds_no_time_to_learn_what_the_tests_reach_ends_and_says_so():
    of_one_file = ["--inside", "zones/engineering/natural_order", "--tests", "tests/zones/engineering/test_networks.py"]
    done = subprocess.run(
        [sys.executable, "-m", "tests.mutants", *of_one_file, "--minutes", "0"], capture_output=True, text=True
    )
    assert done.stderr.startswith("The time was up before it was known which tests reach what.")
    assert done.returncode == 1


def test_what_fails_anyway_is_asked_of_no_mutant_and_what_a_mutant_renames_is():
    reached = Reached({"some.py": {3: {"a", "b"}}}, cpu_s={"a": 1.0, "b": 1.0}, failed=["b"]).without_failed()
    assert reached.tests == {"some.py": {3: {"a"}}}
    collected = [SimpleNamespace(nodeid=name) for name in ("renamed", "b", "a")]
    Only(["a"], reached.known).pytest_collection_modifyitems(collected)
    assert [one.nodeid for one in collected] == ["a", "renamed"]


def test_files_that_write_are_mutated_in_each_app_however_they_write():
    files = files_of(SERVICES)
    assert {path.parts[0] for path in files} == {"zones", "inspections", "sites_registry"}
    assert Path("inspections/visits/plate_figures.py") in files  # many rows at once


@pytest.mark.parametrize(("killed", "status"), [(17, 0), (16, 1)])
def test_below_85_of_100_killed_the_command_fails(killed, status):
    path = "zones/engineering/natural_order.py"
    mutants = [Mutant(path, number, 7, range(7, 8), True, "") for number in range(20)]
    assert report(mutants, {mutant: mutant.number < killed for mutant in mutants}, 1) == status


def test_without_a_mutant_tried_the_command_fails():
    assert report([], {}, 1) == 1


def test_a_part_of_which_no_mutant_was_tried_is_below_the_floor(capsys):
    tried = Mutant("zones/engineering/natural_order.py", 1, 7, range(7, 8), True, "")
    waiting = Mutant("zones/wiring/edits.py", 1, 7, range(7, 8), True, "")
    assert report([tried, waiting], {tried: True}, 1) == 1
    assert "Below the floor of 85%: all services." in capsys.readouterr().err


EQUAL = tomllib.loads(TABLE.read_text())["mutant"]


@pytest.mark.parametrize("one", EQUAL, ids=lambda one: one["is"])
def test_what_is_named_as_equal_is_made_of_the_code_as_it_stands_and_has_a_reason(one):
    made = mutants_of(one["file"], numbers_at(one["file"], one["is"].splitlines()[0]))
    assert (one["file"], one["is"], one["becomes"]) in map(change_of, made)
    assert Path(one["file"]) in [*files_of(ENGINEERING), *files_of(SERVICES)]
    assert one["because"]


def test_of_a_mutant_the_changed_lines_tell_it_apart_wherever_they_stand(mutants):
    found = [change_of(mutant)[1:] for mutant in mutants]
    assert ('LIMITS = {"length": 500}', 'LIMITS = {"length": 501}') in found
