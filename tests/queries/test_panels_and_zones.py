"""Pages of panels, zones and wiring cost the same number of queries for few rows and for many."""

import pytest
from django.urls import reverse

from tests import builders

pytestmark = pytest.mark.django_db


def fill(town, count):
    """Add `count` of everything that the pages list."""
    for _ in range(count):
        panel = builders.make_panel(town.hall)
        builders.make_battery_set(panel, removed_on=None)
        builders.make_battery_set(town.panel, removed_on="2025-01-01")
        zone = builders.make_zone(town.hall, panel=town.panel, required_area_m2=2, required_area_kind="aerodynamic")
        vent = builders.make_vent(town.zone, aerodynamic_area_m2=1)
        group = builders.make_vent_group(town.zone)
        circuit, line = builders.make_circuit(town.panel), builders.make_line(town.panel, smoke_zone=zone)
        actuator = builders.make_position(
            town.hall,
            "actuator",
            smoke_zone=town.zone,
            vent=vent,
            vent_group=group,
            actuator_circuit=circuit,
            panel=town.panel,
        )
        builders.prove_place(builders.fit(actuator, builders.make_unit(town.identical_model)))
        builders.make_position(town.hall, detection_line=line, smoke_zone=town.zone)
        builders.make_position(town.hall, "rain_sensor", panel=town.panel, smoke_zone=town.zone)
        builders.make_setting(town.panel, set_by=town.people["engineer"])
        builders.make_coincidence(town.panel, [builders.make_position(town.hall, detection_line=line), actuator])
        builders.make_rule(town.panel, smoke_zone=town.zone)
        builders.make_rule(town.panel, cause="device", position=town.detector, vent_group=group, effect="O")
        cable = builders.make_cable(town.hall)
        core = builders.make_core(town.cable)
        builders.connect(core, builders.make_terminal(town.panel), builders.make_terminal(position=town.detector))
        builders.make_core(cable)


PAGES = {
    "panel-list": lambda town: [town.hall.slug],
    "panel-detail": lambda town: [town.panel.pk],
    "panel-record": lambda town: [town.panel.pk],
    "panel-settings-sheet": lambda town: [town.panel.pk],
    "zone-list": lambda town: [town.hall.slug],
    "zone-detail": lambda town: [town.hall.slug, town.zone.number],
    "panel-terminal-list": lambda town: [town.panel.pk],
    "device-terminal-list": lambda town: [town.detector.pk],
    "cable-list": lambda town: [town.hall.slug],
    "cable-detail": lambda town: [town.cable.pk],
    "rule-list": lambda town: [town.panel.pk],
    "building-set-up": lambda town: [town.hall.slug],
    "identical-unit-list": lambda town: [town.hall.slug],
    "place-confirmation-create": lambda town: [town.hall.positions.filter(kind="actuator").first().pk],
}


def two_rows(town):
    town.cable = builders.make_cable(town.hall)
    town.identical_model = builders.make_product_model("actuator")
    builders.fit(builders.make_position(town.hall, "actuator"), builders.make_unit(town.identical_model))
    fill(town, 2)


def twelve_rows(town):
    two_rows(town)
    fill(town, 10)


# The design check, whose answers stand at its head, is read for it: fourteen of these.
MOST = {"panel-detail": 41}


@pytest.mark.parametrize("url_name", PAGES)
def test_page_costs_the_same_for_two_rows_and_for_twelve(queries_of, url_name):
    def address(town):
        return reverse(url_name, args=PAGES[url_name](town))

    few, many = queries_of(two_rows, address), queries_of(twelve_rows, address)
    assert len(many) == len(few), many[-5:]
    assert len(many) <= MOST.get(url_name, 34)
