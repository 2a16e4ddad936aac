"""Lines, inputs and data links that start at a device, wired in one step; what was set on purpose stays."""

import pytest
from django.core.exceptions import ValidationError

from tests import builders
from zones.engineering.pattern_texts import LINK_CALL_POINT, TWO_CORE_ACTUATOR
from zones.engineering.wiring.checks import check_wiring
from zones.models import CoreEnd, DataLink, EndOfLinePart, InputPort
from zones.units.patterns import use_device_pattern, use_panel_pattern
from zones.wiring.loops import LoopOptions, loop_input_ports, loop_run
from zones.wiring.page import read_page
from zones.wiring.records import wired_panel

pytestmark = pytest.mark.django_db


@pytest.fixture
def panel():
    return builders.make_panel(builders.make_building(), tag="P1")


@pytest.fixture
def call_points(panel):
    """Two on a data link, each with the line and the inputs that their pattern offers."""
    link = builders.save(DataLink(panel=panel, number=1))
    model = builders.make_product_model("manual_call_point", wiring_pattern=LINK_CALL_POINT)
    made = [
        builders.make_position(
            panel.building, "manual_call_point", tag=f"CP{n}", data_link=link, order_on_line=n, product_model=model
        )
        for n in (1, 2)
    ]
    use_panel_pattern(panel=panel, links=1)
    for position in made:
        use_device_pattern(position=position)
    return made


def codes(panel):
    return [finding.code for finding in check_wiring(wired_panel(panel))]


def test_a_device_offers_the_lines_and_inputs_of_its_pattern_once(panel, call_points):
    use_device_pattern(position=call_points[0])
    assert [(one.number, one.end_of_line_ohm) for one in call_points[0].lines_offered.all()] == [(201, 10_000)]
    assert [one.function for one in call_points[0].inputs_offered.order_by("number")] == ["open", "close"]
    assert panel.detection_lines.count() == 2


def test_a_data_link_is_wired_from_call_point_to_call_point_and_has_no_end_of_line(panel, call_points):
    loop = loop_run(owner=panel.data_links.get(), devices=call_points)
    assert [(leg.near, leg.far) for leg in loop.legs] == [("P1", "CP1"), ("CP1", "CP2")]
    assert [(core.near, core.far) for core in loop.legs[1].cores] == [
        ("CP1 -X2:1", "CP2 -X1:1"),
        ("CP1 -X2:2", "CP2 -X1:2"),
        ("CP1 -X2:3", "CP2 -X1:3"),
    ]
    assert loop.element == ""


def test_a_line_of_a_call_point_starts_there_and_unused_keeps_its_resistor_on_its_own_terminals(panel, call_points):
    first, second = call_points
    own = first.lines_offered.get()
    detector = builders.make_position(panel.building, tag="SD1", panel=panel, detection_line=own, order_on_line=1)
    assert loop_run(owner=own, devices=[detector]).element == "SD1 -X1:3 and SD1 -X1:4"
    unused = loop_run(owner=second.lines_offered.get(), devices=[])
    assert unused.element == "CP2 -X3:1 and CP2 -X3:2"
    assert not [code for code in codes(panel) if code.startswith("wiring.element")]


def test_a_switch_on_the_inputs_of_a_call_point_takes_one_cable_with_a_shared_common(panel, call_points):
    switch = builders.make_position(panel.building, "ventilation_switch", tag="VS1", panel=panel)
    inputs = list(call_points[1].inputs_offered.order_by("number"))
    loop = loop_input_ports(inputs=inputs, device=switch)
    (leg,) = loop.legs
    assert [(core.near, core.far) for core in leg.cores] == [
        ("CP2 -X4:1", "VS1 -X1:1"),
        ("CP2 -X4:2", "VS1 -X1:2"),
        ("CP2 -X4:3", "VS1 -X1:3"),
    ]
    assert set(loop.changes) == {f"VS1 is on {one}." for one in inputs}
    assert list(switch.input_ports.order_by("number")) == inputs


def test_inputs_of_two_devices_are_not_wired_in_one_step(panel, call_points):
    switch = builders.make_position(panel.building, "ventilation_switch", tag="VS1", panel=panel)
    inputs = [one.inputs_offered.first() for one in call_points]
    with pytest.raises(ValidationError, match="These inputs start at different devices. Wire those of one"):
        loop_input_ports(inputs=inputs, device=switch)
    with pytest.raises(ValidationError, match="Choose the inputs to wire"):
        loop_input_ports(inputs=[], device=switch)
    assert not switch.input_ports.exists()


def test_the_resistor_of_a_monitored_input_leaves_the_panel_for_the_sensor(panel):
    rain = builders.save(InputPort(panel=panel, number=1, function="rain", is_monitored=True, end_of_line_ohm=10_000))
    model = panel.position.product_model or builders.make_product_model("control_panel")
    model.wiring_pattern = "for each input\nXS{n}:1 input out, signal\nXS{n}:2 input out, common"
    model.save()
    panel.position.product_model = model
    panel.position.save()
    use_panel_pattern(panel=panel, inputs=1)
    assert loop_input_ports(inputs=[rain], device=None).element == "P1 -XS1:1 and P1 -XS1:2"
    sensor = builders.make_position(panel.building, "rain_sensor", tag="RS1", panel=panel)
    loop = loop_input_ports(inputs=[rain], device=sensor)
    assert loop.is_moved
    assert loop.element == "RS1 -X1:3 and RS1 -X1:4"
    assert EndOfLinePart.objects.count() == 1
    assert any("at the last device" in change for change in loop.changes)


