"""What is known at a position: readings, units, defects, terminals, what opens, what the meter should read."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections.visits.edits import add_positions, start_visit
from inspections.visits.memory import Memory, wires_at
from tests import builders
from zones.cause_and_effect.records import panel_logic
from zones.cause_and_effect.when_operated import when_operated
from zones.engineering.cause_and_effect import Simulation

pytestmark = pytest.mark.django_db


@pytest.fixture
def started(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


def page_of(as_, visit, position):
    return as_("engineer").get(reverse("visit-field-position", args=[visit.pk, position.pk])).text


def known_part(page):
    return page.split('id="known"')[1].split("</details>")[0]


def test_the_page_shows_units_defects_and_readings_of_the_position_alone(town, started, as_):
    builders.make_defect(town.hall, town.finished, position=town.detector, description="Cover broken.")
    builders.make_defect(town.hall, town.finished, position=town.call_point, description="Glass broken.")
    for days, value in ((400, "10.1"), (30, "10.4")):
        at = timezone.now() - timedelta(days=days)
        visit = builders.make_visit(town.hall, state="finished", started_at=at, finished_at=at)
        point = builders.make_test_point(
            visit, town.detector, code="age", title="Age of the head", quantity="age", unit="years"
        )
        builders.make_result(point, reading=Decimal(value), seen_at=at)
    known = known_part(page_of(as_, started, town.detector))
    assert "Cover broken." in known and "Glass broken." not in known
    assert "AK-0001" in known and "Age of the head" in known and '<svg class="plot"' in " ".join(known.split())


def test_each_part_says_so_where_nothing_is_known(town, started, as_):
    known = known_part(page_of(as_, started, town.panel.position))
    assert "No visit has read a figure here" in known and "No defect was found here" in known
    assert "No unit is on record" in known and "No core is on record" in known


def test_which_terminal_takes_the_brown_core(town):
    cable = builders.make_cable(town.hall, tag="W7")
    near = builders.make_terminal(town.panel, block="X3", number="5")
    far = builders.make_terminal(None, town.detector, block="X1", number="2")
    builders.connect(builders.make_core(cable, colour="BN"), near, far)
    (wire,) = wires_at([town.detector.pk])[town.detector.pk]
    assert (wire.terminal, wire.core, wire.cable, wire.far) == ("-X1:2", "BN", "W7", "P1 -X3:5")


def test_what_must_open_and_what_must_stay_shut(town):
    groups = [builders.make_vent_group(zone) for zone in (town.zone, builders.make_zone(town.hall, panel=town.panel))]
    builders.make_rule(town.panel, cause="device", position=town.detector, smoke_zone=town.zone, effect="O")
    read = panel_logic(town.panel)
    (one,) = when_operated(read, Simulation(read.ruleset), town.detector)
    assert len(one.opens) == len(one.stays_shut) == 1
    assert str(groups[0].smoke_zone.number) in one.opens_words and one.opens != one.stays_shut


def test_a_device_without_a_rule_opens_nothing(town):
    builders.make_vent_group(town.zone)
    read = panel_logic(town.panel)
    (one,) = when_operated(read, Simulation(read.ruleset), town.call_point)
    assert one.opens == () and len(one.stays_shut) == 1


def test_the_line_says_what_the_meter_should_read_and_leads_to_the_search_with_what_was_read(town, started):
    line = builders.make_line(town.panel)
    town.detector.detection_line = line
    town.detector.save()
    point = builders.make_test_point(
        *(started, town.detector),
        **{"code": "end-of-line-resistance", "quantity": "line resistance", "unit": "kΩ"},
        **{"lower_limit": Decimal("9.9"), "upper_limit": Decimal("10.1")},
    )
    here = Memory(started).of(town.detector, [point]).line
    assert here.reads == "9.90 to 10.10 kΩ" and here.point == point.pk and "?" not in here.url
    builders.make_result(point, reading=Decimal("5.000"))
    assert Memory(started).of(town.detector, [point]).line.url.endswith("?reading_ohm=5k")


def test_many_positions_cost_the_same_queries_as_one(town, started, django_assert_max_num_queries):
    add_positions(visit=started)
    memory = Memory(started)
    memory.of(town.detector, [])  # with it the logic of their panel is read
    for _ in range(3):
        builders.fit(builders.make_position(town.hall, "smoke_detector", panel=town.panel), builders.make_unit())
    positions = list(town.hall.positions.all())
    with django_assert_max_num_queries(12):
        found = memory.of_many([(position, []) for position in positions])
    assert len(found) == len(positions) > 4


def test_each_of_many_positions_has_what_is_its_own(town, started):
    builders.make_defect(town.hall, town.finished, position=town.detector, description="Cover broken.")
    of_detector, of_call_point = Memory(started).of_many([(town.detector, []), (town.call_point, [])])
    assert [defect.description for defect in of_detector.defects] == ["Cover broken."]
    assert of_call_point.defects == []
    assert [fitting.unit.serial for fitting in of_detector.units] == ["AK-0001"]


def test_a_reading_in_ohms_is_taken_along_in_ohms(town, started):
    town.detector.detection_line = builders.make_line(town.panel)
    town.detector.save()
    point = builders.make_test_point(started, town.detector, code="line", quantity="line resistance", unit="Ω")
    builders.make_result(point, reading=Decimal("680"))
    assert Memory(started).of(town.detector, [point]).line.url.endswith("?reading_ohm=680")
