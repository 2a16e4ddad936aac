"""Patterns and loops: a run wired in one step, nothing entered twice, all or nothing."""

import re

import pytest
from django.core.exceptions import ValidationError

from tests import builders
from zones.engineering.wiring.checks import check_wiring
from zones.models import Cable, Core, CoreEnd, EndOfLinePart, Position, Terminal, TerminalLink
from zones.units.patterns import change_pattern, use_device_pattern, use_panel_pattern
from zones.wiring.loops import LoopOptions, loop_inputs, loop_run
from zones.wiring.records import wired_panel

pytestmark = pytest.mark.django_db


@pytest.fixture
def line(town):
    """Line 1 of P1 with three detectors; the panel's terminals made from the usual pattern."""
    Position.objects.filter(pk__in=[town.call_point.pk, town.detector.pk]).update(panel=None, smoke_zone=None)
    line = builders.make_line(town.panel, number=1, end_of_line_ohm=10_000)
    town.devices = [
        builders.make_position(town.hall, tag=f"SD{n}", panel=town.panel, detection_line=line, order_on_line=n)
        for n in (11, 12, 13)
    ]
    use_panel_pattern(panel=town.panel, lines=1)
    return line


@pytest.fixture
def circuit(town):
    Position.objects.filter(pk__in=[town.call_point.pk, town.detector.pk]).update(panel=None, smoke_zone=None)
    circuit = builders.make_circuit(town.panel, number=1, drive="polarity")
    town.motors = [
        builders.make_position(
            town.hall, "actuator", tag=f"M{n}", panel=town.panel, actuator_circuit=circuit, order_on_line=n
        )
        for n in (1, 2)
    ]
    use_panel_pattern(panel=town.panel, outputs=1)
    return circuit


def codes(town):
    return [finding.code for finding in check_wiring(wired_panel(town.panel))]


def counts():
    return [model.objects.count() for model in (Terminal, TerminalLink, Cable, Core, CoreEnd, EndOfLinePart)]


def test_a_line_is_looped_in_one_step_and_has_no_finding(town, line):
    loop = loop_run(owner=line, devices=town.devices, options=LoopOptions(cores_count=3, colours=("BN", "BU", "BK")))
    assert [(leg.near, leg.far) for leg in loop.legs] == [("P1", "SD11"), ("SD11", "SD12"), ("SD12", "SD13")]
    assert [(core.number, core.near, core.far) for core in loop.legs[1].cores] == [
        (1, "SD11 -X1:3", "SD12 -X1:1"),
        (2, "SD11 -X1:4", "SD12 -X1:2"),
        (3, "", ""),
    ]
    assert list(Core.objects.filter(is_spare=True).values_list("colour", flat=True)) == ["BK"] * 3
    assert loop.element == "SD13 -X1:3 and SD13 -X1:4"
    line.refresh_from_db()
    assert line.end_place == "last_device"
    assert EndOfLinePart.objects.get().value_ohm == 10_000
    assert codes(town) == []


def test_the_runs_of_the_line_are_recorded_for_the_design_check_too(town, line):
    loop_run(owner=line, devices=town.devices)
    runs = line.cables.order_by("pk")
    assert [(run.feeds.tag, run.upstream and run.upstream.feeds.tag) for run in runs] == [
        ("SD11", None),
        ("SD12", "SD11"),
        ("SD13", "SD12"),
    ]


def test_looped_again_nothing_is_made_twice(town, line):
    loop_run(owner=line, devices=town.devices)
    before = counts()
    assert not any(leg.is_new for leg in loop_run(owner=line, devices=town.devices).legs)
    assert counts() == before


def test_a_line_that_grows_takes_its_element_along(town, line):
    loop_run(owner=line, devices=town.devices[:2])
    assert loop_run(owner=line, devices=town.devices).is_moved
    assert EndOfLinePart.objects.get().first.position == town.devices[2]
    assert codes(town) == []


def test_an_unused_line_gets_its_element_at_the_panel(town):
    use_panel_pattern(panel=town.panel, lines=2)
    line = town.panel.detection_lines.get(number=2)
    assert loop_run(owner=line, devices=[], options=LoopOptions(element_ohm=4700)).element == "P1 -XL2:1 and P1 -XL2:2"
    line.refresh_from_db()
    assert line.end_place == "panel_terminal"
    assert EndOfLinePart.objects.get().value_ohm == 4700  # as typed; the line has none of its own


