"""Common practice is a firm's to edit, within reason."""

from dataclasses import replace

import pytest

from tests.zones.engineering.designs import make_panel, only
from zones.engineering import QuantityError, Severity, TradePractice, check_panel


def test_an_edited_figure_changes_the_verdict_it_stands_behind():
    stricter = TradePractice(opening_limit_s=45.0)
    assert only(check_panel(make_panel()), "time.opening").severity == Severity.MEETS
    assert only(check_panel(make_panel(), stricter), "time.opening").severity == Severity.FAIL


def test_end_of_discharge_follows_the_cells():
    assert TradePractice().end_of_discharge_v == 21.0  # 12 × 1.75 V [P]
    assert TradePractice(end_of_discharge_v_per_cell=1.80).end_of_discharge_v == pytest.approx(21.6)


@pytest.mark.parametrize(
    "changes",
    [
        {"opening_limit_s": 0},
        {"run_time_allowance": float("nan")},
        {"standard_battery_ah": ()},
        {"standard_battery_ah": (7.0, 3.0)},
        {"normal_low_ohm": 100.0},
        {"open_above_ohm": 1_000.0},
    ],
)
def test_figures_that_make_no_sense_are_refused(changes):
    with pytest.raises(QuantityError):
        replace(TradePractice(), **changes)


def test_practices_of_equal_figures_are_one_key_and_any_other_figure_makes_another():
    """What is judged once for all that is alike is looked up by the practice: none may stand for another."""
    kept = {TradePractice(): "usual", TradePractice(force_margin=1.5): "own"}
    assert kept[TradePractice()] == "usual"
    assert kept[TradePractice(force_margin=1.5)] == "own"
    assert TradePractice(meter_tolerance=0.02) not in kept
