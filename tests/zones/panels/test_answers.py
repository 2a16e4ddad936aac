"""The answers at the head of a panel's page: what the design check says, never more, and what is not known said so.

The figures are worked out by hand from tests/zones/installations.py; where a finding says them, they are the finding's.
"""

import re
from datetime import date
from types import SimpleNamespace

import pytest
from django.utils import timezone

from tests import builders
from tests.reading import as_read
from tests.zones.installations import make_installation, set_figure
from zones.design_check.checked import checked_panel
from zones.engineering.findings import Severity
from zones.models import BatterySet, ControlPanel, DetectionLine
from zones.panels.answers import answers_of, checks_of_runs
from zones.panels.tag_ranges import tag_ranges
from zones.wiring.state import WiringState, state_of_panel

pytestmark = pytest.mark.django_db
NO_WIRING = WiringState(0, 0, 0)


@pytest.fixture
def made(town, shared, monkeypatch):
    monkeypatch.setattr(timezone, "localdate", lambda: date(2026, 3, 2))
    return shared.built(installation_at_the_hall, town)


def installation_at_the_hall(town):
    return make_installation(town.hall, tag="P7", circuits=2)


def answers(made):
    return answers_of(checked_panel(ControlPanel.objects.get(pk=made.panel.pk)), NO_WIRING)


def test_supply_is_the_motors_with_the_panel_against_its_limit(made):
    supply, *_ = answers(made)
    assert (supply.figure, supply.words) == ("4.20", "of 10 A")  # 4 actuators of 1 A and 0.2 A in alarm
    assert (supply.word, supply.more) == ("within the entered limit", "5.8 A left")
    assert supply.filled / supply.limit == pytest.approx(0.42, abs=0.001)


def test_a_supply_that_cannot_is_not_met_and_by_how_much(made):
    set_figure(made.models["control_panel"], supply_limit_a=4)
    supply, *_ = answers(made)
    assert (supply.word, supply.more) == ("not met", "0.2 A too much")
    assert supply.filled > supply.limit


def test_a_start_above_the_limit_is_not_known_and_says_the_peak(made):
    set_figure(made.models["control_panel"], supply_limit_a="4.5", supply_peak_a=None)
    supply, *_ = answers(made)
    assert (supply.key, supply.more) == ("not_known", "5 A at the start")  # four times 0.2 A more while starting


def test_the_lowest_voltage_is_that_of_the_finding_with_the_least_margin(made):
    _, voltage, *_ = answers(made)
    lowest = min(
        (
            {name: value for name, value, _ in one.inputs}
            for one in checked_panel(made.panel).findings
            if one.code in ("cable.voltage", "cable.voltage_starting")
        ),
        key=lambda figures: figures["margin"],
    )
    assert voltage.figure == f"{lowest['minimum voltage'] + lowest['margin']:.2f}"
    assert f"route to {voltage.tag}" in lowest
    assert (voltage.words, voltage.more) == ("V, least 18 V", f"{lowest['margin']:g} V left")
    assert voltage.heading == "Lowest voltage at an actuator, while starting"
    assert voltage.limit < voltage.filled < 100


def test_the_battery_is_what_is_fitted_against_what_is_needed(made):
    *_, battery, _ = answers(made)
    (capacity,) = (one for one in checked_panel(made.panel).findings if one.code == "battery.capacity")
    needed_ah = dict((name, value) for name, value, _ in capacity.inputs)["required capacity"]
    assert (battery.figure, battery.words) == ("17", f"Ah, {needed_ah:g} Ah needed")
    assert battery.limit < battery.filled


def test_a_battery_too_old_is_not_met_whatever_its_capacity(made):
    BatterySet.objects.filter(panel=made.panel).update(made_on=date(2015, 1, 5), fitted_on=date(2015, 2, 1))
    *_, battery, _ = answers(made)
    assert (battery.figure, battery.word, battery.more) == ("17", "not met", "age")


def test_lines_ended_elsewhere_are_counted_and_not_met(made):
    DetectionLine.objects.filter(pk=made.lines[0].pk).update(end_place="panel_terminal")
    *_, lines = answers(made)
    assert (lines.figure, lines.words) == ("1", "of 2 with the end of line in place")
    assert (lines.filled, lines.word, lines.more) == (50, "not met", "1 of 2")