@pytest.mark.parametrize(("drive", "third"), [("polarity", "monitor"), ("addressed", "data")])
def test_actuators_are_looped_with_the_core_that_their_drive_needs(town, circuit, drive, third):
    if drive == "addressed":
        circuit.drive = drive
        circuit.save()
        Terminal.objects.filter(actuator_circuit=circuit).delete()
        use_panel_pattern(panel=town.panel, outputs=1)
    loop = loop_run(owner=circuit, devices=town.motors)
    assert [len(leg.cores) for leg in loop.legs] == [3, 3]
    assert Terminal.objects.filter(position__in=town.motors, electrical_kind=third).count() == 4
    assert EndOfLinePart.objects.count() == (1 if drive == "polarity" else 0)
    assert codes(town) == []


def test_cables_that_are_there_are_used_with_their_colours(town, line):
    run = builders.make_cable(
        town.hall, tag="W77", detection_line=line, feeds=town.devices[0], cores_count=3, length_m=14
    )
    builders.make_core(run, number=1, colour="GNYE")
    loop = loop_run(owner=line, devices=town.devices)
    assert loop.legs[0].cable.tag == "W77"
    assert [leg.is_new for leg in loop.legs] == [False, True, True]
    # Green-yellow is for the protective conductor alone (IEC 60445): the core is parked.
    assert [(core.number, core.colour, bool(core.near)) for core in loop.legs[0].cores] == [
        (1, "GNYE", False),
        (2, "", True),
        (3, "", True),
    ]


def test_a_leg_through_a_junction_box_links_every_core_on(town, circuit):
    box = builders.make_position(town.hall, "junction_box", tag="JB1")
    to_box = builders.make_cable(town.hall, tag="W50", actuator_circuit=circuit, far_box=box)
    builders.make_cable(town.hall, tag="W51", actuator_circuit=circuit, upstream=to_box, feeds=town.motors[0])
    loop = loop_run(owner=circuit, devices=town.motors)
    assert [(leg.near, leg.far) for leg in loop.legs] == [("P1", "JB1"), ("JB1", "M1"), ("M1", "M2")]
    assert box.terminals.count() == 6
    assert codes(town) == []
    before = counts()
    loop_run(owner=circuit, devices=town.motors)
    assert counts() == before


def refused(sentence, act):
    before = counts()
    with pytest.raises(ValidationError, match=sentence):
        act()
    assert counts() == before


def test_a_core_in_use_stops_the_step_and_nothing_is_changed(town, line):
    taken = Terminal.objects.get(block="XL1", number="2")
    other = builders.make_cable(town.hall, tag="W9")
    builders.connect(builders.make_core(other, number=1), taken)
    refused(r"P1 -XL1:2 is used by core W9\.1", lambda: loop_run(owner=line, devices=town.devices))


def test_too_few_cores_are_told(town, circuit):
    first = builders.make_cable(town.hall, actuator_circuit=circuit, feeds=town.motors[0])
    builders.make_cable(
        town.hall, tag="W9", actuator_circuit=circuit, feeds=town.motors[1], cores_count=2, upstream=first
    )
    refused("W9 has 2 cores, 3 are needed", lambda: loop_run(owner=circuit, devices=town.motors))


def test_runs_in_another_order_are_told(town, line):
    builders.make_cable(town.hall, tag="W9", detection_line=line, feeds=town.devices[1])
    refused("W9 to SD12 comes from the panel, not from SD11", lambda: loop_run(owner=line, devices=town.devices))


def test_a_box_that_is_no_position_is_told(town, line):
    to_box = builders.make_cable(town.hall, tag="W9", detection_line=line)
    builders.make_cable(town.hall, detection_line=line, upstream=to_box, feeds=town.devices[0])
    refused("W9 ends in a junction box that is not registered", lambda: loop_run(owner=line, devices=town.devices))


def test_a_terminal_that_nothing_from_before_fits_is_told_though_others_fit(town, line):
    use_device_pattern(position=town.devices[0])
    Terminal.objects.filter(position=town.devices[0], number="2").update(electrical_kind="output")
    refused("SD11: no terminal of P1 fits -X1:2. Correct kind", lambda: loop_run(owner=line, devices=town.devices))


def test_a_second_end_of_line_part_is_told_by_where_both_stand(town, line):
    loop_run(owner=line, devices=town.devices)
    first, second = (Terminal.objects.get(position=town.devices[0], number=number) for number in "34")
    stray = EndOfLinePart.objects.create(first=first, second=second, value_ohm=10_000)
    words = rf"2 end-of-line resistors or modules \(.*{re.escape(str(stray))}"
    refused(words, lambda: loop_run(owner=line, devices=town.devices))