@pytest.fixture
def boxed(panel):
    """A polarity circuit: three cores to a junction box, two onward to an actuator of two cores."""
    circuit = builders.make_circuit(panel, number=1, drive="polarity", end_place="in_box")
    model = builders.make_product_model("actuator", wiring_pattern=TWO_CORE_ACTUATOR, drive="polarity")
    actuator = builders.make_position(
        panel.building, "actuator", tag="M1", panel=panel, actuator_circuit=circuit, product_model=model
    )
    box = builders.make_position(panel.building, "junction_box", tag="JB1", panel=panel)
    use_panel_pattern(panel=panel, outputs=1)
    first = builders.make_cable(panel.building, tag="W1", actuator_circuit=circuit, far_box=box, cores_count=3)
    builders.make_cable(
        panel.building, tag="W2", actuator_circuit=circuit, upstream=first, feeds=actuator, cores_count=2
    )
    return circuit, actuator


def test_the_third_core_ends_in_the_box_where_the_module_stands(panel, boxed):
    circuit, actuator = boxed
    loop = loop_run(owner=circuit, devices=[actuator], options=LoopOptions(element_kind="module"))
    assert [len(leg.cores) for leg in loop.legs] == [3, 2]
    assert loop.element == "JB1 -X1:2 and JB1 -X1:3"
    assert not [code for code in codes(panel) if code != "wiring.colour_twice"]
    circuit.refresh_from_db()
    assert circuit.end_place == "in_box"


def test_wired_again_nothing_changes(boxed):
    circuit, actuator = boxed
    options = LoopOptions(element_kind="module")
    loop_run(owner=circuit, devices=[actuator], options=options)
    again = loop_run(owner=circuit, devices=[actuator], options=options)
    assert (again.is_moved, again.changes, again.terminals_made) == (False, [], 0)


def test_a_core_that_is_put_on_again_is_told_apart_from_those_that_stay(boxed):
    circuit, actuator = boxed
    options = LoopOptions(element_kind="module")
    loop_run(owner=circuit, devices=[actuator], options=options)
    CoreEnd.objects.get(terminal__position=actuator, terminal__number="2").delete()
    again = loop_run(owner=circuit, devices=[actuator], options=options)
    assert [(leg.cable.tag, core.number) for leg in again.legs for core in leg.cores if core.is_put_on] == [("W2", 2)]


def test_the_wiring_of_an_output_shows_its_junction_box_on_the_way_to_the_actuator(panel, boxed):
    circuit, actuator = boxed
    loop_run(owner=circuit, devices=[actuator], options=LoopOptions(element_kind="module"))
    assert [block.heading for block in read_page(panel, "output-1").blocks] == ["-XA1", "JB1", "M1"]


def test_none_needed_stays_as_it_was_set_on_purpose(panel):
    line = builders.make_line(panel, number=1, end_place="none_needed")
    detector = builders.make_position(panel.building, tag="SD1", panel=panel, detection_line=line)
    use_panel_pattern(panel=panel, lines=1)
    loop = loop_run(owner=line, devices=[detector])
    line.refresh_from_db()
    assert (line.end_place, loop.element, loop.changes) == ("none_needed", "", [])
    assert not EndOfLinePart.objects.exists()


def test_without_a_box_on_the_way_a_run_that_ends_in_one_is_refused(panel):
    circuit = builders.make_circuit(panel, number=1, drive="polarity", end_place="in_box")
    actuator = builders.make_position(panel.building, "actuator", tag="M1", panel=panel, actuator_circuit=circuit)
    use_panel_pattern(panel=panel, outputs=1)
    with pytest.raises(ValidationError, match="no cable of it ends in one"):
        loop_run(owner=circuit, devices=[actuator])


def test_a_terminal_that_takes_two_cores_refuses_a_third(panel):
    terminal = builders.make_terminal(panel, block="XS1", number="1", cores_allowed=2)
    cable = builders.make_cable(panel.building, cores_count=3)
    from zones.wiring.edits import put_core

    for number in (1, 2):
        builders.make_core(cable, number=number)
        put_core(terminal=terminal, text=f"{cable.tag}.{number}")
    assert terminal.core_ends.count() == 2
    builders.make_core(cable, number=3)
    put_core(terminal=terminal, text=f"{cable.tag}.3")  # takes the place of the first, as the page says
    assert terminal.core_ends.count() == 2
    core = cable.cores.get(number=1)
    from zones.wiring.terminals import put_ends

    with pytest.raises(ValidationError, match="is used by core"):
        put_ends(core=core, near=terminal)


def test_a_device_on_no_panel_gets_its_terminals_and_offers_its_lines_and_inputs_to_none():
    model = builders.make_product_model("manual_call_point", wiring_pattern=LINK_CALL_POINT)
    alone = builders.make_position(builders.make_building(), "manual_call_point", tag="CP1", product_model=model)
    made = use_device_pattern(position=alone)
    assert alone.terminals.filter(block="X3").count() == 2
    assert (made.runs, alone.lines_offered.count(), alone.inputs_offered.count()) == ([], 0, 0)
