"""What the drawings of a panel cost: the same for a line of one detector and for a panel of forty devices."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests import builders
from tests.zones.wiring.wired import wire_town

# session, person, panel; the wiring: circuits, lines, data links, inputs, positions, terminals, keys of cables, cables,
# cores, ends, links, elements; the PDF: the firm, the as-installed revisions (where one was taken, the record is read
# beside it). The zone overview reads the wiring too, to say how complete it is, and the inputs of devices. A page adds
# the numbers in its bar.
MOST = {
    "wiring-diagram": 18,  # with the photographs beside it
    "wiring-diagram-svg": 16,
    "wiring-diagram-dxf": 16,
    "wiring-diagram-pdf": 19,
    "zone-overview": 22,
    "zone-overview-svg": 21,
    "zone-overview-dxf": 21,
    "zone-overview-pdf": 24,
}


@pytest.mark.parametrize("name", MOST)
def test_a_drawing_costs_the_same_for_few_devices_and_for_many(as_, town, name):
    wire_town(town)
    client, address = as_("office"), reverse(name, args=[town.panel.pk])

    def cost():
        with CaptureQueriesContext(connection) as queries:
            assert client.get(address).status_code == 200
        return len(queries)

    cost()  # what the first call reads once and keeps
    few = cost()
    line, circuit = town.panel.detection_lines.get(), town.panel.actuator_circuits.get()
    cable = builders.make_cable(town.hall, tag="W2", detection_line=line)
    for number in range(2, 22):
        zone = builders.make_zone(town.hall, panel=town.panel, number=number + 10)
        where = {"panel": town.panel, "smoke_zone": zone}
        device = builders.make_position(town.hall, tag=f"SD{number}", detection_line=line, **where)
        vent = builders.make_vent(zone)
        builders.make_position(town.hall, "actuator", tag=f"M{number}", actuator_circuit=circuit, vent=vent, **where)
        near = builders.make_terminal(town.panel, block="X6", number=str(number))
        far = builders.make_terminal(position=device, block="X1", number="1")
        builders.connect(builders.make_core(cable, number=number), near, far)
    assert cost() <= few <= MOST[name]


@pytest.mark.parametrize("what", ["devices", "cables", "cores"])
@pytest.mark.parametrize("name", ["label-list", "label-pdf"])
def test_labels_cost_the_same_for_few_and_for_many(as_, town, name, what):
    """Session, person, building, the form's choices; records with what they name; terminals and ends of cores."""
    wire_town(town)
    client, address = as_("office"), f"{reverse(name, args=[town.hall.slug])}?what={what}&stock=3x8"

    def cost():
        with CaptureQueriesContext(connection) as queries:
            assert client.get(address).status_code == 200
        return len(queries)

    wired = builders.make_position(town.hall, tag="SD20", panel=town.panel)
    core = builders.make_core(builders.make_cable(town.hall, tag="W20"), number=1)
    builders.connect(core, builders.make_terminal(town.panel), builders.make_terminal(position=wired))
    cost()
    few = cost()
    for number in range(2, 12):
        device = builders.make_position(town.hall, tag=f"SD{number}", panel=town.panel, smoke_zone=town.zone)
        cable = builders.make_cable(town.hall, tag=f"W{number}")
        near = builders.make_terminal(town.panel, block="X6", number=str(number))
        far = builders.make_terminal(position=device, block="X1", number="1")
        builders.connect(builders.make_core(cable, number=number), near, far)
    assert cost() <= few <= 18
