"""A run says how long it will take before it starts, and on the way how far it is."""

import os
from types import SimpleNamespace

import pytest

from tests.progress import Progress, foretold, in_words

QUICK, SLOW = ["tests/zones/test_x.py::test_y"] * 5000, ["tests/browser/test_x.py::test_y[chromium]"] * 50


@pytest.fixture
def said():
    return []


@pytest.fixture
def progress(said):
    reporter = SimpleNamespace(write_line=said.append)
    return Progress(SimpleNamespace(pluginmanager=SimpleNamespace(get_plugin=lambda name: reporter)))


def test_the_number_of_tests_and_the_minutes_are_told_once(progress, said):
    progress.begin(QUICK, processes=1)
    progress.begin(QUICK, processes=1)
    (told,) = filter(None, said)
    assert told.startswith("5,000 tests, 1 at once: about ") and "min" in told


def test_what_is_over_at_once_is_not_foretold(progress, said):
    progress.begin(QUICK[:10], processes=1)
    assert said == []


def test_each_tenth_of_a_long_run_is_told(progress, said):
    progress.begin(QUICK, processes=1)
    said.clear()
    progress.started -= 100
    for _ in range(1000):
        progress.pytest_runtest_logfinish()
    tenth, fifth = filter(None, said)
    assert tenth.startswith("500 of 5,000 tests after 1 min") and fifth.startswith("1,000 of 5,000 tests")
    assert "to go" in tenth


def test_a_test_in_the_browser_takes_longer_than_others():
    assert foretold(SLOW, 1) > foretold(QUICK[:50], 1)


def test_more_processes_than_processors_make_nothing_faster():
    processors = len(os.sched_getaffinity(0))
    assert foretold(QUICK, processors) == foretold(QUICK, processors + 5)


def test_a_test_elsewhere_is_counted_too():
    assert foretold(["elsewhere/test_x.py::test_y"], 1) > 0


@pytest.mark.parametrize(("seconds", "words"), [(4.4, "4 s"), (59.6, "1 min 00 s"), (185, "3 min 05 s")])
def test_seconds_in_words(seconds, words):
    assert in_words(seconds) == words
