"""Two panels of the demo are wired to the last core without a finding, one shows faults; made by the services."""

import itertools
from datetime import date

import pytest
from dateutil.relativedelta import relativedelta

from inspections.demo import scenario
from inspections.demo.systems import SystemBuilder, make_models
from inspections.demo.wiring import FOUR_ZONES, TWELVE_ZONES, WITH_FAULTS
from tests import builders
from zones.wiring_check import findings_of_wiring

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 25)


@pytest.fixture
def panel_of():
    """`panel_of((building, panel))` builds that building of the scenario and gives the panel."""

    def build(place):
        name, tag = place
        site = next(site for site in scenario.SITES if site.name == name)
        building = builders.make_building(name=name)
        fitted_on = TODAY - relativedelta(months=max(site.commissioned_months_ago, 1))
        engineer = builders.make_person("engineer")
        SystemBuilder(building, site, make_models(), fitted_on, engineer, itertools.count(1), TODAY).build()
        return building.panels.get(position__tag=tag)

    return build


@pytest.mark.parametrize(("place", "zones"), [(FOUR_ZONES, 4), (TWELVE_ZONES, 12)])
def test_a_panel_is_wired_to_the_last_core_and_has_no_finding(panel_of, place, zones):
    panel = panel_of(place)
    assert panel.smoke_zones.count() == zones
    assert findings_of_wiring(panel) == []
    assert not panel.positions.in_use().filter(terminals=None).exclude(kind="control_panel").exists()


def test_the_planted_faults_are_found(panel_of):
    found = {finding.code for finding in findings_of_wiring(panel_of(WITH_FAULTS))}
    planted = {"polarity", "element_place", "element_two", "core_open", "not_reached"}
    assert {f"wiring.{code}" for code in planted} <= found