@pytest.mark.parametrize(
    ("kind", "figure", "index"),
    [
        ("control_panel", "alarm_current_a", 0),
        ("actuator", "minimum_voltage_v", 1),
        ("control_panel", "own_voltage_drop_v", 1),
        ("battery", "capacity_ah", 2),
    ],
)
def test_without_a_figure_the_answer_is_not_known_and_its_bar_empty(made, kind, figure, index):
    assert answers(made)[index].figure
    set_figure(made.models[kind], **{figure: None})
    answer = answers(made)[index]
    assert (answer.figure, answer.filled, answer.limit, answer.word) == ("", 0, None, "not known")


def test_one_circuit_that_is_not_known_leaves_the_lowest_voltage_not_known(made):
    made.building.cables.filter(actuator_circuit=made.circuits[0]).update(length_m=None)
    _, voltage, *_ = answers(made)
    assert (voltage.figure, voltage.word, voltage.more) == ("", "not known", "1 of 2 circuits")


def test_a_bare_panel_knows_nothing(town):
    panel = builders.make_panel(town.hall, tag="P9")
    found = answers_of(checked_panel(panel), state_of_panel(panel))
    assert {answer.word for answer in found} == {"not known"}
    assert {answer.filled for answer in found} == {0}


def test_each_state_is_the_worst_that_the_design_check_says(made):
    set_figure(made.models["control_panel"], output_limit_a=1)
    checked = checked_panel(made.panel)
    checks = checks_of_runs(checked)
    assert {checks[circuit].key for circuit in made.circuits} == {"not_met"}
    assert {checks[line].key for line in made.lines} == {"meets"}
    assert all(
        (checks[circuit].key == "not_met")
        == any(one.severity == Severity.FAIL and one.subject.startswith("Circuit") for one in checked.findings)
        for circuit in made.circuits
    )


def test_the_page_shows_the_figures_of_each_circuit(as_, made):
    row = re.sub("<[^>]*>", "", circuit_row(as_("manager").get(made.panel.get_absolute_url())))
    (output,) = (
        one for one in checked_panel(made.panel).findings if (one.code, one.subject) == ("supply.output", "Circuit 1")
    )
    assert f"{output.inputs[0].value:g} of {output.inputs[1].value:g}" in row
    assert "within the entered limit" in row


def test_a_circuit_whose_figures_are_not_known_says_so_on_the_page(as_, made):
    set_figure(made.models["actuator"], rated_current_a=None)
    assert (
        circuit_row(as_("manager").get(made.panel.get_absolute_url())).count("not known") == 3
    )  # current, lowest, check


def circuit_row(response):
    table = response.content.decode().split('id="circuits"')[1]
    return as_read(re.findall("<tr.*?</tr>", table, re.S)[1])


def devices(*tags):
    return [SimpleNamespace(tag=tag) for tag in tags]


@pytest.mark.parametrize(
    ("tags", "shown"),
    [
        (["M1", "M2", "M3"], ["M1–M3"]),
        (["M1", "M2"], ["M1", "M2"]),  # no shorter
        (["M3", "M2", "M1"], ["M3", "M2", "M1"]),  # the order on the run is kept
        (["M1", "M2", "M3", "M5", "SD6", "SD7", "SD8"], ["M1–M3", "M5", "SD6–SD8"]),
        (["M8", "M9", "M10"], ["M8–M10"]),
        (["M08", "M09", "M10"], ["M08", "M09", "M10"]),
        (["roof", "door", "door"], ["roof", "door", "door"]),
        (["1.9", "1.10", "1.11"], ["1.9–1.11"]),
        ([], []),
    ],
)
def test_tags_that_follow_each_other_are_said_by_the_first_and_the_last(tags, shown):
    assert [one.text for one in tag_ranges(devices(*tags))] == shown


def test_each_tag_of_a_range_leads_to_its_position(as_, made):
    for number in range(1, 5):
        position = builders.make_position(
            made.building, "actuator", tag=f"Q{number}", actuator_circuit=made.circuits[0]
        )
    page = as_("manager").get(made.panel.get_absolute_url()).content.decode()
    assert "Q1–Q4" in page
    assert f'href="{position.get_absolute_url()}"' in page
