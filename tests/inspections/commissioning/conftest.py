"""Installations whose commissioning is planned, and visits that took a plan over."""

import pytest

from inspections.protocols.edits import install_standard_protocols
from inspections.visits.edits import start_visit
from tests import builders
from zones.cause_and_effect.edits import add_usual_rules
from zones.models import Position


@pytest.fixture
def hall(town, shared):
    return shared.built(hall_of_two_zones, town)


def hall_of_two_zones(town):
    """The hall with two zones, each with a vent and a call point, one line, a rain sensor; and its usual rules."""
    other = builders.make_zone(town.hall, panel=town.panel, number=2, name="Roof stair")
    line = builders.make_line(town.panel, number=1, smoke_zone=town.zone)
    town.detector.detection_line = line
    town.detector.save()
    for number, zone in enumerate((town.zone, other), 1):
        builders.make_position(town.hall, "actuator", tag=f"M{number}", smoke_zone=zone, panel=town.panel)
    builders.make_position(town.hall, "manual_call_point", tag="CP2", smoke_zone=other, panel=town.panel)
    builders.make_position(town.hall, "rain_sensor", tag="RS1", panel=town.panel)
    add_usual_rules(panel=town.panel)
    return town


@pytest.fixture
def small(town, shared):
    return shared.built(small_commissioning, town)


def small_commissioning(town):
    """A commissioning under way: one panel, two zones, each with call point, detector line, switch and vent; rain."""
    install_standard_protocols()
    building = builders.make_building(name="Loom House")
    panel = builders.make_panel(building, tag="P1")
    Position.objects.filter(pk=panel.position_id).update(storey="0", walking_order=1)
    model = builders.make_product_model("manual_call_point")

    def position(kind, tag, order, storey, **fields):
        return builders.make_position(building, kind, tag=tag, walking_order=order, storey=storey, **fields)

    position("battery", "BAT1", 2, "0", panel=panel)
    for number in (1, 2):
        zone = builders.make_zone(building, panel=panel, number=number)
        circuit = builders.make_circuit(panel, number=number)
        line = builders.make_line(panel, number=number, smoke_zone=zone)
        call_point = position("manual_call_point", f"CP{number}", 10 + number, "0", smoke_zone=zone, panel=panel)
        builders.fit(call_point, builders.make_unit(model))
        position("ventilation_switch", f"VS{number}", 20 + number, "1", smoke_zone=zone, panel=panel)
        position("smoke_detector", f"SD{number}", 30 + number, "2", smoke_zone=zone, detection_line=line)
        position("actuator", f"M{number}", 40 + number, "roof", smoke_zone=zone, actuator_circuit=circuit)
    position("rain_sensor", "RS1", 50, "roof", panel=panel)
    add_usual_rules(panel=panel)
    visit = builders.make_visit(building, kind="commissioning", engineer=town.people["engineer"])
    return start_visit(visit=visit, started_by=town.people["engineer"])


@pytest.fixture
def visit(hall, shared):
    return shared.built(commissioning_of_the_hall, hall)


def commissioning_of_the_hall(hall):
    """A commissioning visit of the hall, started, so that it took the plan over."""
    install_standard_protocols()
    visit = builders.make_visit(hall.hall, kind="commissioning", engineer=hall.people["engineer"])
    return start_visit(visit=visit, started_by=hall.people["engineer"])
