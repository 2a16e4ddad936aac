"""The commonest installation: right it has no finding, and each fault planted in it is one finding with its remedy."""

from dataclasses import replace

import pytest

from tests.zones.engineering.wiring.examples import with_core
from tests.zones.engineering.wiring.planted_faults import PLANTED, RIGHT, UNSETTLED
from zones.engineering.findings import Severity
from zones.engineering.wiring.checks import check_wiring
from zones.engineering.wiring.progress import progress_of
from zones.engineering.wiring.wired_panel import WiredPanel


def codes(wired):
    return [finding.code for finding in check_wiring(wired)]


def test_right_it_has_no_finding():
    assert codes(RIGHT) == []


def test_right_it_is_wired_completely():
    progress = progress_of(RIGHT)
    assert progress.needed == progress.wired
    assert not progress.unrecorded


def test_at_least_thirty_faults_are_planted():
    assert len(PLANTED) >= 30


@pytest.mark.parametrize("fault", PLANTED)
def test_a_planted_fault_is_one_finding_with_its_remedy(fault):
    wired, code, names = PLANTED[fault]
    finding, *others = check_wiring(wired)
    assert others == [], "what follows from another finding is not told beside it: told_once.py"
    assert finding.code == f"wiring.{code}"
    assert finding.severity == Severity.FAIL
    assert all(name in finding.sentence for name in names), finding.sentence


@pytest.mark.parametrize("end", ["near", "far"])
def test_where_all_is_declared_complete_a_core_off_at_one_end_is_wrong(end):
    """At a device, in a box and at the panel alike."""
    cores = [core for cable in RIGHT.cables for core in cable.cores if core.near and core.far]
    assert len(cores) > 30
    for core in cores:
        found = {one.code: one.severity for one in check_wiring(with_core(RIGHT, core.key, **{end: None}))}
        assert Severity.FAIL in found.values(), core.key
        assert found.get("wiring.core_open", Severity.FAIL) == Severity.FAIL, core.key


def test_a_break_is_shown_beside_the_part_that_it_cuts_off_too():
    (finding,) = check_wiring(with_core(RIGHT, "W2.3", far=None))
    assert "JB1 -X1:3" in {figure.value for figure in finding.inputs}


@pytest.mark.parametrize("case", UNSETTLED)
def test_what_is_not_settled_is_one_finding_that_is_not_red(case):
    wired, code = UNSETTLED[case]
    (finding,) = check_wiring(wired)
    assert finding.code == f"wiring.{code}"
    assert finding.severity != Severity.FAIL


def test_before_the_first_core_nothing_is_wrong():
    """Not yet wired is not wrong: nothing contradicts itself, and nobody declared it complete."""
    bare = _not_declared(
        replace(RIGHT, cables=(), links=tuple(one for one in RIGHT.links if one.is_internal), end_of_line_parts=())
    )
    assert Severity.FAIL not in {finding.severity for finding in check_wiring(bare)}


@pytest.mark.parametrize("number", range(len(RIGHT.cables)))
def test_while_it_is_wired_cable_by_cable_nothing_is_wrong(number):
    """The parts are put in with the last cable of their run, as a fitter does."""
    cables = RIGHT.cables[: number + 1]
    there = {key for one in cables for core in one.cores for key in (core.near, core.far)}
    parts = tuple(one for one in RIGHT.end_of_line_parts if _is_joined(one, there))
    half = _not_declared(replace(RIGHT, cables=cables, end_of_line_parts=parts))
    assert [one.sentence for one in check_wiring(half) if one.severity == Severity.FAIL] == []


def _is_joined(element, there):
    owner = element.first.split(" ")[0]
    return any(key and key.startswith(f"{owner} ") for key in there)


def _not_declared(wired: WiredPanel):
    def open_(orders):
        return tuple(replace(one, is_complete=False) for one in orders)

    return replace(
        wired,
        circuits=open_(wired.circuits),
        lines=open_(wired.lines),
        inputs=open_(wired.inputs),
        data_links=open_(wired.data_links),
        is_complete=False,
    )
