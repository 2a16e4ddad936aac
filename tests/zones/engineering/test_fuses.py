"""Fuses by time and current. The lines of the standards stand here from memory [M], as in the table itself."""

from dataclasses import replace
from math import isinf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.zones.engineering.designs import make_panel, only
from zones.engineering import Severity
from zones.engineering.battery_set import BatteryDuty
from zones.engineering.battery_starting import starting_findings
from zones.engineering.fuses import FUSE_KINDS, holds_s, opens_s

BLADE = FUSE_KINDS["blade"]


# ISO 8820-3, type C: 1.35 × 0.75 to 600 s, 2 × 0.15 to 5 s, 6 × 0.02 to 0.1 s [M].
@pytest.mark.parametrize(("current_a", "holds", "opens"), [(13.5, 0.75, 600), (20.0, 0.15, 5), (60.0, 0.02, 0.1)])
def test_lines_of_the_blade_fuse(current_a, holds, opens):
    assert (holds_s(BLADE, 10.0, current_a), opens_s(BLADE, 10.0, current_a)) == (holds, opens)


# IEC 60127-2, T: 2.75 × 0.6 to 10 s, 10 × 0.02 to 0.3 s [M].
@pytest.mark.parametrize(("current_a", "holds", "opens"), [(27.5, 0.6, 10), (100.0, 0.02, 0.3)])
def test_lines_of_the_time_lag_fuse(current_a, holds, opens):
    kind = FUSE_KINDS["time_lag"]
    assert (holds_s(kind, 10.0, current_a), opens_s(kind, 10.0, current_a)) == (holds, opens)


def test_its_rated_current_a_fuse_holds_for_good():
    assert isinf(holds_s(BLADE, 10.0, 10.0))
    assert isinf(opens_s(BLADE, 10.0, 10.0))


@given(st.sampled_from(list(FUSE_KINDS.values())), st.floats(0.5, 20.0), st.floats(1.0, 2.0))
def test_more_current_never_holds_longer_and_never_opens_later(kind, multiple, factor):
    assert kind.opens_s(multiple * factor) <= kind.opens_s(multiple)
    assert kind.holds_s(multiple * factor) <= kind.holds_s(multiple)
    assert kind.holds_s(multiple) <= kind.opens_s(multiple)


def start(*, fuse_a=10.0, kind="blade", starting_s=0.1, limit_a=50.0, starting_a=16.0):
    battery = replace(
        make_panel().battery, fuse_a=fuse_a, fuse_kind=kind and FUSE_KINDS[kind], greatest_current_a=limit_a
    )
    duty = BatteryDuty(0.1, 0.0, 8.0, 60.0, 1.0, starting_a=starting_a, starting_s=starting_s)
    return starting_findings("P1", battery, duty)


@pytest.mark.parametrize(
    ("changes", "severity"),
    [
        ({}, Severity.MEETS),  # 1.6 × for 0.1 s: held for 0.25 s
        ({"starting_s": 0.3}, Severity.FAIL),
        ({"kind": None}, Severity.MISSING),
        ({"starting_s": None}, Severity.MISSING),
        ({"fuse_a": 16.0, "kind": None}, Severity.MEETS),
    ],
)
def test_sixteen_amperes_starting_on_a_fuse_of_ten(changes, severity):
    assert only(start(**changes), "battery.fuse_starting").severity == severity


@pytest.mark.parametrize(("limit_a", "severity"), [(10.0, Severity.FAIL), (16.0, Severity.MEETS)])
def test_sixteen_amperes_starting_on_a_battery_of_ten(limit_a, severity):
    assert only(start(limit_a=limit_a), "battery.starting").severity == severity


def test_an_unknown_start_says_nothing_of_its_own():
    assert start(starting_a=None) == []


def test_a_start_of_many_motors_is_judged_though_no_single_current_may_be_so_large():
    found = only(start(fuse_a=100.0, starting_a=250.0, starting_s=0.03), "battery.fuse_starting")
    assert found.severity == Severity.MEETS  # 2.5 × for 0.03 s; ISO 8820-3: 3.5 × is held for 0.04 s [M]
