"""The answers at the head of the page of a circuit and a line: what the design check says of it, never better.

The figures are worked out by hand from tests/zones/installations.py; where a finding says them, they are the finding's.
"""

from datetime import date

import pytest
from django.utils import timezone

from tests.zones.installations import make_installation, set_figure
from zones.design_check.checked import checked_panel
from zones.models import Cable, ControlPanel, DetectionLine, Fitting, Position
from zones.panels.answers import checks_of_runs
from zones.panels.run_answers import answers_of_circuit, answers_of_line, standing_of_run

pytestmark = pytest.mark.django_db


@pytest.fixture
def made(town, shared, monkeypatch):
    monkeypatch.setattr(timezone, "localdate", lambda: date(2026, 3, 2))
    return shared.built(installation_at_the_hall, town)


def installation_at_the_hall(town):
    return make_installation(town.hall, tag="P7", actuators=3)


def checked(made):
    return checked_panel(ControlPanel.objects.get(pk=made.panel.pk))


def of_circuit(made):
    return answers_of_circuit(checked(made), made.panel.actuator_circuits.get())


def of_line(made):
    return answers_of_line(checked(made), made.panel.detection_lines.get())


def test_each_actuator_with_its_unit_counts_as_fitted(made):
    made.panel.actuator_circuits.update(expected_actuators=3)
    actuators, *_ = of_circuit(made)
    assert (actuators.figure, actuators.words, actuators.word) == ("3", "of 3 expected", "each has its unit")
    Fitting.objects.filter(position__tag="P7M1.2").delete()
    actuators, *_ = of_circuit(made)
    assert (actuators.figure, actuators.key, actuators.word) == ("2", "missing", "1 without a unit")


def test_fewer_actuators_than_the_panel_expects_are_not_all_fitted(made):
    made.panel.actuator_circuits.update(expected_actuators=4)
    actuators, *_ = of_circuit(made)
    assert (actuators.figure, actuators.words) == ("3", "of 4 expected")
    assert (actuators.key, actuators.word) == ("missing", "short by 1")


def test_the_current_of_an_output_stands_against_its_limit(made):
    _, current, *_ = of_circuit(made)
    assert (current.figure, current.words, current.more) == (
        "3",
        "of 5 A",
        "2 A left",
    )  # three of 1 A on an output of 5 A
    assert current.filled / current.limit == pytest.approx(3 / 5, abs=0.002)
    set_figure(made.models["control_panel"], output_limit_a=2)
    _, current, *_ = of_circuit(made)
    assert (current.word, current.more) == ("not met", "1 A too much")


def test_the_voltage_is_the_lowest_of_this_circuit(made):
    _, _, volts, _ = of_circuit(made)
    (found,) = [one for one in checked(made).findings if one.code == "cable.voltage_starting"]
    assert volts.figure == f"{found.compared.figure:.2f}"
    assert (volts.heading, volts.tag) == ("Lowest voltage at an actuator, while starting", "P7M1.3")


def test_the_opening_time_is_that_of_the_slowest_and_says_how_long_the_output_runs(made):
    *_, opening = of_circuit(made)
    assert (opening.figure, opening.words) == ("51.9", "of 60 s")  # 500 mm at 9.64 mm/s, at the end of discharge
    assert opening.more == "8.11 s left; runs for 90 s"


def test_an_output_that_stops_too_early_is_what_its_time_says(made):
    made.panel.actuator_circuits.update(run_time_s=45)
    *_, opening = of_circuit(made)
    assert (opening.heading, opening.figure, opening.key) == ("Run time of the output", "45", "not_met")
    assert opening.more.endswith("too short")


def slow_drives(made):
    set_figure(made.models["actuator"], speed_mm_s=8)


def long_cables(made):
    Cable.objects.filter(tag__startswith="P7W").update(length_m=400)


def unknown_current(made):
    set_figure(made.models["actuator"], rated_current_a=None)


def lost_ends(made):
    made.panel.actuator_circuits.update(end_place="")


