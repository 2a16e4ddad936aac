"""Says how long a run of tests will take, and now and then how far it is."""

import os
import time

import pytest

# Processor seconds of one test, by the longest beginning of its name.
SECONDS_EACH = {
    "tests/": 0.08,
    "tests/access/": 0.32,
    "tests/browser/": 1.5,
    "tests/fuzz/": 0.16,
    "tests/inspections/demo/": 2.0,
    "tests/queries/": 0.5,
    "tests/upgrade/": 10,
    "tests/zones/engineering/": 0.055,
}
TOLD_FROM = 60  # seconds: what is over sooner needs no foretelling


class Progress:
    """For the process whose output a person reads, whether it tests itself or has others test."""

    def __init__(self, config):
        self.config, self.total, self.done, self.tenth = config, 0, 0, 0
        self.started, self.is_long = time.monotonic(), False

    def say(self, sentence):
        reporter = self.config.pluginmanager.get_plugin("terminalreporter")
        reporter.write_line("")  # ends the line of dots
        reporter.write_line(sentence)

    def begin(self, names, processes):
        if self.total:  # another process has collected the same
            return
        self.total, self.started = len(names), time.monotonic()
        seconds = foretold(names, processes)
        self.is_long = seconds >= TOLD_FROM
        if self.is_long:
            self.say(f"{len(names):,} tests, {processes} at once: about {in_words(seconds)}.")

    def pytest_collection_finish(self, session):
        self.begin([item.nodeid for item in session.items], processes=1)

    @pytest.hookimpl(optionalhook=True)
    def pytest_xdist_node_collection_finished(self, node, ids):
        self.begin(ids, processes=node.config.option.numprocesses)

    def pytest_runtest_logfinish(self):
        self.done += 1
        tenth, gone = self.done * 10 // max(self.total, 1), time.monotonic() - self.started
        if self.is_long and self.tenth < tenth < 10:
            to_go = gone * (self.total - self.done) / self.done
            self.say(f"{self.done:,} of {self.total:,} tests after {in_words(gone)}, about {in_words(to_go)} to go.")
        self.tenth = tenth


def foretold(names, processes):
    """Wall-clock seconds of these tests; more processes than processors make nothing faster."""
    longest_first = sorted(SECONDS_EACH, key=len, reverse=True)
    total = sum(SECONDS_EACH[next((one for one in longest_first if name.startswith(one)), "tests/")] for name in names)
    return total / min(processes, len(os.sched_getaffinity(0)))


def in_words(seconds):
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes} min {rest:02} s" if minutes else f"{rest} s"