def test_without_terminals_at_the_panel_there_is_no_loop(town):
    line = builders.make_line(town.panel, number=7)
    refused("line 7 has no terminals where it starts", lambda: loop_run(owner=line, devices=[]))


def test_a_switch_and_a_sensor_are_wired_from_inputs(town, line):
    use_panel_pattern(panel=town.panel, lines=1, inputs=2)
    switches = [builders.make_position(town.hall, "ventilation_switch", tag=f"VS{n}", panel=town.panel) for n in (1, 2)]
    rain = builders.make_position(town.hall, "rain_sensor", tag="RS1", panel=town.panel)
    loop = loop_inputs(panel=town.panel, block="xs1", devices=switches)
    assert [len(leg.cores) for leg in loop.legs] == [3, 3]
    assert [leg.cable.tag for leg in loop.legs] == ["W1.S1-1", "W1.S1-2"]
    assert len(loop_inputs(panel=town.panel, block="XS2", devices=[rain]).legs[0].cores) == 4
    loop_run(owner=line, devices=town.devices)
    assert codes(town) == []
    before = counts()
    loop_inputs(panel=town.panel, block="XS1", devices=switches)
    assert counts() == before
    refused("no terminals of block XS9", lambda: loop_inputs(panel=town.panel, block="XS9", devices=switches))


def test_nothing_goes_on_from_a_device_without_outgoing_terminals(town, line):
    use_panel_pattern(panel=town.panel, lines=1, inputs=1)
    rain = [builders.make_position(town.hall, "rain_sensor", tag=f"RS{n}", panel=town.panel) for n in (1, 2)]
    refused("RS1 has no outgoing terminal", lambda: loop_inputs(panel=town.panel, block="XS1", devices=rain))


# Patterns -------------------------------------------------------------------------------------------------------------


def test_a_panel_gets_the_terminals_of_its_outputs_lines_and_inputs_in_one_step(town):
    made = use_panel_pattern(panel=town.panel, outputs=2, lines=4, inputs=1)
    assert len(made.terminals) == 5 + 2 * 3 + 4 * 2 + 6
    assert [str(run) for run in made.runs][:2] == ["P1 circuit 1", "P1 circuit 2"]
    assert Terminal.objects.get(block="XL3", number="2").detection_line.number == 3
    again = use_panel_pattern(panel=town.panel, outputs=2, lines=4, inputs=1)
    assert (again.terminals, again.completed, again.runs) == ([], [], [])


def test_what_was_entered_at_a_terminal_stays_and_the_rest_is_completed(town):
    builders.make_terminal(position=town.detector, block="X1", number="1", electrical_kind="line", pole="-")
    made = use_device_pattern(position=town.detector)
    assert (len(made.terminals), len(made.completed)) == (3, 1)
    terminal = town.detector.terminals.get(number="1")
    assert (terminal.pole, terminal.passing) == ("-", "in")


def test_the_pattern_of_the_model_goes_before_the_usual_one(town):
    model = town.unit.product_model
    change_pattern(product_model=model, text="K:1 line in + 20 V\nK:2 line in - 20 V")
    assert [str(one) for one in use_device_pattern(position=town.detector).terminals] == ["-K:1", "-K:2"]


def test_a_pattern_that_is_none_is_refused_and_the_old_one_stays(town):
    model = town.unit.product_model
    change_pattern(product_model=model, text="K:1 line in +")
    for text, sentence in (
        ("K:1 line in + 24 W", "'24' is not understood"),
        ("for each line\nK{n}:1 line", "Only a panel"),
    ):
        with pytest.raises(ValidationError, match=sentence):
            change_pattern(product_model=model, text=text)
    model.refresh_from_db()
    assert model.wiring_pattern == "K:1 line in +"


def test_a_junction_box_has_no_pattern(town):
    box = builders.make_position(town.hall, "junction_box", tag="JB1")
    refused("no wiring pattern for JB1", lambda: use_device_pattern(position=box))


def test_the_history_tells_who_made_terminals_and_cores(town, line):
    loop_run(owner=line, devices=town.devices)
    assert Terminal.history.count() == Terminal.objects.count()
    assert Core.history.count() == Core.objects.count()
    assert CoreEnd.history.count() == CoreEnd.objects.count()
