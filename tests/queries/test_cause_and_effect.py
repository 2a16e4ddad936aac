"""Pages of cause and effect cost the same number of queries for few rules and zones and for many."""

import pytest
from django.urls import reverse

from tests import builders
from zones.cause_and_effect.edits import add_usual_rules


def grow(town, number):
    """One more zone with a group, an actuator, a line, a detector, a switch, a coincidence; and its usual rules."""
    zone = builders.make_zone(town.hall, panel=town.panel, number=number)
    group = builders.make_vent_group(zone, number=1)
    line = builders.make_line(town.panel, smoke_zone=zone)
    of_zone = {"smoke_zone": zone, "panel": town.panel}
    builders.make_position(town.hall, "actuator", vent_group=group, **of_zone)
    builders.make_position(town.hall, "ventilation_switch", vent_group=group, **of_zone)
    detectors = [builders.make_position(town.hall, detection_line=line, **of_zone) for _ in range(2)]
    coincidence = builders.make_coincidence(town.panel, detectors)
    builders.make_rule(town.panel, cause="coincidence", coincidence=coincidence, smoke_zone=zone, effect="O")
    builders.make_rule(town.panel, cause="zone_in_alarm", cause_zone=zone, output="lift", effect="S")
    builders.make_rule(town.panel, cause="group_open", cause_group=group, output="lamp", effect="S")
    add_usual_rules(panel=town.panel)


def one_zone(town):
    grow(town, 50)


def several_zones(town):
    one_zone(town)
    for number in range(60, 64):
        grow(town, number)


@pytest.mark.parametrize(
    ("name", "number"),
    [
        ("rule-matrix", 17),
        ("rule-list", 8),
        ("simulator", 20),
        ("panel-proof", 15),
        ("rule-comparison", 15),
        ("panel-cause-and-effect-pdf", 18),
    ],
)
def test_page_costs_the_same_for_one_zone_and_for_several(queries_of, name, number):
    def address(town):
        return reverse(name, args=[town.panel.pk])

    few, many = (queries_of(fill, address, person="manager") for fill in (one_zone, several_zones))
    assert (len(few), len(many)) == (number, number)
