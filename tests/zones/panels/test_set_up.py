"""The set-up of a building: what is done, what is missing, what comes next."""

import pytest
from django.urls import reverse

from tests import builders

pytestmark = pytest.mark.django_db


def steps_of(response):
    return {step.title: step for step in response.context["steps"]}


def test_a_new_building_needs_a_job_first(as_, town):
    building = builders.make_building(town.quay_housing)
    response = as_("office").get(reverse("building-set-up", args=[building.slug]))
    assert response.context["next_step"].title == "Job"
    assert {step.state[1] for title, step in steps_of(response).items() if title not in ("Client", "Building")} == {
        "to do"
    }


def test_each_step_counts_what_is_there_and_what_is_missing(as_, town):
    builders.make_battery_set(town.panel)
    circuit = builders.make_circuit(town.panel, expected_actuators=2)
    builders.make_position(town.hall, "actuator", smoke_zone=town.zone, actuator_circuit=circuit)
    builders.make_position(town.hall, "actuator")
    steps = steps_of(as_("office").get(reverse("building-set-up", args=[town.hall.slug])))
    assert (steps["Panels"].there, steps["Panels"].missing) == ("1 panel", ["without a model: 1"])
    assert steps["Smoke zones"].missing == ["without a required area: 1"]
    assert steps["Circuits and lines"].there == "1 circuit, 0 lines"
    assert steps["Circuits and lines"].missing == ["circuits with another number of actuators than expected: 1"]
    assert steps["Positions"].missing == [
        "without a zone: 1",
        "actuators without a circuit: 1",
        "call points or detectors without a line or data link: 2",
    ]
    assert (steps["Serials"].there, steps["Serials"].missing) == ("1 of 5 recorded", ["positions without a unit: 4"])


def test_a_form_reached_from_it_leads_back(as_, town):
    client, here = as_("engineer"), reverse("building-set-up", args=[town.hall.slug])
    add_zone = steps_of(client.get(here))["Smoke zones"].add_url
    assert client.get(add_zone).context["back_url"] == here
    assert client.post(add_zone, {"number": 2, "name": "Atrium"}).url == here


def test_an_engineer_gets_no_link_to_the_forms_of_the_office(as_, town):
    here = reverse("building-set-up", args=[town.hall.slug])
    assert [step.add_url for step in as_("engineer").get(here).context["steps"]][:3] == ["", "", ""]
    assert all(step.add_url for step in as_("office").get(here).context["steps"][:3])


def test_every_add_link_opens(as_, town):
    client = as_("office")
    for step in client.get(reverse("building-set-up", args=[town.hall.slug])).context["steps"]:
        for url in [step.add_url, step.see_url, *[url for url, _ in step.more]]:
            assert not url or client.get(url).status_code == 200, url


def test_a_device_of_the_whole_building_needs_no_zone(as_, town):
    builders.make_position(town.hall, "rain_sensor")
    builders.make_position(town.hall, "fire_alarm_interface")
    positions = steps_of(as_("office").get(reverse("building-set-up", args=[town.hall.slug])))["Positions"]
    assert not [line for line in positions.missing if "zone" in line]
    builders.make_position(town.hall, "ventilation_switch")
    positions = steps_of(as_("office").get(reverse("building-set-up", args=[town.hall.slug])))["Positions"]
    assert "without a zone: 1" in positions.missing


def test_a_client_is_reached_through_a_contact_too(as_, town):
    here = reverse("building-set-up", args=[town.hall.slug])
    assert steps_of(as_("office").get(here))["Client"].missing == ["no e-mail and no telephone"]
    builders.make_contact(town.quay_housing)
    assert steps_of(as_("office").get(here))["Client"].missing == ["no e-mail and no telephone"]
    builders.make_contact(town.quay_housing, phone="0000 555 020")
    assert steps_of(as_("office").get(here))["Client"].missing == []
