"""Data links: how many call points, how long, and what voltage the last of them gets. Ohm's law, IEC 60228."""

from dataclasses import replace

import pytest

from tests.zones.engineering.designs import only
from zones.engineering.conductors import Conductor
from zones.engineering.data_links import DataLink, LinkDevice, check_data_link, voltages
from zones.engineering.findings import Figure, Severity
from zones.engineering.quantities import QuantityError

SIZE_0_75 = Conductor(0.75, 1)  # 24.5 ohm/km, IEC 60228
FIRST = LinkDevice("CP1", "", 100.0, SIZE_0_75, 0.1, 18.0)
SECOND = LinkDevice("CP2", "CP1", 50.0, SIZE_0_75, 0.1, 18.0)
LINK = DataLink("data link 1", (FIRST, SECOND), listed=2)


def test_each_section_carries_what_all_beyond_it_draw():
    """100 m carry 0.2 A over 4.9 ohm, 50 m carry 0.1 A over 2.45 ohm: 0.98 V and 0.245 V."""
    assert voltages(LINK, 21.0) == pytest.approx({"CP1": 20.02, "CP2": 19.775})


@pytest.mark.parametrize(("source_v", "severity"), [(21.0, Severity.MEETS), (19.2, Severity.FAIL)])
def test_the_call_point_that_gets_least_above_its_minimum_decides(source_v, severity):
    finding = only(check_data_link(LINK, source_v), "link.voltage")
    assert finding.severity == severity
    assert finding.inputs == (Figure("voltage", round(source_v - 1.225, 2), "V"), Figure("least", 18.0, "V"))
    assert "CP2" in finding.sentence


def test_the_length_is_told_for_comparison_with_what_the_maker_allows():
    finding = only(check_data_link(LINK, 21.0), "link.length")
    assert (finding.severity, finding.inputs) == (Severity.NOTE, (Figure("cable", 150.0, "m"),))


@pytest.mark.parametrize(("listed", "severity"), [(2, Severity.MEETS), (3, Severity.FAIL), (None, Severity.MISSING)])
def test_the_call_points_recorded_are_compared_with_those_the_panel_lists(listed, severity):
    finding = only(check_data_link(replace(LINK, listed=listed), 21.0), "link.count")
    assert finding.severity == severity
    assert listed is None or finding.inputs == (Figure("recorded", 2), Figure("listed", listed))


@pytest.mark.parametrize(
    ("field", "code", "words"),
    [
        ("length_m", "link.length", "cable length of CP2"),
        ("conductor", "link.voltage", "cable section or class of CP2"),
        ("current_a", "link.voltage", "current in alarm of CP2"),
        ("minimum_voltage_v", "link.voltage", "least voltage of CP2"),
    ],
)
def test_what_is_not_known_is_told_and_passes_nothing(field, code, words):
    findings = check_data_link(replace(LINK, devices=(FIRST, replace(SECOND, **{field: None}))), 21.0)
    finding = only(findings, code)
    assert (finding.severity, words in finding.sentence) == (Severity.MISSING, True)


def test_a_link_without_a_call_point_has_no_length_and_no_voltage():
    assert [one.code for one in check_data_link(DataLink("data link 1", listed=0), 21.0)] == ["link.count"]


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"length_m": 2_001.0}, "length_m of CP2 is 2001; it must be greater than 0 and at most 2000 m"),
        ({"current_a": 201.0}, "current_a of CP2 is 201; it must be greater than 0 and at most 200 A"),
        ({"minimum_voltage_v": 0.0}, "minimum_voltage_v of CP2 is 0; it must be greater than 0 and at most 1000 V"),
    ],
)
def test_figures_that_cannot_be_are_refused(changes, words):
    with pytest.raises(QuantityError) as refused:
        replace(SECOND, **changes)
    assert words in str(refused.value)
