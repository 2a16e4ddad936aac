"""Cables of lines and data links against their current rating: Ohm's law, IEC 60364-5-52 and ABNT NBR 5410 [S2]."""

from dataclasses import replace

import pytest

from tests.zones.engineering.designs import make_line, make_panel, only, without
from zones.engineering import Conductor, EndOfLineResistor, Severity, check_panel
from zones.engineering.cable_ratings import NOT_KNOWN, least_rating_a
from zones.engineering.data_links import DataLink, LinkDevice
from zones.engineering.signal_check import check_signals

LINE = make_line("2")  # 20 V, three alarm resistors of 680 ohm - 5 %, 10 kohm - 1 %, two heads of 50 uA


def signals(*lines, links=(), asked=True):
    return check_signals("P1", lines, links, asked=asked)


def test_a_line_takes_the_current_of_all_its_alarm_resistors_at_once():
    """3 × 20 V / 646 Ω + 20 V / 9,900 Ω + 100 µA = 0.095 A, on 0.75 mm² however it is laid."""
    found = only(signals(LINE), "cable.signals")
    figures = {one.name: one.value for one in found.inputs}
    assert found.severity == Severity.MEETS
    assert figures["most that a line or link takes"] == pytest.approx(60 / 646 + 20 / 9900 + 1e-4, abs=1e-3)
    assert figures["current rating, at the least"] <= least_rating_a(Conductor(0.75, 1), NOT_KNOWN)
    assert "What the panel gives into a short circuit on them is its maker's to say" in found.sentence


def test_the_run_with_the_greatest_share_of_its_rating_is_told():
    hungry = LinkDevice("CP1", "", 10.0, Conductor(0.75, 1), 1.5, 18.0)
    found = only(signals(LINE, links=[DataLink("data link 1", (hungry,), 1)]), "cable.signals")
    assert "its 2 lines, inputs and data links carry at most 1.5 A (data link 1" in found.sentence


def test_a_link_that_takes_more_than_its_cable_carries_however_laid_is_not_met():
    hungry = LinkDevice("CP1", "", 10.0, Conductor(0.5, 1), 19.0, 18.0)
    found = only(signals(links=[DataLink("data link 1", (hungry,), 1)]), "cable.signals")
    assert found.severity == Severity.FAIL


@pytest.mark.parametrize(
    "unknown",
    [
        without(LINE, line_voltage_v=1),
        replace(LINE, devices=(without(LINE.devices[0], alarm_ohm=1), *LINE.devices[1:])),
        replace(LINE, devices=(without(LINE.devices[0], conductor=1), *LINE.devices[1:])),
        replace(LINE, devices=(*LINE.devices[:2], without(LINE.devices[2], quiescent_current_a=1))),
        replace(LINE, devices=(replace(LINE.devices[0], conductor=Conductor(awg=26)), *LINE.devices[1:])),
        replace(LINE, elements=(EndOfLineResistor("D2", None),)),
    ],
)
def test_what_is_not_known_is_never_within_a_limit_and_told_only_where_it_is_asked(unknown):
    assert [one.severity for one in signals(unknown)] == [Severity.NOTE]
    assert signals(unknown, asked=False) == []


def test_between_what_a_cable_carries_however_and_at_best_laid_there_is_no_verdict():
    least_a = least_rating_a(Conductor(0.5, 1), NOT_KNOWN)
    hungry = LinkDevice("CP1", "", 10.0, Conductor(0.5, 1), 1.2 * least_a, 18.0)
    found = only(signals(links=[DataLink("data link 1", (hungry,), 1)]), "cable.signals")
    assert (found.severity, found.subject) == (Severity.MISSING, "P1")
    assert found.sentence.endswith("no verdict before their laying is known.")


def test_the_check_of_a_panel_has_one_finding_for_all_its_lines():
    assert only(check_panel(make_panel(lines=(LINE, make_line("3")))), "cable.signals").severity == Severity.MEETS