def other_drives(made):
    set_figure(made.models["actuator"], drive="addressed")


def no_actuator(made):
    Position.objects.filter(actuator_circuit__panel=made.panel).update(actuator_circuit=None)


RANK = ["not_met", "not_known", "question", "meets", "note"]


def worst(answers):
    """The worst that the answers say in the words of the check; what they say of units is theirs alone."""
    return min((one.key for one in answers if one.key in RANK), key=RANK.index)


@pytest.mark.parametrize("spoil", [None, slow_drives, long_cables, unknown_current, lost_ends, other_drives])
def test_the_worst_answer_of_a_circuit_is_what_the_check_says_of_it(made, spoil):
    if spoil:
        spoil(made)
    circuit = made.panel.actuator_circuits.get()
    assert worst(answers_of_circuit(checked(made), circuit)) == checks_of_runs(checked(made))[circuit].key


def test_a_circuit_with_nothing_on_it_is_good_in_nothing(made):
    no_actuator(made)
    assert {one.key for one in of_circuit(made)} <= {"missing", "not_known"}


def test_a_line_at_rest_and_in_alarm_stands_in_its_range(made):
    devices, at_rest, in_alarm, end = of_line(made)
    assert (devices.words, devices.word) == ("of 3", "each has its unit")
    for answer, code in ((at_rest, "line.normal"), (in_alarm, "line.alarm")):
        (found,) = [one for one in checked(made).findings if one.code == code]
        figures = {name: value for name, value, _ in found.inputs}
        whole = max(figures["greatest seen"], figures["range to"]) * 1.1
        assert answer.starts == pytest.approx(100 * figures["least seen"] / whole, abs=0.1)
        assert answer.limit < answer.starts < answer.starts + answer.filled < answer.limit_above
        assert answer.key == "meets"
    assert (end.figure, end.words) == ("10.00 kΩ ± 1 %", "at the last device")


def wrong_resistor(made):
    DetectionLine.objects.update(end_of_line_ohm=3000)


def unknown_resistor(made):
    DetectionLine.objects.update(end_of_line_ohm=None)


def heads_unseen(made):
    set_figure(made.models["smoke_detector"], removal_opens_line=False)


def unknown_alarm(made):
    set_figure(made.models["smoke_detector"], alarm_resistance_ohm=None)


def no_resistor(made):
    DetectionLine.objects.update(end_place="missing")


@pytest.mark.parametrize("spoil", [None, wrong_resistor, unknown_resistor, heads_unseen, unknown_alarm, no_resistor])
def test_the_worst_answer_of_a_line_is_what_the_check_says_of_it(made, spoil):
    if spoil:
        spoil(made)
    line = made.panel.detection_lines.get()
    assert worst(answers_of_line(checked(made), line)) == checks_of_runs(checked(made))[line].key


def test_a_line_whose_figures_lack_says_which(made):
    unknown_alarm(made)
    _, at_rest, in_alarm, _ = of_line(made)
    assert (at_rest.figure, at_rest.more) == ("", "alarm resistance")
    assert (in_alarm.figure, in_alarm.key) == ("", "not_known")


def test_an_unused_line_has_no_alarm_to_judge(made):
    Position.objects.filter(detection_line__panel=made.panel).update(detection_line=None)
    DetectionLine.objects.filter(panel=made.panel).update(end_place="own_terminals")
    assert [one.heading for one in of_line(made)] == ["Devices fitted", "Resistance at rest", "End of line"]


def test_what_stands_of_a_circuit_is_what_the_check_has_to_act_on(made):
    circuit = made.panel.actuator_circuits.get()
    standing = standing_of_run(checked(made), circuit, user=None, back="")
    assert standing.group is None and standing.number > 3
    long_cables(made)
    standing = standing_of_run(checked(made), circuit, user=None, back="")
    codes = {line.finding.code for line in standing.group.lines}
    assert {"cable.voltage", "cable.voltage_starting", "figure.unusual"} <= codes
