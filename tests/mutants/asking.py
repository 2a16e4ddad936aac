"""Tests asked in a forked process: once of the code as it is, to learn what each test reaches, then of each mutant."""

import contextlib
import importlib.machinery
import os
import resource
import signal
import sys
import time
from dataclasses import dataclass, field
from multiprocessing import get_context

import coverage
import hypothesis
import pytest

ARGUMENTS = (
    # pytest would rewrite what was imported before the fork.
    *("-W", "ignore::pytest.PytestAssertRewriteWarning"),
    *("-q", "--no-header", "-p", "no:cacheprovider", "-p", "no:xdist", "-p", "no:playwright"),
    "--randomly-dont-reorganize",
)
# Imported once, before the forks; nothing of ours is.
SHARED = ("django.db.models", "django.test", "django.forms", "django.template.defaulttags", "numpy", "openpyxl")
WAITING_PER_CPU_SECOND = 5  # a loaded machine gives a process a part of a processor
_forking = get_context("fork")


@dataclass
class Reached:
    """What the tests reach in the code as it is: tests by file and line, and how long each test takes."""

    tests: dict = field(default_factory=dict)  # path → line → names of tests
    cpu_s: dict = field(default_factory=dict)  # name of a test → seconds
    failed: list = field(default_factory=list)

    def add(self, other):
        for path, lines in other.tests.items():
            of_path = self.tests.setdefault(path, {})
            for line, names in lines.items():
                of_path.setdefault(line, set()).update(names)
        self.cpu_s |= other.cpu_s
        self.failed += other.failed

    def without_failed(self):
        """Leave out what fails anyway: it tells nothing."""
        for name in set(self.failed) & set(self.cpu_s):
            del self.cpu_s[name]
        for lines in self.tests.values():
            for of_line in lines.values():
                of_line.difference_update(self.failed)
        return self

    @property
    def known(self):
        """The tests that the code as it is has, those that fail anyway among them."""
        return {*self.cpu_s, *self.failed}


class _Steady:
    """The same examples in every run, and a failing one is enough: nobody reads it, so it is not made small."""

    @pytest.hookimpl(tryfirst=True)
    def pytest_collection(self):
        phases = [hypothesis.Phase.explicit, hypothesis.Phase.generate]
        usual = hypothesis.settings.get_profile("no deadline")
        hypothesis.settings.register_profile("mutants", usual, derandomize=True, database=None, phases=phases)
        hypothesis.settings.load_profile("mutants")


class _Recorder:
    def __init__(self, files):
        self.reached = Reached()
        self.paths = {os.path.abspath(path): str(path) for path in files}
        self.coverage = coverage.Coverage(data_file=None, include=list(self.paths), config_file=False)

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item):
        self.coverage.switch_context(item.nodeid)
        before = time.process_time()
        result = yield
        self.reached.cpu_s[item.nodeid] = time.process_time() - before
        self.coverage.switch_context("")
        return result

    def pytest_runtest_logreport(self, report):
        if report.failed:
            self.reached.failed.append(report.nodeid)

    def finish(self):
        self.coverage.stop()
        data = self.coverage.get_data()
        for full, path in self.paths.items():
            lines = data.contexts_by_lineno(full)
            self.reached.tests[path] = {line: set(names) - {""} for line, names in lines.items()}
        return self.reached


class Only:
    """These tests in this order, and any that the code as it is has not: a mutant may rename what is tested."""

    def __init__(self, names, known):
        self.place, self.known = {name: place for place, name in enumerate(names)}, known

    @pytest.hookimpl(trylast=True)
    def pytest_collection_modifyitems(self, items):
        wanted = [item for item in items if item.nodeid in self.place or item.nodeid not in self.known]
        items[:] = sorted(wanted, key=lambda item: self.place.get(item.nodeid, len(self.place)))


def _instead_of(path, source):
    """Have the import of this file take this source."""
    wanted, usual = os.path.abspath(path), importlib.machinery.SourceFileLoader.get_code

    def get_code(loader, name):
        if os.path.abspath(loader.path) == wanted:
            return compile(source, wanted, "exec", dont_inherit=True)
        return usual(loader, name)

    importlib.machinery.SourceFileLoader.get_code = get_code


def _silence():
    os.setsid()
    silent = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):
        os.dup2(silent, stream)


def _record(files, tests, seed, answers):
    _silence()
    recorder = _Recorder(files)
    recorder.coverage.start()
    status = pytest.main([*ARGUMENTS, f"--randomly-seed={seed}", *tests], plugins=[_Steady(), recorder])
    answers.send((int(status), recorder.finish()))
    answers.close()


def learn(files, groups_of_tests, seed, ends):
    """What each test reaches; every group of tests is asked in a process of its own, all at the same time, until
    `ends`."""
    for name in SHARED:
        importlib.import_module(name)
    running, reached = [], Reached()
    for tests in groups_of_tests:
        ours, theirs = _forking.Pipe(duplex=False)
        process = _forking.Process(target=_record, args=(files, tests, seed, theirs))
        process.start()
        theirs.close()
        running.append((process, ours))
    for process, answers in running:
        if not answers.poll(max(0, ends - time.monotonic())):
            for late, _ in running:
                _end(late)
            raise SystemExit("The time was up before it was known which tests reach what. Give it more: --minutes.")
        status, found = answers.recv()
        process.join()
        if status not in (0, 1):
            raise SystemExit(f"The tests cannot be collected (pytest ends with status {status}): make test says why.")
        reached.add(found)
    return reached.without_failed()


def _end(process):
    """End it, with what it started; it has made itself the head of a group of its own (in `_silence`)."""
    process.kill()
    with contextlib.suppress(ProcessLookupError):
        os.killpg(process.pid, signal.SIGKILL)
    process.join()


def _try(mutant, names, known, cpu_s, seed):
    _silence()
    resource.setrlimit(resource.RLIMIT_CPU, (int(cpu_s) + 1, int(cpu_s) + 2))
    _instead_of(mutant.path, mutant.source)
    files = list(dict.fromkeys(name.split("::")[0] for name in names))
    status = pytest.main([*ARGUMENTS, "-x", f"--randomly-seed={seed}", *files], plugins=[_Steady(), Only(names, known)])
    sys.stdout.flush()
    os._exit(int(status))


class Trial:
    """A mutant being tried: its tests run in a process of their own, with a limit."""

    def __init__(self, mutant, names, known, cpu_s, seed):
        self.mutant = mutant
        self.ends = time.monotonic() + cpu_s * WAITING_PER_CPU_SECOND
        self.process = _forking.Process(target=_try, args=(mutant, names, known, cpu_s, seed))
        self.process.start()

    def is_over(self):
        if self.process.is_alive() and time.monotonic() > self.ends:
            self.stop()
        return not self.process.is_alive()

    def stop(self):
        _end(self.process)

    @property
    def is_killed(self):
        """A failed test, a file that cannot be imported, or no end; only when all tests passed has it survived."""
        return self.process.exitcode != 0
