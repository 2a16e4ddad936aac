"""Records → the zone overview, and → what labels say of terminals."""

from datetime import date
from types import SimpleNamespace

import pytest

from tests import builders
from zones.cause_and_effect.zone_overview import zone_overview_of
from zones.engineering.drawings.zone_overview import OverviewVent, VentState
from zones.engineering.natural_order import natural_key
from zones.labels.records import designations
from zones.models import Position

pytestmark = pytest.mark.django_db


def actuator(town, tag, **fields):
    where = {"panel": town.panel, "smoke_zone": town.zone, **fields}
    return builders.make_position(town.hall, "actuator", tag=tag, **where)


def test_inputs_carry_zone_and_line_and_come_in_natural_order(town):
    line = builders.make_line(town.panel, number=3)
    Position.objects.filter(pk=town.detector.pk).update(detection_line=line)
    builders.make_position(town.hall, "rain_sensor", tag="RS1", panel=town.panel)
    inputs = zone_overview_of(town.panel).inputs
    assert [(each.tag, each.zone, each.line) for each in inputs] == [
        ("CP1", 1, None),
        ("RS1", None, None),
        ("SD1", 1, 3),
    ]


def test_a_vent_names_its_actuators_circuits_and_group(town):
    first, second = (builders.make_circuit(town.panel, number=number) for number in (1, 2))
    vent, group = builders.make_vent(town.zone, tag="V1"), builders.make_vent_group(town.zone, number=2)
    actuator(town, "M1", vent=vent, vent_group=group, actuator_circuit=first)
    actuator(town, "M2", vent=vent, vent_group=group, actuator_circuit=second)
    overview = zone_overview_of(town.panel)
    assert overview.vents == (OverviewVent(f"v{vent.pk}", "V1", 1, "1.2", (1, 2), ("M1", "M2"), VentState.NOT_KNOWN),)
    assert [(group.key, group.zone) for group in overview.groups] == [("1.2", 1)]
    assert [circuit.number for circuit in overview.circuits] == [1, 2]


def test_a_vent_without_an_actuator_is_shown_and_so_is_an_actuator_without_a_vent(town):
    builders.make_vent(town.zone, tag="V7")
    actuator(town, "M7")
    vents = zone_overview_of(town.panel).vents
    assert [(vent.tag, vent.actuators) for vent in vents] == [("V7", ()), ("M7", ("M7",))]


def test_what_was_no_longer_used_and_what_hangs_on_another_panel_is_left_out(town):
    actuator(town, "M8", retired_on=date(2025, 1, 1))
    other = builders.make_panel(town.hall, tag="P2")
    builders.make_position(town.hall, "manual_call_point", tag="CP8", panel=other)
    overview = zone_overview_of(town.panel)
    assert not overview.vents
    assert "CP8" not in {each.tag for each in overview.inputs}


def terminals(*names):
    for name in names:
        block, number = name.split(":")
        yield SimpleNamespace(block=block, number=number, order_key=natural_key(name))


def test_runs_of_terminals_are_drawn_together_block_by_block():
    named = designations(terminals("X3:10", "X3:2", "X3:1", "X3:3", "X5:PE", "X5:7", "X5:8"))
    assert named == ["-X3:1…3, 10", "-X5:7, 8, PE"]
