"""Insulation and protective conductors: the handbook's section 7."""

import math

import pytest

from zones.engineering import Conductor, QuantityError, Severity
from zones.engineering.insulation import (
    INSULATION_LIMITS,
    CircuitVoltage,
    check_insulation,
    conductor_ohm,
    for_length_megohm,
    in_parallel_megohm,
)


@pytest.mark.parametrize(
    ("kind", "test_v", "least_megohm"),  # IEC 60364-6 / BS 7671 table 64 [S2]
    [
        (CircuitVoltage.EXTRA_LOW, 250, 0.5),
        (CircuitVoltage.UP_TO_500_V, 500, 1.0),
        (CircuitVoltage.ABOVE_500_V, 1000, 1.0),
    ],
)
def test_limits_are_those_of_the_table(kind, test_v, least_megohm):
    assert INSULATION_LIMITS[kind] == (test_v, least_megohm)
    assert check_insulation("circuit 1", kind, least_megohm * 0.99, test_v).severity == Severity.FAIL
    assert (
        check_insulation("circuit 1", kind, least_megohm, test_v).severity == Severity.QUESTION
    )  # equal passes, but is low
    assert check_insulation("circuit 1", kind, 2.0, test_v).severity == Severity.MEETS


def test_a_reading_is_told_with_its_limit_and_test_voltage():
    figures = check_insulation("circuit 1", CircuitVoltage.EXTRA_LOW, 20.0, 500).inputs
    assert figures == (
        ("reading", 20.0, "MΩ"),
        ("limit", 0.5, "MΩ"),
        ("test voltage", 500, "V DC"),
        ("test voltage asked", 250, "V DC"),
    )


@pytest.mark.parametrize("tested_v", [9, 100, 249])
def test_a_good_reading_at_too_low_a_voltage_proves_nothing_and_a_bad_one_fails(tested_v):
    """A multimeter of 9 V reads megohms where 250 V break through (IEC 60364-6: the voltage belongs to the limit)."""
    good = check_insulation("circuit 1", CircuitVoltage.EXTRA_LOW, 200.0, tested_v)
    assert good.severity == Severity.MISSING
    assert (
        f"nsulation reading at 250 V DC of circuit 1 not known: insulation (read at {tested_v} V only)" in good.sentence
    )
    assert check_insulation("circuit 1", CircuitVoltage.EXTRA_LOW, 0.4, tested_v).severity == Severity.FAIL


def test_circuits_tested_together_add_up_their_leakage():
    together = in_parallel_megohm([2, 3, 6])  # handbook 7: 1.00 megohm
    assert together == pytest.approx(1.0)


def test_ten_times_the_cable_has_a_tenth_of_the_insulation():
    assert for_length_megohm(20, 100, 1000) == pytest.approx(2)  # handbook 7


def test_line_and_earth_of_thirty_metres():
    line, earth = conductor_ohm(Conductor(1.5, 1), 30), conductor_ohm(Conductor(1.0, 1), 30)
    assert line + earth == pytest.approx(0.906, abs=5e-4)  # handbook 7: R1 + R2
    assert conductor_ohm(Conductor(2.5, 1), 50) == pytest.approx(0.371, abs=6e-4)


def test_a_missing_reading_gives_no_verdict():
    assert check_insulation("circuit 1", CircuitVoltage.EXTRA_LOW, None, 250).severity == Severity.MISSING
    assert check_insulation("circuit 1", None, 5.0, 250).severity == Severity.MISSING
    assert check_insulation("circuit 1", CircuitVoltage.EXTRA_LOW, 5.0, None).severity == Severity.MISSING


def test_a_failing_reading_warns_against_energising():
    assert "Do not energise" in check_insulation("circuit 1", CircuitVoltage.EXTRA_LOW, 0.0, 250).sentence


@pytest.mark.parametrize("reading", [-1, math.nan, math.inf, "5"])
def test_what_is_no_reading_is_refused(reading):
    with pytest.raises(QuantityError, match="reading_megohm of circuit 1"):
        check_insulation("circuit 1", CircuitVoltage.EXTRA_LOW, reading, 250)


def test_no_readings_are_no_insulation():
    with pytest.raises(QuantityError, match="number of readings"):
        in_parallel_megohm([])
