"""Which terminals a cable joins: those of one kind, pole and function. Common practice."""

from dataclasses import dataclass

import pytest

from zones.engineering.wiring.matching import across, can_join, pairs_of
from zones.engineering.wiring.wired_panel import Passing, Polarity, TerminalKind

K, PLUS, MINUS = TerminalKind, Polarity.PLUS, Polarity.MINUS


@dataclass(frozen=True)
class End:
    kind: TerminalKind = K.LINE
    polarity: Polarity = Polarity.NONE
    passing: Passing = Passing.NONE
    function: str = ""


@pytest.mark.parametrize(
    ("out", "into", "joins"),
    [
        (End(K.LINE, PLUS), End(K.LINE, PLUS, Passing.IN), True),
        (End(K.LINE, PLUS), End(K.LINE), True),
        (End(K.LINE), End(K.LINE, MINUS), True),
        (End(K.LINE, PLUS), End(K.LINE, MINUS), False),
        (End(K.LINE, PLUS), End(K.OUTPUT, PLUS), False),
        (End(K.LINE, PLUS), End(K.LINE, PLUS, Passing.OUT), False),
        (End(K.UNKNOWN), End(K.UNKNOWN), False),
        # What is written at them counts for contacts, inputs and supplies only.
        (End(K.OUTPUT, PLUS, function="open"), End(K.OUTPUT, PLUS, function="motor"), True),
        (End(K.CONTACT, function="Open  vent"), End(K.INPUT, function="open vent"), True),
        (End(K.INPUT, function="open"), End(K.CONTACT, function="open"), True),
        (End(K.CONTACT, function="open"), End(K.CONTACT, function="close"), False),
        (End(K.CONTACT, function="open"), End(K.LINE, function="open"), False),
        # The data core of a link has no pole and goes to no other core.
        (End(K.LINK), End(K.LINK), True),
        (End(K.LINK), End(K.LINK, PLUS), False),
        (End(K.LINK, PLUS), End(K.LINK, PLUS), True),
    ],
)
def test_a_core_runs_between_terminals_of_one_kind_pole_and_function(out, into, joins):
    assert can_join(out, into) is joins


def test_of_two_that_fit_the_one_of_the_very_pole_is_taken_and_each_once():
    outs = [End(K.OUTPUT, PLUS), End(K.OUTPUT, MINUS), End(K.DATA), End(K.MONITOR)]
    ins = [End(K.OUTPUT), End(K.OUTPUT, PLUS), End(K.DATA)]
    assert pairs_of(outs, ins) == [(0, 1), (1, 0), (2, 2)]


@pytest.mark.parametrize(
    ("outs", "ends"),
    [
        ([End(K.LINE, MINUS), End(K.LINE, PLUS)], (1, 0)),
        ([End(K.OUTPUT, PLUS), End(K.OUTPUT, MINUS), End(K.MONITOR)], (2, 1)),
        ([End(K.OUTPUT, PLUS), End(K.DATA, MINUS)], None),
        ([End(K.OUTPUT, MINUS)], None),
        ([End(K.LINE), End(K.LINE, MINUS)], None),
        ([], None),
    ],
)
def test_the_end_of_line_stands_between_the_watched_conductor_and_the_minus(outs, ends):
    assert across(outs) == ends
